"""Interval arithmetic of estimates, worked by hand."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from finial.core.errors import OutsideRange
from finial.core.estimates import Estimate, KnownBy, exact, spread, total

FINITE = st.floats(-1e6, 1e6)


def about(value, below, above, known_by=KnownBy.MEASURED):
    return Estimate(value=value, low=value - below, high=value + above, known_by=known_by)


def test_total_adds_ends_to_ends_and_is_known_as_well_as_its_weakest_part():
    whole = total([about(1.0, 0.1, 0.2, KnownBy.WEIGHED), about(2.0, 0.3, 0.4, KnownBy.HANDBOOK)])
    assert (whole.value, whole.low, whole.high) == pytest.approx((3.0, 2.6, 3.6))
    assert whole.known_by is KnownBy.HANDBOOK


def test_total_of_nothing_is_nothing():
    assert (total([]).low, total([]).high) == (0.0, 0.0)


def test_one_part_out_of_range_taints_the_total():
    odd = Estimate(value=1.0, low=1.0, high=1.0, known_by=KnownBy.COMPUTED, inside_range=False)
    assert not total([exact(1.0), odd]).inside_range
    assert total([exact(1.0), exact(2.0)]).inside_range


def test_a_negative_factor_swaps_the_ends():
    turned = about(2.0, 0.5, 1.0).scaled(-2.0)
    assert (turned.low, turned.value, turned.high) == (-6.0, -4.0, -3.0)


def test_a_falling_function_swaps_the_ends():
    period = about(4.0, 2.0, 4.0).mapped(lambda rate: 1 / rate)
    assert (period.low, period.value, period.high) == (0.125, 0.25, 0.5)


def test_spread_is_a_share_of_the_size_also_below_zero():
    cold = spread(-10.0, 0.1, known_by=KnownBy.ASSUMED)
    assert (cold.low, cold.high, cold.half_width) == (-11.0, -9.0, 1.0)


@pytest.mark.parametrize("numbers", [(math.nan, 0, 1), (0, -math.inf, 1), (0, -1, math.inf)])
def test_numbers_that_are_not_finite_are_refused(numbers):
    value, low, high = numbers
    with pytest.raises(OutsideRange, match="must be finite"):
        Estimate(value=value, low=low, high=high, known_by=KnownBy.ASSUMED)


@pytest.mark.parametrize("numbers", [(2.0, 0.0, 1.0), (-1.0, 0.0, 1.0), (0.5, 1.0, 0.0)])
def test_a_value_outside_its_interval_is_refused(numbers):
    value, low, high = numbers
    with pytest.raises(OutsideRange, match="outside its own interval"):
        Estimate(value=value, low=low, high=high, known_by=KnownBy.ASSUMED)


def test_pedigrees_rank_from_weighed_to_assumed():
    assert [known.word for known in sorted(KnownBy)] == [
        "weighed",
        "measured",
        "computed",
        "handbook",
        "assumed",
    ]


@settings(max_examples=30, deadline=None)
@given(values=st.lists(FINITE, max_size=6), shares=st.lists(st.floats(0, 1), min_size=6, max_size=6))
def test_a_total_holds_every_sum_of_values_inside_its_parts(values, shares):
    parts = [spread(value, 0.2, known_by=KnownBy.ASSUMED) for value in values]
    picked = sum(
        part.low + share * (part.high - part.low) for part, share in zip(parts, shares, strict=False)
    )
    whole = total(parts)
    slack = 1e-9 * (1 + sum(map(abs, values)))
    assert whole.low - slack <= picked <= whole.high + slack
