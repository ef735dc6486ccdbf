"""Joins between the sheet and the physics, each with numbers worked out on paper: signs, spans and shares."""

import math
from dataclasses import replace

import numpy as np
import pytest

from finial.aero.sections.outlines import regular_polygon, tapered_skin
from finial.assemble.electronics.wiring import LEAST_VOLTAGE, moment_of
from finial.assemble.mass.lumps import masses_between, roll_lumps, row_lumps
from finial.assemble.mass.rows import Row, balance_reach
from finial.assemble.strength.further_cases import edge_radius_m
from finial.core.estimates import Estimate, KnownBy, exact
from finial.electronics.wiring import Moment, Trigger
from finial.files.sheet_recovery import EventEntry
from finial.inside.things import Kind
from finial.mass.properties import MassProperties

CONE = [(0.0, 0.1), (1.0, 0.2)]


TWO_KG, MIDDLE = exact(2.0), exact(0.5)


def row(*, mass=TWO_KG, station=MIDDLE, across=(0.0, 0.0), about_axis=0.0, kind="item", span=None):
    body = MassProperties(
        mass_kg=mass.value,
        centre_m=np.array([-station.value, *across]),
        inertia_kg_m2=np.diag([about_axis, 0.0, 0.0]),
    )
    return Row(name="it", kind=kind, mass=mass, station=station, body=body, span_m=span)


def give_or_take(value, off):
    return Estimate(value=value, low=value - off, high=value + off, known_by=KnownBy.MEASURED)


@pytest.mark.parametrize("station_m", [0.3, 1.1], ids=["ahead", "behind"])
def test_a_row_moves_the_balance_by_its_mass_on_its_arm_and_by_its_own_place(station_m):
    loose = row(mass=give_or_take(2.0, 0.1), station=give_or_take(station_m, 0.003))
    # 0.1 kg at 0.4 m from the balance point, and 2 kg that may lie 3 mm off.
    assert balance_reach(loose, 0.7) == pytest.approx(0.1 * 0.4 + 2.0 * 0.003)


def test_roll_inertia_of_rows_is_their_own_and_that_of_lying_off_the_axis():
    on_axis = row(about_axis=0.004, station=exact(0.2))
    off_axis = row(mass=exact(0.5), across=(0.03, -0.04), station=exact(0.6))
    beyond = row(about_axis=9.0, station=exact(1.4))
    found = roll_lumps([on_axis, off_axis, beyond], (0.0, 1.0))
    assert found.stations_m.tolist() == [0.2, 0.6]
    # 0.5 kg at 50 mm: 0.5 * 0.05^2.
    assert found.inertias_kg_m2 == pytest.approx([0.004, 0.00125])
    assert roll_lumps([row()], (0.0, 1.0)) is None


def test_a_printed_wall_weighs_where_its_outline_is_long():
    skin = tapered_skin(lambda across: regular_polygon(8, across), CONE)
    wall = row(mass=exact(3.0), station=exact(0.55), kind="part", span=(0.0, 1.0))
    found = row_lumps(skin, wall)
    assert found.mass_kg == pytest.approx(3.0)
    assert found.cells_m == pytest.approx(1 / 16)
    assert found.stations_m[[0, -1]] == pytest.approx([1 / 32, 1 - 1 / 32])
    # The outline grows evenly from 1 to 2: its centre lies at (1/2 + 1/3) / (1 + 1/2) of the length.
    assert found.centre_m[0] == pytest.approx(5 / 9, abs=1e-3)
    # A row that ends where it begins is a point.
    point = row_lumps(skin, row(kind="part", span=(0.4, 0.4005)))
    assert (point.stations_m.tolist(), point.masses_kg.tolist()) == ([0.5], [2.0])


def test_a_row_lies_where_it_lies_however_much_it_weighs():
    skin = tapered_skin(lambda across: regular_polygon(8, across), CONE)
    bar = {"kind": "rod", "station": exact(0.5), "span": (0.2, 0.8)}
    light, heavy = row(mass=exact(1.0), **bar), row(mass=give_or_take(4.0, 0.4), **bar)
    found, fourfold = row_lumps(skin, light), row_lumps(skin, heavy)
    assert fourfold.masses_kg == pytest.approx(4 * found.masses_kg)
    assert fourfold.inertia_kg_m2 == pytest.approx(4 * found.inertia_kg_m2)
    # A third of an even bar lies ahead of 0.4; of the same bar 0.1 m further aft, a sixth.
    ahead, behind = masses_between(skin, [heavy], [0.4])
    assert (ahead.value, ahead.high, behind.value) == pytest.approx((4 / 3, 4.4 / 3, 8 / 3))
    further, _ = masses_between(skin, [row(kind="rod", station=exact(0.6), span=(0.3, 0.9))], [0.4])
    assert further.value == pytest.approx(2.0 / 6)


def test_the_edge_that_touches_down_lies_a_little_inside_the_end():
    skin = tapered_skin(lambda across: regular_polygon(48, across), CONE)
    # 3 % inside a cone of 50 to 100 mm radius, at the nearest section: they stand 1/24 of its length apart.
    assert edge_radius_m(skin, 0.0) == pytest.approx(0.0515, abs=1.1e-3)
    assert edge_radius_m(skin, 1.0) == pytest.approx(0.0985, abs=1.1e-3)
    assert edge_radius_m(skin, 0.5) == pytest.approx(0.075, abs=1.1e-3)
    assert edge_radius_m(skin, 0.0) > 0.0505


@pytest.mark.parametrize(
    ("event", "moment"),
    [
        ("apogee", Moment(trigger=Trigger.APOGEE)),
        ({"falling_through": "150 m"}, Moment(trigger=Trigger.FALLING, value=150.0)),
        ({"after_lift_off": "9 s"}, Moment(trigger=Trigger.CLOCK, value=9.0)),
    ],
    ids=["apogee", "height", "clock"],
)
def test_every_event_of_a_sheet_is_a_moment_that_can_be_compared(event, moment):
    assert moment_of(EventEntry.model_validate(event)) == moment


def test_a_computer_nobody_told_of_resets_between_its_logic_and_a_stage_before_it():
    # Logic of 3.3 V at the least; a regulator for 5 V needs about 1 V more (common practice).
    assert (LEAST_VOLTAGE.low, LEAST_VOLTAGE.value, LEAST_VOLTAGE.high) == (3.3, 5.0, 6.0)
    assert LEAST_VOLTAGE.known_by is KnownBy.ASSUMED


def test_tabs_of_fins_run_along_the_root_and_inward_by_their_depth(lighthouse, answered):
    (entry,) = lighthouse.sheet.fin
    along = [corner[0].value for corner in entry.outline if corner[1].value == 0.0]
    tabs = [thing for thing in answered.inside.things if thing.kind is Kind.TAB]
    assert len(tabs) == entry.count
    for tab in tabs:
        start = entry.station.value + min(along)
        assert tab.span_m == pytest.approx((start, entry.station.value + max(along)))
        assert tab.across_m == pytest.approx(entry.fixing.depth.value)
    (fin,) = [one for one in answered.shape.fins if one.name == entry.name]
    middle = fin.root_radius_m - entry.fixing.depth.value / 2
    assert [math.hypot(*tab.offset_m) for tab in tabs] == pytest.approx([middle] * entry.count)


def test_a_root_that_begins_behind_its_station_moves_the_tab_with_it(lighthouse):
    from finial.assemble.inside.things import fin_tabs
    from finial.assemble.vehicle.fins import fin_sets

    (fin,) = fin_sets(lighthouse)
    shifted = replace(fin, outline_m=fin.outline_m + np.array([0.07, 0.0]))
    there, moved = (next(fin_tabs(lighthouse.sheet, (one,))).thing for one in (fin, shifted))
    assert moved.middle_m - there.middle_m == pytest.approx(0.07)
    assert moved.length_m == pytest.approx(there.length_m)
