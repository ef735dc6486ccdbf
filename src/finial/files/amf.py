"""AMF: objects with their volumes, and where a constellation places them.

The elements are those of ISO/ASTM 52915, additive manufacturing file format, from memory. Colours, materials
and textures are passed over; faces that the file means to be curved are refused, not flattened.
"""

import io
import math
import zipfile
from dataclasses import dataclass, field
from xml.parsers import expat

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import MeshError
from finial.files.mesh_limits import refuse_large, refuse_many
from finial.files.mesh_pieces import DAMAGE, DrawnObject, Piece, Triangles, joined, refuse_many_places

METRES = {
    "millimeter": 1e-3,
    "inch": 0.0254,
    "feet": 0.3048,
    "foot": 0.3048,
    "meter": 1.0,
    "micron": 1e-6,
    "micrometer": 1e-6,
}
"""Units of the standard; millimetres without one."""
_ZIP = b"PK\x03\x04"
_DEEPEST = 20
_LONGEST_NUMBER = 64
_CURVED = ("normal", "edge")
_COORDINATES = ("x", "y", "z")
_CORNERS = ("v1", "v2", "v3")
_SHIFTS = ("deltax", "deltay", "deltaz")
_TURNS = ("rx", "ry", "rz")
_NUMBERS = frozenset((*_COORDINATES, *_CORNERS, *_SHIFTS, *_TURNS))


@dataclass(slots=True, kw_only=True)
class _Instance:
    """One object or constellation, where a constellation puts it: turned about x, y, z, then shifted."""

    of: str
    numbers: dict[str, float] = field(default_factory=dict[str, float])

    def placed(self, corners: NDArray[np.float64]) -> NDArray[np.float64]:
        for axis, name in enumerate(_TURNS):
            corners = corners @ _turn(axis, math.radians(self.numbers.get(name, 0.0))).T
        return corners + np.array([self.numbers.get(name, 0.0) for name in _SHIFTS])


def read_amf(content: bytes) -> Triangles:
    """Corners in metres, triangles, and the number of objects placed.

    Raises
    ------
    MeshError
        If it is damaged, means its faces to be curved, or holds too many triangles when placed.
    """
    try:
        model = _Model()
        model.read(_unpacked(content))
        return model.placed()
    except DAMAGE as error:
        raise MeshError(f"cannot be read as AMF: {error or type(error).__name__}") from error


def _unpacked(content: bytes) -> bytes:
    """Return the text itself: a file may be an archive of one."""
    if not content.startswith(_ZIP):
        return content
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        refuse_large(sum(entry.file_size for entry in archive.infolist()), doing="unpacks to")
        return archive.read(archive.infolist()[0])


class _Model:
    """What the elements of a file say."""

    def __init__(self) -> None:
        self._unit = "millimeter"
        self._objects: dict[str, DrawnObject] = {}
        self._groups: dict[str, list[_Instance]] = {}
        self._object = DrawnObject()
        self._group: list[_Instance] = []
        self._first_corner = 0
        self._numbers: dict[str, float] = {}
        self._text = ""
        self._within = ""

    def read(self, content: bytes) -> None:
        """Read every element."""
        parser = expat.ParserCreate()
        parser.StartElementHandler = self._begin
        parser.EndElementHandler = self._end
        parser.CharacterDataHandler = self._said
        parser.StartDoctypeDeclHandler = _refuse_doctype
        parser.Parse(content, True)

    def placed(self) -> Triangles:
        """Every object where its constellations place it; without one, where it was drawn."""
        if self._unit not in METRES:
            raise MeshError(f"its unit {self._unit!r} is none of the AMF units")
        held = {one.of for group in self._groups.values() for one in group}
        tops = [name for name in self._groups if name not in held] or list(self._objects)
        if self._groups and not any(name in self._groups for name in tops):
            raise MeshError("constellations made of one another")
        self._refuse_many(tops)
        pieces = [piece for name in tops for piece in self._pieces(name)]
        if not pieces:
            raise MeshError("holds no triangles")
        corners, faces = joined(pieces)
        return corners * METRES[self._unit], faces, len(pieces)

    def _refuse_many(self, tops: list[str]) -> None:
        counted: dict[str, tuple[int, int]] = {}
        totals = [self._count(name, 0, counted) for name in tops]
        refuse_many_places(sum(total[1] for total in totals))
        refuse_many(sum(total[0] for total in totals))

    def _count(self, name: str, depth: int, counted: dict[str, tuple[int, int]]) -> tuple[int, int]:
        """Triangles and places of one object or constellation."""
        if name in counted:
            return counted[name]
        if depth > _DEEPEST:
            raise MeshError(f"constellations more than {_DEEPEST} deep, or of themselves")
        if name in self._groups:
            inner = [self._count(one.of, depth + 1, counted) for one in self._groups[name]]
            total = (sum(one[0] for one in inner), sum(one[1] for one in inner))
        elif name in self._objects:
            total = (len(self._objects[name].faces) // 3, 1)
        else:
            raise MeshError(f"object {name!r} is placed and not there")
        counted[name] = total
        return total

    def _pieces(self, name: str) -> list[Piece]:
        if name in self._groups:
            return [
                (one.placed(corners), faces)
                for one in self._groups[name]
                for corners, faces in self._pieces(one.of)
            ]
        piece = self._objects[name].piece(name)
        return [piece] if len(piece[1]) else []

    def _begin(self, tag: str, given: dict[str, str]) -> None:
        self._text, self._within = "", tag
        if tag == "amf":
            self._unit = given.get("unit", "millimeter").lower()
        elif tag == "object":
            self._object = self._objects[given["id"]] = DrawnObject()
        elif tag == "mesh":
            self._first_corner = len(self._object.corners) // 3
        elif tag == "constellation":
            self._group = self._groups[given["id"]] = []
        elif tag in _CURVED:
            raise MeshError("its faces are meant to be curved: export it with flat triangles")
        elif tag in ("vertex", "triangle", "instance"):
            self._numbers = {}
            if tag == "instance":
                self._group.append(_Instance(of=given["objectid"], numbers=self._numbers))

    def _said(self, text: str) -> None:
        if self._within in _NUMBERS:
            self._text += text
            if len(self._text) > _LONGEST_NUMBER:
                raise MeshError("a number of more than 64 letters")

    def _end(self, tag: str) -> None:
        if tag in _NUMBERS:
            self._numbers[tag] = float(self._text)
        elif tag == "vertex":
            self._object.corners.extend(self._numbers[axis] for axis in _COORDINATES)
        elif tag == "triangle":
            self._object.add_triangle(*(int(self._numbers[v]) + self._first_corner for v in _CORNERS))
        self._within = ""


def _turn(axis: int, angle_rad: float) -> NDArray[np.float64]:
    """Right-handed turn about one axis."""
    turn = np.eye(3)
    first, second = (axis + 1) % 3, (axis + 2) % 3
    turn[first, first] = turn[second, second] = math.cos(angle_rad)
    turn[second, first] = math.sin(angle_rad)
    turn[first, second] = -math.sin(angle_rad)
    return turn


def _refuse_doctype(*_: object) -> None:
    raise MeshError("it declares a document type, which AMF does without")
