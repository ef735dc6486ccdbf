"""The stages of a check in words: each fact where a builder looks for it, and said the right way round."""

import math
import re
from dataclasses import replace

import numpy as np
import pytest

from finial.aero.drag.sources import DragKind, DragSource, acting_at
from finial.assemble.air.results import Straightness
from finial.assemble.day import DayResult
from finial.assemble.flights.results import UNHELD_RAD, Loss, LostFlight
from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate, KnownBy, exact
from finial.findings.range_result import RangeResult
from finial.report.document import ReportSection, Table
from finial.report.sections.air import air_section, drag_words, stability_section
from finial.report.sections.air_time import flight_section, landing_section
from finial.report.sections.body import mass_section, shape_section
from finial.report.sections.descent import recovery_section
from finial.report.sections.electronics import electronics_section
from finial.report.sections.field import guesses_section, range_section
from finial.report.sections.loads import moment_words, strength_section
from finial.report.shown import Shown, bearing, factor
from finial.report.stages import all_sections

METRIC, US = Shown(us_units=False), Shown(us_units=True)
WORDS_FOR_NONE = ("", "none", "no pins", "not known", "not entered", "sealed", "over", "at least")


def between(low: float, value: float, high: float) -> Estimate:
    return Estimate(value=value, low=low, high=high, known_by=KnownBy.COMPUTED)


def rows(section: ReportSection, title: str) -> list[dict[str, str]]:
    (found,) = (one for one in section.tables if one.title.startswith(title))
    return [dict(zip(found.columns, row, strict=True)) for row in found.rows]


def is_number(cell: str) -> bool:
    return re.match(r"^[-+−]?[\d.]", cell) is not None


@pytest.mark.parametrize("us_units", [False, True])
def test_columns_set_right_hold_numbers_and_all_of_them(readiness, us_units) -> None:
    """A column of numbers stands right so that digits line up; a column of words stands left."""
    tables = [one for each in all_sections(replace(readiness, us_units=us_units)) for one in each.tables]
    assert len(tables) > 12
    for one in (table for table in tables if table.rows):
        assert all(len(row) == len(one.columns) for row in one.rows)
        for index, name in enumerate(one.columns):
            cells = [row[index] for row in one.rows]
            if index in one.numbers:
                assert all(is_number(cell) or cell.startswith(WORDS_FOR_NONE) for cell in cells), (
                    one.title,
                    name,
                )
            elif name != "interval":  # of a guess: lengths, masses and words, so it reads from the left
                assert not all(map(is_number, cells)), (one.title, name)
        assert set(one.numbers) | set(one.pages_only) <= set(range(len(one.columns)))


def test_a_table_for_the_terminal_keeps_its_number_columns() -> None:
    wide = Table(title="t", columns=("a", "b", "c"), rows=(("x", "y", "1"),), numbers=(2,), pages_only=(1,))
    narrow = wide.for_terminal()
    assert (narrow.columns, narrow.rows, narrow.numbers) == (("a", "c"), (("x", "1"),), (1,))


def test_the_shape_is_told_at_nine_stations(readiness) -> None:
    section = shape_section(readiness)
    told = rows(section, "Sections of the skin")
    assert [row["station"] for row in told][::4] == ["0 mm", "600 mm", "1200 mm"]
    skin = readiness.shape.skin
    area = float(np.interp(0.6, skin.stations_m, skin.areas_m2))
    assert told[4]["area"] == METRIC.plain(area, Dimension.AREA)
    facts = dict(section.facts)
    assert facts["length over width"] == f"{1.2 / skin.width_m:.1f}"
    assert facts["fins"] == "fins: 4, root at 930 mm, 160 mm out, 5 mm thick"
    assert facts["across, without fins"] == "185 mm x 185 mm"


def test_inertia_terms_stand_in_their_place(readiness) -> None:
    tensor = np.array([[0.03, 0.001, 0.002], [0.001, 0.6, 0.003], [0.002, 0.003, 0.7]])
    mass = replace(readiness.mass, lift_off=replace(readiness.mass.lift_off, inertia_kg_m2=tensor))
    told = {
        row["term"]: row["at lift-off"]
        for row in rows(mass_section(replace(readiness, mass=mass)), "Inertia")
    }
    assert told == {
        "xx": "0.03 kg m2",
        "yy": "0.6 kg m2",
        "zz": "0.7 kg m2",
        "xy": "0.001 kg m2",
        "xz": "0.002 kg m2",
        "yz": "0.003 kg m2",
    }


def test_the_mass_table_has_the_heaviest_first_and_the_sum_last(readiness) -> None:
    told = mass_section(readiness).tables[0].rows
    names = [row[0] for row in told]
    heaviest = sorted(readiness.mass.rows, key=lambda one: -one.mass.value)
    assert names == [*(one.name for one in heaviest), "all at lift-off"]


@pytest.mark.parametrize(
    ("turn", "angle", "spin"),
    [
        ({"trim_rad": math.radians(0.04)}, "0.0 deg", "hardly"),
        ({"trim_rad": math.radians(0.06)}, "0.1 deg, cross wind towards roll 90 deg", "hardly"),
        (
            {"trim_rad": None, "holds_rad": math.radians(149.0)},
            "it may hold at 149 deg: it does not",
            "hardly",
        ),
        ({"trim_rad": None, "holds_rad": math.radians(151.0)}, "no angle holds: it does not", "hardly"),
        ({"trim_rad": 0.0, "turns_per_m": 0.0011}, "0.0 deg", "909091 mm"),
        ({"trim_rad": 0.0, "turns_per_m": -0.02}, "0.0 deg", "50000 mm"),
        ({"trim_rad": 0.0, "turns_per_m": 0.0009}, "0.0 deg", "hardly"),
    ],
)
def test_how_straight_it_coasts(readiness, turn, angle, spin) -> None:
    usual = {
        "trim_rad": 0.0,
        "holds_rad": 0.0,
        "trim_roll_rad": math.pi / 2,
        "turns_per_m": 0.0,
        "side_force": (0.0, 0.0),
        "drag_line_m": (0.0, 0.0),
    }
    air = replace(readiness.air, straightness=Straightness(**{**usual, **turn}))
    facts = dict(air_section(replace(readiness, air=air)).facts)
    assert facts["coasts off straight by"].startswith(angle)
    told = facts["one turn about the axis in"]
    assert told == (spin if spin == "hardly" else METRIC.length(1.0 / abs(turn["turns_per_m"])))


def test_pushed_aside_is_a_share_of_the_largest_force_along_the_wind(readiness) -> None:
    table = readiness.air.table
    assert dict(air_section(readiness).facts)["pushed aside at most"] == "hardly"
    across = np.array([[[0.9], [-1.8]], [[0.0], [0.0]]])
    aside = replace(readiness.air, table=replace(table, across=across))
    told = dict(air_section(replace(readiness, air=aside)).facts)["pushed aside at most"]
    assert told.startswith("20 % of the largest force along the wind, at 10 deg")
    assert told.endswith("towards roll 0 deg")  # the second column is a whole turn: roll 360
    less = replace(table, across=across * 0.0049)
    told = dict(air_section(replace(readiness, air=replace(aside, table=less))).facts)
    assert told["pushed aside at most"] == "hardly"


def test_damping_is_read_at_the_mach_number_of_the_drag(readiness) -> None:
    two = replace(
        readiness.air.table,
        mach=np.array([0.2, 0.4]),
        pitch_damping=np.array([-80.0, -100.0]),
        roll_damping=np.array([-10.0, -30.0]),
        yaw_damping=np.array([-60.0, -64.0]),
    )
    grids = {
        name: np.repeat(getattr(two, name), 2, axis=-1)
        for name in ("along", "across", "along_moment", "across_moment", "roll_moment")
    }
    grids |= {
        name: np.repeat(getattr(two, name), 2, axis=-1) for name in ("axial_power_on", "axial_power_off")
    }
    air = replace(readiness.air, table=replace(two, **grids))
    facts = dict(air_section(replace(readiness, air=air)).facts)
    assert facts["damping in pitch, yaw"].startswith("-90, -62 per unit")
    assert facts["damping in roll"].startswith("-20 per unit")
    same = replace(air, table=replace(air.table, yaw_damping=None))
    facts = dict(air_section(replace(readiness, air=same)).facts)
    assert facts["damping in pitch, yaw"].startswith("-90, -90 per unit")


def test_drag_rows_add_up_to_their_last(readiness) -> None:
    told = rows(air_section(readiness), "Drag coefficient")
    assert [row["coefficient"] for row in told] == [
        "0.450 (0.300 to 0.600)",
        "0.120 (0.100 to 0.150)",
        "0.570 (0.400 to 0.750)",
    ]
    burning = replace(readiness.air, base_burning=between(0.01, 0.02, 0.03))
    last = rows(air_section(replace(readiness, air=burning)), "Drag coefficient")[-1]
    assert (last["from"], last["coefficient"]) == ("base alone, motor burning", "0.020 (0.010 to 0.030)")


@pytest.mark.parametrize(
    ("kind", "station_m", "words"),
    [
        (DragKind.FRONT, 0.0, "front of the tip"),
        (DragKind.FRONT, 0.25, "front of the ledge at 250 mm"),
        (DragKind.RING_FRICTION, 0.5, "friction of the ring at 500 mm"),
        (DragKind.OUTLYING, 0.5, "parts beside the body at 500 mm"),
    ],
)
def test_drag_is_told_by_what_and_where(kind, station_m, words) -> None:
    row = DragSource(kind=kind, station_m=station_m, acts=acting_at(station_m), coefficient=exact(0.1))
    assert drag_words(row, False) == words


def test_why_the_band_has_width_comes_widest_first(readiness) -> None:
    turned = replace(readiness.air, contributions=readiness.air.contributions[::-1])
    told = rows(air_section(replace(readiness, air=turned)), "Why the band")
    widths = [float(row["in widths"]) for row in told]
    assert widths == sorted(widths, reverse=True)
    skin = readiness.shape.skin
    assert widths[0] == pytest.approx((0.06 + 0.03) / skin.width_m, abs=0.005)
    assert told[0]["towards the tip"] == "60.0 mm"


def test_the_band_is_told_at_angles_that_were_computed(readiness) -> None:
    told = rows(air_section(readiness), "Pressure band at the worst roll")
    assert [row["angle of attack"] for row in told] == ["0 deg", "5 deg", "10 deg", "20 deg", "30 deg"]
    # At 20 degrees and the worst roll: 0.80 - 0.06 - 0.015 - 0.09 m to 0.80 - 0.06 - 0.015 + 0.05 m.
    assert told[3]["with fins"] == "635 to 775 mm"
    assert told[3]["worst roll"] == "45 deg"
    short = replace(readiness.air, angles_rad=readiness.air.angles_rad * 19.9 / 30)
    told = rows(air_section(replace(readiness, air=short)), "Pressure band at the worst roll")
    assert len(told) == 3


def test_margins_are_told_by_their_bad_end_in_widths_and_share_of_length(readiness) -> None:
    point = readiness.stability[0]
    (first, *_) = rows(stability_section(readiness), "Margin from balance")
    assert first["worst, in widths"] == f"{point.margin.low / 0.19:.2f}"
    assert first["worst, of length"] == f"{100 * point.margin.low / 1.2:.1f} %"
    (judged, *_) = rows(stability_section(readiness), "What it is judged")
    assert judged["time"] == "0.48 s"
    assert judged["angle to"] == "20 deg"
    assert f"{1.2 / readiness.shape.skin.width_m:.1f} widths long" in stability_section(readiness).notes[0]


@pytest.mark.parametrize(
    ("value", "high", "words"),
    [
        (0.1, UNHELD_RAD - 0.01, "6 deg (anything up to 89)"),
        (0.1, UNHELD_RAD, "5.73 deg; at the bad end no angle holds it"),
        (UNHELD_RAD, UNHELD_RAD, "no angle: it turns over"),
    ],
)
def test_an_angle_that_nothing_holds_is_said_to_be_none(readiness, value, high, words) -> None:
    line = replace(readiness.flight.thrust_line, held_angle=between(0.0, value, high))
    flight = replace(readiness.flight, thrust_line=line)
    told = dict(flight_section(replace(readiness, flight=flight)).facts)["held by the fins at"]
    assert told.startswith(words)


def test_lost_flights_are_told_and_spoil_what_follows(readiness) -> None:
    lost = tuple(
        LostFlight(flight="windy", time_s=1.25, loss=loss, under_thrust=burning)
        for loss, burning in ((Loss.TURNED_OVER, True), (Loss.TURNED_OVER, False))
    )
    flight = replace(readiness.flight, lost=lost)
    notes = flight_section(replace(readiness, flight=flight)).notes
    assert notes[0].endswith("under thrust.")
    assert not notes[1].endswith("under thrust.")
    assert notes[0].startswith("Lost: the windy flight at 1.2 s")
    assert notes[-1].startswith("What follows from a lost flight")
    assert flight_section(readiness).notes == ()
    stopped = replace(
        readiness.flight, trace=replace(readiness.flight.trace, ended="the step grew too small")
    )
    assert (
        flight_section(replace(readiness, flight=stopped)).notes[0].startswith("The computed flight stopped")
    )


def test_flight_facts_are_those_of_the_record(readiness) -> None:
    facts = dict(flight_section(readiness).facts)
    assert facts["motor"] == "demo-k500, class K, 1340 N s, 515 N average"
    assert facts["top acceleration"] == "10.2 g"
    assert facts["top speed"].endswith("; Mach 0.53")
    assert facts["fore button leaves at, aft button at"] == "16.0 m/s (14.9 to 17.1), 17.2 m/s (16.1 to 18.4)"


def test_landing_is_told_by_distance_and_compass(readiness) -> None:
    flight = replace(readiness.flight, landing_east_m=-30.0, landing_north_m=30.0)
    facts = dict(landing_section(replace(readiness, flight=flight)).facts)
    assert facts["bearing from the pad"] == "315 deg"
    assert facts["east, north"] == "-30 m, 30 m"


@pytest.mark.parametrize(
    ("radians", "words"), [(0.0, "000 deg"), (-math.pi / 2, "270 deg"), (math.pi, "180 deg")]
)
def test_bearings_have_three_figures(radians, words) -> None:
    assert bearing(radians) == words


@pytest.mark.parametrize(
    ("low", "value", "high", "words"),
    [
        (0.5, 1.0, 1.5, "1.00 (0.50 to 1.50)"),
        (9.994, 9.996, 10.0, "10.00 (9.99 to 10)"),
        (50.0, 99.0, 100.0, "99 (50 to over 100)"),
        (100.0, 200.0, 300.0, "over 100"),
        (99.9, 99.9, 99.9, "99.90"),
    ],
)
def test_factors_say_plenty_where_there_is(low, value, high, words) -> None:
    assert factor(between(low, value, high)) == words


@pytest.mark.parametrize(
    ("metres", "metric", "us"),
    [(9.94, "9.9 m", "33 ft"), (10.0, "10 m", "33 ft"), (3.0, "3.0 m", "9.8 ft"), (-0.01, "0.0 m", "0.0 ft")],
)
def test_heights_lose_their_decimal_from_ten_on(metres, metric, us) -> None:
    assert (METRIC.height(metres), US.height(metres)) == (metric, us)


def test_small_lengths_and_inertias_in_both_systems() -> None:
    assert (METRIC.offset(0.00254), US.offset(0.00254)) == ("2.5 mm", "0.10 in")
    assert US.inertia(1.0) == "23.73 lb ft2"
    assert METRIC.inertia(1e-7) == "0 kg m2"
    assert METRIC.inertia(1.1e-7) == "1.1e-07 kg m2"
    assert moment_words(1200.0, METRIC) == "1200 N m"
    assert moment_words(12.0, METRIC) == "12 N m"
    assert moment_words(12.0, US).endswith("lbf ft")


def test_reserves_and_loads_of_the_body(readiness) -> None:
    section = strength_section(readiness)
    peaks = rows(section, "Largest loads")
    assert [row["bending"] for row in peaks] == ["4 N m", "34 N m"]
    assert [row["axial, compression"] for row in peaks] == ["720 N", "420 N"]
    assert [row["shear"] for row in peaks] == ["20 N", "90 N"]
    pulled = replace(readiness.strength.cases[0], axial_n=-readiness.strength.cases[0].axial_n)
    only = replace(readiness, strength=replace(readiness.strength, cases=(pulled,)))
    assert rows(strength_section(only), "Largest loads")[0]["axial, compression"] == "0 N"


def test_recovery_says_what_stands_against_what(readiness) -> None:
    section = recovery_section(readiness)
    pushed = rows(section, "Charges: force on the joint")
    assert [row["pins hold"] for row in pushed] == ["450 N (400 to 500)", "no pins"]
    assert section.notes == ("Charges: always ground-test.",)
    none = replace(readiness, recovery=replace(readiness.recovery, charges=()))
    assert recovery_section(none).notes == ()


def test_electronics_says_what_fails_alone_and_what_a_second_part_would_do(readiness) -> None:
    section = electronics_section(readiness)
    assert section.notes[0] == "Each of these alone loses main: switch A (switch)."
    (odds,) = (one for one in section.tables if one.title.startswith("main does not come out"))
    assert odds.title.endswith("0.03 (0.01 to 0.1), assumed")
    assert [row[2] for row in odds.rows] == ["x 0.20", ""]
    (second,) = (one for one in section.tables if one.title.startswith("A second part beside one"))
    assert "main" in second.title
    assert second.rows == (("switch A (switch)", "x 0.20"),)
    (firing,) = (one for one in section.tables if one.title == "Firing paths")
    assert [row[6] for row in firing.rows] == ["1 A", "not known"]
    facts = dict(section.facts)
    assert facts["battery B on the pad"] == "not known"


def day() -> DayResult:
    return DayResult(
        site="Pretend Field",
        ground_asl_m=120.0,
        wind=between(3.0, 4.0, 6.0),
        wind_from_rad=math.pi / 2,
        rail_length_m=3.0,
        rail_tilt_rad=math.radians(5.0),
        rail_toward_rad=math.radians(280.0),
        temperature=exact(288.15),
        pressure_pa=99_890.0,
        density_altitude_m=130.0,
    )


def test_the_day_is_told_so_that_it_can_be_looked_at_again(readiness) -> None:
    told = replace(readiness.range_safety, day=day())
    facts = dict(range_section(replace(readiness, range_safety=told)).facts)
    assert facts["computed for the pad at"].startswith("Pretend Field, 120")
    assert facts["in a wind at 10 m of"] == "4 m/s (3 to 6) from 090 deg"
    assert facts["off a rail of"].endswith("tilted 5 deg towards 280 deg")
    assert "as thin as at 130" in facts["in air of"]
    assert "in air of" not in dict(range_section(readiness).facts)


def test_what_the_code_does_not_hold_is_not_known(readiness) -> None:
    rules: RangeResult = readiness.range_safety
    bare = replace(rules, ceiling_agl_m=None, airspace="", bystander_minimum_m=None, at_once=2, together=())
    facts = dict(range_section(replace(readiness, range_safety=bare)).facts)
    assert facts["ceiling above ground"] == facts["class of the airspace"] == "not entered"
    assert facts["least distance to bystanders, 14 CFR 101.25 (g)"] == "not asked by this code's law"
    assert facts["2 at once"] == "no rule of its own in the code's table"
    assert facts["high power"].startswith("yes")
    usual = dict(range_section(readiness).facts)
    assert "1 at once" not in usual
    assert usual["ceiling above ground"].startswith("1500")


def test_guesses_come_weightiest_first(readiness) -> None:
    told = guesses_section(readiness).tables[0].rows
    assert "step" in told[0][0]
    assert "paint and filler" in told[1][0]
    none = guesses_section(replace(readiness, guesses=()))
    assert (none.tables, none.notes) == ((), ("No guess moves the answer.",))
