"""Walls that a mesh itself has: how thick it is where it is hollow, and how long its flats are."""

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import ArrayLike

from finial.shape.cut import cuts
from finial.shape.mesh import Mesh
from finial.shape.planar import even_odd
from finial.shape.repair import Repaired
from finial.shape.skin import Skin

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

HOLLOW = 0.9
"""A cut that fills less of its outline than this is hollow [-]; chosen: bores for rods or wires make none."""

STEEPEST = 1.0
"""Widening over the way along the axis beyond which a wall is a ledge that holds its neighbours [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnCut:
    """What a plane across the axis cuts of one part's own mesh; all zero where it meets nothing closed."""

    outline_m2: float
    """Area inside its outlines, hollows filled [m^2]."""
    solid_m2: float
    edges_m: float
    """Length of all edges, outer and inner [m]."""

    @property
    def wall_m(self) -> float:
        """Mean thickness of the walls [m]; ``nan`` where it is drawn solid."""
        return 2 * self.solid_m2 / self.edges_m if self.solid_m2 < HOLLOW * self.outline_m2 else math.nan


def own_cuts(mended: Repaired, stations_m: ArrayLike) -> list[OwnCut]:
    r"""Outline, solid area and edges of a part's own mesh at stations along the axis.

    .. math::  h = \frac{2 (A_{out} - A_{in})}{P_{out} + P_{in}}

    Parameters
    ----------
    mended : Repaired
        The part in body axes [m], with its bodies and cavities.
    stations_m : array_like, shape (k,)
        Rising stations [m].

    Returns
    -------
    cuts : list of OwnCut
        One for each station; its mean wall :math:`h` is ``nan`` where less than a tenth is hollow.

    Notes
    -----
    Range: bodies that overlap count once; half of a wall that is thin on one side is hidden in the mean.

    References
    ----------
    .. [1] Area of a thin ring over its mean length.

    Examples
    --------
    >>> from finial.shape.repair import repaired
    >>> from finial.shape.tiers import Tier, tiers_mesh
    >>> post = tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=1.0)])
    >>> [cut] = own_cuts(repaired(post), [0.5])
    >>> round(cut.outline_m2, 6), math.isnan(cut.wall_m)
    (0.01, True)
    """
    return [_own_cut(whole) for whole in own_regions(mended, stations_m)]


def own_regions(mended: Repaired, stations_m: ArrayLike) -> list[Any]:
    r"""Cut out what a part's own mesh fills at stations along the axis, its cavities left open.

    Parameters
    ----------
    mended : Repaired
        The part in body axes [m], with its bodies and cavities.
    stations_m : array_like, shape (k,)
        Rising stations [m].

    Returns
    -------
    regions : list of shapely geometry
        One for each station, body (y, z) [m]; empty where the part does not reach.

    Notes
    -----
    Range: bodies that overlap count once. Lines that do not close enclose nothing.

    References
    ----------
    .. [1] Even-odd rule, body by body.

    Examples
    --------
    >>> from finial.shape.repair import repaired
    >>> from finial.shape.tiers import Tier, tiers_mesh
    >>> post = tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=1.0)])
    >>> [round(region.area, 6) for region in own_regions(repaired(post), [0.5, 1.5])]
    [0.01, 0.0]
    """
    import shapely

    wanted = np.atleast_1d(np.asarray(stations_m, dtype=float))
    bodies = [cuts(_body(mended, host), wanted) for host, of in enumerate(mended.hosts) if of < 0]
    return [shapely.union_all([even_odd(body[k].loops) for body in bodies]) for k in range(len(wanted))]


def _body(mended: Repaired, host: int) -> Mesh:
    """One body with its cavities."""
    belongs = np.array([number == host or of == host for number, of in enumerate(mended.hosts)])
    return Mesh(vertices_m=mended.mesh.vertices_m, faces=mended.mesh.faces[belongs[mended.body_of_face]])


def _own_cut(whole: "BaseGeometry") -> OwnCut:
    import shapely

    pieces = [one for one in shapely.get_parts(whole) if isinstance(one, shapely.Polygon)]
    return OwnCut(
        outline_m2=sum(shapely.Polygon(one.exterior).area for one in pieces),
        solid_m2=sum(one.area for one in pieces),
        edges_m=sum(one.length for one in pieces),
    )


def between_ledges(skin: Skin, station_m: float) -> tuple[float, float]:
    r"""Stations of the ledges, or ends, between which the walls at a station run without a step.

    .. math::  \left|\frac{d}{dx} \frac{P}{2 \pi}\right| > 1 \text{ at a ledge}

    Parameters
    ----------
    skin : Skin
        The skin.
    station_m : float
        Station [m].

    Returns
    -------
    fore_m, aft_m : float
        Stations [m].

    Notes
    -----
    Range: ledges and roofs that stand out steeper than 45 degrees; a flatter roof counts as wall.

    References
    ----------
    .. [1] Definition; the slope is chosen.

    Examples
    --------
    >>> from finial.shape.sections import slice_skin
    >>> from finial.shape.tiers import Tier, tiers_mesh
    >>> post = slice_skin([tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=1.0)])])
    >>> between_ledges(post, 0.5)
    (0.0, 1.0)
    """
    stations = skin.stations_m
    reach = np.array([section.perimeter_m for section in skin.sections]) / (2 * math.pi)
    step = np.abs(np.diff(reach)) > STEEPEST * np.maximum(np.diff(stations), 1e-9)
    here = int(np.abs(stations - station_m).argmin())
    ahead = np.flatnonzero(step[:here])
    behind = np.flatnonzero(step[here:])
    fore = int(ahead[-1]) + 1 if ahead.size else 0
    aft = here + int(behind[0]) if behind.size else len(stations) - 1
    return float(stations[fore]), float(stations[aft])
