"""What must be kept while pieces on cords move: momentum, spin, energy; and what loss may do."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tether_conserved import energy, momentum

from finial.recovery.tether.batch import stacked
from finial.recovery.tether.layout import MASS, SPEED_X, SPEED_Z
from finial.recovery.tether.run import run
from finial.recovery.tether.scene import Mouth, Piece, Scene, TetherLine, TetherStart, Tie

FINE_S = 2.5e-4
LONG_S = 0.3
ENERGY_SHARE = 4e-3  # of the energy of motion at the start, over a whole run at that step
ROUNDING = 1e-9
SPIN_SHARE = 1e-6  # of all turning there is: a Runge-Kutta step keeps spin to its fourth order only

masses = st.floats(0.3, 8.0)
speeds = st.floats(-12.0, 12.0)
angles = st.floats(-3.0, 3.0)


def scene(
    fore_kg: float, aft_kg: float, *, loss: float = 0.0, gravity: float = 0.0, mouth: bool = True
) -> Scene:
    """A bay's tube and the other side, each 0.6 m long, a knot between; 2 m of nylon in two parts."""
    tube = Mouth(along_m=0.3, radius_m=0.04, towards_fore=True) if mouth else None
    return Scene(
        pieces=(
            Piece(name="fore", mass_kg=fore_kg, inertia_kg_m2=0.03 * fore_kg, fore_m=0.3, aft_m=0.3),
            Piece(name="aft", mass_kg=aft_kg, inertia_kg_m2=0.03 * aft_kg, fore_m=0.3, aft_m=0.3),
            Piece(name="knot", mass_kg=0.4),
        ),
        lines=(
            TetherLine(
                name="from the bay",
                first=Tie(piece=1, along_m=0.05),
                second=Tie(piece=2),
                length_m=1.2,
                load_per_stretch_n=17_800.0,
                loss=loss,
                mouth=tube,
            ),
            TetherLine(
                name="from the other side",
                first=Tie(piece=2),
                second=Tie(piece=0, along_m=-0.3, across_m=0.02),
                length_m=0.8,
                load_per_stretch_n=17_800.0,
                loss=loss,
            ),
        ),
        gravity_m_s2=gravity,
    )


def launch(speed: tuple[float, float], spin: tuple[float, float], angle: float) -> TetherStart:
    axis = np.array([np.cos(angle), np.sin(angle)])
    return TetherStart(
        places_m=np.array([0.35 * axis, -0.35 * axis, 0.0 * axis]),
        angles_rad=np.full(3, angle),
        speeds_m_s=np.array([8.0 * axis + [0.0, speed[0]], -4.0 * axis + [speed[1], 0.0], [0.0, 0.0]]),
        rates_rad_s=np.array([*spin, 0.0]),
    )


cases = st.tuples(masses, masses, st.tuples(speeds, speeds), st.tuples(speeds, speeds), angles)


def followed(case, **build):
    fore, aft, speed, spin, angle = case
    made, start = scene(fore, aft, **build), launch(speed, spin, angle)
    history = run([made], [start], LONG_S, step_s=FINE_S)
    return stacked([made], [start])[0], history


@settings(max_examples=5, deadline=None)
@given(cases)
def test_momentum_and_spin_are_kept_where_no_air_and_no_gravity_act(case) -> None:
    batch, history = followed(case)
    before, after = momentum(batch, history.states[:, 0]), momentum(batch, history.states[:, -1])
    assert history.tensions_n.max() > 0
    assert after[:2] == pytest.approx(before[:2], abs=ROUNDING * (1 + np.abs(before).max()))
    assert after[2] == pytest.approx(before[2], abs=SPIN_SHARE * _turning(batch, history))


@settings(max_examples=5, deadline=None)
@given(cases)
def test_energy_is_kept_by_elastic_cords_also_round_a_lip(case) -> None:
    batch, history = followed(case, gravity=9.80665)
    before = float(energy(batch, history.states[:, 0])[0])
    found = np.array(
        [float(energy(batch, history.states[:, index])[0]) for index in range(history.states.shape[1])]
    )
    assert np.abs(found - before).max() < ENERGY_SHARE * (1 + _motion(batch, history))


@settings(max_examples=5, deadline=None)
@given(cases, st.floats(0.05, 2.0))
def test_loss_only_ever_takes_energy(case, loss) -> None:
    batch, history = followed(case, loss=loss)
    found = np.array(
        [float(energy(batch, history.states[:, index])[0]) for index in range(history.states.shape[1])]
    )
    assert np.diff(found).max() < ENERGY_SHARE * (1 + _motion(batch, history))
    assert found[-1] < found[0]


def test_spin_is_kept_by_loss_too() -> None:
    """Loss pulls along the cord, so it turns nothing."""
    batch, history = followed((2.0, 6.0, (3.0, -2.0), (4.0, 1.0), 0.4), loss=0.6)
    before, after = momentum(batch, history.states[:, 0]), momentum(batch, history.states[:, -1])
    assert after[2] == pytest.approx(before[2], abs=SPIN_SHARE * _turning(batch, history))


def test_weight_is_all_that_changes_the_momentum_under_gravity() -> None:
    batch, history = followed((2.0, 6.0, (3.0, -2.0), (0.0, 0.0), 1.0), gravity=9.80665)
    before, after = momentum(batch, history.states[:, 0]), momentum(batch, history.states[:, -1])
    assert (after - before)[1] == pytest.approx(-8.4 * 9.80665 * LONG_S, rel=1e-9)
    assert (after - before)[0] == pytest.approx(0.0, abs=1e-8)


@settings(max_examples=5, deadline=None)
@given(cases, speeds, speeds)
def test_a_common_speed_changes_nothing_between_the_pieces(case, along, up) -> None:
    """Galilei: the same scene from a train pulls its cords with the same tension."""
    fore, aft, speed, spin, angle = case
    made, start = scene(fore, aft), launch(speed, spin, angle)
    moving = TetherStart(
        places_m=start.places_m,
        angles_rad=start.angles_rad,
        speeds_m_s=start.speeds_m_s + np.array([along, up]),
        rates_rad_s=start.rates_rad_s,
    )
    history = run([made, made], [start, moving], 0.3, step_s=FINE_S)
    assert history.tensions_n[1] == pytest.approx(history.tensions_n[0], rel=1e-3, abs=0.5)


def test_air_takes_energy_and_ends_in_a_steady_fall() -> None:
    """A point with drag falls at the speed at which weight equals drag."""
    made = Scene(
        pieces=(
            Piece(name="fore", mass_kg=1.0, end_on_area_m2=0.8, side_on_area_m2=0.8),
            Piece(name="aft", mass_kg=1.0),
        ),
        lines=(
            TetherLine(
                name="cord", first=Tie(piece=0), second=Tie(piece=1), length_m=1.0, load_per_stretch_n=5e3
            ),
        ),
        density_kg_m3=1.225,
    )
    start = TetherStart(
        places_m=np.array([[0.0, 0.0], [0.0, -0.5]]),
        angles_rad=np.array([np.pi / 2, 0.0]),
        speeds_m_s=np.zeros((2, 2)),
        rates_rad_s=np.zeros(2),
    )
    last = run([made], [start], 5.0, step_s=4e-3).states[0, -1]
    steady = np.sqrt(2 * 2.0 * 9.80665 / (1.225 * 0.8))
    assert last[SPEED_Z, 0] == pytest.approx(-steady, rel=0.02)
    assert last[SPEED_X, 0] == pytest.approx(0.0, abs=1e-9)


def _motion(batch, history) -> float:
    """Energy of motion at the start [J], the size to measure errors by."""
    state = history.states[0, 0]
    return float((batch.pieces[0, :, MASS] * (state[SPEED_X] ** 2 + state[SPEED_Z] ** 2)).sum() / 2)


def _turning(batch, history) -> float:
    """Momentum times a metre, the size to measure errors of spin by [N m s]."""
    state = history.states[0, 0]
    return float((batch.pieces[0, :, MASS] * np.hypot(state[SPEED_X], state[SPEED_Z])).sum()) + 1.0
