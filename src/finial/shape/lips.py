"""Lips of rounded outlines: where the air leaves between two cuts."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from finial.shape.skin import Section

STREAMLINE_SLOPE = 1.0 / 6.0
"""How fast the streamline that leaves a lip closes in on the body [-]; common practice for
reattachment six step heights behind a backward step (from memory of Eaton and Johnston,
AIAA Journal 19, 1981: five to eight step heights)."""
_KNOWN_RADII = 0.01
"""A lip is known well enough to so many of the largest radius: what the air leaves there is then known to
three thousandths."""
_TURNS_RAD, _TURNS_SHARE = 0.03, 0.25
"""A lip beside which the outline turns by less than either is a corner; the second of the lip's turn."""
_FACET_RAD = 0.1
"""What turns by less than this is a rounding's facet, wherever the next one is."""
_TURNED = np.linspace(0.0, np.pi, 36, endpoint=False)


def reach_m(section: Section) -> float:
    r"""Radius of the circle that would move nearly as much air as a section.

    .. math::  r = \sqrt{\sum_l \overline{w_l^2(\theta)}}

    Parameters
    ----------
    section : Section
        Outlines, each with half spans :math:`w_l` across the directions :math:`\theta` [m].

    Returns
    -------
    radius_m : float
        Radius [m].

    Notes
    -----
    Of a circle, an ellipse and a plate that of the same mean added mass; of a square 4 % less. Outlines side
    by side count each for itself.

    References
    ----------
    .. [1] J. N. Newman, Marine Hydrodynamics, 1977, table 4.3: an ellipse (from memory).

    Examples
    --------
    >>> from finial.shape.skin import Section
    >>> plate = np.array([[0.0, 0.0], [2.0, 0.0], [2.0, 1e-9], [0.0, 1e-9]])
    >>> cut = Section(station_m=0.0, loops=(plate,), area_m2=0.0, perimeter_m=4.0, centroid_m=(1.0, 0.0))
    >>> round(reach_m(cut) ** 2, 3)
    0.5
    """
    across = np.vstack([np.cos(_TURNED), np.sin(_TURNED)])
    spans = np.array([np.ptp(loop @ across, axis=0) for loop in section.loops]) / 2.0
    return float(np.sqrt(np.sum(np.mean(spans**2, axis=-1)))) if len(spans) else 0.0


def hidden_lips(stations_m: NDArray[np.float64], radii_m: ArrayLike) -> NDArray[np.float64]:
    """How far apart the cuts lie between which the air leaves a rounded outline, over what is close enough.

    Parameters
    ----------
    stations_m : ndarray, shape (n,)
        Rising stations [m].
    radii_m : array_like, shape (n,)
        How far the outline cut at each reaches, as ``reach_m`` has it [m].

    Returns
    -------
    changes : ndarray, shape (n - 1,)
        Above 1 the space is to be halved [-]; nothing away from lips.

    Notes
    -----
    The air leaves where the outline falls by more than 1 in 6; not in dead air, and a corner on a
    cut is where it is.

    References
    ----------
    .. [1] J. K. Eaton, J. P. Johnston, AIAA Journal 19, 1981 (from memory): the slope.

    Examples
    --------
    The back of a dome, and of a cone on a tube, both a metre wide.

    >>> stations = np.linspace(0.0, 0.5, 6)
    >>> hidden_lips(stations, np.sqrt(0.25 - stations**2)).round(1).tolist()
    [20.0, 20.0, 0.0, 0.0, 0.0]
    >>> hidden_lips(stations, [min(0.5, 0.7 - x) for x in stations]).tolist()
    [0.0, 0.0, 0.0, 0.0, 0.0]
    """
    radii = np.asarray(radii_m, dtype=float)
    run = np.diff(stations_m)
    lifted = radii + STREAMLINE_SLOPE * stations_m
    outside = lifted >= np.maximum.accumulate(lifted)
    angles = np.arctan2(np.diff(radii), run)
    turns = np.zeros(len(radii))
    turns[1:-1] = np.maximum(angles[:-1] - angles[1:], 0.0)
    beside = np.maximum(np.append(0.0, turns[:-1]), np.append(turns[1:], 0.0))
    rounded = (beside > np.minimum(_TURNS_RAD, _TURNS_SHARE * turns)) | (turns < _FACET_RAD)
    leaves = np.append(outside[:-1] & ~outside[1:], False) & rounded & (turns > 0.0)
    near = leaves[1:] | leaves[:-1]
    return np.where(near, run / (_KNOWN_RADII * max(float(radii.max()), 1e-12)), 0.0)
