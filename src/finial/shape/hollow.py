"""A solid made hollow: everything deeper than a wall under its surface taken out."""

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from finial.core.doors import require_positive
from finial.core.errors import OutsideRange
from finial.shape.united import Body

_SAMPLES_A_WALL = 4.0
"""Places on the surface lie a wall over this apart [-]: that leaves walls thin by 1.6 % at most."""
_STEPS_A_WALL = 2.0
"""Depths are known so often through a wall [-]; chosen."""
_MOST_PLACES = 1_500_000
"""Places whose depth is found [-]: a few seconds."""
_DEEP_WALLS = 3.0
"""Deeper than so many walls all depths are alike [-]."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Hollowed:
    """A hollow solid, and how its walls came out."""

    solid: Body
    cavity_m3: float
    cavities: int
    thinnest_m: float
    """Of the walls at every corner of the cavity [m]."""
    middle_m: float
    """Half the corners have more wall, half less [m]."""


def hollowed(solid: Body, wall_m: float) -> Hollowed:
    r"""Take out of a solid all that lies deeper than a wall.

    .. math::  C = \{ p \in S : \min_{q \in \partial S} |p - q| > w \}

    Parameters
    ----------
    solid : manifold3d.Manifold
        A closed solid [m].
    wall_m : float
        Wall to leave, w [m].

    Returns
    -------
    made : Hollowed
        The hollow solid, its cavities, and the walls as they came out.

    Raises
    ------
    OutsideRange
        If the wall is not above zero, too thin for the size of the solid, or leaves no room within.

    Notes
    -----
    Depths are those from places on the surface a quarter wall apart, known on a grid of half a wall and
    straight between: the middle wall comes out within 1 %, the thinnest within 8 %, corners of the cavity are
    rounded by a quarter of the grid. The cavities are closed: nothing gets in or out, and the printer bridges
    their roofs.

    References
    ----------
    .. [1] A. Doi and A. Koide, An efficient method of triangulating equi-valued surfaces by using tetrahedral
       cells, IEICE Transactions E74 (1991) 214, from memory; the library is manifold3d.

    Examples
    --------
    >>> import manifold3d
    >>> made = hollowed(manifold3d.Manifold.cube((0.02, 0.02, 0.02)), 0.002)
    >>> abs(made.cavity_m3 / 0.016**3 - 1) < 0.01, made.cavities
    (True, 1)
    """
    import manifold3d

    require_positive(wall_m=wall_m)
    bounds: NDArray[np.float64] = np.array(solid.bounding_box()).reshape(2, 3)
    sides: NDArray[np.float64] = np.ptp(bounds, axis=0)
    step = max(wall_m / _STEPS_A_WALL, (float(sides.prod()) / _MOST_PLACES) ** (1 / 3))
    if step > wall_m:
        raise OutsideRange(
            f"a wall of {1e3 * wall_m:.2f} mm is too thin for a body this large: {1e3 * step:.2f} mm at least"
        )
    # The library breaks down on a grid of a million places whose first axis is not its longest.
    turn = np.roll(np.eye(3), -int(sides.argmax()), axis=0)
    lying = solid.transform(_placed(turn))
    bounds = bounds @ turn.T
    surface = _places_on(lying, wall_m / _SAMPLES_A_WALL)
    depth = _depths(surface, bounds, step, _DEEP_WALLS * wall_m)
    drawn: Any = manifold3d.Manifold.level_set(depth, bounds.ravel().tolist(), step, wall_m)
    # The level lies inside the solid and outside of it: what is outside goes.
    cavity = drawn ^ lying
    if cavity.is_empty():
        raise OutsideRange(f"nothing of it lies deeper than {1e3 * wall_m:.2f} mm: no room for a cavity")
    walls = _nearest(surface, np.asarray(cavity.to_mesh64().vert_properties)[:, :3])
    return Hollowed(
        solid=solid - cavity.transform(_placed(turn.T)),
        cavity_m3=float(cavity.volume()),
        cavities=len(cavity.decompose()),
        thinnest_m=float(walls.min()),
        middle_m=float(np.median(walls)),
    )


def _placed(turn: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.hstack([turn, np.zeros((3, 1))])


def _places_on(solid: Body, apart_m: float) -> Any:
    """Return places all over the surface, as a tree to find the nearest in."""
    from scipy.spatial import KDTree

    return KDTree(np.asarray(solid.refine_to_length(apart_m).to_mesh64().vert_properties)[:, :3])


def _nearest(surface: Any, places: NDArray[np.float64], most_m: float = math.inf) -> NDArray[np.float64]:
    found: Any = surface.query(places, distance_upper_bound=most_m)[0]
    return np.minimum(np.asarray(found, dtype=np.float64), most_m)


def _depths(
    surface: Any, bounds: NDArray[np.float64], step: float, most_m: float
) -> Callable[[float, float, float], float]:
    """Return the distance from the surface at a place, straight between the places of a grid."""
    counts = [int(count) for count in np.ceil(np.ptp(bounds, axis=0) / step) + 3]
    axes = [low - step + step * np.arange(count) for low, count in zip(bounds[0], counts, strict=True)]
    places = np.stack(np.meshgrid(*axes, indexing="ij"), axis=-1).reshape(-1, 3)
    known = _nearest(surface, places, most_m).reshape(counts).tolist()
    first = [float(axis[0]) for axis in axes]
    last = [count - 2 for count in counts]

    def depth(x: float, y: float, z: float) -> float:
        # Plain numbers: the library asks for one place at a time, a million times.
        u, v, w = (x - first[0]) / step, (y - first[1]) / step, (z - first[2]) / step
        i, j, k = min(max(int(u), 0), last[0]), min(max(int(v), 0), last[1]), min(max(int(w), 0), last[2])
        u, v, w = u - i, v - j, w - k
        near, far = known[i], known[i + 1]
        a, b, c, d = near[j], near[j + 1], far[j], far[j + 1]
        return (1 - u) * ((1 - v) * _mixed(a, k, w) + v * _mixed(b, k, w)) + u * (
            (1 - v) * _mixed(c, k, w) + v * _mixed(d, k, w)
        )

    return depth


def _mixed(row: list[float], at: int, share: float) -> float:
    return row[at] * (1.0 - share) + row[at + 1] * share
