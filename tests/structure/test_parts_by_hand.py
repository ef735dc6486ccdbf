"""Walls of two skins, wires, roots, dowels and preload: small sums done by hand, and where they must bend."""

import math

import numpy as np
import pytest

from finial.core.errors import OutsideRange
from finial.core.estimates import Estimate, KnownBy, exact, spread
from finial.structure.fins.air_states import air_states
from finial.structure.fins.lattice import fin_lattice, ring_response
from finial.structure.fins.plate import FinPlate
from finial.structure.fins.plate_answers import surface_stress
from finial.structure.fins.plate_model import plate_model, rows_at
from finial.structure.fins.root import (
    RootHold,
    bolted_pieces,
    root_glue_stress,
    slot_turning_stiffness,
    tab_turning_stiffness,
    wall_turning_stiffness,
)
from finial.structure.fins.stay_design import candidate_points
from finial.structure.fins.stays import StayPair, stay_forces, stay_line, warmed_tension, wire_stiffness
from finial.structure.rods.fastening import dowel_load, dowel_strength
from finial.structure.rods.preload import (
    PreloadChange,
    Stack,
    preload_cooled,
    preload_growth,
    preload_over_day,
)
from finial.structure.walls.buckling import wrinkled_wall_strength
from finial.structure.walls.outline import hollow_area, wall_area
from finial.structure.walls.plates import Plate, backed_wall_stress, panel_stiffness
from finial.structure.walls.sandwich import Sandwich, core_shear, sandwich_wall_stress

SQUARE = np.array([[-0.05, -0.05], [0.05, -0.05], [0.05, 0.05], [-0.05, 0.05]])


def between(low: float, value: float, high: float) -> Estimate:
    return Estimate(value=value, low=low, high=high, known_by=KnownBy.HANDBOOK)


def test_a_sandwich_carries_with_its_skins_and_the_square_of_its_infill() -> None:
    wall = Sandwich(skin_m=0.001, core_m=0.008, infill=0.2)
    assert wall.height_m == pytest.approx(0.010)
    assert wall.area_m == pytest.approx(0.002 + 0.04 * 0.008)
    # Bent: inertia (h^3 - 0.96 c^3) / 12 a width, stress M h / 2 / I; a solid one shows 6 M / t^2.
    inertia = (0.010**3 - 0.96 * 0.008**3) / 12
    assert 6 / wall.bent_like_m**2 == pytest.approx(0.005 / inertia)


@pytest.mark.parametrize("infill", [0.0, 1.0])
def test_a_sandwich_is_two_skins_or_one_solid_wall_at_its_ends(infill: float) -> None:
    wall = Sandwich(skin_m=0.001, core_m=0.008, infill=infill)
    assert wall.area_m == pytest.approx(0.010 if infill else 0.002)
    if infill:
        assert wall.bent_like_m == pytest.approx(0.010)


@pytest.mark.parametrize("change", [{"infill": -0.01}, {"infill": 1.01}, {"skin_m": 0.0}, {"core_m": 0.0}])
def test_a_sandwich_of_nothing_is_refused(change: dict[str, float]) -> None:
    with pytest.raises(OutsideRange):
        Sandwich(**{"skin_m": 0.001, "core_m": 0.008, "infill": 0.2, **change})


def test_the_core_shears_by_its_infill() -> None:
    """Half the infill, nu 0.35: G = E / 2.7; times the lever of the skins squared over the core."""
    wall = Sandwich(skin_m=0.001, core_m=0.008, infill=0.2)
    assert core_shear(wall, 2e9, 0.5) == pytest.approx(0.5 * 0.1 * 2e9 / 2.7 * 0.009**2 / 0.008)


def test_a_soft_core_lowers_the_stress_that_wrinkles_but_never_below_one_skin_s() -> None:
    wall = Sandwich(skin_m=0.001, core_m=0.008, infill=0.2)
    assert sandwich_wall_stress(50e6, (60e6, 2e6), wall, 1e12) == pytest.approx(50e6, rel=1e-4)
    # As stiff in shear as the whole wall is strong: half of it is left.
    assert sandwich_wall_stress(50e6, (60e6, 2e6), wall, 50e6 * wall.area_m) == pytest.approx(25e6)
    assert sandwich_wall_stress(50e6, (20e6, 2e6), wall, 1e12) == 20e6
    assert sandwich_wall_stress(50e6, (60e6, 2e6), wall, 0.0) == 2e6


def test_a_hollow_mesh_wall_is_two_rings_with_a_share_of_the_core() -> None:
    """Box of 100 mm, mesh wall 10 mm, skins of 2 mm: rings 100-96 and 84-80, the core by infill squared."""
    sides = [0.100, 0.096, 0.084, 0.080]
    areas = [side**2 for side in sides]
    seconds = [side**4 / 12 for side in sides]
    share = 0.3**2
    found = hollow_area([SQUARE], 0.010, 0.002, infill=0.3)

    def added(of: list[float]) -> float:
        return of[0] - of[1] + share * (of[1] - of[2]) + of[2] - of[3]

    assert found.area_m2 == pytest.approx(added(areas))
    assert np.diag(found.second_m4) == pytest.approx([added(seconds)] * 2)
    assert found.first_m3 == pytest.approx([0.0, 0.0], abs=1e-12)
    assert 0.002 < found.wall_m
    solid = hollow_area([SQUARE], 0.010, 0.002, infill=1.0)
    assert solid.area_m2 == pytest.approx(areas[0] - areas[3])
    assert solid.wall_m == pytest.approx(0.010)


def test_a_mesh_wall_as_thin_as_two_skins_is_solid() -> None:
    assert hollow_area([SQUARE], 0.004, 0.002).area_m2 == pytest.approx(wall_area([SQUARE], 0.004).area_m2)
    assert hollow_area([SQUARE], 0.0041, 0.002).area_m2 < wall_area([SQUARE], 0.0041).area_m2


def test_a_filled_box_and_its_longest_flat() -> None:
    solid = wall_area([SQUARE], None)
    assert solid.area_m2 == pytest.approx(0.01)
    assert solid.flat_width_m == pytest.approx(0.1)
    assert solid.round_radius_m == pytest.approx(0.4 / (2 * math.pi))
    # The largest circle inside, roughly: 2 A / circumference.
    assert solid.wall_m == pytest.approx(0.05)
    ring = wall_area([SQUARE], 0.002, infill=0.5)
    assert ring.area_m2 == pytest.approx(0.01 - 0.75 * 0.096**2)
    turned = wall_area([SQUARE[::-1]], 0.002, infill=0.5)
    assert turned.area_m2 == pytest.approx(ring.area_m2)


STAY = StayPair(
    along_m=0.1,
    outward_m=0.1,
    diameter_m=0.001,
    modulus_pa=2e11,
    preload_n=50.0,
    anchor_along_m=0.1,
    anchor_radius_m=0.05,
    anchor_turn_rad=math.pi / 2,
)


def test_a_wire_runs_from_the_fin_to_its_anchor() -> None:
    """From 150 mm out on the fin to 50 mm out a quarter turn on: 158 mm, falling in and going aside."""
    line = stay_line(STAY, 0.05, 4)
    assert line.length_m == pytest.approx(math.hypot(0.15, 0.05))
    assert line.direction == pytest.approx((0.0, -0.15 / line.length_m, 0.05 / line.length_m))
    assert wire_stiffness(STAY, line) == pytest.approx(2e11 * math.pi / 4 * 1e-6 / line.length_m)
    soft = StayPair(**{name: getattr(STAY, name) for name in STAY.__slots__} | {"anchor_n_per_m": 1e5})
    # The anchor gives along its own normal, sideways here: by the square of that share of the pull.
    give = 1 / wire_stiffness(STAY, line) + (0.05 / line.length_m) ** 2 / 1e5
    assert wire_stiffness(soft, line) == pytest.approx(1 / give)


def test_a_warmer_day_tightens_a_wire_that_grows_less_than_what_it_spans() -> None:
    line = stay_line(STAY, 0.05, 4)
    warmed = warmed_tension(STAY, line, structure_per_k=80e-6, wire_per_k=12e-6, warmer_by_k=20.0)
    assert warmed == pytest.approx(2e11 * math.pi / 4 * 1e-6 * 68e-6 * 20.0)
    colder = warmed_tension(STAY, line, structure_per_k=80e-6, wire_per_k=12e-6, warmer_by_k=-20.0)
    assert colder == -warmed


def test_a_fin_that_moves_tightens_one_wire_and_slackens_the_other() -> None:
    line = stay_line(STAY, 0.05, 4)
    stretch = wire_stiffness(STAY, line) * line.across * 1e-4
    forces = stay_forces(STAY, line, -1e-4)
    assert (forces.tight_n, forces.loose_n) == pytest.approx((50.0 + stretch, 50.0 - stretch))
    assert forces.back_n == pytest.approx(2 * stretch * line.across)
    assert forces.inward_n == pytest.approx(100.0 * 0.15 / line.length_m)
    slack = stay_forces(STAY, line, 1.0)
    assert slack.loose_n == 0.0


def test_places_for_stays_lie_on_the_fin_towards_its_tip() -> None:
    """Clipped delta: root 0.2, tip 0.1 m, swept by 0.1, span 0.1."""
    outline = np.array([[0.0, 0.0], [0.1, 0.1], [0.2, 0.1], [0.2, 0.0]])
    places = np.array(candidate_points(outline))
    assert sorted(set(places[:, 1].round(9))) == pytest.approx([0.06, 0.075, 0.09])
    for along, out in places:
        assert out < along < 0.2, (
            "behind the swept edge, which runs at 45 degrees, and before the trailing edge"
        )
    outer = places[places[:, 1] > 0.08]
    chord = 0.2 - 0.09
    assert outer[:, 0] == pytest.approx([0.09 + share * chord for share in (0.15, 0.3, 0.45, 0.6, 0.75, 0.9)])


def test_roots_turn_as_plates_and_blocks_do() -> None:
    plate = np.array([[0.0, 0.0], [0.0, 0.1], [0.1, 0.1], [0.1, 0.0]])
    fin = FinPlate(outline_m=plate, thickness_m=0.004, modulus_pa=3e9, density_kg_m3=1200.0, poisson=0.3)
    bending = 3e9 * 0.004**3 / (12 * 0.91)
    assert tab_turning_stiffness(fin, 0.02) == pytest.approx(3 * bending / 0.02)
    assert wall_turning_stiffness(2e9, 0.003, 0.08) == pytest.approx(
        16 * 2e9 * 0.003**3 / (12 * (1 - 0.35**2)) / 0.08
    )
    assert slot_turning_stiffness(2e9, 0.01, 0.03, 0.004) == pytest.approx(2 * 2e9 / 0.015 * 0.01**3 / 12)
    # In a wall hardly wider than the fin the fin's own thickness counts.
    assert slot_turning_stiffness(2e9, 0.01, 0.006, 0.004) == pytest.approx(2 * 2e9 / 0.004 * 0.01**3 / 12)


def test_fillets_hold_the_root_s_moment_as_a_couple() -> None:
    """5 N m on a root of 100 mm, fillets of 4 mm on a fin of 6 mm: 5 / (0.1 x 0.004 x 0.010)."""
    assert root_glue_stress(-5.0, 0.1, 0.006, 0.004) == pytest.approx(5.0 / (0.1 * 0.004 * 0.010))


def test_washers_hold_pieces_of_the_root_and_join_where_they_touch() -> None:
    def held(*bolts_m: float) -> list[float]:
        return [end for piece in bolted_pieces(bolts_m, 0.01, (0.0, 0.1)) for end in piece]

    assert held(0.05, 0.02) == pytest.approx([0.015, 0.025, 0.045, 0.055])
    assert held(0.02, 0.029) == pytest.approx([0.015, 0.034])
    assert held(0.002, 0.098) == pytest.approx([0.0, 0.007, 0.093, 0.1])
    with pytest.raises(OutsideRange):
        bolted_pieces((0.2,), 0.01, (0.0, 0.1))


@pytest.mark.parametrize("change", [{"turning_n": 0.0}, {"sliding_pa": -1.0}, {"pieces_m": ((0.1, 0.1),)}])
def test_a_root_held_by_nothing_is_refused(change: dict) -> None:
    with pytest.raises(OutsideRange):
        RootHold(**change)


def test_dowels_shear_or_tear_the_wall_whichever_is_less() -> None:
    shear, bearing = math.pi / 4 * 0.004**2 * 50e6, 0.004 * 0.003 * 60e6
    assert bearing > shear
    assert dowel_load(3, 0.004, 50e6, 60e6, 0.003) == pytest.approx(3 * shear)
    assert dowel_load(3, 0.004, 50e6, 10e6, 0.003) == pytest.approx(3 * 0.004 * 0.003 * 10e6)
    found = dowel_strength(2, (0.004, 0.003), exact(100e6), between(5e6, 6e6, 90e6))
    assert found.value == pytest.approx(2 * 0.004 * 0.003 * 1.5 * 6e6)
    assert found.high == pytest.approx(2 * math.pi / 4 * 0.004**2 * 0.577 * 100e6)


def test_preload_over_a_day_is_the_least_of_cold_and_of_what_creep_leaves() -> None:
    """4 rods of 100 N: hot adds 80, creep leaves 0.7 of it; cold takes 60."""
    change = PreloadChange(count=4, hot_n=exact(80.0), cold_n=exact(-60.0), left=exact(0.7))
    day = preload_over_day(exact(400.0), change)
    assert (day.low, day.value, day.high) == pytest.approx((336.0, 336.0, 480.0))
    colder = PreloadChange(count=4, hot_n=exact(80.0), cold_n=exact(-160.0), left=exact(0.7))
    assert preload_over_day(exact(400.0), colder).low == pytest.approx(240.0)
    each = change.each_rod(exact(100.0))
    assert (each.low, each.value) == pytest.approx((84.0, 84.0))
    cooled = preload_cooled(exact(400.0), change)
    assert cooled.value == pytest.approx(480.0 * 0.7 - 60.0 - 80.0)
    slack = PreloadChange(count=4, hot_n=exact(80.0), cold_n=exact(-600.0), left=exact(0.7))
    assert preload_cooled(exact(400.0), slack).value == 0.0
    assert preload_over_day(exact(400.0), slack).low == 0.0


def test_preload_grows_where_the_walls_grow_more_than_the_rods() -> None:
    stack = Stack(wall_ea_n=3e6, rod_ea_n=6e6)
    grown = preload_growth(stack, wall_expansion_per_k=70e-6, rod_expansion_per_k=12e-6, warmer_by_k=10.0)
    assert grown == pytest.approx(58e-5 / (1 / 3e6 + 1 / 6e6))


def test_a_wall_on_a_soft_bed_and_a_pushed_panel() -> None:
    plate = Plate(thickness_m=0.002, modulus_pa=2e9, poisson=0.35)
    stiffness = 2e9 * 0.002**3 / (12 * (1 - 0.35**2))
    assert backed_wall_stress(plate, 1e4, 1e7) == pytest.approx(
        6 / 0.002**2 * 1e4 * math.sqrt(stiffness / 1e7)
    )
    # Clamped square pushed at its centre, w = 0.0056 P b^2 / D: Timoshenko, table 37, from memory.
    assert panel_stiffness(stiffness, 0.05) == pytest.approx(stiffness / (0.0056 * 0.05**2))
    # On a bed that is far stiffer the bed decides: 8 sqrt(k D), Hertz; Timoshenko, article 57, from memory.
    assert panel_stiffness(stiffness, 0.05, 1e12) == pytest.approx(8 * math.sqrt(1e12 * stiffness))


def test_a_lattice_covers_the_fin_and_its_wake_runs_on_for_sixty_chords() -> None:
    outline = np.array([[0.0, 0.0], [0.0, 0.2], [0.1, 0.2], [0.1, 0.0]])
    lattice = fin_lattice(outline, across=4, along=2)
    assert lattice.area_m2 == pytest.approx(0.02)
    assert lattice.half_chord_m == pytest.approx(0.05)
    strip = 0.2 / 4.25
    assert lattice.widths_m == pytest.approx([strip] * 8)
    assert lattice.areas_m2 == pytest.approx([strip * 0.05] * 8)
    assert lattice.bound_m[[0, 4], 0] == pytest.approx([0.0125, 0.0625])
    assert lattice.seen_m[[0, 4], 0] == pytest.approx([0.0375, 0.0875])
    assert lattice.middle_m[[0, 4], 0] == pytest.approx([0.01875, 0.06875])
    assert lattice.bound_m[:4, 1] == pytest.approx(strip * (np.arange(4) + 0.5))
    reach = lattice.wake_reach_m
    assert reach[0] == pytest.approx(0.0125)
    assert reach[-1] >= 6.0 > reach[-2]
    rows = np.diff(reach)
    assert rows[:4] == pytest.approx([0.05] * 4)
    assert rows[-1] / rows[-2] == pytest.approx(1.12)
    assert lattice.wake_wash.shape == (len(rows), 8, 4)


def test_a_slow_swing_meets_the_lattice_s_steady_answer_and_a_fast_one_lags() -> None:
    lattice = fin_lattice(np.array([[0.0, 0.0], [0.0, 0.2], [0.1, 0.2], [0.1, 0.0]]), across=4, along=2)
    steady, slow, fast = (ring_response(lattice, number) for number in (0.0, 1e-6, 1.0))
    assert np.abs(steady.imag).max() < 1e-12 * np.abs(steady).max()
    assert slow == pytest.approx(steady, rel=1e-3)
    assert np.abs(fast.imag).max() > 0.05 * np.abs(fast.real).max()


def test_the_preload_of_a_day_keeps_its_spread() -> None:
    change = PreloadChange(
        count=1, hot_n=between(50.0, 80.0, 110.0), cold_n=exact(-10.0), left=between(0.6, 0.7, 0.8)
    )
    day = preload_over_day(spread(400.0, 0.2, known_by=KnownBy.ASSUMED), change)
    assert day.low == pytest.approx((320.0 + 50.0) * 0.6)
    assert day.high == pytest.approx(480.0 + 110.0)
    assert day.known_by is KnownBy.ASSUMED


def test_a_wrinkled_wall_keeps_winter_s_share_of_its_strength_up_to_a_slenderness_of_0_673() -> None:
    """r (1 - 0.22 r), r the root of wrinkling over strength: 0.78 where they are equal, 1 from 1.486 on."""
    assert wrinkled_wall_strength(50e6, 50e6) == pytest.approx(0.78 * 50e6)
    assert wrinkled_wall_strength(1.44 * 50e6, 50e6) == pytest.approx(1.2 * (1 - 0.22 * 1.2) * 50e6)
    assert wrinkled_wall_strength(4 * 50e6, 50e6) == 50e6
    assert wrinkled_wall_strength(0.01 * 50e6, 50e6) == pytest.approx(0.1 * 0.978 * 50e6)


def test_lag_states_need_two_real_numbers_for_each_unknown() -> None:
    """Each frequency above 0 gives a real and an imaginary part; damping, mass and each lag are unknown."""

    def loads(count: int):
        k = np.linspace(0.0, 1.0, count)
        return k, (2.0 + 3j * k - k**2)[:, None, None]

    assert air_states(*loads(3), rates=(0.2, 0.5)).misfit < 1e-6
    with pytest.raises(OutsideRange, match="lag states need"):
        air_states(*loads(2), rates=(0.2, 0.5))
    with pytest.raises(OutsideRange):
        air_states(np.array([0.1, 0.5, 1.0]), loads(3)[1], rates=(0.2, 0.5))


def test_a_plate_bent_into_a_bowl_has_the_stress_of_both_curvatures() -> None:
    """Curved by kx and ky: E h / 2 / (1 - nu^2) (kx + nu ky) and the other, together by von Mises."""
    square = np.array([[0.0, 0.0], [0.0, 1.0], [1.0, 1.0], [1.0, 0.0]])
    plate = FinPlate(outline_m=square, thickness_m=0.01, modulus_pa=1e9, density_kg_m3=1000.0, poisson=0.3)
    model = plate_model(plate, side_m=0.5)
    point = np.array([[0.4, 0.6]])
    rows = rows_at(model, point).curvature
    stacked = np.vstack([row.reshape(1, -1) for row in rows])
    # Unknowns of least size that curve the plate there by 0.02 along, -0.03 out, and twist it by 0.01.
    curved = np.linalg.lstsq(stacked, np.array([0.02, -0.03, 0.01]), rcond=None)[0]
    plane = 1e9 * 0.005 / (1 - 0.09)
    first, second, shear = plane * (0.02 - 0.3 * 0.03), plane * (-0.03 + 0.3 * 0.02), plane * 0.7 * 0.01
    expected = math.sqrt(first**2 - first * second + second**2 + 3 * shear**2)
    assert surface_stress(model, curved, point) == pytest.approx([expected], rel=1e-6)
