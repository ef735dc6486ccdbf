"""Runs of the tunnel as they are kept for a sheet: what each was asked, what it read, how well."""

import json
import math
from collections.abc import Iterable
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from finial.core.errors import BuildSheetError, Fault
from finial.core.version import __version__
from finial.files.source import read_text

RUNS_SUFFIXES = (".json",)
_WANTED = "the runs that `finial tunnel` keeps"
_DEEPEST_SHOWN = 3
Positive = Annotated[float, Field(gt=0.0)]
Count = Annotated[int, Field(ge=0)]
Hash = Annotated[str, Field(pattern="^[0-9a-f]{32}$")]
Six = Annotated[tuple[float, ...], Field(min_length=6, max_length=6)]
Three = Annotated[tuple[float, ...], Field(min_length=3, max_length=3)]


class TunnelRun(BaseModel):
    """One run: loads are over dynamic pressure and the area, not corrected for the tunnel's walls."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False, strict=False)

    key: Hash
    """Of everything that it was asked."""
    shape: Hash
    bare: bool = False
    """Without the fins of the sheet."""
    angle_rad: Annotated[float, Field(ge=0.0, le=math.pi)]
    roll_rad: Annotated[float, Field(ge=0.0, lt=2.0 * math.pi)]
    flight_reynolds: Positive
    reynolds: Positive
    """That the lattice ran at, on the width."""
    cells: Positive
    """Of the finest grid to a width."""
    grids: Count
    travel_widths: Positive
    """That was averaged."""
    eddies: Literal["smagorinsky", "vreman"] = "smagorinsky"
    """Whose model told the friction of eddies smaller than a cell."""
    conserving: bool = False
    """Whether air and momentum passed between its grids without loss."""
    area_m2: Positive
    width_m: Positive
    version: Annotated[str, Field(max_length=100)]
    pressure: Six
    """Aft, across a, across b; moments about the tip over the width about the axis, a, b [-]."""
    pressure_error: Six
    total: Six
    """With the lattice's own friction, which is far too large."""
    total_error: Six
    force: float
    """Along the cross wind [-]."""
    force_error: Annotated[float, Field(ge=0.0)]
    aside: float
    """Across it [-]."""
    aside_error: Annotated[float, Field(ge=0.0)]
    axial_error: Annotated[float, Field(ge=0.0)] | None = None
    """Of the first of the pressure loads, with what a run still drifts by [-]; ``None``: by batches alone."""
    place_m: float | None
    """Station of the centre of pressure [m]; ``None`` where there is no force."""
    place_error_m: Annotated[float, Field(ge=0.0)] | None
    section_share: Annotated[float, Field(ge=0.0, le=0.15)]
    """The area over the section of the tunnel [-]."""
    wet_cells: Count
    updates: Annotated[float, Field(ge=0.0)]
    restarts: Count
    seconds: Annotated[float, Field(ge=0.0)]
    strouhal: Positive | None = None
    """Of the strongest swing of the force across the wind, on the width [-]; ``None``: no clear one."""
    swing: Annotated[float, Field(ge=0.0)] = 0.0
    """Root mean square of that force about its mean [-]."""
    stations_m: tuple[float, ...]
    along: tuple[Three, ...]
    """Mean loads of each slice between two stations [-]."""
    surface: tuple[Three | None, ...] = ()
    """Pressure coefficient round each slice: mean, least, largest [-]; empty in runs without it."""


class _File(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)

    finial: str
    vehicle: str
    runs: tuple[TunnelRun, ...]


def own_folder(sheet: Path) -> Path:
    """Folder that runs of a sheet are kept in where no other is named."""
    return sheet.with_name(f"{sheet.stem}-tunnel")


def read_tunnel_runs(path: Path) -> tuple[TunnelRun, ...]:
    """Read the runs of a tunnel's study.

    Raises
    ------
    BuildSheetError
        If the file is not there, too large, no JSON, or holds something else than runs.
    """
    text = read_text(path, wanted=_WANTED)
    try:
        return _File.model_validate(json.loads(text)).runs
    except ValidationError as error:
        first = error.errors()[0]
        where = ".".join(str(step) for step in first["loc"][:_DEEPEST_SHOWN]) or "the file"
        raise _refused(path, f"{where}: {first['msg']}") from error
    except (ValueError, RecursionError) as error:
        raise _refused(path, str(error)) from error


def tunnel_runs_text(vehicle: str, runs: Iterable[TunnelRun]) -> str:
    """Write runs as a file of their own, in an order that does not hang on when they were blown."""
    ordered = sorted(runs, key=lambda run: (run.shape, run.angle_rad, run.roll_rad, run.cells, run.key))
    told: dict[str, Any] = {
        "finial": __version__,
        "vehicle": vehicle,
        "runs": [run.model_dump(mode="json") for run in ordered],
    }
    return json.dumps(told, indent=1, ensure_ascii=False) + "\n"


def _refused(path: Path, given: str) -> BuildSheetError:
    slip = "run `finial tunnel` again: it writes the file anew from the runs that it kept"
    return BuildSheetError(
        [Fault(file=str(path), field="runs", given=given, accepted=_WANTED, likely_slip=slip)]
    )
