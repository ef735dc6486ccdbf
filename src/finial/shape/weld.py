"""Join vertices that mean the same point, and drop faces that say nothing."""

from dataclasses import dataclass
from itertools import product
from typing import Any

import numpy as np
from numpy.typing import NDArray

from finial.core.alike import alike
from finial.core.errors import MeshError
from finial.shape.bodies import components
from finial.shape.edges import edge_table
from finial.shape.mesh import Mesh, used_only

WELD_DISTANCE_M = 20e-6
"""Vertices closer than this are one point [m]: well below what a printer resolves."""

_ROUNDING_M = 1e-6
"""Less than this is how a file rounds, not a change [m]."""
_MIXERS = tuple(map(np.uint64, (0x9E3779B97F4A7C15, 0xBF58476D1CE4E5B9, 0x94D049BB133111EB)))
_GRID_CELLS = 2**21 - 1
"""Cells along each axis so that three cell numbers fit one 63-bit key."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Welded:
    """A mesh whose faces share vertices, and what was moved and dropped."""

    mesh: Mesh
    degenerate_faces: int
    duplicate_faces: int
    moved_corners: int
    """Corners that lay apart and were put where another is."""
    moved_m: float
    """How far the farthest of them moved [m]."""


def welded(mesh: Mesh, *, distance_m: float = WELD_DISTANCE_M) -> Welded:
    """Weld vertices that mean one point and drop degenerate and duplicate faces.

    Parameters
    ----------
    mesh : Mesh
        A mesh as a file has it [m].
    distance_m : float
        Vertices closer than this become one [m].

    Returns
    -------
    clean : Welded
        The mesh, how many corners were moved, and how many faces were dropped of either kind.

    Raises
    ------
    MeshError
        If no face is left.

    Notes
    -----
    A face is degenerate when two of its corners become one point, and duplicate when
    another face has the same three corners. Two faces back to back are kept where they are
    the contact between two closed bodies: every edge then has an even number of faces. Vertices in a
    chain, each close to the next, become one point however long the chain.

    References
    ----------
    .. [1] Clusters of near points as connected components; the distance, 20 um unless told otherwise,
       lies well below what a printer resolves.

    Examples
    --------
    >>> corners = [[0, 0, 0], [1, 0, 0], [0, 1, 0], [1, 1e-6, 0], [1, 1, 0], [0, 1, 1e-6]]
    >>> clean = welded(Mesh(vertices_m=corners, faces=[[0, 1, 2], [3, 4, 5], [0, 1, 3]]))
    >>> len(clean.mesh.vertices_m), len(clean.mesh.faces), clean.degenerate_faces
    (4, 2, 1)
    """
    vertices, faces = _merge_same(mesh.vertices_m, mesh.faces)
    vertices, faces, moved = _merge_close(vertices, faces, distance_m)
    flat = (faces[:, 0] == faces[:, 1]) | (faces[:, 1] == faces[:, 2]) | (faces[:, 2] == faces[:, 0])
    kept = faces[~flat]
    if not len(kept):
        raise MeshError(f"no usable face in the mesh: {len(faces)} read, {int(flat.sum())} without area")
    first = _without_duplicates(kept, len(vertices))
    used, compact = used_only(kept[first], len(vertices))
    return Welded(
        mesh=Mesh(vertices_m=vertices[used], faces=compact),
        degenerate_faces=int(flat.sum()),
        duplicate_faces=len(kept) - len(first),
        moved_corners=int(np.count_nonzero(moved > _ROUNDING_M)),
        moved_m=float(moved.max(initial=0.0)),
    )


def _merge_same(
    vertices: NDArray[np.float64], faces: NDArray[np.int64]
) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """Merge equal vertices by one integer key each: far quicker than comparing rows."""
    if not len(vertices):
        raise MeshError("the mesh has no vertices")
    low = vertices.min(axis=0)
    # Cells of at most a tenth of the welding distance for anything up to four metres long.
    cell = max(float(np.ptp(vertices, axis=0).max()) / _GRID_CELLS, 1e-9)
    cells = np.floor((vertices - low) / cell).astype(np.int64)
    key = (cells[:, 0] << 42) | (cells[:, 1] << 21) | cells[:, 2]
    first, which = alike(key)
    return vertices[first], which[faces]


def _merge_close(
    vertices: NDArray[np.float64], faces: NDArray[np.int64], distance_m: float
) -> tuple[NDArray[np.float64], NDArray[np.int64], NDArray[np.float64]]:
    """Join what is close; return also how far each vertex moved [m]."""
    from scipy.spatial import KDTree

    crowded = _crowded(vertices, distance_m)
    if not len(crowded):
        return vertices, faces, np.zeros(0)
    # SciPy tells no types.
    tree: Any = KDTree(vertices[crowded])
    pairs: NDArray[np.int64] = crowded[tree.query_pairs(distance_m, output_type="ndarray")]
    if not len(pairs):
        return vertices, faces, np.zeros(0)
    cluster = components(len(vertices), pairs)
    _, first = np.unique(cluster, return_index=True)
    moved = np.linalg.norm(vertices - vertices[first][cluster], axis=1)
    return vertices[first], cluster[faces], moved


def _crowded(vertices: NDArray[np.float64], distance_m: float) -> NDArray[np.int64]:
    """Find all vertices that may have another one so close: those that share a cell of one of eight grids.

    Cells are more than twice as wide as the distance, and the grids half a cell apart along each axis, so
    that two close vertices stand on one side of every border in one of them.
    """
    offsets = [column - column.min() for column in np.ascontiguousarray(vertices.T)]
    cell = max(4.0 * distance_m, max(float(offset.max()) for offset in offsets) / (_GRID_CELLS - 2))
    columns = [offset / cell for offset in offsets]
    cells = [
        (np.floor(column).astype(np.int64), np.floor(column + 0.5).astype(np.int64)) for column in columns
    ]
    crowded = np.zeros(len(vertices), dtype=bool)
    for x, y, z in product(*cells):
        key = (x << 42) | (y << 21) | z
        ranked = np.sort(key)
        shared = ranked[1:][ranked[1:] == ranked[:-1]]
        if len(shared):
            crowded |= np.isin(key, shared)
    return np.flatnonzero(crowded)


def _without_duplicates(faces: NDArray[np.int64], vertex_count: int) -> NDArray[np.int64]:
    """Rows of the faces to keep."""
    if _surely_differ(faces):
        return np.arange(len(faces))
    turn = faces.argmin(axis=1)
    rows = np.arange(len(faces))
    a, b, c = (faces[rows, (turn + step) % 3] for step in range(3))
    single = _first_of_each(a, b, c, vertex_count)
    a, low, high = a[single], np.minimum(b, c)[single], np.maximum(b, c)[single]
    alone = _first_of_each(a, low, high, vertex_count)
    if len(alone) == len(single):
        return single
    back_to_back = np.ones(len(single), dtype=bool)
    back_to_back[alone] = False
    # A surface drawn from both sides all over is one surface, not bodies in contact.
    if 2.2 * back_to_back.sum() > len(single):
        return single[alone]
    excess = back_to_back & _has_odd_edge(faces[single])
    return single[~excess]


def _surely_differ(faces: NDArray[np.int64]) -> bool:
    """Whether no two faces have the same three corners; seldom false where that is so."""
    a, b, c = np.ascontiguousarray(faces.T).astype(np.uint64)
    low, high = np.minimum(np.minimum(a, b), c), np.maximum(np.maximum(a, b), c)
    mixed = (low * _MIXERS[0] ^ (a + b + c)) * _MIXERS[1]
    mixed = (mixed ^ (mixed >> np.uint64(31)) ^ high) * _MIXERS[2]
    ranked = np.sort(mixed)
    return not bool((ranked[1:] == ranked[:-1]).any())


def _first_of_each(
    a: NDArray[np.int64], b: NDArray[np.int64], c: NDArray[np.int64], vertex_count: int
) -> NDArray[np.int64]:
    # Rank pairs first: three vertex numbers of a large mesh would overflow one key.
    _, ab = alike(a * vertex_count + b)
    first, _ = alike(ab * vertex_count + c)
    return np.sort(first)


def _has_odd_edge(faces: NDArray[np.int64]) -> NDArray[np.bool_]:
    edges = edge_table(faces)
    odd = np.empty(len(edges.order), dtype=bool)
    odd[edges.order] = np.repeat(edges.count % 2 == 1, edges.count)
    one, two, three = odd.reshape(-1, 3).T
    return one | two | three
