"""What flights tell of the centre of pressure, and friction on the rail: every number they bear on."""

from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from finial.aero.band.band import FLOOR_WIDTHS
from finial.aero.band.extremes import place_ends
from finial.aero.band.load_parts import DoubtfulForce
from finial.aero.band.measured import measured_parts
from finial.assemble.air.source import air_loads
from finial.assemble.looks.answer import answer
from finial.assemble.spread.case import flight_case
from finial.assemble.vehicle.changes import changed
from finial.core.estimates import Estimate, KnownBy
from finial.findings.check import load
from finial.flight.many import fly_many
from finial.flight.packing.many import packed_many

BUOY = Path(__file__).parents[2] / "examples" / "buoy-tiers" / "buoy-tiers.toml"
BALANCE_M = 0.55
WIND_M_S = 3.0


@pytest.fixture(scope="module")
def buoy():
    return load(BUOY)


def told(buoy, centre):
    return changed(buoy, {("flown",): {"pressure_centre": centre}})


def rubbing(buoy, friction):
    return changed(buoy, {("guide", "friction"): friction})


def told_estimate(value, half):
    return Estimate(value=value, low=value - half, high=value + half, known_by=KnownBy.MEASURED)


def doubts(forward, aft):
    """A force of 2 at 1 m, doubtful by so much forward and aft at a small angle and at a larger one."""
    two, zero, force = 2.0 * np.ones((2, 1)), np.zeros((2, 1)), np.full((2, 1), 2.0)
    sure = DoubtfulForce(name="sure", force=force, moment=force, low=1.0, central=1.0, high=1.0)
    low, high = -np.array(forward)[:, None], np.array(aft)[:, None]
    odd = DoubtfulForce(name="odd", force=zero, moment=two, low=low, central=0.0, high=high)
    return [sure, odd]


def strongest(loads):
    """How much farther a place may lie where the force is as weak as it may be."""
    return loads.band.slope.value / loads.band.slope.low


def test_the_doubt_at_a_small_angle_is_the_flights_and_more_of_it_at_a_larger_stays():
    parts = measured_parts(doubts([0.3, 0.5], [0.2, 0.6]), 0.0, told_estimate(0.1, 0.02))
    central, least, greatest = place_ends(parts, 0.0)
    assert central[:, 0] == pytest.approx([1.1, 1.1])
    assert least[:, 0] == pytest.approx([1.08, 1.1 - 0.02 - 0.2])
    assert greatest[:, 0] == pytest.approx([1.12, 1.1 + 0.02 + 0.4])


def test_flights_that_tell_it_worse_than_the_method_do_not_widen_the_band():
    parts = measured_parts(doubts([0.3, 0.5], [0.2, 0.6]), 0.0, told_estimate(0.1, 0.4))
    _, least, greatest = place_ends(parts, 0.0)
    assert least[:, 0] == pytest.approx([0.8, 0.6])
    assert greatest[:, 0] == pytest.approx([1.3, 1.7])


def test_a_force_that_may_be_weaker_stays_so():
    weak = [replace(part, low=0.25, high=1.5) if part.name == "sure" else part for part in doubts([0], [0])]
    one = [replace(part, force=part.force[:1], moment=part.moment[:1]) for part in weak]
    force, _ = measured_parts(one, 0.0, told_estimate(0.0, 0.0))
    assert (force.low.item(), force.high.item()) == pytest.approx((0.25, 1.5))


def test_band_and_flight_table_move_by_what_flights_tell(buoy):
    plain, moved = (air_loads(one, BALANCE_M) for one in (buoy, told(buoy, "30 mm +- 8 mm")))
    shift = moved.result.pressure_central_m - plain.result.pressure_central_m
    assert shift == pytest.approx(0.030, abs=1e-6)
    narrow = moved.result.pressure_central_m[0] - moved.result.pressure_forward_m[0]
    floor = FLOOR_WIDTHS * plain.band.width_m
    assert narrow == pytest.approx(0.008 * strongest(plain) + floor, abs=1e-6)
    assert np.all(narrow < plain.result.pressure_central_m[0] - plain.result.pressure_forward_m[0])
    places = [
        one.result.table.width_m * one.result.table.along_moment[1] / one.result.table.along[1]
        for one in (plain, moved)
    ]
    assert places[1] - places[0] == pytest.approx(0.030, abs=1e-9)
    assert moved.result.source == plain.result.source
    assert np.array_equal(moved.result.bare_forward_m, plain.result.bare_forward_m)


def test_margins_follow_forward_as_well_as_aft(buoy):
    margins = [
        [point.margin.value for point in answer(told(buoy, f"{aft} mm +- 8 mm")).stability]
        for aft in (-30, 0, 30)
    ]
    for before, after in pairwise(margins):
        assert np.array(after) - np.array(before) == pytest.approx(0.030, abs=1e-4)


def test_a_campaign_draws_the_centre_as_well_as_flights_tell_it(buoy):
    ends = []
    for vehicle in (buoy, told(buoy, "0 mm +- 8 mm")):
        draws = {draw.name: draw for draw in flight_case(vehicle).spread.draws}
        ends.append(draws["centre of pressure"].below)
    own = air_loads(buoy, BALANCE_M)
    assert ends[1] == pytest.approx(0.008 * strongest(own) + FLOOR_WIDTHS * own.band.width_m, abs=1e-6)
    assert ends[1] < ends[0]


def test_friction_takes_speed_off_the_rail_at_the_end_that_is_judged(buoy):
    free, rubbed, doubtful = (
        answer(one).flight.rail_exit_speed
        for one in (buoy, rubbing(buoy, "0.6"), rubbing(buoy, "0.6 +- 0.3"))
    )
    assert rubbed.value < free.value - 0.005
    assert doubtful.value == pytest.approx(rubbed.value, abs=1e-9)
    assert doubtful.low < rubbed.low
    assert doubtful.high > rubbed.high


def test_a_campaign_rubs_as_the_check_does_and_draws_between_the_ends(buoy):
    speeds = {}
    for friction in ("0.3", "0.6", "0.6 +- 0.3"):
        case = flight_case(rubbing(buoy, friction))
        drawn = [draw for draw in case.spread.draws if draw.name == "friction on the rail"]
        still = replace(case.spread, draws=tuple(drawn), gust_heights_m=np.empty(0))
        found = fly_many(packed_many(case.inputs, still, seed=1), 0, 40)
        speeds[friction] = found.column("rail_exit_speed_m_s")
        assert len(drawn) == (1 if "+-" in friction else 0)
    assert np.ptp(speeds["0.6"]) == 0.0
    assert speeds["0.3"][0] > speeds["0.6"][0]
    assert 0.0 < np.ptp(speeds["0.6 +- 0.3"]) <= 2.2 * (speeds["0.3"][0] - speeds["0.6"][0])
    assert speeds["0.6 +- 0.3"].max() <= speeds["0.3"][0] + 1e-9
