"""Where cuts must stand closer: where the shape changes most, and at a corner that lies on none."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

_CORNER_RAD, _EACH_SIDE_RAD = 0.3, 0.03
"""An outline that turns in by more than the first between two cuts, and by the second at both, has a corner
there: the air follows a turn of 0.33 however sharp."""
_ALONE = 0.25
"""What turns beside a corner by more than this share of its turn is a rounding, not a corner."""


def hidden_corners(stations_m: NDArray[np.float64], areas_m2: ArrayLike) -> NDArray[np.float64]:
    """How far an outline that grows turns in between two cuts, over what a smooth one may.

    Parameters
    ----------
    stations_m : ndarray, shape (n,)
        Rising stations [m].
    areas_m2 : array_like, shape (n,)
        Area cut at each [m^2].

    Returns
    -------
    changes : ndarray, shape (n - 1,)
        As ``finer`` takes them: above 1 a corner lies between two cuts and on neither [-].

    Notes
    -----
    By the radius of the circle of the same area. A corner on a cut turns there alone, and needs no other; a
    dome turns at every cut.

    References
    ----------
    .. [1] Judgement: the limits are those of a lip that the air leaves.

    Examples
    --------
    A cone on a tube, with its shoulder amid two cuts and on one.

    >>> stations = np.array([0.0, 1.0, 2.0, 3.0, 4.0])
    >>> areas = [np.pi * min(x, 1.5) ** 2 for x in stations]
    >>> hidden_corners(stations, areas).round(1).tolist()
    [0.0, 2.6, 0.0, 0.0]
    >>> hidden_corners(stations, [np.pi * min(x, 2.0) ** 2 for x in stations]).tolist()
    [0.0, 0.0, 0.0, 0.0]
    """
    radii = np.sqrt(np.maximum(np.asarray(areas_m2, dtype=float), 0.0) / np.pi)
    angles = np.arctan2(np.maximum(np.diff(radii), 0.0), np.diff(stations_m))
    turns = np.zeros(len(radii))
    turns[1:-1] = np.maximum(angles[:-1] - angles[1:], 0.0)
    both = turns[:-1] + turns[1:]
    beside = np.maximum(np.append(0.0, turns[:-2]), np.append(turns[2:], 0.0))
    corner = (np.minimum(turns[:-1], turns[1:]) > _EACH_SIDE_RAD) & (beside < _ALONE * both)
    return np.where(corner, both / _CORNER_RAD, 0.0)


def finer(
    stations_m: NDArray[np.float64], changes: NDArray[np.float64], smallest_m: float, room: int
) -> NDArray[np.float64]:
    """Midpoints of the spaces over which the shape changes most.

    Parameters
    ----------
    stations_m : ndarray, shape (n,)
        Rising stations [m].
    changes : ndarray, shape (n - 1,)
        How far the change over each space is over its limit [-]: above 1 it is split.
    smallest_m : float
        A space no longer than this is not split [m].
    room : int
        How many stations may be added.

    Returns
    -------
    added_m : ndarray, shape (a,)
        Rising midpoints [m].

    Notes
    -----
    Halves once: call again with the changes found at the new stations.

    References
    ----------
    .. [1] Bisection; definition.

    Examples
    --------
    >>> finer(np.array([0.0, 1.0, 2.0]), np.array([0.5, 3.0]), 0.1, 10).tolist()
    [1.5]
    """
    wide = np.diff(stations_m) > smallest_m
    wanted = np.flatnonzero(wide & (changes > 1.0))
    worst = wanted[np.argsort(-changes[wanted])][: max(room, 0)]
    return np.sort((stations_m[worst] + stations_m[worst + 1]) / 2)
