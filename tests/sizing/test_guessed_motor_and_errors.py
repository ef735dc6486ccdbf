"""Ends of a guessed motor's mass, and how far a value left out may lie off."""

import numpy as np
import pytest

from finial.core.estimates import exact
from finial.sizing.scale import Scaling, ScalingRow, at_height
from finial.sizing.surrogate import foretold


def test_a_guessed_motor_weighs_from_0_9_to_1_2_g_a_newton_second() -> None:
    """2 kg, and the least and most impulse that are told."""
    lump = ScalingRow(mass=exact(2.0), station=exact(0.4), power=0)
    shape = Scaling(
        name="post",
        length_m=1.0,
        width_m=0.1,
        rows=(lump,),
        pressure_m=exact(0.8),
        bed_m=None,
        thrust_to_weight=5.0,
    )
    one = at_height(shape, 1.0, 30.0)
    assert one.lift_off_kg.low == pytest.approx(2.0 + 0.9e-3 * one.impulse_ns.low)
    assert one.lift_off_kg.high == pytest.approx(2.0 + 1.2e-3 * one.impulse_ns.high)


def test_errors_grow_until_the_farthest_value_lies_at_three_of_them() -> None:
    """Thirty-six values far apart, one of them odd.

    What is unlike all others is foretold as their mean. The odd one lies 35 of its squared errors off where
    all of them are 1 on average; the errors grow till that is 9. The variance of the values is 35 / 36^2.
    """
    number = 36
    there = 100.0 * np.eye(number)
    values = np.zeros(number)
    values[7] = 1.0
    told = foretold(there, values, np.full((1, number), -100.0))
    assert told.mean.tolist() == pytest.approx([1.0 / number], abs=1e-6)
    assert told.error.tolist() == pytest.approx([np.sqrt(35.0 / 9.0 * 35.0) / number], rel=1e-3)
