"""Places and odds of a campaign on paper: people, fields, ellipses, levels, what a lost flight still says."""

import math
from types import SimpleNamespace

import numpy as np
import pytest
from scipy.stats import binomtest

from finial.campaign import answers, rare, subset, towards
from finial.campaign.asked import Asked
from finial.campaign.flown import FlownCampaign, some_flights
from finial.campaign.landing import Ellipse, inside_field_by, landing_ellipse
from finial.campaign.spot import Crowd, Spot, spot_of
from finial.core.errors import MissingData, OutsideRange
from finial.flight.kernel.layout import LANDED
from finial.flight.many import RESULTS

SQUARE = np.array([[-100.0, -100.0], [100.0, -100.0], [100.0, 100.0], [-100.0, 100.0], [-100.0, -100.0]])


# ---------------------------------------------------------------- people and fields


@pytest.mark.parametrize(
    ("landing", "away"),
    [
        # A crowd 30 m wide from 100 to 120 m due east; a vehicle hurts 3 m round it.
        ((110.0, 0.0), -13.0),
        ((90.0, 0.0), 7.0),
        ((130.0, 0.0), 7.0),
        ((110.0, 25.0), 7.0),
        ((110.0, -25.0), 7.0),
        ((0.0, 110.0), 97.0),
        ((97.0, 18.0), 0.0),
    ],
)
def test_people_are_reached_along_and_across(landing, away):
    crowd = Crowd(near_m=100.0, bearing_rad=math.pi / 2, across_m=30.0)
    found = crowd.distance_m(np.array([landing]))
    assert found == pytest.approx([away])
    assert crowd.struck(np.array([landing])).tolist() == [away <= 1e-9]


def test_people_on_no_known_side_are_reached_as_far_out_as_they_stand():
    for crowd in (
        Crowd(near_m=100.0),
        Crowd(near_m=100.0, bearing_rad=1.0),
        Crowd(near_m=100.0, across_m=9.0),
    ):
        assert crowd.is_placed is False
        found = crowd.distance_m(np.array([[60.0, 80.0], [0.0, -90.0], [0.0, 130.0], [66.0, 88.0]]))
        assert found == pytest.approx([-3.0, 7.0, 7.0, -13.0])


def test_a_field_is_its_outline_before_its_radius_and_neither_is_not_known():
    places = np.array([[0.0, 90.0], [0.0, 120.0], [60.0, 80.0]])
    outline = Spot(field_m=(SQUARE,), field_radius_m=1.0)
    assert outline.inside_by_m(places) == pytest.approx([10.0, -20.0, 20.0])
    assert Spot(field_radius_m=110.0).inside_by_m(places) == pytest.approx([20.0, -10.0, 10.0])
    with pytest.raises(MissingData, match="neither outline nor radius"):
        Spot().inside_by_m(places)
    # In a hole of it one is outside by the way to the hole's edge.
    assert inside_field_by(np.array([[0.0, 0.0]]), (SQUARE, SQUARE / 10.0)) == pytest.approx([-10.0])


def test_a_spot_has_people_only_where_a_distance_is_entered():
    case = SimpleNamespace(
        crowd_distance_m=90.0, crowd_bearing_rad=1.0, crowd_across_m=20.0, ceiling_agl_m=900.0, field_m=None,
        field_radius_m=300.0,
    )  # fmt: skip
    spot = spot_of(case)
    assert (spot.crowd.near_m, spot.crowd.deep_m, spot.crowd.is_placed) == (90.0, 20.0, True)
    assert (spot.ceiling_agl_m, spot.field_radius_m) == (900.0, 300.0)
    case.crowd_distance_m = None
    assert spot_of(case).crowd is None


# ---------------------------------------------------------------- ellipses


def test_an_ellipse_lies_along_its_bearing_and_closes():
    ellipse = Ellipse(
        nominal=0.95,
        held=0.95,
        kurtosis=8.0,
        centre_m=(10.0, 20.0),
        half_axes_m=(50.0, 20.0),
        bearing_rad=math.pi / 6,
    )
    outline = ellipse.outline_m(4)
    assert outline.shape == (5, 2)
    assert outline[0] == pytest.approx(outline[-1])
    # 50 m towards 30 degrees east of north, 20 m towards 120.
    assert outline[0] == pytest.approx([10.0 + 25.0, 20.0 + 50.0 * math.cos(math.pi / 6)])
    assert outline[1] == pytest.approx([10.0 + 20.0 * math.cos(math.pi / 6), 20.0 - 10.0])


def test_the_longer_axis_and_its_bearing_by_hand():
    """Four points 20 m along a bearing of 1 rad and 5 m square to it: sums of squares over n - 1 = 3."""
    along, across = np.array([math.sin(1.0), math.cos(1.0)]), np.array([math.cos(1.0), -math.sin(1.0)])
    points = np.array([20.0 * along, -20.0 * along, 5.0 * across, -5.0 * across])
    points += np.array([7.0, -3.0])
    found = landing_ellipse(points, 0.5)
    scale = -2.0 * math.log(0.5)
    assert found.half_axes_m == pytest.approx((math.sqrt(scale * 800.0 / 3.0), math.sqrt(scale * 50.0 / 3.0)))
    assert (found.bearing_rad, found.centre_m) == (pytest.approx(1.0), pytest.approx((7.0, -3.0)))
    # Each lies at a squared distance of 1.5, outside the half and inside of 95 %.
    assert (found.held, landing_ellipse(points, 0.95).held) == (0.0, 1.0)
    assert found.kurtosis == pytest.approx(2.25)
    for broken in (
        points[:2],
        np.vstack([points, [[math.nan, 0.0]]]),
        np.vstack([points, [[math.inf, 0.0]]]),
    ):
        with pytest.raises(OutsideRange, match="needs three, all of them finite"):
            landing_ellipse(broken)
    with pytest.raises(OutsideRange, match="one line"):
        landing_ellipse(np.array([[0.0, 0.0], [1.0, 1.0], [2.0, 2.0]]))


# ---------------------------------------------------------------- levels


def test_a_tenth_of_a_level_passes_its_threshold():
    far = np.arange(100.0).reshape(4, 25)
    assert subset._threshold(far, 10) == 9.5


def test_families_that_share_their_fate_know_less():
    """Ten families of four: alone each counts; alike the error is twice that of independent points."""
    alone = np.zeros((1, 40), dtype=bool)
    alone[0, :10] = True
    independent = subset._deviation(alone, np.arange(40))
    assert independent == pytest.approx(math.sqrt(0.75 * 0.25 * 40) / 10)
    families = np.repeat(np.arange(10), 4)
    alike = np.zeros((1, 40), dtype=bool)
    alike[0, :12] = True
    assert subset._deviation(alike, families) == pytest.approx(2 * subset._deviation(alike, np.arange(40)))
    assert subset._deviation(np.ones((1, 5), dtype=bool), np.arange(5)) == 0.0
    assert subset._deviation(np.zeros((1, 5), dtype=bool), np.arange(5)) == 0.0


def test_later_levels_multiply_and_their_errors_add():
    there = np.zeros((4, 25), dtype=bool)
    there[0, :20] = True
    found = subset._ended((1e-2, 0.3), there, np.arange(25), 2000, 3)
    whole = math.hypot(0.3, 1.25 * subset._deviation(there, np.arange(25)))
    assert (found.share, found.deviation, found.levels, found.points) == pytest.approx((2e-3, whole, 3, 2000))
    assert (found.low, found.high) == pytest.approx(
        (2e-3 * math.exp(-1.96 * whole), 2e-3 * math.exp(1.96 * whole))
    )
    none = subset._ended((1e-2, 0.3), np.zeros((4, 25), dtype=bool), np.arange(25), 2000, 3)
    most = binomtest(0, 25).proportion_ci(0.95, method="exact").high
    assert (none.share, none.low, none.high) == (None, 0.0, pytest.approx(1e-2 * math.exp(1.96 * 0.3) * most))
    assert math.isnan(none.deviation)


def results(**columns):
    rows = np.full((len(next(iter(columns.values()))), len(RESULTS)), np.nan)
    for name, values in columns.items():
        rows[:, RESULTS.index(name)] = values
    return rows


def feared(spot, rows, spare_s=None):
    flights = some_flights(rows)
    spare = np.full(len(rows), math.nan) if spare_s is None else np.array(spare_s)
    return {one.asked: one.far(flights, spare).tolist() for one in towards.all_feared(spot)}


def test_what_is_feared_counts_down_to_nothing_as_it_comes_near():
    rows = results(
        ended=[LANDED, LANDED, LANDED + 1, LANDED], loss=[0.0, 0.0, 0.0, 0.0],
        landing_east_m=[110.0, 0.0, math.nan, 110.0], landing_north_m=[0.0, 0.0, math.nan, 0.0],
        under_canopy=[0.0, 0.0, 0.0, 1.0], apogee_m=[300.0, 500.0, math.nan, 400.0],
        max_canopy_acceleration_m_s2=[9.0, 9.0, 0.0, 9.0],
    )  # fmt: skip
    crowd = Crowd(near_m=100.0, bearing_rad=math.pi / 2, across_m=30.0)
    found = feared(Spot(crowd=crowd, field_radius_m=50.0, ceiling_agl_m=400.0), rows)
    assert found[Asked.STRIKES_CROWD] == pytest.approx([-13.0, 97.0, 1e9, -13.0])
    # Under an open canopy it is no bare landing, however near; but nearer than one that is far away too, and
    # than one that is lost: were many lost, no flight would be led past them.
    assert found[Asked.STRIKES_BARE] == pytest.approx([-13.0, 97.0, 1e9, 1e6])
    # What never landed is counted outside, and so it is here.
    assert found[Asked.INSIDE_RADIUS] == pytest.approx([-60.0, 50.0, 0.0, -60.0])
    assert found[Asked.OVER_CEILING] == pytest.approx([100.0, -100.0, 1e9, 1e-9])
    everywhere = [Asked.OPEN_CANOPY, Asked.BALLISTIC]
    assert list(feared(Spot(field_m=(SQUARE,)), rows)) == [*everywhere, Asked.INSIDE_OUTLINE]
    around = feared(Spot(crowd=Crowd(near_m=1.0)), rows)
    assert list(around) == [*everywhere, Asked.AS_FAR_AS_CROWD, Asked.STRIKES_BARE]
    assert list(feared(Spot(), rows)) == everywhere


def test_a_canopy_is_as_near_to_failing_as_it_has_time_to_spare():
    rows = results(
        ended=[LANDED, LANDED, LANDED, LANDED], loss=[0.0, 0.0, 0.0, 2.0],
        under_canopy=[1.0, 0.0, 0.0, 1.0], max_canopy_acceleration_m_s2=[30.0, 30.0, 0.0, 0.0],
    )  # fmt: skip
    found = feared(Spot(), rows, [12.0, 3.0, math.nan, 5.0])
    # The second's largest stays a bundle; of the third none comes out; the fourth is lost before.
    assert found[Asked.OPEN_CANOPY] == pytest.approx([12.0, 0.0, 0.0, 0.0])
    assert found[Asked.BALLISTIC] == pytest.approx([12.0, 3.0, 0.0, 1e9])


def test_a_lost_flight_is_neither_among_the_people_nor_over_the_ceiling():
    rows = results(
        ended=[LANDED], loss=[1.0], landing_east_m=[110.0], landing_north_m=[0.0], under_canopy=[0.0],
        apogee_m=[900.0],
    )  # fmt: skip
    crowd = Crowd(near_m=100.0, bearing_rad=math.pi / 2, across_m=30.0)
    found = feared(Spot(crowd=crowd, field_radius_m=500.0, ceiling_agl_m=400.0), rows)
    assert found[Asked.STRIKES_CROWD] == found[Asked.STRIKES_BARE] == found[Asked.OVER_CEILING] == [1e9]
    assert found[Asked.INSIDE_RADIUS] == [0.0]


# ---------------------------------------------------------------- what a flight still says


def flown(**columns):
    usual = dict.fromkeys(RESULTS, 0.0)
    given = {**usual, "ended": float(LANDED), **columns}
    count = max(np.size(values) for values in given.values())
    rows = {name: np.broadcast_to(np.asarray(one, dtype=float), count).copy() for name, one in given.items()}
    return FlownCampaign(
        design="plain", seed=1, rounding="", drawn=np.zeros((count, 0)), failed={}, draws=(), units=(),
        results=rows,
    )  # fmt: skip


def test_a_lost_flight_keeps_what_it_had_before_and_loses_the_rest():
    both = flown(loss=[0.0, 1.0], apogee_m=[300.0, 900.0], rail_exit_speed_m_s=[20.0, 15.0],
                 landing_east_m=[3.0, 9.0], landing_north_m=[4.0, 9.0],
                 rail_exit_alpha_rad=[0.1, 0.1], max_alpha_rad=[0.2, 0.3],
                 max_canopy_acceleration_m_s2=[0.0, 50.0])  # fmt: skip
    values = answers._Values(both)
    assert values["rail_exit_speed_m_s"].tolist() == [20.0, 15.0]
    assert values["drift_m"][0] == 5.0
    for name in ("apogee_m", "drift_m", "max_alpha_rad", "max_canopy_acceleration_m_s2"):
        assert math.isnan(values[name][1])
    assert math.isnan(values["max_canopy_acceleration_m_s2"][0])  # no canopy pulled
    stuck = answers._Values(flown(rail_exit_alpha_rad=[math.nan], max_alpha_rad=[0.3]))
    assert math.isnan(stuck["max_alpha_rad"][0])


def test_landed_and_lost_are_told_apart():
    three = flown(ended=[LANDED, LANDED, LANDED + 1], loss=[0.0, 1.0, 0.0], landing_east_m=[1.0, 2.0, 3.0])
    assert three.landed.tolist() == [True, True, False]
    assert three.lost.tolist() == [False, True, False]
    assert three.landings_m().tolist() == [[1.0, 0.0], [2.0, 0.0]]
    assert three.landings_m(sound=True).tolist() == [[1.0, 0.0]]
    assert three.count == 3


def odds_of(campaign, spot):
    return {one.asked: one.count for one in answers.counted_odds(campaign, spot)}


def test_odds_count_each_thing_once():
    five = flown(
        ended=[LANDED, LANDED, LANDED, LANDED, LANDED + 1], loss=[0.0, 0.0, 0.0, 1.0, 0.0],
        landing_east_m=[110.0, 110.0, 30.0, 110.0, math.nan], under_canopy=[1.0, 0.0, 1.0, 1.0, 1.0],
        apogee_m=[300.0, 400.0, 401.0, 900.0, math.nan],
        max_canopy_acceleration_m_s2=[40.0, 0.0, 40.0, 0.0, 0.0],
    )  # fmt: skip
    crowd = Crowd(near_m=100.0, bearing_rad=math.pi / 2, across_m=30.0)
    found = odds_of(five, Spot(crowd=crowd, field_radius_m=30.0, ceiling_agl_m=400.0))
    assert found == {
        Asked.OPEN_CANOPY: 2,
        Asked.BALLISTIC: 1,
        Asked.INSIDE_RADIUS: 1,
        Asked.STRIKES_CROWD: 2,
        Asked.STRIKES_BARE: 1,
        Asked.LOST: 1,
        Asked.OVER_CEILING: 1,
        Asked.LANDS: 4,
    }
    assert odds_of(five, Spot(field_m=(SQUARE,), field_radius_m=30.0))[Asked.INSIDE_OUTLINE] == 1
    assert Asked.AS_FAR_AS_CROWD in odds_of(five, Spot(crowd=Crowd(near_m=100.0)))
    unasked = {
        spot: list(answers.unasked(spot))
        for spot in (Spot(), Spot(field_radius_m=1.0, ceiling_agl_m=1.0, crowd=crowd))
    }
    assert list(unasked.values()) == [[Asked.INSIDE_RADIUS, Asked.STRIKES_CROWD, Asked.OVER_CEILING], []]


def test_a_failure_tells_how_far_and_how_hard_it_came_down():
    far, fast = np.array([90.0, math.nan]), np.array([40.0, math.nan])
    found = answers._failure("main stays in", 2, far, fast)
    assert (found.flights, found.farthest_m, found.fastest_m_s) == (2, 90.0, 40.0)
    none = answers._failure("main stays in", 1, far[1:], fast[1:])
    assert (none.flights, none.farthest_m, none.fastest_m_s) == (1, None, None)


# ---------------------------------------------------------------- failures in strata


def test_failures_are_parted_into_none_and_some_by_their_known_odds(monkeypatch):
    """Two canopies that stay in one time in ten and one in five: 0.72 that none does, 0.28 that some do."""
    monkeypatch.setattr(rare, "_failure_odds", lambda campaign: np.array([0.1, 0.2]))
    none, some = rare._strata(None, Asked.LOST)
    assert (none.odds, some.odds) == pytest.approx((0.72, 0.28))
    assert none.patterns.tolist() == [[False, False]]
    assert none.ends.tolist() == pytest.approx([1.0])
    assert some.patterns.tolist() == [[False, True], [True, False], [True, True]]
    assert some.ends.tolist() == pytest.approx([0.18 / 0.28, 0.26 / 0.28, 1.0])
    monkeypatch.setattr(rare, "_failure_odds", lambda campaign: np.empty(0))
    (sure,) = rare._strata(None, Asked.LOST)
    assert (sure.odds, sure.patterns.shape) == (1.0, (1, 0))
