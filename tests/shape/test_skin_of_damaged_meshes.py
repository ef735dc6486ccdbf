"""The same shape drawn badly gives the same skin."""

import numpy as np
import pytest

from finial.shape.mesh import Mesh
from finial.shape.repair import repaired
from finial.shape.sections import slice_skin


@pytest.fixture(scope="module")
def clean(fine_tower):
    return slice_skin([fine_tower])


def largest_area_error(skin, clean) -> float:
    """Largest difference in area between two skins away from steps, over the reference area."""
    stations = np.linspace(0.005, 0.995, 400) * clean.length_m
    steps = clean.stations_m[:-1][np.diff(clean.stations_m) < 1e-4]
    stations = stations[np.abs(stations[:, None] - steps).min(axis=1) > 0.003]
    ours = np.interp(stations, skin.stations_m, skin.areas_m2)
    return (
        np.abs(ours - np.interp(stations, clean.stations_m, clean.areas_m2)).max() / clean.reference_area_m2
    )


def test_a_tenth_of_the_faces_turned_changes_nothing(draw, fine_tower, clean):
    triangles = fine_tower.triangles_m.copy()
    wrong = np.random.default_rng(0).random(len(triangles)) < 0.1
    triangles[wrong] = triangles[wrong, ::-1]
    skin = slice_skin([draw.soup(triangles)])
    assert skin.volume_m3 == pytest.approx(clean.volume_m3, rel=1e-9)
    assert "wrong way round" in skin.notes[0]


def test_faces_drawn_twice_change_nothing(draw, fine_tower, clean):
    triangles = fine_tower.triangles_m
    twice = draw.soup(np.concatenate([triangles, triangles[::7]]))
    assert slice_skin([twice]).volume_m3 == pytest.approx(clean.volume_m3, rel=1e-9)


def test_faces_drawn_twice_and_turned_change_nothing(draw, fine_tower, clean):
    triangles = fine_tower.triangles_m
    twice = draw.soup(np.concatenate([triangles, triangles[::97, ::-1]]))
    assert slice_skin([twice]).volume_m3 == pytest.approx(clean.volume_m3, rel=1e-6)


@pytest.mark.parametrize("seed", [1, 2])
def test_two_per_cent_of_the_faces_missing(draw, fine_tower, clean, seed):
    kept = np.random.default_rng(seed).random(len(fine_tower.faces)) > 0.02
    skin = slice_skin([draw.soup(fine_tower.triangles_m[kept])])
    assert largest_area_error(skin, clean) < 2e-3
    assert skin.volume_m3 == pytest.approx(clean.volume_m3, rel=1e-3)
    assert any("holes were closed" in note for note in skin.notes)


def test_fifteen_per_cent_of_the_faces_missing(draw, fine_tower, clean):
    kept = np.random.default_rng(5).random(len(fine_tower.faces)) > 0.15
    skin = slice_skin([draw.soup(fine_tower.triangles_m[kept])])
    assert largest_area_error(skin, clean) < 0.01


def test_cracks_between_faces_are_closed(draw, fine_tower, clean):
    triangles = fine_tower.triangles_m + np.random.default_rng(2).uniform(
        -3e-6, 3e-6, fine_tower.triangles_m.shape
    )
    skin = slice_skin([draw.moved(draw.soup(triangles), (-triangles[..., 0].max(), 0.0, 0.0))])
    assert skin.volume_m3 == pytest.approx(clean.volume_m3, rel=5e-4)


def test_bodies_that_overlap_count_once(draw, fine_tower, clean):
    # A second body that stands wholly inside the tower, and one that crosses its wall.
    inside = draw.moved(draw.prism(0.06, 0.4), (-0.4, 0.0, 0.0))
    assert slice_skin([draw.joined(fine_tower, inside)]).volume_m3 == pytest.approx(clean.volume_m3, rel=1e-6)
    ledge = draw.moved(draw.prism(0.2, 0.03), (-0.6, 0.0, 0.0))
    union = slice_skin([draw.joined(fine_tower, ledge)])
    added = slice_skin([fine_tower, ledge])
    assert union.volume_m3 == pytest.approx(added.volume_m3, rel=1e-6)
    assert union.volume_m3 > clean.volume_m3


def test_a_cavity_is_full_for_the_air(draw, fine_tower, clean):
    room = draw.turned_round(draw.moved(draw.prism(0.08, 0.3, sides=0), (-0.5, 0.0, 0.0)))
    skin = slice_skin([draw.joined(fine_tower, room)])
    assert skin.volume_m3 == pytest.approx(clean.volume_m3, rel=1e-6)
    assert {len(section.loops) for section in skin.sections} == {1}


def test_a_thin_wall_with_an_open_rim_is_full_for_the_air(draw):
    # A tube open at both ends, drawn as inner and outer wall without the end rings.
    outer, inner = draw.prism(0.1, 0.5, sides=0), draw.prism(0.096, 0.5, sides=0)
    wall = np.concatenate([outer.triangles_m, inner.triangles_m[:, ::-1]])
    open_ended = wall[np.ptp(wall[..., 0], axis=1) > 1e-6]
    skin = slice_skin([draw.soup(open_ended)])
    assert skin.reference_area_m2 == pytest.approx(np.pi * 0.05**2, rel=1e-4)


def test_cuts_that_stay_open_are_bridged_along_the_wall(draw):
    """Loose walls without a rim that could be capped: every second facet of a hollow tower."""
    outer, inner = draw.prism(0.1, 0.5, sides=12), draw.prism(0.096, 0.5, sides=12)
    facets = np.concatenate([outer.triangles_m, inner.triangles_m[:, ::-1]])
    sides = facets[np.ptp(facets[..., 0], axis=1) > 1e-6]
    # One facet of both walls is gone along the whole height: the outline has a slot.
    middle = sides.mean(axis=1)
    gone = np.abs(np.arctan2(middle[:, 2], middle[:, 1])) < np.pi / 12
    mended = repaired(draw.soup(sides[~gone]))
    bare = Mesh(vertices_m=mended.mesh.vertices_m, faces=mended.mesh.faces)
    skin = slice_skin([bare])
    full = 12 * np.tan(np.pi / 12) * 0.1**2 / 4
    assert skin.reference_area_m2 == pytest.approx(full, rel=0.02)
