"""Edges, bodies, rims and cuts of meshes small enough to count by hand."""

import numpy as np
import pytest

from finial.shape.bodies import body_of_each_face, hosts_of, signed_volumes_m3, turned_faces
from finial.shape.cut import cuts
from finial.shape.edges import edge_table
from finial.shape.holes import capped
from finial.shape.mesh import Mesh
from finial.shape.placing import to_body
from finial.shape.refining import finer
from finial.shape.stations import BESIDE_STEP_M, Step, first_cuts, steps

TETRAHEDRON = np.array([[0, 2, 1], [0, 1, 3], [0, 3, 2], [1, 2, 3]])


def box(low: tuple[float, float, float], high: tuple[float, float, float]) -> Mesh:
    """A closed box of twelve faces that look outward."""
    corners = np.array(
        [[x, y, z] for x in (low[0], high[0]) for y in (low[1], high[1]) for z in (low[2], high[2])]
    )
    quads = [(0, 1, 3, 2), (4, 6, 7, 5), (0, 4, 5, 1), (2, 3, 7, 6), (0, 2, 6, 4), (1, 5, 7, 3)]
    faces = [triangle for a, b, c, d in quads for triangle in ((a, b, c), (a, c, d))]
    return Mesh(vertices_m=corners, faces=np.array(faces))


def together(*meshes: Mesh) -> Mesh:
    starts = np.cumsum([0, *(len(mesh.vertices_m) for mesh in meshes)])
    return Mesh(
        vertices_m=np.concatenate([mesh.vertices_m for mesh in meshes]),
        faces=np.concatenate([mesh.faces + start for mesh, start in zip(meshes, starts[:-1], strict=True)]),
    )


def without(mesh: Mesh, *faces: int) -> Mesh:
    return Mesh(vertices_m=mesh.vertices_m, faces=np.delete(mesh.faces, faces, axis=0))


def test_a_tetrahedron_has_six_edges_that_each_join_two_faces() -> None:
    edges = edge_table(TETRAHEDRON)
    assert edges.count.tolist() == [2] * 6
    assert len(edges.open_half_edges) == 0
    pairs = edges.pairs
    assert pairs.shape == (6, 2)
    for one, other in pairs:
        assert (edges.tail[one], edges.head[one]) == (edges.head[other], edges.tail[other])
    joined = {tuple(sorted(pair)) for pair in (pairs // 3).tolist()}
    assert len(joined) == 6, "each face beside each other one"


def test_a_missing_face_leaves_its_three_edges_open_and_an_edge_of_four_faces_makes_two_pairs() -> None:
    open_ = edge_table(TETRAHEDRON[:3])
    ends = {(int(open_.tail[half]), int(open_.head[half])) for half in open_.open_half_edges}
    assert ends == {(2, 1), (1, 3), (3, 2)}
    # Two more faces on the edge 0-1: in the order of the file the first two belong together, then the others.
    fan = np.array([[0, 1, 2], [1, 0, 3], [0, 1, 4], [1, 0, 5]])
    pairs = edge_table(fan).pairs
    assert (pairs // 3).tolist() == [[0, 1], [2, 3]]


def test_bodies_are_counted_by_what_hangs_together() -> None:
    two = together(box((0, 0, 0), (1, 1, 1)), box((2, 0, 0), (3, 1, 1)))
    body = body_of_each_face(edge_table(two.faces))
    assert body[:12].tolist() == [body[0]] * 12
    assert body[12:].tolist() == [body[12]] * 12
    assert body[0] != body[12]


def test_the_faces_that_look_the_other_way_are_the_few() -> None:
    """Three faces of twelve turned round are the turned ones; nine turned leave the other three."""
    cube = box((0, 0, 0), (1, 1, 1))
    turned = np.isin(np.arange(12), [2, 5, 7])
    mixed = np.where(turned[:, None], cube.faces[:, ::-1], cube.faces)
    edges = edge_table(mixed)
    assert turned_faces(edges, body_of_each_face(edges)).tolist() == turned.tolist()
    most = np.where(turned[:, None], cube.faces, cube.faces[:, ::-1])
    edges = edge_table(most)
    assert turned_faces(edges, body_of_each_face(edges)).tolist() == turned.tolist()
    edges = edge_table(cube.faces)
    assert not turned_faces(edges, body_of_each_face(edges)).any()


def test_a_hole_within_a_body_has_less_than_no_volume_and_knows_its_host() -> None:
    outer, inner = box((0, 0, 0), (4, 4, 4)), box((1, 1, 1), (2, 2, 2))
    aside = box((10, 0, 0), (12, 2, 2))
    hollow = Mesh(vertices_m=inner.vertices_m, faces=inner.faces[:, ::-1])
    whole = together(aside, outer, hollow)
    body = body_of_each_face(edge_table(whole.faces))
    volumes = signed_volumes_m3(whole, body)
    assert volumes == pytest.approx([8.0, 64.0, -1.0])
    assert hosts_of(whole, body, volumes).tolist() == [-1, -1, 1]
    # Of two shells round it the smaller is the host; one beside everything has none.
    nested = together(box((-1, -1, -1), (9, 9, 9)), outer, hollow)
    body = body_of_each_face(edge_table(nested.faces))
    assert hosts_of(nested, body, signed_volumes_m3(nested, body)).tolist() == [-1, -1, 1]
    lost = together(outer, Mesh(vertices_m=hollow.vertices_m + 20.0, faces=hollow.faces))
    body = body_of_each_face(edge_table(lost.faces))
    assert hosts_of(lost, body, signed_volumes_m3(lost, body)).tolist() == [-1, -1]


def test_a_hole_is_capped_so_that_the_volume_is_whole_again() -> None:
    cube = box((0, 0, 0), (1, 1, 1))
    holed = without(cube, 2, 3)
    found = capped(holed, edge_table(holed.faces))
    assert (found.holes, found.open_edges) == (1, 0)
    assert found.widest_m == pytest.approx(np.sqrt(2.0))
    edges = edge_table(found.mesh.faces)
    assert len(edges.open_half_edges) == 0
    assert not turned_faces(edges, body_of_each_face(edges)).any()
    assert signed_volumes_m3(found.mesh, body_of_each_face(edges)) == pytest.approx([1.0])


def test_a_rim_bent_round_a_corner_is_left_open_if_it_is_wide() -> None:
    """Two sides of the cube are gone: the rim is as wide as the body and not flat."""
    cube = box((0, 0, 0), (1, 1, 1))
    holed = without(cube, 2, 3, 8, 9)
    found = capped(holed, edge_table(holed.faces))
    assert (found.holes, found.widest_m) == (0, 0.0)
    assert found.open_edges == len(edge_table(holed.faces).open_half_edges) == 6
    assert found.mesh is holed


def test_two_holes_are_two_caps() -> None:
    cube = box((0, 0, 0), (1, 1, 3))
    holed = without(cube, 0, 1, 2, 3)
    found = capped(holed, edge_table(holed.faces))
    assert found.holes == 2
    assert len(found.mesh.vertices_m) == 10
    assert signed_volumes_m3(found.mesh, np.zeros(len(found.mesh.faces), dtype=int)) == pytest.approx([3.0])


def test_planes_cut_a_box_in_its_outline_and_miss_it_beyond() -> None:
    """The axis points forward: the box from x = -3 to 0 lies at stations 0 to 3."""
    found = cuts(box((-3, 0, 0), (0, 1, 2)), np.array([-0.5, 0.5, 2.9, 3.5]))
    assert [len(cut.loops) for cut in found] == [0, 1, 1, 0]
    for cut in found[1:3]:
        (loop,) = cut.loops
        assert loop.min(axis=0) == pytest.approx([0.0, 0.0])
        assert loop.max(axis=0) == pytest.approx([1.0, 2.0])
        y, z = loop.T
        assert abs(np.sum(y * np.roll(z, -1) - np.roll(y, -1) * z)) / 2 == pytest.approx(2.0)
    assert all(len(cut.loose_m) == 0 for cut in found)


def test_an_open_box_gives_loose_segments_as_long_as_its_walls() -> None:
    open_ = without(box((-3, 0, 0), (0, 1, 2)), 4, 5)
    (cut,) = cuts(open_, np.array([1.0]))
    assert cut.loops == ()
    lengths = np.linalg.norm(cut.loose_m[:, 1] - cut.loose_m[:, 0], axis=1)
    assert lengths.sum() == pytest.approx(6.0 - lengths_of_missing())


def lengths_of_missing() -> float:
    """Faces 4 and 5 of the box are its wall at y = 0, two long across."""
    return 2.0


def test_two_boxes_are_two_loops_each_closed_by_itself() -> None:
    two = together(box((-3, 0, 0), (0, 1, 1)), box((-2, 5, 0), (-1, 6, 1)))
    found = cuts(two, np.array([0.5, 1.5, 2.5]))
    assert [len(cut.loops) for cut in found] == [1, 2, 1]


def test_steps_are_where_flat_faces_look_along_the_axis() -> None:
    """A body of two boxes: faces at stations 0, 1 and 3, those at 1 seen as one step."""
    stack = [box((-1, -1, -1), (0, 1, 1)), box((-3, -2, -2), (-1, 2, 2))]
    found = steps(stack, 16.0)
    assert [(round(step.fore_m, 9), round(step.aft_m, 9)) for step in found] == [(0, 0), (1, 1), (3, 3)]
    apart = [stack[0], box((-3, -2, -2), (-1.0002, 2, 2))]
    assert [step.aft_m - step.fore_m for step in steps(apart, 16.0)] == pytest.approx(
        [0.0, 0.0002, 0.0], abs=1e-9
    )
    farther = [stack[0], box((-3, -2, -2), (-1.0004, 2, 2))]
    assert len(steps(farther, 16.0)) == 4
    # What is less than a thousandth of the body's section across is no step.
    assert len(steps(stack, 4_100.0)) == 2
    assert (
        steps(
            [Mesh(vertices_m=np.array([[0, 0, 0], [-1, 0, 0], [-1, 1, 0.0]]), faces=np.array([[0, 1, 2]]))],
            1.0,
        )
        == ()
    )


def test_cuts_stand_on_both_sides_of_a_step_and_never_far_apart() -> None:
    stack = [box((-1, -1, -1), (0, 1, 1)), box((-3, -2, -2), (-1, 2, 2))]
    stations = first_cuts(stack, 3.0, steps(stack, 16.0))
    assert stations[0] == pytest.approx(BESIDE_STEP_M)
    assert stations[-1] == pytest.approx(3.0 - BESIDE_STEP_M)
    for side in (1.0 - BESIDE_STEP_M, 1.0 + BESIDE_STEP_M):
        assert np.abs(stations - side).min() < 1e-9
    gaps = np.diff(stations)
    assert gaps.max() <= 3.0 / 60 + 1e-9
    assert np.sort(gaps)[1] > 3.0 / 2000, "but for the step itself no two crowd"
    pointed = first_cuts(stack, 3.0, ())
    assert (pointed[0], pointed[-1]) == pytest.approx((3e-4, 3.0 - 3e-4))
    inner = first_cuts(stack, 3.0, [Step(fore_m=1.0, aft_m=1.0)])
    assert (inner[0], inner[-1]) == pytest.approx((3e-4, 3.0 - 3e-4))


def test_finer_cuts_go_where_the_shape_changes_most_as_far_as_there_is_room() -> None:
    stations, changes = np.array([0.0, 1.0, 2.0, 2.05, 3.0]), np.array([0.5, 1.5, 9.0, 3.0])
    assert finer(stations, changes, 0.1, 10).tolist() == [1.5, 2.525]
    assert finer(stations, changes, 0.1, 1).tolist() == [2.525]
    assert finer(stations, changes, 0.01, 10).tolist() == [1.5, 2.025, 2.525]
    assert finer(stations, changes, 0.1, -1).tolist() == []


@pytest.mark.parametrize(("low", "off"), [(0.0, 0.0), (-0.04, 0.0), (-0.06, 0.44), (-0.5, 0.0), (-0.4, 0.1)])
def test_a_mesh_with_its_origin_in_a_corner_is_put_on_its_axis(low: float, off: float) -> None:
    """A box 1 m wide whose middle lies more than 0.45 m off its axis was drawn from a corner."""
    drawn = box((low, -0.5, 0.0), (low + 1.0, 0.5, 2.0))
    (placed,), _ = to_body([drawn], "+z")
    assert placed.vertices_m[:, 0].max() == pytest.approx(0.0)
    middle = (placed.vertices_m[:, 1:].max(axis=0) + placed.vertices_m[:, 1:].min(axis=0)) / 2
    assert np.abs(middle).max() == pytest.approx(off, abs=1e-9)
