"""Flat parts of a section that stand outward: where fins show in a slice."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from finial.shape.cut import cuts
from finial.shape.mesh import Mesh
from finial.shape.planar import grown, less, united
from finial.shape.skin import Section

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

_SLENDER = 2.5
_RADIAL_RAD = np.radians(30.0)
_TOUCHES = 0.25
"""A plate nearer to the body than this share of the threshold touches it."""
_FILLS = 0.7
_NO_THICKNESS_M = 1e-5


@dataclass(frozen=True, slots=True, kw_only=True)
class ThinPart:
    """What one section shows of a plate."""

    station_m: float
    roll_rad: float
    root_m: float
    """Distance of its inner and outer end from the axis, along its roll angle [m]."""
    tip_m: float
    thickness_m: float
    touches: bool
    is_plate: bool
    """False for a stub: too short to tell from a rib by itself."""
    shape: Any
    """As a shapely geometry; ``None`` for a plate without thickness."""


def polygons_of(section: Section) -> Any:
    """Outer outlines of a section as one shapely geometry.

    Parameters
    ----------
    section : Section
        The section [m].

    Returns
    -------
    shape : shapely geometry
        Union of its outlines [m].

    Notes
    -----
    Exact for outlines that do not cross themselves, as ``slice_skin`` makes them.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> square = np.array([[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]])
    >>> one = Section(station_m=0.0, loops=(square,), area_m2=1.0, perimeter_m=4.0, centroid_m=(0.5, 0.5))
    >>> polygons_of(one).area
    1.0
    """
    import shapely

    return united(shapely.Polygon(loop) for loop in section.loops)


def thin_parts(section: Section, limit_m: float) -> list[ThinPart]:
    """Parts thinner than a threshold that stand outward: plates nearly along the radius, and stubs.

    A section eroded by half the threshold and grown again loses what is thinner than it.

    Parameters
    ----------
    section : Section
        The section [m].
    limit_m : float
        Threshold [m].

    Returns
    -------
    parts : list of ThinPart
        What was lost, less what leans more than 30 degrees off the radius, is thicker than 1.2 times
        the threshold, or smaller than a thousandth of its square.

    Notes
    -----
    A plate is at least 2.5 times as wide as thick, a stub less, or it lies flat on the body. Rounded
    edges of the body come back as stubs too: only a run of sections tells them from a fin.

    References
    ----------
    .. [1] J. Serra, Image Analysis and Mathematical Morphology, 1982 (from memory): opening of a shape.

    Examples
    --------
    >>> body = [[-0.05, -0.05], [0.05, -0.05], [0.05, -0.002], [0.12, -0.002], [0.12, 0.002], [0.05, 0.002]]
    >>> loop = np.array([*body, [0.05, 0.05], [-0.05, 0.05]])
    >>> one = Section(station_m=0.0, loops=(loop,), area_m2=0.01, perimeter_m=0.54, centroid_m=(0.0, 0.0))
    >>> [fin] = thin_parts(one, 0.01)
    >>> round(fin.root_m, 3), round(fin.tip_m, 3), round(fin.thickness_m, 4), fin.is_plate
    (0.05, 0.12, 0.004, True)
    """
    import shapely

    if not section.loops:
        return []
    whole = polygons_of(section)
    core = grown(grown(whole, -limit_m / 2), limit_m / 2)
    rest = less(whole, grown(core, 1e-3 * limit_m))
    found = (_thin_part(section.station_m, part, core, limit_m) for part in shapely.get_parts(rest))
    return [part for part in found if part is not None]


def _thin_part(station_m: float, part: Any, core: Any, limit_m: float) -> ThinPart | None:
    import shapely

    if part.geom_type != "Polygon" or part.area < 1e-3 * limit_m**2:
        return None
    corners = shapely.get_coordinates(part.minimum_rotated_rectangle)
    sides = np.diff(corners[:3], axis=0)
    lengths = np.linalg.norm(sides, axis=1)
    longest = int(lengths.argmax())
    middle = np.array(part.centroid.coords[0])
    outward = middle / max(float(np.linalg.norm(middle)), 1e-12)
    thickness = part.area / max(float(lengths[longest]), 1e-12)
    lean = abs(float(sides[longest] @ outward)) / lengths[longest]
    slender = lengths[longest] >= _SLENDER * thickness
    leans = lean < np.cos(_RADIAL_RAD)
    along = shapely.get_coordinates(part) @ outward
    # A thick plate's first slices lie flat on the body, no wider than plates are thick; what a corner
    # of the body leaves fills less of its box.
    lies_flat = lengths[longest] < 1.2 * limit_m and part.area > _FILLS * float(lengths.prod())
    if (slender and leans and not lies_flat) or thickness > 1.2 * limit_m:
        return None
    return ThinPart(
        station_m=station_m,
        roll_rad=float(np.arctan2(outward[1], outward[0])) % (2.0 * np.pi),
        root_m=float(along.min()),
        tip_m=float(along.max()),
        thickness_m=float(thickness),
        touches=not core.is_empty and part.distance(core) < _TOUCHES * limit_m,
        is_plate=bool(slender) and not leans,
        shape=part,
    )


def section_from(section: Section, whole: Any, taken: Sequence[Any], limit_m: float) -> Section | None:
    """Section without the plates taken off it.

    Parameters
    ----------
    section : Section
        The section as it was [m].
    whole : shapely geometry
        Its outlines, from ``polygons_of``.
    taken : sequence of shapely geometry
        Plates to take off, each widened by 2 thousandths of the threshold so that no film stays behind.
    limit_m : float
        Threshold of ``thin_parts`` [m]: what is left is a body from its square on.

    Returns
    -------
    rest : Section or None
        What is left; ``None`` if nothing is.

    Notes
    -----
    Exact but for the film, well under the threshold's own error.

    References
    ----------
    .. [1] Definition: difference of plane sets.

    Examples
    --------
    >>> import shapely
    >>> square = np.array([[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]])
    >>> one = Section(station_m=0.0, loops=(square,), area_m2=1.0, perimeter_m=4.0, centroid_m=(0.5, 0.5))
    >>> rest = section_from(one, polygons_of(one), [shapely.box(0.9, 0.0, 1.0, 1.0)], 0.1)
    >>> round(rest.area_m2, 3)
    0.9
    """
    import shapely

    if not taken:
        return section
    # A hair wider than the plate, so that no film of it stays behind.
    plates = united(grown(plate, 2e-3 * limit_m) for plate in taken)
    rest = less(whole, plates)
    parts = [part for part in shapely.get_parts(rest) if part.area > limit_m**2]
    if not parts:
        return None
    body = shapely.MultiPolygon([shapely.Polygon(part.exterior) for part in parts])
    rings = [shapely.get_coordinates(part.exterior)[:-1] for part in shapely.orient_polygons(body).geoms]
    return Section(
        station_m=section.station_m,
        loops=tuple(rings),
        area_m2=float(body.area),
        perimeter_m=float(body.length),
        centroid_m=(body.centroid.x, body.centroid.y),
    )


def bare_plates(meshes: Sequence[Mesh], skin_sections: Sequence[Section]) -> list[ThinPart]:
    """Plates without thickness: cuts that are lines and enclose nothing.

    Slices lose them, since they have no area.

    Parameters
    ----------
    meshes : sequence of Mesh
        Meshes in body axes, as drawn [m].
    skin_sections : sequence of Section
        Sections of the skin; the first and the last are not looked at.

    Returns
    -------
    plates : list of ThinPart
        Straight lines that stand outward beyond the outline, thickness 0.

    Notes
    -----
    A loop is a line if it is thinner than 10 um; it counts if it reaches 1 mm or more beyond the outline
    and four times as far outward as it wanders sideways.

    References
    ----------
    .. [1] No published method: thickness of a thin loop as twice its area over its perimeter; the
       limits are ours.

    Examples
    --------
    >>> from finial.shape.sections import slice_skin
    >>> from finial.shape.tiers import Tier, tiers_mesh
    >>> post = tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=1.0)])
    >>> fin = Mesh(vertices_m=[[-0.4, 0.05, 0], [-0.6, 0.05, 0], [-0.5, 0.15, 0]], faces=[[0, 1, 2]])
    >>> plates = bare_plates([fin], slice_skin([post]).sections)
    >>> round(max(plate.tip_m for plate in plates), 2), {plate.thickness_m for plate in plates}
    (0.15, {0.0})
    """
    stations = np.array([section.station_m for section in skin_sections])
    inside = stations[1:-1]
    found: list[ThinPart] = []
    for mesh in meshes:
        for section, cut in zip(skin_sections[1:-1], cuts(mesh, inside), strict=True):
            lines = [loop for loop in cut.loops if _thickness(loop) < _NO_THICKNESS_M]
            lines += _chained(cut.loose_m)
            found += [part for line in lines if (part := _line_part(section, line)) is not None]
    return found


def _thickness(loop: NDArray[np.float64]) -> float:
    """Twice the area over the perimeter: the thickness of a thin loop [m]."""
    y, z = (loop - loop[0]).T
    area = abs(float(np.sum(y * np.roll(z, -1) - np.roll(y, -1) * z))) / 2
    around = float(np.linalg.norm(np.roll(loop, -1, axis=0) - loop, axis=1).sum())
    return 2.0 * area / max(around, 1e-12)


def _chained(loose_m: NDArray[np.float64]) -> list[NDArray[np.float64]]:
    """Points of loose segments that hang together, one array a line."""
    import shapely

    if not len(loose_m):
        return []
    lines = shapely.union_all(shapely.linestrings(loose_m))
    merged = shapely.line_merge(lines)  # pyright: ignore[reportUnknownMemberType] - keywords without types
    return [shapely.get_coordinates(part) for part in shapely.get_parts(merged)]


def _line_part(section: Section, line: NDArray[np.float64]) -> ThinPart | None:
    """Part of a straight line that stands outward beyond the section."""
    import shapely

    if len(line) < 2:
        return None
    outlines: BaseGeometry = polygons_of(section)
    beyond = less(shapely.LineString(line), outlines)
    if beyond.is_empty:
        return None
    points = shapely.get_coordinates(beyond)
    far = points[np.linalg.norm(points, axis=1).argmax()]
    outward = far / max(float(np.linalg.norm(far)), 1e-12)
    along = points @ outward
    off = np.abs(points @ np.array([-outward[1], outward[0]])).max()
    if np.ptp(along) < 4.0 * off or np.ptp(along) < 1e-3:
        return None
    return ThinPart(
        station_m=section.station_m,
        roll_rad=float(np.arctan2(outward[1], outward[0])) % (2.0 * np.pi),
        root_m=float(along.min()),
        tip_m=float(along.max()),
        thickness_m=0.0,
        touches=bool(beyond.distance(outlines) < 2e-4),
        is_plate=True,
        shape=None,
    )
