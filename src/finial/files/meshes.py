"""Mesh files read into metres: STL, OBJ, PLY, 3MF, AMF, glTF, and STEP with the extra for it.

All but STEP are read here, without any mesh library: each is then counted before it is joined, and
what is damaged is refused with a reason.
"""

from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import MeshError
from finial.core.units import Dimension, parse_quantity, show
from finial.files.amf import read_amf
from finial.files.gltf import read_gltf
from finial.files.mesh_limits import refuse_large
from finial.files.obj import read_obj
from finial.files.ply import read_ply
from finial.files.sheet_rules import UNITLESS_MESHES
from finial.files.step import read_step
from finial.files.stl import read_stl
from finial.files.threemf import Placed3mf, objects_3mf, read_3mf

UNITS = ("mm", "cm", "m", "in", "ft")
LARGEST_M = 5.0
SMALLEST_M = 0.020
"""A part's longest side lies between these, or its unit is wrong."""

_CARRY_UNITS = {
    ".3mf": read_3mf,
    ".amf": read_amf,
    ".gltf": read_gltf,
    ".glb": read_gltf,
    ".step": read_step,
    ".stp": read_step,
}
_WEB_PAGE = (b"<!doctype html", b"<html")
_POINTER = b"version https://git-lfs"


@dataclass(frozen=True, slots=True, kw_only=True)
class RawMesh:
    """Triangles as a file gave them, in metres and the file's axes; nothing repaired.

    ``vertices_m`` has shape (n, 3), ``faces`` shape (m, 3), both read-only.
    """

    vertices_m: NDArray[np.float64]
    faces: NDArray[np.int64]
    objects: int
    """Separate objects the file holds, joined here into one list of triangles."""
    format: str


@dataclass(frozen=True, slots=True, kw_only=True)
class NamedMesh:
    """One object of a file that holds several."""

    name: str
    """Empty where the file has none."""
    colour: str
    """As ``#RRGGBB``; empty where the file has none."""
    raw: RawMesh


def read_mesh(path: Path, unit: str | None = None) -> RawMesh:
    """Read a mesh file.

    Parameters
    ----------
    path : Path
        The file; its ending says the format.
    unit : str, optional
        One of mm, cm, m, in, ft; needed for STL, OBJ and PLY, which carry none.

    Raises
    ------
    MeshError
        If it is missing, damaged, empty, holds a coordinate that is not finite, or its
        longest side is over 5 m or under 20 mm; the message begins with the file.
    """
    try:
        content = _content(path)
        vertices_m, faces, objects = _triangles_m(content, path.suffix.lower(), unit)
        _check_triangles(vertices_m, faces)
        _check_size(float(np.ptp(vertices_m, axis=0).max()), unit)
    except MeshError as error:
        raise MeshError(f"{path}: {error}") from error
    vertices_m.flags.writeable = faces.flags.writeable = False
    return RawMesh(vertices_m=vertices_m, faces=faces, objects=objects, format=path.suffix.lower()[1:])


def read_objects(path: Path, *, most: int) -> tuple[NamedMesh, ...]:
    """Read the objects of a 3MF file one by one, each where the file places it.

    Raises
    ------
    MeshError
        As :func:`read_mesh`, the message names the object too; or if there are more than so many.
    """
    try:
        every = objects_3mf(_content(path))
        if len(every) > most:
            raise MeshError(f"{len(every)} objects, of which at most {most} become a part each")
    except MeshError as error:
        raise MeshError(f"{path}: {error}") from error
    return tuple(_named(path, one) for one in every)


def _named(path: Path, one: Placed3mf) -> NamedMesh:
    try:
        _check_triangles(one.corners_m, one.faces)
        _check_size(float(np.ptp(one.corners_m[one.faces].reshape(-1, 3), axis=0).max()), None)
    except MeshError as error:
        raise MeshError(f"{path}: object {one.name!r}: {error}") from error
    one.corners_m.flags.writeable = one.faces.flags.writeable = False
    raw = RawMesh(vertices_m=one.corners_m, faces=one.faces, objects=1, format="3mf")
    return NamedMesh(name=one.name, colour=one.colour, raw=raw)


def longest_in_file(path: Path) -> float | None:
    """Longest side of a mesh [in the unit of its file]; ``None`` where the file carries its unit.

    Raises
    ------
    MeshError
        If it is missing, damaged or empty.
    """
    suffix = path.suffix.lower()
    if suffix not in UNITLESS_MESHES:
        return None
    try:
        vertices, faces, _ = _triangles_m(_content(path), suffix, "m")
        _check_triangles(vertices, faces)
    except MeshError as error:
        raise MeshError(f"{path}: {error}") from error
    return float(np.ptp(vertices, axis=0).max())


def _content(path: Path) -> bytes:
    try:
        if not path.is_file():
            raise MeshError("a folder, not a mesh" if path.is_dir() else "no such file")
        refuse_large(path.stat().st_size)
        content = path.read_bytes()
    except OSError as error:
        raise MeshError(error.strerror or str(error)) from error
    start = content[:200].lstrip().lower()
    if not content:
        raise MeshError("the file is empty")
    if start.startswith(_WEB_PAGE):
        raise MeshError("this is a web page, not a mesh: the page was saved instead of the file it offers")
    if start.startswith(_POINTER):
        raise MeshError("this is a pointer to a large file, not the mesh: fetch it with git lfs pull")
    return content


def _triangles_m(
    content: bytes, suffix: str, unit: str | None
) -> tuple[NDArray[np.float64], NDArray[np.int64], int]:
    if suffix == ".stl":
        vertices, faces, objects = read_stl(content)
        return vertices * _metres(unit), faces, objects
    if suffix in (".obj", ".ply"):
        vertices, faces, objects = read_obj(content) if suffix == ".obj" else read_ply(content)
        return vertices * _metres(unit), faces, objects
    if suffix in _CARRY_UNITS:
        return _CARRY_UNITS[suffix](content)
    raise MeshError(f"{suffix or 'no'} ending; STL, OBJ, PLY, 3MF, AMF, glTF and STEP are read")


def _metres(unit: str | None) -> float:
    if unit not in UNITS:
        raise MeshError(f"the file carries no unit: give one of {', '.join(UNITS)} (given: {unit})")
    return parse_quantity(f"1 {unit}", Dimension.LENGTH).value


def _check_triangles(vertices_m: NDArray[np.float64], faces: NDArray[np.int64]) -> None:
    if not len(faces):
        raise MeshError("there is no triangle in it")
    odd = ~np.isfinite(vertices_m)
    if odd.any():
        bad_faces = np.flatnonzero(odd[faces].any(axis=(1, 2)))
        which = f", the first in face {bad_faces[0]}" if len(bad_faces) else ""
        count = np.count_nonzero(odd.any(axis=1))
        said = "1 corner is not a finite number" if count == 1 else f"{count} corners are not finite numbers"
        raise MeshError(f"{said}{which}")
    if not 0 <= faces.min() <= faces.max() < len(vertices_m):
        raise MeshError(f"a face names a corner outside 0 to {len(vertices_m) - 1}")


def _check_size(longest_m: float, unit: str | None) -> None:
    """Refuse a part no one could have printed: its unit is wrong."""
    if SMALLEST_M <= longest_m <= LARGEST_M:
        return
    limits = (
        f"parts between {show(SMALLEST_M, Dimension.LENGTH)} and {show(LARGEST_M, Dimension.LENGTH)} are read"
    )
    if unit is None:
        raise MeshError(
            f"its longest side is {show(longest_m, Dimension.LENGTH)} by the unit in the file; {limits}"
        )
    in_file = longest_m / _metres(unit)
    sizes = ", ".join(f"in {other} {show(in_file * _metres(other), Dimension.LENGTH)}" for other in UNITS)
    raise MeshError(f"its longest side would be {sizes}; {limits}: is mesh_unit = {unit!r} right?")
