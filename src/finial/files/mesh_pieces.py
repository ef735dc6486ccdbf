"""What readers of meshes share: triangles of one object, many of them placed, and one mesh made of all."""

import lzma
import zipfile
import zlib
from array import array
from collections.abc import Sequence
from dataclasses import dataclass, field
from xml.parsers import expat

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import MeshError
from finial.files.mesh_limits import refuse_many

Piece = tuple[NDArray[np.float64], NDArray[np.int64]]
"""Corners, shape (n, 3), and triangles of their numbers, shape (m, 3)."""
Triangles = tuple[NDArray[np.float64], NDArray[np.int64], int]
"""Corners, triangles, and how many objects they are of."""

MOST_PLACES = 20_000
_COUNTED_EACH = 30_000
DAMAGE = (
    zipfile.BadZipFile,
    zlib.error,
    lzma.LZMAError,
    expat.ExpatError,
    NotImplementedError,
    RuntimeError,
    ValueError,
    LookupError,
    OSError,
    EOFError,
    OverflowError,
)
"""What archive, unpacking and markup raise on damaged files."""


@dataclass(slots=True, kw_only=True)
class DrawnObject:
    """Corners and triangles of one object, as they are read."""

    corners: "array[float]" = field(default_factory=lambda: array("d"))
    faces: "array[int]" = field(default_factory=lambda: array("q"))

    def add_triangle(self, first: int, second: int, third: int) -> None:
        """Add one triangle by the numbers of its corners.

        Raises
        ------
        MeshError
            If the object has more triangles than are read.
        """
        self.faces.extend((first, second, third))
        if len(self.faces) % _COUNTED_EACH == 0:
            refuse_many(len(self.faces) // 3)

    def piece(self, name: str) -> Piece:
        """Return corners and triangles; the name is said where a triangle is wrong.

        Raises
        ------
        MeshError
            If a triangle names a corner that is not there.
        """
        faces = np.frombuffer(self.faces, dtype=np.int64).reshape(-1, 3)
        corners = np.frombuffer(self.corners, dtype=np.float64).reshape(-1, 3)
        if len(faces) and not 0 <= faces.min() <= faces.max() < len(corners):
            raise MeshError(f"a triangle of object {name!r} names a corner that is not there")
        return corners, faces


def refuse_many_places(places: int, what: str = "objects") -> None:
    """Refuse more places than are read.

    Raises
    ------
    MeshError
        With the count.
    """
    if places > MOST_PLACES:
        raise MeshError(f"places {what} {places} times; at most {MOST_PLACES} times are read")


def joined(pieces: Sequence[Piece]) -> Piece:
    """Return one set of corners and triangles of all pieces, in their order; at least one piece."""
    offsets = np.cumsum([0, *(len(corners) for corners, _ in pieces)])
    faces = [faces + offset for (_, faces), offset in zip(pieces, offsets[:-1], strict=True)]
    return np.concatenate([corners for corners, _ in pieces]), np.concatenate(faces)
