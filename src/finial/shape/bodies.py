"""Bodies within one mesh: which faces hang together, and which way they face."""

import numpy as np
from numpy.typing import NDArray

from finial.shape.edges import EdgeTable, edge_table
from finial.shape.mesh import Mesh

_SCRAP = 1e-6


def body_of_each_face(edges: EdgeTable) -> NDArray[np.int64]:
    """Body number of each face [-]: faces joined across ordinary edges, shape (m,)."""
    return _components(len(edges.tail) // 3, edges.pairs // 3)


def _components(size: int, links: NDArray[np.int64]) -> NDArray[np.int64]:
    from scipy.sparse import coo_matrix
    from scipy.sparse.csgraph import connected_components

    graph = coo_matrix((np.ones(len(links), dtype=bool), (links[:, 0], links[:, 1])), shape=(size, size))
    _, labels = connected_components(graph, directed=False)
    return labels.astype(np.int64)


def turned_faces(edges: EdgeTable, body: NDArray[np.int64]) -> NDArray[np.bool_]:
    """Faces that look the other way than most of their body, shape (m,).

    Each face stands twice in a doubled graph, as drawn and turned; neighbours that agree
    link like with like, neighbours that disagree link crosswise. Faces whose drawn copies
    land in one component agree with one another.
    """
    pairs = edges.pairs
    agree = edges.tail[pairs[:, 0]] == edges.head[pairs[:, 1]]
    size = len(body)
    if agree.all():
        return np.zeros(size, dtype=bool)
    left, right = pairs[:, 0] // 3, pairs[:, 1] // 3
    cross = np.where(agree, 0, size)
    links = np.concatenate(
        [np.column_stack([left, right + cross]), np.column_stack([left + size, right + size - cross])]
    )
    label = _components(2 * size, links)[:size]
    _, first = np.unique(body, return_index=True)
    against_first = label != label[first][body]
    share = np.bincount(body, weights=against_first) / np.bincount(body)
    return against_first ^ (share > 0.5)[body]


def signed_volumes_m3(mesh: Mesh, body: NDArray[np.int64]) -> NDArray[np.float64]:
    """Volume of each body [m^3], negative where it is inside out, shape (bodies,)."""
    triangles = mesh.triangles_m - mesh.vertices_m.mean(axis=0)
    products = np.einsum("ij,ij->i", triangles[:, 0], np.cross(triangles[:, 1], triangles[:, 2]))
    return np.bincount(body, weights=products / 6.0).astype(np.float64)


def hosts_of(mesh: Mesh, body: NDArray[np.int64], volumes_m3: NDArray[np.float64]) -> NDArray[np.int64]:
    """Smallest outward body around each body that is inside out, else -1, shape (bodies,).

    One corner of the inner body is tested by counting the faces it meets on the way along a
    skew ray. Scraps of less than a millionth of the whole are passed over.
    """
    hosts = np.full(len(volumes_m3), -1)
    inner = np.flatnonzero(volumes_m3 < -_SCRAP * np.abs(volumes_m3).max())
    if not len(inner):
        return hosts
    order = np.argsort(body, kind="stable")
    start = np.searchsorted(body[order], np.arange(len(volumes_m3) + 1))
    outer = np.flatnonzero(volumes_m3 > 0)
    by_size = outer[np.argsort(volumes_m3[outer])]
    triangles = {
        int(other): mesh.vertices_m[mesh.faces[order[start[other] : start[other + 1]]]] for other in by_size
    }
    for one in inner:
        corner = mesh.vertices_m[mesh.faces[order[start[one]], 0]]
        held_by = (other for other, faces in triangles.items() if _is_inside(corner, faces))
        hosts[one] = next(held_by, -1)
    return hosts


def _is_inside(point: NDArray[np.float64], triangles: NDArray[np.float64]) -> bool:
    if ((point < triangles.min(axis=(0, 1))) | (point > triangles.max(axis=(0, 1)))).any():
        return False
    # A skew direction, so that the ray does not run along faces and edges of plain shapes.
    ray = np.array([0.8231, 0.4317, 0.3692])
    origin, u, v = triangles[:, 0], triangles[:, 1] - triangles[:, 0], triangles[:, 2] - triangles[:, 0]
    cross = np.cross(ray, v)
    scale = np.einsum("ij,ij->i", u, cross)
    with np.errstate(divide="ignore", invalid="ignore"):
        offset = point - origin
        a = np.einsum("ij,ij->i", offset, cross) / scale
        turned = np.cross(offset, u)
        b = turned @ ray / scale
        along = np.einsum("ij,ij->i", v, turned) / scale
        met = (a >= 0) & (b >= 0) & (a + b <= 1) & (along > 0)
    return bool(met.sum() % 2)


def edges_of(mesh: Mesh) -> EdgeTable:
    """Edge table of a mesh."""
    return edge_table(mesh.faces)
