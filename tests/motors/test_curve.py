"""Thrust curves: what they say, and what is refused."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from finial.core.errors import OutsideRange
from finial.motors.claims import Claims, claim_checks
from finial.motors.cluster import clustered
from finial.motors.curve import (
    average_thrust,
    burn_window,
    checked_curve,
    designation,
    letter_class,
    total_impulse,
)
from finial.motors.motor import Motor


def _motor(times=(0.0, 0.05, 1.5, 2.0), thrusts=(0.0, 400.0, 400.0, 0.0), **changes):
    motor = Motor(
        name="demo",
        diameter_m=0.054,
        length_m=0.3,
        loaded_mass_kg=0.8,
        propellant_mass_kg=0.35,
        times_s=np.array(times),
        thrusts_n=np.array(thrusts),
    )
    return replace(motor, **changes)


def test_a_curve_that_starts_and_ends_at_full_thrust_burns_all_the_time():
    motor = _motor((0.0, 3.0), (100.0, 100.0))
    assert burn_window(motor) == (0.0, 3.0)
    assert average_thrust(motor) == 100.0


def test_a_long_tail_below_five_percent_is_no_burn():
    motor = _motor((0.0, 0.1, 1.0, 1.1, 5.0), (0.0, 1000.0, 1000.0, 40.0, 0.0))
    start, end = burn_window(motor)
    assert start == pytest.approx(0.005)
    assert end == pytest.approx(1.0 + 0.1 * 950.0 / 960.0)


@given(scale=st.floats(0.1, 20.0), stretch=st.floats(0.1, 5.0))
@settings(max_examples=25, deadline=None)
def test_impulse_scales_with_thrust_and_time(scale, stretch):
    base = _motor()
    motor = replace(base, times_s=base.times_s * stretch, thrusts_n=base.thrusts_n * scale)
    assert total_impulse(motor) == pytest.approx(690.0 * scale * stretch)
    assert average_thrust(motor) == pytest.approx(average_thrust(base) * scale)


def test_three_motors_together():
    late = _motor(ignition_delay_s=0.5)
    cluster = clustered([_motor(), _motor(), late])
    assert total_impulse(cluster) == pytest.approx(3 * 690.0)
    assert cluster.times_s[-1] == 2.5
    assert np.interp(1.0, cluster.times_s, cluster.thrusts_n) == pytest.approx(1200.0)
    assert np.interp(0.3, cluster.times_s, cluster.thrusts_n) == pytest.approx(800.0)
    assert cluster.propellant_mass_kg == pytest.approx(1.05)
    assert letter_class(total_impulse(cluster)) == "K"
    assert cluster.thrust_spread == pytest.approx(0.05 / np.sqrt(3.0))


def test_small_letters():
    assert [letter_class(impulse) for impulse in (0.3, 0.625, 0.63, 1.25)] == ["1/4A", "1/4A", "1/2A", "1/2A"]
    assert designation(_motor((0.0, 1.0), (2.0, 2.0))) == "A2"


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: checked_curve(_motor((0.0,), (1.0,))), "two rows or more"),
        (lambda: checked_curve(_motor((0.0, 1.0), (1.0, 1.0, 1.0))), "two equal columns"),
        (lambda: checked_curve(_motor((0.0, np.nan), (1.0, 1.0))), "not a finite number"),
        (lambda: checked_curve(_motor((0.0, 0.0), (1.0, 1.0))), "must rise strictly"),
        (lambda: checked_curve(_motor((-1.0, 0.0), (1.0, 1.0))), "from 0 or later"),
        (lambda: checked_curve(_motor((0.0, 1.0), (-1.0, 1.0))), "must not fall below 0"),
        (lambda: checked_curve(_motor((0.0, 1.0), (0.0, 0.0))), "rise above it somewhere"),
        (lambda: letter_class(0.0), "more than 0"),
        (lambda: letter_class(float("nan")), "more than 0"),
        (lambda: clustered([]), "at least one motor"),
    ],
)
def test_what_is_no_motor_is_refused(call, message):
    with pytest.raises(OutsideRange, match=message):
        call()


def test_a_cluster_is_as_wide_and_as_long_as_its_largest() -> None:
    small, large = _motor(), replace(_motor(), diameter_m=0.098, length_m=0.9)
    both = clustered([small, large])
    assert (both.diameter_m, both.length_m) == (0.098, 0.9)
    assert both.loaded_mass_kg == small.loaded_mass_kg + large.loaded_mass_kg


@pytest.mark.parametrize(
    ("claim", "found", "share"),
    [
        # 690 N s between the points at 5 % of 400 N; a twentieth of the claim is left, or a tenth.
        ("impulse_n_s", 690.0, 0.05),
        ("average_thrust_n", 690.0 / (1.975 - 0.0025), 0.10),
        ("burn_time_s", 1.975 - 0.0025, 0.10),
    ],
)
def test_a_curve_may_differ_from_its_claim_by_a_share_of_the_claim(claim, found, share):
    for by, agrees in (
        (1 + share - 0.005, True),
        (1 + share + 0.005, False),
        (1 - share + 0.005, True),
        (1 - share - 0.005, False),
    ):
        (check,) = claim_checks(_motor(), Claims(**{claim: found / by}))
        assert check.agrees is agrees
        assert check.found == pytest.approx(found, rel=1e-3)
