"""What is told of all runs of a folder in three files, written anew as each run ends."""

from collections.abc import Iterable, Iterator
from pathlib import Path

from finial.core.errors import CampaignError
from finial.files.alone import holding
from finial.files.tunnel_runs import tunnel_runs_text
from finial.files.write import why_not_written, write_atomically
from finial.tunnel_study.flows import FLOWS, FlowTold, KeptFlow, flows_bytes
from finial.tunnel_study.store import LOCKS, RUNS, KeptRun, read_kept
from finial.tunnel_study.surfaces import SURFACES
from finial.tunnel_study.thinned_surfaces import surfaces_bytes


def write_runs(folder: Path, vehicle: str) -> Path:
    """Write the file that a sheet names, and surfaces and air beside it, of all runs that lie in the folder.

    One process at a time.

    Raises
    ------
    CampaignError
        If the disk is full or the folder cannot be written to; what was kept before stays.
    """
    path = folder / RUNS
    try:
        with holding(folder / LOCKS / RUNS, wait=True):
            kept = read_kept(folder)
            write_atomically(path, tunnel_runs_text(vehicle, (one.told for one in kept)).encode())
            write_atomically(folder / SURFACES, surfaces_bytes(kept))
            write_atomically(folder / FLOWS, flows_bytes(flows_in(kept)))
    except OSError as error:
        raise CampaignError(
            f"{path} cannot be written: {why_not_written(error)}. What was kept stays"
        ) from error
    return path


def flows_in(kept: Iterable[KeptRun]) -> Iterator[KeptFlow]:
    """Give the air of the runs that kept it."""
    for run in kept:
        if run.flow is not None:
            told = FlowTold(
                shape=run.told.shape,
                bare=run.told.bare,
                angle_rad=run.told.angle_rad,
                roll_rad=run.told.roll_rad,
                cells=run.told.cells,
                width_m=run.told.width_m,
                travel_widths=run.told.travel_widths,
                moments=len(run.flow.moments),
            )
            yield KeptFlow(told=told, flow=run.flow)
