"""The log beside the prediction made for that day: what differs, by how much of its band, and why."""

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from finial.core.estimates import Estimate, KnownBy
from finial.core.statistics import NINETY
from finial.flight.fly import fly_stepping
from finial.flight.inputs import FlightInputs
from finial.flight.packing.pack import Stepping
from finial.flight.spread import Spread
from finial.flight.trace import EventKind, Trace
from finial.flown.falls import Fall
from finial.flown.happening import LogEvent, Seen
from finial.logbook.another import Evidence, evidence, odds_of
from finial.logbook.refit import Refit
from finial.logbook.story import Story
from finial.logbook.unknowns import Unknown, changed_inputs

_STEPPING = Stepping(tolerance=1e-6, samples=4, time_limit_s=3600.0)
_SAMPLES = 2000
_FALL_S = 1.0
_PLACE_M = 3.0
"""What a receiver at rest is off by; one deviation, assumed."""


class ComparedNumber(StrEnum):
    """Numbers that a log and a prediction both have."""

    APOGEE = "apogee"
    """Above the pad [m]."""
    APOGEE_TIME = "apogee time"
    """From lift-off [s]."""
    FASTEST = "fastest climb"
    """[m/s]."""
    PUSH = "largest push"
    """Felt along the axis, averaged over a twentieth of a second [m/s2]."""
    BURNOUT = "burnout"
    """Where the push along the axis ends, from lift-off [s]."""
    RAIL_EXIT = "rail exit"
    """Speed as nothing holds it any more [m/s]."""
    SEPARATION = "separation"
    """From lift-off [s]."""
    SEPARATION_SPEED = "separation speed"
    """How fast it fell or rose then [m/s]."""
    FALL = "fall"
    """Rate of a steady fall [m/s]."""
    LANDING = "landing"
    """From lift-off [s]."""
    DRIFT = "drift"
    """From the pad to where it landed [m]; only where a receiver told it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cause:
    """One number of the model that the log moved, and what that explains of a difference."""

    unknown: Unknown
    explains: float
    """Part of the difference [unit of the quantity]."""
    odds: float
    """That it is the largest part of the difference [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """One number of the log beside the prediction."""

    quantity: ComparedNumber
    height_m: float | None
    """Of a fall: where it was measured."""
    predicted: Estimate
    """Its band holds nine in ten, by what was known before."""
    measured: Estimate
    corrected: float
    """What the corrected model gives."""
    causes: tuple[Cause, ...]
    """Largest first; those that explain next to nothing left out."""

    @property
    def outside(self) -> bool:
        """Whether prediction and measurement have no number in common."""
        return not self.predicted.meets(self.measured)


@dataclass(frozen=True, slots=True, kw_only=True)
class LogComparison:
    """All that log and prediction have in common, and whether they are of one flight."""

    differences: tuple[Difference, ...]
    another: float
    """Odds that the log is of another flight, or of another vehicle [-]."""
    signs: tuple[Evidence, ...]
    """What speaks for it and against it, the strongest first."""


def compared(
    story: Story, found: Refit, inputs: FlightInputs, spread: Spread, others: tuple[Story, ...] = ()
) -> LogComparison:
    """Set a log beside the prediction, and explain each difference by what the refit moved.

    Where the log has no places, those of ``others`` tell the drift.
    """
    wind_m_s = spread.wind_speed_m_s
    unknowns = tuple(one.unknown for one in found.learnt)
    keys = [one.key for one in unknowns]

    def flown(values: NDArray[np.float64]) -> Trace:
        told = dict(zip(keys, values.tolist(), strict=True))
        return fly_stepping(changed_inputs(inputs, told, wind_m_s), _STEPPING)

    before = np.array([one.value for one in unknowns])
    after = np.array([one.after.value for one in found.learnt])
    nominal, beside = flown(before), _beside(flown, unknowns, before, after)
    differences = [
        _difference(measured, of, (nominal, found.trace), beside, found)
        for measured, of in (*_measured(story), *_drift((story, *others)))
        if of(nominal) is not None
    ]
    kept = tuple(one for one in differences if one is not None)
    signs = evidence(story, found, spread, inputs.rail.tilt_rad, inputs.air.pressure_pa)
    return LogComparison(differences=kept, another=odds_of(signs), signs=signs)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Of:
    """How a quantity is read off a computed flight."""

    quantity: ComparedNumber
    height_m: float | None
    read: Callable[[Trace], float | None]

    def __call__(self, trace: Trace) -> float | None:
        return self.read(trace)


def _beside(
    flown: Callable[[NDArray[np.float64]], Trace],
    unknowns: tuple[Unknown, ...],
    before: NDArray[np.float64],
    after: NDArray[np.float64],
) -> tuple[tuple[Trace, float], ...]:
    """Flights with one number moved at a time, towards what the log says, and by how much."""
    found: list[tuple[Trace, float]] = []
    for index, one in enumerate(unknowns):
        towards = after[index] - before[index]
        step = towards if abs(towards) > 0.3 * one.sigma else one.sigma
        if not one.low <= before[index] + step <= one.high:
            step = -step
        moved = before.copy()
        moved[index] += step
        found.append((flown(moved), float(step)))
    return tuple(found)


def _difference(
    measured: Estimate,
    of: _Of,
    flights: tuple[Trace, Trace],
    beside: tuple[tuple[Trace, float], ...],
    found: Refit,
) -> Difference | None:
    nominal, corrected = (of(trace) for trace in flights)
    if nominal is None or corrected is None:
        return None
    slopes = np.zeros(len(beside))
    for index, (trace, step) in enumerate(beside):
        there = of(trace)
        slopes[index] = 0.0 if there is None else (there - nominal) / step
    sigmas = np.array([one.unknown.sigma for one in found.learnt])
    half = NINETY * float(np.sqrt(((slopes * sigmas) ** 2).sum()))
    predicted = Estimate(
        value=nominal,
        low=nominal - half,
        high=nominal + half,
        known_by=KnownBy.COMPUTED,
        method="what was known before the flight",
    )
    return Difference(
        quantity=of.quantity,
        height_m=of.height_m,
        predicted=predicted,
        measured=measured,
        corrected=corrected,
        causes=_causes(measured.value - nominal, slopes, found),
    )


def _causes(difference: float, slopes: NDArray[np.float64], found: Refit) -> tuple[Cause, ...]:
    """Rank what explains a difference; odds by drawing from what the log leaves open."""
    moves = np.array([one.after.value - one.unknown.value for one in found.learnt])
    parts = slopes * moves
    chance = np.random.default_rng(1)
    drawn = chance.multivariate_normal(moves, found.covariance, size=_SAMPLES, method="eigh")
    sign = 1.0 if difference >= 0.0 else -1.0
    largest = np.argmax(sign * slopes * drawn, axis=1)
    odds = np.bincount(largest, minlength=len(moves)) / _SAMPLES
    told = [
        Cause(unknown=one.unknown, explains=float(parts[index]), odds=float(odds[index]))
        for index, one in enumerate(found.learnt)
        if abs(parts[index]) > 0.1 * abs(difference)
    ]
    return tuple(sorted(told, key=lambda cause: -sign * cause.explains))


def _measured(story: Story) -> list[tuple[Estimate, _Of]]:
    """Pair what the log tells with how the same is read off a computed flight."""
    climb = story.climb
    top, fast = int(climb.heights_m.argmax()), int(climb.speeds_m_s.argmax())
    found = [
        (
            _give(float(climb.heights_m[top]), float(climb.height_sigmas_m[top]), 0.01),
            _of(ComparedNumber.APOGEE, _apogee),
        ),
        (
            _give(float(climb.speeds_m_s[fast]), float(climb.speed_sigmas_m_s[fast]), 0.01),
            _of(ComparedNumber.FASTEST, _fastest),
        ),
    ]
    if story.push is not None and not story.push.at_least:
        felt = story.reading.sensed
        rows = (felt.times_s >= 0.0) & np.isfinite(felt.axial_m_s2)
        push = _largest_push(felt.times_s[rows], felt.axial_m_s2[rows])
        found.append((_give(push, felt.felt_noise_m_s2, 0.01), _of(ComparedNumber.PUSH, _push)))
    for kind, quantity, read in (
        (Seen.APOGEE, ComparedNumber.APOGEE_TIME, _event(EventKind.APOGEE)),
        (Seen.LANDING, ComparedNumber.LANDING, _event(EventKind.GROUND)),
        (Seen.SEPARATION, ComparedNumber.SEPARATION, _event(EventKind.OUT)),
    ):
        seen = story.when(kind)
        if seen is not None:
            found.append((seen.time, _of(quantity, read)))
    found += _rail_and_burnout(story)
    apart = story.when(Seen.SEPARATION)
    if apart is not None:
        found.append((_give(apart.speed_m_s, 0.5, 0.03), _of(ComparedNumber.SEPARATION_SPEED, _speed_at_out)))
    return found + [(fall.rate, _of_fall(fall)) for fall in story.falls]


def _drift(stories: tuple[Story, ...]) -> list[tuple[Estimate, _Of]]:
    """How far from the pad it lies, by the last places of the first log that has some."""
    for story in stories:
        places, landing = story.reading.sensed.east_north_m, story.when(Seen.LANDING)
        if places is None or landing is None:
            continue
        lies = places[story.reading.sensed.times_s > landing.time.high]
        lies = lies[np.isfinite(lies).all(axis=1)]
        if len(lies):
            far = float(np.hypot(*np.median(lies, axis=0)))
            return [(_give(far, _PLACE_M, 0.0), _of(ComparedNumber.DRIFT, _lies))]
    return []


def _rail_and_burnout(story: Story) -> list[tuple[Estimate, _Of]]:
    found: list[tuple[Estimate, _Of]] = []
    leaves, burnout = story.when(Seen.RAIL_EXIT), story.when(Seen.BURNOUT)
    if leaves is not None and story.climb.felt:
        found.append(
            (
                _give(leaves.speed_m_s, _speed_sigma(story, leaves), 0.02),
                _of(ComparedNumber.RAIL_EXIT, _at_rail),
            )
        )
    if burnout is not None and story.reading.sensed.has_axial:
        found.append((burnout.time, _of(ComparedNumber.BURNOUT, _push_ends)))
    return found


def _speed_sigma(story: Story, seen: LogEvent) -> float:
    return float(np.interp(seen.time.value, story.climb.times_s, story.climb.speed_sigmas_m_s))


def _give(value: float, sigma: float, share: float) -> Estimate:
    """Measured, give or take its noise and a share for scale and zero of the sensor."""
    half = NINETY * float(np.hypot(sigma, share * value))
    return Estimate(
        value=value, low=value - half, high=value + half, known_by=KnownBy.MEASURED, method="smoothed log"
    )


def _of(quantity: ComparedNumber, read: Callable[[Trace], float | None]) -> _Of:
    return _Of(quantity=quantity, height_m=None, read=read)


def _of_fall(fall: Fall) -> _Of:
    def rate(trace: Trace) -> float | None:
        times, heights = trace.times_s, trace.positions_m[:, 2] - float(trace.positions_m[0, 2])
        apogee = trace.event(EventKind.APOGEE)
        if apogee is None:
            return None
        falling = (times > apogee.time_s) & (heights < fall.middle_m)
        if not falling.any():
            return None
        at = float(times[int(np.argmax(falling))])
        sinks = np.interp([at - _FALL_S, at + _FALL_S], times, heights)
        return float(sinks[0] - sinks[1]) / (2.0 * _FALL_S)

    return _Of(quantity=ComparedNumber.FALL, height_m=fall.middle_m, read=rate)


def _lift_off(trace: Trace) -> float:
    event = trace.event(EventKind.LIFT_OFF)
    return event.time_s if event else 0.0


def _event(kind: EventKind) -> Callable[[Trace], float | None]:
    def read(trace: Trace) -> float | None:
        found = next((one for one in trace.events if one.kind is kind), None)
        return None if found is None else found.time_s - _lift_off(trace)

    return read


def _lies(trace: Trace) -> float | None:
    """How far from the pad the flight ended on the ground."""
    moved = trace.positions_m[-1, :2] - trace.positions_m[0, :2]
    return float(np.hypot(*moved)) if trace.landed else None


def _apogee(trace: Trace) -> float:
    return float(trace.positions_m[:, 2].max() - trace.positions_m[0, 2])


def _fastest(trace: Trace) -> float:
    return float(trace.velocities_m_s[:, 2].max())


def _at_rail(trace: Trace) -> float | None:
    event = trace.event(EventKind.RAIL_EXIT)
    return (
        None if event is None else float(np.interp(event.time_s, trace.times_s, trace.velocities_m_s[:, 2]))
    )


def _climbs_at(trace: Trace, time_s: float) -> float:
    return float(np.interp(time_s, trace.times_s, trace.velocities_m_s[:, 2]))


def _speed_at_out(trace: Trace) -> float | None:
    out = next((one for one in trace.events if one.kind is EventKind.OUT), None)
    return None if out is None else _climbs_at(trace, out.time_s)


def _push(trace: Trace) -> float:
    burnout = trace.event(EventKind.BURNOUT)
    burning = trace.times_s <= (burnout.time_s if burnout else np.inf)
    return _largest_push(trace.times_s[burning], trace.accelerations_m_s2[burning, 0])


def _largest_push(times: NDArray[np.float64], felt: NDArray[np.float64]) -> float:
    """Largest mean over a twentieth of a second."""
    even = np.arange(times[0], times[-1], 0.005)
    values = np.interp(even, times, felt)
    return (
        float(np.convolve(values, np.full(10, 0.1), mode="valid").max())
        if len(even) > 10
        else float(felt.max())
    )


def _push_ends(trace: Trace) -> float | None:
    """Where the push along the axis ends: the same as is looked for in a log."""
    felt, times = trace.accelerations_m_s2[:, 0], trace.times_s
    top = int(np.argmax(np.where(times < _lift_off(trace) + 30.0, felt, -np.inf)))
    none = np.flatnonzero(felt[top:] < 0.0)
    return None if not none.size else float(times[top + int(none[0])]) - _lift_off(trace)
