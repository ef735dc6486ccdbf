"""From the cuts of one plane to the outer outline: overlaps united, everything enclosed filled."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, cast

import numpy as np
from numpy.typing import NDArray

from finial.shape.bridges import SAME_POINT_M, bridges
from finial.shape.cut import Cut
from finial.shape.planar import united
from finial.shape.skin import Loop, Section

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

GLUE_GAP_M = 0.2e-3
"""Slots narrower than this between two outlines are glue or printing play and are closed [m]."""

_SMALLEST_AREA_M2 = 1e-10
_SMOOTHING = 1e-5
"""Points nearer to the outline than this share of its size are left out."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Outline:
    """The outer outline at one station, and what had to be closed to get it."""

    section: Section
    shape: Any
    """The same outline as a shapely geometry."""
    bridged_m: float
    """Total length of straight lines drawn across open places [m]."""
    slots_closed: bool
    cuts: tuple[Cut, ...] = ()
    """What each mesh shows there: cavities are still in it."""


def outline(station_m: float, parts: Sequence[Cut]) -> Outline:
    """Unite the cuts of several meshes at one station and fill everything enclosed.

    Parameters
    ----------
    station_m : float
        Station of the cuts [m].
    parts : sequence of Cut
        What each mesh shows there.

    Returns
    -------
    found : Outline
        The outer outlines, and the straight lines drawn over open places [m].

    Notes
    -----
    A cavity lies inside its wall and vanishes; so does a face turned the wrong way, since only where
    the lines run counts. Outlines less than 0.2 mm apart are joined, as glued parts are. Points nearer
    to the outline than 1e-5 of its size are left out: areas are exact to about 1e-4. What is smaller than
    1e-10 m^2 is dropped.

    References
    ----------
    .. [1] Definition of the union of plane sets; the glue gap is common practice of printing.

    Examples
    --------
    >>> square = np.array([[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]])
    >>> one, beside = (Cut(loops=(square + shift,), loose_m=np.empty((0, 2, 2))) for shift in (0.0, 0.5))
    >>> round(outline(0.0, [one, beside]).section.area_m2, 6)
    1.75
    """
    # Nearly degenerate lines set floating-point flags inside the geometry library, which
    # handles them; NumPy would report each as a warning.
    with np.errstate(divide="ignore", invalid="ignore"):
        united, bridged = _united(parts)
        closed = _slots_closed(united)
        section = section_of_shape(station_m, closed)
    return Outline(
        section=section, shape=closed, bridged_m=bridged, slots_closed=closed is not united, cuts=tuple(parts)
    )


def _united(parts: Sequence[Cut]) -> tuple[Any, float]:
    """Union of all that the parts enclose, without holes, and the length of bridges in it."""
    import shapely

    shapes: list[Any] = []
    bridged = 0.0
    for part in parts:
        if len(part.loops):
            shapes.append(_filled_loops(part.loops))
        if len(part.loose_m):
            shape, added = _enclosed_by(part.loose_m)
            shapes.append(shape)
            bridged += added
    return _without_holes(united(shapes) if shapes else shapely.Polygon()), bridged


def _filled_loops(loops: Sequence[NDArray[np.float64]]) -> Any:
    import shapely

    long_enough = [loop for loop in loops if len(loop) >= 3]
    if not long_enough:
        return shapely.Polygon()
    rings = [shapely.LinearRing(loop) for loop in long_enough]
    polygons = np.array([shapely.Polygon(ring) for ring in rings])
    valid = shapely.is_valid(polygons)
    if valid.all():
        return united(polygons)
    crossing = [_enclosed_lines([ring]) for ring, good in zip(rings, valid, strict=True) if not good]
    return united([*polygons[valid], *crossing])


def _enclosed_lines(lines: Any) -> Any:
    """Everything that the lines enclose, crossings included."""
    import shapely

    # On a fine grid, where crossing lines can always be split; plain noding may give up.
    noded = shapely.union_all(lines, grid_size=SAME_POINT_M)
    return united(shapely.get_parts(shapely.polygonize(shapely.get_parts(noded))))


def _enclosed_by(loose_m: NDArray[np.float64]) -> tuple[Any, float]:
    """Everything that loose segments enclose once their free ends are bridged."""
    import shapely

    rounded = np.round(loose_m / SAME_POINT_M) * SAME_POINT_M
    added = bridges(rounded)
    lines = shapely.linestrings(np.concatenate([rounded, added]))
    lengths = np.linalg.norm(added[:, 1] - added[:, 0], axis=1)
    return _enclosed_lines(lines), float(lengths.sum())


def _without_holes(shape: Any) -> Any:
    import shapely

    polygons = [part for part in shapely.get_parts(shape) if part.geom_type == "Polygon"]
    if not any(len(part.interiors) for part in polygons):
        return shapely.MultiPolygon(polygons)
    filled = united([shapely.Polygon(part.exterior) for part in polygons])
    return shapely.MultiPolygon(list(shapely.get_parts(filled)))


def _slots_closed(shape: Any) -> Any:
    """Join outlines that stand less than a glue gap apart."""
    import shapely

    if len(shape.geoms) < 2:
        return shape
    grown = cast("BaseGeometry", shapely.buffer(shape, GLUE_GAP_M / 2, join_style="mitre"))
    if len(shapely.get_parts(grown)) == len(shape.geoms):
        return shape
    shrunk = shapely.buffer(grown, -GLUE_GAP_M / 2, join_style="mitre")
    return _without_holes(united([shrunk, shape]))


def section_of_shape(station_m: float, shape: Any) -> Section:
    """Section record of a shapely geometry: its outer outlines, straight sides without points in between.

    Parameters
    ----------
    station_m : float
        Station [m].
    shape : shapely geometry
        Polygons [m].

    Returns
    -------
    section : Section
        Outlines [m], area [m^2], perimeter [m] and centroid [m].

    Notes
    -----
    Points nearer to the outline than 1e-5 of its size are left out.

    References
    ----------
    .. [1] Plain geometry.

    Examples
    --------
    >>> import shapely
    >>> section_of_shape(0.1, shapely.box(0.0, 0.0, 1.0, 2.0)).area_m2
    2.0
    """
    import shapely

    size = math.sqrt(shape.area)
    whole = [part for part in shapely.get_parts(shape) if part.area > _SMALLEST_AREA_M2]
    parts = [_smooth(part, _SMOOTHING * size) for part in whole]
    middle = shapely.MultiPolygon(parts).centroid
    return Section(
        station_m=station_m,
        loops=tuple(_loop(part) for part in parts),
        area_m2=float(sum(part.area for part in parts)),
        perimeter_m=float(sum(part.length for part in parts)),
        centroid_m=(middle.x, middle.y) if parts else (0.0, 0.0),
    )


def _smooth(polygon: Any, tolerance_m: float) -> Any:
    """Leave out points along straight sides.

    The ring is begun at its farthest corner, because the first point is never left out.
    """
    import shapely

    ring = shapely.get_coordinates(polygon.exterior)[:-1]
    farthest = int(np.square(ring - ring.mean(axis=0)).sum(axis=1).argmax())
    begun = shapely.Polygon(np.roll(ring, -farthest, axis=0))
    thinned = shapely.simplify(begun, tolerance_m, preserve_topology=False)
    if thinned.geom_type != "Polygon" or not thinned.is_valid or thinned.area <= 0.0:
        return begun
    smooth = shapely.Polygon(_corners_only(shapely.get_coordinates(thinned.exterior)[:-1], tolerance_m))
    return smooth if smooth.is_valid else thinned


def _corners_only(ring_m: NDArray[np.float64], tolerance_m: float) -> NDArray[np.float64]:
    """Leave out single points on a straight side that the thinning kept.

    It keeps the farthest point from a chord, and on a side along the chord all are equally far.
    """
    before, after = np.roll(ring_m, 1, axis=0), np.roll(ring_m, -1, axis=0)
    chord, arm = after - before, ring_m - before
    off_line = np.abs(chord[:, 0] * arm[:, 1] - chord[:, 1] * arm[:, 0])
    straight = off_line <= tolerance_m * np.linalg.norm(chord, axis=1)
    straight &= ~np.roll(straight, 1)
    return ring_m[~straight] if len(ring_m) - straight.sum() >= 3 else ring_m


def _loop(polygon: Any) -> Loop:
    import shapely

    ring = shapely.get_coordinates(shapely.orient_polygons(polygon).exterior)[:-1].copy()
    ring.flags.writeable = False
    return ring
