"""Fins as they stand in a section: their roll angles, and their lines from skin to tip."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from finial.shape.fin_set import FinSet


def fin_rolls(fins: FinSet) -> NDArray[np.float64]:
    """Roll angle of each fin of a set.

    Parameters
    ----------
    fins : FinSet
        The set.

    Returns
    -------
    rolls_rad : ndarray, shape (count,)
        From the first on, evenly round the axis [rad].

    Notes
    -----
    Exact; the last ones may lie beyond one turn.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> square = np.array([[0.0, 0.0], [0.0, 0.1], [0.1, 0.1], [0.1, 0.0]])
    >>> two = FinSet(name="two", outline_m=square, station_m=0.8, root_radius_m=0.05, count=2,
    ...              first_at_rad=0.0, thickness_m=0.003)
    >>> (fin_rolls(two) / np.pi).tolist()
    [0.0, 1.0]
    """
    return np.array(fins.rolls_rad)


def _reach(loops: Sequence[NDArray[np.float64]], direction: NDArray[np.float64]) -> float:
    """Distance from the axis to where a ray last leaves the outlines [m]; 0 if it misses."""
    farthest = 0.0
    aside = np.array([-direction[1], direction[0]])
    for loop in loops:
        ahead, across = loop @ direction, loop @ aside
        next_ahead, next_across = np.roll(ahead, -1), np.roll(across, -1)
        crosses = (across <= 0) != (next_across <= 0)
        share = across[crosses] / (across[crosses] - next_across[crosses])
        hits = ahead[crosses] + share * (next_ahead[crosses] - ahead[crosses])
        farthest = max(farthest, float(hits.max(initial=0.0)))
    return farthest


def fin_plates(fins: FinSet, loops: Sequence[NDArray[np.float64]]) -> list[NDArray[np.float64]]:
    """Fins as lines from the skin to their tips, in the section's plane.

    Parameters
    ----------
    fins : FinSet
        The set.
    loops : sequence of ndarray, each shape (n, 2)
        Outer outlines of the section the fins stand on [m].

    Returns
    -------
    plates : list of ndarray, each shape (2, 2)
        Root and tip of each fin [m]; none for a fin that ends inside the skin.

    Notes
    -----
    Exact for fins that stand radially.

    References
    ----------
    .. [1] Plain geometry.

    Examples
    --------
    >>> from finial.aero.sections.outlines import regular_polygon
    >>> outline = np.array([[0.0, 0.0], [0.0, 1.0], [1.0, 1.0], [1.0, 0.0]])
    >>> two = FinSet(name="two", outline_m=outline, station_m=8.0, root_radius_m=1.0, count=2,
    ...              first_at_rad=0.0, thickness_m=0.01)
    >>> fin_plates(two, [regular_polygon(4, 2.0, np.pi / 4)])[0].round(9).tolist()
    [[1.0, 0.0], [2.0, 0.0]]
    """
    tip = fins.root_radius_m + float(fins.outline_m[:, 1].max())
    plates: list[NDArray[np.float64]] = []
    line = np.array(fins.offset_m)
    around = [loop - line for loop in loops]
    for roll in fin_rolls(fins):
        direction = np.array([np.cos(roll), np.sin(roll)])
        root = _reach(around, direction)
        if root < tip * (1 - 1e-6):
            plates.append(line + np.array([root * direction, tip * direction]))
    return plates
