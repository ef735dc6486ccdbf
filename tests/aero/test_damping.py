"""Damping against closed forms."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from finial.aero.body import BodyAir, body_air
from finial.aero.damping import least_turning_damping, roll_damping, turning_damping
from finial.aero.fins.on_body import TAIL_LOSS, FinAir, fin_air
from finial.aero.sections.outlines import ellipse, regular_polygon, tapered_skin
from finial.shape.fin_set import FinSet


def pitch_damping(body: BodyAir, fins: tuple[FinAir, ...], centre_m: float) -> float:
    pitch, yaw = np.diag(turning_damping(body, fins, centre_m))
    assert yaw == pytest.approx(pitch, rel=1e-3)
    return float(pitch)


def test_fins_damp_by_their_arm_squared(cone_cylinder: BodyAir, four_fins: Callable[..., FinSet]) -> None:
    fins = fin_air(cone_cylinder, [four_fins()])
    bare = pitch_damping(cone_cylinder, (), 0.5)
    arm = (fins[0].centre_m - 0.5) / cone_cylinder.width_m
    with_fins = pitch_damping(cone_cylinder, fins, 0.5)
    assert with_fins - bare == pytest.approx(-2 * fins[0].felt_slope_per_rad[0, 0] * arm**2, rel=1e-3)


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
    # Strip theory carries more load at the tip than a lattice does, and knows no slow air.
    assert roll_damping(cone_cylinder, [fin])[()] == pytest.approx(fin.factor[1] * expected, rel=0.15)


def test_a_flat_body_damps_by_the_plane_it_turns_in() -> None:
    # 2:1 ellipse: added mass 4 to 1 between its planes (from memory of Newman, 1977).
    flat = body_air(tapered_skin(lambda d: ellipse(d / 2, d / 4), [(0.0, 0.0), (0.3, 0.1), (1.0, 0.1)]))
    pitch, yaw = np.diag(turning_damping(flat, (), 0.5))
    assert pitch / yaw == pytest.approx(4.0, rel=0.02)


def test_damping_turns_with_the_body() -> None:
    def leaning(d: float) -> np.ndarray:
        return ellipse(d / 2, d / 4) @ np.array([[c, s], [-s, c]])

    c, s = np.cos(0.5), np.sin(0.5)
    profile = [(0.0, 0.0), (0.3, 0.1), (1.0, 0.1)]
    straight = turning_damping(body_air(tapered_skin(lambda d: ellipse(d / 2, d / 4), profile)), (), 0.5)
    turned = turning_damping(body_air(tapered_skin(leaning, profile)), (), 0.5)
    turn = np.array([[c, -s], [s, c]])
    assert turned == pytest.approx(turn @ straight @ turn.T, rel=5e-3)


def test_two_fins_damp_turning_across_their_plane_only(
    cone_cylinder: BodyAir, four_fins: Callable[..., FinSet]
) -> None:
    # Two fins along y: only motion along z, which is turning about y, meets them.
    fins = fin_air(cone_cylinder, [replace(four_fins(), count=2)])
    bare = turning_damping(cone_cylinder, (), 0.5)
    gained = turning_damping(cone_cylinder, fins, 0.5) - bare
    assert gained[0, 0] < -10.0
    assert gained[1, 1] == pytest.approx(0.0, abs=1e-2 * -gained[0, 0])


def test_a_square_body_resists_rolling_and_a_round_one_does_not(cone_cylinder: BodyAir) -> None:
    side = 0.1
    tower = body_air(tapered_skin(lambda s: regular_polygon(4, s), [(0.0, side), (1.0, side)]))
    # Added moment 0.725 a^4 for half side a (from memory of Newman, Marine Hydrodynamics, 1977, table 4.3).
    expected = -4 * 0.725 * (side / 2) ** 4 / (side**2 * 4 / np.pi * side**2)
    assert roll_damping(tower, ())[()] == pytest.approx(expected, rel=5e-3)
    assert roll_damping(cone_cylinder, ())[()] == 0.0


def test_fins_in_dead_air_damp_rolling_by_what_is_left_of_them(four_fins: Callable[..., FinSet]) -> None:
    profile = [(0.0, 0.1), (0.7, 0.1), (0.7, 0.2), (0.8, 0.2), (0.8, 0.1), (1.0, 0.1)]
    gallery = body_air(tapered_skin(lambda d: regular_polygon(8, d), profile))
    behind = fin_air(gallery, [four_fins()])[0]
    assert behind.sheltered > 0.2
    gained = roll_damping(gallery, [behind]) - roll_damping(gallery, ())
    left = min((1.0 - behind.sheltered) ** 2, 1.0 - behind.fronted[1]) * (1.0 - behind.dulled.base)
    # On what stands out of the dead air, the narrowing body behind the step takes its share too.
    left *= 1.0 - TAIL_LOSS[1] * behind.dulled.tail * max(1.0 - 2.0 * behind.sheltered, 0.0)
    assert behind.dulled.layer < behind.sheltered
    assert gained == pytest.approx(left * behind.roll_damping)


def test_the_low_end_takes_fins_at_their_low_factor_by_their_arm_squared(
    cone_cylinder: BodyAir, four_fins: Callable[..., FinSet]
) -> None:
    fins = fin_air(cone_cylinder, [four_fins()])
    (fin,) = fins
    centre, machs = 0.5, np.array([0.0, 0.6])
    bare = least_turning_damping(cone_cylinder, (), centre, machs)
    more = least_turning_damping(cone_cylinder, fins, centre, machs) - bare
    arm = (fin.centre_m - centre) / cone_cylinder.width_m
    # What a blunt base lets go of does not grow with the Mach number.
    rises = fin.mach_factor(machs) ** (1.0 - fin.dulled.tail)
    assert rises[1] > 1.01
    assert more == pytest.approx(-2 * fin.factor[0] * fin.slope_per_rad[0, 0] * arm**2 * rises, rel=2e-3)
