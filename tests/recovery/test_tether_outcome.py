"""What is read off a separation followed in time, from histories written by hand."""

import math
from dataclasses import replace

import numpy as np
import pytest
from tether_conserved import energy, momentum

from finial.core.errors import OutsideRange
from finial.core.estimates import Estimate, KnownBy, exact
from finial.recovery.cords.zipper import Lip, lip_holds
from finial.recovery.tether.batch import stacked
from finial.recovery.tether.example import two_points
from finial.recovery.tether.layout import ANGLE, RATE, SPEED_X, SPEED_Z, X, Z
from finial.recovery.tether.outcome import (
    LEAST_PULL_N,
    first_contact,
    hardest_on_lip,
    least_margin,
    lip_use,
    pull_on_end,
)
from finial.recovery.tether.run import History, run, stable_step
from finial.recovery.tether.scene import Mouth, Piece, Scene, TetherLine, TetherStart, Tie

TUBE = Lip(
    wall_m=0.0016,
    cord_width_m=0.014,
    edge_radius_m=0.0002,
    strength_pa=Estimate(value=50e6, low=40e6, high=60e6, known_by=KnownBy.HANDBOOK),
)
POLE = Piece(name="pole", mass_kg=2.0, inertia_kg_m2=0.1, fore_m=0.5, aft_m=0.5, radius_m=0.05)
ONE_LINE = Scene(
    pieces=(POLE, Piece(name="knot", mass_kg=0.1)),
    lines=(
        TetherLine(
            name="cord",
            first=Tie(piece=0, along_m=0.2),
            second=Tie(piece=1),
            length_m=1.0,
            load_per_stretch_n=1e4,
            mouth=Mouth(along_m=0.5, radius_m=0.05, towards_fore=True),
        ),
    ),
)


def history(
    tensions: list[list[float]],
    bends: list[float] | None = None,
    sides: list[float] | None = None,
    states: np.ndarray | None = None,
    keep_every: int = 1,
) -> History:
    """One case, a step of 0.1 s; ``tensions`` has a row for each step and a number for each line."""
    pulls = np.array([tensions], dtype=np.float32)
    bent, side = np.zeros_like(pulls), np.zeros_like(pulls)
    bent[0, :, 0], side[0, :, 0] = bends or 0.0, sides or 0.0
    times = 0.1 * np.arange(len(tensions))
    kept = np.array([*times[::keep_every], 0.1 * len(tensions)])
    return History(
        times_s=times,
        tensions_n=pulls,
        bends_rad=bent,
        lip_sides=side,
        kept_times_s=kept,
        states=np.zeros((1, len(kept), 7, 2)) if states is None else states[None],
    )


def placed(*rows: dict[int, tuple[float, float]]) -> np.ndarray:
    """States of two pieces; what is not given is 0."""
    states = np.zeros((len(rows), 7, 2))
    for state, row in zip(states, rows, strict=True):
        for name, values in row.items():
            state[name] = values
    return states


def test_the_lip_is_used_by_tension_over_what_it_holds_at_that_bend() -> None:
    found = lip_use(history([[300.0], [600.0]], bends=[1.0, 2.0]), 0, TUBE, "low")
    assert found == pytest.approx(
        [300.0 / lip_holds(TUBE, 1.0).low, 600.0 / lip_holds(TUBE, 2.0).low], rel=1e-5
    )


@pytest.mark.parametrize(("tension", "bend"), [(300.0, 0.0), (LEAST_PULL_N, 1.0), (0.0, 1.0)])
def test_a_free_cord_or_a_slack_fold_uses_nothing_of_the_lip(tension: float, bend: float) -> None:
    assert lip_use(history([[tension]], bends=[bend]), 0, TUBE, "low").tolist() == [0.0]
    assert least_margin(history([[tension]], bends=[bend]), 0, TUBE, "low") == pytest.approx(999.0)
    assert hardest_on_lip(history([[tension]], bends=[bend]), 0, TUBE).tension_n == 0.0


def test_just_above_a_slack_fold_the_lip_is_used() -> None:
    assert lip_use(history([[LEAST_PULL_N + 0.5]], bends=[1.0]), 0, TUBE, "low")[0] > 0.0


def test_margin_is_what_the_worst_moment_leaves() -> None:
    twice = lip_holds(TUBE, 1.0).value / 2
    found = history([[twice], [twice / 5], [0.0]], bends=[1.0, 1.0, 0.0])
    assert least_margin(found, 0, TUBE, "value") == pytest.approx(1.0, rel=1e-5)
    torn = history([[4 * twice]], bends=[1.0])
    assert least_margin(torn, 0, TUBE, "value") == pytest.approx(-0.5, rel=1e-5)
    assert least_margin(torn, 0, TUBE, "low") < least_margin(torn, 0, TUBE, "high")


def test_the_hardest_moment_is_not_the_largest_tension() -> None:
    """200 N round a sharp bend tear before 300 N that hardly bend."""
    found = history([[300.0], [200.0], [100.0]], bends=[0.05, 1.5, 1.5], sides=[1.0, -1.0, 1.0])
    pull = hardest_on_lip(found, 0, TUBE)
    assert (pull.tension_n, pull.side) == (200.0, -1)
    assert pull.bend_rad == pytest.approx(1.5)
    without_lip = hardest_on_lip(found, 0, None)
    assert (without_lip.tension_n, without_lip.side) == (200.0, -1)


def test_without_a_lip_the_push_on_the_edge_counts_sine_of_half_the_bend() -> None:
    """T sin(theta / 2): 100 N bent right back push 100 N, 150 N bent by 60 degrees only 75 N."""
    found = history([[150.0], [100.0]], bends=[math.radians(60.0), math.pi])
    assert hardest_on_lip(found, 0, None).tension_n == 100.0
    less = history([[250.0], [100.0]], bends=[math.radians(60.0), math.pi])
    assert hardest_on_lip(less, 0, None).tension_n == 250.0


def test_a_line_pulls_by_its_angle_to_the_axis() -> None:
    """The pole stands at 30 degrees; the knot lies straight above the tie: 60 degrees off the axis."""
    lean = math.radians(30.0)
    tie = 0.2 * math.cos(lean), 0.2 * math.sin(lean)
    state = {X: (1.0, 1.0 + tie[0]), Z: (2.0, 2.0 + tie[1] + 0.7), ANGLE: (lean, 0.0)}
    found = history([[100.0]], states=placed(state, state))
    pull = pull_on_end(found, 0, 0, ONE_LINE)
    assert pull.along_n == pytest.approx(100.0 * math.cos(math.radians(60.0)))
    assert pull.across_n == pytest.approx(100.0 * math.sin(math.radians(60.0)))


@pytest.mark.parametrize("side", [1.0, -1.0])
def test_a_line_round_a_lip_pulls_from_the_lip(side: float) -> None:
    """The pole lies along x, its lip 0.5 m ahead and 0.05 m off; the knot is 0.3 m ahead of it, 0.4 m out."""
    state = {X: (0.0, 0.8), Z: (0.0, side * 0.45), ANGLE: (0.0, 0.0)}
    found = history([[100.0]], bends=[0.5], sides=[side], states=placed(state, state))
    pull = pull_on_end(found, 0, 0, ONE_LINE)
    assert (pull.along_n, pull.across_n) == pytest.approx((60.0, 80.0))


def test_the_largest_tension_until_the_next_kept_state_counts() -> None:
    """States stand at 0 and 0.2 s: the pull of 0.1 s goes with the first, that of 0.3 s with the second."""
    ahead = {X: (0.0, 2.0)}
    beside = {X: (0.0, 0.2), Z: (0.0, 2.0)}
    found = history([[10.0], [70.0], [20.0], [50.0]], states=placed(ahead, beside, ahead), keep_every=2)
    pull = pull_on_end(found, 0, 0, ONE_LINE)
    assert (pull.along_n, pull.across_n) == pytest.approx((70.0, 50.0))


def meets(states: np.ndarray, tensions: list[list[float]] | None = None):
    pulls = tensions or [[0.0, 0.0], [50.0, 50.0], *[[0.0, 0.0]] * (len(states) - 3)]
    return first_contact(history(pulls, states=states), 0, (POLE, POLE))


def upright(x: float, speed: float = 0.0) -> dict[int, tuple[float, float]]:
    """Two poles that stand side by side, the second ``x`` to the right and moving towards the first."""
    return {X: (0.0, x), ANGLE: (math.pi / 2, math.pi / 2), SPEED_X: (0.0, -speed)}


def test_sides_touch_when_the_gap_is_both_radii() -> None:
    found = meets(
        placed(upright(2.0), upright(1.0, 3.0), upright(0.101, 3.0), upright(0.099, 3.0), upright(0.05))
    )
    assert found is not None
    assert found.time_s == pytest.approx(0.3)
    assert found.closing_m_s == pytest.approx(3.0)


def test_ends_touch_before_the_middles_do() -> None:
    """One above the other, half a metre each: the tips meet at a metre between the balance points."""
    over = {Z: (0.0, 1.05), ANGLE: (math.pi / 2, math.pi / 2), SPEED_Z: (0.0, -2.0)}
    found = meets(placed(upright(2.0), upright(1.0), over, over))
    assert found is not None
    assert (found.time_s, found.closing_m_s) == pytest.approx((0.2, 2.0))
    above = {**over, Z: (0.0, 1.15)}
    assert meets(placed(upright(2.0), upright(1.0), above, above)) is None


def test_a_pole_aft_of_its_balance_point_reaches_its_own_way() -> None:
    """A pole that is all in front of its balance point touches ahead, not behind."""
    ahead = replace(POLE, fore_m=1.0, aft_m=0.0)
    lies = {X: (0.0, 1.5), ANGLE: (0.0, 0.0)}
    states = placed(upright(9.0), upright(9.0), {X: (0.0, 1.05)}, {X: (0.0, 1.05)})
    assert first_contact(history([[0, 0], [50, 50], [0, 0]], states=states), 0, (ahead, ahead)) is not None
    states = placed(upright(9.0), upright(9.0), lies, lies)
    assert first_contact(history([[0, 0], [50, 50], [0, 0]], states=states), 0, (ahead, ahead)) is None


def test_sides_that_leave_each_other_close_at_nothing() -> None:
    found = meets(placed(upright(2.0), upright(1.0), upright(0.05, -3.0), upright(0.05)))
    assert found is not None
    assert found.closing_m_s == 0.0


def test_only_what_happens_after_the_whole_cord_came_taut_is_a_meeting() -> None:
    close = placed(upright(0.05), upright(0.05), upright(0.05), upright(2.0))
    assert meets(close, [[0.0, 0.0], [0.0, 0.0], [50.0, 50.0]]) is None
    assert meets(close, [[50.0, 0.0], [50.0, 0.0], [50.0, LEAST_PULL_N]]) is None, "one end alone is not taut"
    assert meets(close, [[50.0, 50.0], [0.0, 0.0], [0.0, 0.0]]) is not None


def test_momentum_and_spin_by_hand() -> None:
    """2 kg at (1, 2) m with (3, -1) m/s turning at 5 rad/s about 0.1 kg m^2; 0.1 kg at rest."""
    scene = replace(ONE_LINE, gravity_m_s2=9.80665)
    start = TetherStart(
        places_m=np.array([[1.0, 2.0], [1.0, 3.5]]),
        angles_rad=np.zeros(2),
        speeds_m_s=np.array([[3.0, -1.0], [0.0, 0.0]]),
        rates_rad_s=np.array([5.0, 0.0]),
    )
    batch, states = stacked([scene], [start])
    # L = I w + m (x vz - z vx) = 0.5 + 2 (1 x -1 - 2 x 3).
    assert momentum(batch, states)[:, 0] == pytest.approx([6.0, -2.0, 0.5 - 14.0])
    # From the tie at (1.2, 2) to the lip at (1.5, 2.05), and round it to the knot at (1, 3.5).
    way = math.hypot(0.3, 0.05) + math.hypot(0.5, 1.45)
    motion, turning = 2.0 * 10.0 / 2, 0.1 * 25.0 / 2
    height = 9.80665 * (2.0 * 2.0 + 0.1 * 3.5)
    held = 1e4 * (way - 1.0) ** 2 / 2
    assert float(energy(batch, states)[0]) == pytest.approx(motion + turning + height + held)


def test_a_slack_line_holds_no_energy() -> None:
    batch, states = stacked(*([one] for one in two_points(stretched_m=-1.0, speed_m_s=0.0)))
    assert float(energy(batch, states)[0]) == 0.0
    batch, states = stacked(*([one] for one in two_points(stretched_m=0.5, speed_m_s=0.0)))
    assert float(energy(batch, states)[0]) == pytest.approx(17_800 / 0.25 / 6.0 * 0.5**2 / 2)


def test_the_step_resolves_the_stiffest_swing_with_its_levers() -> None:
    """k (1/m1 + 1/m2 + a1^2/I1): 1e4 N/m on 2 kg and 0.1 kg, at 0.5 m from a balance point of 0.1 kg m^2."""
    batch, _ = stacked([ONE_LINE], [still(2)])
    fastest = math.sqrt(1e4 * (1 / 2.0 + 1 / 0.1 + 0.5**2 / 0.1))
    assert stable_step(batch) == pytest.approx(1 / (4 * fastest))
    tied = replace(ONE_LINE, lines=(replace(ONE_LINE.lines[0], mouth=None),))
    batch, _ = stacked([tied], [still(2)])
    assert stable_step(batch) == pytest.approx(1 / (4 * math.sqrt(1e4 * (10.5 + 0.2**2 / 0.1))))


def test_the_far_end_has_a_lever_too() -> None:
    line = TetherLine(
        name="cord",
        first=Tie(piece=1),
        second=Tie(piece=0, along_m=-0.4),
        length_m=1.0,
        load_per_stretch_n=1e4,
    )
    batch, _ = stacked([replace(ONE_LINE, lines=(line,))], [still(2)])
    assert stable_step(batch) == pytest.approx(1 / (4 * math.sqrt(1e4 * (10.5 + 0.4**2 / 0.1))))


def test_a_soft_cord_is_stepped_by_two_milliseconds_at_most() -> None:
    batch, _ = stacked(*([one] for one in two_points()))
    assert stable_step(batch) == 2e-3


def still(count: int) -> TetherStart:
    return TetherStart(
        places_m=np.zeros((count, 2)),
        angles_rad=np.zeros(count),
        speeds_m_s=np.zeros((count, 2)),
        rates_rad_s=np.zeros(count),
    )


def test_lines_are_told_at_every_step_and_pieces_at_every_few() -> None:
    scene, start = two_points(stretched_m=-1.0)
    found = run([scene] * 3, [start] * 3, 0.0105, step_s=1e-3, keep_every=4)
    # Eleven equal steps of a little less than a millisecond fill the time.
    step = 0.0105 / 11
    assert found.times_s == pytest.approx(step * np.arange(11))
    assert found.kept_times_s == pytest.approx([0.0, 4 * step, 8 * step, 0.0105])
    assert found.tensions_n.shape == (3, 11, 1)
    assert found.states.shape == (3, 4, 7, 2)
    flown = found.states[:, -1, X, 0] - found.states[:, 0, X, 0]
    assert flown == pytest.approx([0.0105 * 0.75 * 15.0] * 3)
    assert found.states[:, 0, RATE] == pytest.approx(np.zeros((3, 2)))


def test_more_steps_than_anyone_waits_for_are_refused() -> None:
    scene, start = two_points()
    with pytest.raises(OutsideRange, match="at most 200000"):
        run([scene], [start], 200.001, step_s=1e-3)


@pytest.mark.parametrize(
    ("scene", "told"),
    [
        (replace(ONE_LINE, pieces=(replace(POLE, mass_kg=0.0), ONE_LINE.pieces[1])), "mass_kg"),
        (replace(ONE_LINE, pieces=(replace(POLE, inertia_kg_m2=-1.0), ONE_LINE.pieces[1])), "inertia_kg_m2"),
        (replace(ONE_LINE, lines=(replace(ONE_LINE.lines[0], second=Tie(piece=2)),)), "beyond the 2"),
        (replace(ONE_LINE, lines=(replace(ONE_LINE.lines[0], first=Tie(piece=-1)),)), "beyond the 2"),
        (replace(ONE_LINE, lines=(replace(ONE_LINE.lines[0], loss=-0.1),)), "loss"),
        (replace(ONE_LINE, density_kg_m3=-1.0), "density_kg_m3"),
    ],
)
def test_scenes_that_cannot_move_are_refused(scene: Scene, told: str) -> None:
    with pytest.raises(OutsideRange, match=told):
        stacked([scene], [still(2)])


@pytest.mark.parametrize(
    "start",
    [
        still(3),
        replace(still(2), angles_rad=np.zeros(3)),
        replace(still(2), rates_rad_s=np.array([0.0, np.nan])),
    ],
)
def test_starts_of_other_pieces_or_of_no_number_are_refused(start: TetherStart) -> None:
    with pytest.raises(OutsideRange, match="start"):
        stacked([ONE_LINE], [start])


def test_scenes_built_unlike_do_not_run_together() -> None:
    other = replace(ONE_LINE, lines=(replace(ONE_LINE.lines[0], first=Tie(piece=1), second=Tie(piece=0)),))
    with pytest.raises(OutsideRange, match="same pieces"):
        stacked([ONE_LINE, other], [still(2), still(2)])


def test_a_lip_that_is_not_tested_bears_less_than_the_model_by_half() -> None:
    assert lip_holds(TUBE, 1.0).low == pytest.approx(0.5 * 40 / 50 * lip_holds(TUBE, 1.0).value)
    assert lip_holds(replace(TUBE, share=exact(1.0)), 1.0).low == pytest.approx(
        0.8 * lip_holds(TUBE, 1.0).value
    )
