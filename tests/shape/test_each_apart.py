"""Two tubes beside a body are two rings, and fins of other chords are no set."""

from typing import Any

import numpy as np
import pytest
import trimesh
from shapely.geometry import Polygon

from finial.shape.fin_split import split_fins
from finial.shape.mesh import Mesh
from finial.shape.sections import slice_skin

# Trimesh tells few types.
MESHES: Any = trimesh


def along(*pieces: Any) -> Mesh:
    """Pieces that stand on z = 0, laid with their top at the tip."""
    whole = MESHES.util.concatenate(list(pieces))
    turned = np.column_stack([whole.vertices[:, 2], whole.vertices[:, 0], whole.vertices[:, 1]])
    turned[:, 0] -= turned[:, 0].max()
    return Mesh(vertices_m=turned, faces=whole.faces)


def test_a_tube_beside_another_is_a_ring_of_its_own() -> None:
    """A body of 100 mm; on either side a tube of 60 mm, 2 mm of wall, 90 mm long."""
    body = MESHES.creation.cylinder(0.05, 1.0, sections=32)
    body.apply_translation([0.0, 0.0, 0.5])
    tubes: list[Any] = []
    for side in (1.0, -1.0):
        tube = MESHES.creation.annulus(0.028, 0.03, 0.09, sections=32)
        tube.apply_translation([0.1 * side, 0.0, 0.2])
        tubes.append(tube)
    skin = slice_skin([along(body, *tubes)])
    assert [ring.outer_m2 for ring in skin.rings] == pytest.approx([np.pi * 0.03**2] * 2, rel=0.02)


def plate(roll_rad: float, chord_m: float) -> Any:
    """Fin 100 mm out of the body, 5 mm thick, from 0.2 m above the base down."""
    corners = [(0.045, 0.2), (0.15, 0.2), (0.15, 0.2 - chord_m), (0.045, 0.2 - chord_m)]
    made = MESHES.creation.extrude_polygon(Polygon(corners), 0.005)
    out, up, across = made.vertices.T
    cosine, sine = np.cos(roll_rad), np.sin(roll_rad)
    across = across - 0.0025
    turned = np.column_stack([out * cosine - across * sine, out * sine + across * cosine, up])
    return MESHES.Trimesh(turned, made.faces[:, ::-1], process=False)


@pytest.mark.parametrize(("other_m", "counts"), [(0.1, [2]), (0.16, [1, 1])])
def test_fins_of_another_chord_are_another_set(other_m: float, counts: list[int]) -> None:
    post = MESHES.creation.box((0.1, 0.1, 1.0))
    post.apply_translation([0.0, 0.0, 0.5])
    skin = slice_skin([along(post, plate(0.0, 0.1), plate(np.pi, other_m))])
    assert sorted(fins.count for fins in split_fins(skin).fins) == counts
