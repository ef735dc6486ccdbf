"""Thin what runs read on their surfaces to some thousand places, of each wind the finest run."""

from collections import defaultdict
from collections.abc import Iterable, Sequence

import numpy as np
from numpy.typing import NDArray

from finial.tunnel.skin_pressure import middle_pressures, pressures_near, spread_out
from finial.tunnel_study.small_file import Arrays, small_file
from finial.tunnel_study.store import KeptRun
from finial.tunnel_study.surfaces import HUNDREDTHS, NOT_KNOWN, STEPS, SURFACES_TOLD, SurfaceTold

MOST_PLACES = 6000
_APART_CELLS = 1.5
"""Less than the 1.6 cells that the thinnest fin is blown at: both of its sides stay."""
_WIDER = 1.15


def surfaces_bytes(kept: Iterable[KeptRun]) -> bytes:
    """Write the surfaces of all winds that were blown, as a file."""
    by_shape: dict[str, list[KeptRun]] = defaultdict(list)
    for one in kept:
        if len(one.places_m):
            by_shape[one.told.shape].append(one)
    told: list[SurfaceTold] = []
    arrays: Arrays = {}
    for group, shape in enumerate(sorted(by_shape)):
        winds = _winds(by_shape[shape])
        places, apart_m = _thinned(winds[0][0])
        low, size = places.min(axis=0), np.maximum(np.ptp(places, axis=0), np.finfo(np.float32).tiny)
        arrays[f"box{group}"] = np.array([low, size])
        arrays[f"places{group}"] = np.array(np.round((places - low) / size * STEPS), dtype=np.uint16)
        arrays[f"pressures{group}"] = np.array([_in_hundredths(runs[0], places, apart_m) for runs in winds])
        told += [_told(runs, apart_m, group) for runs in winds]
    return small_file(SURFACES_TOLD, tuple(told), arrays)


def _winds(runs: Iterable[KeptRun]) -> list[list[KeptRun]]:
    """Sort runs by wind, the finest first; the wind along the axis first of all."""
    by_wind: dict[tuple[float, float], list[KeptRun]] = defaultdict(list)
    for one in runs:
        by_wind[one.told.angle_rad, one.told.roll_rad].append(one)
    return [sorted(by_wind[wind], key=lambda one: -one.told.cells) for wind in sorted(by_wind)]


def _thinned(run: KeptRun) -> tuple[NDArray[np.float64], float]:
    apart_m = _APART_CELLS * run.told.width_m / run.told.cells
    chosen = spread_out(run.places_m, apart_m)
    while len(chosen) > MOST_PLACES:
        apart_m *= _WIDER
        chosen = spread_out(run.places_m, apart_m)
    return run.places_m[chosen], apart_m


def _in_hundredths(run: KeptRun, places: NDArray[np.float64], apart_m: float) -> NDArray[np.int16]:
    # A run of fewer cells than the first has its places farther apart.
    reach = _APART_CELLS * run.told.width_m / run.told.cells
    middle = middle_pressures(run.places_m, run.pressures, reach)
    known = ~np.isnan(middle)
    found = pressures_near(run.places_m[known], middle[known], places, max(reach, apart_m) / 2.0)
    return np.where(np.isnan(found), NOT_KNOWN, np.round(found * HUNDREDTHS)).astype(np.int16)


def _told(runs: Sequence[KeptRun], apart_m: float, group: int) -> SurfaceTold:
    told = runs[0].told
    return SurfaceTold(
        shape=told.shape,
        bare=told.bare,
        angle_rad=told.angle_rad,
        roll_rad=told.roll_rad,
        cells=told.cells,
        grids=len({one.told.cells for one in runs}),
        apart_m=apart_m,
        group=group,
    )
