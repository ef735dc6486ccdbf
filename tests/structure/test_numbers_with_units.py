"""Formulas asked with numbers that are not one, so that a product is no quotient."""

import math

import numpy as np
import pytest

from finial.structure.fins.air_states import FinSwinging, air_states, motion_matrix
from finial.structure.walls.buckling import round_wall_buckling_stress


def test_a_mode_dies_away_by_its_share_of_critical_damping() -> None:
    """4 kg on 16 N/m: 2 rad/s; a tenth of critical is 0.2 1/s beside 2 sqrt(1 - 0.01) rad/s."""
    still = air_states(np.linspace(0.0, 1.0, 9), np.zeros((9, 1, 1), dtype=complex))
    swinging = FinSwinging(
        mass=np.array([[4.0]]),
        stiffness=np.array([[16.0]]),
        air=still,
        half_chord_m=0.1,
        damping_share=0.1,
    )
    roots = np.linalg.eigvals(motion_matrix(swinging, 10.0, 1.2))
    swings = roots[roots.imag > 1e-6]
    assert swings.real.tolist() == pytest.approx([-0.2])
    assert swings.imag.tolist() == pytest.approx([2.0 * math.sqrt(0.99)])


def test_what_stands_behind_a_wall_adds_to_it_by_the_wall_s_own_bending() -> None:
    """E 2 Pa, t 0.1 m, nu 0.3: D is 2e-3 / 10.92; with 5 Pa/m behind it 2 sqrt(5 D) / t."""
    alone = round_wall_buckling_stress(2.0, 0.1, 10.0, poisson=0.3)
    both = round_wall_buckling_stress(2.0, 0.1, 10.0, poisson=0.3, support_pa_m=5.0)
    assert math.sqrt(both**2 - alone**2) == pytest.approx(20.0 * math.sqrt(5.0 * 2e-3 / 10.92))
