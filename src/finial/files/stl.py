"""STL, binary and text, read with NumPy alone."""

import re
from collections.abc import Iterator
from typing import NoReturn

import numpy as np
from numpy.typing import NDArray

from finial.core.alike import alike
from finial.core.errors import MeshError
from finial.files.mesh_limits import refuse_many

_HEADER_BYTES = 84
_PIECE_BYTES = 4_000_000
_RECORD = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("attribute", "<u2")])
# Blanks, never line ends: a pattern that runs over empty lines begins anew at each of them.
_BLANK = rb"[ \t\r]"
_BETWEEN = _BLANK + rb"+(\S{1,40})"
_VERTEX = re.compile(
    rb"^" + _BLANK + rb"*vertex" + 3 * _BETWEEN + _BLANK + rb"*$", re.MULTILINE | re.IGNORECASE
)
_SOLID, _END, _FACET = (
    re.compile(rb"^" + _BLANK + rb"*" + word + rb"\b", re.MULTILINE | re.IGNORECASE)
    for word in (b"solid", b"endsolid", b"facet")
)


def read_stl(content: bytes) -> tuple[NDArray[np.float64], NDArray[np.int64], int]:
    """Vertices in the file's unit, faces, and the number of solids; equal corners joined.

    Raises
    ------
    MeshError
        If the file is cut short, has bytes to spare or does not hold triangles.
    """
    begins_as_text = content.lstrip()[:5].lower() == b"solid"
    if begins_as_text and _END.search(content) and not _FACET.search(content):
        _refuse("there is no triangle in it: a solid without a facet")
    is_text = begins_as_text and _FACET.search(content[:2000]) is not None
    corners, solids = _from_text(content) if is_text else (_from_binary(content), 1)
    vertices, faces = joined(corners)
    return vertices, faces, solids


def stl_bytes(vertices: NDArray[np.float64], faces: NDArray[np.int64]) -> bytes:
    """Write triangles as binary STL, in the numbers of the vertices.

    Examples
    --------
    >>> corner = np.array([[0.0, 0, 0], [1, 0, 0], [0, 1, 0], [0, 0, 1]])
    >>> faces = np.array([[0, 2, 1], [0, 1, 3], [1, 2, 3], [0, 3, 2]])
    >>> vertices, again, _ = read_stl(stl_bytes(corner, faces))
    >>> bool((vertices[again] == corner[faces]).all())
    True
    """
    corners = vertices[faces]
    normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    lengths = np.linalg.norm(normals, axis=1, keepdims=True)
    records = np.zeros(len(faces), dtype=_RECORD)
    records["normal"] = normals / np.where(lengths > 0.0, lengths, 1.0)
    records["corners"] = corners
    return b"\0" * (_HEADER_BYTES - 4) + len(faces).to_bytes(4, "little") + records.tobytes()


def joined(corners: NDArray[np.float32]) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """Join equal corners of triangles of shape (m, 3, 3) into vertices and faces.

    Examples
    --------
    >>> strip = [[[0, 0, 0], [1, 0, 0], [0, 1, 0]], [[1, 0, 0], [1, 1, 0], [0, 1, 0]]]
    >>> vertices, faces = joined(np.array(strip, dtype=np.float32))
    >>> len(vertices), faces.shape
    (4, (2, 3))
    """
    points = np.ascontiguousarray(corners.reshape(-1, 3), dtype=np.float32) + np.float32(0)
    # What is left of each number has room for its place: the sort is quicker.
    short = _mixed(points) >> np.uint64(len(points).bit_length() + 1)
    first, inverse = alike(short)
    if not np.array_equal(points[first][inverse], points, equal_nan=True):
        # Two different points mixed into one number: sort the points themselves, several times slower.
        _, first, inverse = np.unique(points, axis=0, return_index=True, return_inverse=True)
    return points[first].astype(np.float64), inverse.reshape(-1, 3).astype(np.int64, copy=False)


def _mixed(points: NDArray[np.float32]) -> NDArray[np.uint64]:
    """One 64-bit number for the bits of each point, equal for equal points."""
    bits = points.view(np.uint32).astype(np.uint64)
    mixed = bits[:, 0] * np.uint64(0x9E3779B97F4A7C15)
    mixed = (mixed ^ (mixed >> np.uint64(29)) ^ bits[:, 1]) * np.uint64(0xBF58476D1CE4E5B9)
    return (mixed ^ (mixed >> np.uint64(32)) ^ bits[:, 2]) * np.uint64(0x94D049BB133111EB)


def _from_binary(content: bytes) -> NDArray[np.float32]:
    if len(content) < _HEADER_BYTES:
        _refuse(f"{len(content)} bytes are too few for an STL file, which has a heading of {_HEADER_BYTES}")
    count = int.from_bytes(content[80:84], "little")
    if len(content) >= _HEADER_BYTES + count * _RECORD.itemsize:
        refuse_many(count)
    wanted, there = count * _RECORD.itemsize, len(content) - _HEADER_BYTES
    if there < wanted:
        _refuse(f"it says {count} triangles but ends after {there // _RECORD.itemsize}: cut short, or no STL")
    if there > wanted + _RECORD.itemsize:
        _refuse(f"{there - wanted} bytes follow the last of {count} triangles: two files in one, or no STL")
    return np.frombuffer(content, dtype=_RECORD, count=count, offset=_HEADER_BYTES)["corners"]


def _from_text(content: bytes) -> tuple[NDArray[np.float32], int]:
    facets, solids = _counted(_FACET, content), _counted(_SOLID, content)
    refuse_many(facets)
    try:
        pieces = [_corners_in(piece) for piece in _pieces(content)]
    except ValueError as error:
        raise MeshError(f"a corner is not a number ({error})") from error
    there = sum(map(len, pieces))
    if there != 3 * facets or _counted(_END, content) < solids:
        _refuse(f"{facets} facets but {there} readable corners: the text was cut short or damaged")
    return np.concatenate(pieces).reshape(-1, 3, 3), solids


def _pieces(content: bytes) -> Iterator[bytes]:
    """Cut a text at line ends into pieces: the words of all of it at once would fill the memory."""
    at = 0
    while at < len(content):
        end = content.find(b"\n", at + _PIECE_BYTES)
        end = len(content) if end < 0 else end + 1
        yield content[at:end]
        at = end


def _corners_in(piece: bytes) -> NDArray[np.float32]:
    found = _VERTEX.findall(piece)
    return np.array(found, dtype="S").astype(np.float32) if found else np.empty((0, 3), dtype=np.float32)


def _counted(pattern: re.Pattern[bytes], content: bytes) -> int:
    return sum(1 for _ in pattern.finditer(content))


def _refuse(what: str) -> NoReturn:
    raise MeshError(what)
