"""What one log tells: the smoothed climb, what happened when, and the numbers in it."""

from dataclasses import dataclass

import numpy as np

from finial.core.estimates import Estimate
from finial.flown.events import happenings
from finial.flown.falls import Fall, falls
from finial.flown.happening import LogEvent, Seen
from finial.flown.lean import lean_at
from finial.flown.peaks import FeltPeak, peak
from finial.flown.smoothing import SmoothedClimb, smoothed
from finial.flown.turning import Turning, attitudes, turning
from finial.logbook.notes import Note, NoteKind
from finial.logbook.reading import Reading

_SNATCH_S = 1.0
"""The cord's snatch comes within this of the separation; later it is the canopy."""
_SOUND_M_S = 289.0
"""From about Mach 0.85 on the barometer is left out."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Story:
    """One flight as one log tells it."""

    reading: Reading
    climb: SmoothedClimb
    happenings: tuple[LogEvent, ...]
    falls: tuple[Fall, ...]
    push: FeltPeak | None
    """Largest push before burnout."""
    snatch: FeltPeak | None
    """Largest kick within a second of separation: charge and cord."""
    opening: FeltPeak | None
    """Largest pull after that, until the landing."""
    turning: Turning | None
    lean: Estimate | None
    """From the vertical at the apogee [rad]; ``None`` without gyroscopes."""
    notes: tuple[Note, ...]

    def when(self, kind: Seen) -> LogEvent | None:
        """First happening of a kind; ``None`` where the log does not show it."""
        return next((one for one in self.happenings if one.kind is kind), None)


def story(reading: Reading, *, tilt_rad: float, rail_m: float | None = None) -> Story:
    """Smooth a log and find what happened.

    ``rail_m`` is how far it climbs until nothing holds it; without it the rail exit is not told.
    """
    sensed = reading.sensed
    climb = smoothed(sensed, attitudes(sensed, tilt_rad), _highest_s(reading))
    found = happenings(sensed, climb, reading.lift_off, rail_m)
    when = {one.kind: one.time.value for one in reversed(found)}
    end = when.get(Seen.LANDING, float(sensed.times_s[-1]))
    burnout, apogee = when[Seen.BURNOUT], when.get(Seen.APOGEE)
    apart = when.get(Seen.SEPARATION)
    return Story(
        reading=reading,
        climb=climb,
        happenings=found,
        falls=() if apogee is None else falls(climb, apogee, end),
        push=peak(sensed, 0.0, burnout),
        snatch=None if apart is None else peak(sensed, apart - 0.1, min(apart + _SNATCH_S, end)),
        opening=None if apart is None else peak(sensed, apart + _SNATCH_S, end - 1.0),
        turning=None if apogee is None else turning(sensed, burnout, apogee),
        lean=None if apogee is None else _lean(climb, apogee),
        notes=(*reading.notes, *_notes(climb, when, end)),
    )


def _lean(climb: SmoothedClimb, time_s: float) -> Estimate | None:
    if climb.leans_rad is None or climb.lean_sigmas_rad is None:
        return None
    return lean_at(climb.times_s, climb.leans_rad, climb.lean_sigmas_rad, time_s)


def _highest_s(reading: Reading) -> float:
    """Time of the highest reading; by the accelerometer alone, where its speed is used up."""
    sensed = reading.sensed
    if sensed.has_heights:
        later = np.where(sensed.times_s > 0.0, sensed.heights_m, -np.inf)
        known = np.where(np.isfinite(later), later, -np.inf)
        # The median of five, so that a charge's spike is not taken for the top.
        calm = np.median(np.lib.stride_tricks.sliding_window_view(np.pad(known, 2, mode="edge"), 5), axis=1)
        return float(sensed.times_s[int(np.argmax(calm))])
    from finial.core.constants import STANDARD_GRAVITY_M_S2

    felt = np.where(np.isfinite(sensed.axial_m_s2) & (sensed.times_s >= 0.0), sensed.axial_m_s2, np.nan)
    pushes = np.nan_to_num(felt - STANDARD_GRAVITY_M_S2)
    speed = np.cumsum(pushes * np.gradient(sensed.times_s))
    top = int(np.argmax(speed))
    down = np.flatnonzero(speed[top:] < 0.0)
    return float(sensed.times_s[top + int(down[0])] if down.size else sensed.times_s[-1])


def _notes(climb: SmoothedClimb, when: dict[Seen, float], end: float) -> list[Note]:
    notes = [Note(kind=NoteKind.SPIKES, amount=float(climb.spikes))] if climb.spikes else []
    fastest = float(np.abs(climb.speeds_m_s).max())
    if fastest > _SOUND_M_S:
        notes.append(Note(kind=NoteKind.NEAR_SOUND, amount=fastest))
    if Seen.LANDING not in when:
        notes.append(Note(kind=NoteKind.ENDS_IN_AIR, amount=float(climb.heights_m[-1])))
    return notes
