"""A log thinned to what a fit needs: means over short times, and how well each is known."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.core.statistics import NINETY
from finial.flown.happening import Seen
from finial.logbook.story import Story

CLIMB_STEP_S, FALL_STEP_S = 0.1, 1.0
"""Times that means are taken over, before and after the apogee."""
_SUB_STEPS = 4
_HEIGHT_FLOOR_M, _FELT_FLOOR_M_S2 = 0.15, 0.1
"""No mean is known better: lags and steps of the sensor, bends of the body."""
_OF_A_PUSH = 0.01
LIFT_OFF_S = 0.05
"""No log knows its own lift-off better; assumed."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sampled:
    """Means of one log; equal only to itself."""

    height_times_s: NDArray[np.float64]
    """(k, 4) times inside each mean, from lift-off."""
    heights_m: NDArray[np.float64]
    height_sigmas_m: NDArray[np.float64]
    felt_times_s: NDArray[np.float64]
    felt_m_s2: NDArray[np.float64]
    felt_sigmas_m_s2: NDArray[np.float64]
    place_times_s: NDArray[np.float64]
    """(k, 4), as for the heights."""
    east_north_m: NDArray[np.float64]
    """(k, 2) from the pad; none without a satellite receiver."""
    apogee_s: float
    lift_off_sigma_s: float
    """How well this log knows its own zero."""
    by_satellites: bool


def sampled(story: Story) -> Sampled:
    """Thin a log: heights from lift-off to landing, pushes from lift-off until something comes out."""
    sensed, apogee = story.reading.sensed, _time(story, Seen.APOGEE, float(story.climb.times_s[-1]))
    out = min(_time(story, Seen.SEPARATION, apogee), apogee) - 0.2
    landing = _time(story, Seen.LANDING, float(sensed.times_s[-1])) - 1.0
    usable = np.where(sensed.saturated, np.nan, sensed.axial_m_s2)
    near_sound = np.interp(sensed.times_s, story.climb.times_s, np.abs(story.climb.speeds_m_s)) > 289.0
    heights = np.where(near_sound, np.nan, sensed.heights_m)
    edges = np.concatenate(
        [np.arange(-0.5, apogee, CLIMB_STEP_S), np.arange(apogee, max(landing, apogee + 0.1), FALL_STEP_S)]
    )
    height_times, means, counts = _means(sensed.times_s, heights, edges)
    calm = _without_spikes(means, height_times)
    felt_edges = np.arange(-0.2, max(out, 0.2), CLIMB_STEP_S)
    felt_times, felt, felt_counts = _means(sensed.times_s, usable, felt_edges)
    place_times, places = _places(story, landing)
    return Sampled(
        height_times_s=height_times[calm],
        heights_m=means[calm],
        height_sigmas_m=np.hypot(sensed.height_noise_m / np.sqrt(counts[calm]), _HEIGHT_FLOOR_M),
        felt_times_s=felt_times,
        felt_m_s2=felt,
        felt_sigmas_m_s2=np.sqrt(
            sensed.felt_noise_m_s2**2 / felt_counts + _FELT_FLOOR_M_S2**2 + (_OF_A_PUSH * felt) ** 2
        ),
        place_times_s=place_times,
        east_north_m=places,
        apogee_s=apogee,
        lift_off_sigma_s=max(LIFT_OFF_S, story.reading.lift_off.half_width / NINETY),
        by_satellites=sensed.heights_by_satellites,
    )


def _places(story: Story, landing: float) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Mean places over seconds, from lift-off to landing."""
    sensed = story.reading.sensed
    if sensed.east_north_m is None:
        return np.empty((0, 4)), np.empty((0, 2))
    edges = np.arange(0.0, max(landing, 1.0), FALL_STEP_S)
    (times, east, _), (_, north, _) = (
        _means(sensed.times_s, sensed.east_north_m[:, axis], edges) for axis in (0, 1)
    )
    return times, np.column_stack([east, north])


def _time(story: Story, kind: Seen, otherwise: float) -> float:
    seen = story.when(kind)
    return otherwise if seen is None else seen.time.value


def _means(
    times: NDArray[np.float64], values: NDArray[np.float64], edges: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    """Means between edges where something was read: times to compare a model at, means, readings."""
    known = np.isfinite(values)
    times, values = times[known], values[known]
    place = np.searchsorted(edges, times, side="right") - 1
    inside = (place >= 0) & (place < len(edges) - 1)
    place, times, values = place[inside], times[inside], values[inside]
    slots = len(edges) - 1
    counts = np.bincount(place, minlength=slots).astype(float)
    filled = counts > 0
    safe = np.where(filled, counts, 1.0)
    mean_times = np.bincount(place, weights=times, minlength=slots) / safe
    means = np.bincount(place, weights=values, minlength=slots) / safe
    squares = np.bincount(place, weights=times**2, minlength=slots) / safe
    half = np.sqrt(np.maximum(3.0 * (squares - mean_times**2), 0.0))
    offsets = (np.arange(_SUB_STEPS) + 0.5) / _SUB_STEPS * 2.0 - 1.0
    inside_times = mean_times[:, None] + half[:, None] * offsets
    return inside_times[filled], means[filled], counts[filled]


def _without_spikes(means: NDArray[np.float64], times: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Leave out means that stand far off both neighbours: the pressure of a charge."""
    if len(means) < 5:
        return np.ones(len(means), dtype=bool)
    padded = np.pad(means, 2, mode="edge")
    middle = np.median(np.lib.stride_tricks.sliding_window_view(padded, 5), axis=1)
    reach = 60.0 * np.maximum(np.gradient(times.mean(axis=1)), 0.1) + 5.0
    return np.abs(means - middle) < reach
