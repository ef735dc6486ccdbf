"""Holes in a mesh: their rims, and caps over them."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.shape.edges import EdgeTable
from finial.shape.mesh import Mesh

_SMALL = 0.1
_NEARLY_FLAT = 0.02


@dataclass(frozen=True, slots=True, kw_only=True)
class Capped:
    """A mesh with its holes capped: how many, the widest [m], and rim edges left open."""

    mesh: Mesh
    holes: int
    widest_m: float
    open_edges: int


def capped(mesh: Mesh, edges: EdgeTable) -> Capped:
    """Cap holes with a fan from the middle of the rim.

    Parameters
    ----------
    mesh : Mesh
        A mesh whose faces agree.
    edges : EdgeTable
        Its edges.

    Returns
    -------
    whole : Capped
        The mesh with its caps, how many, the widest [m], and rim edges that stay open.

    Notes
    -----
    A rim is capped when it is one closed loop that is narrower than a tenth of the mesh or flat
    within 2 % of its width. A slot down the whole side of a tube is neither, and a fan across it
    would cut into the tube. A fan over a rim that is not star-shaped folds over itself: its area
    is wrong, the outline of a cut stays right.

    References
    ----------
    .. [1] No published method: the two limits are ours.

    Examples
    --------
    >>> from finial.shape.bodies import edges_of
    >>> corner = Mesh(vertices_m=[[0, 0, 0], [1, 0, 0], [0, 1, 0], [0, 0, 1]],
    ...               faces=[[0, 2, 1], [0, 1, 3], [1, 2, 3]])
    >>> whole = capped(corner, edges_of(corner))
    >>> whole.holes, whole.open_edges, len(whole.mesh.faces)
    (1, 0, 6)
    """
    closed, left_open = rims_of(edges)
    size = float(np.linalg.norm(np.ptp(mesh.vertices_m, axis=0)))
    rims = [rim for rim in closed if _can_be_capped(mesh.vertices_m[rim], size)]
    left_open += sum(map(len, closed)) - sum(map(len, rims))
    if not rims:
        return Capped(mesh=mesh, holes=0, widest_m=0.0, open_edges=left_open)
    vertices, faces = [mesh.vertices_m], [mesh.faces]
    for number, rim in enumerate(rims):
        vertices.append(mesh.vertices_m[rim].mean(axis=0, keepdims=True))
        middle = np.full(len(rim), len(mesh.vertices_m) + number)
        # The rim runs as its faces do, so a face on the other side runs against it.
        faces.append(np.column_stack([np.roll(rim, -1), rim, middle]))
    return Capped(
        mesh=Mesh(vertices_m=np.concatenate(vertices), faces=np.concatenate(faces)),
        holes=len(rims),
        widest_m=max(_across(mesh.vertices_m[rim]) for rim in rims),
        open_edges=left_open,
    )


def rims_of(edges: EdgeTable) -> tuple[list[NDArray[np.int64]], int]:
    """Walk along the rims of holes.

    Parameters
    ----------
    edges : EdgeTable
        Edges of a mesh whose faces agree.

    Returns
    -------
    closed : list of ndarray of int
        Vertices of each rim that closes, in order.
    left_open : int
        Edges of those that do not.

    Notes
    -----
    Exact where no two rims share a vertex; else they may come out as one.

    References
    ----------
    .. [1] Definition: edges of one face only.

    Examples
    --------
    >>> from finial.shape.edges import edge_table
    >>> rims_of(edge_table(np.array([[0, 2, 1], [0, 1, 3], [1, 2, 3]])))[0][0].tolist()
    [0, 2, 3]
    """
    ways_on: dict[int, list[int]] = {}
    for half in edges.open_half_edges:
        ways_on.setdefault(int(edges.tail[half]), []).append(int(edges.head[half]))
    rims: list[NDArray[np.int64]] = []
    left_open = 0
    while ways_on:
        path = _walk(ways_on, next(iter(ways_on)))
        if path[0] == path[-1] and len(path) > 3:
            rims.append(np.array(path[:-1], dtype=np.int64))
        else:
            left_open += len(path) - 1
    return rims, left_open


def _across(rim_m: NDArray[np.float64]) -> float:
    """Distance of two corners of a rim that lie about as far apart as any [m]."""
    far = rim_m[np.linalg.norm(rim_m - rim_m[0], axis=1).argmax()]
    return float(np.linalg.norm(rim_m - far, axis=1).max())


def _can_be_capped(rim_m: NDArray[np.float64], size_m: float) -> bool:
    spread = rim_m - rim_m.mean(axis=0)
    widest = float(np.linalg.norm(np.ptp(rim_m, axis=0)))
    if widest < _SMALL * size_m:
        return True
    _, _, axes = np.linalg.svd(spread, full_matrices=False)
    return float(np.ptp(spread @ axes[-1])) < _NEARLY_FLAT * widest


def _walk(ways_on: dict[int, list[int]], start: int) -> list[int]:
    """Follow a rim from ``start`` until it comes back or ends, using up its edges."""
    path = [start]
    while path[-1] in ways_on:
        onward = ways_on[path[-1]]
        step = onward.pop()
        if not onward:
            del ways_on[path[-1]]
        path.append(step)
        if step == start:
            break
    return path
