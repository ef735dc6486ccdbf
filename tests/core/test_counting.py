"""Statistics, corners and doors at their edges."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from finial.core.corners import over_corners
from finial.core.doors import require_fraction, require_not_negative, require_positive
from finial.core.errors import NotConverged, OutsideRange
from finial.core.estimates import Estimate, KnownBy, exact, spread
from finial.core.statistics import (
    circle_radius,
    ellipse_content,
    ellipse_scale,
    failure_probability_bound,
    failure_probability_interval,
    proportion_standard_error,
    tolerance_sample_size,
    zero_failure_tests,
)

fractions = st.floats(0.05, 0.95)
parts = st.tuples(st.floats(0.1, 10.0), st.floats(0.0, 0.9)).map(
    lambda pair: spread(pair[0], pair[1], known_by=KnownBy.MEASURED)
)


@settings(max_examples=30, deadline=None)
@given(fractions, fractions)
def test_enough_good_tests_prove_it_and_one_fewer_does_not(reliability: float, confidence: float) -> None:
    tests = zero_failure_tests(reliability, confidence)
    assert 1 - reliability**tests >= confidence - 1e-9
    assert tests == 1 or 1 - reliability ** (tests - 1) < confidence


@pytest.mark.parametrize(("reliability", "tests"), [(0.5, 3), (0.6, 11), (0.7, 10), (0.9, 4)])
def test_exact_powers_do_not_round_up(reliability: float, tests: int) -> None:
    assert zero_failure_tests(reliability, 1 - reliability**tests) == tests


@settings(max_examples=20, deadline=None)
@given(fractions)
def test_scale_and_content_are_each_others_inverse(fraction: float) -> None:
    assert ellipse_content(math.sqrt(ellipse_scale(fraction))) == pytest.approx(fraction)


def test_all_failed_proves_nothing_better() -> None:
    assert failure_probability_bound(4, 4) == 1.0
    assert failure_probability_interval(4, 4)[1] == 1.0
    assert failure_probability_interval(0, 4)[0] == 0.0


@pytest.mark.parametrize(("failures", "trials"), [(5, 4), (-1, 4), (0, 0)])
def test_impossible_counts_are_refused(failures: int, trials: int) -> None:
    with pytest.raises(OutsideRange, match="failures in"):
        failure_probability_bound(failures, trials)


@pytest.mark.parametrize("bad", [0.0, 1.0, 95.0, math.nan])
def test_percentages_are_refused_as_fractions(bad: float) -> None:
    with pytest.raises(OutsideRange, match="not 95"):
        zero_failure_tests(0.9, bad)
    with pytest.raises(OutsideRange, match="not 95"):
        require_fraction(fraction=bad)


def test_order_zero_is_refused() -> None:
    with pytest.raises(OutsideRange, match="largest value has order 1"):
        tolerance_sample_size(0.95, 0.95, 0)


def test_a_sample_beyond_reason_is_given_up() -> None:
    with pytest.raises(NotConverged, match="ten million"):
        tolerance_sample_size(1 - 1e-9, 0.95)


def test_first_order_sample_is_the_success_run() -> None:
    assert tolerance_sample_size(0.97, 0.9) == zero_failure_tests(0.97, 0.9)


def test_radius_scales_with_sigma() -> None:
    assert circle_radius(0.9, 20.0) == pytest.approx(20 * circle_radius(0.9))


@pytest.mark.parametrize("trials", [0, -5])
def test_no_trials_is_refused(trials: int) -> None:
    with pytest.raises(OutsideRange, match="trials"):
        proportion_standard_error(0.5, trials)


@settings(max_examples=30, deadline=None)
@given(parts, parts, st.floats(0, 1), st.floats(0, 1))
def test_no_inner_point_of_a_monotone_formula_escapes(
    first: Estimate, second: Estimate, along: float, across: float
) -> None:
    found = over_corners(lambda a, b: a**2 / b, {"a": first, "b": second})
    a = first.low + along * (first.high - first.low)
    b = second.low + across * (second.high - second.low)
    assert found.low * (1 - 1e-12) <= a**2 / b <= found.high * (1 + 1e-12)


def test_corners_keep_the_weakest_pedigree_and_the_flag() -> None:
    doubtful = Estimate(value=1.0, low=1.0, high=1.0, known_by=KnownBy.ASSUMED, inside_range=False)
    found = over_corners(lambda a, b: a + b, {"a": exact(1.0), "b": doubtful})
    assert found.known_by is KnownBy.ASSUMED
    assert not found.inside_range


@pytest.mark.parametrize("bad", [math.nan, math.inf, -1.0])
def test_doors_refuse_by_name(bad: float) -> None:
    with pytest.raises(OutsideRange, match="wall_m"):
        require_positive(wall_m=bad)
    with pytest.raises(OutsideRange, match="wall_m"):
        require_not_negative(wall_m=bad)


def test_zero_is_not_negative_but_not_positive() -> None:
    require_not_negative(wall_m=0.0)
    with pytest.raises(OutsideRange, match="wall_m"):
        require_positive(wall_m=0.0)
