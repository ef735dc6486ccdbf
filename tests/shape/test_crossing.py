"""A surface that passes through itself, against the union of its short stretches by manifold3d."""

import manifold3d
import numpy as np
import pytest
from folded_tube import FOLDED_M, bent_tube

from finial.mass.solids import solid_of
from finial.shape.mesh import Mesh
from finial.shape.repair import repaired
from finial.shape.united import united, why_no_solid


def true_volume_m3() -> float:
    """Of the tube in stretches too short to cross themselves, united."""
    stretches = [bent_tube(FOLDED_M[start : start + 8]) for start in range(0, len(FOLDED_M) - 1, 7)]
    solids = [
        manifold3d.Manifold(manifold3d.Mesh64(np.array(one.vertices_m), np.array(one.faces, dtype=np.uint64)))
        for one in stretches
    ]
    return float(manifold3d.Manifold.batch_boolean(solids, manifold3d.OpType.Add).volume())


@pytest.mark.parametrize("turn", [(0, 1, 2), (1, 2, 0), (2, 0, 1)])
def test_what_is_enclosed_twice_is_found_whichever_way_it_lies(turn) -> None:
    tube = bent_tube(FOLDED_M)
    mended = repaired(Mesh(vertices_m=tube.vertices_m[:, turn], faces=tube.faces))
    triangles = tube.triangles_m
    summed = float(np.einsum("ni,ni->", triangles[:, 0], np.cross(triangles[:, 1], triangles[:, 2]))) / 6
    twice = 1.0 - true_volume_m3() / summed
    assert twice > 0.15
    assert mended.counted_twice == pytest.approx(twice, abs=0.04)
    assert mended.crosses_itself
    assert any("passes through itself" in note for note in mended.notes)
    assert united(mended) is None
    assert "passes through itself" in why_no_solid(mended)


def test_its_volume_is_what_the_outline_encloses_and_no_more_than_assumed() -> None:
    volume = solid_of(repaired(bent_tube(FOLDED_M))).volume_m3
    assert volume.value == pytest.approx(true_volume_m3(), rel=0.03)
    assert volume.low < 0.85 * volume.value
    assert volume.known_by.word == "assumed"


def test_a_tube_that_bends_without_touching_itself_is_plain() -> None:
    share = np.linspace(0.0, 1.0, 120)
    wave = np.column_stack([0.06 * np.sin(4 * np.pi * share), 0.0 * share, 2.1 * share])
    mended = repaired(bent_tube(wave))
    assert mended.counted_twice == pytest.approx(0.0, abs=1e-9)
    assert not mended.notes
    assert united(mended) is not None


def test_bodies_that_overlap_and_cavities_are_none_of_it() -> None:
    box, other, room = (manifold3d.Manifold.cube((side, side, side), True) for side in (0.2, 0.15, 0.1))
    meshes = [(box - room).to_mesh64(), other.translate((0.1, 0.0, 0.0)).to_mesh64()]
    points = [np.asarray(one.vert_properties)[:, :3] for one in meshes]
    faces = [np.asarray(one.tri_verts).astype(np.int64) for one in meshes]
    both = Mesh(vertices_m=np.vstack(points), faces=np.vstack([faces[0], faces[1] + len(points[0])]))
    mended = repaired(both)
    assert len(mended.hosts) == 3
    assert mended.counted_twice == pytest.approx(0.0, abs=1e-9)
