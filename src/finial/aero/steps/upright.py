"""Faces and ridges that lean a little, as they would stand upright."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

_BESIDE_M = 20e-6
"""Distance of a section from the middle of the step that it stands beside [m]."""
_STEP_M = 2.6 * _BESIDE_M
"""Sections closer than this stand on both sides of a step or of a place where outlines join [m]."""


def stood_upright(
    stations_m: NDArray[np.float64],
    tensors_m2: NDArray[np.float64],
    leaning_m: Sequence[tuple[float, float]],
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    r"""Draw the sections beside each stretch that a leaning face takes up to its middle.

    .. math::  A(x_m) = 2 A(x_i) - A(2 x_i - x_m)

    Parameters
    ----------
    stations_m : ndarray, shape (n,)
        Rising stations [m].
    tensors_m2 : ndarray, shape (n, 2, 2)
        Added mass of each section [m^2].
    leaning_m : sequence of tuple
        First and last station of each stretch [m].

    Returns
    -------
    stations_m : ndarray, shape (n,)
        The same, those beside a stretch 20 um off its middle [m].
    tensors_m2 : ndarray, shape (n, 2, 2)
        Those carried on as the outline beside them goes, never below nothing [m^2].

    Notes
    -----
    A face of a mesh that leans by an angle is spread over the angle times its width, and stands where it
    stood: the first order of the angle is gone. Stretches with a section inside stay as they are. The outline
    beside a stretch is looked at as far as it is drawn on, however close the cuts stand; less is drawn where
    a step or another stretch ends it sooner, and no farther than to what stands on the other side.

    References
    ----------
    .. [1] Linear extrapolation, no source.

    Examples
    --------
    A cone with a flat top and a flat base, both spread over 2 mm.

    >>> stations = np.array([0.002, 0.1, 0.298])
    >>> size = np.pi * np.eye(2) * (0.05 + stations / 10)[:, None, None]
    >>> at, drawn = stood_upright(stations, size, [(0.0, 0.002), (0.298, 0.3)])
    >>> at.round(3).tolist(), (drawn[:, 0, 0] / np.pi).round(4).tolist()
    ([0.001, 0.1, 0.299], [0.0501, 0.06, 0.0799])
    """
    stations, tensors = stations_m.copy(), tensors_m2.copy()
    last = len(stations) - 1
    stretches = _disjoint(leaning_m)
    broken = _broken(stations_m, stretches)
    for fore, aft in stretches:
        before = int(np.searchsorted(stations_m, fore + 1e-9)) - 1
        after = int(np.searchsorted(stations_m, aft - _BESIDE_M))
        middle = (fore + aft) / 2
        if after != before + 1:
            continue
        if before >= 0:
            stations[before] = middle - _BESIDE_M * (after <= last)
            first = int(np.flatnonzero(broken[: before + 1])[-1])
            own = slice(first, before + 1)
            beyond = (tensors_m2[after], tensors[after]) if after <= last else None
            tensors[before] = _carried_on(stations_m[own], tensors_m2[own], float(stations[before]), beyond)
        if after <= last:
            stations[after] = middle + _BESIDE_M * (before >= 0)
            ends = np.flatnonzero(broken[after + 1 :])
            own = slice(after, after + 1 + int(ends[0]))
            beyond = (tensors_m2[before], tensors[before]) if before >= 0 else None
            tensors[after] = _carried_on(
                -stations_m[own][::-1], tensors_m2[own][::-1], -float(stations[after]), beyond
            )
    return stations, tensors


def _broken(stations_m: NDArray[np.float64], stretches: Sequence[tuple[float, float]]) -> NDArray[np.bool_]:
    """Whether a step or a stretch parts each section from the one before it, and the end from nothing."""
    gaps = np.diff(stations_m)
    parted = gaps < _STEP_M
    for fore, aft in stretches:
        parted |= (stations_m[:-1] < fore + 1e-9) & (stations_m[1:] > aft - _BESIDE_M)
    return np.concatenate([[True], parted, [True]])


def _disjoint(stretches: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """Stretches in order, those that overlap as one."""
    found: list[tuple[float, float]] = []
    for fore, aft in sorted(stretches):
        if found and fore <= found[-1][1] + 2 * _BESIDE_M:
            found[-1] = found[-1][0], max(aft, found[-1][1])
        else:
            found.append((fore, aft))
    return found


def _carried_on(
    stations_m: NDArray[np.float64],
    tensors_m2: NDArray[np.float64],
    at_m: float,
    beyond_m2: tuple[NDArray[np.float64], NDArray[np.float64]] | None,
) -> NDArray[np.float64]:
    """Carry added mass on past the last of a run as it comes there; less where the run is shorter.

    Beyond it stands another, as it was cut and as it is drawn.
    """
    run, far = float(stations_m[-1] - stations_m[0]), at_m - float(stations_m[-1])
    back = min(far, run)
    there = np.empty((2, 2))
    for row, column in np.ndindex(2, 2):
        there[row, column] = np.interp(stations_m[-1] - back, stations_m, tensors_m2[:, row, column])
    share = 1.0 if far <= run else max(2.0 - far / run, 0.0) if run else 0.0
    change = share * (tensors_m2[-1] - there)
    drawn = tensors_m2[-1] + change
    if beyond_m2 is not None:
        # What gapes behind a crotch does so ever faster: both sides meet, and neither goes past the other.
        most = float(np.linalg.norm(beyond_m2[0] - tensors_m2[-1]))
        meets = min(max(2.0 * float(np.linalg.norm(change)) / max(most, 1e-300) - 1.0, 0.0), 1.0)
        drawn = (1.0 - meets) * drawn + meets * beyond_m2[1]
    values, axes = np.linalg.eigh(drawn)
    return (axes * np.maximum(values, 0.0)) @ axes.T
