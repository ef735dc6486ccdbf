"""Fins that bend, twist and flutter: against thin-section theory, another lattice and known wings."""

import math
from itertools import pairwise

import numpy as np
import pytest
from scipy.special import hankel2

from finial.aero.plates.lattice import lattice_lift
from finial.core.errors import OutsideRange
from finial.structure.fins.air_states import FinSwinging, air_states, motion_matrix
from finial.structure.fins.in_wind import (
    REDUCED_FREQUENCIES,
    _tip,
    bent_in_wind,
    divergence_of,
    flexible_fin,
    swinging_fin,
    with_point_springs,
)
from finial.structure.fins.lattice import LatticeMotion, fin_lattice, swing_loads
from finial.structure.fins.modal_flutter import first_growth, growing_shape, speed_sweep
from finial.structure.fins.plate import FinPlate
from finial.structure.fins.plate_model import plate_model, with_springs

SWEPT = np.array([[0.0, 0.0], [0.125, 0.185], [0.275, 0.185], [0.25, 0.0]])
SQUARE = np.array([[0.0, 0.0], [0.0, 0.2], [0.2, 0.2], [0.2, 0.0]])
LONG = np.array([[-0.5, 0.0], [-0.5, 40.0], [0.5, 40.0], [0.5, 0.0]])
K = np.array(REDUCED_FREQUENCIES)


def plate(outline=SWEPT, **changes):
    usual = {"thickness_m": 0.004, "modulus_pa": 2.35e9, "density_kg_m3": 1200.0, "poisson": 0.37}
    return FinPlate(outline_m=np.asarray(outline, dtype=float), **(usual | changes))


def test_the_tip_is_five_places_along_its_own_chord():
    """The swept fin's tip stands 185 mm out, from 125 to 275 mm along; worked out on paper."""
    tip = _tip(plate_model(plate()))
    assert tip.tolist() == [[pytest.approx(0.125 + 0.0375 * at), 0.185] for at in range(5)]


def rigid(lattice):
    """Heave up by 1, and nose up by 1 about the axis's station 0."""

    def moved(points):
        return np.column_stack([np.ones(len(points)), -points[:, 0]])

    count = len(lattice.widths_m)
    slope = np.column_stack([np.zeros(count), -np.ones(count)])
    return LatticeMotion(
        slope=slope,
        seen=moved(lattice.seen_m),
        bound=moved(lattice.bound_m),
        middle=moved(lattice.middle_m),
    )


def thin_section(k, axis):
    """Force down and moment nose up on (heave down, nose up) per dynamic pressure, half chord 1."""
    lag = hankel2(1, k) / (hankel2(1, k) + 1j * hankel2(0, k)) if k > 0 else 1.0
    s = 1j * k

    def answer(down, turn):
        wash = s * down + turn + (0.5 - axis) * s * turn
        lift = math.pi * (s**2 * down + s * turn - axis * s**2 * turn) + 2 * math.pi * lag * wash
        moment = (
            math.pi * (axis * s**2 * down - (0.5 - axis) * s * turn - (1 / 8 + axis**2) * s**2 * turn)
            + 2 * math.pi * (0.5 + axis) * lag * wash
        )
        return -2 * lift, 2 * moment

    return np.array([answer(1, 0), answer(0, 1)]).T


@pytest.mark.parametrize("outline", [SWEPT, SQUARE])
def test_steady_lift_is_that_of_the_horseshoe_lattice(outline):
    lattice = fin_lattice(outline)
    lift = swing_loads(lattice, rigid(lattice), 0.0)
    known = lattice_lift(outline)
    assert lift[0, 1].real / lattice.area_m2 == pytest.approx(known.slope_per_rad, rel=5e-3)
    assert -lift[1, 1].real / lift[0, 1].real == pytest.approx(known.centre_aft_m, rel=0.02)


@pytest.mark.parametrize("k", [0.1, 0.3, 0.5, 1.0])
def test_a_long_fin_swings_as_a_thin_section(k):
    # Theodorsen, NACA Report 496 as restated by Perry, NASA/TP-2020-220562 (equations from memory).
    lattice = fin_lattice(LONG, across=20, along=12)
    motion = rigid(lattice)
    near = (lattice.bound_m[:, 1] < 4.0)[:, None]
    inner = LatticeMotion(
        slope=motion.slope, seen=motion.seen, bound=motion.bound * near, middle=motion.middle * near
    )
    width = lattice.widths_m[0] * np.unique(lattice.bound_m[near[:, 0], 1]).size
    got = swing_loads(lattice, inner, k) / width
    # The section's half chord is 1; here it is a half, and heave is counted up.
    section = thin_section(k, 0.0)
    wanted = np.array([[section[0, 0], -section[0, 1] / 2], [-section[1, 0] / 2, section[1, 1] / 4]])
    lift_scale = np.abs(wanted[0]).max()
    assert np.abs(got[0, 0] - wanted[0, 0]) < 0.02 * lift_scale
    assert np.abs(got[0, 1] - wanted[0, 1]) < 0.02 * lift_scale
    assert np.abs(got[1, 1] - wanted[1, 1]) < 0.05 * np.abs(wanted[1]).max()


def test_lag_states_give_back_the_published_section():
    # FIN-07 case of Hodges and Pierce: 2.184 at 0.649 by the k-method with Theodorsen's function.
    axis, off, r2, ratio, mass = -0.2, 0.1, 0.24, 0.4, 20 * math.pi
    air = air_states(K, np.array([thin_section(k, axis) for k in K]))
    section = FinSwinging(
        mass=mass * np.array([[1.0, off], [off, r2]]),
        stiffness=mass * np.diag([ratio**2, r2]),
        air=air,
        half_chord_m=1.0,
    )
    growth = first_growth(section, 1.0, np.linspace(0.5, 4.0, 36))
    assert growth is not None
    assert growth.speed_m_s == pytest.approx(2.184, rel=0.01)
    assert growth.frequency_hz * 2 * math.pi == pytest.approx(0.649, rel=0.01)


class Wing:
    """Goland's wing: a straight cantilever of known mass and stiffness; beam modes."""

    chord, span, mass, inertia = 1.8288, 6.096, 35.72, 8.6418
    bending, torsion = 9.77e6, 0.987e6
    axis_m, off_m = 0.33 * 1.8288, 0.1 * 1.8288
    roots = (1.875104, 4.694091, 7.854757)

    def heaves(self, y, second=False):
        rows = []
        for root in self.roots:
            b = root / self.span
            ratio = (math.cosh(root) + math.cos(root)) / (math.sinh(root) + math.sin(root))
            sign = 1.0 if second else -1.0
            shape = np.cosh(b * y) + sign * np.cos(b * y) - ratio * (np.sinh(b * y) + sign * np.sin(b * y))
            rows.append(shape * (b**2 if second else 1.0))
        return np.array(rows)

    def twists(self, y, first=False):
        waves = [(2 * j + 1) * math.pi / 2 / self.span for j in range(2)]
        return np.array([wave * np.cos(wave * y) if first else np.sin(wave * y) for wave in waves])

    def matrices(self):
        y = (np.arange(2000) + 0.5) / 2000 * self.span
        step = self.span / 2000
        h, t = self.heaves(y), self.twists(y)
        cross = -self.mass * self.off_m * h @ t.T
        mass = np.block([[self.mass * h @ h.T, cross], [cross.T, self.inertia * t @ t.T]]) * step
        bent, turned = self.heaves(y, second=True), self.twists(y, first=True)
        stiff = np.zeros((5, 5))
        stiff[:3, :3] = self.bending * bent @ bent.T * step
        stiff[3:, 3:] = self.torsion * turned @ turned.T * step
        return mass, stiff

    def strips(self, k):
        y = (np.arange(500) + 0.5) / 500 * self.span
        rows = np.vstack([-self.heaves(y), self.twists(y)])
        half = self.chord / 2
        section = thin_section(k, (self.axis_m - half) / half)
        kinds = np.array([0, 0, 0, 1, 1])
        # Heave in metres is heave over the half chord times it; so is a force for a moment.
        scale = np.array([[1.0, half], [half, half**2]])
        return (rows @ rows.T) * (self.span / 500) * (section * scale)[np.ix_(kinds, kinds)]

    def lattice_air(self):
        outline = [[0, 0], [0, self.span], [self.chord, self.span], [self.chord, 0]]
        lattice = fin_lattice(np.array(outline, dtype=float), across=12, along=8)

        def moved(points):
            turn = -(points[:, 0] - self.axis_m)
            return np.vstack([self.heaves(points[:, 1]), self.twists(points[:, 1]) * turn]).T

        slope = np.vstack([0 * self.heaves(lattice.seen_m[:, 1]), -self.twists(lattice.seen_m[:, 1])]).T
        motion = LatticeMotion(
            slope=slope,
            seen=moved(lattice.seen_m),
            bound=moved(lattice.bound_m),
            middle=moved(lattice.middle_m),
        )
        return lattice, air_states(K, np.array([swing_loads(lattice, motion, float(k)) for k in K]))


def test_the_wing_of_goland_in_strips():
    # Goland, J. Appl. Mech. 12 (1945) A-197, corrected by Goland and Luke 1948: 137.2 m/s at 70.7 rad/s at
    # sea level; from memory, not re-read.
    wing = Wing()
    mass, stiff = wing.matrices()
    air = air_states(K, np.array([wing.strips(k) for k in K]))
    swinging = FinSwinging(mass=mass, stiffness=stiff, air=air, half_chord_m=wing.chord / 2)
    growth = first_growth(swinging, 1.225, np.linspace(20.0, 300.0, 57))
    assert growth is not None
    assert growth.speed_m_s == pytest.approx(137.2, rel=0.015)
    assert growth.frequency_hz * 2 * math.pi == pytest.approx(70.7, rel=0.02)


def test_the_wing_of_goland_in_the_lattice():
    # Unsteady lattices at 1.02 kg/m3: 165 to 174 m/s at 69 rad/s (Wang et al. 2006, Murua et al. 2012);
    # from memory, not re-read.
    wing = Wing()
    mass, stiff = wing.matrices()
    lattice, air = wing.lattice_air()
    swinging = FinSwinging(mass=mass, stiffness=stiff, air=air, half_chord_m=lattice.half_chord_m)
    growth = first_growth(swinging, 1.02, np.linspace(20.0, 300.0, 57))
    assert growth is not None
    assert 163.0 < growth.speed_m_s < 176.0
    assert growth.frequency_hz * 2 * math.pi == pytest.approx(69.0, rel=0.03)


def test_divergence_of_a_long_fin_is_that_of_strips():
    # A slender unswept fin held at its root, lift a quarter chord ahead of mid-chord: Bisplinghoff et al.;
    # the tip's lost lift raises the answer.
    outline = np.array([[0.0, 0.0], [0.0, 0.8], [0.1, 0.8], [0.1, 0.0]])
    given = plate(outline, poisson=0.3)
    fin = flexible_fin(plate_model(given, side_m=0.05), across=16)
    torsion = given.modulus_pa / (2 * 1.3) * 0.1 * 0.004**3 / 3
    strips = (math.pi / (2 * 0.8)) ** 2 * torsion / (0.1 * 0.025 * fin.rigid_slope_per_rad)
    assert 1.0 < divergence_of(fin) / strips < 1.3


def test_lift_grows_towards_divergence_and_falls_with_sweep():
    straight = flexible_fin(plate_model(plate(SQUARE)))
    edge = divergence_of(straight)
    ratios = [bent_in_wind(straight, share * edge, 0.02).lift_ratio for share in (0.1, 0.4, 0.7)]
    assert all(1.0 < a < b for a, b in pairwise(ratios))
    # Near divergence one shape takes over, and its growth is 1 / (1 - q / qD).
    late = [bent_in_wind(straight, share * edge, 0.02).tip_twist_rad for share in (0.98, 0.99)]
    assert late[1] / late[0] == pytest.approx(2.0, rel=0.03)
    swept = np.array([[0.0, 0.0], [0.2, 0.2], [0.35, 0.2], [0.2, 0.0]])
    assert bent_in_wind(flexible_fin(plate_model(plate(swept))), 3000.0, 0.02).lift_ratio < 1.0


def test_past_divergence_there_is_no_answer():
    fin = flexible_fin(plate_model(plate(SQUARE)))
    with pytest.raises(OutsideRange, match="divergence"):
        bent_in_wind(fin, 1.01 * divergence_of(fin), 0.02)


def test_forces_and_shift_scale_with_the_angle():
    fin = flexible_fin(plate_model(plate()))
    small, large = (bent_in_wind(fin, 4000.0, angle) for angle in (0.01, 0.03))
    assert large.forces_n.sum() == pytest.approx(3 * small.forces_n.sum())
    assert large.tip_shift_m == pytest.approx(3 * small.tip_shift_m)
    assert large.stress_pa == pytest.approx(3 * small.stress_pa)


def test_flutter_speed_goes_with_the_root_of_stiffness_and_rises_in_thin_air():
    swinging = swinging_fin(flexible_fin(plate_model(plate()))).swinging
    speeds = np.linspace(10.0, 900.0, 60)
    once = first_growth(swinging, 1.2, speeds)
    stiff = FinSwinging(
        mass=swinging.mass,
        stiffness=4 * swinging.stiffness,
        air=swinging.air,
        half_chord_m=swinging.half_chord_m,
    )
    twice = first_growth(stiff, 1.2, speeds)
    thin = first_growth(swinging, 0.6, speeds)
    assert twice.speed_m_s == pytest.approx(2 * once.speed_m_s, rel=1e-4)
    assert twice.frequency_hz == pytest.approx(2 * once.frequency_hz, rel=1e-3)
    assert thin.speed_m_s > once.speed_m_s


def test_growth_is_where_damping_changes_sign():
    swinging = swinging_fin(flexible_fin(plate_model(plate()))).swinging
    growth = first_growth(swinging, 1.2, np.linspace(10.0, 400.0, 40))
    for share, grows in ((0.99, False), (1.01, True)):
        roots = np.linalg.eigvals(motion_matrix(swinging, share * growth.speed_m_s, 1.2))
        assert bool(roots.real.max() > 0) is grows
    sweep = speed_sweep(swinging, 1.2, np.linspace(10.0, 1.1 * growth.speed_m_s, 40))
    assert sweep.damping[-1].min() < 0 < sweep.damping[len(sweep.damping) // 2].min()


def test_a_spring_in_modes_is_near_a_spring_in_the_plate():
    point, spring = (0.2, 0.15), 3000.0
    model = plate_model(plate())
    bare = swinging_fin(flexible_fin(model), count=12)
    quick = with_point_springs(bare, model, [(point, spring)])
    whole = swinging_fin(flexible_fin(with_springs(model, [(point, spring)])), count=3)
    lowest = np.sqrt(np.linalg.eigvalsh(quick.stiffness)[:2])
    assert lowest == pytest.approx(whole.modes.frequencies_rad_s[:2], rel=0.02)
    assert (lowest >= whole.modes.frequencies_rad_s[:2] * (1 - 1e-6)).all()


@pytest.mark.parametrize(
    "call",
    [
        lambda: fin_lattice(SQUARE, across=0),
        lambda: fin_lattice(np.zeros((4, 2))),
        lambda: swing_loads(fin_lattice(SQUARE), rigid(fin_lattice(SQUARE)), math.nan),
        lambda: air_states(K[1:], np.zeros((14, 1, 1), dtype=complex)),
        lambda: air_states(K[:2], np.zeros((2, 1, 1), dtype=complex)),
        lambda: bent_in_wind(flexible_fin(plate_model(plate())), -1.0, 0.1),
        lambda: bent_in_wind(flexible_fin(plate_model(plate())), 100.0, math.nan),
        lambda: first_growth(
            swinging_fin(flexible_fin(plate_model(plate()))).swinging, 1.2, np.array([20.0, 10.0])
        ),
    ],
)
def test_bad_numbers_are_refused(call):
    with pytest.raises(OutsideRange):
        call()


def test_a_stubby_fin_does_not_flutter_at_a_walk():
    # Its swings are far faster than the air forces were worked out for; there the air only damps.
    stubby = np.array([[0.0, 0.0], [0.1, 0.04], [0.5, 0.04], [0.5, 0.0]])
    growth = first_growth(
        swinging_fin(flexible_fin(plate_model(plate(stubby)))).swinging, 1.2, np.linspace(10.0, 300.0, 30)
    )
    assert growth is None


OUTLINES = {
    "pointed": [[0, 0], [0.2, 0.15], [0.2, 0]],
    "swept forward": [[0.1, 0], [0, 0.15], [0.1, 0.15], [0.25, 0]],
    "notched": [[0, 0], [0.03, 0.1], [0.08, 0.1], [0.09, 0.05], [0.12, 0.1], [0.16, 0.1], [0.2, 0]],
    "past the root's end": [[0, 0], [0.05, 0.1], [0.2, 0.16], [0.3, 0.14], [0.24, 0.08], [0.22, 0]],
}


@pytest.mark.parametrize("outline", OUTLINES.values(), ids=OUTLINES)
def test_odd_outlines_have_answers(outline):
    fin = flexible_fin(plate_model(plate(outline)))
    swinging = swinging_fin(fin)
    assert swinging.swinging.air.misfit < 0.01
    growth = first_growth(swinging.swinging, 1.2, np.linspace(10.0, 900.0, 60))
    assert growth is not None
    assert 50.0 < growth.speed_m_s < 900.0


def test_a_fin_swept_forward_twists_away_rather_than_flutters():
    growth = first_growth(
        swinging_fin(flexible_fin(plate_model(plate(OUTLINES["swept forward"])))).swinging,
        1.2,
        np.linspace(10.0, 300.0, 60),
    )
    assert growth.frequency_hz == 0.0
    still = divergence_of(flexible_fin(plate_model(plate(OUTLINES["swept forward"]))))
    assert growth.speed_m_s == pytest.approx(math.sqrt(2 * still / 1.2), rel=0.01)


def coalescing(a: float, b: float) -> FinSwinging:
    """Modes of 10 and 20 rad/s; air without lag pushes the first by a of the second, that back by b."""
    push = np.tile(np.array([[0.0, a], [-b, 0.0]], dtype=complex), (9, 1, 1))
    air = air_states(np.linspace(0.0, 50.0, 9), push)
    return FinSwinging(mass=np.eye(2), stiffness=np.diag([100.0, 400.0]), air=air, half_chord_m=0.1)


def test_two_modes_that_meet_grow_as_worked_out_on_paper():
    """Frequency coalescence, any text on flutter of a section: s^4 + (k1+k2) s^2 + k1 k2 + p^2 a b = 0.

    It grows from p = (k2 - k1) / (2 sqrt(a b)) on; in it the first equation,
    (s^2 + k1) q1 = p a q2, gives the second mode from the first, with its lag.
    """
    a, b = 3.0, 12.0
    at = (400.0 - 100.0) / (2 * math.sqrt(a * b))
    found = first_growth(coalescing(a, b), 2.0, np.linspace(0.5, 12.0, 24))
    assert found.speed_m_s == pytest.approx(math.sqrt(at), rel=1e-4)
    pressure = 1.2 * at
    square = -250.0 + 1j * math.sqrt((pressure**2 * a * b) - 150.0**2)
    ratio = (square + 100.0) / (pressure * a)
    # Of the two squares the one whose root grows while it swings forward, imaginary part above zero.
    root = np.sqrt(square)
    assert root.real > 0
    assert root.imag > 0
    shares = growing_shape(coalescing(a, b), math.sqrt(pressure), 2.0)
    assert shares[1] / shares[0] == pytest.approx(ratio, rel=1e-6)
    assert np.abs(shares).max() == pytest.approx(1.0)


def test_the_growing_motion_of_a_fin_holds_in_the_unsteady_air_itself():
    """At the flutter speed (-w^2 M + K - q Q(ik)) eta = 0, with the air at that frequency, not its states."""
    swinging = swinging_fin(flexible_fin(plate_model(plate()))).swinging
    density, speeds = 1.2, np.linspace(20.0, 300.0, 57)
    found = first_growth(swinging, density, speeds, tolerance=1e-10)
    shares = growing_shape(swinging, found.speed_m_s, density)
    angular = 2 * math.pi * found.frequency_hz
    air = swinging.air.at(angular * swinging.half_chord_m / found.speed_m_s)
    held = swinging.stiffness - angular**2 * swinging.mass
    left = (held - density * found.speed_m_s**2 / 2 * air) @ shares
    assert np.abs(left).max() < 1e-5 * np.abs(held @ shares).max()
    # With a lag between them: a motion that passes its middle at once takes no work from the air.
    strong = shares[np.abs(shares) > 0.2]
    assert strong.size >= 2
    assert np.abs(np.sin(np.angle(strong))).max() > 0.05


def test_no_motion_within_the_fit_is_refused():
    still = air_states(np.linspace(0.0, 1e-3, 9), np.zeros((9, 1, 1), dtype=complex), rates=())
    fast = FinSwinging(mass=np.eye(1), stiffness=np.array([[1e8]]), air=still, half_chord_m=0.1)
    with pytest.raises(OutsideRange, match="fitted reduced frequencies"):
        growing_shape(fast, 1.0, 1.2)
    with pytest.raises(OutsideRange, match="speed_m_s"):
        growing_shape(fast, -1.0, 1.2)
