"""Meshes of any bytes and any triangles: read or refused; what is read is answered and drawn."""

import functools
import io
import zipfile

import numpy as np
import pytest
import trimesh
from fuzz_trial import LONG, RUN
from hypothesis import given
from hypothesis import strategies as st
from odd_values import bitten

from finial.files.meshes import read_mesh

KINDS = {
    "stl": "stl",
    "text": "stl",
    "obj": "obj",
    "ply": "ply",
    "plain": "ply",
    "3mf": "3mf",
    "model": "3mf",
    "glb": "glb",
}


@functools.cache
def whole(kind: str) -> bytes:
    box = trimesh.creation.box((60.0, 50.0, 300.0))
    if kind == "model":
        with zipfile.ZipFile(io.BytesIO(whole("3mf"))) as archive:
            return archive.read("3D/3dmodel.model")
    types = {"text": "stl_ascii"}
    more = {"encoding": "ascii"} if kind == "plain" else {}
    content = box.export(file_type=types.get(kind, KINDS[kind]), **more)
    return content.encode() if isinstance(content, str) else content


def packed(model: bytes) -> bytes:
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("3D/3dmodel.model", model)
    return made.getvalue()


@RUN
@given(data=st.data())
@pytest.mark.parametrize("kind", KINDS)
def test_mesh_files_of_any_bytes(trial, data, kind):
    content = data.draw(bitten(whole(kind)))
    path = trial.folder / f"a.{KINDS[kind]}"
    path.write_bytes(packed(content) if kind == "model" else content)
    trial.call(read_mesh, path, None if KINDS[kind] in ("3mf", "glb") else "mm")


def _soup(chance: np.random.Generator) -> trimesh.Trimesh:
    return trimesh.Trimesh(
        chance.normal(0.0, 100.0, (int(chance.integers(4, 60)), 3)),
        chance.integers(0, 4, (int(chance.integers(1, 200)), 3)),
        process=False,
    )


def _noisy(chance: np.random.Generator) -> trimesh.Trimesh:
    ball = trimesh.creation.icosphere(subdivisions=2, radius=80.0)
    ball.vertices = ball.vertices * [1.0, 1.0, 4.0] + chance.normal(
        0.0, chance.choice([0.1, 5, 60]), (162, 3)
    )
    return ball


def _bodies(chance: np.random.Generator) -> trimesh.Trimesh:
    """Boxes that overlap, touch or stand apart."""
    boxes = []
    for _ in range(int(chance.integers(2, 7))):
        box = trimesh.creation.box(chance.uniform(2.0, 200.0, 3))
        box.apply_transform(trimesh.transformations.random_rotation_matrix(chance.random(3)))
        box.apply_translation(chance.uniform(-120.0, 120.0, 3))
        boxes.append(box)
    return trimesh.util.concatenate(boxes)


def _thin(chance: np.random.Generator) -> trimesh.Trimesh:
    """Flat things alone: nothing but what could be fins."""
    plates = []
    for _ in range(int(chance.integers(1, 5))):
        plate = trimesh.creation.box(
            (chance.uniform(0.0, 3.0), chance.uniform(20, 200), chance.uniform(20, 400))
        )
        plate.apply_transform(trimesh.transformations.rotation_matrix(chance.uniform(0, 6.3), [0, 0, 1]))
        plate.apply_translation(chance.uniform(-60.0, 60.0, 3))
        plates.append(plate)
    return trimesh.util.concatenate(plates)


def _holed(chance: np.random.Generator) -> trimesh.Trimesh:
    ball = _noisy(chance)
    keep = chance.random(len(ball.faces)) > chance.choice([0.01, 0.3, 0.9])
    return trimesh.Trimesh(ball.vertices, ball.faces[keep], process=False)


def _flat(chance: np.random.Generator) -> trimesh.Trimesh:
    body = _bodies(chance)
    body.vertices[:, int(chance.integers(0, 3))] *= chance.choice([0.0, 1e-9, 1e-3])
    return body


SHAPES = (_soup, _noisy, _bodies, _thin, _holed, _flat)


@LONG
@given(data=st.data())
def test_shapes_of_any_kind(trial, warmed_up, data):
    shape = data.draw(st.sampled_from(SHAPES))
    mesh = shape(np.random.default_rng(data.draw(st.integers(0, 2**32))))
    path = trial.folder / "a.stl"
    path.write_bytes(mesh.export(file_type="stl"))
    trial.command("air", str(path), "--unit", "mm", "--quiet")
