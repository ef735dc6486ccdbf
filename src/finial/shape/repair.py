"""Mend a mesh as far as the skin and the mass need it, and say in words what was done."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import MeshError
from finial.shape.bodies import body_of_each_face, edges_of, hosts_of, signed_volumes_m3, turned_faces
from finial.shape.crossing import counted_twice
from finial.shape.edges import EdgeTable
from finial.shape.holes import Capped, capped
from finial.shape.mesh import Mesh
from finial.shape.weld import Welded, welded

_FEW_FACES, _MOST_LOOSE = 50, 0.5
"""Up to so many faces anything is tried; of more, at most this share of the edges may be loose [-]."""
CROSSING = 2e-3
"""Share of the volume counted twice from which a surface crosses itself [-]; chosen."""
_SLIP_SHARE = 0.01
"""Share of faces turned or drawn twice up to which nobody need look [-]: exports leave one or two; chosen."""
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
    was_open: bool = False
    """Whether holes were closed, a body turned, or many faces: it was no closed body as drawn."""
    counted_twice: float = 0.0
    """Share of its volume that is counted twice because a surface passes through itself [-]."""

    @property
    def crosses_itself(self) -> bool:
        """Whether a surface passes through itself by more than CAD and rounding leave."""
        return self.counted_twice > CROSSING


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
    unite them. A body whose surface passes through itself is left as it is, and told. A mesh
    thinner than 10 um in any direction counts as flat.

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
    edges = edges_of(clean.mesh)
    _refuse_loose(edges)
    body = body_of_each_face(edges)
    mended, turned = _turned_alike(clean.mesh, edges, body)
    # Of a large mesh edges and bodies take longest: what is still the same mesh has them already.
    if mended is not clean.mesh:
        edges = edges_of(mended)
    whole = capped(mended, edges)
    if whole.mesh is not clean.mesh:
        body = body_of_each_face(edges_of(whole.mesh))
    outward, hosts, inverted = _facing_outward(whole.mesh, body)
    twice = 0.0 if whole.open_edges else counted_twice(outward, body, hosts)
    return Repaired(
        mesh=outward,
        body_of_face=body,
        hosts=hosts,
        open_edges=whole.open_edges,
        notes=(*_notes(clean, turned, whole, inverted), *_crossing_notes(twice)),
        was_open=bool(inverted or whole.holes)
        or max(turned, clean.duplicate_faces) > _SLIP_SHARE * len(mesh.faces),
        counted_twice=twice,
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


def _refuse_loose(edges: EdgeTable) -> None:
    """Refuse triangles that do not hang together: they enclose nothing, and cross in too many places."""
    if len(edges.tail) <= 3 * _FEW_FACES:
        return
    loose = float(np.count_nonzero(edges.count == 1)) / len(edges.count)
    if loose > _MOST_LOOSE:
        raise MeshError(
            f"{loose:.0%} of the edges belong to one triangle alone: the triangles do not hang together "
            "and enclose nothing. Export a closed body"
        )


def _turned_alike(mesh: Mesh, edges: EdgeTable, body: NDArray[np.int64]) -> tuple[Mesh, int]:
    turned = turned_faces(edges, body)
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
        f"{_number(clean.moved_corners, 'corner')} joined to another, up to {1e3 * clean.moved_m:.3f} mm away"
        if clean.moved_corners
        else "",
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


def _crossing_notes(twice: float) -> tuple[str, ...]:
    if twice <= CROSSING:
        return ()
    return (f"its surface passes through itself, about {100 * twice:.2g} % of the volume twice",)


def _number(count: int, noun: str) -> str:
    plural = "bodies" if noun == "body" else f"{noun}s"
    return f"1 {noun} was" if count == 1 else f"{count} {plural} were"


def _counted(count: int, noun: str, fault: str, deed: str) -> str:
    if not count:
        return ""
    return f"{_number(count, noun)} {fault} and {'was' if count == 1 else 'were'} {deed}"
