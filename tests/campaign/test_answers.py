"""What a campaign says, against closed forms and SciPy."""

from pathlib import Path

import numpy as np
import pytest
from scipy.stats import binom, quantile_test

from finial.campaign import answers
from finial.campaign.answers import Asked, campaign_answer
from finial.campaign.campaign import planned
from finial.campaign.flown import read_flown
from finial.campaign.landing import inside_field, landing_ellipse
from finial.campaign.quantiles import odds, quantile
from finial.campaign.run import Threads, run_campaign
from finial.campaign.spot import Crowd, Spot
from finial.core.errors import CampaignError, MissingData, OutsideRange
from finial.flight.many import RESULTS
from finial.flight.uncertain import Drawn
from finial.report.campaign_text import campaign_lines


@pytest.mark.parametrize("share", [0.05, 0.5, 0.95])
def test_quantile_bounds_are_scipys(share):
    values = np.random.default_rng(3).normal(size=400)
    found = quantile(values, share)
    theirs = quantile_test(values, p=share).confidence_interval(0.95)
    assert (found.low, found.high) == (theirs.low, theirs.high)


def test_quantile_bounds_hold_as_often_as_promised():
    generator = np.random.default_rng(8)
    held = 0
    for _ in range(400):
        found = quantile(generator.random(60), 0.9)
        held += (found.low or 0.0) <= 0.9 <= (1.0 if found.high is None else found.high)
    assert 0.93 <= held / 400 <= 1.0


def test_few_flights_have_no_bound_above():
    """Fewer than 59 flights cannot bound the 95 % quantile from above at one-sided 95 % (Wilks 1941)."""
    assert quantile(range(40), 0.95).high is None


def test_odds_have_bounds_for_plain_flights_only():
    plain = odds("x", 970, 1000, plain=True)
    # Clopper-Pearson 970 of 1000 at 95 %: by SciPy's binomtest, exact method.
    from scipy.stats import binomtest

    theirs = binomtest(970, 1000).proportion_ci(0.95, method="exact")
    assert (plain.low, plain.high) == (pytest.approx(theirs.low), pytest.approx(theirs.high))
    assert odds("x", 970, 1000, plain=False).low is None


def test_ellipse_of_normal_scatter_holds_what_it_says():
    generator = np.random.default_rng(2)
    points = generator.multivariate_normal([50.0, -20.0], [[400.0, 150.0], [150.0, 100.0]], size=20_000)
    found = landing_ellipse(points)
    assert found.held == pytest.approx(0.95, abs=0.005)
    assert found.kurtosis == pytest.approx(8.0, rel=0.03)
    assert found.centre_m == (pytest.approx(50.0, abs=0.5), pytest.approx(-20.0, abs=0.3))
    values = np.linalg.eigvalsh([[400.0, 150.0], [150.0, 100.0]])
    assert np.square(found.half_axes_m) == pytest.approx(5.9915 * values[::-1], rel=0.03)
    # Its outline is the line on which the squared distance is the scale.
    offsets = found.outline_m() - found.centre_m
    squared = np.einsum("ni,ij,nj->n", offsets, np.linalg.inv(np.cov(points.T)), offsets)
    assert squared == pytest.approx(5.9915, rel=1e-4)


def test_ellipse_of_even_scatter_has_a_fuller_middle():
    """Even scatter in a square: kurtosis 2 x 9/5 + 2 = 5.6 by its moments; calculated."""
    points = np.random.default_rng(2).uniform(-1, 1, (40_000, 2))
    assert landing_ellipse(points).kurtosis == pytest.approx(5.6, rel=0.02)


@pytest.mark.parametrize(
    "points",
    [
        np.zeros((2, 2)),
        np.array([[0, 0], [1, 1], [2, 2.0]]),
        np.full((9, 2), np.nan),
        np.array([[0, 0], [1, 0], [0, 1], [np.inf, 1.0]]),
    ],
)
def test_points_without_an_ellipse_are_refused(points):
    with pytest.raises(OutsideRange):
        landing_ellipse(points)


def test_three_points_that_are_no_line_have_one():
    # Each is as far off as the others, whatever the triangle: 2 x 2 / 3 by the trace of the unit matrix.
    assert landing_ellipse(np.array([[0, 0], [3, 0], [1, 2.0]])).kurtosis == pytest.approx((4 / 3) ** 2)


def test_field_with_a_hole():
    outer = np.array([[0, 0], [10, 0], [10, 10], [0, 10], [0, 0.0]])
    hole = np.array([[4, 4], [6, 4], [6, 6], [4, 6], [4, 4.0]])
    points = np.array([[1, 1], [5, 5], [11, 5], [9.9, 9.9]])
    assert inside_field(points, (outer, hole)).tolist() == [True, False, False, True]


@pytest.fixture(scope="module")
def flown(tmp_path_factory):
    import importlib.util

    spec = importlib.util.spec_from_file_location("small", Path(__file__).with_name("conftest.py"))
    small = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(small)
    folder = tmp_path_factory.mktemp("flown")
    run_campaign(small.small_campaign(flights=400), folder, Threads(1), chunk=150)
    return read_flown(folder)


def test_read_file_by_file_and_with_fewer_drawn_numbers_it_says_the_same(tmp_path, flown, monkeypatch):
    import importlib.util

    from finial.campaign import flown as reading

    spec = importlib.util.spec_from_file_location("small", Path(__file__).with_name("conftest.py"))
    small = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(small)
    campaign = small.small_campaign(flights=400)
    run_campaign(campaign, tmp_path, Threads(1), chunk=150)
    monkeypatch.setattr(reading, "_AT_ONCE", 10)
    monkeypatch.setattr(reading, "MOST_DRAWN", 200)
    again = read_flown(tmp_path)
    for name, column in flown.results.items():
        assert np.array_equal(again.results[name], column, equal_nan=True)
    assert (again.count, len(again.drawn)) == (400, 200)
    assert np.array_equal(again.drawn, flown.drawn[:200])
    assert [draw.name for draw in again.failed] == [draw.name for draw in flown.failed] != []
    for draw, which in flown.failed.items():
        assert np.array_equal(again.failed[draw], which)
        assert np.array_equal(which, flown.drawn[:, flown.draws.index(draw)] > 0.0)
    few = read_flown(tmp_path, 160)
    assert few.count == 160
    assert np.array_equal(few.results["apogee_m"], flown.results["apogee_m"][:160], equal_nan=True)
    monkeypatch.setattr(answers, "_AT_ONCE", 7)
    said, before = campaign_answer(again, Spot()), campaign_answer(flown, Spot())
    assert (said.odds, said.failures, said.scatters) == (before.odds, before.failures, before.scatters)
    assert set(said.decided) == set(before.decided)


def test_a_column_is_read_when_it_is_asked_for_and_not_kept(flown):
    """All results of all flights held at once were most of the memory that an answer took."""
    again = [flown.results["apogee_m"] for _ in range(2)]
    assert again[0] is not again[1]
    assert np.array_equal(*again, equal_nan=True)
    assert list(flown.results) == list(RESULTS)
    assert len(flown.results) == len(RESULTS)
    with pytest.raises(KeyError):
        flown.results["mood"]


@pytest.mark.parametrize("share", [0.001, 0.05, 0.5, 0.95])
@pytest.mark.parametrize("count", [3, 400, 200_001])
def test_the_ranks_of_a_quantile_are_those_of_the_whole_binomial_distribution(count, share):
    """Only the part of it round the quantile is reckoned; SciPy's own looks everywhere."""
    found = quantile(np.arange(1.0, count + 1.0), share)
    first, last = (int(binom.ppf(at, count, share)) for at in (0.025, 0.975))
    assert found.low == (first if first >= 1 else None)
    assert found.high == (last + 1 if last + 1 <= count else None)
    assert found.value == pytest.approx(1.0 + share * (count - 1), rel=1e-12)


def test_answer_of_a_small_campaign(flown):
    square = 400.0 * np.array([[-1, -1], [1, -1], [1, 1], [-1, 1], [-1, -1.0]])
    found = campaign_answer(flown, Spot(ceiling_agl_m=245.0, field_m=(square,)))
    said = {one.asked: one for one in found.odds}
    landings = flown.landings_m()
    within = np.mean(np.abs(landings).max(axis=1) <= 400.0)
    assert said[Asked.INSIDE_OUTLINE].share == pytest.approx(within)
    assert said[Asked.OVER_CEILING].share == pytest.approx(np.mean(flown.results["apogee_m"] > 245.0))
    assert found.flights == 400
    assert {one.key for one in found.scatters} >= {"apogee_m", "drift_m", "rail_exit_margin_m"}
    apogee = next(one for one in found.scatters if one.key == "apogee_m")
    assert apogee.quantiles[1].low < apogee.quantiles[1].value < apogee.quantiles[1].high
    decide = [one.draw.name for one in found.decided["apogee_m"].causes]
    assert decide[0] == "impulse"
    # Only what has a say is listed: a canopy that stays in cannot change the top.
    assert all(one.low > 0.0 for each in found.decided.values() for one in each.causes)
    assert 0.0 < found.decided["apogee_m"].missed < 0.2
    assert "main stays in" not in decide
    failed = next(one for one in found.failures if one.what == "main stays in")
    assert failed.flights == int(flown.drawn[:, 4].sum()) > 0
    assert failed.fastest_m_s > 10.0


def test_what_people_fear_stands_first(flown):
    crowd = Crowd(near_m=100.0, bearing_rad=0.0, across_m=50.0)
    found = campaign_answer(flown, Spot(ceiling_agl_m=245.0, field_radius_m=500.0, crowd=crowd))
    assert [one.asked for one in found.odds] == [
        *(Asked.OPEN_CANOPY, Asked.BALLISTIC, Asked.INSIDE_RADIUS),
        *(Asked.STRIKES_CROWD, Asked.STRIKES_BARE, Asked.LOST, Asked.OVER_CEILING, Asked.LANDS),
    ]
    assert found.unasked == ()


def test_a_canopy_that_stays_in_is_no_open_canopy(flown):
    said = {one.asked: one for one in campaign_answer(flown, Spot()).odds}
    failed = int((flown.drawn[:, [one.kind for one in flown.draws].index(Drawn.STAYS_IN)] > 0.0).sum())
    assert failed > 0
    assert said[Asked.OPEN_CANOPY].count == flown.count - failed
    assert said[Asked.LANDS].count == flown.count


def test_landings_among_the_people_by_plain_sums(flown):
    landings = flown.landings_m()
    east, north = landings.T
    bearing = float(np.median(np.arctan2(east, north)))
    near = float(np.median(np.hypot(east, north)))
    crowd = Crowd(near_m=near, bearing_rad=bearing, across_m=30.0)
    said = {one.asked: one for one in campaign_answer(flown, Spot(crowd=crowd)).odds}
    out = east * np.sin(bearing) + north * np.cos(bearing)
    aside = east * np.cos(bearing) - north * np.sin(bearing)
    # Three metres round the landing point, twenty metres deep: the reach and depth that are assumed.
    among = (out > near - 3.0) & (out < near + 23.0) & (abs(aside) < 18.0)
    assert 0 < among.sum() < flown.count
    assert said[Asked.STRIKES_CROWD].count == among.sum()
    bare = flown.results["under_canopy"] == 0.0
    assert said[Asked.STRIKES_BARE].count == (among & bare).sum()


def test_people_on_an_unknown_side_are_counted_all_round(flown):
    far = np.hypot(*flown.landings_m().T)
    near = float(np.quantile(far, 0.4))
    found = campaign_answer(flown, Spot(crowd=Crowd(near_m=near, bearing_rad=0.3)))
    said = {one.asked: one for one in found.odds}
    assert said[Asked.AS_FAR_AS_CROWD].count == ((far > near - 3.0) & (far < near + 23.0)).sum() > 0
    assert Asked.STRIKES_CROWD in found.unasked


def test_a_place_that_says_nothing_leaves_its_questions_open(flown):
    found = campaign_answer(flown, Spot())
    assert found.unasked == (Asked.INSIDE_RADIUS, Asked.STRIKES_CROWD, Asked.OVER_CEILING)
    assert [one.asked for one in found.odds] == [Asked.OPEN_CANOPY, Asked.BALLISTIC, Asked.LOST, Asked.LANDS]


def test_lost_flights_are_counted(campaign, tmp_path):
    from dataclasses import replace

    from finial.flight.example import example_inputs

    aside = replace(example_inputs().thrust, offset_m=(0.06, 0.0))
    run_campaign(campaign(flights=20, thrust=aside), tmp_path, Threads(1))
    said = {one.asked: one for one in campaign_answer(read_flown(tmp_path), Spot()).odds}
    assert said[Asked.LOST].count == 20
    assert said[Asked.OPEN_CANOPY].count == 0
    # What they did after the rail is not to be used; how they left it is.
    found = campaign_answer(read_flown(tmp_path), Spot(field_radius_m=500.0))
    assert {one.key for one in found.scatters} == {"rail_exit_speed_m_s", "rail_exit_margin_m"}
    assert found.ellipse is None
    assert {one.asked: one.count for one in found.odds}[Asked.INSIDE_RADIUS] == 0
    text = "\n".join(line.text for line in campaign_lines("x", found, us_units=False))
    assert "20 lost flights" in text
    assert "not to be used" in " ".join(text.split())


def test_it_is_said_that_no_odds_enter_the_verdict(flown):
    lines = campaign_lines("x", campaign_answer(flown, Spot()), us_units=False)
    assert "No odds enter the verdict" in " ".join(line.text for line in lines)


def test_the_headline_counts_what_goes_wrong_and_names_what_is_not_known(flown):
    from finial.report.campaign_words import headline

    found = campaign_answer(flown, Spot(field_radius_m=1e6))
    failed = flown.count - next(one.count for one in found.odds if one.asked is Asked.OPEN_CANOPY)
    text = headline(found)
    assert text.startswith(f"Of 400 flights {failed} come down without an open canopy")
    assert "outside" not in text
    assert "comes down among the people" in text
    assert text.index("Not known") > text.index("open canopy")


def test_field_radius_stands_in_for_an_outline(flown):
    found = campaign_answer(flown, Spot(field_radius_m=1e6))
    assert found.odds[2].asked is Asked.INSIDE_RADIUS
    assert found.odds[2].share == 1.0


def test_flights_that_never_left_count_and_are_explained(campaign, tmp_path):
    from dataclasses import replace

    from finial.flight.example import example_inputs

    thrust = example_inputs().thrust
    run_campaign(
        campaign(flights=40, thrust=replace(thrust, thrusts_n=0.1 * thrust.thrusts_n)), tmp_path, Threads(1)
    )
    found = campaign_answer(read_flown(tmp_path), Spot(field_radius_m=500.0))
    assert found.failures[0].what.startswith("never left the pad")
    assert found.failures[0].flights == 40
    assert found.odds[0].count == 0
    assert found.ellipse is None
    assert found.decided == {}


def test_other_designs_have_no_bounds(campaign, tmp_path):
    run_campaign(campaign(flights=64, design="sobol"), tmp_path, Threads(1))
    found = campaign_answer(read_flown(tmp_path), Spot(field_radius_m=500.0))
    assert found.odds[0].low is None
    assert found.scatters[0].quantiles[0].low is None


def test_a_damaged_file_of_flights_is_named(campaign, tmp_path):
    run_campaign(campaign(flights=20), tmp_path, Threads(1))
    next(tmp_path.glob("flights-*.parquet")).write_bytes(b"PAR1 no")
    with pytest.raises(CampaignError, match="not as written"):
        read_flown(tmp_path)


def test_an_empty_folder_is_said_so(tmp_path):
    with pytest.raises(CampaignError, match="holds no campaign"):
        read_flown(tmp_path)


def test_a_missing_library_is_named_with_its_extra(campaign, tmp_path, monkeypatch):
    import sys

    monkeypatch.setitem(sys.modules, "pyarrow", None)
    with pytest.raises(MissingData, match=r"finial\[campaign\]"):
        run_campaign(campaign(flights=5), tmp_path, Threads(1))


def test_a_campaign_without_uncertain_numbers_flies(tmp_path):
    from finial.flight.example import example_inputs
    from finial.flight.spread import Spread, whole_mass

    inputs = example_inputs()
    spread = Spread(draws=(), masses=whole_mass(inputs), wind_speed_m_s=4.0)
    run_campaign(planned("same", inputs, spread, flights=4, seed=1), tmp_path, Threads(1))
    assert np.ptp(read_flown(tmp_path).results["apogee_m"]) == 0.0
