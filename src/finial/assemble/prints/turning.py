# pyright: reportUnknownMemberType=false, reportUnknownVariableType=false, reportUnknownArgumentType=false
# The types of shapely's functions leave their keywords, and what comes out of them, open.
"""Which way the layers of a part run, and whether it must be cut along its length to fit the bed."""

import math
from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from finial.assemble.prints.barred import Beside
from finial.assemble.vehicle.loading import PlacedPart
from finial.core.frames import body_from_mesh
from finial.printing.bed import pieces_on_bed
from finial.printing.frames import Region
from finial.printing.turns import Bed, fits_flat, lying
from finial.shape.mesh import Mesh

Direction = tuple[float, float, float]
Ways = tuple[Direction, Direction]
_AXES = "xyz"
_ROLL_STEP_DEG = 5


def ways_up(part: PlacedPart, up: str) -> Ways:
    """Give both directions of body axes that may point up [-], by the axis its layers are stacked along."""
    axis = _AXES.index(part.spec.print.layers_along) if part.spec.print else _AXES.index(up[-1])
    return _both(up, axis)


def _both(up: str, axis: int) -> Ways:
    along = np.abs(body_from_mesh(up)[:, axis])
    one = (float(along[0]), float(along[1]), float(along[2]))
    return one, (-one[0], -one[1], -one[2])


def best_ways(part: PlacedPart, bored: Mesh, up_and_bed: tuple[str, Bed], weak: bool) -> Ways:
    """Choose the axis that the layers of a part are stacked along, unless the sheet says it.

    Parameters
    ----------
    part : PlacedPart
        The part.
    bored : Mesh
        The same with its holes taken out [m].
    up_and_bed : tuple of str and tuple of float
        Mesh axis that points to the tip; two sides of the bed and its height [m].
    weak : bool
        Whether layers stacked along the body would pull apart under its loads: then it lies down if it can.

    Returns
    -------
    ways : tuple of tuple of float
        Both directions of body axes that may point up [-].
    """
    up, bed_m = up_and_bed
    said = part.spec.print is None or "layers_along" in part.spec.print.model_fields_set
    if said:
        return ways_up(part, up)
    size: NDArray[np.float64] = np.ptp(bored.vertices_m @ body_from_mesh(up), axis=0)

    def bother(axis: int) -> tuple[bool, int, float]:
        ways = _both(up, axis)
        pieces = pieces_on_bed((float(size[0]), float(size[1]), float(size[2])), bed_m, axis)
        least = min(lying(bored, way, bed_m).bother_m2 for way in ways)
        return weak and abs(ways[0][0]) == 1.0, pieces, least

    return _both(up, min(range(3), key=bother))


def rolls_to_cut(
    part: PlacedPart, flat_m: NDArray[np.float64], bed_m: Bed, beside: Sequence[Beside]
) -> tuple[float, ...] | None:
    """Find rolls that cuts along the body face so that every piece fits the bed across.

    Parameters
    ----------
    part : PlacedPart
        The part.
    flat_m : ndarray, shape (n, 2)
        Corners of what does not fit as it stands, seen along the axis: body y and z [m].
    bed_m : tuple of float
        Two sides and the height [m].
    beside : sequence of Beside
        What a cut keeps away from.

    Returns
    -------
    rolls_rad : tuple of float or None
        ``None`` where no quarters of it fit [rad].
    """
    near = [line for line in beside if _overlap(line.stations_m, part.span_m)]
    good = [rolls for rolls in _choices() if _all_fit(flat_m, rolls, bed_m) and _room(rolls, near) > 0.0]
    if not good:
        return None
    fewest = min(len(rolls) for rolls in good)
    return max((rolls for rolls in good if len(rolls) == fewest), key=lambda rolls: _room(rolls, near))


def _choices() -> Iterator[tuple[float, ...]]:
    for roll in np.radians(np.arange(0, 180, _ROLL_STEP_DEG)).tolist():
        yield (roll,)
        if roll < math.pi / 2:
            yield (roll, roll + math.pi / 2)


def _overlap(one: tuple[float, float], other: tuple[float, float]) -> bool:
    return one[0] < other[1] and one[1] > other[0]


def _room(rolls: Sequence[float], near: Sequence[Beside]) -> float:
    """Least play between a cut and what it must keep away from [m]."""
    return min(
        (
            abs(line.place_m[0] * math.cos(roll) + line.place_m[1] * math.sin(roll)) - line.keep_m
            for roll in rolls
            for line in near
        ),
        default=1.0,
    )


def _all_fit(flat: NDArray[np.float64], rolls: Sequence[float], bed_m: Bed) -> bool:
    import shapely

    pieces = [shapely.convex_hull(shapely.multipoints(flat))]
    for roll in rolls:
        pieces = [half for one in pieces for half in _halves(one, roll)]
    return all(fits_flat(np.asarray(shapely.get_coordinates(one)), bed_m) for one in pieces)


def _halves(hull: Region, roll: float) -> Iterator[Region]:
    import shapely
    import shapely.affinity

    half = shapely.box(0.0, -10.0, 10.0, 10.0)
    for turn in (roll, roll + math.pi):
        side = shapely.intersection(hull, shapely.affinity.rotate(half, turn, (0.0, 0.0), use_radians=True))
        if not shapely.is_empty(side):
            yield side
