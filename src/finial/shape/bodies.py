"""Bodies within one mesh: which faces hang together, and which way they face."""

from typing import cast

import numpy as np
from numpy.typing import NDArray

from finial.shape.edges import EdgeTable, edge_table
from finial.shape.mesh import Mesh, crossed

_SCRAP = 1e-6


def body_of_each_face(edges: EdgeTable) -> NDArray[np.int64]:
    """Body number of each face: faces joined across ordinary edges are one body.

    Parameters
    ----------
    edges : EdgeTable
        Edges of the mesh.

    Returns
    -------
    body : ndarray of int, shape (m,)
        Body of each face, from 0.

    Notes
    -----
    Exact. Faces at the rim of a hole, and those of an edge with an odd number of faces, hang
    together by their other edges only. Where four or more faces meet, they are taken in twos
    in the order of the file.

    References
    ----------
    .. [1] Definition: the connected components of the graph whose nodes are faces.

    Examples
    --------
    >>> from finial.shape.edges import edge_table
    >>> body_of_each_face(edge_table(np.array([[0, 1, 2], [2, 1, 3], [4, 5, 6]]))).tolist()
    [0, 0, 1]
    """
    return components(len(edges.tail) // 3, edges.pairs // 3)


def components(size: int, links: NDArray[np.int64]) -> NDArray[np.int64]:
    """Tell which of a number of things hang together.

    Parameters
    ----------
    size : int
        How many there are.
    links : ndarray, shape (n, 2)
        Pairs that hang together; there may be none.

    Returns
    -------
    labels : ndarray, shape (size,)
        One number for all that hang together, counted from 0.

    Notes
    -----
    Exact.

    References
    ----------
    .. [1] Connected components of a graph; the library is SciPy.

    Examples
    --------
    >>> components(4, np.array([[0, 2], [2, 3]])).tolist()
    [0, 1, 0, 0]
    """
    from scipy.sparse import coo_matrix
    from scipy.sparse.csgraph import connected_components  # pyright: ignore[reportUnknownVariableType]

    graph = coo_matrix((np.ones(len(links), dtype=bool), (links[:, 0], links[:, 1])), shape=(size, size))
    # SciPy tells no types.
    _, labels = cast("tuple[int, NDArray[np.int32]]", connected_components(graph, directed=False))
    return labels.astype(np.int64)


def turned_faces(edges: EdgeTable, body: NDArray[np.int64]) -> NDArray[np.bool_]:
    """Faces that look the other way than most of their body.

    Each face stands twice in a doubled graph, as drawn and turned; neighbours that agree
    link like with like, neighbours that disagree link crosswise. Faces whose drawn copies
    land in one component agree with one another.

    Parameters
    ----------
    edges : EdgeTable
        Edges of the mesh.
    body : ndarray of int, shape (m,)
        Body of each face, from ``body_of_each_face``.

    Returns
    -------
    turned : ndarray of bool, shape (m,)
        True for each face that must be turned for its body to look one way.

    Notes
    -----
    Exact where a body has two sides. With as many faces one way as the other, the way of the
    body's first face is kept. A band with one side only (Moebius) comes back unturned.

    References
    ----------
    .. [1] Two neighbours agree if they run along their common edge in opposite directions: definition of
       an oriented surface. Doubled graph: the two-colouring of a graph by its double cover.

    Examples
    --------
    >>> from finial.shape.edges import edge_table
    >>> edges = edge_table(np.array([[0, 1, 2], [0, 3, 1], [0, 3, 2]]))
    >>> turned_faces(edges, body_of_each_face(edges)).tolist()
    [False, False, True]
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
    label = components(2 * size, links)[:size]
    _, first = np.unique(body, return_index=True)
    against_first = label != label[first][body]
    share = np.bincount(body, weights=against_first) / np.bincount(body)
    return against_first ^ (share > 0.5)[body]


def signed_volumes_m3(mesh: Mesh, body: NDArray[np.int64]) -> NDArray[np.float64]:
    r"""Volume of each body, negative where it is inside out.

    .. math::  V = \tfrac{1}{6} \sum a \cdot (b \times c)

    Parameters
    ----------
    mesh : Mesh
        Corners :math:`a, b, c` of each face [m].
    body : ndarray of int, shape (m,)
        Body of each face.

    Returns
    -------
    volumes_m3 : ndarray, shape (bodies,)
        Volume [m^3].

    Notes
    -----
    Exact for closed bodies whose faces agree. A body with a hole gets the volume of the cone from its rim
    to the middle of the mesh on top.

    References
    ----------
    .. [1] The divergence theorem applied to x / 3; one tetrahedron for each face.

    Examples
    --------
    >>> corner = Mesh(vertices_m=[[0, 0, 0], [1, 0, 0], [0, 1, 0], [0, 0, 1]],
    ...               faces=[[0, 2, 1], [0, 1, 3], [1, 2, 3], [0, 3, 2]])
    >>> (6 * signed_volumes_m3(corner, np.zeros(4, dtype=np.int64))).round(9).tolist()
    [1.0]
    """
    middle = mesh.vertices_m.mean(axis=0)[:, None, None]
    products = np.concatenate([_sixfold(corners - middle) for corners in mesh.corner_columns_m()])
    return np.bincount(body, weights=products / 6.0).astype(np.float64)


def _sixfold(corners_m: NDArray[np.float64]) -> NDArray[np.float64]:
    """Six times the volume between each face and the origin [m^3]."""
    x, y, z = corners_m[:, 0] * crossed(corners_m[:, 1], corners_m[:, 2])
    return x + y + z


def hosts_of(mesh: Mesh, body: NDArray[np.int64], volumes_m3: NDArray[np.float64]) -> NDArray[np.int64]:
    """Smallest outward body around each body that is inside out.

    One corner of the inner body is tested by counting the faces it meets on the way along a
    skew ray.

    Parameters
    ----------
    mesh : Mesh
        The mesh of all bodies [m].
    body : ndarray of int, shape (m,)
        Body of each face.
    volumes_m3 : ndarray, shape (bodies,)
        Signed volume of each body [m^3].

    Returns
    -------
    hosts : ndarray of int, shape (bodies,)
        Number of the body it is a cavity of; -1 for a body that looks outward or has no host.

    Notes
    -----
    Holds for closed bodies that do not cross. A body of less than a millionth of the largest is
    passed over as a scrap. A ray that meets an edge exactly can count it twice: the ray is skew,
    so that shapes drawn along the axes do not meet it so.

    References
    ----------
    .. [1] Even-odd rule: a point is inside if a ray from it crosses the surface an odd number of times.
    .. [2] Ray against triangle: Moeller and Trumbore, J. Graphics Tools 2 (1997) 21; from memory.

    Examples
    --------
    >>> corner = np.array([[0.0, 0, 0], [1, 0, 0], [0, 1, 0], [0, 0, 1]])
    >>> faces = np.array([[0, 2, 1], [0, 1, 3], [1, 2, 3], [0, 3, 2]])
    >>> hollow = Mesh(vertices_m=np.concatenate([corner, 0.1 + 0.2 * corner]),
    ...               faces=np.concatenate([faces, faces[:, ::-1] + 4]))
    >>> body = np.repeat([0, 1], 4)
    >>> hosts_of(hollow, body, signed_volumes_m3(hollow, body)).tolist()
    [-1, 0]
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
    """Edge table of a mesh.

    Parameters
    ----------
    mesh : Mesh
        A mesh with at least one face.

    Returns
    -------
    edges : EdgeTable
        The edges of its faces.

    Notes
    -----
    Exact; see ``edge_table``.

    References
    ----------
    .. [1] Definition, as for ``edge_table``.

    Examples
    --------
    >>> one = Mesh(vertices_m=[[0, 0, 0], [1, 0, 0], [0, 1, 0]], faces=[[0, 1, 2]])
    >>> len(edges_of(one).open_half_edges)
    3
    """
    return edge_table(mesh.faces)
