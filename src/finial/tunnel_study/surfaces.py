"""Surface pressures of a study's runs in one small file, to be drawn on the shape and shipped with a sheet.

Places are kept to a 65,000th of the shape, coefficients to a hundredth; all winds of a shape share places.
"""

import io
import json
import zipfile
import zlib
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from pydantic import BaseModel, ConfigDict, TypeAdapter, ValidationError

from finial.core.errors import CampaignError, MissingData
from finial.files.tunnel_runs import Count, Hash, Positive

SURFACES = "surfaces.npz"
STEPS = 65_535
HUNDREDTHS = 100.0
NOT_KNOWN = np.iinfo(np.int16).min
_DAMAGE = (
    OSError, ValueError, KeyError, IndexError, EOFError, zipfile.BadZipFile, zlib.error, ValidationError,
)  # fmt: skip


class SurfaceTold(BaseModel):
    """What a kept surface is of."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)

    shape: Hash
    bare: bool
    """Without the fins of the sheet."""
    angle_rad: float
    roll_rad: float
    cells: Positive
    """Of the finest grid to a width."""
    grids: Count
    """Runs of the same wind, each on a grid of its own."""
    apart_m: Positive
    """No two places are nearer to each other."""
    group: Count
    """Which places: those of one shape are the same."""


SURFACES_TOLD = TypeAdapter(tuple[SurfaceTold, ...])


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class KeptSurface:
    """Mean pressure on the surface of one run."""

    told: SurfaceTold
    places_m: NDArray[np.float64]
    """Station aft of the tip, across a, across b [m], shape (p, 3)."""
    pressures: NDArray[np.float64]
    """Pressure coefficients there [-], shape (p,); not a number: not known."""


def read_surfaces(folder: Path) -> tuple[KeptSurface, ...]:
    """Read the surfaces that a folder keeps; none where there is no such file.

    Raises
    ------
    CampaignError
        If the file is not as it was written.
    """
    path = folder / SURFACES
    if not path.is_file():
        return ()
    try:
        with np.load(io.BytesIO(path.read_bytes()), allow_pickle=False) as stored:
            told = SURFACES_TOLD.validate_python(json.loads(stored["told"].tobytes()))
            return tuple(_surfaces(told, stored))
    except _DAMAGE as error:
        raise CampaignError(
            f"{path} is not as it was written: run `finial tunnel` again, it writes it anew"
        ) from error


def surfaces_of(shape: str, folder: Path) -> tuple[KeptSurface, ...]:
    """Read the surfaces that a folder keeps of one shape; the same records as long as the file stays.

    Raises
    ------
    MissingData
        If it keeps none, or of other shapes alone.
    CampaignError
        If their file is not as it was written.
    """
    try:
        state = (folder / SURFACES).stat()
    except OSError as error:
        raise MissingData("no pressure on the surface is kept yet") from error
    own = _of_shape(shape, folder, (state.st_mtime_ns, state.st_size))
    if not own:
        raise MissingData("the pressures that are kept are of another shape")
    return own


@lru_cache(maxsize=4)
def _of_shape(shape: str, folder: Path, _state: tuple[int, int]) -> tuple[KeptSurface, ...]:
    return tuple(one for one in read_surfaces(folder) if one.told.shape == shape)


def _surfaces(told: Sequence[SurfaceTold], stored: Any) -> Iterator[KeptSurface]:
    seen: dict[int, int] = defaultdict(int)
    for one in told:
        low, size = stored[f"box{one.group}"]
        places = low + stored[f"places{one.group}"] / STEPS * size
        hundredths = stored[f"pressures{one.group}"][seen[one.group]]
        seen[one.group] += 1
        pressures = np.where(hundredths == NOT_KNOWN, np.nan, hundredths / HUNDREDTHS)
        if places.shape != (len(pressures), 3) or not np.isfinite(places).all():
            raise ValueError("places and pressures are not of one surface")
        yield KeptSurface(told=one, places_m=places, pressures=pressures)
