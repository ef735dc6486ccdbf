"""The largest pushes and pulls that were felt, and whether the sensor could tell them."""

from dataclasses import dataclass

import numpy as np

from finial.core.constants import STANDARD_GRAVITY_M_S2
from finial.flown.sensed import Sensed


@dataclass(frozen=True, slots=True, kw_only=True)
class FeltPeak:
    """The largest reading of a stretch."""

    time_s: float
    felt_g: float
    """In standard gravities."""
    at_least: bool
    """True where the sensor stood at its end, or the kick was shorter than its rows: it was more."""


def peak(sensed: Sensed, start_s: float, end_s: float) -> FeltPeak | None:
    """Largest push or pull felt between two times, whatever its direction.

    Parameters
    ----------
    sensed : Sensed
        Readings, zero at lift-off [units in its fields].
    start_s, end_s : float
        From when to when [s].

    Returns
    -------
    peak : FeltPeak or None
        ``None`` where nothing was felt there [-].

    Notes
    -----
    A kick that stands in one row alone was shorter than the step between rows: its true height is not
    known, and it counts as at least so much.

    References
    ----------
    .. [1] Common practice.

    Examples
    --------
    >>> from finial.flown.example import example_sensed
    >>> round(peak(example_sensed(), 0.0, 1.0).felt_g, 1)
    6.1
    """
    sizes = sensed.sizes_m_s2
    inside = np.flatnonzero((sensed.times_s >= start_s) & (sensed.times_s <= end_s) & np.isfinite(sizes))
    if not inside.size:
        return None
    row = int(inside[np.argmax(sizes[inside])])
    beside = [other for other in (row - 1, row + 1) if 0 <= other < len(sizes)]
    alone = all(not sizes[other] > 0.5 * sizes[row] for other in beside)
    return FeltPeak(
        time_s=float(sensed.times_s[row]),
        felt_g=float(sizes[row]) / STANDARD_GRAVITY_M_S2,
        at_least=bool(sensed.saturated[row]) or alone,
    )
