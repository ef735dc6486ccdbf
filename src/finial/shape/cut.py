"""Cut triangles with many planes across the axis at once, and chain the cuts."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.shape.mesh import FACES_AT_ONCE, Mesh


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """What one plane cuts: closed loops in order, and loose segments where they do not close.

    Each loop has shape (n, 2), first point not repeated, in either sense of turning;
    ``loose_m`` has shape (s, 2, 2): segment, end, (y, z) [m].
    """

    loops: tuple[NDArray[np.float64], ...]
    loose_m: NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Segments:
    """Segments of all planes; ends are nodes, and nodes lie on mesh edges."""

    ends: NDArray[np.int64]
    """(s, 2) node numbers."""
    points_m: NDArray[np.float64]
    """(n, 2) place of each node."""
    plane: NDArray[np.int64]
    """(n,) plane of each node; rises."""


def cuts(mesh: Mesh, stations_m: NDArray[np.float64]) -> list[Cut]:
    """Cut a mesh in body axes with planes across its axis.

    Parameters
    ----------
    mesh : Mesh
        The mesh in body axes [m].
    stations_m : ndarray, shape (k,)
        Rising stations [m] aft of the tip, where :math:`x = -s`.

    Returns
    -------
    cuts : list of Cut
        One for each station: closed loops, and loose segments where the mesh is open.

    Notes
    -----
    Exact for flat faces. Every face finds its planes by bisection, so the work is O(m log k + cuts)
    for m faces and k planes. A vertex that lies on a plane counts as aft of it: the cut is the one
    just ahead, and no case is degenerate. If one node of a plane joins other than two segments, all
    segments of that plane come back loose.

    References
    ----------
    .. [1] Linear interpolation along the edges of a face; definition of a plane cut.

    Examples
    --------
    >>> corner = Mesh(vertices_m=[[0, 0, 0], [-1, 1, 0], [-1, -1, 1], [-1, -1, -1]],
    ...               faces=[[0, 1, 2], [0, 2, 3], [0, 3, 1], [1, 3, 2]])
    >>> [half] = cuts(corner, np.array([0.5]))
    >>> sorted(half.loops[0].tolist()), len(half.loose_m)
    ([[-0.5, -0.5], [-0.5, 0.5], [0.5, 0.0]], 0)
    """
    segments = _segments(mesh, stations_m)
    if segments is None:
        return [Cut(loops=(), loose_m=np.empty((0, 2, 2)))] * len(stations_m)
    even = _only_even_planes(segments, len(stations_m))
    on_even = even[segments.plane[segments.ends[:, 0]]]
    loops = _loops(segments, on_even, len(stations_m))
    loose = _by_plane(segments, ~on_even, len(stations_m))
    return [Cut(loops=tuple(loops[k]), loose_m=loose[k]) for k in range(len(stations_m))]


def _segments(mesh: Mesh, stations_m: NDArray[np.float64]) -> _Segments | None:
    if not len(mesh.faces) or not len(stations_m):
        return None
    station = -mesh.vertices_m[:, 0]
    met = [
        _met(station, mesh.faces[low : low + FACES_AT_ONCE], stations_m)
        for low in range(0, len(mesh.faces), FACES_AT_ONCE)
    ]
    face = np.concatenate([number * FACES_AT_ONCE + one for number, (one, _) in enumerate(met)])
    plane = np.concatenate([one for _, one in met])
    if not len(face):
        return None
    aft = station[mesh.faces[face]] >= stations_m[plane][:, None]
    # The corner that stands alone on its side of the plane; both cut edges start there.
    is_aft: NDArray[np.bool_] = aft.sum(axis=1) == 1
    aft_one: NDArray[np.int64] = aft.argmax(axis=1)
    fore_one: NDArray[np.int64] = (~aft).argmax(axis=1)
    alone = np.where(is_aft, aft_one, fore_one)
    corner = mesh.faces[face, alone]
    others = np.column_stack([mesh.faces[face, (alone + 1) % 3], mesh.faces[face, (alone + 2) % 3]])
    low = np.minimum(corner[:, None], others).reshape(-1)
    high = np.maximum(corner[:, None], others).reshape(-1)
    return _nodes(mesh, low, high, np.repeat(plane, 2), stations_m)


def _met(
    station: NDArray[np.float64], faces: NDArray[np.int64], stations_m: NDArray[np.float64]
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Faces and the planes that they meet, once for each pair."""
    # Column by column: reducing over an axis of length three is many times slower.
    one, two, three = (station[corner] for corner in faces.T)
    low, high = np.minimum(np.minimum(one, two), three), np.maximum(np.maximum(one, two), three)
    near = np.flatnonzero((low < stations_m[-1]) & (high >= stations_m[0]))
    first = np.searchsorted(stations_m, low[near], side="right")
    crossed: NDArray[np.int64] = np.searchsorted(stations_m, high[near], side="right") - first
    within = np.arange(int(crossed.sum())) - np.repeat(np.cumsum(crossed) - crossed, crossed)
    return np.repeat(near, crossed), np.repeat(first, crossed) + within


def _nodes(
    mesh: Mesh,
    low: NDArray[np.int64],
    high: NDArray[np.int64],
    plane: NDArray[np.int64],
    stations_m: NDArray[np.float64],
) -> _Segments:
    """Give each crossing a number: one node for each pair of plane and mesh edge."""
    size = len(mesh.vertices_m)
    edge = low * size + high
    if size * size * len(stations_m) >= 2**63:
        _, edge = np.unique(edge, return_inverse=True)
    key = plane * (int(edge.max()) + 1) + edge
    _, first, node = np.unique(key, return_index=True, return_inverse=True)
    low, high, plane = low[first], high[first], plane[first]
    station = -mesh.vertices_m[:, 0]
    share = (stations_m[plane] - station[low]) / (station[high] - station[low])
    across = mesh.vertices_m[:, 1:]
    points = across[low] + share[:, None] * (across[high] - across[low])
    return _Segments(ends=node.reshape(-1, 2), points_m=points, plane=plane)


def _only_even_planes(segments: _Segments, planes: int) -> NDArray[np.bool_]:
    """Planes whose nodes all join exactly two segments: their cuts are plain loops."""
    degree = np.bincount(segments.ends.reshape(-1), minlength=len(segments.points_m))
    odd = np.bincount(segments.plane, weights=degree != 2, minlength=planes)
    return odd == 0


def _loops(segments: _Segments, chosen: NDArray[np.bool_], planes: int) -> list[list[NDArray[np.float64]]]:
    """Walk from node to node round each loop."""
    found: list[list[NDArray[np.float64]]] = [[] for _ in range(planes)]
    ends = segments.ends[chosen]
    if not len(ends):
        return found
    # Both neighbours of each node: sort the half-segments by node and take them in twos.
    node = np.concatenate([ends[:, 0], ends[:, 1]])
    partner = np.concatenate([ends[:, 1], ends[:, 0]])
    order = np.argsort(node, kind="stable")
    nodes = node[order][::2]
    neighbours = np.full((len(segments.points_m), 2), -1)
    neighbours[nodes] = partner[order].reshape(-1, 2)
    one, two = neighbours[:, 0].tolist(), neighbours[:, 1].tolist()
    seen = bytearray(len(one))
    for start in nodes.tolist():
        if not seen[start]:
            path = _round_trip(start, one, two, seen)
            found[segments.plane[start]].append(segments.points_m[path])
    return found


def _round_trip(start: int, one: list[int], two: list[int], seen: bytearray) -> list[int]:
    path = [start]
    before, here = start, one[start]
    seen[start] = 1
    while here != start:
        seen[here] = 1
        path.append(here)
        onward = two[here] if one[here] == before else one[here]
        before, here = here, onward
    return path


def _by_plane(segments: _Segments, chosen: NDArray[np.bool_], planes: int) -> list[NDArray[np.float64]]:
    ends = segments.ends[chosen]
    plane = segments.plane[ends[:, 0]]
    order = np.argsort(plane, kind="stable")
    points = segments.points_m[ends[order]]
    return np.split(points, np.searchsorted(plane[order], np.arange(1, planes)))
