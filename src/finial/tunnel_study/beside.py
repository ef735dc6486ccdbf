"""Runs of a vehicle beside what the sections say of it, without a flight."""

from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path

from finial.assemble.air.results import StudyState, TunnelBeside
from finial.assemble.air.sections import section_loads
from finial.assemble.air.tunnel_shape import shape_hash
from finial.assemble.air.tunnel_table import tunnel_beside
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.files.tunnel_runs import TunnelRun, read_tunnel_runs
from finial.tunnel_study.plan import flight_reynolds


def beside_sections(vehicle: LoadedVehicle, runs: Iterable[TunnelRun], *, bare: bool = False) -> TunnelBeside:
    """Set runs of a vehicle beside its sections.

    Parameters
    ----------
    vehicle : LoadedVehicle
        As loaded.
    runs : iterable of TunnelRun
        Of any shape.
    bare : bool
        Without the fins of the sheet.

    Returns
    -------
    beside : TunnelBeside
        Angles [rad], stations [m], coefficients [-].
    """
    judged = replace(vehicle, sheet=vehicle.sheet.model_copy(update={"fin": ()})) if bare else vehicle
    # Where it balances moves damping alone, which stands nowhere here.
    own = section_loads(judged, vehicle.skin.length_m / 2.0, (0.0, 0.0))
    shape = shape_hash(vehicle, bare=bare)
    return tunnel_beside(runs, own, shape, flight_reynolds(vehicle))


def kept_beside(vehicle: LoadedVehicle, kept: Path) -> TunnelBeside:
    """Set runs that lie beside a sheet beside its sections, though the sheet does not name them.

    Parameters
    ----------
    vehicle : LoadedVehicle
        As loaded.
    kept : Path
        Their file.

    Returns
    -------
    beside : TunnelBeside
        Nothing flies with it, and the verdict is none of its business.
    """
    beside = beside_sections(vehicle, read_tunnel_runs(kept))
    return replace(beside, state=StudyState.BESIDE) if beside.state is StudyState.HOLDS else beside
