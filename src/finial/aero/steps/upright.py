"""Faces and ridges that lean a little, as they would stand upright."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

_BESIDE_M = 20e-6
"""Distance of a section from the middle of the step that it stands beside [m]."""


def stood_upright(
    stations_m: NDArray[np.float64],
    tensors_m2: NDArray[np.float64],
    leaning_m: Sequence[tuple[float, float]],
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    r"""Draw the sections beside each stretch that a leaning face takes up to its middle.

    .. math::  A(x_m) = A_i + (A_i - A_{i \pm 1}) \frac{x_m - x_i}{x_i - x_{i \pm 1}}

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
        Those carried on as their neighbours go, never below nothing [m^2].

    Notes
    -----
    A face of a mesh that leans by an angle is spread over the angle times its width, and stands where it
    stood: the first order of the angle is gone. Stretches with a section inside stay as they are.

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
    for fore, aft in _disjoint(leaning_m):
        before = int(np.searchsorted(stations_m, fore + 1e-9)) - 1
        after = int(np.searchsorted(stations_m, aft - _BESIDE_M))
        middle = (fore + aft) / 2
        if after != before + 1:
            continue
        for index, neighbour, at in (
            (before, before - 1, middle - _BESIDE_M * (after <= last)),
            (after, after + 1, middle + _BESIDE_M * (before >= 0)),
        ):
            if min(index, neighbour) >= 0 and max(index, neighbour) <= last:
                tensors[index] = _carried_on(
                    stations_m[[neighbour, index]], tensors_m2[[neighbour, index]], at
                )
            if 0 <= index <= last:
                stations[index] = at
    return stations, tensors


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
    pair_m: NDArray[np.float64], tensors_m2: NDArray[np.float64], at_m: float
) -> NDArray[np.float64]:
    """Carry added mass on from the first of a pair past the second; not from one step to the next."""
    gap = float(pair_m[1] - pair_m[0])
    share = (at_m - float(pair_m[1])) / gap if gap else 0.0
    share = min(share, max(2.0 - share, 0.0))
    values, axes = np.linalg.eigh(tensors_m2[1] + share * (tensors_m2[1] - tensors_m2[0]))
    return (axes * np.maximum(values, 0.0)) @ axes.T
