"""Motors of a cluster that light one after another, and a curve that stops at full thrust; by hand."""

import numpy as np
import pytest

from finial.motors.cluster import clustered
from finial.motors.curve import burn_window
from finial.motors.motor import Motor


def motor(times: tuple[float, ...], thrusts: tuple[float, ...], delay_s: float = 0.0) -> Motor:
    return Motor(
        name="by hand",
        diameter_m=0.054,
        length_m=0.3,
        loaded_mass_kg=0.8,
        propellant_mass_kg=0.35,
        times_s=np.array(times),
        thrusts_n=np.array(thrusts),
        ignition_delay_s=delay_s,
    )


def test_a_curve_that_ends_at_full_thrust_after_a_dip_burns_to_its_last_row() -> None:
    assert burn_window(motor((0.0, 1.0, 3.0), (100.0, 80.0, 100.0))) == (0.0, 3.0)


def test_the_first_lights_the_cluster_and_the_others_push_later_by_what_they_are_later() -> None:
    """Delays of 0.2 and 0.5 s: 400 N at first, and 0.3 s later, once the second has risen, 800 N."""
    times, thrusts = (0.0, 0.05, 1.5, 2.0), (0.0, 400.0, 400.0, 0.0)
    both = clustered([motor(times, thrusts, 0.2), motor(times, thrusts, 0.5)])
    assert both.ignition_delay_s == 0.2
    assert np.interp([0.2, 0.35], both.times_s, both.thrusts_n) == pytest.approx([400.0, 800.0])
    assert both.times_s[-1] == pytest.approx(2.3)
