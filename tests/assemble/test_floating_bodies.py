"""A body of a mesh that touches nothing is named, whatever its part looks like otherwise."""

from dataclasses import replace

import numpy as np
import pytest

from finial.assemble.vehicle.floating import floating_parts
from finial.assemble.vehicle.loading import PlacedPart
from finial.findings.check import readiness
from finial.findings.finding import Verdict
from finial.findings.readiness import Depth
from finial.report.finding_words import what_to_change
from finial.shape.mesh import Mesh
from finial.shape.repair import repaired

CUBE = np.array([[x, y, z] for x in (0, 1) for y in (0, 1) for z in (0, 1)], dtype=float)
SIDES = [[0, 1, 3, 2], [4, 6, 7, 5], [0, 4, 5, 1], [2, 3, 7, 6], [0, 2, 6, 4], [1, 5, 7, 3]]
FACES = np.array([half for a, b, c, d in SIDES for half in ([a, b, c], [a, c, d])])


def cubes(part: PlacedPart, *corners_m: tuple[float, float, float], side_m: float = 0.1) -> PlacedPart:
    """The part drawn as cubes of one size, each from its own corner."""
    vertices = np.vstack([side_m * CUBE + np.array(corner) for corner in corners_m])
    faces = np.vstack([FACES + 8 * number for number in range(len(corners_m))])
    return replace(part, mended=repaired(Mesh(vertices_m=vertices, faces=faces)))


@pytest.mark.parametrize(
    ("second", "floats"),
    [
        ((0.1, 0.0, 0.0), False),
        ((0.1005, 0.0, 0.0), False),
        ((0.102, 0.0, 0.0), True),
        ((0.1, 0.3, 0.0), True),
        ((0.0, 0.0, -0.102), True),
    ],
)
def test_a_cube_beside_another(lighthouse, second, floats: bool) -> None:
    part = cubes(lighthouse.parts[0], (0.0, 0.0, 0.0), second)
    assert floating_parts((part,)) == ((part.spec.name,) if floats else ())


def test_what_another_part_holds_does_not_float(lighthouse) -> None:
    first, second, *_ = lighthouse.parts
    apart = cubes(first, (0.0, 0.0, 0.0), (0.3, 0.0, 0.0))
    bridge = cubes(second, (0.1, 0.0, 0.0), (0.2, 0.0, 0.0))
    assert floating_parts((apart,)) == (first.spec.name,)
    assert floating_parts((apart, bridge)) == ()


def test_a_speck_is_no_body(lighthouse) -> None:
    part = lighthouse.parts[0]
    speck = cubes(part, (0.0, 0.0, 0.0), (0.0, 0.5, 0.0), side_m=0.001)
    assert floating_parts((speck,)) == ()


def test_a_floating_body_is_told_first_and_does_not_fly(lighthouse) -> None:
    first, *others = lighthouse.parts
    mesh = first.mended.mesh
    beside = 0.02 * CUBE + np.array([*mesh.vertices_m.mean(axis=0)[:1], 0.3, 0.0])
    more = Mesh(
        vertices_m=np.vstack([mesh.vertices_m, beside]),
        faces=np.vstack([mesh.faces, FACES + len(mesh.vertices_m)]),
    )
    floating = replace(first, mended=repaired(more))
    found = readiness(replace(lighthouse, parts=(floating, *others)), depth=Depth.QUICK)
    (meshes,) = (one for one in found.findings if one.key == "meshes")
    assert found.findings[0] == meshes
    assert meshes.verdict is Verdict.NO_GO
    assert f"A body of {first.spec.name} hangs in the air" in what_to_change(meshes)
