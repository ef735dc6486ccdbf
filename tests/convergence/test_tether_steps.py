"""Pieces on cords: the order of the step, and the closed form in the limit."""

import numpy as np
import pytest

from finial.recovery.tether.example import two_points
from finial.recovery.tether.run import loss_for_rebound, run
from finial.recovery.tether.scene import Filling, Mouth, Piece, Scene, TetherLine, TetherStart, Tie

EXACT_N = 15.0 * np.sqrt(1.5 * 17_800.0 / (0.25 * 6.0))
"""Two-body energy balance: speed times the root of reduced mass times stiffness [N]."""


STIFFNESS = 17_800.0 / 0.25 / 6.0
SWING = np.sqrt(STIFFNESS / 1.5)
"""Of 2 kg and 6 kg against each other [rad/s]."""
SPEED = 8.0


def apart(step_s: float, *, stretched_m: float, duration_s: float) -> np.ndarray:
    """Distance beyond the cord's length [m] and speed of parting [m/s] at the end."""
    scene, launch = two_points(stretched_m=stretched_m, speed_m_s=SPEED)
    last = run([scene], [launch], duration_s, step_s=step_s, keep_every=1_000_000).states[0, -1]
    return np.array([last[0, 0] - last[0, 1] - 6.0, last[3, 0] - last[3, 1]])


def error(step_s: float, exact: tuple[float, float], **case: float) -> float:
    return float(np.abs((apart(step_s, **case) - np.array(exact)) * [SWING, 1.0]).max())


def test_a_taut_cord_is_followed_with_the_fourth_order() -> None:
    """Taut all along: a harmonic swing from 0.1 m of stretch."""
    turned = SWING * 0.016
    exact = (
        0.1 * np.cos(turned) + SPEED / SWING * np.sin(turned),
        SPEED * np.cos(turned) - 0.1 * SWING * np.sin(turned),
    )
    errors = np.array([error(step, exact, stretched_m=0.1, duration_s=0.016) for step in (4e-3, 2e-3, 1e-3)])
    assert np.log2(errors[:-1] / errors[1:]) == pytest.approx(4.0, abs=0.3)


def kinked_error(step_s: float) -> float:
    """Root mean square error over sixteen places of the kink inside a step [m/s and m times the swing]."""
    ways, duration = 0.05 + np.arange(16) / 16 * SPEED * step_s, 0.12
    made = [two_points(stretched_m=-away, speed_m_s=SPEED) for away in ways]
    last = run(*zip(*made, strict=True), duration, step_s=step_s, keep_every=1_000_000).states[:, -1]
    back = duration - ways / SPEED - np.pi / SWING
    by_place = (last[:, 0, 0] - last[:, 0, 1] - 6.0 + SPEED * back) * SWING
    by_speed = last[:, 3, 0] - last[:, 3, 1] + SPEED
    return float(np.sqrt(np.mean(by_place**2 + by_speed**2)))


def test_a_cord_that_comes_taut_and_slack_is_followed_with_the_second_order() -> None:
    """Free flight, half a swing, free flight back: the load starts and ends as a kink inside a step."""
    steps = np.array([4e-3, 2e-3, 1e-3, 5e-4])
    slope = np.polyfit(np.log(steps), np.log([kinked_error(step) for step in steps]), 1)[0]
    assert slope == pytest.approx(2.0, abs=0.3)


def test_the_peak_load_tends_to_the_two_body_closed_form() -> None:
    scene, launch = two_points()
    found = [float(run([scene], [launch], 0.1, step_s=step).tensions_n.max()) for step in (2e-3, 5e-4, 2e-4)]
    errors = [abs(peak / EXACT_N - 1) for peak in found]
    assert errors[-1] < 1e-4
    assert errors[-1] < errors[0]


@pytest.mark.parametrize("rebound", [0.5, 0.7, 0.9])
def test_a_cord_gives_back_the_share_of_speed_it_was_made_for(rebound: float) -> None:
    scene, launch = two_points(loss=loss_for_rebound(rebound))
    last = run([scene], [launch], 0.2, step_s=4e-4).states[0, -1]
    assert (last[3, 1] - last[3, 0]) / 15.0 == pytest.approx(rebound, rel=2e-3)


def late_opening() -> tuple[Scene, TetherStart]:
    """Two sides, a light knot and a canopy that fills, falling nose first at 29 m/s: the stiffest kind."""
    stiff, mouth = 17_800.0, Mouth(along_m=0.46, radius_m=0.038, towards_fore=True)
    scene = Scene(
        pieces=(
            Piece(
                name="fore", mass_kg=2.4, inertia_kg_m2=0.03, fore_m=0.17, aft_m=0.13, side_on_area_m2=0.04
            ),
            Piece(name="aft", mass_kg=6.0, inertia_kg_m2=0.5, fore_m=0.46, aft_m=0.46, side_on_area_m2=0.13),
            Piece(name="knot", mass_kg=0.09),
            Piece(name="canopy", mass_kg=0.58),
        ),
        lines=(
            TetherLine(
                name="from the bay",
                first=Tie(piece=1, along_m=0.12),
                second=Tie(piece=2),
                length_m=7.0,
                load_per_stretch_n=stiff,
                loss=0.6,
                mouth=mouth,
            ),
            TetherLine(
                name="other side",
                first=Tie(piece=0, along_m=-0.13),
                second=Tie(piece=2),
                length_m=3.0,
                load_per_stretch_n=stiff,
                loss=0.6,
            ),
            TetherLine(
                name="canopy",
                first=Tie(piece=2),
                second=Tie(piece=3),
                length_m=4.0,
                load_per_stretch_n=stiff,
                loss=0.6,
            ),
        ),
        fillings=(Filling(piece=3, line=2, bundle_area_m2=0.005, full_area_m2=7.2, distance_m=28.0),),
        density_kg_m3=1.12,
    )
    axis = np.array([np.cos(-1.1), np.sin(-1.1)])
    common = np.array([14.0, -29.0])
    launch = TetherStart(
        places_m=np.array([0.13 * axis, -0.46 * axis, 0.0 * axis, 0.0 * axis]),
        angles_rad=np.full(4, -1.1),
        speeds_m_s=np.array([common + 3.6 * axis, *[common - 1.4 * axis] * 3]),
        rates_rad_s=np.zeros(4),
    )
    return scene, launch


def test_the_step_taken_by_itself_is_fine_enough_for_a_late_opening() -> None:
    scene, launch = late_opening()
    taken = run([scene], [launch], 2.0).tensions_n.max(axis=1)
    finer = run([scene], [launch], 2.0, step_s=3e-4).tensions_n.max(axis=1)
    assert taken == pytest.approx(finer, rel=0.03)
