"""Thrust over weight by hand: the weakest motor under the heaviest mass, and the other way round."""

import numpy as np
import pytest

from finial.core.estimates import Estimate, KnownBy
from finial.motors.lifting import thrust_to_weight
from finial.motors.motor import Motor


def test_thrust_over_weight_takes_the_bad_ends_of_both() -> None:
    flat = Motor(
        name="flat",
        diameter_m=0.054,
        length_m=0.3,
        loaded_mass_kg=1.0,
        propellant_mass_kg=0.4,
        times_s=np.array([0.0, 1e-4, 2.0, 2.0001]),
        thrusts_n=np.array([0.0, 500.0, 500.0, 0.0]),
    )
    mass = Estimate(value=10.0, low=9.0, high=11.0, known_by=KnownBy.WEIGHED, method="a scale")
    found = thrust_to_weight(flat, mass, 0.1)
    assert found.value == pytest.approx(500.0 / 98.0665, rel=1e-3)
    assert (found.low, found.high) == pytest.approx((450.0 / (11 * 9.80665), 550.0 / (9 * 9.80665)), rel=1e-3)
