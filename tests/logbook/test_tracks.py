"""A satellite receiver alone and beside a recorder: where it landed, where the wind came from."""

from dataclasses import replace

import numpy as np
import pytest

from finial.core.local_map import to_degrees
from finial.files.flight_log.read import FlightLog
from finial.flight.fly import fly
from finial.flight.trace import EventKind
from finial.flown.happening import Seen
from finial.logbook.compare import ComparedNumber, compared
from finial.logbook.reading import reading
from finial.logbook.refit import refit
from finial.logbook.rehearsal import Sensors, rehearsed
from finial.logbook.story import story
from finial.logbook.unknowns import UnknownKind, changed_inputs
from finial.report.log_text import story_sections
from finial.report.refit_text import comparison_section, refit_section
from finial.report.shown import Shown

PLACE_RAD = (0.84, 0.2)


def tracked(trace, seed, step_s=1.0):
    """Rows of a receiver: a place a second, off by metres that change slowly."""
    chance = np.random.default_rng(seed)
    times = np.arange(trace.times_s[0] - 20.0, trace.times_s[-1] + 15.0, step_s)
    moved = trace.positions_m - trace.positions_m[0]
    true = np.column_stack([np.interp(times, trace.times_s, moved[:, axis]) for axis in range(3)])
    wander = np.cumsum(chance.normal(0.0, 0.2, true.shape), axis=0)
    wander -= wander[0]
    read = true + wander + chance.normal(0.0, [0.5, 0.5, 1.0], true.shape)
    return FlightLog(
        file="track.gpx",
        lines=np.arange(len(times)),
        counts=times - times[0],
        wraps_at_s=None,
        pressure_pa=None,
        height_m=220.0 + read[:, 2],
        felt_m_s2=None,
        felt_range_m_s2=None,
        turning_rad_s=None,
        position_deg=to_degrees(read[:, :2], *PLACE_RAD),
        height_is_true=True,
    )


@pytest.fixture(scope="module")
def flown(foreseen):
    """A day with more wind than told, from further round."""
    case = foreseen.case
    truth = {"wind": 1.3 * case.spread.wind_speed_m_s, "wind turn": 0.35}
    return truth, fly(changed_inputs(case.inputs, truth, case.spread.wind_speed_m_s))


@pytest.fixture(scope="module")
def track(foreseen, flown):
    return story(
        reading(tracked(flown[1], 3), foreseen.day), tilt_rad=foreseen.tilt_rad, rail_m=foreseen.rail_m
    )


def test_a_place_a_second_tells_the_flight(track, flown):
    trace = flown[1]
    lift_off, apogee = (trace.event(kind).time_s for kind in (EventKind.LIFT_OFF, EventKind.APOGEE))
    top = trace.positions_m[:, 2].max() - trace.positions_m[0, 2]
    assert track.climb.heights_m.max() == pytest.approx(top, rel=0.02)
    assert track.when(Seen.APOGEE).time.value == pytest.approx(apogee - lift_off, abs=1.0)
    assert track.reading.sensed.has_places
    told = dict(story_sections(track, Shown(us_units=False))[0].facts)
    assert "satellite receiver" in " ".join(told.values())
    assert "barometer" not in " ".join(told.values())


def test_a_height_by_satellites_is_not_stretched_by_the_days_warmth(foreseen, flown):
    log = tracked(flown[1], 3)
    hot = replace(foreseen.day, temperature_k=foreseen.day.temperature_k + 30.0)
    cool, warm = (reading(log, day).sensed.heights_m for day in (foreseen.day, hot))
    assert warm == pytest.approx(cool)
    by_pressure = reading(replace(log, height_is_true=False), hot).sensed.heights_m
    assert np.nanmax(by_pressure) > 1.05 * np.nanmax(warm)


def test_a_track_tells_the_wind_and_where_it_came_from(track, foreseen, flown):
    truth, trace = flown
    case = foreseen.case
    found = refit((track,), case.inputs, case.spread)
    for kind, key in ((UnknownKind.WIND, "wind"), (UnknownKind.WIND_TURN, "wind turn")):
        one = found.of(kind)
        assert abs(one.after.value - truth[key]) < 2.5 * one.sigma, key
        assert one.fixed > 0.6
        assert abs(one.unknown.value - truth[key]) > 2.5 * one.sigma
    told = compared(track, found, case.inputs, case.spread)
    (drift,) = [one for one in told.differences if one.quantity is ComparedNumber.DRIFT]
    moved = trace.positions_m[-1, :2] - trace.positions_m[0, :2]
    assert drift.measured.value == pytest.approx(np.hypot(*moved), abs=6.0)
    assert drift.corrected == pytest.approx(drift.measured.value, abs=15.0)
    words = " ".join(
        cell
        for section in (
            refit_section(found, Shown(us_units=False)),
            comparison_section(told, found, Shown(us_units=False)),
        )
        for table in section.tables
        for row in table.rows
        for cell in row
    )
    assert "wind's bearing" in words
    assert "drift from the pad" in words


def test_beside_a_recorder_it_adds_the_wind_and_takes_nothing(track, foreseen, flown):
    case = foreseen.case
    log = rehearsed(flown[1], foreseen.day, Sensors(), 5)
    columns = FlightLog(
        file="a.csv", lines=np.arange(len(log.times_s)), counts=log.times_s, wraps_at_s=None,
        pressure_pa=log.pressures_pa, height_m=None, felt_m_s2=log.felt_m_s2, felt_range_m_s2=500.0,
        turning_rad_s=log.turning_rad_s,
    )  # fmt: skip
    alone = story(reading(columns, foreseen.day), tilt_rad=foreseen.tilt_rad, rail_m=foreseen.rail_m)
    one, both = (refit(logs, case.inputs, case.spread) for logs in ((alone,), (alone, track)))
    for others, drifts in (((), 0), ((track,), 1)):
        found = compared(alone, both, case.inputs, case.spread, others).differences
        assert sum(one.quantity is ComparedNumber.DRIFT for one in found) == drifts
    assert one.of(UnknownKind.WIND_TURN) is None
    assert both.of(UnknownKind.WIND).fixed > one.of(UnknownKind.WIND).fixed + 0.2
    assert both.of(UnknownKind.DRAG).sigma < 1.3 * one.of(UnknownKind.DRAG).sigma
