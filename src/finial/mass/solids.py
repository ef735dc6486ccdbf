"""Volume, centre and inertia of a part as drawn: overlaps count once, cavities not at all."""

from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import MeshError
from finial.core.estimates import Estimate, KnownBy, exact
from finial.mass.moments import VolumeMoments, solid_moments, surface_moments
from finial.shape.mesh import Mesh
from finial.shape.repair import Repaired, repaired
from finial.shape.sections import slice_skin

_DOUBTFUL_LOW = 0.80
_DOUBTFUL_HIGH = 1.10


@dataclass(frozen=True, slots=True, kw_only=True)
class Solid:
    """A part as drawn, filled with one unit of density, and its bare surface."""

    volume_m3: Estimate
    inside: VolumeMoments
    """Moments of the filled body; ``size`` is the volume's central value."""
    surface: VolumeMoments
    """Moments of its skin, cavities included."""
    notes: tuple[str, ...] = ()


def solid_of(part: Mesh | Repaired) -> Solid:
    """Moments of a part: bodies that overlap are united, cavities left out.

    Parameters
    ----------
    part : Mesh or Repaired
        One part in body axes [m]; a bare mesh is repaired first.

    Returns
    -------
    solid : Solid
        Volume with its interval [m^3], moments of inside and surface, and what was done.

    Raises
    ------
    MeshError
        If the mesh cannot be repaired, or holds no volume.

    Notes
    -----
    Exact for closed bodies. Where bodies cannot be united, because one stays open or
    touches itself, overlaps are judged by the areas of plane sections instead: the volume is
    then given as -20 / +10 %, with a note.

    References
    ----------
    .. [1] B. Mirtich, Fast and accurate computation of polyhedral mass properties, Journal of
       Graphics Tools 1 (1996) 31, for the closed bodies; from memory, not re-read.

    Examples
    --------
    >>> from finial.shape.tiers import Tier, tiers_mesh
    >>> post = solid_of(tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=1.0)]))
    >>> round(post.volume_m3.value, 9), round(post.surface.size, 9)
    (0.01, 0.42)
    """
    mended = part if isinstance(part, Repaired) else repaired(part)
    if len(mended.hosts) == 1 and not mended.open_edges:
        return _exact_solid(mended.mesh.triangles_m, ())
    united = _united(mended)
    return _doubtful_solid(mended) if united is None else _exact_solid(united, ())


def _exact_solid(triangles_m: NDArray[np.float64], notes: tuple[str, ...]) -> Solid:
    inside = solid_moments(triangles_m)
    if inside.size <= 0.0:
        raise MeshError(f"the part holds no volume ({inside.size:.3g} m3): is it a sheet body?")
    return Solid(
        volume_m3=exact(inside.size, known_by=KnownBy.COMPUTED, method="signed tetrahedra"),
        inside=inside,
        surface=surface_moments(triangles_m),
        notes=notes,
    )


def _united(mended: Repaired) -> NDArray[np.float64] | None:
    """Faces of the union of all bodies less their cavities; ``None`` where that fails."""
    import manifold3d

    bodies = [_manifold(mended, number) for number in range(len(mended.hosts))]
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
    mesh: Any = union.to_mesh64()
    corners: NDArray[np.float64] = np.asarray(mesh.vert_properties)[:, :3]
    return corners[np.asarray(mesh.tri_verts).astype(np.int64)]


def _less_cavities(body: Any, cavities: list[Any]) -> Any:
    for cavity in cavities:
        body = body - cavity
    return body


def _manifold(mended: Repaired, number: int) -> Any:
    import manifold3d

    faces = mended.mesh.faces[mended.body_of_face == number]
    if mended.hosts[number] >= 0:
        faces = faces[:, ::-1]
    used, compact = np.unique(faces, return_inverse=True)
    mesh = manifold3d.Mesh64(
        np.ascontiguousarray(mended.mesh.vertices_m[used]),
        np.ascontiguousarray(compact.reshape(-1, 3).astype(np.uint64)),
    )
    return manifold3d.Manifold(mesh)


def _doubtful_solid(mended: Repaired) -> Solid:
    """Scale the plain sum of bodies to no more than the volume inside the outer outline."""
    triangles = mended.mesh.triangles_m
    summed = solid_moments(triangles)
    tip = np.array([triangles[..., 0].max(), 0.0, 0.0])
    at_tip = replace(mended, mesh=Mesh(vertices_m=mended.mesh.vertices_m - tip, faces=mended.mesh.faces))
    enclosed = slice_skin([at_tip]).volume_m3
    if summed.size <= 0.0:
        raise MeshError(f"the part holds no volume ({summed.size:.3g} m3): is it a sheet body?")
    share = min(1.0, enclosed / summed.size)
    volume = summed.size * share
    return Solid(
        volume_m3=Estimate(
            value=volume,
            low=_DOUBTFUL_LOW * volume,
            high=_DOUBTFUL_HIGH * volume,
            known_by=KnownBy.ASSUMED,
            method="sum of bodies, at most what the outer outline encloses",
            inside_range=False,
        ),
        inside=replace(summed, size=volume, inertia=summed.inertia * share),
        surface=surface_moments(triangles),
        notes=(
            "the bodies of this part could not be united, so overlaps may be counted wrongly: "
            "volume -20 / +10 %. Weigh the part, or unite its bodies in CAD",
        ),
    )
