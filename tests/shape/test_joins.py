"""Where outlines join or part the air feels a step, though no face lies across: it is cut like one."""

from itertools import pairwise

import numpy as np
import trimesh

from finial.shape.mesh import Mesh
from finial.shape.sections import MOST_SECTIONS, slice_skin
from finial.shape.stations import ONE_STEP_M


def leaning_posts() -> Mesh:
    """Two round posts that lean together from 0.16 m apart and go on as one."""
    posts = [
        trimesh.creation.cylinder(
            0.03, segment=[[-0.6, side * 0.05, 0.0], [0.0, side * 0.08, 0.0]], sections=48
        )
        for side in (-1.0, 1.0)
    ]
    base = trimesh.creation.cylinder(0.08, segment=[[-1.0, 0.0, 0.0], [-0.8, 0.0, 0.0]], sections=48)
    legs = [
        trimesh.creation.cylinder(0.03, segment=[[-0.9, side * 0.01, 0.0], [-0.55, side * 0.0526, 0.0]])
        for side in (-1.0, 1.0)
    ]
    made = trimesh.util.concatenate([*posts, *legs, base])
    points = np.array(made.vertices)
    points[:, 0] -= points[:, 0].max()
    return Mesh(vertices_m=points, faces=np.array(made.faces))


def joins(*meshes: Mesh) -> list[tuple[float, float]]:
    pairs = pairwise(slice_skin(list(meshes)).sections)
    return [(a.station_m, b.station_m) for a, b in pairs if len(a.loops) == 2 and len(b.loops) == 1]


def test_both_sides_of_a_join_lie_close_together() -> None:
    ((before, after),) = joins(leaning_posts())
    assert after - before < 1.2 * ONE_STEP_M
    assert len(slice_skin([leaning_posts()]).sections) <= MOST_SECTIONS


def test_a_join_lies_where_it_lies_however_the_mesh_is_cut() -> None:
    whole = leaning_posts()
    halves = []
    for normal in ([1.0, 0.0, 0.0], [-1.0, 0.0, 0.0]):
        pieces = [
            trimesh.intersections.slice_mesh_plane(piece, normal, [-0.437, 0.0, 0.0], cap=True)
            for piece in trimesh.Trimesh(whole.vertices_m, whole.faces).split(only_watertight=False)
        ]
        kept = trimesh.util.concatenate([piece for piece in pieces if len(piece.faces)])
        halves.append(Mesh(vertices_m=np.array(kept.vertices), faces=np.array(kept.faces)))
    ((_, after),) = joins(whole)
    ((_, again),) = joins(*halves)
    assert abs(again - after) < 0.1e-3
