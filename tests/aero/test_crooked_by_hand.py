"""Bodies that stand askew, on paper: moments, turning, where drag acts, what the wind across twists."""

import math
from types import SimpleNamespace

import numpy as np
import pytest

from finial.aero import crooked
from finial.aero.body import body_air
from finial.aero.crooked import ZeroLoads, across_roll, drag_line_m, trim_of
from finial.aero.drag.build_up import drag_build_up
from finial.aero.sections.outlines import ellipse, regular_polygon, tapered_skin
from finial.core.errors import OutsideRange


def cone(length_m=0.3, lean=0.0):
    """A round cone whose sections drift aside by so much of their station."""
    return body_air(
        tapered_skin(
            lambda d: ellipse(d / 2, d / 2) + np.array([lean * d * length_m / 0.1, 0.0]),
            [(0.0, 0.0), (length_m, 0.1)],
        )
    )


def test_the_trim_of_a_leaning_cone_is_its_lean():
    """Turned by its lean it stands straight in the wind, wherever the balance point is along it."""
    for station in (0.1, 0.15):
        trim = trim_of(cone(lean=0.05), (), (station, 0.0, 0.0), (0.0, (0.0, 0.0)))
        assert trim.angle_rad == pytest.approx(0.05, rel=0.03)
        assert abs(math.sin(trim.roll_rad)) < 1e-6


def test_drag_beside_the_balance_point_trims_by_their_moments():
    """C_A times the arm over the righting moment: 2 (2/3 L - x_c) on a slender cone."""
    straight = cone()
    one = trim_of(straight, (), (0.15, 0.0, 0.0), (0.3, (0.002, 0.0)))
    other = trim_of(straight, (), (0.15, -0.002, 0.0), (0.3, (0.0, 0.0)))
    assert one.angle_rad == pytest.approx(other.angle_rad)
    assert one.roll_rad == pytest.approx(0.0, abs=1e-4)
    # With the relief of thick bodies it rights a little less than the slender cone.
    assert 1.0 < one.angle_rad / (0.3 * 0.002 / (2.0 * (0.2 - 0.15))) < 1.5
    twice = trim_of(straight, (), (0.15, 0.0, 0.0), (0.6, (0.002, 0.0)))
    assert twice.angle_rad == pytest.approx(2 * one.angle_rad)
    turned = trim_of(straight, (), (0.15, 0.0, 0.0), (0.3, (0.0, 0.002)))
    assert (turned.angle_rad, turned.roll_rad) == pytest.approx((one.angle_rad, math.pi / 2), rel=1e-3)
    behind = trim_of(straight, (), (0.25, 0.0, 0.0), (0.3, (0.002, 0.0)))
    assert behind.angle_rad is None  # nothing rights it
    with pytest.raises(OutsideRange, match="finite"):
        trim_of(straight, (), (math.nan, 0.0, 0.0), (0.3, (0.0, 0.0)))


def fin(slope=8.0, at=0.28, cant=0.0, damping=-4.0, share=1.0):
    return SimpleNamespace(
        felt_slope_per_rad=np.eye(2) * slope, centre_m=at, cant_moment=cant, roll_damping=damping,
        factor=(share, share),
    )  # fmt: skip


def test_fins_right_it_by_their_slope_and_their_arm():
    bare, finned = (trim_of(cone(), fins, (0.15, 0.0, 0.0), (0.3, (0.002, 0.0))) for fins in ((), (fin(),)))
    righting = 0.3 * 0.002 / bare.angle_rad
    assert finned.angle_rad == pytest.approx(0.3 * 0.002 / (righting + 8.0 * (0.28 - 0.15)))


def test_canted_fins_turn_it_until_their_damping_takes_it():
    """p d / 2 V = -C_l / C_lp, and a turn is 2 pi: turns a metre are that over pi d."""
    body = cone()
    (turns,) = {trim_of(body, (fin(cant=0.02), fin(cant=0.0)), (0.15, 0, 0), (0.3, (0, 0))).turns_per_m}
    assert turns == pytest.approx(0.02 / 8.0 * 2.0 / body.width_m / (2.0 * math.pi))
    shared = crooked._turns(body, (fin(cant=0.02, share=0.5), fin(damping=-2.0)), ZeroLoads())
    assert shared == pytest.approx(0.01 / 4.0 / body.width_m / math.pi)
    twisted = crooked._turns(body, (fin(),), ZeroLoads(roll_moment_m=0.002))
    assert twisted == pytest.approx(0.002 / body.width_m / 4.0 / body.width_m / math.pi)
    assert crooked._turns(body, (), ZeroLoads(roll_moment_m=0.002)) == 0.0


def test_drag_acts_at_the_mean_of_what_makes_it():
    """A square tower all of which stands 20 mm aside drags there; half of it aside, between."""

    def tower(aside):
        return tapered_skin(
            lambda s: regular_polygon(4, s) + np.array([aside, 0.0]), [(0.0, 0.1), (0.5, 0.1)]
        )

    for aside in (0.02, -0.01):
        skin = tower(aside)
        y, z = drag_line_m(skin, drag_build_up(skin, (), mach=0.3, reynolds_per_m=6e6))
        assert (y, z) == (pytest.approx(aside, rel=1e-6), pytest.approx(0.0, abs=1e-12))


def test_a_body_that_leans_drags_nearer_to_its_base_than_to_its_tip():
    """Base and friction: the base at its own place, friction at the mean of the girth."""
    skin = cone(lean=0.1).skin
    drag = drag_build_up(skin, (), mach=0.3, reynolds_per_m=6e6)
    y, _ = drag_line_m(skin, drag)
    base = skin.sections[-1].centroid_m[0]
    assert 2.0 / 3.0 * abs(base) * 0.9 < abs(y) < abs(base)
    assert y * base > 0.0


def test_wind_across_twists_a_body_that_stands_aside_of_its_axis():
    """Forces act at the centroids: moved aside by a, the moment is a times the force across it."""

    def tower(aside):
        return body_air(
            tapered_skin(lambda s: regular_polygon(4, s) + np.array([aside, 0.0]), [(0.0, 0.1), (0.5, 0.1)])
        )

    alpha, toward = np.radians([10.0, 90.0]), np.array([[0.0, 1.0], [1.0, 0.0], [0.0, -1.0]])
    moved, far = across_roll(tower(0.02), alpha, toward), across_roll(tower(0.04), alpha, toward)
    assert far[:, 0] == pytest.approx(2 * moved[:, 0], rel=1e-6)
    assert moved[:, 2] == pytest.approx(-moved[:, 0], rel=1e-6)
    assert np.abs(moved[:, 1]).max() < 1e-3 * np.abs(moved[:, 0]).max()
    # Square across the wind: drag of its width over its length, on the area of a section.
    body = tower(0.02)
    drag = float(np.trapezoid(body.drag_widths_m[:, 0], body.stations_m))
    side = body.rolls_rad[np.argmin(np.abs(body.rolls_rad - math.pi / 2))]
    assert side == pytest.approx(math.pi / 2)
    assert moved[1, 0] == pytest.approx(0.02 * drag / (body.reference_area_m2 * body.width_m), rel=0.02)


def test_an_oblong_section_is_turned_by_munk_s_moment():
    """Only what differs from the mean twists (Newman, Marine Hydrodynamics, section 4.13, from memory)."""
    tensors = np.array([np.diag([3.0, 1.0]), np.diag([2.0, 2.0])])
    assert crooked._unequal(tensors)[0] == pytest.approx(np.diag([1.0, -1.0]))
    assert crooked._unequal(tensors)[1] == pytest.approx(np.zeros((2, 2)))


def test_widths_are_taken_between_the_rolls_that_are_known():
    body = SimpleNamespace(rolls_rad=np.array([0.0, 1.0, 2.0]))
    widths = np.array([[1.0, 2.0, 4.0]])
    found = crooked._at_rolls(body, widths, np.array([0.0, 0.25, 1.0, 1.5]))
    assert found[0].tolist() == pytest.approx([1.0, 1.25, 2.0, 3.0])
    assert crooked._cross(np.array([1.0, 0.0]), np.array([0.0, 1.0])) == 1.0
    assert crooked._cross(np.array([2.0, 3.0]), np.array([4.0, 5.0])) == -2.0


def test_the_mean_lean_is_weighed_by_added_mass_and_length():
    """Spaces of 1 and 2 m between traces of 2, 4 and 6: weights 6 and 20."""
    body = SimpleNamespace(
        stations_m=np.array([0.0, 1.0, 3.0]),
        tensors_m2=np.array([np.diag([1.0, k]) for k in (1.0, 3.0, 5.0)]),
    )
    slopes = np.array([[0.1, 0.0], [0.2, 0.3]])
    assert crooked._mean_slope(body, slopes) == pytest.approx([4.6 / 26, 6.0 / 26])


def test_widths_at_a_roll_angle_lie_straight_between_those_of_the_body():
    body = SimpleNamespace(rolls_rad=np.array([0.0, 1.0, 3.0]))
    found = crooked._at_rolls(body, np.array([[1.0, 3.0, 7.0]]), np.array([0.0, 0.5, 1.0, 2.5, 3.0]))
    assert found == pytest.approx(np.array([[1.0, 2.0, 3.0, 6.0, 7.0]]))
