"""Firing current, cold batteries, reliability formulas at their limits."""

import math

import pytest

from finial.core.errors import MissingData, OutsideRange
from finial.core.estimates import Estimate, KnownBy, exact, spread
from finial.electronics.batteries import cold_share, hours_over_wait, pad_hours
from finial.electronics.firing import (
    FiringCircuit,
    continuity_limit,
    current_over_all_fire,
    firing_current,
    igniter_kind,
)
from finial.electronics.reliability import common_cause_failure, parallel_reliability, voting_reliability

MATCH = exact(1.5)


def circuit(igniter_ohm: Estimate = MATCH) -> FiringCircuit:
    return FiringCircuit(
        voltage_v=exact(7.4),
        internal_ohm=exact(0.1),
        switch_ohm=exact(0.02),
        wiring_ohm=exact(0.3),
        igniter_ohm=igniter_ohm,
    )


def test_low_current_belongs_to_the_high_resistance() -> None:
    wide = firing_current(circuit(igniter_ohm=spread(1.5, 0.2, known_by=KnownBy.HANDBOOK)))
    assert wide.low == pytest.approx(7.4 / (0.1 + 0.02 + 0.3 + 1.8))
    assert wide.high == pytest.approx(7.4 / (0.1 + 0.02 + 0.3 + 1.2))
    assert wide.known_by is KnownBy.HANDBOOK


def test_like_igniters_at_once_split_the_current_of_the_node() -> None:
    # Kirchhoff: three branches of 1.8 ohm make 0.6 ohm behind 0.12 ohm.
    current = firing_current(circuit(), (circuit(), circuit()))
    assert current.value == pytest.approx(7.4 / (0.12 + 0.6) / 3)


def test_a_stiff_battery_does_not_notice_a_second_igniter() -> None:
    stiff = FiringCircuit(
        voltage_v=exact(7.4),
        internal_ohm=exact(0.0),
        switch_ohm=exact(0.0),
        wiring_ohm=exact(0.3),
        igniter_ohm=exact(1.5),
    )
    assert firing_current(stiff, (stiff,)).value == pytest.approx(firing_current(stiff).value)


@pytest.mark.parametrize("ohm", [0.0, -1.0])
def test_a_shorted_igniter_is_refused(ohm: float) -> None:
    with pytest.raises(OutsideRange, match="igniter_ohm"):
        firing_current(circuit(igniter_ohm=exact(ohm)))


def test_ratio_keeps_the_interval() -> None:
    ratio = current_over_all_fire(spread(3.0, 0.1, known_by=KnownBy.COMPUTED), 1.5)
    assert (ratio.low, ratio.high) == pytest.approx((1.8, 2.2))


def test_unknown_igniter_lists_the_known_ones() -> None:
    with pytest.raises(MissingData, match="electric match"):
        igniter_kind("flash bulb")


def test_test_current_stays_below_no_fire() -> None:
    kind = igniter_kind("electric match")
    assert kind.test_a < kind.no_fire_a < kind.all_fire_a[0]


@pytest.mark.parametrize(("no_fire_a", "share"), [(0.0, 0.1), (0.3, 0.0), (float("nan"), 0.1)])
def test_a_check_of_nothing_is_refused(no_fire_a: float, share: float) -> None:
    with pytest.raises(OutsideRange):
        continuity_limit(no_fire_a, share)


def test_a_tenth_of_the_current_is_stricter_than_a_tenth_of_the_energy() -> None:
    # Energy goes with the square of the current at the same resistance and time.
    assert (continuity_limit(0.3, 0.1) / 0.3) ** 2 <= 0.1


def test_colder_never_gives_more() -> None:
    shares = [cold_share(exact(273.15 + celsius)).value for celsius in range(-30, 50)]
    assert shares == sorted(shares)


@pytest.mark.parametrize(("celsius", "known"), [(-25.0, False), (-18.0, True), (20.0, True), (65.0, False)])
def test_outside_the_table_is_flagged(celsius: float, known: bool) -> None:
    assert cold_share(exact(273.15 + celsius)).inside_range is known


def test_below_the_table_nothing_may_be_left() -> None:
    assert cold_share(exact(240.0)).low == 0.0


def test_pad_hours_at_the_bad_end_are_cold_old_and_hungry() -> None:
    hours = pad_hours(exact(0.5), spread(0.025, 0.2, known_by=KnownBy.HANDBOOK), exact(273.15))
    assert hours.low == pytest.approx(0.8 * 0.7 * 0.5 / 0.030)
    assert hours.high == pytest.approx(1.0 * 0.9 * 0.5 / 0.020)


def test_wait_is_in_seconds() -> None:
    assert hours_over_wait(exact(3.0), 3600.0).value == 3.0


@pytest.mark.parametrize("current", [0.0, -0.01])
def test_a_computer_without_current_is_refused(current: float) -> None:
    with pytest.raises(OutsideRange, match="current_a"):
        pad_hours(exact(0.5), exact(current), exact(290.0))


def test_all_common_cause_is_no_redundancy_and_none_is_the_square() -> None:
    assert common_cause_failure(0.02, 1.0) == pytest.approx(0.02)
    assert common_cause_failure(0.02, 0.0) == pytest.approx(0.02**2)


def test_one_of_n_is_parallel_and_n_of_n_is_series() -> None:
    assert voting_reliability(1, 4, 0.9) == pytest.approx(parallel_reliability([0.9] * 4))
    assert voting_reliability(4, 4, 0.9) == pytest.approx(0.9**4)


@pytest.mark.parametrize("value", [97.0, -0.1, math.nan])
def test_percentages_and_nonsense_are_refused(value: float) -> None:
    with pytest.raises(OutsideRange, match="not 97"):
        parallel_reliability([0.9, value])


@pytest.mark.parametrize(("needed", "count"), [(0, 3), (4, 3)])
def test_impossible_votes_are_refused(needed: int, count: int) -> None:
    with pytest.raises(OutsideRange, match="needed <= count"):
        voting_reliability(needed, count, 0.9)
