"""Put a log back into the model: which drag, thrust, canopy and delay it tells, and how well."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.core.constants import STANDARD_GRAVITY_M_S2
from finial.core.errors import OutsideRange
from finial.core.estimates import Estimate, KnownBy
from finial.flight.fly import fly_stepping
from finial.flight.inputs import FlightInputs
from finial.flight.packing.pack import Stepping
from finial.flight.spread import Spread
from finial.flight.trace import EventKind, Trace
from finial.flown.smoothing import port_error
from finial.logbook.fit import Fitted, fitted
from finial.logbook.sampled import Sampled, sampled
from finial.logbook.story import Story
from finial.logbook.unknowns import Unknown, UnknownKind, changed_inputs, unknowns_of

NINETY = 1.645
_STEPPING = Stepping(tolerance=1e-6, samples=4, time_limit_s=3600.0)
OF_SENSORS = {
    "lift-off": 0.05,
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

    def of(self, kind: UnknownKind, canopy: str = "") -> Learnt | None:
        """One number of the refit; ``None`` where the model has none such."""
        return next(
            (one for one in self.learnt if (one.unknown.kind, one.unknown.canopy) == (kind, canopy)), None
        )


def refit(stories: tuple[Story, ...], inputs: FlightInputs, spread: Spread) -> Refit:
    """Correct a flight by one or several logs of it.

    Raises
    ------
    OutsideRange
        If there is no log.
    NotConverged
        If the fit does not come to rest.
    """
    if not stories:
        raise OutsideRange("no log to learn from")
    unknowns = unknowns_of(inputs, spread)
    logs = tuple(map(sampled, stories))
    wind = spread.wind_speed_m_s
    found = _fit(unknowns, logs, inputs, wind)
    told = dict(zip((one.key for one in unknowns), found.values[: len(unknowns)].tolist(), strict=True))
    corrected = changed_inputs(inputs, told, wind)
    count = len(unknowns)
    return Refit(
        learnt=tuple(
            _learnt(one, found.values[index], found.sigmas[index]) for index, one in enumerate(unknowns)
        ),
        recorder=tuple(zip(OF_SENSORS, found.values[count : count + len(OF_SENSORS)].tolist(), strict=True)),
        covariance=found.covariance[:count, :count],
        misfit=found.stretch,
        trace=fly_stepping(corrected, _STEPPING),
        inputs=corrected,
        steps=found.steps,
    )


def _fit(
    unknowns: tuple[Unknown, ...], logs: tuple[Sampled, ...], inputs: FlightInputs, wind: float
) -> Fitted:
    count, own = len(unknowns), len(OF_SENSORS)
    keys = [one.key for one in unknowns]
    start = np.concatenate([[one.value for one in unknowns], np.zeros(own * len(logs))])
    sigmas = np.concatenate([[one.sigma for one in unknowns], np.tile(list(OF_SENSORS.values()), len(logs))])
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
        return np.concatenate(parts)

    return fitted(residuals, start, sigmas, (low, high))


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
        ]
    )


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
