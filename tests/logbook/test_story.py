"""What a log tells, against the flight that it was made of: events, speeds, falls, kicks, odd logs."""

import numpy as np
import pytest

from finial.atmosphere.pressure_height import pressure_height
from finial.flight.trace import EventKind
from finial.flown.happening import Certainty, Seen
from finial.logbook.notes import NoteKind
from finial.logbook.rehearsal import MAPPING, Sensors

NO_FELT = """
[time]
column = 1
[pressure]
column = 2
unit = "hPa"
"""


def happened(foreseen, kind, canopy=""):
    lift_off = foreseen.trace.event(EventKind.LIFT_OFF).time_s
    return foreseen.trace.event(kind, canopy).time_s - lift_off


def kinds(told):
    return {note.kind for note in told.notes}


def test_events_are_found_within_their_ends(told, rehearse, foreseen):
    found = told(rehearse(Sensors(kick_m_s2=250.0)).csv())
    expected = {
        Seen.LIFT_OFF: 0.0,
        Seen.RAIL_EXIT: happened(foreseen, EventKind.RAIL_EXIT),
        Seen.APOGEE: happened(foreseen, EventKind.APOGEE),
        Seen.SEPARATION: happened(foreseen, EventKind.OUT, "main"),
        Seen.LANDING: happened(foreseen, EventKind.GROUND),
    }
    for kind, truth in expected.items():
        seen = found.when(kind).time
        room = 0.03 if kind is Seen.RAIL_EXIT else 0.0
        assert seen.low - room <= truth <= seen.high + room, kind
    # The thrust falls below the drag before its curve ends: burnout in a log is a little early.
    assert 0.0 <= happened(foreseen, EventKind.BURNOUT) - found.when(Seen.BURNOUT).time.value < 0.4
    assert found.when(Seen.APOGEE).certainty is Certainty.SURE


def test_speeds_heights_and_falls_are_those_of_the_flight(told, rehearse, foreseen):
    found, trace = told(rehearse(Sensors()).csv()), foreseen.trace
    rises = trace.positions_m[:, 2] - trace.positions_m[0, 2]
    assert found.climb.heights_m.max() == pytest.approx(rises.max(), abs=1.5)
    assert found.climb.speeds_m_s.max() == pytest.approx(trace.velocities_m_s[:, 2].max(), abs=1.0)
    late = trace.times_s > trace.times_s[-1] - 20.0
    sinks = -np.median(trace.velocities_m_s[late, 2])
    (fall,) = found.falls
    assert fall.rate.value == pytest.approx(sinks, rel=0.05)
    felt = np.linalg.norm(trace.accelerations_m_s2, axis=1).max() / 9.80665
    assert found.push.felt_g == pytest.approx(felt, rel=0.1)


def test_a_charge_is_seen_as_a_kick_that_may_have_been_more(told, rehearse):
    found = told(rehearse(Sensors(kick_m_s2=250.0)).csv())
    assert found.snatch.at_least
    assert found.snatch.felt_g == pytest.approx(25.0, abs=1.5)
    assert told(rehearse(Sensors()).csv()).when(Seen.SEPARATION) is None


def test_a_barometer_alone_tells_less_and_says_so(told, rehearse, foreseen):
    found = told(rehearse(Sensors()).csv(), NO_FELT)
    assert found.when(Seen.BURNOUT).certainty is Certainty.HINT
    assert found.when(Seen.APOGEE).time.value == pytest.approx(happened(foreseen, EventKind.APOGEE), abs=0.4)
    assert found.push is None
    assert found.turning is None


def test_rows_that_are_missing_are_told_and_the_flight_goes_on(told, rehearse, foreseen):
    found = told(rehearse(Sensors(gap_s=(6.0, 0.6))).csv())
    (gap,) = [note for note in found.notes if note.kind is NoteKind.GAP]
    assert gap.amount == pytest.approx(0.62, abs=0.03)
    assert gap.line == pytest.approx(1 + (5.0 + 6.0) / 0.02, abs=3)
    assert found.when(Seen.APOGEE).time.value == pytest.approx(happened(foreseen, EventKind.APOGEE), abs=0.1)


def test_a_saturated_accelerometer_is_told_and_not_believed(told, rehearse, foreseen):
    found = told(rehearse(Sensors(felt_range_m_s2=60.0)).csv())
    assert NoteKind.SATURATED in kinds(found)
    assert found.push.at_least
    trace = foreseen.trace
    assert found.climb.speeds_m_s.max() == pytest.approx(trace.velocities_m_s[:, 2].max(), rel=0.06)


def test_power_lost_in_the_air_is_told(told, rehearse):
    lines = rehearse(Sensors()).csv().splitlines()
    text = "\n".join(lines[:2000]) + "\n" + lines[2000][:9] + "\x00" * 64
    found = told(text)
    assert {NoteKind.CUT_SHORT, NoteKind.ZEROS, NoteKind.ENDS_IN_AIR} <= kinds(found)
    assert found.when(Seen.LANDING) is None
    assert found.when(Seen.APOGEE) is not None


def test_a_recorder_that_begins_anew_leaves_the_piece_with_the_lift_off(told, rehearse):
    lines = rehearse(Sensors()).csv().splitlines()
    text = "\n".join([*lines[:1500], lines[0], *lines[1:200]])
    found = told(text)
    (note,) = [one for one in found.notes if one.kind is NoteKind.RESTARTED]
    assert (note.line, note.amount) == (1502, 199.0)
    assert found.when(Seen.APOGEE) is not None


def test_a_counter_that_wraps_tells_the_same_flight(told, rehearse, foreseen):
    log = rehearse(Sensors())
    counts = np.round((log.times_s + 60.0) * 1000.0).astype(int) % 65536
    rows = [f"{count},{pressure:.0f}" for count, pressure in zip(counts, log.pressures_pa, strict=True)]
    mapping = '[time]\ncolumn = 1\nunit = "ms"\nwraps_at = 65536\n[pressure]\ncolumn = 2\nunit = "Pa"\n'
    found = told("\n".join(rows), mapping)
    assert not kinds(found) - {NoteKind.SPIKES}
    assert found.when(Seen.LANDING).time.value == pytest.approx(happened(foreseen, EventKind.GROUND), abs=1.5)


def test_rows_out_of_order_and_twice_are_put_right(told, rehearse, foreseen):
    lines = rehearse(Sensors()).csv().splitlines()
    for row in (400, 700, 900):
        lines[row], lines[row + 1] = lines[row + 1], lines[row]
    lines[500] = lines[499]
    found = told("\n".join(lines))
    assert {NoteKind.OUT_OF_ORDER, NoteKind.REPEATED_TIMES} <= kinds(found)
    assert found.when(Seen.APOGEE).time.value == pytest.approx(happened(foreseen, EventKind.APOGEE), abs=0.1)


def test_a_height_above_the_sea_in_feet_is_read_as_a_climb(told, rehearse, foreseen):
    log = rehearse(Sensors())
    feet = pressure_height(log.pressures_pa) / 0.3048
    rows = [f"{time:.3f};{height:.1f}" for time, height in zip(log.times_s, feet, strict=True)]
    mapping = '[time]\ncolumn = 1\n[height]\ncolumn = 2\nunit = "ft"\n'
    found = told("\n".join(rows), mapping)
    rises = foreseen.trace.positions_m[:, 2]
    assert found.climb.heights_m.max() == pytest.approx(rises.max() - rises[0], rel=0.006)


def test_an_accelerometer_upside_down_tells_the_same(told, rehearse):
    log = rehearse(Sensors())
    usual = told(log.csv())
    flipped = log.csv().splitlines()
    rows = [flipped[0]]
    for line in flipped[1:]:
        cells = line.split(",")
        cells[2] = f"{-float(cells[2]):.4f}"
        cells[4] = f"{-float(cells[4]):.4f}"
        rows.append(",".join(cells))
    found = told("\n".join(rows), MAPPING.replace('up = "+x"', 'up = "-x"', 1))
    assert found.climb.speeds_m_s.max() == pytest.approx(usual.climb.speeds_m_s.max(), abs=0.01)
