"""Pieces on cords: the order of the step, and the closed form in the limit."""

import numpy as np
import pytest

from finial.recovery.tether_example import two_points
from finial.recovery.tether_run import loss_for_rebound, run

EXACT_N = 15.0 * np.sqrt(1.5 * 17_800.0 / (0.25 * 6.0))
"""Two-body energy balance: speed times the root of reduced mass times stiffness [N]."""


STIFFNESS = 17_800.0 / 0.25 / 6.0
SWING = np.sqrt(STIFFNESS / 1.5)
"""Of 2 kg and 6 kg against each other [rad/s]."""
SPEED = 8.0


def apart(step_s: float, *, stretched_m: float, duration_s: float) -> np.ndarray:
    """Distance beyond the cord's length [m] and speed of parting [m/s] at the end."""
    scene, launch = two_points(stretched_m=stretched_m, speed_m_s=SPEED)
    last = run([scene], [launch], duration_s, step_s=step_s, keep_every=1_000_000).states[-1]
    return np.array([last[0, 0, 0] - last[0, 0, 1] - 6.0, last[3, 0, 0] - last[3, 0, 1]])


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
    last = run(*zip(*made, strict=True), duration, step_s=step_s, keep_every=1_000_000).states[-1]
    back = duration - ways / SPEED - np.pi / SWING
    by_place = (last[0, :, 0] - last[0, :, 1] - 6.0 + SPEED * back) * SWING
    by_speed = last[3, :, 0] - last[3, :, 1] + SPEED
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
    scene, launch = two_points(loss_s_m=loss_for_rebound(rebound, 15.0))
    last = run([scene], [launch], 0.2, step_s=4e-4).states[-1]
    assert (last[3, 0, 1] - last[3, 0, 0]) / 15.0 == pytest.approx(rebound, rel=2e-3)
