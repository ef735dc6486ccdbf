"""Volume, centre and inertia of a part as drawn: overlaps count once, cavities not at all."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import MeshError
from finial.core.estimates import Estimate, KnownBy, exact
from finial.mass.moments import VolumeMoments, solid_moments, surface_moments
from finial.shape.mesh import Mesh
from finial.shape.repair import Repaired, repaired
from finial.shape.sections import slice_skin
from finial.shape.united import mesh_of, united

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
    passes through itself, overlaps are judged by the areas of plane sections instead: the volume is
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
    if len(mended.hosts) == 1 and not mended.open_edges and not mended.crosses_itself:
        return _exact_solid(mended.mesh.triangles_m, ())
    whole = united(mended)
    return _doubtful_solid(mended) if whole is None else _exact_solid(mesh_of(whole).triangles_m, ())


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
