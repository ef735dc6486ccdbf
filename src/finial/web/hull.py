"""The hull as bytes for the page: thinned when large, fins left out."""

import math

import numpy as np
from numpy.typing import NDArray

from finial.assemble.vehicle.results import ShapeResult
from finial.shape.mesh import Mesh

MOST_FACES = 100_000
"""More triangles than this are thinned: a picture of a few hundred thousand pixels shows no more."""

DRAWN_FACES = 12_000
"""Triangles of a drawing to keep: each is a piece of the file, of which one sees half."""


_FACES_A_CELL = 2.4
"""Triangles left for each square of a cell's side on the surface, at most: counted on the examples."""
_COARSER = 1.15
_FACES_MEASURED = 50_000


def hull_triangles(shape: ShapeResult) -> int:
    """Count the triangles of the hull's meshes, fins left out: the page says where it draws fewer."""
    return int((~shape.fin_faces).sum())


def hull_bytes(shape: ShapeResult, *, most_faces: int = MOST_FACES) -> bytes:
    """Vertex and face counts (uint32), corners (float32, metres, body axes), faces (uint32); little-endian.

    Fins are not in it: the page draws them from their outlines, so that a changed span needs no new mesh.
    """
    return mesh_bytes(*thinned(*hull_mesh(shape), most_faces=most_faces))


def hull_mesh(shape: ShapeResult) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """Corners and faces of the hull, fins left out."""
    return _without(shape.display_mesh, shape.fin_faces)


def mesh_bytes(vertices: NDArray[np.float64], faces: NDArray[np.int64]) -> bytes:
    """Write a mesh as the page reads it."""
    counts = np.array([len(vertices), len(faces)], dtype="<u4")
    return counts.tobytes() + vertices.astype("<f4").tobytes() + faces.astype("<u4").tobytes()


def thinned(
    vertices: NDArray[np.float64], faces: NDArray[np.int64], *, most_faces: int
) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """Merge the corners within ever larger cells until at most ``most_faces`` triangles are left.

    For pictures only: details smaller than a cell go, and the result may not be closed.
    """
    if len(faces) <= most_faces:
        return vertices, faces
    cell_m = math.sqrt(_FACES_A_CELL * _area_m2(vertices, faces) / most_faces)
    kept = _merged(vertices, faces, cell_m)
    while len(kept[1]) > most_faces:
        cell_m *= _COARSER
        kept = _merged(vertices, faces, cell_m)
    return kept


def _area_m2(vertices: NDArray[np.float64], faces: NDArray[np.int64]) -> float:
    """Area of the faces, reckoned from some of them: where to begin needs no more."""
    step = max(1, len(faces) // _FACES_MEASURED)
    a, b, c = (vertices[faces[::step, corner]] for corner in range(3))
    return float(step * np.linalg.norm(np.cross(b - a, c - a), axis=1).sum() / 2.0)


def _merged(
    vertices: NDArray[np.float64], faces: NDArray[np.int64], cell_m: float
) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    cells = np.floor((vertices - vertices.min(axis=0)) / cell_m).astype(np.int64)
    # One whole number per cell: 21 bits an axis hold any grid made here.
    keys = (cells[:, 0] << 42) | (cells[:, 1] << 21) | cells[:, 2]
    _, owner, count = np.unique(keys, return_inverse=True, return_counts=True)
    means = np.stack([np.bincount(owner, weights=vertices[:, axis]) / count for axis in range(3)], axis=1)
    named = owner[faces]
    a, b, c = named.T
    return means, named[(a != b) & (b != c) & (c != a)]


def _without(mesh: Mesh, left_out: NDArray[np.bool_]) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    faces = mesh.faces[~left_out]
    used, renumbered = np.unique(faces, return_inverse=True)
    return mesh.vertices_m[used], renumbered.reshape(faces.shape)
