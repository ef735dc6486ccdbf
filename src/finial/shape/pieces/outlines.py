# pyright: reportUnknownMemberType=false
# The types of shapely's functions leave their keywords open.
"""A piece cut across one of its axes: what it fills, and its outline, from end to end."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from finial.core.frames import body_from_mesh
from finial.shape.mesh import Mesh
from finial.shape.repair import Repaired
from finial.shape.walls_of import own_regions

END_M = 0.4e-3
"""How far inside an end the outline of that end is looked at [m]: past a small chamfer's tip."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Outlines:
    """What a piece fills at rising stations, as shapely regions; equal only to itself."""

    stations_m: NDArray[np.float64]
    """Shape (n,)."""
    solid: NDArray[np.object_]
    """Cavities and bores left open, shape (n,)."""
    filled: NDArray[np.object_]
    """Outlines with everything enclosed, shape (n,)."""


def turned(mended: Repaired, up: str) -> Repaired:
    """Return a piece in body axes, its tip end forward; nothing is moved.

    Parameters
    ----------
    mended : Repaired
        The piece in mesh axes [m].
    up : str
        The mesh axis that points to the tip, such as ``"+z"``.

    Returns
    -------
    turned : Repaired
        The same piece in body axes [m].

    Raises
    ------
    OutsideRange
        If ``up`` is not a signed axis.

    Notes
    -----
    Exact: turned, never mirrored.

    References
    ----------
    .. [1] Definition: the axes of the conventions page.

    Examples
    --------
    >>> from finial.shape.repair import repaired
    >>> corner = Mesh(vertices_m=[[0, 0, 0], [1, 0, 0], [0, 1, 0], [0, 0, 1]],
    ...               faces=[[0, 2, 1], [0, 1, 3], [1, 2, 3], [0, 3, 2]])
    >>> sorted(turned(repaired(corner), "-z").mesh.vertices_m[:, 0].tolist())
    [-1.0, 0.0, 0.0, 0.0]
    """
    vertices = mended.mesh.vertices_m @ body_from_mesh(up).T
    return replace(mended, mesh=Mesh(vertices_m=vertices, faces=mended.mesh.faces))


def span_of(pieces: Sequence[Repaired]) -> tuple[float, float]:
    """Stations that pieces in body axes reach from and to.

    Parameters
    ----------
    pieces : sequence of Repaired
        At least one piece [m].

    Returns
    -------
    fore_m, aft_m : float
        Stations [m]; where the origin lies behind the tip the first is negative.

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
    >>> post = tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=1.0)])
    >>> span_of([repaired(post)])
    (0.0, 1.0)
    """
    reached = [-piece.mesh.vertices_m[:, 0] for piece in pieces]
    return float(min(one.min() for one in reached)) + 0.0, float(max(one.max() for one in reached))


def outlines_of(pieces: Sequence[Repaired], stations_m: ArrayLike) -> Outlines:
    """Cut pieces in body axes at stations, all of them together.

    Parameters
    ----------
    pieces : sequence of Repaired
        The pieces [m]; where they overlap they count once.
    stations_m : array_like, shape (n,)
        Rising stations [m].

    Returns
    -------
    outlines : Outlines
        What they fill, and their outlines.

    Notes
    -----
    Range: closed bodies; lines that do not close enclose nothing.

    References
    ----------
    .. [1] Plane cuts; see ``own_regions``.

    Examples
    --------
    >>> from finial.shape.repair import repaired
    >>> from finial.shape.tiers import Tier, tiers_mesh
    >>> post = tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=1.0)])
    >>> [round(region.area, 6) for region in outlines_of([repaired(post)], [0.2, 0.8]).filled]
    [0.01, 0.01]
    """
    import shapely

    stations = np.atleast_1d(np.asarray(stations_m, dtype=float))
    rows = np.empty((len(pieces), len(stations)), dtype=object)
    for number, piece in enumerate(pieces):
        rows[number] = own_regions(piece, stations)
    solid = np.asarray(shapely.union_all(rows, axis=0), dtype=object)
    filled = np.empty(len(stations), dtype=object)
    filled[:] = [_filled(region) for region in solid]
    return Outlines(stations_m=stations, solid=solid, filled=filled)


def _filled(region: Any) -> Any:
    import shapely

    pieces = [one for one in shapely.get_parts(region) if one.geom_type == "Polygon"]
    return shapely.union_all([shapely.Polygon(one.exterior) for one in pieces])


def evenly(fore_m: float, aft_m: float, count: int) -> NDArray[np.float64]:
    """Stations spread evenly over a length, the first and the last just inside its ends.

    Parameters
    ----------
    fore_m, aft_m : float
        Its ends [m].
    count : int
        How many, at least two.

    Returns
    -------
    stations_m : ndarray, shape (count,)
        Rising [m].

    Notes
    -----
    The outer ones stand 0.4 mm inside, on something shorter than 8 mm a twentieth of it.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> evenly(0.0, 1.0, 3).tolist()
    [0.0004, 0.5, 0.9996]
    """
    inside = min(END_M, (aft_m - fore_m) / 20)
    return np.linspace(fore_m + inside, aft_m - inside, count)
