"""PLY, plain and binary: corners and faces, counted against what the heading says."""

import io
import re
from array import array
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import MeshError
from finial.files.mesh_limits import refuse_many
from finial.files.mesh_pieces import Triangles

_TYPES = {
    "char": "i1",
    "uchar": "u1",
    "short": "i2",
    "ushort": "u2",
    "int": "i4",
    "uint": "u4",
    "float": "f4",
    "double": "f8",
    "int8": "i1",
    "uint8": "u1",
    "int16": "i2",
    "uint16": "u2",
    "int32": "i4",
    "uint32": "u4",
    "float32": "f4",
    "float64": "f8",
}
_ORDERS = {"binary_little_endian": "<", "binary_big_endian": ">", "ascii": ""}
_CORNERS = ("vertex_indices", "vertex_index")
_LONGEST_HEADING = 100_000
_MOST_CORNERS_OF_A_FACE = 10_000
_END = re.compile(rb"^end_header[ \t]*\r?\n", re.MULTILINE)
_SPARE_BYTES = 2
"""A line end after the last row of a binary file."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Property:
    """One column of an element; ``count_type`` is empty for a plain number."""

    name: str
    type: str
    count_type: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Element:
    """Rows of one kind."""

    name: str
    count: int
    properties: tuple[_Property, ...]


def read_ply(content: bytes) -> Triangles:
    """Corners in the file's unit, triangles, and 1; faces of more corners are fanned.

    Raises
    ------
    MeshError
        If the heading cannot be read, or the rows are not as many as it says.
    """
    order, elements, start = _heading(content)
    rows = _PlainRows(content, start) if order == "" else _BinaryRows(content, start, order)
    corners: NDArray[np.float64] | None = None
    faces: NDArray[np.int64] | None = None
    try:
        for element in elements:
            if element.name == "vertex":
                refuse_many(0, element.count)
                corners = rows.places(element)
            elif element.name == "face":
                refuse_many(element.count)
                faces = rows.fans(element)
            else:
                rows.skip(element)
        rows.end()
    except (ValueError, OverflowError) as error:
        raise MeshError(f"cannot be read as PLY: {error}") from error
    if corners is None or faces is None:
        raise MeshError("holds no triangles: no faces, or no corners")
    return corners, faces, 1


class _PlainRows:
    """Rows of text, one after another."""

    def __init__(self, content: bytes, start: int) -> None:
        self._stream = io.BytesIO(content)
        self._stream.seek(start)

    def places(self, element: _Element) -> NDArray[np.float64]:
        columns = _place_columns(element)
        wanted = len(element.properties)
        found = array("d")
        for cells in self._rows(element):
            if len(cells) != wanted:
                raise ValueError(f"a corner of {len(cells)} numbers, {wanted} by the heading")
            found.extend(float(cells[column]) for column in columns)
        return np.frombuffer(found, dtype=np.float64).reshape(-1, 3).copy()

    def fans(self, element: _Element) -> NDArray[np.int64]:
        found = array("q")
        for cells in self._rows(element):
            _fan(found, _corners_in(cells, element))
        return np.frombuffer(found, dtype=np.int64).reshape(-1, 3).copy()

    def skip(self, element: _Element) -> None:
        for _ in self._rows(element):
            pass

    def end(self) -> None:
        if any(row.strip() for row in self._stream):
            raise ValueError("more rows follow than the heading says")

    def _rows(self, element: _Element) -> Iterator[list[bytes]]:
        there = 0
        while there < element.count:
            row = self._stream.readline()
            if not row:
                raise ValueError(f"{element.count} rows of {element.name} by the heading, {there} are there")
            cells = row.split()
            if cells:
                there += 1
                yield cells


class _BinaryRows:
    """Rows of bytes, one after another."""

    def __init__(self, content: bytes, start: int, order: str) -> None:
        self._content, self._at, self._order = content, start, order

    def places(self, element: _Element) -> NDArray[np.float64]:
        if any(one.count_type for one in element.properties):
            raise ValueError("corners with lists in them")
        rows = self._plain(
            element, np.dtype([(one.name, self._order + one.type) for one in element.properties])
        )
        return np.stack([rows[axis].astype(np.float64) for axis in "xyz"], axis=1)

    def fans(self, element: _Element) -> NDArray[np.int64]:
        alike = self._triangles_alone(element)
        if alike is not None:
            return alike
        found = array("q")
        for _ in range(element.count):
            _fan(found, self._row(element))
        return np.frombuffer(found, dtype=np.int64).reshape(-1, 3).copy()

    def skip(self, element: _Element) -> None:
        for _ in range(element.count if element.properties else 0):
            self._row(element)

    def end(self) -> None:
        spare = len(self._content) - self._at
        if spare > _SPARE_BYTES:
            raise ValueError(f"{spare} bytes follow the rows that the heading says")

    def _triangles_alone(self, element: _Element) -> NDArray[np.int64] | None:
        """Read all rows at once where each is one list of three; ``None`` where they are not."""
        if len(element.properties) != 1 or element.properties[0].name not in _CORNERS:
            return None
        (corners,) = element.properties
        row = np.dtype([("count", self._order + corners.count_type), ("at", self._order + corners.type, 3)])
        if len(self._content) - self._at < element.count * row.itemsize:
            return None
        rows = np.frombuffer(self._content, dtype=row, count=element.count, offset=self._at)
        if not (rows["count"] == 3).all():
            return None
        self._at += element.count * row.itemsize
        return rows["at"].astype(np.int64)

    def _row(self, element: _Element) -> list[int]:
        found: list[int] = []
        for one in element.properties:
            count = 1
            if one.count_type:
                count = int(self._numbers(one.count_type, 1, element)[0])
            numbers = self._numbers(one.type, count, element)
            if one.name in _CORNERS:
                found = [int(number) for number in numbers]
        return found

    def _numbers(self, kind: str, count: int, element: _Element) -> NDArray[np.generic]:
        dtype = np.dtype(self._order + kind)
        if not 0 <= count <= _MOST_CORNERS_OF_A_FACE:
            raise ValueError(f"a list of {count} numbers")
        self._need(count * dtype.itemsize, element)
        numbers = np.frombuffer(self._content, dtype=dtype, count=count, offset=self._at)
        self._at += count * dtype.itemsize
        return numbers

    def _plain(self, element: _Element, row: np.dtype[np.void]) -> NDArray[np.void]:
        self._need(element.count * row.itemsize, element)
        rows = np.frombuffer(self._content, dtype=row, count=element.count, offset=self._at)
        self._at += element.count * row.itemsize
        return rows

    def _need(self, size: int, element: _Element) -> None:
        if len(self._content) - self._at < size:
            raise ValueError(f"it ends before the last of {element.count} rows of {element.name}")


def _heading(content: bytes) -> tuple[str, tuple[_Element, ...], int]:
    """Order of bytes, elements, and where the first row begins."""
    end = _END.search(content, 0, _LONGEST_HEADING)
    if not content.startswith(b"ply") or end is None:
        raise MeshError("cannot be read as PLY: its heading is damaged, or it is none")
    rows = [row.split() for row in content[: end.start()].decode("latin-1").splitlines()]
    formats = [row[1] for row in rows if len(row) > 1 and row[0] == "format"]
    if len(formats) != 1 or formats[0] not in _ORDERS:
        raise MeshError("cannot be read as PLY: the heading names no format that is known")
    try:
        elements = tuple(_elements([row for row in rows if row and row[0] in ("element", "property")]))
    except (ValueError, IndexError, KeyError) as error:
        raise MeshError(f"cannot be read as PLY: a row of the heading ({error})") from error
    return _ORDERS[formats[0]], elements, end.end()


def _elements(rows: list[list[str]]) -> Iterator[_Element]:
    starts = [number for number, row in enumerate(rows) if row[0] == "element"]
    for start, stop in pairwise([*starts, len(rows)]):
        _, name, count = rows[start]
        properties = tuple(map(_property, rows[start + 1 : stop]))
        if int(count) < 0 or len({one.name for one in properties}) != len(properties):
            raise ValueError(f"element {name}")
        yield _Element(name=name, count=int(count), properties=properties)


def _property(row: list[str]) -> _Property:
    if row[1] == "list":
        _, _, count_type, kind, name = row
        return _Property(name=name, type=_TYPES[kind], count_type=_TYPES[count_type])
    _, kind, name = row
    return _Property(name=name, type=_TYPES[kind])


def _place_columns(element: _Element) -> tuple[int, int, int]:
    names = [one.name for one in element.properties]
    if any(one.count_type for one in element.properties) or not {"x", "y", "z"} <= set(names):
        raise ValueError("corners without x, y and z, or with lists in them")
    return names.index("x"), names.index("y"), names.index("z")


def _corners_in(cells: list[bytes], element: _Element) -> list[int]:
    """Corners of a face in its row of text, whose every cell must belong to some column."""
    found: list[int] = []
    at = 0
    for one in element.properties:
        count = 1
        if one.count_type:
            count, at = int(cells[at]) if at < len(cells) else 1, at + 1
        numbers = cells[at : at + count]
        at += count
        if one.name in _CORNERS:
            found = [int(number) for number in numbers]
    if at != len(cells):
        raise ValueError(f"a face of {len(cells)} numbers, {at} by its own count")
    return found


def _fan(faces: "array[int]", corners: list[int]) -> None:
    if len(corners) < 3:
        raise ValueError(f"a face of {len(corners)} corners")
    for second, third in pairwise(corners[1:]):
        faces.extend((corners[0], second, third))
    refuse_many(len(faces) // 3)
