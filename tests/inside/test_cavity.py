"""Plastic and room at every station, against the volumes of a general mesh library and by hand."""

import math
from pathlib import Path

import numpy as np
import pytest
import trimesh

from finial.inside.walls import drawn_walls, overlaps
from finial.printing.walls import PrintedWalls


def room_m3(cavity) -> float:
    import shapely

    return float(np.trapezoid(shapely.area(cavity.free), cavity.stations_m))


def test_a_solid_mesh_has_no_room(shapes):
    cavity = shapes.inside_of(shapes.printed("post", shapes.joined(shapes.block(0.1, 0.5))))
    assert room_m3(cavity) == 0.0
    assert not drawn_walls(cavity)


def test_a_closed_cavity_is_room_of_its_own_size(shapes):
    mesh = shapes.joined(shapes.block(0.1, 0.5), shapes.room(0.06, 0.2, 0.1))
    cavity = shapes.inside_of(shapes.printed("post", mesh))
    assert room_m3(cavity) == pytest.approx(0.06**2 * 0.2, rel=1e-3)
    (wall,) = drawn_walls(cavity)
    assert wall.thickness_m == pytest.approx(0.02, rel=1e-6)
    assert 0.1 <= wall.station_m <= 0.3


def test_two_cavities_are_both_room(shapes):
    rooms = [shapes.room(0.06, 0.1, 0.05), shapes.room(0.08, 0.1, 0.3)]
    cavity = shapes.inside_of(shapes.printed("post", shapes.joined(shapes.block(0.1, 0.5), *rooms)))
    assert room_m3(cavity) == pytest.approx((0.06**2 + 0.08**2) * 0.1, rel=1e-3)
    assert drawn_walls(cavity)[0].thickness_m == pytest.approx(0.01, rel=1e-6)


def test_a_body_in_a_cavity_fills_what_it_covers(shapes):
    mesh = shapes.joined(shapes.block(0.1, 0.5), shapes.room(0.06, 0.2, 0.1), shapes.block(0.02, 0.5))
    cavity = shapes.inside_of(shapes.printed("post", mesh))
    assert room_m3(cavity) == pytest.approx((0.06**2 - 0.02**2) * 0.2, rel=1e-3)


def test_infill_is_no_room_and_its_absence_is(shapes):
    mesh = shapes.joined(shapes.block(0.1, 0.5))
    full = shapes.printed("post", mesh, walls=PrintedWalls(wall_m=0.002, infill=0.05))
    bare = shapes.printed("post", mesh, walls=PrintedWalls(wall_m=0.002, infill=0.0))
    assert room_m3(shapes.inside_of(full)) == 0.0
    # Walls, floor and roof of 2 mm; cuts every 2.5 mm smear the two ends.
    assert room_m3(shapes.inside_of(bare)) == pytest.approx(0.096**2 * 0.496, rel=5e-3)


def test_a_hole_that_is_said_is_room(shapes):
    bore = shapes.hole(0.06, 0.2, 0.5, offset_m=(0.01, 0.0), tilt_rad=math.radians(5))
    part = shapes.printed("post", shapes.joined(shapes.block(0.1, 0.5)), bore)
    # The bore's own length lies along its axis, and its ends are square to it.
    assert room_m3(shapes.inside_of(part)) == pytest.approx(math.pi / 4 * 0.06**2 * 0.3, rel=5e-3)


def test_what_stands_between_two_towers_is_not_room(shapes):
    towers = [shapes.block(0.08, 0.8) + np.array([0.0, side, 0.0]) for side in (-0.09, 0.09)]
    cavity = shapes.inside_of(shapes.printed("towers", shapes.joined(*towers)))
    assert room_m3(cavity) == 0.0
    assert float(cavity.skin[len(cavity.skin) // 2].area) == pytest.approx(2 * 0.08**2)


def test_the_room_of_the_lighthouse_is_that_of_its_mesh():
    """Volume between hull and plastic against trimesh: signed volumes of the middle tower and its hull."""
    from finial.files.meshes import read_mesh
    from finial.inside.cavity import Printed, cavity_of
    from finial.shape.mesh import Mesh
    from finial.shape.placing import to_body
    from finial.shape.repair import repaired
    from finial.shape.sections import slice_skin

    path = Path(__file__).parents[2] / "examples" / "skerry-light" / "meshes" / "tower-middle.stl"
    raw = read_mesh(path, "mm")
    ((mesh,), _) = to_body([Mesh(vertices_m=raw.vertices_m, faces=raw.faces)], "+z")
    cavity = cavity_of([Printed(name="tower", mended=repaired(mesh), outside=True)], slice_skin([mesh]))
    drawn = trimesh.load_mesh(path)
    drawn.merge_vertices()
    bore_m3 = (drawn.convex_hull.volume - drawn.volume) * 1e-9
    assert room_m3(cavity) == pytest.approx(bore_m3, rel=2e-3)


def test_parts_that_stand_in_one_another_are_found(shapes):
    upper = shapes.printed("upper", shapes.joined(shapes.block(0.1, 0.3)))
    lower = shapes.printed("lower", shapes.joined(shapes.block(0.1, 0.3, 0.29)))
    (found,) = overlaps(shapes.inside_of(upper, lower))
    assert {found.first, found.second} == {"upper", "lower"}
    assert found.depth_m == pytest.approx(0.01)
    assert 0.29 < found.station_m < 0.30


def test_a_shoulder_in_its_bore_is_clear(shapes):
    shoulder = shapes.block(0.059, 0.04, 0.3)
    upper = shapes.printed("upper", shapes.joined(shapes.block(0.1, 0.3), shoulder))
    lower = shapes.printed(
        "lower", shapes.joined(shapes.block(0.1, 0.3, 0.3)), shapes.hole(0.06 * math.sqrt(2), 0.3, 0.45)
    )
    assert not list(overlaps(shapes.inside_of(upper, lower)))


def test_a_cone_s_wall_is_measured_square_to_it(shapes):
    """A cone of half angle 45 deg whose inner cone stands 10 mm lower: 10 mm times sin 45 deg thick."""
    from finial.shape.mesh import Mesh
    from finial.shape.tiers import Tier, tiers_mesh

    outer = tiers_mesh([Tier(sides=0, across_m=0.4, across_top_m=0.0, height_m=0.2)]).triangles_m
    inner = outer * [0.9, 0.9, 0.9] - [0.01, 0.0, 0.0]
    triangles = np.concatenate([outer, inner[:, ::-1]])
    mesh = Mesh(vertices_m=triangles.reshape(-1, 3), faces=np.arange(3 * len(triangles)).reshape(-1, 3))
    (wall,) = drawn_walls(shapes.inside_of(shapes.printed("hat", mesh)))
    assert wall.thickness_m == pytest.approx(0.01 * math.sin(math.pi / 4), rel=0.03)


@pytest.mark.parametrize(
    ("off_m", "wall_m"),
    [(0.0, 0.02), (0.019, 0.001), (0.021, 0.0), (0.05, 0.0)],
    ids=["amid", "in", "out", "rim"],
)
def test_a_hole_that_leaves_the_outline_leaves_no_wall(shapes, off_m: float, wall_m: float):
    """A hole of 60 mm in a post of 100 mm reaches its side where it stands 20 mm aside."""
    bore = shapes.hole(0.06, 0.1, 0.4, offset_m=(off_m, 0.0))
    cavity = shapes.inside_of(shapes.printed("post", shapes.joined(shapes.block(0.1, 0.5)), bore))
    (wall,) = drawn_walls(cavity)
    assert wall.thickness_m == pytest.approx(wall_m, abs=1e-4)
    assert 0.1 <= wall.station_m <= 0.4


def test_a_hole_that_takes_the_whole_part_leaves_no_wall(shapes):
    wide = shapes.hole(0.2, 0.1, 0.4)
    cavity = shapes.inside_of(shapes.printed("post", shapes.joined(shapes.block(0.1, 0.5)), wide))
    assert [wall.thickness_m for wall in drawn_walls(cavity)] == [0.0]
