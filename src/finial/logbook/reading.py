"""From a log's columns to what was sensed on one clock, zero at lift-off."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from finial.atmosphere.day import Day
from finial.atmosphere.pressure_height import height_over_pad
from finial.atmosphere.standard import standard_air
from finial.core.constants import STANDARD_GRAVITY_M_S2
from finial.core.errors import Fault, LogError, OutsideRange
from finial.core.estimates import Estimate
from finial.core.local_map import to_local
from finial.files.flight_log.read import FlightLog
from finial.flown.clock import gaps, pieces, unwrapped, without_repeats
from finial.flown.lift_off import lift_off_felt, lift_off_risen
from finial.flown.noise import reading_noise, saturated
from finial.flown.sensed import Sensed
from finial.logbook.notes import Note, NoteKind

_MOST_PIECES = 20
_FEWEST_ROWS = 20
_SLOWEST_STEP_S = 2.0
_LONGEST_S = 86_400.0
_LEAST_PA, _MOST_PA = 22_632.0, 110_000.0
_MOST_LEFT_OUT = 0.02
_JITTER_ROWS = 10
_DIFFER_S = 1.0
_LEAST_GAP_S = 0.1
_SATELLITE_HEIGHT_M = 3.0
"""No height by satellites is known better; assumed: what it reads on the pad moves too slowly to show."""
_PAD_S = 30.0
"""Rows on the pad kept before lift-off."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One log on its own clock, and what was odd about it."""

    file: str
    sensed: Sensed
    lift_off: Estimate
    """On the clock of ``sensed``: about zero."""
    clock_at_lift_off_s: float
    """What the recorder's own clock showed then."""
    rows: int
    step_s: float
    """Usual time from row to row in flight."""
    notes: tuple[Note, ...]
    pad_pressure_pa: float | None = None
    """Before lift-off; ``None`` without a barometer's own pressure."""


def reading(log: FlightLog, day: Day) -> Reading:
    """Put a log on one clock, zero at lift-off.

    Raises
    ------
    LogError
        If the clock makes no sense, units or axis do not fit what a pad feels, or nothing lifts off.
    """
    times = _clock(log)
    notes = list(_notes_of_file(log))
    order, odd = _order(log, times)
    notes += odd
    found = _piece_with_lift_off(log, times, order, day)
    if found.of > 1:
        left_out = float(len(order) - len(found.rows))
        notes.append(Note(kind=NoteKind.RESTARTED, line=found.next_line, amount=left_out))
    kept = found.rows[without_repeats(times[found.rows])]
    if len(kept) < len(found.rows):
        notes.append(Note(kind=NoteKind.REPEATED_TIMES, amount=float(len(found.rows) - len(kept))))
    return _on_flight_clock(log, times, kept, day, found.lift_off, notes)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Piece:
    rows: NDArray[np.int64]
    lift_off: Estimate
    of: int
    next_line: int | None


def _clock(log: FlightLog) -> NDArray[np.float64]:
    counts = log.counts
    if log.wraps_at_s is None:
        return counts
    try:
        return unwrapped(counts, log.wraps_at_s)
    except OutsideRange as error:
        bad = np.flatnonzero((counts < 0.0) | (counts > log.wraps_at_s))
        line = int(log.lines[bad[0]]) if bad.size else None
        raise _refused(
            log, line, str(error), "wraps_at of the size the counter has, in its own counts"
        ) from error


def _order(log: FlightLog, times: NDArray[np.float64]) -> tuple[NDArray[np.int64], list[Note]]:
    """Put rows in order that stand a little before their time; refuse a column that is no clock."""
    spans = pieces(times)
    falls = [first for first, _ in spans[1:]]
    step = float(np.median(np.abs(np.diff(times))))
    if not step > 0.0:
        line = int(log.lines[1])
        raise _refused(
            log, line, "a time that does not move", "a column of times that rise", "another column?"
        )
    small = [row for row in falls if times[row - 1] - times[row] < _JITTER_ROWS * step]
    if len(falls) - len(small) > _MOST_PIECES or len(small) > 0.1 * len(times):
        line = int(log.lines[falls[0]])
        before, after = times[falls[0] - 1], times[falls[0]]
        given = f"a time that goes back {len(falls)} times, here from {before:g} to {after:g} s"
        slip = "another column? or a counter that wraps: write wraps_at in [time]"
        raise _refused(log, line, given, "a column of times that rise", slip)
    if not small:
        return np.arange(len(times)), []
    cuts = [row for row in falls if row not in set(small)]
    parts = np.split(np.arange(len(times)), cuts)
    order = np.concatenate([part[np.argsort(times[part], kind="stable")] for part in parts])
    note = Note(kind=NoteKind.OUT_OF_ORDER, line=int(log.lines[small[0]]), amount=float(len(small)))
    return order, [note]


def _piece_with_lift_off(
    log: FlightLog, times: NDArray[np.float64], order: NDArray[np.int64], day: Day
) -> _Piece:
    spans = pieces(times[order])
    woke: OutsideRange | None = None
    for number, (first, end) in enumerate(spans):
        rows = order[first:end]
        if len(rows) < _FEWEST_ROWS:
            continue
        _refuse_odd_clock(log, times, rows)
        try:
            lift_off = _lift_off(log, times, rows, day)
        except OutsideRange as error:
            woke = woke or error
            continue
        if lift_off is not None:
            other = spans[number + 1] if number + 1 < len(spans) else spans[0]
            line = int(log.lines[order[other[0]]]) if len(spans) > 1 else None
            return _Piece(rows=rows, lift_off=lift_off, of=len(spans), next_line=line)
    if woke is not None:
        slip = "the recorder woke up in flight, or began anew there: what happened before is not in this log"
        raise _refused(log, int(log.lines[0]), str(woke), "a log that begins on the pad", slip)
    accepted = "a push of half a g that lasts, or a climb of 8 m"
    slip = "a log of the pad alone, or a unit or an axis of the mapping"
    raise _refused(log, int(log.lines[-1]), "no lift-off down to here", accepted, slip)


def _refuse_odd_clock(log: FlightLog, times: NDArray[np.float64], rows: NDArray[np.int64]) -> None:
    span, step = times[rows[-1]] - times[rows[0]], float(np.median(np.diff(times[rows])))
    line = int(log.lines[rows[0]])
    if step > _SLOWEST_STEP_S:
        given, slip = f"{step:.3g} s from row to row", "a unit of time: ms, not s?"
        raise _refused(log, line, given, f"rows at most {_SLOWEST_STEP_S:g} s apart", slip)
    if span > _LONGEST_S:
        raise _refused(log, line, f"a log of {span / 3600:.3g} h", "a day at most", "a unit of time?")
    if span < 1.0:
        raise _refused(
            log, line, f"a log of {span:.3g} s", "a flight: seconds at least", "a unit of time: s, not ms?"
        )


def _lift_off(
    log: FlightLog, times: NDArray[np.float64], rows: NDArray[np.int64], day: Day
) -> Estimate | None:
    if log.felt_m_s2 is not None:
        felt = lift_off_felt(times[rows], log.felt_m_s2[rows, 0])
        if felt is not None:
            return felt
    heights = _heights(log, rows, day)[0]
    return None if heights is None else lift_off_risen(times[rows], heights)


def _heights(
    log: FlightLog, rows: NDArray[np.int64], day: Day, on_pad: NDArray[np.bool_] | None = None
) -> tuple[NDArray[np.float64] | None, int]:
    """Heights above the pad, and how many pressures were left out."""
    pad = np.arange(len(rows)) < max(8, len(rows) // 50) if on_pad is None else on_pad
    if log.pressure_pa is not None:
        return _by_pressure(log, log.pressure_pa[rows], rows, day, pad)
    if log.height_m is None:
        return None, 0
    # A barometer's recorder takes the air for standard: on a hot day the true climb is larger.
    standard_k = float(standard_air(day.ground_asl_m).temperature_k)
    ratio = 1.0 if log.height_is_true else day.temperature_k / standard_k
    heights = log.height_m[rows]
    return (heights - np.nanmedian(heights[pad])) * ratio, 0


def _by_pressure(
    log: FlightLog,
    pressures: NDArray[np.float64],
    rows: NDArray[np.int64],
    day: Day,
    pad: NDArray[np.bool_],
) -> tuple[NDArray[np.float64], int]:
    known = np.isfinite(pressures)
    bad = known & ((pressures < _LEAST_PA) | (pressures > _MOST_PA))
    if bad.sum() > _MOST_LEFT_OUT * max(known.sum(), 1):
        first = int(np.flatnonzero(bad)[0])
        raise _refused(
            log,
            int(log.lines[rows[first]]),
            f"a pressure of {pressures[first]:g} Pa",
            f"{_LEAST_PA:g} to {_MOST_PA:g} Pa",
            "a unit: hPa, not Pa? or another column",
        )
    good = known & ~bad
    on_pad = float(np.median(pressures[good & pad])) if (good & pad).any() else day.pressure_pa
    heights = np.full(len(rows), np.nan)
    heights[good] = height_over_pad(replace(day, pressure_pa=on_pad), pressures[good])
    return heights, int(bad.sum())


def _on_flight_clock(
    log: FlightLog,
    times: NDArray[np.float64],
    rows: NDArray[np.int64],
    day: Day,
    lift_off: Estimate,
    notes: list[Note],
) -> Reading:
    zero = lift_off.value
    rows = rows[times[rows] > zero - _PAD_S]
    clock = times[rows] - zero
    on_pad = clock < min(lift_off.low - zero, -0.05)
    heights, left_out = _heights(log, rows, day, on_pad)
    felt = np.full((len(rows), 3), np.nan) if log.felt_m_s2 is None else log.felt_m_s2[rows]
    _refuse_odd_rest(log, felt, on_pad, rows)
    stuck = _stuck(log, felt)
    notes += list(_notes_of_rows(log, clock, rows, stuck, left_out))
    sensed = Sensed(
        times_s=clock,
        heights_m=np.full(len(rows), np.nan) if heights is None else heights,
        height_noise_m=max(_noise(heights, on_pad, 0.5), _SATELLITE_HEIGHT_M if log.height_is_true else 0.0),
        felt_m_s2=felt,
        felt_noise_m_s2=_noise(felt[:, 0], on_pad, 0.5),
        saturated=stuck,
        turning_rad_s=np.full((len(rows), 3), np.nan)
        if log.turning_rad_s is None
        else log.turning_rad_s[rows],
        east_north_m=_places(log, rows, on_pad),
        heights_by_satellites=log.height_is_true and log.pressure_pa is None,
    )
    notes += list(_lift_offs_differ(sensed, lift_off.shifted(-zero)))
    in_flight = clock[clock > 0.0]
    return Reading(
        file=log.file,
        sensed=sensed,
        lift_off=lift_off.shifted(-zero),
        clock_at_lift_off_s=zero,
        rows=len(log.lines),
        step_s=float(np.median(np.diff(in_flight))) if len(in_flight) > 1 else float("nan"),
        notes=tuple(notes),
        pad_pressure_pa=_pad_pressure(log, rows, on_pad),
    )


def _pad_pressure(log: FlightLog, rows: NDArray[np.int64], on_pad: NDArray[np.bool_]) -> float | None:
    if log.pressure_pa is None:
        return None
    before = log.pressure_pa[rows][on_pad]
    before = before[np.isfinite(before)]
    return float(np.median(before)) if len(before) else None


def _places(log: FlightLog, rows: NDArray[np.int64], on_pad: NDArray[np.bool_]) -> NDArray[np.float64] | None:
    """Metres east and north of the pad, where the receiver had it on the pad."""
    if log.position_deg is None:
        return None
    told = log.position_deg[rows]
    before = told[on_pad & np.isfinite(told).all(axis=1)]
    if not len(before):
        return None
    longitude, latitude = np.radians(np.median(before, axis=0)).tolist()
    return to_local(told, latitude, longitude)


def _refuse_odd_rest(
    log: FlightLog, felt: NDArray[np.float64], on_pad: NDArray[np.bool_], rows: NDArray[np.int64]
) -> None:
    axial = felt[on_pad, 0]
    axial = axial[np.isfinite(axial)]
    if not axial.size:
        return
    rest = float(np.median(axial)) / STANDARD_GRAVITY_M_S2
    if not 0.6 < rest < 1.4:
        raise _refused(
            log,
            int(log.lines[rows[0]]),
            f"{rest:.2f} g along the axis up, on the pad",
            "1 g there, give or take 0.4",
            'another axis up, another unit, or at_rest = "0 g" where the recorder takes the weight off',
        )


def _stuck(log: FlightLog, felt: NDArray[np.float64]) -> NDArray[np.bool_]:
    told = [saturated(felt[:, axis], log.felt_range_m_s2) for axis in range(3)]
    return np.any(told, axis=0)


def _noise(values: NDArray[np.float64] | None, on_pad: NDArray[np.bool_], otherwise: float) -> float:
    if values is None or np.isfinite(values[on_pad]).sum() < 8:
        return otherwise
    return reading_noise(values[on_pad])


def _lift_offs_differ(sensed: Sensed, lift_off: Estimate) -> Iterator[Note]:
    if not (sensed.has_axial and sensed.has_heights):
        return
    try:
        other = lift_off_risen(sensed.times_s, sensed.heights_m)
    except OutsideRange:
        return
    if other is not None and abs(other.value - lift_off.value) > _DIFFER_S:
        yield Note(kind=NoteKind.LIFT_OFFS_DIFFER, amount=other.value - lift_off.value)


def _notes_of_file(log: FlightLog) -> Iterator[Note]:
    if log.odd:
        yield Note(kind=NoteKind.ODD_ROWS, line=log.odd[0], amount=float(len(log.odd)))
    if log.cut_short is not None:
        yield Note(kind=NoteKind.CUT_SHORT, line=log.cut_short)
    if log.zeros:
        yield Note(kind=NoteKind.ZEROS, line=int(log.lines[-1]), amount=float(log.zeros))


def _notes_of_rows(
    log: FlightLog,
    clock: NDArray[np.float64],
    rows: NDArray[np.int64],
    stuck: NDArray[np.bool_],
    left_out: int,
) -> Iterator[Note]:
    wide = gaps(clock)
    steps = np.diff(clock)
    wide = wide[(clock[wide] > -1.0) & (steps[wide] > _LEAST_GAP_S)]
    if wide.size:
        longest = wide[np.argmax(steps[wide])]
        yield Note(kind=NoteKind.GAP, line=int(log.lines[rows[longest]]), amount=float(steps[longest]))
    if stuck.any():
        first = int(np.argmax(stuck))
        yield Note(kind=NoteKind.SATURATED, line=int(log.lines[rows[first]]), amount=float(stuck.sum()))
    if left_out:
        yield Note(kind=NoteKind.PRESSURE_LEFT_OUT, amount=float(left_out))


def _refused(log: FlightLog, line: int | None, given: str, accepted: str, likely_slip: str = "") -> LogError:
    fault = Fault(
        file=log.file, line=line, field="log", given=given, accepted=accepted, likely_slip=likely_slip
    )
    return LogError([fault])
