"""Damping against closed forms."""

from collections.abc import Callable

import numpy as np
import pytest

from finial.aero.body import BodyAir
from finial.aero.damping import pitch_damping, roll_damping
from finial.aero.fin import FinSet
from finial.aero.fins import fin_air


def test_fins_damp_by_their_arm_squared(cone_cylinder: BodyAir, four_fins: Callable[..., FinSet]) -> None:
    fins = fin_air(cone_cylinder, [four_fins()])
    bare = pitch_damping(cone_cylinder, (), 0.5)
    arm = (fins[0].centre_m - 0.5) / cone_cylinder.width_m
    with_fins = pitch_damping(cone_cylinder, fins, 0.5)
    assert with_fins - bare == pytest.approx(-2 * fins[0].slope_per_rad[0, 0] * arm**2, rel=1e-3)


def test_slender_body_damps_by_its_base(cone_cylinder: BodyAir) -> None:
    # Momentum of the cross flow: -4 ((L - xc)^2 - integral of A (x - xc) dx / A_base + ...) in
    # the form A_base (L - xc)^2 - integral A (x - xc) dx (from memory of Nielsen, 1960).
    centre = 0.5
    x = np.linspace(0.0, 1.0, 4001)
    area = np.pi / 4 * np.interp(x, [0.0, 0.3, 1.0], [0.0, 0.1, 0.1]) ** 2
    base = area[-1]
    whole = base * (1.0 - centre) ** 2 - np.trapezoid(area * (x - centre), x)
    assert pitch_damping(cone_cylinder, (), centre) == pytest.approx(-4 * whole / base / 0.1**2, rel=0.01)


def test_roll_damping_of_fins_alone_by_strips(
    cone_cylinder: BodyAir, four_fins: Callable[..., FinSet]
) -> None:
    fin = fin_air(cone_cylinder, [four_fins()])[0]
    plan = fin.planform
    radius = 0.05 + plan.outwards_m
    strips = np.sum(plan.chords_m * radius**2) * plan.span_m / len(radius)
    expected = -2 * 4 * fin.lift.slope_per_rad * strips / (cone_cylinder.reference_area_m2 * 0.1**2)
    # Strip theory carries more load at the tip than a lattice does.
    assert roll_damping([fin])[()] == pytest.approx(expected, rel=0.15)
