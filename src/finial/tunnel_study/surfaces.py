"""Surface pressures of a study's runs in one small file, to be drawn on the shape and shipped with a sheet.

Places are kept to a 65,000th of the shape, coefficients to a hundredth; all winds of a shape share places.
"""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from pydantic import TypeAdapter

from finial.files.tunnel_runs import Count, Positive
from finial.tunnel_study.small_file import WindTold, kept_of_shape, read_small_file

SURFACES = "surfaces.npz"
STEPS = 65_535
HUNDREDTHS = 100.0
NOT_KNOWN = np.iinfo(np.int16).min


class SurfaceTold(WindTold):
    """What a kept surface is of."""

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
    return read_small_file(folder / SURFACES, SURFACES_TOLD, _surfaces)


def surfaces_of(shape: str, folder: Path) -> tuple[KeptSurface, ...]:
    """Read the surfaces that a folder keeps of one shape; the same records as long as the file stays.

    Raises
    ------
    MissingData
        If it keeps none, or of other shapes alone.
    CampaignError
        If their file is not as it was written.
    """
    none, others = (
        "no pressure on the surface is kept yet",
        "the pressures that are kept are of another shape",
    )
    return kept_of_shape(shape, folder / SURFACES, read_surfaces, none=none, others=others)


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
