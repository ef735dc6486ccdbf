import numpy as np
import pytest

from finial.core.errors import MeshError
from finial.shape.bodies import signed_volumes_m3
from finial.shape.mesh import Mesh
from finial.shape.repair import repaired
from finial.shape.tiers import Tier, tiers_mesh


def volume(mesh, body=None):
    return signed_volumes_m3(mesh, np.zeros(len(mesh.faces), dtype=int) if body is None else body).sum()


def test_a_clean_mesh_is_left_alone_and_said_nothing_about(tower):
    found = repaired(tower)
    assert (found.notes, found.open_edges, len(found.mesh.faces)) == ((), 0, len(tower.faces))


def test_faces_turned_the_wrong_way_are_turned_back(tower):
    faces = tower.faces.copy()
    wrong = np.random.default_rng(3).permutation(len(faces))[: len(faces) // 10]
    faces[wrong] = faces[wrong, ::-1]
    found = repaired(Mesh(vertices_m=tower.vertices_m, faces=faces))
    assert volume(found.mesh) == pytest.approx(volume(tower), rel=1e-12)
    assert found.notes == (f"{len(wrong)} faces were the wrong way round and were turned",)


def test_a_mesh_inside_out_is_caught_and_turned(draw, tower):
    found = repaired(draw.turned_round(tower))
    assert volume(found.mesh) == pytest.approx(volume(tower), rel=1e-12)
    assert found.notes == ("4 bodies were inside out and were turned",)


def test_one_body_inside_out_beside_others_is_turned(draw):
    left = draw.prism(0.1, 0.3)
    right = draw.moved(draw.prism(0.05, 0.1), (0.0, 0.3, 0.0))
    found = repaired(draw.joined(left, draw.turned_round(right)))
    assert volume(found.mesh) == pytest.approx(volume(left) + volume(right), rel=1e-9)
    assert found.hosts == (-1, -1)


def test_a_cavity_is_known_from_a_body_inside_out(draw):
    outer, inner = draw.prism(0.1, 0.3), draw.moved(draw.prism(0.05, 0.1), (-0.1, 0.0, 0.0))
    found = repaired(draw.joined(outer, draw.turned_round(inner)))
    assert sorted(found.hosts)[0] == -1
    assert sorted(found.hosts)[1] in (0, 1)
    assert volume(found.mesh) == pytest.approx(volume(outer) - volume(inner), rel=1e-9)


def test_a_hollow_mesh_wholly_inside_out_keeps_its_cavity(draw):
    outer, inner = draw.prism(0.1, 0.3), draw.moved(draw.prism(0.05, 0.1), (-0.1, 0.0, 0.0))
    found = repaired(draw.joined(draw.turned_round(outer), inner))
    assert volume(found.mesh) == pytest.approx(volume(outer) - volume(inner), rel=1e-9)


def test_holes_in_a_flat_wall_are_closed_exactly(draw, tower):
    fine = draw.subdivided(tower, 1)
    whole = repaired(fine).mesh
    missing = np.argmax(whole.triangles_m[:, :, 0].mean(axis=1) < -0.9)
    found = repaired(Mesh(vertices_m=whole.vertices_m, faces=np.delete(whole.faces, missing, axis=0)))
    assert found.open_edges == 0
    assert found.notes[0].startswith("1 hole was closed, the widest ")
    assert volume(found.mesh) == pytest.approx(volume(tower), rel=1e-12)


def test_bodies_that_touch_along_an_edge_stay_two_bodies(draw):
    block = draw.prism(0.1, 0.2, sides=4)
    found = repaired(draw.joined(block, draw.moved(block, (0.0, 0.1, 0.1))))
    assert (len(found.hosts), found.open_edges) == (2, 0)


def test_bodies_stacked_rim_on_rim_stay_two_whole_bodies(draw):
    upper, lower = draw.prism(0.1, 0.2), draw.moved(draw.prism(0.1, 0.3), (-0.2, 0.0, 0.0))
    found = repaired(draw.joined(upper, lower))
    assert (found.hosts, found.notes) == ((-1, -1), ())
    assert sorted(signed_volumes_m3(found.mesh, found.body_of_face)) == pytest.approx(
        [volume(upper), volume(lower)], rel=1e-9
    )


def test_a_flat_mesh_is_refused_with_its_size(draw):
    sheet = np.array([[[0.0, 0, 0], [0.1, 0, 0], [0.1, 0.2, 0]], [[0, 0, 0], [0.1, 0.2, 0], [0, 0.2, 0]]])
    with pytest.raises(MeshError, match=r"flat \(100, 200, 0 mm.*no inside"):
        repaired(draw.soup(sheet))


def test_corners_that_were_joined_across_a_crack_are_told() -> None:
    """A box whose lid lies 12 um above its walls: four corners moved; 0.5 um is how a file rounds."""
    for gap_m, notes in ((12e-6, ("4 corners were joined to another, up to 0.012 mm away",)), (0.5e-6, ())):
        whole = tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=0.2)])
        lid = (whole.vertices_m[whole.faces][:, :, 0] > -1e-9).all(axis=1)
        corners = whole.triangles_m.copy()
        corners[lid, :, 0] += gap_m
        cracked = Mesh(vertices_m=corners.reshape(-1, 3), faces=np.arange(3 * len(corners)).reshape(-1, 3))
        assert repaired(cracked).notes == notes


POST = tiers_mesh([Tier(sides=48, across_m=0.1, across_top_m=0.1, height_m=1.0)])


def _with_faces(faces) -> Mesh:
    return Mesh(vertices_m=POST.vertices_m, faces=faces)


def test_a_closed_body_was_closed() -> None:
    assert not repaired(POST).was_open


@pytest.mark.parametrize(
    ("faces", "was_open"),
    [
        (POST.faces[:, ::-1], True),
        (POST.faces[:-1], True),
        (np.concatenate([POST.faces, POST.faces]), True),
        (np.concatenate([POST.faces[:1, ::-1], POST.faces[1:]]), False),
        (np.concatenate([POST.faces, POST.faces[:1]]), False),
        (np.concatenate([POST.faces[:4, ::-1], POST.faces[4:]]), True),
    ],
    ids=["inside out", "a hole", "doubled", "one face turned", "one face twice", "several turned"],
)
def test_a_mesh_that_had_to_be_made_a_body_is_told(faces, was_open: bool) -> None:
    """Of 192 faces one is half a per cent, four are two: an export leaves one or two."""
    assert len(POST.faces) == pytest.approx(192, abs=4)
    assert repaired(_with_faces(faces)).was_open is was_open
