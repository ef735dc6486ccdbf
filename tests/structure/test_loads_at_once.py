"""Sharing, fastening, torsion and blows: closed forms, balance, limits."""

import math

import numpy as np
import pytest

from finial.core.errors import OutsideRange
from finial.structure.fins.stays import (
    StayLine,
    StayPair,
    bowing_load,
    pair_stiffness,
    slack_shift,
    stay_forces,
    stay_line,
    wire_drag,
    wire_stiffness,
)
from finial.structure.loads.impacts import (
    Touchdown,
    axial_period,
    rebound_share,
    touchdown_force,
    two_supports,
)
from finial.structure.rods.fastening import (
    dowel_load,
    glued_tube_stress,
    pull_through_stress,
    ring_plate_stress,
    washer_bearing_stress,
)
from finial.structure.rods.load_share import RodFit, preload_left, shared_load
from finial.structure.rods.preload import Stack, opening_pull
from finial.structure.walls.buckling import wrinkled_wall_strength
from finial.structure.walls.torsion import RollLumps, WallTube, torsion_along, wall_shear_stress, wall_tube

STACK = Stack(wall_ea_n=2.0e6, rod_ea_n=6.0e6)


@pytest.mark.parametrize("pull", [-5000.0, -800.0, -10.0, 0.0, 10.0, 900.0, 4100.0, 9000.0])
@pytest.mark.parametrize(
    "fit",
    [
        RodFit(preload_n=1000.0),
        RodFit(slip_m=0.0002, walls_bonded=True),
        RodFit(slip_m=0.0002, walls_bonded=True, nuts_both_sides=True),
        RodFit(preload_n=300.0, nuts_both_sides=True),
    ],
)
def test_rods_and_walls_balance_the_load(pull, fit):
    shared = shared_load(STACK, 0.9, fit, pull)
    assert shared.rods_n + shared.walls_n == pytest.approx(pull, abs=1e-6)


def test_a_joint_opens_where_the_joint_diagram_says():
    opens = opening_pull(STACK, 1000.0)
    before, after = (
        shared_load(STACK, 1.0, RodFit(preload_n=1000.0), share * opens) for share in (0.99, 1.01)
    )
    assert before.walls_n < 0.0
    assert after.walls_n == pytest.approx(0.0, abs=1e-9)
    assert after.rods_n == pytest.approx(1.01 * opens)


def test_nuts_come_loose_under_a_push_and_walls_carry_the_rest():
    # The rods have lost all when the push reaches P (1 + E_w A_w / E_r A_r), the diagram the other way round.
    loose = 1000.0 * (1 + 2 / 6)
    shared = shared_load(STACK, 1.0, RodFit(preload_n=1000.0), -1.2 * loose)
    assert shared.rods_n == 0.0
    assert shared.walls_n == pytest.approx(-1.2 * loose)


def test_play_lets_the_walls_take_the_first_load():
    fit = RodFit(slip_m=0.001, walls_bonded=True)
    small, large = (shared_load(STACK, 1.0, fit, pull) for pull in (1000.0, 6000.0))
    assert small.rods_n == 0.0
    # 2000 N use the play up; of the rest three quarters go to the rods.
    assert large.rods_n == pytest.approx(0.75 * 4000.0)


def test_preload_left_after_creep():
    assert preload_left(STACK, 0.0) == 1.0
    # Rods without end stiffness keep the strain fixed: the walls relax to 1 / (1 + phi).
    assert preload_left(Stack(wall_ea_n=1.0, rod_ea_n=1e9), 1.0) == pytest.approx(0.5, rel=1e-6)


def test_a_plate_on_a_ring_adds_up_to_an_even_load():
    # Rings of an even pressure: centre moment (3 + nu) q a^2 / 16, Timoshenko, Theory of Plates and Shells.
    a, nu, q, t = 0.1, 0.3, 1000.0, 0.005
    rings = (np.arange(2000) + 0.5) / 2000 * a
    step = a / 2000
    added = sum(ring_plate_stress(q * 2 * math.pi * r * step, 2 * a, 2 * r, t, poisson=nu) for r in rings)
    assert added == pytest.approx(6 / t**2 * (3 + nu) * q * a**2 / 16, rel=1e-4)


def test_fastening_by_hand():
    assert washer_bearing_stress(100.0, 0.02, 0.01) == pytest.approx(100 / (math.pi / 4 * 3e-4))
    assert pull_through_stress(100.0, 0.02, 0.005) == pytest.approx(100 / (math.pi * 1e-4))
    assert glued_tube_stress(1000.0, 0.05, 0.02) == pytest.approx(1000 / (math.pi * 0.001))
    # Thin dowels shear, thick ones crush their holes.
    assert dowel_load(2, 0.002, 30e6, 40e6, 0.02) == pytest.approx(2 * math.pi / 4 * 4e-6 * 30e6)
    assert dowel_load(2, 0.02, 30e6, 40e6, 0.005) == pytest.approx(2 * 1e-4 * 40e6)


def test_torsion_starts_and_ends_at_nothing():
    body = RollLumps(stations_m=np.linspace(0.0, 1.0, 11), inertias_kg_m2=np.linspace(1.0, 2.0, 11))
    torsion = torsion_along(body, [(0.9, 3.0), (0.2, -1.0)], [-0.1, 0.5, 1.1])
    assert torsion[0] == 0.0
    assert torsion[2] == pytest.approx(0.0, abs=1e-12)


def test_shear_of_a_round_tube():
    # Torsion of a thin tube T / (2 pi R^2 t), cross force 2 V / A: Gere and Timoshenko.
    angles = np.linspace(0, 2 * math.pi, 720, endpoint=False)
    loop = 0.05 * np.column_stack([np.cos(angles), np.sin(angles)])
    tube = wall_tube([loop], 0.002, 2 * math.pi * 0.049 * 0.002)
    assert wall_shear_stress(tube, 7.0, 0.0) == pytest.approx(7 / (2 * math.pi * 0.049**2 * 0.002), rel=2e-3)
    assert wall_shear_stress(tube, 0.0, 50.0) == pytest.approx(2 * 50 / tube.area_m2)


def test_touchdown_keeps_energy():
    # A spring k stops a mass m of speed v in d = v sqrt(m / k) with F = v sqrt(m k), so F d = m v^2.
    blow = Touchdown(mass_kg=5.0, inertia_kg_m2=0.5, arm_m=0.0, speed_m_s=4.0, stop_m=0.02)
    assert touchdown_force(blow) * 0.02 == pytest.approx(5.0 * 16.0)
    aside = Touchdown(mass_kg=5.0, inertia_kg_m2=0.5, arm_m=0.5, speed_m_s=4.0, stop_m=0.02)
    assert touchdown_force(aside) < touchdown_force(blow)


def test_a_ramp_swings_back_as_an_integrated_oscillator_does():
    period, fall = 0.01, 0.007
    wave, steps = 2 * math.pi / period, 200_000
    step = 3 * period / steps
    shift, rate = 1.0, 0.0
    late = []
    for index in range(steps):
        now = index * step
        load = max(0.0, 1 - now / fall)
        rate += step * wave**2 * (load - shift)
        shift += step * rate
        if now > fall:
            late.append(shift)
    assert max(late) == pytest.approx(rebound_share(fall, period), rel=2e-3)


def test_period_of_a_free_bar():
    # Wave speed sqrt(E / rho), twice the length: Blevins.
    modulus, area, density, length = 2.3e9, 1e-3, 1270.0, 1.2
    wanted = 2 * length / math.sqrt(modulus / density)
    assert axial_period(modulus * area, length, density * area * length) == pytest.approx(wanted)


def test_supports_carry_weight_and_moment():
    first, second = two_supports(3.0, 0.4, (0.1, 1.2), 9.80665)
    assert first + second == pytest.approx(3 * 9.80665)
    assert first * 0.1 + second * 1.2 == pytest.approx(3 * 9.80665 * 0.4)


def test_collapse_of_a_wrinkled_wall_lies_between_wrinkling_and_crushing():
    for buckling in (1e6, 5e6, 20e6):
        assert buckling < wrinkled_wall_strength(buckling, 50e6) < 50e6
    assert wrinkled_wall_strength(200e6, 50e6) == 50e6


def pair(**changes):
    usual = {
        "along_m": 0.15,
        "outward_m": 0.14,
        "diameter_m": 0.0012,
        "modulus_pa": 190e9,
        "preload_n": 60.0,
        "anchor_along_m": 0.15,
        "anchor_radius_m": 0.08,
        "anchor_turn_rad": math.pi / 4,
    }
    return StayPair(**(usual | changes))


def test_stays_against_the_movement_of_their_ends():
    # Stiffness from the lengths themselves: move the fin across and measure both wires.
    given = pair(anchor_along_m=0.05)
    line = stay_line(given, 0.08, 4)
    tie = np.array([0.15, 0.22, 0.0])
    anchors = [
        np.array([0.05, 0.08 * math.cos(turn), 0.08 * math.sin(turn)]) for turn in (math.pi / 4, -math.pi / 4)
    ]
    shift = 1e-6
    energy = 0.0
    for anchor in anchors:
        rest = np.linalg.norm(anchor - tie)
        moved = np.linalg.norm(anchor - tie - np.array([0.0, 0.0, shift]))
        energy += 0.5 * wire_stiffness(given, line) * (moved - rest) ** 2
    assert line.length_m == pytest.approx(rest)
    assert pair_stiffness(given, line, fins=4, pattern="all alike") == pytest.approx(
        2 * energy / shift**2, rel=1e-4
    )


@pytest.mark.parametrize("fins", [3, 4, 6])
def test_wires_between_fins_against_a_ring_of_springs(fins):
    # All fins and wires at once: lowest stiffness over patterns is nothing, that of a gust as given.
    given = pair(to="next fin")
    line = stay_line(given, 0.08, fins)
    share = math.cos(math.pi / fins)
    ring = np.zeros((fins, fins))
    for one in range(fins):
        other = (one + 1) % fins
        for a, b in ((one, one), (other, other)):
            ring[a, b] += wire_stiffness(given, line) * share**2
        ring[one, other] -= wire_stiffness(given, line) * share**2
        ring[other, one] -= wire_stiffness(given, line) * share**2
    gust = np.cos(2 * math.pi * np.arange(fins) / fins)
    alike = np.ones(fins)
    for pattern, shape in (("gust", gust), ("all alike", alike)):
        wanted = shape @ ring @ shape / (shape @ shape)
        assert pair_stiffness(given, line, fins=fins, pattern=pattern) == pytest.approx(wanted, abs=1e-6)


def test_one_wire_slackens_and_the_other_goes_on():
    given = pair()
    line = stay_line(given, 0.08, 4)
    edge = slack_shift(given, line)
    before, after = (stay_forces(given, line, share * edge) for share in (0.99, 2.0))
    assert before.loose_n > 0.0
    assert after.loose_n == 0.0
    assert before.back_n / (0.99 * edge) == pytest.approx(
        pair_stiffness(given, line, fins=4, pattern="all alike")
    )
    # Slack on one side, the pair is half as stiff from there on.
    assert after.tight_n == pytest.approx(3 * given.preload_n)


def test_wire_along_the_wind_has_no_drag():
    assert wire_drag(StayLine(length_m=0.2, direction=(1.0, 0.0, 0.0)), 0.001, 5000.0) == 0.0


@pytest.mark.parametrize(
    "call",
    [
        lambda: pair(diameter_m=0.0),
        lambda: pair(anchor_radius_m=0.0),
        lambda: stay_line(pair(to="next fin"), 0.08, 2),
        lambda: slack_shift(pair(), StayLine(length_m=0.1, direction=(1.0, 0.0, 0.0))),
        lambda: bowing_load(1e9, 0.1, 0.0, 0.1),
        lambda: RodFit(preload_n=10.0, slip_m=0.001),
        lambda: shared_load(STACK, 0.0, RodFit(), 1.0),
        lambda: washer_bearing_stress(1.0, 0.01, 0.02),
        lambda: ring_plate_stress(1.0, 0.05, 0.06, 0.003),
        lambda: RollLumps(stations_m=np.zeros(2), inertias_kg_m2=np.zeros(2)),
        lambda: WallTube(enclosed_m2=0.0, wall_m=0.001, area_m2=1.0),
        lambda: Touchdown(mass_kg=1.0, inertia_kg_m2=1.0, arm_m=math.nan, speed_m_s=1.0, stop_m=0.01),
        lambda: rebound_share(-1.0, 0.01),
        lambda: two_supports(1.0, 0.5, (0.3, 0.3), 9.8),
        lambda: wrinkled_wall_strength(0.0, 1.0),
    ],
)
def test_bad_numbers_are_refused(call):
    with pytest.raises(OutsideRange):
        call()
