"""Thrust on cold and hot days."""

import pytest

from finial.core.estimates import Estimate, KnownBy, exact
from finial.motors.warmth import thrust_drift


@pytest.mark.parametrize(("celsius", "kelvins"), [(-30.0, 40.0), (50.0, 20.0), (10.0, 0.0), (30.0, 0.0)])
def test_thrust_drifts_by_the_high_end_of_what_propellants_do(celsius: float, kelvins: float) -> None:
    """0.278 % of chamber pressure for each kelvin: Sutton and Biblarz, from memory, not re-read."""
    assert thrust_drift(exact(celsius + 273.15)) == pytest.approx(0.00278 * kelvins, rel=0.01)


def test_a_day_that_is_not_known_well_counts_at_its_far_end() -> None:
    day = Estimate(value=273.15, low=263.15, high=283.15, known_by=KnownBy.MEASURED)
    assert thrust_drift(day) == pytest.approx(thrust_drift(exact(263.15)))
