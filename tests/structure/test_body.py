"""Reserves along the body, against statics done by hand."""

import math

import numpy as np
import pytest

from finial.core.dimensions import Dimension
from finial.core.errors import OutsideRange
from finial.core.estimates import Estimate, KnownBy, exact, spread
from finial.mass.lumps import even_bar, lumps
from finial.structure.loads.along_body import free_body_loads
from finial.structure.loads.case import Case, Load
from finial.structure.loads.forces import PointForce
from finial.structure.reserves import MOST, FailureMode, Reserve, badness, reserve_factor
from finial.structure.rods.columns import column_load
from finial.structure.walls.body import MODES, BodyCase, body_reserves
from finial.structure.walls.cuts import Rods, SectionSpec, WallSection
from finial.structure.walls.outline import wall_area
from finial.structure.walls.section import rod_circle
from finial.structure.walls.stack import THINNEST_TUBE, _tube, cut_stack
from finial.structure.walls.torsion import WallTube

BAR = even_bar(4.0, 0.0, 1.0)
BOX = np.array([[-0.05, -0.05], [0.05, -0.05], [0.05, 0.05], [-0.05, 0.05]])
AREA = 1164e-6
LAYERS = exact(15e6)
PLASTIC = exact(2.3e9)
INERTIA = (0.1**4 - 0.094**4) / 12


def walls(*, tension=LAYERS, modulus=PLASTIC):
    return WallSection(
        area=wall_area([BOX], 0.003),
        modulus=modulus,
        compression_strength=exact(30e6),
        tension_strength=tension,
    )


def rods(**changes):
    given = {
        "positions_m": rod_circle(4, 0.08),
        "stress_area_m2": 20.1e-6,
        "modulus": exact(68.9e9),
        "strength": exact(276e6),
        "preload": exact(0.0),
    }
    return Rods(**(given | changes))


def constant_loads(axial_n, bending_n_m):
    """Two equal masses pulled together by ``axial_n`` and bent by couples at the ends."""
    couple = [PointForce(station_m=0.0, aft_n=axial_n, couple_n_m=-bending_n_m)]
    couple += [PointForce(station_m=1.0, aft_n=-axial_n, couple_n_m=bending_n_m)]
    return free_body_loads(lumps([0.0, 1.0], [1.0, 1.0]), couple)


MIDDLE, THRUST = 0.5, Case(load=Load.MAX_THRUST)


def judged(loads, specs, **changes):
    case = BodyCase(case=THRUST, loads=loads, ends_m=(-1.0, 2.0), **changes)
    return body_reserves(cut_stack(specs), [case])


def at_middle(loads, spec_walls, spec_rods=None, **changes):
    return judged(loads, [SectionSpec(station_m=MIDDLE, walls=spec_walls, rods=spec_rods)], **changes)


def named(grid, mode):
    """The one cut's entry, loaded or not."""
    return grid.entry(MODES.index(mode), 0, 0)


def test_plain_box_follows_navier():
    # sigma = N/A +- M c/I, c the corner at 0.05 sqrt 2 when the moment acts across a diagonal.
    found = at_middle(constant_loads(300.0, 20.0), walls())
    bend = 20.0 * 0.05 * math.sqrt(2) / INERTIA
    assert named(found, FailureMode.WALL_CRUSHED).load.value == pytest.approx(300 / AREA + bend)
    assert named(found, FailureMode.WALL_PULLED).load.value == pytest.approx(bend - 300 / AREA)
    assert named(found, FailureMode.WALL_PULLED).reserve.value == pytest.approx(15e6 / (bend - 300 / AREA))
    assert named(found, FailureMode.WALL_CRUSHED).rod_share is None


def test_wrinkling_of_a_box_is_the_flat_wall():
    found = named(at_middle(constant_loads(300.0, 0.0), walls()), FailureMode.WALL_WRINKLES)
    assert found.strength.value == pytest.approx(4 * math.pi**2 * 2.3e9 / (12 * (1 - 0.35**2)) * 0.03**2)


def test_rods_take_their_share_of_a_push():
    found = at_middle(constant_loads(1000.0, 0.0), walls(), rods(modulus=exact(205e9)))
    share = 4 * 20.1e-6 * 205e9 / (4 * 20.1e-6 * 205e9 + AREA * 2.3e9)
    squeezed = named(found, FailureMode.WALL_CRUSHED)
    assert squeezed.rod_share == pytest.approx(share) == pytest.approx(0.860, abs=1e-3)
    assert squeezed.load.value == pytest.approx(1000 * (1 - share) / AREA)


def test_axial_loads_of_walls_and_rods_add_to_the_whole():
    found = at_middle(constant_loads(-1000.0, 0.0), walls(), rods())
    wall = named(found, FailureMode.WALL_PULLED).load.value * AREA
    assert wall + 4 * named(found, FailureMode.ROD_PULLED).load.value == pytest.approx(1000.0)


def test_butt_joint_without_rods_holds_no_pull():
    found = named(at_middle(constant_loads(-100.0, 0.0), walls(tension=None)), FailureMode.JOINT_OPENS)
    assert found.reserve.value == 0.0


def test_butt_joint_under_push_alone_does_not_open():
    assert (
        named(at_middle(constant_loads(100.0, 0.0), walls(tension=None)), FailureMode.JOINT_OPENS).reserve
        is None
    )


def test_preload_keeps_a_joint_shut_until_the_pull_on_the_walls_equals_it():
    # Joint diagram: the stack opens at P_total (1 + k_rod / k_wall) of outside pull.
    stiff_rods, stiff_walls = 4 * 20.1e-6 * 68.9e9, AREA * 2.3e9
    opens_at = 4 * 400.0 * (1 + stiff_rods / stiff_walls)
    found = at_middle(constant_loads(-opens_at, 0.0), walls(tension=None), rods(preload=exact(400.0)))
    assert named(found, FailureMode.JOINT_OPENS).reserve.value == pytest.approx(1.0)
    assert named(found, FailureMode.ROD_PULLED).load.value == pytest.approx(opens_at / 4)


def test_open_joint_leaves_the_whole_pull_to_the_rods():
    found = at_middle(constant_loads(-4000.0, 30.0), walls(tension=None), rods(preload=exact(100.0)))
    assert named(found, FailureMode.ROD_PULLED).load.value == pytest.approx(1000.0 + 30.0 * 2 / (4 * 0.04))


def test_glued_joint_counts_preload_as_relief():
    plain = named(
        at_middle(constant_loads(-1000.0, 0.0), walls(), rods()), FailureMode.WALL_PULLED
    ).load.value
    held = named(
        at_middle(constant_loads(-1000.0, 0.0), walls(), rods(preload=exact(50.0))), FailureMode.WALL_PULLED
    ).load.value
    assert plain - held == pytest.approx(4 * 50.0 / AREA)


def test_preload_adds_to_a_pulled_rod_and_relieves_a_pushed_one():
    # Closed joint: rod force = preload + its share of the pull.
    share = 68.9e9 * 20.1e-6 / (4 * 68.9e9 * 20.1e-6 + 2.3e9 * AREA)
    tight = rods(preload=exact(400.0), free_length_m=0.3, root_diameter_m=4.773e-3)
    pulled = at_middle(constant_loads(-1000.0, 0.0), walls(), tight)
    assert named(pulled, FailureMode.ROD_PULLED).load.value == pytest.approx(400.0 + 1000.0 * share)
    pushed = at_middle(constant_loads(4000.0, 0.0), walls(), tight)
    assert named(pushed, FailureMode.ROD_BUCKLES).load.value == pytest.approx(4000.0 * share - 400.0)


def test_rods_standing_free_buckle_as_columns():
    free = rods(free_length_m=0.3, root_diameter_m=4.773e-3)
    found = at_middle(constant_loads(800.0, 0.0), None, free)
    buckles = named(found, FailureMode.ROD_BUCKLES)
    assert buckles.load.value == pytest.approx(200.0)
    assert buckles.strength.value == pytest.approx(column_load(4.773e-3, 0.3, 68.9e9, 276e6))
    assert buckles.rod_share == 1.0


def test_worst_corner_of_the_intervals_is_the_low_end_of_the_reserve():
    stiff = spread(2.3e9, 0.2, known_by=KnownBy.HANDBOOK)
    loads = constant_loads(1000.0, 40.0)
    found = at_middle(
        loads,
        walls(modulus=stiff),
        rods(preload=Estimate(value=200, low=0, high=300, known_by=KnownBy.ASSUMED)),
        axial_factor=spread(1.0, 0.1, known_by=KnownBy.HANDBOOK),
        bending_factor=spread(1.0, 0.5, known_by=KnownBy.ASSUMED),
    )
    # Least push, most bending, stiff walls, preload gone: the same numbers given exactly.
    bad = at_middle(
        loads, walls(modulus=exact(stiff.high)), rods(), axial_factor=exact(0.9), bending_factor=exact(1.5)
    )
    assert named(found, FailureMode.WALL_PULLED).reserve.low == pytest.approx(
        named(bad, FailureMode.WALL_PULLED).reserve.value
    )
    assert named(found, FailureMode.WALL_PULLED).reserve.known_by is KnownBy.ASSUMED
    assert (
        named(found, FailureMode.WALL_PULLED).reserve.low
        < named(found, FailureMode.WALL_PULLED).reserve.value
    )


def test_push_off_the_elastic_centre_bends():
    aside = WallSection(
        area=wall_area([BOX + np.array([0.0, 0.01])], 0.003),
        modulus=exact(2.3e9),
        compression_strength=exact(30e6),
        tension_strength=exact(15e6),
    )
    found = named(at_middle(constant_loads(500.0, 0.0), aside), FailureMode.WALL_CRUSHED)
    assert found.load.value == pytest.approx(500 / AREA + 5.0 * 0.05 * math.sqrt(2) / INERTIA)


def test_the_harder_side_of_a_step_counts():
    loads = free_body_loads(
        lumps([0.0, 0.5, 1.0], [1.0, 2.0, 1.0]), [PointForce(station_m=1.0, aft_n=-400.0)]
    )
    assert named(at_middle(loads, walls()), FailureMode.WALL_CRUSHED).load.value == pytest.approx(
        300.0 / AREA
    )


def test_worst_of_each_takes_the_weakest_cut():
    loads = free_body_loads(BAR, [PointForce(station_m=1.0, aft_n=-900.0)])
    specs = [SectionSpec(station_m=s, walls=walls()) for s in (0.2, 0.5, 0.9)]
    worst = judged(loads, specs).worst_of_each()
    assert {entry.mode for entry in worst} == {
        FailureMode.WALL_CRUSHED,
        FailureMode.WALL_WRINKLES,
        FailureMode.WALL_COLLAPSES,
    }
    assert {entry.station_m for entry in worst} == {0.9}
    assert min(worst, key=badness).mode is FailureMode.WALL_WRINKLES


def test_many_cases_at_once_are_each_of_them():
    """Arrays over cases and cuts, against one case and one cut at a time."""
    stiff = spread(2.3e9, 0.2, known_by=KnownBy.HANDBOOK)
    specs = [
        SectionSpec(station_m=0.3, walls=walls(modulus=stiff), rods=rods(preload=exact(100.0))),
        SectionSpec(station_m=0.5, walls=walls(tension=None), rods=rods()),
        SectionSpec(station_m=0.7, walls=None, rods=rods(free_length_m=0.3, root_diameter_m=4.773e-3)),
    ]
    cases = [
        BodyCase(
            case=Case(load=load),
            loads=constant_loads(axial, bending),
            ends_m=(0.0, 1.0),
            bending_factor=spread(1.0, 0.3, known_by=KnownBy.ASSUMED),
        )
        for load, axial, bending in ((Load.MAX_THRUST, 900.0, 5.0), (Load.MAX_SPEED, -400.0, 20.0))
    ]
    together = body_reserves(cut_stack(specs), cases)
    for row, mode in enumerate(MODES):
        for index, case in enumerate(cases):
            for cut, spec in enumerate(specs):
                alone = body_reserves(cut_stack([spec]), [case])
                assert together.lows[row, index, cut] == pytest.approx(alone.lows[row, 0, 0], nan_ok=True), (
                    mode
                )
                entry = (
                    together.entry(row, index, cut) if np.isfinite(together.lows[row, index, cut]) else None
                )
                if entry is not None:
                    assert entry.reserve.low == pytest.approx(together.lows[row, index, cut])
                    assert entry.case is case.case


def test_cuts_outside_a_case_are_not_judged():
    loads = free_body_loads(BAR, [PointForce(station_m=1.0, aft_n=-900.0)])
    specs = [SectionSpec(station_m=s, walls=walls()) for s in (0.2, 0.5, 0.9)]
    case = BodyCase(case=THRUST, loads=loads, ends_m=(0.3, 0.8))
    lows = body_reserves(cut_stack(specs), [case]).lows[MODES.index(FailureMode.WALL_CRUSHED), 0]
    assert np.isfinite(lows).tolist() == [False, True, False]
    assert len(body_reserves(cut_stack(specs), [case]).all_of(FailureMode.WALL_CRUSHED, 0)) == 1


def sheared(**changes):
    tube = WallTube(enclosed_m2=0.0094, wall_m=0.003, area_m2=AREA)
    return WallSection(
        area=wall_area([BOX], 0.003),
        modulus=PLASTIC,
        compression_strength=exact(30e6),
        tension_strength=LAYERS,
        tube=tube,
        shear_strength=exact(8e6),
        **changes,
    )


def test_shear_of_torsion_and_cross_force_in_a_closed_wall():
    # Bredt: T / (2 A_m t); cross force 2 V / A; Gere and Timoshenko, Mechanics of Materials.
    push = [PointForce(station_m=0.4, cross_n=200.0), PointForce(station_m=1.0, cross_n=-200.0)]
    loads = free_body_loads(lumps([0.0, 1.0], [1.0, 1.0]), push)
    cross = float(np.abs(loads.at(MIDDLE).shear_n).max())
    found = at_middle(
        loads,
        sheared(),
        torsion_n_m=np.full_like(loads.stations_m, -12.0),
        bending_factor=spread(1.0, 0.5, known_by=KnownBy.ASSUMED),
    )
    wanted = 12.0 / (2 * 0.0094 * 0.003) + 2 * cross / AREA
    entry = named(found, FailureMode.WALL_SHEARED)
    assert entry.load.value == pytest.approx(wanted)
    assert entry.load.high == pytest.approx(1.5 * wanted)
    assert entry.reserve.low == pytest.approx(8e6 / (1.5 * wanted))


def test_a_wall_thinner_than_said_loses_more_where_it_wrinkles():
    loads = constant_loads(600.0, 0.0)
    plain, thin = (at_middle(loads, sheared(wall_scatter=share)) for share in (0.0, 0.1))
    powers = {FailureMode.WALL_CRUSHED: 1, FailureMode.WALL_WRINKLES: 3, FailureMode.WALL_COLLAPSES: 2}
    for mode, power in powers.items():
        one, other = named(plain, mode), named(thin, mode)
        assert other.reserve.low / one.reserve.low == pytest.approx(0.9**power)
        assert other.reserve.high / one.reserve.high == pytest.approx(1.1**power)
        assert other.reserve.value == one.reserve.value


def test_short_flats_and_infill_hold_a_wall_that_would_wrinkle():
    loads = constant_loads(600.0, 0.0)
    long, short, filled = (
        named(at_middle(loads, sheared(**given)), FailureMode.WALL_WRINKLES).strength
        for given in ({}, {"flat_length_m": 0.03}, {"infill": 0.1, "infill_depth_m": 0.05})
    )
    assert short.value / long.value == pytest.approx((0.3 + 1 / 0.3) ** 2 / 4, rel=1e-6)
    assert filled.low > long.value
    assert filled.known_by is KnownBy.ASSUMED


def test_a_flat_wall_collapses_between_wrinkling_and_crushing():
    # Winter's effective width by hand for a box of 100 by 3 mm in plastic of 2.3 GPa and 30 MPa.
    found = at_middle(constant_loads(300.0, 0.0), walls())
    onset = named(found, FailureMode.WALL_WRINKLES).strength.value
    root = math.sqrt(onset / 30e6)
    wanted = 30e6 * root * (1 - 0.22 * root)
    assert named(found, FailureMode.WALL_COLLAPSES).strength.value == pytest.approx(wanted)


def test_a_reserve_says_whose_it_is_and_what_warmth_took():
    spec = SectionSpec(station_m=MIDDLE, walls=walls(), rods=rods(), part="tower", warmth_left=0.6)
    found = judged(constant_loads(-300.0, 5.0), [spec])
    wall, rod = (named(found, mode) for mode in (FailureMode.WALL_PULLED, FailureMode.ROD_PULLED))
    assert (wall.subject, wall.warmth_left, wall.case) == ("tower", 0.6, THRUST)
    assert (rod.subject, rod.warmth_left) == ("", 1.0)


def test_reserve_is_capped_and_may_be_absent():
    assert reserve_factor(exact(10.0), exact(1e-9)).value == MOST
    assert reserve_factor(exact(10.0), exact(-1.0)) is None
    unknown = Reserve(mode=FailureMode.ROD_LOOSE, station_m=0.0, dimension=Dimension.FORCE)
    assert badness(unknown) == -math.inf
    crossing = Estimate(value=1.0, low=-1.0, high=2.0, known_by=KnownBy.COMPUTED)
    assert reserve_factor(exact(10.0), crossing).high == MOST
    with pytest.raises(OutsideRange, match="strength"):
        reserve_factor(exact(-1.0), exact(1.0))


def test_bad_specs_are_refused():
    with pytest.raises(OutsideRange, match="nothing crosses"):
        SectionSpec(station_m=0.5, walls=None)
    with pytest.raises(OutsideRange, match="root_diameter_m"):
        rods(free_length_m=0.3)
    with pytest.raises(OutsideRange, match="axial_factor"):
        at_middle(constant_loads(1.0, 0.0), walls(), axial_factor=exact(0.0))


def test_a_cord_that_may_not_pull_at_all_is_still_judged():
    """A low end of nothing is no load turned round: the other end is judged as ever."""
    loads, told = constant_loads(300.0, 0.0), KnownBy.ASSUMED
    slack = Estimate(value=1.0, low=0.0, high=2.0, known_by=told)
    found = named(at_middle(loads, walls(), axial_factor=slack), FailureMode.WALL_CRUSHED)
    whole = named(at_middle(loads, walls()), FailureMode.WALL_CRUSHED)
    assert found.reserve.low == pytest.approx(whole.reserve.low / 2, rel=1e-6)
    for low, high in ((-0.1, 1.0), (0.0, 0.0)):
        turned = Estimate(value=high, low=low, high=high, known_by=told)
        with pytest.raises(OutsideRange, match="axial_factor"):
            at_middle(loads, walls(), axial_factor=turned)


def test_a_tube_thinner_than_any_that_was_tested_is_weaker_still_and_no_fault() -> None:
    """NASA SP-8007 has tests up to 1500; half as thick a wall keeps a quarter, theory nearly half."""
    rolls = 2 * np.pi * np.arange(720) / 720
    circle = 0.3 * np.column_stack([np.cos(rolls), np.sin(rolls)])
    thin, thinner = (
        _tube(
            WallSection(
                area=wall_area([circle], wall_m),
                modulus=PLASTIC,
                compression_strength=exact(30e6),
                tension_strength=LAYERS,
            ),
            2.3e9,
            wall_m,
            0.0,
        )
        for wall_m in (0.3 / THINNEST_TUBE, 0.15 / THINNEST_TUBE)
    )
    assert thinner == pytest.approx(thin / 4, rel=1e-3)
