"""When what happened, out of the smoothed climb and what was felt."""

import numpy as np
from numpy.typing import NDArray

from finial.core.estimates import Estimate, KnownBy
from finial.core.statistics import NINETY
from finial.flown.falls import Fall, falls, slower
from finial.flown.happening import Certainty, LogEvent, Seen
from finial.flown.sensed import Sensed
from finial.flown.smoothing import SmoothedClimb

_KICK_M_S2 = 20.0
"""Two g above what was felt just before: wind and canopies of a steady fall kick less."""
_QUIET_S = 0.5
_LANDED_M = 2.0
_AFTER_BURNOUT_S = 0.3


def happenings(
    sensed: Sensed, climb: SmoothedClimb, lift_off: Estimate, rail_m: float | None = None
) -> tuple[LogEvent, ...]:
    """Find lift-off, rail exit, burnout, apogee, separation, canopies full and landing.

    Parameters
    ----------
    sensed : Sensed
        Readings, zero at lift-off [units in its fields].
    climb : SmoothedClimb
        The smoothed motion [units in its fields].
    lift_off : Estimate
        Lift-off on the same clock: about zero [s].
    rail_m : float, optional
        How far it climbs until nothing holds it any more [m]; without it the rail exit is not told.

    Returns
    -------
    happenings : tuple of LogEvent
        In order of their times [s]; what the log does not show is not among them.

    Notes
    -----
    Burnout is where the felt push along the axis ends, or without an accelerometer where it is fastest,
    which is a little earlier. Separation is the first kick of two g after burnout. A canopy is full where
    a faster steady fall has become a slower one; one that opens at the top, too slow to brake, is not
    seen without a kick.

    References
    ----------
    .. [1] Common practice.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> from finial.flown.example import example_sensed
    >>> from finial.flown.smoothing import smoothed
    >>> from finial.flown.turning import attitudes
    >>> climb = smoothed(example_sensed(), attitudes(example_sensed(), 0.0), 5.2)
    >>> found = happenings(example_sensed(), climb, exact(0.0), 3.0)
    >>> [str(one.kind) for one in found]
    ['lift-off', 'rail exit', 'burnout', 'apogee', 'landing']
    >>> [round(one.time.value, 1) for one in found[:4]]
    [0.0, 0.3, 1.0, 5.1]
    """
    both = sensed.has_axial and sensed.has_heights
    found = [_at(climb, Seen.LIFT_OFF, lift_off, Certainty.SURE if both else Certainty.LIKELY)]
    if rail_m is not None:
        found += _rail_exit_felt(sensed, climb, rail_m) if sensed.has_axial else _rail_exit(climb, rail_m)
    burnout = _burnout(sensed, climb)
    found.append(burnout)
    apogee = _apogee(climb, burnout.time.value)
    if apogee is not None:
        found.append(apogee)
        landing = _landing(climb, apogee.time.value)
        found += [] if landing is None else [landing]
        last_s = landing.time.value if landing else float(climb.times_s[-1])
        found += _separation(sensed, climb, burnout.time.value, last_s)
        found += _openings(climb, falls(climb, apogee.time.value, last_s))
    return tuple(sorted(found, key=lambda one: one.time.value))


def _at(climb: SmoothedClimb, kind: Seen, time: Estimate, certainty: Certainty) -> LogEvent:
    return LogEvent(
        kind=kind,
        time=time,
        height_m=float(np.interp(time.value, climb.times_s, climb.heights_m)),
        speed_m_s=float(np.interp(time.value, climb.times_s, climb.speeds_m_s)),
        certainty=certainty,
    )


def _within(value: float, half: float, method: str) -> Estimate:
    return Estimate(
        value=value, low=value - half, high=value + half, known_by=KnownBy.MEASURED, method=method
    )


def _rail_exit(climb: SmoothedClimb, rail_m: float) -> list[LogEvent]:
    above = (climb.times_s > 0.0) & (climb.heights_m - _on_pad(climb) > rail_m)
    if not above.any():
        return []
    row = int(np.argmax(above))
    pair = slice(max(row - 1, 0), row + 1)
    time = float(np.interp(rail_m + _on_pad(climb), climb.heights_m[pair], climb.times_s[pair]))
    speed = max(float(climb.speeds_m_s[row]), 1.0)
    half = max(NINETY * float(climb.height_sigmas_m[row]) / speed, float(np.median(np.diff(climb.times_s))))
    certainty = Certainty.LIKELY if climb.felt else Certainty.HINT
    return [_at(climb, Seen.RAIL_EXIT, _within(time, half, "climb"), certainty)]


def _rail_exit_felt(sensed: Sensed, climb: SmoothedClimb, rail_m: float) -> list[LogEvent]:
    """By the push alone, from lift-off: a barometer lags, and a rail is over in a third of a second."""
    rows = (sensed.times_s > -0.5) & (sensed.times_s < 5.0) & np.isfinite(sensed.axial_m_s2)
    times, felt = sensed.times_s[rows], sensed.axial_m_s2[rows]
    before = sensed.axial_m_s2[(sensed.times_s < 0.0) & np.isfinite(sensed.axial_m_s2)]
    if len(times) < 5 or not before.size or sensed.saturated[rows].any():
        return _rail_exit(climb, rail_m)
    pushes = np.where(times < 0.0, 0.0, felt - float(np.median(before)))
    steps = np.diff(times, prepend=times[0])
    speeds = np.cumsum(0.5 * (pushes + np.concatenate([[0.0], pushes[:-1]])) * steps)
    risen = np.cumsum(0.5 * (speeds + np.concatenate([[0.0], speeds[:-1]])) * steps)
    above = np.flatnonzero(risen > rail_m)
    if not above.size:
        return []
    pair = slice(int(above[0]) - 1, int(above[0]) + 1)
    time = float(np.interp(rail_m, risen[pair], times[pair]))
    step = float(np.median(np.diff(times)))
    return [
        LogEvent(
            kind=Seen.RAIL_EXIT,
            time=_within(time, step + 0.02 * time, "push summed up"),
            height_m=rail_m,
            speed_m_s=float(np.interp(time, times, speeds)),
            certainty=Certainty.LIKELY,
        )
    ]


def _on_pad(climb: SmoothedClimb) -> float:
    before = climb.heights_m[climb.times_s < 0.0]
    return float(np.median(before)) if before.size else 0.0


def _burnout(sensed: Sensed, climb: SmoothedClimb) -> LogEvent:
    felt = _burnout_felt(sensed)
    if felt is not None:
        return _at(climb, Seen.BURNOUT, felt, Certainty.SURE if sensed.has_heights else Certainty.LIKELY)
    row = int(np.argmax(climb.speeds_m_s))
    time = float(climb.times_s[row])
    told = Estimate(
        value=time, low=time - 0.2, high=time + 0.4, known_by=KnownBy.MEASURED, method="fastest climb"
    )
    return _at(climb, Seen.BURNOUT, told, Certainty.HINT)


def _burnout_felt(sensed: Sensed) -> Estimate | None:
    """Where the push along the axis falls through nothing; from a tenth of its greatest on."""
    later = np.isfinite(sensed.axial_m_s2) & (sensed.times_s >= 0.0)
    if later.sum() < 5:
        return None
    times, felt = sensed.times_s[later], _calm(sensed.axial_m_s2[later])
    top = int(np.argmax(felt[times < times[0] + 30.0]))
    weak, none = (np.flatnonzero(felt[top:] < limit) for limit in (0.1 * felt[top], 0.0))
    if not (weak.size and none.size):
        return None
    early, late = float(times[top + weak[0]]), float(times[top + none[0]])
    step = float(np.median(np.diff(times)))
    return Estimate(
        value=late,
        low=min(early, late) - step,
        high=late + max(2.0 * step, 0.05),
        known_by=KnownBy.MEASURED,
        method="push along the axis",
    )


def _calm(values: NDArray[np.float64]) -> NDArray[np.float64]:
    """Median of five, so that one odd row is no event."""
    padded = np.concatenate([values[:1], values[:1], values, values[-1:], values[-1:]])
    return np.median(np.lib.stride_tricks.sliding_window_view(padded, 5), axis=1)


def _apogee(climb: SmoothedClimb, burnout_s: float) -> LogEvent | None:
    """Where the smoothed speed falls through nothing on the way over the highest point."""
    row = int(np.argmax(climb.heights_m))
    if climb.times_s[row] <= burnout_s or row in (0, len(climb.times_s) - 1):
        return None
    speeds = climb.speeds_m_s
    before = row if speeds[row] > 0.0 else row - 1
    share = speeds[before] / max(speeds[before] - speeds[before + 1], 1e-9)
    step = float(climb.times_s[before + 1] - climb.times_s[before])
    time = float(climb.times_s[before]) + min(max(float(share), 0.0), 1.0) * step
    slows = max(abs(float(climb.accelerations_m_s2[row])), 3.0)
    half = max(NINETY * float(climb.speed_sigmas_m_s[row]) / slows, 0.5 * step)
    certainty = Certainty.SURE if climb.felt else Certainty.LIKELY
    return _at(climb, Seen.APOGEE, _within(time, half, "smoothed speed"), certainty)


def _landing(climb: SmoothedClimb, apogee_s: float) -> LogEvent | None:
    """Return to rest: from there on the height stays what it is at the end; none where it still falls."""
    end = climb.times_s[-1]
    rest = climb.heights_m[climb.times_s > end - 2.0]
    limit = max(_LANDED_M, 3.0 * float(climb.height_sigmas_m[-1]))
    if np.ptp(rest) > 2.0 * limit or abs(float(np.median(climb.speeds_m_s[climb.times_s > end - 2.0]))) > 1.0:
        return None
    away = np.flatnonzero(climb.heights_m - float(np.median(rest)) > limit)
    row = int(away[-1]) + 1 if away.size else 0
    if climb.times_s[row] <= apogee_s:
        return None
    fell = max(-float(climb.speeds_m_s[max(row - 5, 0)]), 1.0)
    time = float(climb.times_s[row]) + 0.5 * limit / fell
    return _at(climb, Seen.LANDING, _within(time, limit / fell, "height at rest"), Certainty.LIKELY)


def _separation(sensed: Sensed, climb: SmoothedClimb, burnout_s: float, last_s: float) -> list[LogEvent]:
    times, sizes = sensed.times_s, sensed.sizes_m_s2
    inside = np.isfinite(sizes) & (times > burnout_s + _AFTER_BURNOUT_S) & (times < last_s)
    rows = np.flatnonzero(inside)
    if rows.size < 5:
        return []
    quiet = np.searchsorted(times[rows], times[rows] - _QUIET_S)
    for place, row in enumerate(rows.tolist()):
        if place - quiet[place] < 3 or sizes[row] < _KICK_M_S2:
            continue
        before = float(np.median(sizes[rows[quiet[place] : place]]))
        if sizes[row] - before > _KICK_M_S2:
            step = float(times[row] - times[row - 1])
            told = _within(float(times[row]) - 0.5 * step, max(step, 0.01), "kick")
            return [_at(climb, Seen.SEPARATION, told, Certainty.LIKELY)]
    return []


def _openings(climb: SmoothedClimb, found: tuple[Fall, ...]) -> list[LogEvent]:
    """Canopies that braked a fall: full where it is within a tenth of what it comes to."""
    openings: list[LogEvent] = []
    for before, after in slower(found):
        between = (climb.times_s >= before.end_s) & (climb.times_s <= after.end_s)
        reached = np.flatnonzero(between & (-climb.speeds_m_s < 1.1 * after.rate.value))
        time = float(climb.times_s[reached[0]]) if reached.size else after.start_s
        half = max(0.3, 0.5 * (after.start_s - before.end_s))
        openings.append(_at(climb, Seen.CANOPY_FULL, _within(time, half, "fall slowed"), Certainty.LIKELY))
    return openings
