"""STEP, read through trimesh and the extra for it, both loaded only here."""

import importlib
import io
from importlib.util import find_spec
from typing import Any

import numpy as np

from finial.core.errors import MeshError
from finial.files.mesh_limits import refuse_many
from finial.files.mesh_pieces import Triangles

_FINEST_M = 1e-8
"""Faces come unjoined; corners this close are one."""
_DAMAGE = (
    ValueError,
    LookupError,
    TypeError,
    AttributeError,
    ArithmeticError,
    OSError,
    EOFError,
    RuntimeError,
    StopIteration,
    AssertionError,
)
"""What trimesh and the reader under it raise on damaged files."""


def read_step(content: bytes) -> Triangles:
    """Read STEP in metres; curved faces become triangles for which 0.05 mm of deviation is asked.

    Raises
    ------
    MeshError
        If the extra that reads STEP is not installed, or the file is damaged.
    """
    if find_spec("cascadio") is None or find_spec("trimesh") is None:
        raise MeshError(
            "STEP needs an extra library: pip install 'finial[step]'; or export STL, OBJ, PLY or 3MF instead"
        )
    vertices, faces, objects = _scene_triangles(_load(content))
    _, first, inverse = np.unique(
        np.round(vertices / _FINEST_M).astype(np.int64), axis=0, return_index=True, return_inverse=True
    )
    return vertices[first], inverse.reshape(-1)[faces], objects


def _load(content: bytes) -> Any:
    trimesh: Any = importlib.import_module("trimesh")
    try:
        return trimesh.load_scene(
            io.BytesIO(content), file_type="step", process=False, tol_linear=0.05, tol_angular=0.3
        )
    except _DAMAGE as error:
        raise MeshError(f"cannot be read as STEP: {error or type(error).__name__}") from error


def _scene_triangles(scene: Any) -> Triangles:
    """Join all meshes of a scene, each moved to where the scene places it."""
    try:
        refuse_many(scene.triangles.shape[0] if scene.geometry else 0)
        whole = scene.to_mesh()
        vertices = np.array(whole.vertices, dtype=np.float64)
        faces = np.array(whole.faces, dtype=np.int64)
    except _DAMAGE as error:
        raise MeshError(f"holds no triangles ({error or type(error).__name__})") from error
    return vertices, faces.reshape(-1, 3), max(1, len(scene.geometry))
