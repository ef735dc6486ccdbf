"""A study's folder: one file a run, named by what it was asked and by its own checksum.

What is missing is the work list. A file appears whole or not at all; one that is not as it was written
is set aside, and its run is missing again.
"""

import hashlib
import io
import json
import re
import zipfile
import zlib
from collections.abc import Collection
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from pydantic import ValidationError

from finial.core.errors import CampaignError
from finial.core.version import __version__
from finial.files.tunnel_runs import TunnelRun
from finial.files.write import why_not_written, write_atomically
from finial.tunnel.flow import AirSeen
from finial.tunnel.reading import CLEAR_SHARE, in_wind, pressure_round, strongest_swing
from finial.tunnel.records import Blown
from finial.tunnel_study.flows import flow_arrays, flow_from
from finial.tunnel_study.plan import PlannedRun, section_share

RUNS = "runs.json"
"""What a sheet names: all runs of the folder but their pictures."""
_NAME = re.compile(r"run-([0-9a-f]{32})-([0-9a-f]{16})\.npz")
LOCKS = ".held"
_ASIDE = ".damaged"
_ARRAYS = ("history", "history_widths", "places_m", "pressures")
DAMAGE = (OSError, ValueError, KeyError, EOFError, zipfile.BadZipFile, zlib.error, ValidationError)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class KeptRun:
    """A run with what its pictures are drawn from."""

    told: TunnelRun
    history: NDArray[np.float64]
    """Pressure loads through the averaged time, shape (samples, 6)."""
    history_widths: NDArray[np.float64]
    places_m: NDArray[np.float64]
    """Places on the surface (station, across a, across b) [m], shape (p, 3)."""
    pressures: NDArray[np.float64]
    """Mean pressure coefficients there, shape (p,)."""
    flow: AirSeen | None = None
    """Air on planes through the axis; runs of earlier versions have none."""


def as_kept(planned: PlannedRun, blown: Blown, seconds: float) -> KeptRun:
    """Join what a run was asked and what it answered."""
    wind = in_wind(blown, planned.stream, planned.width_m)
    cosine, sine = np.cos(planned.stream.roll_rad), np.sin(planned.stream.roll_rad)
    swing = strongest_swing(blown.history[:, 2] * cosine - blown.history[:, 1] * sine, blown.history_widths)
    told = TunnelRun(
        key=planned.key,
        shape=planned.shape_hash,
        bare=planned.bare,
        angle_rad=planned.stream.angle_rad,
        roll_rad=planned.stream.roll_rad,
        flight_reynolds=planned.stream.reynolds,
        reynolds=blown.reynolds,
        cells=planned.fineness.cells,
        grids=planned.fineness.grids,
        travel_widths=planned.fineness.travel_widths,
        eddies=planned.fineness.eddies,
        conserving=planned.fineness.conserving,
        area_m2=planned.area_m2,
        width_m=planned.width_m,
        version=__version__,
        pressure=tuple(blown.pressure.tolist()),
        pressure_error=tuple(blown.pressure_error.tolist()),
        total=tuple(blown.total.tolist()),
        total_error=tuple(blown.total_error.tolist()),
        force=wind.force.value,
        force_error=wind.force.error,
        aside=wind.aside.value,
        aside_error=wind.aside.error,
        axial_error=wind.axial.error,
        place_m=None if wind.place is None else wind.place.value,
        place_error_m=None if wind.place is None else wind.place.error,
        section_share=section_share(planned),
        wet_cells=blown.wet_cells,
        updates=blown.updates,
        restarts=blown.restarts,
        seconds=seconds,
        strouhal=swing.strouhal if swing and swing.share >= CLEAR_SHARE else None,
        swing=swing.rms if swing else 0.0,
        stations_m=tuple(blown.stations_m.tolist()),
        along=tuple(map(tuple, blown.along.tolist())),
        surface=pressure_round(blown.stations_m, blown.places_m, blown.pressures),
    )
    arrays = {name: np.asarray(getattr(blown, name), dtype=float) for name in _ARRAYS}
    return KeptRun(told=told, flow=blown.flow, **arrays)


def keep(folder: Path, kept: KeptRun) -> Path:
    """Write a run; an interrupted write leaves nothing behind.

    Raises
    ------
    CampaignError
        If the disk is full or the folder cannot be written to; what was kept before stays.
    """
    buffer = io.BytesIO()
    told = np.frombuffer(kept.told.model_dump_json().encode(), dtype=np.uint8)
    arrays = {name: getattr(kept, name).astype(np.float32) for name in _ARRAYS} | flow_arrays(kept.flow)
    np.savez_compressed(buffer, allow_pickle=False, told=told, **arrays)
    content = buffer.getvalue()
    path = folder / f"run-{kept.told.key}-{_checksum(content)}.npz"
    try:
        folder.mkdir(parents=True, exist_ok=True)
        write_atomically(path, content)
    except OSError as error:
        raise CampaignError(
            f"{path} cannot be written: {why_not_written(error)}. What was kept stays"
        ) from error
    return path


def kept_keys(folder: Path) -> frozenset[str]:
    """Keys of the runs that lie in a folder, whole or not."""
    named = (_NAME.fullmatch(path.name) for path in folder.glob("run-*.npz"))
    return frozenset(name[1] for name in named if name)


def read_kept(folder: Path, keys: Collection[str] | None = None) -> tuple[KeptRun, ...]:
    """Read runs of a folder, all or some; a file that is not as it was written is set aside."""
    found: dict[str, KeptRun] = {}
    for path in sorted(folder.glob("run-*.npz")):
        name = _NAME.fullmatch(path.name)
        if name is None or (keys is not None and name[1] not in keys):
            continue
        kept = _read(path, name[2])
        if kept is not None and kept.told.key == name[1]:
            found[name[1]] = kept
    return tuple(found.values())


def _read(path: Path, checksum: str) -> KeptRun | None:
    try:
        content = path.read_bytes()
        if _checksum(content) == checksum:
            with np.load(io.BytesIO(content), allow_pickle=False) as stored:
                told = TunnelRun.model_validate(json.loads(stored["told"].tobytes()))
                arrays = {name: stored[name].astype(float) for name in _ARRAYS}
                return KeptRun(told=told, flow=flow_from(stored), **arrays)
    except DAMAGE:
        pass
    path.replace(path.with_name(path.name + _ASIDE))
    return None


def lock_of(folder: Path, key: str) -> Path:
    """File that the process which blows a run holds meanwhile."""
    return folder / LOCKS / key


def _checksum(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()[:16]
