"""Sizes of a fin's outline: area, span, aspect ratio, edges."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import OutsideRange

_STRIPS = 200


@dataclass(frozen=True, slots=True, kw_only=True)
class Planform:
    """One fin seen from its side. Distances aft are from the fin's own station."""

    area_m2: float
    span_m: float
    """Outward reach of one fin from its root [m]."""
    root_chord_m: float
    mean_chord_m: float
    aspect_ratio: float
    """Of a fin and its mirror image: 2 span^2 / area [-]."""
    mid_chord_sweep_rad: float
    centroid_m: tuple[float, float]
    """Area centroid: aft, outward [m]."""
    lead_sweep_rad: float
    """Mean sweep of the leading edge [rad]."""
    outwards_m: NDArray[np.float64]
    """Outward distance of each strip [m], root to tip."""
    leads_m: NDArray[np.float64]
    """Leading edge of each strip, aft of the fin's station [m]."""
    chords_m: NDArray[np.float64]


def strip_edges(
    outline_m: NDArray[np.float64], outwards_m: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Leading and trailing edge of a fin's outline at given outward distances.

    Parameters
    ----------
    outline_m : ndarray, shape (n, 2)
        Aft of the fin's station, outward from the root [m].
    outwards_m : ndarray, shape (k,)
        Outward distances [m].

    Returns
    -------
    leads_m, trails_m : ndarray, shape (k,)
        Foremost and rearmost crossing, aft of the fin's station [m]; infinite where the outline is not met.

    Notes
    -----
    Exact for straight edges. Notches are filled, and an edge along the flow at exactly that distance is not a
    crossing.

    References
    ----------
    .. [1] Crossing of a line and a segment by linear interpolation.

    Examples
    --------
    >>> lead, trail = strip_edges(np.array([[0.0, 0.0], [0.5, 1.0], [1.0, 1.0], [1.0, 0.0]]), np.array([0.5]))
    >>> lead.item(), trail.item()
    (0.25, 1.0)
    """
    start, end = outline_m, np.roll(outline_m, -1, axis=0)
    low = np.minimum(start[:, 1], end[:, 1])[:, None]
    high = np.maximum(start[:, 1], end[:, 1])[:, None]
    rise = (end[:, 1] - start[:, 1])[:, None]
    crosses = (outwards_m >= low) & (outwards_m <= high) & (rise != 0)
    share = (outwards_m - start[:, 1:]) / np.where(rise == 0, 1.0, rise)
    aft = start[:, :1] + share * (end[:, :1] - start[:, :1])
    lead = np.where(crosses, aft, np.inf).min(axis=0)
    trail = np.where(crosses, aft, -np.inf).max(axis=0)
    return lead, trail


def fin_planform(outline_m: NDArray[np.float64]) -> Planform:
    r"""Measure a fin's outline.

    .. math::  AR = 2 b^2 / S, \qquad \tan\Lambda = \mathrm{slope\ of\ the\ line\ fitted\ to\ edges}

    Parameters
    ----------
    outline_m : ndarray, shape (n, 2)
        Aft of the fin's station, outward from the root [m]; ends on the root.

    Returns
    -------
    planform : Planform

    Raises
    ------
    OutsideRange
        If the outline has fewer than three points, no area or no span, or dips below the root.

    Notes
    -----
    Holds for any outline that each chordwise line crosses once; notches are filled.

    References
    ----------
    .. [1] Definitions of plane geometry; aspect ratio of a fin with its mirror image as is usual.

    Examples
    --------
    >>> square = fin_planform(np.array([[0, 0], [0, 1], [1, 1], [1, 0]]))
    >>> square.aspect_ratio, square.mid_chord_sweep_rad
    (2.0, 0.0)
    """
    outline = np.asarray(outline_m, dtype=float)
    if outline.ndim != 2 or len(outline) < 3 or not np.isfinite(outline).all():
        raise OutsideRange("a fin outline needs at least three points with finite coordinates")
    span = float(outline[:, 1].max())
    if span <= 0 or outline[:, 1].min() < -1e-9 * span:
        raise OutsideRange("a fin outline starts on the root (outward 0) and reaches outward from it")
    outwards = span * (np.arange(_STRIPS) + 0.5) / _STRIPS
    lead, trail = strip_edges(outline, outwards)
    chords = trail - lead
    area = float(chords.mean() * span)
    if not area > 0:
        raise OutsideRange("a fin outline must enclose an area")
    root_lead, root_trail = strip_edges(outline, np.array([0.0]))
    return Planform(
        area_m2=area,
        span_m=span,
        root_chord_m=float(root_trail[0] - root_lead[0]),
        mean_chord_m=area / span,
        aspect_ratio=round(2 * span**2 / area, 12),
        mid_chord_sweep_rad=_sweep(outwards, lead + chords / 2, chords),
        centroid_m=(
            float(np.sum((lead + chords / 2) * chords) / chords.sum()),
            float(np.sum(outwards * chords) / chords.sum()),
        ),
        lead_sweep_rad=_sweep(outwards, lead, np.ones_like(chords)),
        outwards_m=outwards,
        leads_m=lead,
        chords_m=chords,
    )


def _sweep(outwards: NDArray[np.float64], aft: NDArray[np.float64], weight: NDArray[np.float64]) -> float:
    """Sweep angle of the weighted straight line through one edge [rad]."""
    centre = np.average(outwards, weights=weight)
    arm = outwards - centre
    return round(float(np.arctan(np.sum(weight * arm * aft) / np.sum(weight * arm**2))), 12)
