"""OBJ: corners and faces alone. Materials and pictures that it names are never opened."""

import codecs
import re
from array import array
from itertools import pairwise

import numpy as np

from finial.core.errors import MeshError
from finial.files.mesh_limits import refuse_many
from finial.files.mesh_pieces import Triangles

_ROW = re.compile(rb"^[ \t]*([vfo])[ \t]+([^\r\n]*)", re.MULTILINE)
_CONTINUED = re.compile(rb"\\\r?\n")


def read_obj(content: bytes) -> Triangles:
    """Corners in the file's unit, triangles, and the number of objects; faces of more corners are fanned.

    Raises
    ------
    MeshError
        If it is in wide characters, or a row cannot be read; with the row.
    """
    if content.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)) or b"\0" in content[:1000]:
        raise MeshError("is no plain text, or in UTF-16: export it as OBJ in plain text")
    corners, faces, objects = array("d"), array("q"), 0
    for row in _ROW.finditer(_CONTINUED.sub(b" ", content)):
        kind, rest = row[1], row[2]
        try:
            if kind == b"v":
                corners.extend(_numbers(rest))
            elif kind == b"f":
                _fan(faces, rest, len(corners) // 3)
            else:
                objects += 1
        except (ValueError, OverflowError) as error:
            raise MeshError(f"cannot be read as OBJ: the row {row[0][:80]!r}") from error
        if len(faces) % 30_000 == 0:
            refuse_many(len(faces) // 3, len(corners) // 3)
    refuse_many(len(faces) // 3, len(corners) // 3)
    vertices = np.frombuffer(corners, dtype=np.float64).reshape(-1, 3).copy()
    return vertices, np.frombuffer(faces, dtype=np.int64).reshape(-1, 3).copy(), max(1, objects)


def _numbers(rest: bytes) -> tuple[float, float, float]:
    # A fourth number is a weight, further ones are a colour.
    x, y, z = map(float, rest.split(None, 3)[:3])
    return x, y, z


def _fan(faces: "array[int]", rest: bytes, known: int) -> None:
    """Add the triangles of one face; corners count from 1, or backwards from the last one read."""
    numbers = [int(cell.partition(b"/")[0]) for cell in rest.partition(b"#")[0].split()]
    if len(numbers) < 3 or 0 in numbers:
        raise ValueError("a face of fewer than three corners, or with a corner 0")
    at = [number - 1 if number > 0 else known + number for number in numbers]
    for second, third in pairwise(at[1:]):
        faces.extend((at[0], second, third))
