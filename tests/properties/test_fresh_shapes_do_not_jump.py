"""Seventeen shapes that no rule was drawn through lean, or are cut finer: their bands move a little."""

import importlib.util
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from finial.aero.band.band import pressure_band
from finial.aero.body import body_air
from finial.shape.mesh import Mesh
from finial.shape.sections import slice_skin

ANGLES, ROLLS = np.radians([0.0, 5.0, 10.0]), np.radians(np.arange(0.0, 360.0, 45.0))
ALLOWED = 0.02
"""Widths that each end may move per tenth of a degree."""
LOOSE = {"block on edge": 0.03}
"""Its largest section reaches both middle edges only upright: it truly shrinks as the block leans."""


def _beside(name: str):
    spec = importlib.util.spec_from_file_location(name, Path(__file__).with_name(f"{name}.py"))
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


FRESH, TILT = _beside("fresh_shapes"), _beside("test_band_does_not_jump")


@cache
def shape(name: str) -> Mesh:
    made = FRESH.SHAPES[name]()
    return Mesh(vertices_m=made.vertices, faces=made.faces)


def ends(mesh: Mesh) -> np.ndarray:
    body = body_air(slice_skin([mesh]))
    band = pressure_band(body, (), ANGLES, ROLLS)
    return np.array([band.forward_m.min(axis=1), band.aft_m.max(axis=1)]) / body.width_m


@cache
def straight(name: str) -> np.ndarray:
    return ends(shape(name))


@pytest.mark.parametrize("name", FRESH.SHAPES)
@pytest.mark.parametrize(("degrees", "about"), [(0.1, 1.2), (0.1, 2.4), (0.5, 0.3)])
def test_a_shape_that_leans_a_little_keeps_its_band(name: str, degrees: float, about: float) -> None:
    moved = np.abs(ends(TILT.tilted(shape(name), degrees, about)) - straight(name))
    assert moved.max() < LOOSE.get(name, ALLOWED) * degrees / 0.1


@pytest.mark.parametrize("name", ["key", "guitar", "barrel roof", "rounded box"])
def test_finer_triangles_change_nothing_of_one_that_leans(name: str) -> None:
    import trimesh

    mesh = TILT.tilted(shape(name), 0.1)
    points, faces = trimesh.remesh.subdivide(mesh.vertices_m, mesh.faces)
    finer = Mesh(vertices_m=points, faces=faces)
    # Before corners were looked for, by 0.03 to 0.23.
    assert np.abs(ends(finer) - ends(mesh)).max() < 0.1 * ALLOWED


def test_what_moves_by_more_moves_in_proportion() -> None:
    found = [ends(TILT.tilted(shape("block on edge"), degrees, 1.2)) for degrees in (0.1, 0.12, 0.2, 0.22)]
    small = [np.abs(after - before).max() for before, after in ((found[0], found[1]), (found[2], found[3]))]
    assert max(small) < 0.3 * LOOSE["block on edge"]
