"""Creases, corners, ridges, feet and lips are the same however fine a mesh is and however it leans."""

import numpy as np
import pytest
import trimesh

from finial.shape.creases import _folds, corner_stations, level_creases, ridges, stands_as_corner
from finial.shape.lips import hidden_lips, reach_m
from finial.shape.mesh import Mesh
from finial.shape.ridges import ridge_ends
from finial.shape.sections import slice_skin
from finial.shape.skin import Section
from finial.shape.stations import askew, standing_ridges, steps


def upright(*pieces: trimesh.Trimesh) -> trimesh.Trimesh:
    whole = trimesh.util.concatenate(list(pieces))
    points = whole.vertices[:, [2, 0, 1]]
    return trimesh.Trimesh(points - [points[:, 0].max(), 0.0, 0.0], whole.faces, process=False)


def leaning(made: trimesh.Trimesh, degrees: float) -> Mesh:
    turn = np.radians(degrees)
    points = made.vertices @ np.array(
        [[np.cos(turn), np.sin(turn), 0.0], [-np.sin(turn), np.cos(turn), 0.0], [0.0, 0.0, 1.0]]
    )
    return Mesh(vertices_m=points - [points[:, 0].max(), 0.0, 0.0], faces=made.faces)


def box(size: tuple[float, float, float], at: tuple[float, float, float]) -> trimesh.Trimesh:
    made = trimesh.creation.box(size)
    made.apply_translation(at)
    return made


def gable(wide: float, high: float, at: float) -> trimesh.Trimesh:
    half = wide / 2
    floor = [[x, y, at] for x in (-half, half) for y in (-half, half)]
    return trimesh.convex.convex_hull(np.array([*floor, [-half, 0.0, at + high], [half, 0.0, at + high]]))


def rounded_box() -> trimesh.Trimesh:
    ball = trimesh.creation.icosphere(subdivisions=3, radius=0.03).vertices
    corners = [[x, y, z] for x in (-0.07, 0.07) for y in (-0.05, 0.05) for z in (0.03, 0.33)]
    return upright(trimesh.convex.convex_hull(np.concatenate([ball + corner for corner in corners])))


def chair() -> trimesh.Trimesh:
    legs = [box((0.025, 0.025, 0.2), (x, y, 0.1)) for x in (-0.085, 0.085) for y in (-0.085, 0.085)]
    return upright(box((0.2, 0.2, 0.03), (0.0, 0.0, 0.215)), *legs)


@pytest.mark.parametrize("rounds", [1, 2])
def test_finer_triangles_have_the_same_corners(rounds: int) -> None:
    made = upright(box((0.2, 0.1, 0.3), (0.0, 0.0, 0.15)), gable(0.1, 0.1, 0.3))
    points, faces = made.vertices, made.faces
    coarse = corner_stations(Mesh(vertices_m=points, faces=faces))
    for _ in range(rounds):
        points, faces = trimesh.remesh.subdivide(points, faces)
    fine = corner_stations(Mesh(vertices_m=points, faces=faces))
    assert np.unique(fine[0].round(6)) == pytest.approx(np.unique(coarse[0].round(6)))
    assert fine[1].sum() == pytest.approx(coarse[1].sum())


def test_a_rim_that_leans_has_one_station_and_its_whole_length() -> None:
    made = upright(trimesh.creation.cylinder(radius=0.1, height=0.4, sections=48))
    stations, lengths = corner_stations(leaning(made, 0.5))
    assert len(stations) == 2
    # 48 chords of 15/2 degrees each.
    assert lengths == pytest.approx(96 * 0.1 * np.sin(np.radians(3.75)), rel=1e-3)


def test_a_line_across_a_facet_of_a_rounding_is_no_ridge() -> None:
    made = rounded_box()
    fore, aft = ridge_ends([leaning(made, 0.0)])
    assert (fore, 0.36 - aft) == pytest.approx((0.0, 0.0), abs=1e-9)
    # Cut as if it were, a rounding of 30 mm had its first cut 9 mm behind the tip, wider than the flat.
    first = slice_skin([leaning(made, 0.0)]).sections[0]
    assert first.area_m2 == pytest.approx(0.14 * 0.10, rel=0.1)


def test_the_edge_of_a_cylinder_that_lies_across_is_a_ridge_and_a_balls_are_none() -> None:
    lying = trimesh.creation.cylinder(radius=0.1, height=0.1, sections=32)
    lying.apply_transform(trimesh.transformations.rotation_matrix(np.pi / 2, [1.0, 0.0, 0.0]))
    lying.apply_transform(trimesh.transformations.rotation_matrix(0.0, [0.0, 1.0, 0.0]))
    assert len(ridges(leaning(upright(lying), 0.0), 0.05)) == 2
    ball = upright(trimesh.creation.icosphere(subdivisions=3, radius=0.1))
    for degrees in (0.0, 0.2, 1.0):
        assert ridges(leaning(ball, degrees), 0.0) == ()


@pytest.mark.parametrize("degrees", [0.05, 0.4])
def test_the_ridge_of_a_nave_beside_its_tower_is_a_step(degrees: float) -> None:
    tower = box((0.1, 0.1, 0.5), (-0.1, 0.0, 0.25))
    made = upright(tower, box((0.1, 0.1, 0.2), (0.0, 0.0, 0.1)), gable(0.1, 0.06, 0.2))
    (found,) = standing_ridges([leaning(made, degrees)], 0.1 * 0.2)
    assert found.aft_m - found.fore_m == pytest.approx(0.1 * np.sin(np.radians(degrees)), rel=1e-6)
    stations = slice_skin([leaning(made, degrees)]).stations_m
    assert np.min(np.abs(stations - (found.fore_m - 20e-6))) < 1e-9
    assert np.min(np.abs(stations - (found.aft_m + 20e-6))) < 1e-9
    assert not np.any((stations > found.fore_m) & (stations < found.aft_m))


@pytest.mark.parametrize("degrees", [0.1, 0.3, 0.5])
def test_the_feet_of_a_chair_that_leans_are_one_step(degrees: float) -> None:
    mesh = leaning(chair(), degrees)
    across = 0.2 * 0.2
    length = float(-mesh.vertices_m[:, 0].min())
    assert [step.aft_m for step in steps([mesh], across)][-1] == pytest.approx(length)
    assert [step.aft_m for step in askew([mesh], across)][-1] == pytest.approx(length)
    # Apart, the last leg stood alone at the end.
    assert len(slice_skin([mesh]).sections[-1].loops) == 4


def test_a_facet_of_a_flat_ball_is_no_face_that_leans() -> None:
    bowl = trimesh.creation.icosphere(subdivisions=3, radius=1.0)
    bowl.apply_scale((0.16, 0.06, 0.05))
    for degrees in (0.1, 0.2, 0.5):
        assert askew([leaning(upright(bowl), degrees)], 0.16 * 0.06) == ()


def test_the_air_leaves_a_ball_where_it_is_known_to_a_hundredth() -> None:
    ball = upright(trimesh.creation.icosphere(subdivisions=5, radius=0.1))
    skin = slice_skin([leaning(ball, 0.0)])
    # The tangent falls by 1 in 6 at sin(angle) = 1 / sqrt(37) behind the middle.
    lip = 0.1 + 0.1 / np.sqrt(37.0)
    after = int(np.searchsorted(skin.stations_m, lip))
    assert skin.stations_m[after] - skin.stations_m[after - 1] < 0.01 * 0.1 + 1e-6


def test_dead_air_hides_lips() -> None:
    # A dome of half the width in the lee of a plate: its back is not looked for.
    stations = np.linspace(0.0, 1.0, 21)
    sizes = np.where(stations < 0.1, 1.0, 0.3 * np.sqrt(np.maximum(1 - ((stations - 0.5) / 0.5) ** 2, 0.0)))
    found = hidden_lips(stations, sizes)
    assert not found[5:].any()


def test_creases_that_only_round_something_are_left_out_when_sharp_ones_are_asked_for() -> None:
    ball = leaning(upright(trimesh.creation.icosphere(subdivisions=3, radius=0.1)), 0.0)
    assert len(level_creases(ball, ball.faces)) > 0
    assert len(level_creases(ball, ball.faces, sharp=True)) == 0


@pytest.mark.parametrize(("degrees", "is_corner"), [(1.0, False), (2.0, True)])
def test_the_tip_of_a_pyramid_flatter_than_a_rounding_s_facets_is_no_corner(
    degrees: float, is_corner: bool
) -> None:
    high = 0.05 * np.tan(np.radians(degrees))
    rim = [[0.0, y, z] for y, z in ((-0.05, -0.05), (0.05, -0.05), (0.05, 0.05), (-0.05, 0.05))]
    sides = np.array([[0, 1, 4], [1, 2, 4], [2, 3, 4], [3, 0, 4]])
    found = stands_as_corner(Mesh(vertices_m=np.array([*rim, [high, 0.0, 0.0]]), faces=sides))
    assert found[4] == is_corner


def test_a_box_of_fine_triangles_has_eight_corners() -> None:
    box = trimesh.creation.box((0.1, 0.2, 0.3)).subdivide().subdivide()
    assert stands_as_corner(Mesh(vertices_m=box.vertices, faces=box.faces)).sum() == 8


@pytest.mark.parametrize(
    ("sides", "long_m", "sharp"),
    # Sides lean by 360 degrees over their number: from 20 on it is an edge, or where they are 1.8 times as
    # long as wide; 24 of them are 13 mm wide.
    [(17, 0.02, True), (19, 0.02, False), (24, 0.02, False), (24, 0.0225, False), (24, 0.0245, True)],
)
def test_a_prism_that_lies_has_ridges_where_its_sides_do_not_only_round_something(
    sides: int, long_m: float, sharp: bool
) -> None:
    prism = trimesh.creation.cylinder(0.05, long_m, sections=sides)
    mesh = Mesh(vertices_m=prism.vertices[:, [0, 2, 1]], faces=prism.faces)
    every, *_ = _folds(mesh, mesh.faces, sharp=False)
    only, *_ = _folds(mesh, mesh.faces, sharp=True)
    along = [mesh.vertices_m[edges][:, :, 1] for edges in (every, only)]
    long = [int((np.ptp(ends, axis=1) > 0.01).sum()) for ends in along]
    assert long == [sides, sides if sharp else 0]


def test_where_the_air_leaves_at_a_facet_s_edge_is_looked_for() -> None:
    # An edge that turns by 0.05, as where facets of a rounding meet, on a cut or close by.
    stations = np.linspace(0.0, 0.5, 11)
    radii = 1.0 - 0.15 * stations - 0.05 * np.maximum(stations - 0.2, 0.0)
    found = hidden_lips(stations, radii)
    assert (found[3:6] > 1.0).any()
    # One that turns by more is a corner: it lies on a cut.
    sharp = 1.0 - 0.15 * stations - 0.3 * np.maximum(stations - 0.2, 0.0)
    assert not hidden_lips(stations, sharp).any()


def test_outlines_reach_each_for_itself() -> None:
    turn = np.linspace(0.0, 2 * np.pi, 400, endpoint=False)
    ring = 0.1 * np.column_stack([np.cos(turn), np.sin(turn)])
    cut = dict(station_m=0.0, area_m2=0.0, perimeter_m=0.0, centroid_m=(0.0, 0.0))
    assert reach_m(Section(loops=(ring, ring + 5.0), **cut)) == pytest.approx(0.1 * np.sqrt(2.0), rel=1e-3)
