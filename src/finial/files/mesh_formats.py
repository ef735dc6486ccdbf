"""OBJ, PLY, 3MF and STEP, read through trimesh, which is imported only here."""

import io
import zipfile
from importlib.util import find_spec
from typing import Any

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import MeshError

Triangles = tuple[NDArray[np.float64], NDArray[np.int64], int]

_METRES_3MF = {
    "micron": 1e-6,
    "millimeter": 1e-3,
    "millimeters": 1e-3,
    "centimeter": 1e-2,
    "inch": 0.0254,
    "foot": 0.3048,
    "meter": 1.0,
}
"""Units of the 3MF core specification, section 3.4; trimesh names the default in the plural."""
_LARGEST_UNPACKED_BYTES = 4_000_000_000
_STEP_FINEST_M = 1e-8
"""STEP faces come unjoined; corners this close are one."""

# What trimesh and the parsers under it raise on damaged files; lxml's own error is a SyntaxError.
_DAMAGE = (
    ValueError,
    LookupError,
    TypeError,
    AttributeError,
    ArithmeticError,
    OSError,
    EOFError,
    RuntimeError,
    SyntaxError,
    StopIteration,
    AssertionError,
    zipfile.BadZipFile,
)


def read_plain(content: bytes, file_type: str) -> Triangles:
    """Read OBJ or PLY in the file's own unit; materials and pictures they name are not opened."""
    options = {"skip_materials": True} if file_type == "obj" else {}
    return _scene_triangles(_load(content, file_type, **options))


def read_3mf(content: bytes) -> Triangles:
    """Read 3MF in metres, from the unit it carries."""
    _refuse_zip_bomb(content)
    scene = _load(content, "3mf")
    vertices, faces, objects = _scene_triangles(scene)
    unit = next((shape.metadata.get("units") for shape in scene.geometry.values()), "millimeter")
    if unit not in _METRES_3MF:
        raise MeshError(f"its unit {unit!r} is none of the 3MF units")
    return vertices * _METRES_3MF[unit], faces, objects


def read_step(content: bytes) -> Triangles:
    """Read STEP in metres; curved faces become triangles for which 0.05 mm of deviation is asked.

    Raises
    ------
    MeshError
        If the extra that reads STEP is not installed, or the file is damaged.
    """
    if find_spec("cascadio") is None:
        raise MeshError(
            "STEP needs an extra library: pip install 'finial[step]'; or export STL, OBJ, PLY or 3MF instead"
        )
    vertices, faces, objects = _scene_triangles(_load(content, "step", tol_linear=0.05, tol_angular=0.3))
    _, first, inverse = np.unique(
        np.round(vertices / _STEP_FINEST_M).astype(np.int64), axis=0, return_index=True, return_inverse=True
    )
    return vertices[first], inverse.reshape(-1)[faces], objects


def _load(content: bytes, file_type: str, **options: Any) -> Any:
    import trimesh

    try:
        return trimesh.load_scene(  # pyright: ignore[reportUnknownMemberType]
            io.BytesIO(content), file_type=file_type, process=False, **options
        )
    except _DAMAGE as error:
        raise MeshError(f"cannot be read as {file_type.upper()}: {error or type(error).__name__}") from error


def _scene_triangles(scene: Any) -> Triangles:
    """Join all meshes of a scene, each moved to where the scene places it."""
    try:
        whole = scene.to_mesh()
        vertices = np.array(whole.vertices, dtype=np.float64)
        faces = np.array(whole.faces, dtype=np.int64)
    except _DAMAGE as error:
        raise MeshError(f"holds no triangles ({error or type(error).__name__})") from error
    return vertices, faces.reshape(-1, 3), max(1, len(scene.geometry))


def _refuse_zip_bomb(content: bytes) -> None:
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            unpacked = sum(entry.file_size for entry in archive.infolist())
    except zipfile.BadZipFile as error:
        raise MeshError(f"is not a 3MF archive ({error})") from error
    if unpacked > _LARGEST_UNPACKED_BYTES:
        raise MeshError(
            f"unpacks to {unpacked / 1e9:.0f} GB; at most {_LARGEST_UNPACKED_BYTES / 1e9:.0f} GB are read"
        )
