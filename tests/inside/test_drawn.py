"""Rooms, bores and holes found in meshes, against solids made by trimesh with bores of known size."""

import sys
from pathlib import Path

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).parents[1] / "shape" / "pieces"))
import made_pieces as made

from finial.inside.cavity import Printed, cavity_of
from finial.inside.drawn import MotorRoom, holes_beside_axis, motor_room, rooms_on_axis
from finial.shape.mesh import Mesh
from finial.shape.placing import to_body
from finial.shape.repair import repaired
from finial.shape.sections import slice_skin

FACETS = 1 - np.cos(np.pi / 48)
"""How much narrower a circle of 48 sides is between its flats than across its corners [-]."""


def cavity(*solids):
    drawn = [Mesh(vertices_m=np.array(one.vertices) * made.MM, faces=np.array(one.faces)) for one in solids]
    placed, _ = to_body(drawn, "+z")
    mended = [repaired(mesh) for mesh in placed]
    parts = [Printed(name=f"part {n}", mended=one, outside=True) for n, one in enumerate(mended)]
    return cavity_of(parts, slice_skin(mended))


@pytest.fixture(scope="module")
def tower():
    return cavity(*made.tower().values())


@pytest.fixture(scope="module")
def rodded():
    return cavity(*made.rodded().values())


def test_the_motors_bore_is_as_wide_and_deep_as_it_was_cut(tower) -> None:
    """A bore of 54.4 mm, 219 mm deep: its facets make it a little narrower."""
    room = motor_room(tower)
    assert 0.0544 * (1 - FACETS) - 1e-6 <= room.across_m <= 0.0544
    assert room.depth_m(0.054) == pytest.approx(0.219, abs=2e-4)
    assert room.depth_m(0.055) == 0.0
    assert room.is_bore


def test_rooms_are_told_from_tip_to_base(tower) -> None:
    bay, bore = rooms_on_axis(tower)
    assert (bay.fore_m, bay.aft_m) == pytest.approx((0.16, 0.36), abs=1e-4)
    assert 0.076 * (1 - FACETS) - 1e-6 <= bay.across_m <= 0.076
    assert bay.is_round
    assert bay.is_straight
    assert bore.aft_m == pytest.approx(0.62, abs=1e-4)


def test_a_shell_is_room_and_no_bore() -> None:
    """A cone inside: a thin motor goes in farther than a thick one, by the slope that was drawn."""
    room = motor_room(cavity(made.shell()))
    assert not room.is_bore
    assert room.across_m == pytest.approx(0.106, rel=FACETS + 1e-3)
    # The straight tube inside is 500 mm long; ahead of it the cone narrows from 106 to 12 mm in 176 mm.
    assert room.depth_m(0.059) == pytest.approx(0.5 + 0.176 / 2, abs=0.005)


@pytest.mark.parametrize("lean", [1.0, 0.3])
def test_a_bore_that_opens_into_a_cone_is_a_bore_still(lean: float) -> None:
    """As it prints without support: 39 mm across and 170 mm deep, then 45 degrees or steeper to 80 mm."""
    opening = made.trimesh.creation.revolve(
        [[0, -1], [19.5, -1], [19.5, 170], [40, 170 + 20.5 / lean], [40, 300], [0, 300]], sections=96
    )
    made_of = cavity(made.difference([made.rod(110, 340), opening]))
    room = motor_room(made_of)
    assert room.is_bore
    assert room.across_m == pytest.approx(0.039, rel=3 * FACETS)
    ahead, bore = rooms_on_axis(made_of)
    assert (bore.fore_m, bore.aft_m) == pytest.approx((0.17, 0.34), abs=2.5e-3)
    assert ahead.fore_m == pytest.approx(0.04, abs=1e-3)


def test_a_square_room_is_not_round() -> None:
    box = made.difference([made.block((120, 120, 400), 0), made.block((80, 80, 200), 100)])
    [room] = rooms_on_axis(cavity(box))
    assert not room.is_round
    assert room.across_m == pytest.approx(0.08, abs=1e-6)


def test_a_closed_base_has_no_room_for_a_motor() -> None:
    assert motor_room(cavity(made.rod(50, 400))) is None


def test_four_holes_for_rods_are_one_set(rodded) -> None:
    """Holes of 6.6 mm on a circle of 76 mm from 45 degrees on, through 519 mm of two blocks."""
    [found] = holes_beside_axis(rodded)
    assert found.count == 4
    assert found.across_m == pytest.approx(0.0066, rel=0.004)  # a 48-gon has 0.3 % less area than its circle
    assert found.on_circle_m == pytest.approx(0.076, abs=1e-5)
    assert np.degrees(found.first_at_rad) == pytest.approx(45.0, abs=0.1)
    assert (found.fore_m, found.aft_m) == pytest.approx((0.151, 0.67), abs=1e-3)


@pytest.mark.parametrize(
    "holes",
    [
        [(38, 0), (0, 38)],  # two, a quarter turn apart: not even
        [(38, 0)],
        [(38, 0), (-30, 0)],  # not on one circle
    ],
)
def test_holes_that_are_no_even_set_are_left_alone(holes) -> None:
    cut = made.difference([made.block((110, 110, 200), 0), *(made.rod(3.3, 250, -1, x, y) for x, y in holes)])
    assert holes_beside_axis(cavity(cut)) == ()


def test_wide_holes_and_shallow_ones_are_none_for_rods() -> None:
    wide = [made.rod(12, 250, -1, x, 0) for x in (38, -38)]
    shallow = [made.rod(3.3, 15, -1, 0, y) for y in (38, -38)]
    assert holes_beside_axis(cavity(made.difference([made.block((110, 110, 200), 0), *wide, *shallow]))) == ()


def test_depth_stops_where_it_first_narrows() -> None:
    waist = MotorRoom(
        across_m=0.06,
        is_bore=False,
        stations_m=np.array([1.0, 0.8, 0.6, 0.4]),
        clear_m=np.array([0.06, 0.06, 0.04, 0.06]),
    )
    assert waist.depth_m(0.05) == pytest.approx(0.2)
    assert waist.depth_m(0.03) == pytest.approx(0.6)


def test_a_recess_for_a_plate_is_looked_through() -> None:
    """A bore of 54.4 mm behind which 8 mm are bored to 90 mm: the bore is what a motor goes into."""
    cut = made.difference([made.rod(60, 400), made.rod(27.2, 301, -1), made.rod(45, 9, -1)])
    room = motor_room(cavity(cut))
    assert room.is_bore
    assert room.across_m == pytest.approx(0.0544, rel=FACETS + 1e-5)
    assert room.depth_m(room.across_m) == pytest.approx(0.3, abs=2e-4)


def test_a_ring_at_the_base_is_what_a_motor_passes() -> None:
    """A wide room behind a ring: the ring's hole says how thick a motor may be."""
    cut = made.difference([made.rod(60, 400), made.rod(27.2, 50, -1), made.rod(50, 300, 40)])
    room = motor_room(cavity(cut))
    assert room.across_m == pytest.approx(0.0544, rel=FACETS + 1e-5)
    assert room.depth_m(0.054) == pytest.approx(0.34, abs=2e-3)
