"""The bodies of a part as one solid that can be cut: overlaps once, cavities out."""

from typing import Any

import numpy as np

from finial.core.errors import MeshError
from finial.shape.mesh import Mesh
from finial.shape.repair import Repaired

Body = Any
"""A solid of manifold3d, whose types say nothing to a checker."""
_NOTHING_M3 = 1e-15
"""A grain of a hundredth of a millimetre: less of it is a flake that rounding leaves."""


def united(mended: Repaired) -> Body | None:
    """Union of all bodies of a part, less their cavities.

    Parameters
    ----------
    mended : Repaired
        One part [m].

    Returns
    -------
    solid : manifold3d.Manifold or None
        One solid [m]; ``None`` where a body stays open or crosses itself, so that there is none.

    Notes
    -----
    Exact for closed bodies, within the rounding of coordinates.

    References
    ----------
    .. [1] Regularised set operations on closed polyhedra; the library is manifold3d.

    Examples
    --------
    >>> from finial.shape.repair import repaired
    >>> from finial.shape.tiers import Tier, tiers_mesh
    >>> post = tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=1.0)])
    >>> round(united(repaired(post)).volume(), 9)
    0.01
    """
    import manifold3d

    if mended.crosses_itself:
        # The library takes such a body as it is, and counts what lies in it twice.
        return None
    bodies = [_of_body(mended, number) for number in range(len(mended.hosts))]
    if any(body.status() != manifold3d.Error.NoError for body in bodies):
        return None
    whole = [
        _less_cavities(body, [bodies[c] for c, host in enumerate(mended.hosts) if host == number])
        for number, body in enumerate(bodies)
        if mended.hosts[number] < 0
    ]
    union = manifold3d.Manifold.batch_boolean(whole, manifold3d.OpType.Add)
    if union.status() != manifold3d.Error.NoError or union.is_empty():
        return None
    return union


def why_no_solid(mended: Repaired) -> str:
    """Say why a part is no solid, after ``united`` made none of it.

    Parameters
    ----------
    mended : Repaired
        One part [m].

    Returns
    -------
    why : str
        For a message to its builder.

    Notes
    -----
    Exact.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> from finial.shape.repair import repaired
    >>> from finial.shape.tiers import Tier, tiers_mesh
    >>> why_no_solid(repaired(tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=1.0)])))
    'a mesh that stays open or crosses itself (0 open edges)'
    """
    if mended.crosses_itself:
        return f"a mesh whose surface passes through itself ({100 * mended.counted_twice:.2g} % of it twice)"
    return f"a mesh that stays open or crosses itself ({mended.open_edges} open edges)"


def mesh_of(solid: Body) -> Mesh:
    """Triangles of a solid [m].

    Parameters
    ----------
    solid : manifold3d.Manifold
        A solid [m].

    Returns
    -------
    mesh : Mesh
        Its surface, seen from outside.

    Notes
    -----
    Exact.

    References
    ----------
    .. [1] The library's own triangles.

    Examples
    --------
    >>> import manifold3d
    >>> len(mesh_of(manifold3d.Manifold.cube()).faces)
    12
    """
    mesh: Any = solid.to_mesh64()
    return Mesh(
        vertices_m=np.asarray(mesh.vert_properties)[:, :3], faces=np.asarray(mesh.tri_verts).astype(np.int64)
    )


def solid_of_mesh(mesh: Mesh) -> Body:
    """Return a solid of a closed mesh; its ``status`` says whether it is one.

    Parameters
    ----------
    mesh : Mesh
        Triangles [m].

    Returns
    -------
    solid : manifold3d.Manifold
        The solid [m].

    Notes
    -----
    Exact.

    References
    ----------
    .. [1] The library is manifold3d.

    Examples
    --------
    >>> from finial.shape.tiers import Tier, tiers_mesh
    >>> post = tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=1.0)])
    >>> round(solid_of_mesh(post).volume(), 9)
    0.01
    """
    import manifold3d

    # The library takes no arrays that are locked.
    return manifold3d.Manifold(
        manifold3d.Mesh64(np.array(mesh.vertices_m), np.array(mesh.faces, dtype=np.uint64, order="C"))
    )


def loose_bodies(solid: Body) -> list[Body]:
    """Bodies of a solid that do not hang together, each with the cavities in it.

    Parameters
    ----------
    solid : manifold3d.Manifold
        A solid [m].

    Returns
    -------
    bodies : list of manifold3d.Manifold
        One for each [m]; one alone where it hangs together.

    Raises
    ------
    MeshError
        If a cavity lies in no body: the solid is inside out.

    Notes
    -----
    The library tells closed surfaces apart, and a cavity is one of its own, inside out: it belongs to the
    smallest body that holds it. A body loose within a cavity is one of its own. A flat flake that a cut along
    a face leaves is none.

    References
    ----------
    .. [1] The library is manifold3d.

    Examples
    --------
    >>> import manifold3d
    >>> box, room = (manifold3d.Manifold.cube((side,) * 3, True) for side in (3.0, 1.0))
    >>> box = box - room
    >>> len(box.decompose()), [round(one.volume(), 9) for one in loose_bodies(box)]
    (2, [26.0])
    """
    shells: list[Body] = [one for one in solid.decompose() if abs(one.volume()) > _NOTHING_M3]
    bodies = sorted((one for one in shells if one.volume() >= 0.0), key=lambda one: one.volume())
    for void in (_turned_out(one) for one in shells if one.volume() < 0.0):
        host = next((at for at, body in enumerate(bodies) if _holds(body, void)), None)
        if host is None:
            raise MeshError("a cavity that lies in no body")
        bodies[host] = bodies[host] - void
    return bodies


def _turned_out(void: Body) -> Body:
    mesh = mesh_of(void)
    return solid_of_mesh(Mesh(vertices_m=mesh.vertices_m, faces=mesh.faces[:, ::-1]))


def _holds(body: Body, void: Body) -> bool:
    """Whether a void lies within a body: its box within the body's, and some of it in the plastic."""
    outer, inner = np.array(body.bounding_box()), np.array(void.bounding_box())
    return bool(
        (outer[:3] <= inner[:3]).all() and (inner[3:] <= outer[3:]).all() and not (body ^ void).is_empty()
    )


def _less_cavities(body: Body, cavities: list[Body]) -> Body:
    for cavity in cavities:
        body = body - cavity
    return body


def _of_body(mended: Repaired, number: int) -> Body:
    faces = mended.mesh.faces[mended.body_of_face == number]
    if mended.hosts[number] >= 0:
        faces = faces[:, ::-1]
    used, compact = np.unique(faces, return_inverse=True)
    return solid_of_mesh(
        Mesh(vertices_m=mended.mesh.vertices_m[used], faces=compact.reshape(-1, 3).astype(np.int64))
    )
