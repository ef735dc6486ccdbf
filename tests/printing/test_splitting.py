"""Parts in pieces: volumes against formulas, files read back by a library of others."""

import math

import manifold3d
import numpy as np
import pytest
from solids import prism_area, read_back, tube

from finial.core.errors import MeshError, OutsideRange
from finial.printing.frames import across_body, along_body, region_at
from finial.printing.joints import END_PLAY_M, Dowels, JointKind
from finial.printing.numbers import DEPTH_M, Marking, digits, notches, place_for, sunk
from finial.printing.sound import VOLUME_SHARE, sound
from finial.printing.splitting import Clearances, lengthwise_cut, split, station_cut
from finial.printing.thin_places import thin_share
from finial.shape.united import mesh_of

PLAY = Clearances(across_m=0.3e-3, wall_m=1.2e-3)
PINS = Dowels(count=4, diameter_m=5e-3, depth_m=12e-3)
OUTER, INNER, LENGTH = 0.100, 0.060, 0.4


@pytest.fixture(scope="module")
def whole():
    return tube(LENGTH, OUTER, INNER)


def hole_m3() -> float:
    """Of one dowel in one piece: a prism of 48 sides round the circle."""
    radius = (PINS.diameter_m + PLAY.across_m) / 2
    return 48 * radius**2 * math.tan(math.pi / 48) * (PINS.depth_m + END_PLAY_M)


def test_glued_pieces_add_up_to_the_part(whole) -> None:
    parted = split(whole, [station_cut(0.13, JointKind.GLUE), station_cut(0.3, JointKind.GLUE)], PLAY)
    volumes = [piece.volume() for piece in parted.pieces]
    assert sum(volumes) == pytest.approx(whole.volume(), rel=1e-9)
    area = prism_area(OUTER) - prism_area(INNER)
    assert volumes == pytest.approx([0.13 * area, 0.17 * area, 0.1 * area], rel=1e-9)
    assert [joint.glue_area_m2 for joint in parted.joints] == pytest.approx([area, area], rel=1e-6)


def test_dowels_leave_their_holes_in_both_sides(whole) -> None:
    parted = split(whole, [station_cut(0.2, JointKind.DOWELS, PINS)], PLAY)
    (joint,) = parted.joints
    assert (joint.kind, len(joint.places_m)) == (JointKind.DOWELS, 4)
    missing = whole.volume() - sum(piece.volume() for piece in parted.pieces)
    assert missing == pytest.approx(2 * 4 * hole_m3(), rel=1e-6)
    # A quarter of the circle between neighbours, plastic of a wall round each.
    places = np.array(joint.places_m)
    reach = np.linalg.norm(places, axis=1)
    assert reach.min() - PINS.diameter_m / 2 >= INNER / 2 * math.cos(math.pi / 64) + PLAY.wall_m - 1e-6
    assert reach.max() + PINS.diameter_m / 2 <= OUTER / 2 - PLAY.wall_m + 1e-6
    apart = [np.linalg.norm(a - b) for n, a in enumerate(places) for b in places[:n]]
    assert min(apart) > 0.04


def test_walls_too_thin_for_dowels_are_glued() -> None:
    thin = tube(LENGTH, 0.1, 0.094)
    (joint,) = split(thin, [station_cut(0.2, JointKind.DOWELS, PINS)], PLAY).joints
    assert (joint.kind, joint.places_m, joint.dowels) == (JointKind.GLUE, (), None)


def test_a_lip_goes_into_its_groove_with_play(whole) -> None:
    parted = split(whole, [station_cut(0.2, JointKind.LIP, None, 5e-3)], PLAY)
    fore, aft = parted.pieces
    assert (fore ^ aft).volume() == pytest.approx(0.0, abs=1e-12)
    lip = (prism_area(OUTER - 2 * PLAY.wall_m) - prism_area(INNER + 2 * PLAY.wall_m)) * 5e-3
    half = 0.2 * (prism_area(OUTER) - prism_area(INNER))
    assert fore.volume() == pytest.approx(half + lip, rel=2e-4)
    assert aft.volume() < half - lip
    assert parted.joints[0].lip_m == 5e-3


def test_cuts_along_make_quarters_and_no_dowel_is_cut_in_two(whole) -> None:
    cuts = [
        lengthwise_cut(math.pi / 4, JointKind.DOWELS, PINS),
        lengthwise_cut(3 * math.pi / 4, JointKind.DOWELS, PINS),
    ]
    parted = split(whole, cuts, PLAY)
    assert len(parted.pieces) == 4
    volumes = [piece.volume() for piece in parted.pieces]
    assert sum(volumes) == pytest.approx(whole.volume() - 2 * 8 * hole_m3(), rel=1e-6)
    assert max(volumes) == pytest.approx(min(volumes), rel=0.02)


def width_m(body) -> float:
    return float(np.ptp(mesh_of(body).vertices_m[:, 1]))


def test_what_fits_the_bed_is_not_cut_along_with_what_does_not(whole) -> None:
    """A tube of 30 mm within one of 100 mm, as a motor's mount in a body: only the outer one is cut."""
    mount = tube(LENGTH, 0.030, 0.020)
    cuts = [lengthwise_cut(math.pi / 4, JointKind.GLUE), station_cut(0.2, JointKind.GLUE)]
    parted = split(manifold3d.Manifold.compose([whole, mount]), cuts, PLAY, lambda body: width_m(body) < 0.05)
    assert len(parted.pieces) == 2 * (2 + 1)
    inner = [piece.volume() for piece in parted.pieces if width_m(piece) < 0.05]
    assert inner == pytest.approx(2 * [mount.volume() / 2], rel=1e-6)
    assert [cut.is_across for cut in parted.cuts] == [True, False]
    # Both sides of a cut through the axis of the outer tube, and nothing of the inner one.
    walls = (OUTER - INNER) * LENGTH
    assert parted.joints[1].glue_area_m2 == pytest.approx(walls, rel=2e-3)


def test_a_cut_along_that_meets_no_plastic_joins_nothing() -> None:
    """Two legs on either side of it."""
    legs = [manifold3d.Manifold.cube((0.2, 0.04, 0.1)).translate((-0.2, y, -0.05)) for y in (0.1, -0.14)]
    cuts = [lengthwise_cut(roll, JointKind.DOWELS, PINS) for roll in (0.0, math.pi / 2)]
    parted = split(manifold3d.Manifold.compose(legs), cuts, PLAY)
    assert len(parted.pieces) == 4
    assert [round(joint.plane.normal[2], 9) for joint in parted.joints] == [1.0]


def test_bodies_that_hang_on_nothing_are_pieces_of_their_own_and_chips_are_swept() -> None:
    posts = [manifold3d.Manifold.cube((0.1, 0.02, 0.02)).translate((-0.1, y, 0.0)) for y in (0.0, 0.1)]
    chip = manifold3d.Manifold.cube((1e-3, 1e-3, 1e-3)).translate((-0.05, 0.3, 0.0))
    parted = split(manifold3d.Manifold.compose([*posts, chip]), [station_cut(0.04, JointKind.GLUE)], PLAY)
    assert len(parted.pieces) == 4
    assert (parted.scraps, parted.scrap_m3) == (1, pytest.approx(1e-9))


def test_a_piece_read_back_is_closed_and_as_large(whole) -> None:
    """Read by trimesh, a library of others."""
    parted = split(whole, [station_cut(0.2, JointKind.DOWELS, PINS)], PLAY)
    for number, piece in enumerate(parted.pieces, start=1):
        kept = sound(piece.scale((1e3, 1e3, 1e3)).translate((450.0, 60.0, 60.0)), f"piece {number}")
        own, other = read_back(kept)
        assert other.is_watertight
        assert other.body_count == 1
        assert other.volume == pytest.approx(1e9 * piece.volume(), rel=VOLUME_SHARE)
        assert np.ptp(own.vertices_m, axis=0)[0] == pytest.approx(200.0, abs=1e-3)


def test_what_no_rounding_keeps_whole_is_refused() -> None:
    cubes = manifold3d.Manifold.compose(
        [
            manifold3d.Manifold.cube((10.0, 10.0, 10.0)),
            manifold3d.Manifold.cube((10.0, 10.0, 10.0)).translate((50.0, 0, 0)),
        ]
    )
    with pytest.raises(MeshError, match=r"two cubes: .* several bodies"):
        sound(cubes, "two cubes")


def test_a_thin_shell_is_written_with_the_volume_that_rounding_leaves() -> None:
    """Half a millimetre round 80 mm: a last bit moves more than a millionth of so little plastic."""
    for shift in (0.0, 17.3, 41.9):
        outer = manifold3d.Manifold.cylinder(250.0, 40.0, 40.0, 64)
        shell = (outer - outer.scale((0.9875, 0.9875, 1.0))).translate((100.0 + shift, 100.0, 0.0))
        kept = sound(shell, "shell")
        assert kept.volume_mm3 == pytest.approx(shell.volume(), rel=1e-4)


def test_frames_turn_there_and_back() -> None:
    box = manifold3d.Manifold.cube((0.1, 0.2, 0.3)).translate((-0.7, -0.1, -0.05))
    for plane in (across_body(0.65), along_body(0.4, 0.01), along_body(2.9)):
        again = plane.back(plane.flat(box))
        assert np.allclose(again.bounding_box(), box.bounding_box(), atol=1e-12)
        assert np.linalg.det(plane.turn) == pytest.approx(1.0)
    assert region_at(across_body(0.65).flat(box), 0.0).area == pytest.approx(0.06)


@pytest.mark.parametrize("number", [1, 7, 24, 68])
def test_a_number_is_sunk_by_its_strokes(number: int) -> None:
    block = manifold3d.Manifold.cube((0.05, 0.06, 0.06)).translate((-0.05, -0.03, -0.03))
    face = across_body(0.0)
    mark = place_for(block, face, number, 1e-3)
    assert mark is not None
    marked = sunk(block, mark, number)
    gone = digits(number, mark.height_m).area * DEPTH_M
    assert block.volume() - marked.volume() == pytest.approx(gone, rel=1e-6)
    assert len(marked.decompose()) == 1


def test_digits_read_right_from_outside_either_face() -> None:
    """A 7 has its long stroke on the right as the reader sees it, on the fore face and on the aft one."""
    block = manifold3d.Manifold.cube((0.05, 0.06, 0.06)).translate((-0.05, -0.03, -0.03))
    from dataclasses import replace

    aft = replace(across_body(0.0), normal=(-1.0, 0.0, 0.0), offset_m=0.05)
    for plane in (across_body(0.0), aft):
        mark = place_for(block, plane, 7, 1e-3)
        strokes = plane.flat(block - sunk(block, mark, 7))
        assert np.linalg.det(plane.turn) == pytest.approx(1.0)
        region = region_at(strokes, -DEPTH_M / 2)
        centred = region.centroid.x - (region.bounds[0] + region.bounds[2]) / 2
        assert centred > 0.0


def test_no_room_no_number() -> None:
    wire = manifold3d.Manifold.cube((0.05, 0.004, 0.004)).translate((-0.05, 0.0, 0.0))
    assert place_for(wire, across_body(0.0), 3, 1e-3) is None


def test_dowels_of_nothing_are_refused() -> None:
    with pytest.raises(OutsideRange, match="dowels need"):
        Dowels(count=0, diameter_m=5e-3, depth_m=1e-2)
    with pytest.raises(OutsideRange, match="a wall is zero or more"):
        split(
            tube(0.1, 0.1, 0.05),
            [station_cut(0.05, JointKind.DOWELS, PINS)],
            Clearances(across_m=0.0, wall_m=-1.0),
        )


def test_meshes_of_solids_hold_their_volume(whole) -> None:
    import trimesh

    mesh = mesh_of(whole)
    assert trimesh.Trimesh(mesh.vertices_m, mesh.faces).volume == pytest.approx(whole.volume(), rel=1e-9)


def test_notches_stand_where_digits_find_no_room() -> None:
    """Counted by hand: 23 are two of 0.8 by 2.4 mm and three of 0.8 mm square, in a wall of 2 mm."""
    ring = tube(0.1, 0.1, 0.096)
    face = across_body(0.0)
    mark = place_for(ring, face, 23, 0.6e-3)
    assert mark is not None
    assert mark.mark is Marking.NOTCHES
    assert notches(23).area == pytest.approx(2 * 0.8e-3 * 2.4e-3 + 3 * (0.8e-3) ** 2)
    marked = sunk(ring, mark, 23)
    assert ring.volume() - marked.volume() == pytest.approx(notches(23).area * DEPTH_M, rel=1e-6)
    assert len(marked.decompose()) == 1
    assert place_for(tube(0.1, 0.1, 0.0986), face, 23, 0.6e-3) is None
    with pytest.raises(OutsideRange, match="numbers from 1 up"):
        notches(0)


def test_walls_thinner_than_two_lines_are_found_in_a_cut() -> None:
    """A tube with walls of 0.8 mm is thin all over for 0.9 mm, of 1 mm nowhere."""
    assert thin_share(tube(0.1, 0.1, 0.0984, 96), 0.05, 0.9e-3) == pytest.approx(1.0)
    assert thin_share(tube(0.1, 0.1, 0.098, 96), 0.05, 0.9e-3) < 0.01
    assert thin_share(tube(0.1, 0.1, 0.098, 96), 0.2, 0.9e-3) == 0.0
    with pytest.raises(OutsideRange, match="thin_m"):
        thin_share(tube(0.1, 0.1, 0.098), 0.05, 0.0)


def test_a_closed_cavity_stays_in_its_piece_and_what_lies_loose_in_it_is_a_piece() -> None:
    """A box of 60 mm with a cavity of 40 mm and a ball loose in it: by hand, and cut through the middle."""
    box = manifold3d.Manifold.cube((0.06,) * 3, True) - manifold3d.Manifold.cube((0.04,) * 3, True)
    box = (box + manifold3d.Manifold.cube((0.01,) * 3, True)).translate((-0.03, 0.0, 0.0))
    play = Clearances(across_m=0.3e-3, wall_m=1e-3)
    pieces = split(box, (), play).pieces
    assert sorted(one.volume() for one in pieces) == pytest.approx([0.01**3, 0.06**3 - 0.04**3])
    whole = max(pieces, key=lambda one: one.volume())
    assert sound(whole.scale((1e3, 1e3, 1e3)), "box").volume_mm3 == pytest.approx(60**3 - 40**3)
    halves = split(whole, (station_cut(0.03, JointKind.GLUE),), play).pieces
    assert [one.volume() for one in halves] == pytest.approx([(0.06**3 - 0.04**3) / 2] * 2)
