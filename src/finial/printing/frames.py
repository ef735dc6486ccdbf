# pyright: reportUnknownMemberType=false, reportUnknownVariableType=false, reportUnknownArgumentType=false
# The types of shapely's functions leave their keywords, and what comes out of them, open.
"""Frames of a cut: the plane flat before the eye, its outward side up."""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from finial.shape.united import Body

Region = Any
"""A plane region of shapely."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Plane:
    """A plane through a body: its normal and where along it the plane stands.

    In its own frame the plane is z = 0 and its normal points up.
    """

    normal: tuple[float, float, float]
    """Unit vector [-], body axes."""
    offset_m: float
    """Distance from the origin along the normal [m]."""

    @property
    def turn(self) -> NDArray[np.float64]:
        """Axes of the plane's own frame.

        Returns
        -------
        turn : ndarray, shape (3, 3)
            Rows: the axes in body axes [-]; the last is the normal.

        Notes
        -----
        Exact; right-handed. Across the body the first two are body y and z, as a section is drawn.

        References
        ----------
        .. [1] Definition.

        Examples
        --------
        >>> across_body(0.5).turn.tolist()
        [[0.0, 1.0, 0.0], [0.0, 0.0, 1.0], [1.0, 0.0, 0.0]]
        """
        up = np.array(self.normal)
        aside = np.array([0.0, 1.0, 0.0]) if abs(up[1]) < 0.9 else np.array([1.0, 0.0, 0.0])
        first = np.cross(aside, up)
        if abs(up[0]) > 0.9:
            # Across the body: first body y, then body z, as a section is drawn.
            first = np.array([0.0, 1.0, 0.0]) * np.sign(up[0])
        first = first - up * float(first @ up)
        first = first / np.linalg.norm(first)
        return np.stack([first, np.cross(up, first), up])

    def flat(self, solid: Body) -> Body:
        """Turn a solid of body axes into the frame of the plane.

        Parameters
        ----------
        solid : manifold3d.Manifold
            In body axes [m].

        Returns
        -------
        flat : manifold3d.Manifold
            The same in the frame of the plane [m].

        Notes
        -----
        Exact within rounding.

        References
        ----------
        .. [1] Definition.

        Examples
        --------
        >>> import manifold3d
        >>> across_body(0.5).flat(manifold3d.Manifold.cube((1.0, 2.0, 3.0))).bounding_box()
        (0.0, 0.0, 0.5, 2.0, 3.0, 1.5)
        """
        shift = np.array([[0.0], [0.0], [-self.offset_m]])
        return solid.transform(np.hstack([self.turn, shift]))

    def back(self, solid: Body) -> Body:
        """Turn a solid of the frame of the plane into body axes.

        Parameters
        ----------
        solid : manifold3d.Manifold
            In the frame of the plane [m].

        Returns
        -------
        back : manifold3d.Manifold
            The same in body axes [m].

        Notes
        -----
        Exact within rounding.

        References
        ----------
        .. [1] Definition.

        Examples
        --------
        >>> import manifold3d
        >>> across_body(0.5).back(manifold3d.Manifold.cube((2.0, 3.0, 1.0))).bounding_box()
        (-0.5, 0.0, 0.0, 0.5, 2.0, 3.0)
        """
        back = self.turn.T
        shift = (back @ np.array([0.0, 0.0, self.offset_m]))[:, None]
        return solid.transform(np.hstack([back, shift]))


def across_body(station_m: float) -> Plane:
    """Plane square to the body's axis, its normal towards the tip.

    Parameters
    ----------
    station_m : float
        Station of the plane [m].

    Returns
    -------
    plane : Plane
        The plane.

    Notes
    -----
    Exact.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> across_body(0.5).offset_m
    -0.5
    """
    return Plane(normal=(1.0, 0.0, 0.0), offset_m=-station_m)


def along_body(roll_rad: float, aside_m: float = 0.0) -> Plane:
    """Plane along the body's axis whose normal points to a roll angle.

    Parameters
    ----------
    roll_rad : float
        Roll angle that the plane faces [rad].
    aside_m : float
        How far it lies off the axis, towards that angle [m].

    Returns
    -------
    plane : Plane
        The plane.

    Notes
    -----
    Exact.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> along_body(0.0, 0.01)
    Plane(normal=(0.0, 1.0, 0.0), offset_m=0.01)
    """
    return Plane(normal=(0.0, float(np.cos(roll_rad)), float(np.sin(roll_rad))), offset_m=aside_m)


def cornered(solid: Body) -> Body:
    """Return a solid moved so that the least corner of its box is the origin.

    Parameters
    ----------
    solid : manifold3d.Manifold
        In any unit.

    Returns
    -------
    moved : manifold3d.Manifold
        The same, in the same unit.

    Notes
    -----
    Exact within rounding: near the origin a file's 32-bit numbers are finest.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> import manifold3d
    >>> cornered(manifold3d.Manifold.cube((1.0, 2.0, 3.0), True)).bounding_box()
    (0.0, 0.0, 0.0, 1.0, 2.0, 3.0)
    """
    x, y, z = solid.bounding_box()[:3]
    return solid.translate((-x, -y, -z))


def region_at(flat: Body, height_m: float) -> Region:
    """Cross-section of a solid in the frame of a plane.

    Parameters
    ----------
    flat : manifold3d.Manifold
        The solid in the frame of the plane [m].
    height_m : float
        Height over the plane [m].

    Returns
    -------
    region : shapely geometry
        What is solid there [m].

    Notes
    -----
    Exact; at a flat face the section just above it.

    References
    ----------
    .. [1] Plane section of a polyhedron; the library is manifold3d.

    Examples
    --------
    >>> import manifold3d
    >>> region_at(manifold3d.Manifold.cube((2.0, 3.0, 1.0)), 0.5).area
    6.0
    """
    import shapely

    loops = [np.asarray(loop) for loop in flat.slice(height_m).to_polygons()]
    region: Any = shapely.Polygon()
    for loop in loops:
        if len(loop) >= 3:
            region = shapely.symmetric_difference(region, shapely.make_valid(shapely.Polygon(loop)))
    return region


def extruded(region: Region, low_m: float, high_m: float) -> Body:
    """Solid over a plane region, between two heights.

    Parameters
    ----------
    region : shapely geometry
        In the frame of the plane [m].
    low_m, high_m : float
        Heights over the plane [m].

    Returns
    -------
    solid : manifold3d.Manifold
        In the frame of the plane [m].

    Notes
    -----
    Exact. Points and lines of the region are left out.

    References
    ----------
    .. [1] Prism; the library is manifold3d.

    Examples
    --------
    >>> import shapely
    >>> round(extruded(shapely.box(0.0, 0.0, 2.0, 3.0), -1.0, 1.0).volume(), 9)
    12.0
    """
    import manifold3d
    import shapely

    rings: list[NDArray[np.float64]] = []
    for polygon in shapely.get_parts(region):
        if polygon.geom_type != "Polygon":
            continue
        outward: Any = shapely.orient_polygons(polygon)
        rings += [np.asarray(ring.coords)[:-1] for ring in (outward.exterior, *outward.interiors)]
    section = manifold3d.CrossSection(rings, manifold3d.FillRule.EvenOdd)
    return manifold3d.Manifold.extrude(section, high_m - low_m).translate((0.0, 0.0, low_m))
