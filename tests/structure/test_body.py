"""Reserves along the body, against statics done by hand."""

import math

import numpy as np
import pytest

from finial.core.errors import OutsideRange
from finial.core.estimates import Estimate, KnownBy, exact, spread
from finial.mass.lumps import even_bar, lumps
from finial.structure.loads.along_body import free_body_loads
from finial.structure.loads.forces import PointForce
from finial.structure.reserves import MOST, reserve_factor, worst_of_each
from finial.structure.rods.columns import column_load
from finial.structure.walls.body import (
    JOINT_OPENS,
    ROD_BUCKLES,
    ROD_PULLED,
    WALL_PULLED,
    WALL_SQUEEZED,
    WALL_WRINKLES,
    body_reserves,
)
from finial.structure.walls.cuts import Rods, SectionSpec, WallSection
from finial.structure.walls.outline import wall_area
from finial.structure.walls.section import rod_circle

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


def named(reserves, what):
    (found,) = [entry for entry in reserves if entry.what == what]
    return found


def at_middle(loads, spec_walls, spec_rods=None, **factors):
    return body_reserves(loads, [SectionSpec(station_m=0.5, walls=spec_walls, rods=spec_rods)], **factors)


def test_plain_box_follows_navier():
    # sigma = N/A +- M c/I, c the corner at 0.05 sqrt 2 when the moment acts across a diagonal.
    found = at_middle(constant_loads(300.0, 20.0), walls())
    bend = 20.0 * 0.05 * math.sqrt(2) / INERTIA
    assert named(found, WALL_SQUEEZED).load.value == pytest.approx(300 / AREA + bend)
    assert named(found, WALL_PULLED).load.value == pytest.approx(bend - 300 / AREA)
    assert named(found, WALL_PULLED).reserve.value == pytest.approx(15e6 / (bend - 300 / AREA))
    assert named(found, WALL_SQUEEZED).rod_share is None


def test_wrinkling_of_a_box_is_the_flat_wall():
    found = named(at_middle(constant_loads(300.0, 0.0), walls()), WALL_WRINKLES)
    assert found.strength.value == pytest.approx(4 * math.pi**2 * 2.3e9 / (12 * (1 - 0.35**2)) * 0.03**2)


def test_rods_take_their_share_of_a_push():
    found = at_middle(constant_loads(1000.0, 0.0), walls(), rods(modulus=exact(205e9)))
    share = 4 * 20.1e-6 * 205e9 / (4 * 20.1e-6 * 205e9 + AREA * 2.3e9)
    squeezed = named(found, WALL_SQUEEZED)
    assert squeezed.rod_share == pytest.approx(share) == pytest.approx(0.860, abs=1e-3)
    assert squeezed.load.value == pytest.approx(1000 * (1 - share) / AREA)


def test_axial_loads_of_walls_and_rods_add_to_the_whole():
    found = at_middle(constant_loads(-1000.0, 0.0), walls(), rods())
    wall = named(found, WALL_PULLED).load.value * AREA
    assert wall + 4 * named(found, ROD_PULLED).load.value == pytest.approx(1000.0)


def test_butt_joint_without_rods_holds_no_pull():
    found = named(at_middle(constant_loads(-100.0, 0.0), walls(tension=None)), JOINT_OPENS)
    assert found.reserve.value == 0.0


def test_butt_joint_under_push_alone_does_not_open():
    assert named(at_middle(constant_loads(100.0, 0.0), walls(tension=None)), JOINT_OPENS).reserve is None


def test_preload_keeps_a_joint_shut_until_the_pull_on_the_walls_equals_it():
    # Joint diagram: the stack opens at P_total (1 + k_rod / k_wall) of outside pull.
    stiff_rods, stiff_walls = 4 * 20.1e-6 * 68.9e9, AREA * 2.3e9
    opens_at = 4 * 400.0 * (1 + stiff_rods / stiff_walls)
    found = at_middle(constant_loads(-opens_at, 0.0), walls(tension=None), rods(preload=exact(400.0)))
    assert named(found, JOINT_OPENS).reserve.value == pytest.approx(1.0)
    assert named(found, ROD_PULLED).load.value == pytest.approx(opens_at / 4)


def test_open_joint_leaves_the_whole_pull_to_the_rods():
    found = at_middle(constant_loads(-4000.0, 30.0), walls(tension=None), rods(preload=exact(100.0)))
    assert named(found, ROD_PULLED).load.value == pytest.approx(1000.0 + 30.0 * 2 / (4 * 0.04))


def test_glued_joint_counts_preload_as_relief():
    plain = named(at_middle(constant_loads(-1000.0, 0.0), walls(), rods()), WALL_PULLED).load.value
    held = named(
        at_middle(constant_loads(-1000.0, 0.0), walls(), rods(preload=exact(50.0))), WALL_PULLED
    ).load.value
    assert plain - held == pytest.approx(4 * 50.0 / AREA)


def test_preload_adds_to_a_pulled_rod_and_relieves_a_pushed_one():
    # Closed joint: rod force = preload + its share of the pull.
    share = 68.9e9 * 20.1e-6 / (4 * 68.9e9 * 20.1e-6 + 2.3e9 * AREA)
    tight = rods(preload=exact(400.0), free_length_m=0.3, root_diameter_m=4.773e-3)
    pulled = at_middle(constant_loads(-1000.0, 0.0), walls(), tight)
    assert named(pulled, ROD_PULLED).load.value == pytest.approx(400.0 + 1000.0 * share)
    pushed = at_middle(constant_loads(4000.0, 0.0), walls(), tight)
    assert named(pushed, ROD_BUCKLES).load.value == pytest.approx(4000.0 * share - 400.0)


def test_rods_standing_free_buckle_as_columns():
    free = rods(free_length_m=0.3, root_diameter_m=4.773e-3)
    found = at_middle(constant_loads(800.0, 0.0), None, free)
    buckles = named(found, ROD_BUCKLES)
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
    assert named(found, WALL_PULLED).reserve.low == pytest.approx(named(bad, WALL_PULLED).reserve.value)
    assert named(found, WALL_PULLED).reserve.known_by is KnownBy.ASSUMED
    assert named(found, WALL_PULLED).reserve.low < named(found, WALL_PULLED).reserve.value


def test_push_off_the_elastic_centre_bends():
    aside = WallSection(
        area=wall_area([BOX + np.array([0.0, 0.01])], 0.003),
        modulus=exact(2.3e9),
        compression_strength=exact(30e6),
        tension_strength=exact(15e6),
    )
    found = named(at_middle(constant_loads(500.0, 0.0), aside), WALL_SQUEEZED)
    assert found.load.value == pytest.approx(500 / AREA + 5.0 * 0.05 * math.sqrt(2) / INERTIA)


def test_the_harder_side_of_a_step_counts():
    loads = free_body_loads(
        lumps([0.0, 0.5, 1.0], [1.0, 2.0, 1.0]), [PointForce(station_m=1.0, aft_n=-400.0)]
    )
    assert named(at_middle(loads, walls()), WALL_SQUEEZED).load.value == pytest.approx(300.0 / AREA)


def test_worst_of_each_puts_the_weakest_first():
    loads = free_body_loads(even_bar(4.0, 0.0, 1.0), [PointForce(station_m=1.0, aft_n=-900.0)])
    specs = [SectionSpec(station_m=s, walls=walls()) for s in (0.2, 0.5, 0.9)]
    worst = worst_of_each(body_reserves(loads, specs))
    assert [entry.what for entry in worst] == [WALL_WRINKLES, WALL_SQUEEZED]
    assert {entry.station_m for entry in worst} == {0.9}


def test_reserve_is_capped_and_may_be_absent():
    assert reserve_factor(exact(10.0), exact(1e-9)).value == MOST
    assert reserve_factor(exact(10.0), exact(-1.0)) is None
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
