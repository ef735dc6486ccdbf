"""Statistics, corners and doors at their edges."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from finial.core.corners import over_corners
from finial.core.doors import require_fraction, require_not_negative, require_positive
from finial.core.errors import OutsideRange
from finial.core.estimates import Estimate, KnownBy, exact, spread
from finial.core.statistics import (
    failure_probability_bound,
    failure_probability_interval,
)

fractions = st.floats(0.05, 0.95)
parts = st.tuples(st.floats(0.1, 10.0), st.floats(0.0, 0.9)).map(
    lambda pair: spread(pair[0], pair[1], known_by=KnownBy.MEASURED)
)


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
        failure_probability_bound(0, 4, bad)
    with pytest.raises(OutsideRange, match="not 95"):
        require_fraction(fraction=bad)


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
