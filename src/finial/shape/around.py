"""Lengths round an outline."""

import math

import numpy as np
from numpy.typing import NDArray


def along_outline(loop_m: NDArray[np.float64], roll_rad: float) -> float:
    """Measure along an outline, from where roll angle 0 leaves it to where another does.

    Parameters
    ----------
    loop_m : ndarray, shape (n, 2)
        Corners of the outline, body (y, z) [m].
    roll_rad : float
        Roll angle [rad].

    Returns
    -------
    along_m : float
        From 0 to the girth [m].

    Notes
    -----
    Exact for a polygon round the axis; where a ray leaves the outline more than once the outermost crossing
    counts. Rolls rise from body y towards body z, whichever way the corners run.

    References
    ----------
    .. [1] Lengths of straight lines.

    Examples
    --------
    >>> square = 0.05 * np.array([[1, -1], [1, 1], [-1, 1], [-1, -1]])
    >>> round(along_outline(square, np.pi / 2), 9)
    0.1
    """
    if float(np.sum(loop_m[:, 0] * np.roll(loop_m[:, 1], -1) - loop_m[:, 1] * np.roll(loop_m[:, 0], -1))) < 0:
        loop_m = loop_m[::-1]
    steps = np.linalg.norm(np.roll(loop_m, -1, axis=0) - loop_m, axis=1)
    reached = np.concatenate([[0.0], np.cumsum(steps)])
    girth = float(reached[-1])
    start, end = (_leaves(loop_m, reached, roll) for roll in (0.0, roll_rad))
    return (end - start) % girth


def _leaves(loop_m: NDArray[np.float64], reached_m: NDArray[np.float64], roll_rad: float) -> float:
    """Measure how far along an outline a ray from the axis leaves it for good [m]."""
    along = np.array([math.cos(roll_rad), math.sin(roll_rad)])
    aside = np.array([-along[1], along[0]])
    after = np.roll(loop_m, -1, axis=0)
    first, second = loop_m @ aside, after @ aside
    crossed = np.flatnonzero((first <= 0.0) != (second <= 0.0))
    share = first[crossed] / (first[crossed] - second[crossed])
    points = loop_m[crossed] + share[:, None] * (after[crossed] - loop_m[crossed])
    far = points @ along
    if not len(far) or far.max() <= 0.0:
        return 0.0
    best = int(far.argmax())
    step = float(np.linalg.norm(after[crossed[best]] - loop_m[crossed[best]]))
    return float(reached_m[crossed[best]]) + float(share[best]) * step
