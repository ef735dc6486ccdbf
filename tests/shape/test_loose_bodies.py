"""What hangs together in a solid that was cut."""

from types import SimpleNamespace

import manifold3d
import pytest

from finial.core.errors import MeshError
from finial.shape.united import loose_bodies


def shell(volume_m3: float) -> SimpleNamespace:
    return SimpleNamespace(volume=lambda: volume_m3)


@pytest.mark.parametrize("flake_m3", [-1.06e-22, 0.0, 9e-16])
def test_a_flake_that_a_cut_along_a_face_leaves_is_no_body_and_no_cavity(flake_m3: float) -> None:
    cube = manifold3d.Manifold.cube((0.1, 0.1, 0.1))
    cut = SimpleNamespace(decompose=lambda: [cube, shell(flake_m3)])
    assert loose_bodies(cut) == [cube]


def test_a_grain_of_a_tenth_of_a_millimetre_is_a_body() -> None:
    grain = shell(1e-12)
    assert loose_bodies(SimpleNamespace(decompose=lambda: [grain])) == [grain]


def test_a_cavity_beside_every_body_is_refused() -> None:
    cube = manifold3d.Manifold.cube((0.1, 0.1, 0.1))
    far = manifold3d.Manifold.cube((0.01, 0.01, 0.01)).translate((1.0, 0.0, 0.0))
    inside_out = SimpleNamespace(volume=lambda: -1e-6, to_mesh64=far.to_mesh64)
    with pytest.raises(MeshError):
        loose_bodies(SimpleNamespace(decompose=lambda: [cube, inside_out]))
