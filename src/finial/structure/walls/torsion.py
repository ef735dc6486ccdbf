"""Torsion along a free body, and the closed tubes of walls that carry it."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from finial.core.doors import require_positive
from finial.core.errors import OutsideRange
from finial.structure.bounds import need_finite
from finial.structure.walls.outline import polygon_moments


@dataclass(frozen=True, slots=True, kw_only=True)
class RollLumps:
    """Inertia about the axis along the body: stations [m] and inertias [kg m^2], (n,) each."""

    stations_m: NDArray[np.float64]
    inertias_kg_m2: NDArray[np.float64]

    def __post_init__(self) -> None:
        """Refuse a body that cannot resist rolling."""
        if self.stations_m.shape != self.inertias_kg_m2.shape or (self.inertias_kg_m2 < 0).any():
            raise OutsideRange("roll inertia needs one number of zero or more for each station")
        require_positive(total_inertia_kg_m2=float(self.inertias_kg_m2.sum()))


def torsion_along(
    body: RollLumps, couples: Sequence[tuple[float, float]], cuts_m: ArrayLike
) -> NDArray[np.float64]:
    r"""Torsion passed through each cut of a body that its own inertia balances.

    .. math::  T(x) = \sum_{s < x} (C_s - I_s \dot p), \qquad \dot p = \sum C / \sum I

    Parameters
    ----------
    body : RollLumps
        Inertia about the axis.
    couples : sequence of (station, couple)
        Couples about the axis [m], [N m].
    cuts_m : array_like, shape (c,)
        Stations [m].

    Returns
    -------
    torsion_n_m : ndarray, shape (c,)
        Torsion just behind each station [N m].

    Raises
    ------
    OutsideRange
        If a couple is not finite or the body has no inertia.

    Notes
    -----
    Holds for a stiff body; it returns to zero behind the last station.

    References
    ----------
    .. [1] D'Alembert's principle about the axis.

    Examples
    --------
    >>> bar = RollLumps(stations_m=np.array([0.0, 1.0]), inertias_kg_m2=np.array([1.0, 3.0]))
    >>> torsion_along(bar, [(1.0, 8.0)], [0.5, 1.0]).tolist()
    [-2.0, 0.0]
    """
    cuts = np.atleast_1d(np.asarray(cuts_m, dtype=float))
    for station, couple in couples:
        need_finite(station_m=station, couple_n_m=couple)
    rate = sum(couple for _, couple in couples) / float(body.inertias_kg_m2.sum())
    ahead = body.stations_m[None, :] <= cuts[:, None]
    torsion = -rate * (ahead * body.inertias_kg_m2).sum(axis=1)
    for station, couple in couples:
        torsion = torsion + couple * (station <= cuts)
    return torsion


@dataclass(frozen=True, slots=True, kw_only=True)
class WallTube:
    """A closed wall: the area its middle line encloses, its thickness and its own area."""

    enclosed_m2: float
    wall_m: float
    area_m2: float

    def __post_init__(self) -> None:
        """Refuse what encloses nothing."""
        require_positive(enclosed_m2=self.enclosed_m2, wall_m=self.wall_m, area_m2=self.area_m2)


def wall_tube(loops: Sequence[NDArray[np.float64]], wall_m: float, area_m2: float) -> WallTube:
    r"""Measure the largest outline of a cut as a closed tube; its middle line lies half a wall inside.

    .. math::  A_m = A - P w / 2 + \pi w^2 / 4

    Parameters
    ----------
    loops : sequence of ndarray, each shape (n, 2)
        Outer outlines of the cut [m].
    wall_m : float
        Thickness of its wall, :math:`w` [m].
    area_m2 : float
        Area of wall in the cut, for the record [m^2].

    Returns
    -------
    tube : WallTube
        Area inside the middle line [m^2].

    Raises
    ------
    OutsideRange
        If the wall is not above zero thick, or an outline has no area.

    Notes
    -----
    Exact for round outlines, a hair small for others; a wall so thick that less than a tenth of the area is
    left counts as a tenth. Outlines beside the largest are left out.

    References
    ----------
    .. [1] Steiner's formula for a parallel outline: any text on geometry.

    Examples
    --------
    >>> box = np.array([[-0.05, -0.05], [0.05, -0.05], [0.05, 0.05], [-0.05, 0.05]])
    >>> round(wall_tube([box], 0.004, 0.001536).enclosed_m2, 6)
    0.009213
    """
    require_positive(wall_m=wall_m)
    best = max(loops, key=lambda loop: abs(polygon_moments(loop)[0]))
    area = abs(polygon_moments(best)[0])
    length = float(np.linalg.norm(best - np.roll(best, -1, axis=0), axis=1).sum())
    # An outline set in by half a wall loses that times its length, and gains a little at its corners.
    enclosed = area - length * wall_m / 2 + math.pi * (wall_m / 2) ** 2
    return WallTube(enclosed_m2=max(enclosed, area / 10), wall_m=wall_m, area_m2=area_m2)
