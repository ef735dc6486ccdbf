"""3MF: objects, their parts and where the build places them.

The archive is read as a stream and every instance counted before any is placed: a few kilobytes
can ask for a thousand million triangles. Sections are those of the 3MF core specification 1.3, from
memory; parts in other files of the archive are those of its production extension.
"""

import io
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass, field
from xml.parsers import expat

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import MeshError
from finial.files.mesh_limits import refuse_large, refuse_many
from finial.files.mesh_pieces import DAMAGE, DrawnObject, Piece, Triangles, joined, refuse_many_places

_Key = tuple[str, str]
"""Model file in the archive, and the object's number in it."""

METRES = {
    "micron": 1e-6,
    "millimeter": 1e-3,
    "centimeter": 1e-2,
    "inch": 0.0254,
    "foot": 0.3048,
    "meter": 1.0,
}
"""Units of section 3.4; millimetres without one."""
_DEEPEST = 20
_MOST_FILES = 2_000
_PIECE_BYTES = 1 << 20
_LONGEST_WORD_BYTES = 8 << 20


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Placed3mf:
    """One object with triangles of its own, where the build places it; equal only to itself."""

    name: str
    """Empty where the file has none."""
    colour: str
    """As ``#RRGGBB``; empty where the file has none, or several on one object."""
    corners_m: NDArray[np.float64]
    faces: NDArray[np.int64]


@dataclass(slots=True, kw_only=True)
class _Object(DrawnObject):
    """Own corners and triangles, and other objects with the place of each."""

    name: str = ""
    colours: set[tuple[str, str, str]] = field(default_factory=lambda: set())
    """File, group and place in it of each colour that it or its triangles take."""
    components: list[tuple[_Key, NDArray[np.float64]]] = field(default_factory=lambda: [])


def read_3mf(content: bytes) -> Triangles:
    """Corners in metres, triangles, and the number of objects placed.

    Raises
    ------
    MeshError
        If the archive is damaged, unpacks to too much, or holds too many triangles when placed.
    """
    every = objects_3mf(content)
    corners, faces = joined([(one.corners_m, one.faces) for one in every])
    return corners, faces, len(every)


def objects_3mf(content: bytes) -> tuple[Placed3mf, ...]:
    """Every object that has triangles, in metres, where the build places it, with its name and colour.

    Raises
    ------
    MeshError
        As :func:`read_3mf`.
    """
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            refuse_large(sum(entry.file_size for entry in archive.infolist()), doing="unpacks to")
            model = _Model(archive)
            model.read()
    except DAMAGE as error:
        raise MeshError(f"is not a 3MF archive, or damaged ({error or type(error).__name__})") from error
    return model.placed()


class _Model:
    """What the model files of an archive say."""

    def __init__(self, archive: zipfile.ZipFile) -> None:
        self._archive = archive
        self._names = {entry.filename.strip("/"): entry for entry in archive.infolist()}
        self._objects: dict[_Key, _Object] = {}
        self._items: list[tuple[_Key, NDArray[np.float64]]] = []
        self._waiting: list[str] = []
        self._file, self._known = "", set[str]()
        self._object = _Object()
        self._group = ""
        self._colours: dict[tuple[str, str], list[str]] = {}
        self._unit = "millimeter"
        self._counts: dict[_Key, tuple[int, int, int]] = {}

    def read(self) -> None:
        """Read the main model file, and every other that it or one of those names."""
        main = [name for name in self._names if name.lower().endswith("3d/3dmodel.model")]
        if not main:
            raise MeshError("there is no model file in the archive")
        self._unit = self._read_file(main[0], items=True)
        while self._waiting:
            name = self._waiting.pop()
            if name not in self._known:
                if len(self._known) >= _MOST_FILES:
                    raise MeshError(f"more than {_MOST_FILES} model files in the archive")
                self._read_file(name, items=False)

    def placed(self) -> tuple[Placed3mf, ...]:
        """Every instance, where the build places it."""
        if self._unit not in METRES:
            raise MeshError(f"its unit {self._unit!r} is none of the 3MF units")
        counts = [self._count(key, 0) for key, _ in self._items]
        refuse_many_places(sum(count[2] for count in counts))
        refuse_many(sum(count[0] for count in counts), sum(count[1] for count in counts))
        every = tuple(
            Placed3mf(
                name=self._objects[own].name,
                colour=self._colour(self._objects[own]),
                corners_m=corners * METRES[self._unit],
                faces=faces,
            )
            for key, matrix in self._items
            for own, (corners, faces) in self._pieces(key, matrix)
        )
        if not every:
            raise MeshError("holds no triangles that are built")
        return every

    def _colour(self, one: _Object) -> str:
        """Colour of an object that has one; its see-through part is left out."""
        if len(one.colours) != 1:
            return ""
        ((file, group, place),) = one.colours
        known = self._colours.get((file, group), [])
        return known[int(place)][:7] if place.isdecimal() and int(place) < len(known) else ""

    def _count(self, key: _Key, depth: int) -> tuple[int, int, int]:
        """Triangles, corners and instances of an object with all that it is made of."""
        if key in self._counts:
            return self._counts[key]
        if depth > _DEEPEST:
            raise MeshError(f"objects made of objects more than {_DEEPEST} deep, or of themselves")
        if key not in self._objects:
            raise MeshError(f"object {key[1]!r} is placed and not there")
        one = self._objects[key]
        inner = [self._count(other, depth + 1) for other, _ in one.components]
        own = (len(one.faces) // 3, len(one.corners) // 3, 1)
        total = (
            own[0] + sum(count[0] for count in inner),
            own[1] + sum(count[1] for count in inner),
            own[2] + sum(count[2] for count in inner),
        )
        self._counts[key] = total
        return total

    def _pieces(self, key: _Key, matrix: NDArray[np.float64]) -> Iterator[tuple[_Key, Piece]]:
        one = self._objects[key]
        corners, faces = one.piece(key[1])
        if len(faces):
            yield key, (corners @ matrix[:3] + matrix[3], faces)
        for other, place in one.components:
            yield from self._pieces(other, _chained(place, matrix))

    def _read_file(self, name: str, *, items: bool) -> str:
        """Read one model file; return its unit."""
        if name not in self._names:
            raise MeshError(f"the model file {name!r} is named and not there")
        self._file, unit = name, ["millimeter"]
        self._known.add(name)
        parser = expat.ParserCreate(namespace_separator=" ")

        def begins(tag: str, given: dict[str, str]) -> None:
            local = tag.rpartition(" ")[2]
            if local == "model":
                unit[0] = given.get("unit", "millimeter")
            elif local != "item" or items:
                self._begin(local, given)

        parser.StartElementHandler = begins
        parser.StartDoctypeDeclHandler = _refuse_doctype
        fed = 0
        with self._archive.open(self._names[name]) as stream:
            while piece := stream.read(_PIECE_BYTES):
                parser.Parse(piece, False)
                fed += len(piece)
                if fed - max(parser.CurrentByteIndex, 0) > _LONGEST_WORD_BYTES:
                    # The parser reads an unfinished word anew with every piece.
                    raise MeshError("its model holds a word of megabytes")
        parser.Parse(b"", True)
        return unit[0]

    def _begin(self, tag: str, given: dict[str, str]) -> None:
        if tag == "vertex":
            self._object.corners.extend((float(given["x"]), float(given["y"]), float(given["z"])))
        elif tag == "triangle":
            self._object.add_triangle(int(given["v1"]), int(given["v2"]), int(given["v3"]))
            if "pid" in given:
                self._object.colours.add((self._file, given["pid"], given.get("p1", "0")))
        elif tag == "object":
            self._object = self._objects[(self._file, given["id"])] = _Object(name=given.get("name", ""))
            if "pid" in given:
                self._object.colours.add((self._file, given["pid"], given.get("pindex", "0")))
        elif tag in ("basematerials", "colorgroup"):
            self._group = given["id"]
        elif tag in ("base", "color"):
            # Sections 5 of the core, and of its materials extension.
            told = given.get("displaycolor") or given.get("color", "")
            self._colours.setdefault((self._file, self._group), []).append(told)
        elif tag == "component":
            self._object.components.append((self._named(given), _matrix(given)))
        elif tag == "item":
            self._items.append((self._named(given), _matrix(given)))

    def _named(self, given: dict[str, str]) -> _Key:
        """Which object a component or an item is, in this or another model file."""
        other = next((value for name, value in given.items() if name.rpartition(" ")[2] == "path"), "")
        file = other.strip("/") or self._file
        self._waiting.append(file)
        return file, given["objectid"]


def _matrix(given: dict[str, str]) -> NDArray[np.float64]:
    """Place of an object: four rows of three, the last one the shift (section 3.3)."""
    numbers = [float(number) for number in given.get("transform", "1 0 0 0 1 0 0 0 1 0 0 0").split()]
    if len(numbers) != 12:
        raise MeshError(f"a place of {len(numbers)} numbers, 12 make one")
    return np.array(numbers).reshape(4, 3)


def _chained(first: NDArray[np.float64], then: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.vstack([first[:3] @ then[:3], first[3] @ then[:3] + then[3]])


def _refuse_doctype(*_: object) -> None:
    raise MeshError("its model declares a document type, which 3MF forbids")
