"""Triangles that are no body, outlines that cross themselves, bodies that are fins through and through."""

import time

import numpy as np
import pytest
import trimesh

from finial.assemble.vehicle.picture import display_mesh
from finial.core.errors import MeshError
from finial.shape.fin_set import FinSet
from finial.shape.fin_split import split_fins
from finial.shape.mesh import Mesh
from finial.shape.repair import repaired
from finial.shape.sections import slice_skin


def soup(faces: int) -> Mesh:
    chance = np.random.default_rng(3)
    corners = chance.normal(0.0, 0.1, (faces // 2, 3))
    return Mesh(vertices_m=corners, faces=chance.integers(0, len(corners), (faces, 3)))


@pytest.mark.parametrize("faces", [600, 20_000])
def test_a_soup_of_triangles_is_refused_in_no_time(faces: int) -> None:
    began = time.process_time()
    with pytest.raises(MeshError, match="do not hang together"):
        repaired(soup(faces))
    assert time.process_time() - began < 5.0


def test_a_body_with_a_third_of_its_faces_gone_is_still_tried() -> None:
    ball = trimesh.creation.icosphere(subdivisions=3, radius=0.1)
    keep = np.random.default_rng(5).random(len(ball.faces)) > 0.3
    assert repaired(Mesh(vertices_m=ball.vertices, faces=ball.faces[keep])).notes


def test_a_body_of_plates_alone_is_no_set_of_fins_without_a_body() -> None:
    plates = [trimesh.creation.box((0.7, 0.12, 0.004)), trimesh.creation.box((0.7, 0.004, 0.12))]
    whole = trimesh.util.concatenate(plates)
    corners = whole.vertices - [whole.vertices[:, 0].max(), 0.0, 0.0]
    skin = slice_skin([repaired(Mesh(vertices_m=corners, faces=whole.faces)).mesh])
    split = split_fins(skin)
    assert len(split.body.sections) > 8
    assert split.body.wetted_area_m2 > 0.0


@pytest.mark.parametrize(
    "outline",
    [
        [[0.0, 0.0], [0.1, 0.1], [0.1, 0.0], [0.0, 0.1]],
        [[0.0, 0.0], [0.055, 0.0], [0.043, 0.0], [0.04, 0.001], [0.015, 0.041]],
        [[0.0, 0.0], [0.05, 0.0], [0.1, 0.0]],
    ],
    ids=["crossing", "spike", "line"],
)
def test_a_fin_whose_edges_cross_is_drawn_or_left_out(outline: list[list[float]]) -> None:
    post = trimesh.creation.box((0.5, 0.1, 0.1))
    fin = FinSet(
        name="odd",
        outline_m=np.array(outline),
        station_m=0.1,
        root_radius_m=0.05,
        count=3,
        first_at_rad=0.0,
        thickness_m=0.003,
        square_edges=True,
    )

    class Part:
        mended = repaired(Mesh(vertices_m=post.vertices, faces=post.faces))

        class spec:
            outside = True

    mesh, is_fin = display_mesh([Part()], [fin])
    assert np.isfinite(mesh.vertices_m).all()
    assert is_fin.sum() in (0, *range(9, 200))
