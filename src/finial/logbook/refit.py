"""Put a log back into the model: which drag, thrust, canopy and delay it tells, and how well."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from finial.core.constants import STANDARD_GRAVITY_M_S2
from finial.core.errors import OutsideRange
from finial.core.estimates import Estimate, KnownBy
from finial.core.statistics import NINETY
from finial.flight.fly import fly_stepping
from finial.flight.inputs import FlightInputs
from finial.flight.packing.pack import Stepping
from finial.flight.spread import Spread
from finial.flight.trace import EventKind, Trace
from finial.flown.smoothing import port_error
from finial.logbook.centre import centre_found
from finial.logbook.fit import Problem, fitted
from finial.logbook.posterior import Posterior, drawn
from finial.logbook.sampled import FALL_STEP_S, LIFT_OFF_S, Sampled, sampled
from finial.logbook.story import Story
from finial.logbook.unknowns import Unknown, UnknownKind, changed_inputs, unknowns_of
from finial.logbook.watched import Watched, off_watched

_STEPPING = Stepping(tolerance=1e-6, samples=4, time_limit_s=3600.0)
OF_SENSORS = {
    "lift-off": LIFT_OFF_S,
    "zero of the heights": 0.5,
    "scale of the heights": 0.01,
    "port": 0.03,
    "lag": 0.1,
    "drift": 0.02,
    "rising air": 0.3,
    "zero of the pushes": 0.3,
    "scale of the pushes": 0.01,
}
"""What a recorder may be off by, one deviation [s, m, 1, 1, s, m/s, m/s, m/s2, 1]; assumed."""
_LATEST_LAG_S = 1.0
_NO_PORT = 1e-6
"""Heights by satellites have no port to be off."""
_PLACE_M, _PLACE_KEEPS_S = 5.0, 60.0
"""What a receiver's place may be off by, one deviation, and how long it keeps that; assumed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Learnt:
    """One number before and after the log."""

    unknown: Unknown
    before: Estimate
    after: Estimate
    sigma: float
    """Standard deviation after the log."""
    fixed: float
    """How much of the doubt the log took: 0 nothing, near 1 nearly all."""
    flights: int = 1
    """How many flights tell it."""
    drawn: Estimate | None = None
    """The same as ``after`` by an ensemble of refits, where one was asked for and came to rest."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Refit:
    """What the log tells of the model."""

    learnt: tuple[Learnt, ...]
    recorder: tuple[tuple[str, float], ...]
    """What the recorder was off by, in the order of :data:`OF_SENSORS`; of the first log."""
    covariance: NDArray[np.float64]
    """Of the numbers of ``learnt`` after the log, in their order."""
    misfit: float
    """How much wider the residuals are than the sensors' noise; 1 where the model explains the log."""
    trace: Trace
    """The flight of the corrected model."""
    inputs: FlightInputs
    steps: int
    settled: float | None = None
    """Share of the ensemble of refits that came to rest; ``None`` where none was asked for."""

    def of(self, kind: UnknownKind, canopy: str = "") -> Learnt | None:
        """One number of the refit; ``None`` where the model has none such."""
        return next(
            (one for one in self.learnt if (one.unknown.kind, one.unknown.canopy) == (kind, canopy)), None
        )


def refit(
    stories: tuple[Story, ...],
    inputs: FlightInputs,
    spread: Spread,
    videos: tuple[Watched, ...] = (),
    *,
    draws: bool = False,
) -> Refit:
    """Correct a flight by one or several logs of it, and by what videos of it show.

    With ``draws`` the posterior is drawn too, by an ensemble of refits.

    Raises
    ------
    OutsideRange
        If there is no log.
    NotConverged
        If the fit does not come to rest.
    """
    if not stories:
        raise OutsideRange("no log to learn from")
    places = any(one.reading.sensed.has_places for one in stories)
    unknowns = unknowns_of(inputs, spread, places=places)
    logs = tuple(map(sampled, stories))
    wind = spread.wind_speed_m_s
    problem = _problem(unknowns, logs, inputs, wind, videos)
    found = fitted(problem)
    posterior = drawn(problem, found) if draws else None
    told = dict(zip((one.key for one in unknowns), found.values[: len(unknowns)].tolist(), strict=True))
    corrected = changed_inputs(inputs, told, wind)
    count = len(unknowns)
    learnt = tuple(
        replace(_learnt(one, found.values[index], found.sigmas[index]), drawn=_drawn(posterior, index))
        for index, one in enumerate(unknowns)
    )
    trace = fly_stepping(corrected, _STEPPING)
    centre = _centre(stories, trace, corrected, spread)
    covariance = found.covariance[:count, :count]
    if centre is not None:
        learnt = (*learnt, centre)
        covariance = np.pad(covariance, ((0, 1), (0, 1)))
        covariance[-1, -1] = centre.sigma**2
        corrected = changed_inputs(corrected, {"centre": centre.after.value}, wind)
        trace = fly_stepping(corrected, _STEPPING)
    return Refit(
        learnt=learnt,
        recorder=tuple(zip(OF_SENSORS, found.values[count : count + len(OF_SENSORS)].tolist(), strict=True)),
        covariance=covariance,
        misfit=found.stretch,
        trace=trace,
        inputs=corrected,
        steps=found.steps,
        settled=None if posterior is None else len(posterior.values) / posterior.tried,
    )


def _drawn(posterior: Posterior | None, index: int) -> Estimate | None:
    if posterior is None or not posterior.is_enough:
        return None
    low, middle, high = posterior.between(index)
    return Estimate(value=middle, low=low, high=high, known_by=KnownBy.MEASURED, method="ensemble of refits")


def _centre(stories: tuple[Story, ...], trace: Trace, inputs: FlightInputs, spread: Spread) -> Learnt | None:
    """Centre of pressure by the swings of the logs, and by what was known: each counts by its precision."""
    told = [found for one in stories if (found := centre_found(one, trace, inputs, spread)) is not None]
    if not told:
        return None
    known = told[0].unknown
    precisions = [known.sigma**-2, *((found.shift.half_width / NINETY) ** -2 for found in told)]
    values = [known.value, *(found.shift.value for found in told)]
    total = sum(precisions)
    value = sum(part * each for part, each in zip(precisions, values, strict=True)) / total
    return _learnt(known, value, total**-0.5)


def _problem(
    unknowns: tuple[Unknown, ...],
    logs: tuple[Sampled, ...],
    inputs: FlightInputs,
    wind: float,
    videos: tuple[Watched, ...],
) -> Problem:
    count, own = len(unknowns), len(OF_SENSORS)
    keys = [one.key for one in unknowns]
    start = np.concatenate([[one.value for one in unknowns], np.zeros(own * len(logs))])
    sigmas = np.concatenate([[one.sigma for one in unknowns], *map(_recorder_sigmas, logs)])
    low = np.concatenate([[one.low for one in unknowns], np.full(own * len(logs), -np.inf)])
    high = np.concatenate([[one.high for one in unknowns], np.full(own * len(logs), np.inf)])
    for log in range(len(logs)):
        lag = count + own * log + list(OF_SENSORS).index("lag")
        low[lag], high[lag] = 0.0, _LATEST_LAG_S
    flown: dict[tuple[float, ...], Trace] = {}

    def residuals(values: NDArray[np.float64]) -> NDArray[np.float64]:
        model = tuple(values[:count].tolist())
        if model not in flown:
            flown.clear()
            flown[model] = fly_stepping(
                changed_inputs(inputs, dict(zip(keys, model, strict=True)), wind), _STEPPING
            )
        trace = flown[model]
        parts = [
            _residuals(trace, log, values[count + own * at : count + own * (at + 1)])
            for at, log in enumerate(logs)
        ]
        return np.concatenate([*parts, off_watched(trace, videos)])

    return Problem(residuals=residuals, before=start, sigmas=sigmas, ends=(low, high))


def _recorder_sigmas(log: Sampled) -> list[float]:
    own = {"lift-off": log.lift_off_sigma_s, **({"port": _NO_PORT} if log.by_satellites else {})}
    return list({**OF_SENSORS, **own}.values())


def _residuals(trace: Trace, log: Sampled, recorder: NDArray[np.float64]) -> NDArray[np.float64]:
    late, zero, scale, port, lag, drift, rises, felt_zero, felt_scale = recorder.tolist()
    lift_off = _lift_off_s(trace) + late
    seen = log.height_times_s + lift_off
    heights = heights_at(trace, seen - lag)
    speeds = _inside(trace, seen - lag, trace.airspeeds_m_s)
    falling = np.maximum(log.height_times_s - log.apogee_s, 0.0)
    read = heights * (1.0 + scale) + port_error(1.0, port) * speeds**2 + zero
    read = read + drift * np.maximum(log.height_times_s, 0.0) + rises * falling
    pushes = _axial_at(trace, log.felt_times_s + lift_off) * (1.0 + felt_scale) + felt_zero
    return np.concatenate(
        [
            (log.heights_m - read.mean(axis=1)) / log.height_sigmas_m,
            (log.felt_m_s2 - pushes.mean(axis=1)) / log.felt_sigmas_m_s2,
            _off_places(trace, log, lift_off),
        ]
    )


def _off_places(trace: Trace, log: Sampled, lift_off: float) -> NDArray[np.float64]:
    """Track beside the flight, east and north; the places of neighbouring seconds err alike."""
    moved = trace.positions_m[:, :2] - trace.positions_m[0, :2]
    flown = [np.interp(log.place_times_s + lift_off, trace.times_s, moved[:, axis]) for axis in (0, 1)]
    off = log.east_north_m - np.column_stack([one.mean(axis=1) for one in flown])
    # A minute of places that err alike tells as much as one of them.
    return (off / (_PLACE_M * np.sqrt(_PLACE_KEEPS_S / FALL_STEP_S))).ravel()


def heights_at(trace: Trace, times_s: NDArray[np.float64]) -> NDArray[np.float64]:
    """Heights above where it stood on the pad [m]."""
    return np.interp(times_s, trace.times_s, trace.positions_m[:, 2]) - float(trace.positions_m[0, 2])


def _axial_at(trace: Trace, times_s: NDArray[np.float64]) -> NDArray[np.float64]:
    """Push along the axis; the weight alone before lift-off."""
    felt = np.interp(times_s, trace.times_s, trace.accelerations_m_s2[:, 0])
    return np.where(times_s < _lift_off_s(trace), STANDARD_GRAVITY_M_S2, felt)


def _inside(trace: Trace, times_s: NDArray[np.float64], values: NDArray[np.float64]) -> NDArray[np.float64]:
    """Values over the flight, nothing before and after it."""
    return np.interp(times_s, trace.times_s, values, left=0.0, right=0.0)


def _lift_off_s(trace: Trace) -> float:
    lift_off = trace.event(EventKind.LIFT_OFF)
    return 0.0 if lift_off is None else lift_off.time_s


def _learnt(unknown: Unknown, value: float, sigma: float) -> Learnt:
    def held(middle: float, deviation: float, known_by: KnownBy, method: str) -> Estimate:
        low, high = (
            min(max(middle + side * NINETY * deviation, unknown.low), unknown.high) for side in (-1, 1)
        )
        return Estimate(value=middle, low=low, high=high, known_by=known_by, method=method)

    return Learnt(
        unknown=unknown,
        before=held(unknown.value, unknown.sigma, KnownBy.COMPUTED, "the sheet's scatter"),
        after=held(float(value), float(sigma), KnownBy.MEASURED, "least squares on the log"),
        sigma=float(sigma),
        fixed=1.0 - float(sigma) / unknown.sigma,
    )
