"""Mend a mesh as far as the skin and the mass need it, and say in words what was done."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import MeshError
from finial.shape.bodies import body_of_each_face, edges_of, hosts_of, signed_volumes_m3, turned_faces
from finial.shape.edges import edge_table
from finial.shape.holes import Capped, capped
from finial.shape.mesh import Mesh
from finial.shape.weld import Welded, welded

_FEW_FACES, _MOST_LOOSE = 50, 0.5
"""Up to so many faces anything is tried; of more, at most this share of the edges may be loose [-]."""
FLAT_M = 10e-6
"""A mesh thinner than this in any direction has no inside [m]."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Repaired:
    """A mended mesh and its bodies; equal only to itself.

    ``body_of_face`` numbers the body of each face, shape (m,). ``hosts[b]`` is the body
    that body ``b`` is a cavity of, or -1 when it is solid. Cavities face inwards.
    """

    mesh: Mesh
    body_of_face: NDArray[np.int64]
    hosts: tuple[int, ...]
    open_edges: int
    """Edges of holes that could not be capped."""
    notes: tuple[str, ...] = ()
    """What was repaired, in the builder's words."""


def repaired(mesh: Mesh) -> Repaired:
    """Weld, drop useless faces, cap holes and turn faces so that each body looks outward.

    Parameters
    ----------
    mesh : Mesh
        A mesh as a file has it [m].

    Returns
    -------
    mended : Repaired
        The mended mesh, its bodies and cavities, and what was done.

    Raises
    ------
    MeshError
        If no face has an area, the mesh is flat, or its triangles do not hang together.

    Notes
    -----
    A body that is inside out and lies within another is a cavity and stays so; one that
    stands alone is turned. Bodies that overlap are left as they are: sections and solids
    unite them. A mesh thinner than 10 um in any direction counts as flat.

    References
    ----------
    .. [1] Its steps: ``welded``, ``turned_faces``, ``capped``, ``hosts_of``; their order is ours.

    Examples
    --------
    >>> corner = Mesh(vertices_m=[[0, 0, 0], [1, 0, 0], [0, 1, 0], [0, 0, 1]],
    ...               faces=[[0, 1, 2], [0, 1, 3], [1, 2, 3]])
    >>> for note in repaired(corner).notes:
    ...     note
    '1 face was the wrong way round and was turned'
    '1 hole was closed, the widest 1414.2 mm across'
    """
    clean = welded(mesh)
    _refuse_flat(clean.mesh)
    _refuse_loose(clean.mesh)
    mended, turned = _turned_alike(clean.mesh)
    whole = capped(mended, edges_of(mended))
    body = body_of_each_face(edges_of(whole.mesh))
    outward, hosts, inverted = _facing_outward(whole.mesh, body)
    return Repaired(
        mesh=outward,
        body_of_face=body,
        hosts=hosts,
        open_edges=whole.open_edges,
        notes=_notes(clean, turned, whole, inverted),
    )


def _refuse_flat(mesh: Mesh) -> None:
    about: NDArray[np.float64] = mesh.vertices_m - mesh.vertices_m.mean(axis=0)
    spans = np.linalg.svd(about, compute_uv=False, full_matrices=False)
    thickness = float(spans[-1]) / np.sqrt(len(mesh.vertices_m))
    if thickness < FLAT_M:
        size = ", ".join(f"{1e3 * span:.4g}" for span in np.ptp(mesh.vertices_m, axis=0))
        raise MeshError(
            f"the mesh is flat ({size} mm across its three axes): it has no inside. "
            "Likely slip: a sheet body was exported instead of a solid, or mesh_unit is wrong"
        )


def _refuse_loose(mesh: Mesh) -> None:
    """Refuse triangles that do not hang together: they enclose nothing, and cross in too many places."""
    if len(mesh.faces) <= _FEW_FACES:
        return
    counts: NDArray[np.int64] = edge_table(mesh.faces).count
    loose = float(np.count_nonzero(counts == 1)) / len(counts)
    if loose > _MOST_LOOSE:
        raise MeshError(
            f"{loose:.0%} of the edges belong to one triangle alone: the triangles do not hang together "
            "and enclose nothing. Export a closed body"
        )


def _turned_alike(mesh: Mesh) -> tuple[Mesh, int]:
    edges = edges_of(mesh)
    turned = turned_faces(edges, body_of_each_face(edges))
    if not turned.any():
        return mesh, 0
    faces = np.where(turned[:, None], mesh.faces[:, ::-1], mesh.faces)
    return Mesh(vertices_m=mesh.vertices_m, faces=faces), int(turned.sum())


def _facing_outward(mesh: Mesh, body: NDArray[np.int64]) -> tuple[Mesh, tuple[int, ...], int]:
    """Turn inside-out bodies that are no cavity; return also the host of each body."""
    volumes = signed_volumes_m3(mesh, body)
    inverted = volumes.sum() < 0
    if inverted:
        mesh, volumes = _turned_round(mesh), -volumes
    hosts = hosts_of(mesh, body, volumes)
    stray = (volumes < 0) & (hosts < 0)
    if stray.any():
        faces = np.where(stray[body][:, None], mesh.faces[:, ::-1], mesh.faces)
        mesh = Mesh(vertices_m=mesh.vertices_m, faces=faces)
    return mesh, tuple(hosts.tolist()), len(volumes) if inverted else int(stray.sum())


def _turned_round(mesh: Mesh) -> Mesh:
    return Mesh(vertices_m=mesh.vertices_m, faces=mesh.faces[:, ::-1])


def _notes(clean: Welded, turned: int, whole: Capped, inverted: int) -> tuple[str, ...]:
    said = [
        _counted(clean.degenerate_faces, "face", "without area", "dropped"),
        _counted(clean.duplicate_faces, "face", "drawn twice", "dropped"),
        _counted(turned, "face", "the wrong way round", "turned"),
        _counted(inverted, "body", "inside out", "turned"),
        f"{_number(whole.holes, 'hole')} closed, the widest {1e3 * whole.widest_m:.1f} mm across"
        if whole.holes
        else "",
        f"{_number(whole.open_edges, 'edge')} left open: the holes there have no simple rim"
        if whole.open_edges
        else "",
    ]
    return tuple(filter(None, said))


def _number(count: int, noun: str) -> str:
    plural = "bodies" if noun == "body" else f"{noun}s"
    return f"1 {noun} was" if count == 1 else f"{count} {plural} were"


def _counted(count: int, noun: str, fault: str, deed: str) -> str:
    if not count:
        return ""
    return f"{_number(count, noun)} {fault} and {'was' if count == 1 else 'were'} {deed}"
