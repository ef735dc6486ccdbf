"""glTF 2.0 and its binary form: the triangles of a scene, in metres.

Sections are those of the Khronos glTF 2.0 specification (ISO/IEC 12113), from memory. Colours, textures and
animations are passed over; what a file keeps in other files, or packs in a way of its own, is refused.
"""

import base64
import binascii
import json
import struct
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import MeshError
from finial.core.trees import is_list, is_table
from finial.files.mesh_limits import refuse_many
from finial.files.mesh_pieces import MOST_PLACES, Piece, Triangles, joined, refuse_many_places

_MAGIC, _JSON, _BINARY = 0x46546C67, 0x4E4F534A, 0x004E4942
_WHOLE = {5121: np.dtype("<u1"), 5123: np.dtype("<u2"), 5125: np.dtype("<u4")}
_FLOAT = 5126
_TRIANGLES, _STRIP, _FAN = 4, 5, 6
_NO_FACES = (0, 1, 2, 3)
"""Points and lines."""
_DEEPEST = 60
_DAMAGE = (ValueError, LookupError, TypeError, AttributeError, ArithmeticError, struct.error, binascii.Error)


def read_gltf(content: bytes) -> Triangles:
    """Corners in metres, triangles, and the number of meshes placed.

    The axes are those of the file, in which +y points up.

    Raises
    ------
    MeshError
        If it is damaged, needs other files or an extension, or holds too many triangles when placed.
    """
    try:
        told, binary = _parts(content)
        _refuse_extensions(told)
        return _Scene(told, binary).placed()
    except (*_DAMAGE, RecursionError) as error:
        raise MeshError(f"cannot be read as glTF: {error or type(error).__name__}") from error


def _parts(content: bytes) -> tuple[dict[str, Any], bytes]:
    """Split a binary file into its words and its numbers; a text file has words alone."""
    if content[:4] != struct.pack("<I", _MAGIC):
        return _table(json.loads(content)), b""
    length = struct.unpack_from("<I", content, 8)[0]
    if length > len(content):
        raise MeshError(f"says it is {length} bytes long and is {len(content)}: the end is missing")
    chunks: dict[int, bytes] = {}
    at = 12
    while at + 8 <= length:
        size, kind = struct.unpack_from("<II", content, at)
        chunks.setdefault(kind, content[at + 8 : at + 8 + size])
        at += 8 + size
    return _table(json.loads(chunks[_JSON])), chunks.get(_BINARY, b"")


def _table(value: object) -> dict[str, Any]:
    if not is_table(value):
        raise MeshError("holds no scene")
    return value


def _refuse_extensions(told: dict[str, Any]) -> None:
    needed = told.get("extensionsRequired", [])
    if needed:
        raise MeshError(f"needs the extension {needed[0]!r}: export it without compression")


@dataclass(frozen=True, slots=True, kw_only=True)
class _Placed:
    """A mesh, where the scene puts it."""

    mesh: int
    matrix: NDArray[np.float64]


class _Scene:
    """What a file says."""

    def __init__(self, told: dict[str, Any], binary: bytes) -> None:
        self._told = told
        self._buffers: list[bytes] = [_buffer(one, binary) for one in told.get("buffers", [])]
        self._counts = [self._triangles_of(mesh) for mesh in told.get("meshes", [])]

    def placed(self) -> Triangles:
        """Every mesh where the scene places it; without nodes, where it was drawn."""
        places = list(self._places())
        refuse_many_places(len(places), "meshes")
        refuse_many(sum(self._counts[one.mesh] for one in places))
        pieces = [piece for one in places for piece in self._pieces(one)]
        if not pieces:
            raise MeshError("holds no triangles")
        drawn, faces = joined(pieces)
        corners, inverse = np.unique(drawn + 0.0, axis=0, return_inverse=True)
        return corners, inverse.reshape(-1)[faces], len(places)

    def _places(self) -> Iterator[_Placed]:
        nodes = self._told.get("nodes", [])
        if not nodes:
            yield from (_Placed(mesh=n, matrix=np.eye(4)) for n in range(len(self._counts)))
            return
        scenes = self._told.get("scenes", [])
        if scenes:
            roots = scenes[self._told.get("scene", 0)].get("nodes", [])
        else:
            below = {child for node in nodes for child in node.get("children", [])}
            roots = [number for number in range(len(nodes)) if number not in below]
        waiting = [(number, np.eye(4), 0) for number in reversed(roots)]
        seen = 0
        while waiting:
            number, above, depth = waiting.pop()
            seen += 1
            if depth > _DEEPEST or seen > MOST_PLACES:
                raise MeshError("nodes within nodes without an end")
            node = nodes[number]
            matrix = above @ _matrix(node)
            if "mesh" in node:
                yield _Placed(mesh=node["mesh"], matrix=matrix)
            waiting += [(child, matrix, depth + 1) for child in reversed(node.get("children", []))]

    def _triangles_of(self, mesh: dict[str, Any]) -> int:
        """Triangles of a mesh, before any is read."""
        total = 0
        for primitive in mesh["primitives"]:
            named = primitive.get("indices", primitive["attributes"]["POSITION"])
            count = int(self._told["accessors"][named]["count"])
            total += count // 3 if primitive.get("mode", _TRIANGLES) == _TRIANGLES else max(count - 2, 0)
        return total

    def _pieces(self, one: _Placed) -> Iterator[Piece]:
        for primitive in self._told["meshes"][one.mesh]["primitives"]:
            mode = primitive.get("mode", _TRIANGLES)
            if mode in _NO_FACES:
                continue
            local = self._numbers(primitive["attributes"]["POSITION"], "VEC3")
            corners = local @ one.matrix[:3, :3].T + one.matrix[:3, 3]
            order = (
                self._numbers(primitive["indices"], "SCALAR").reshape(-1).astype(np.int64)
                if "indices" in primitive
                else np.arange(len(corners))
            )
            faces = _faces(order, mode)
            if len(faces) and faces.max() >= len(corners):
                raise MeshError("a triangle names a corner that is not there")
            # A mirrored place turns its faces round.
            yield corners, faces[:, ::-1] if np.linalg.det(one.matrix[:3, :3]) < 0.0 else faces

    def _numbers(self, number: int, kind: str) -> NDArray[np.float64]:
        """Numbers of an accessor, shape (count, 3) or (count, 1)."""
        accessor = self._told["accessors"][number]
        if "sparse" in accessor:
            raise MeshError("keeps corners as changes to others: export it anew")
        code, count = accessor["componentType"], int(accessor["count"])
        if accessor["type"] != kind or (code != _FLOAT if kind == "VEC3" else code not in _WHOLE):
            raise MeshError(
                f"keeps corners or triangles as {accessor['type']} of type {code}, which is not read"
            )
        dtype = np.dtype("<f4") if code == _FLOAT else _WHOLE[code]
        wide = 3 if kind == "VEC3" else 1
        view = self._told["bufferViews"][accessor["bufferView"]]
        start = int(view.get("byteOffset", 0)) + int(accessor.get("byteOffset", 0))
        step = int(view.get("byteStride", wide * dtype.itemsize))
        content: bytes = self._buffers[int(view["buffer"])]
        if count < 1 or start < 0 or step < wide * dtype.itemsize:
            raise MeshError("keeps its numbers in no place")
        if start + (count - 1) * step + wide * dtype.itemsize > len(content):
            raise MeshError("names numbers beyond its end: the file was cut short")
        told = np.ndarray((count, wide), dtype, content, start, (step, dtype.itemsize))
        return told.astype(np.float64)


def _buffer(told: dict[str, Any], binary: bytes) -> bytes:
    uri = told.get("uri")
    if uri is None:
        return binary
    head, comma, text = str(uri).partition(",")
    if not (head.startswith("data:") and head.endswith(";base64") and comma):
        raise MeshError("keeps its numbers in another file: export it as one file, such as .glb")
    return base64.b64decode(text, validate=True)


def _matrix(node: dict[str, Any]) -> NDArray[np.float64]:
    """Place of a node: its matrix by columns, or shift, turn and scale (section 3.5.3)."""
    if is_list(node.get("matrix")):
        return np.array(node["matrix"], dtype=np.float64).reshape(4, 4).T
    x, y, z, w = np.array(node.get("rotation", (0.0, 0.0, 0.0, 1.0)), dtype=np.float64)
    turn = np.array(
        [
            [1 - 2 * (y * y + z * z), 2 * (x * y - z * w), 2 * (x * z + y * w)],
            [2 * (x * y + z * w), 1 - 2 * (x * x + z * z), 2 * (y * z - x * w)],
            [2 * (x * z - y * w), 2 * (y * z + x * w), 1 - 2 * (x * x + y * y)],
        ]
    )
    place = np.eye(4)
    place[:3, :3] = turn * np.array(node.get("scale", (1.0, 1.0, 1.0)), dtype=np.float64).reshape(3)
    place[:3, 3] = np.array(node.get("translation", (0.0, 0.0, 0.0)), dtype=np.float64).reshape(3)
    return place


def _faces(order: NDArray[np.int64], mode: int) -> NDArray[np.int64]:
    """Triangles of a list, a strip or a fan (section 3.7.2.1)."""
    if mode == _TRIANGLES:
        return order[: len(order) // 3 * 3].reshape(-1, 3)
    if mode not in (_STRIP, _FAN):
        raise MeshError(f"draws in a way of number {mode}, which is none")
    if mode == _FAN:
        return np.column_stack([order[1:-1], order[2:], np.full(max(len(order) - 2, 0), order[0])])
    faces = np.column_stack([order[:-2], order[1:-1], order[2:]])
    faces[1::2] = faces[1::2][:, [0, 2, 1]]
    return faces
