"""Measures of sections and skins at any roll angle."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import MeshError
from finial.shape.skin import Section, Skin


def section_at(skin: Skin, station_m: float) -> Section:
    """Section of the skin nearest to a station.

    Parameters
    ----------
    skin : Skin
        The skin.
    station_m : float
        Station aft of the tip [m].

    Returns
    -------
    section : Section
        The nearest; the aft one of two equally near.

    Raises
    ------
    MeshError
        If the station is not on the vehicle.

    Notes
    -----
    Nothing is interpolated: the section stands at most half a spacing away, about 1/120 of the length.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> from finial.shape.sections import slice_skin
    >>> from finial.shape.tiers import Tier, tiers_mesh
    >>> post = slice_skin([tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=1.0)])])
    >>> round(section_at(post, 0.5).area_m2, 6)
    0.01
    """
    if not -1e-6 <= station_m <= skin.length_m + 1e-6:
        raise MeshError(
            f"station {1e3 * station_m:.1f} mm is not on the vehicle: it runs from 0 to "
            f"{1e3 * skin.length_m:.1f} mm"
        )
    distance = np.abs(skin.stations_m - station_m)
    return skin.sections[len(distance) - 1 - int(distance[::-1].argmin())]


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """What a stretch of the skin shows from the side and from its end, as of circles of equal area."""

    radius_m: float
    """Of its largest section [m]."""
    planform_m2: float
    largest_m2: float


def stretch_of(skin: Skin, fore_m: float, aft_m: float) -> Stretch:
    r"""Sizes of the skin between two stations.

    .. math::  d(x) = 2 \sqrt{S(x) / \pi}, \qquad S_p = \int d \, dx

    Parameters
    ----------
    skin : Skin
        Sections without fins.
    fore_m, aft_m : float
        Stations [m]; beyond the skin its end sections are taken.

    Returns
    -------
    stretch : Stretch
        Radius of the largest section [m], planform and largest section [m^2].

    Raises
    ------
    MeshError
        If the second station does not lie behind the first.

    Notes
    -----
    Holds for compact sections: a section longer than wide shows 2 or 3 % more than its circle on the
    mean over roll, and between its flat and its edge as much as its sides differ.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> from finial.shape.sections import slice_skin
    >>> from finial.shape.tiers import Tier, tiers_mesh
    >>> post = slice_skin([tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=1.0)])])
    >>> half = stretch_of(post, 0.25, 0.75)
    >>> round(half.largest_m2, 6), round(half.planform_m2, 4)
    (0.01, 0.0564)
    """
    if not aft_m > fore_m:
        raise MeshError(f"a stretch from {fore_m} to {aft_m} m has no length: give the fore station first")
    inside = (skin.stations_m > fore_m) & (skin.stations_m < aft_m)
    stations = np.array([fore_m, *skin.stations_m[inside], aft_m])
    areas = np.interp(stations, skin.stations_m, skin.areas_m2)
    diameters = 2 * np.sqrt(areas / np.pi)
    return Stretch(
        radius_m=float(diameters.max()) / 2,
        planform_m2=float(np.trapezoid(diameters, stations)),
        largest_m2=float(areas.max()),
    )


def radius_at(section: Section, roll_rad: float, from_m: tuple[float, float] = (0.0, 0.0)) -> float:
    """Distance from the axis, or a point beside it, to the outer skin along a ray.

    Parameters
    ----------
    section : Section
        Outlines [m].
    roll_rad : float
        Roll angle of the ray [rad], from body y towards z.
    from_m : tuple of float
        Point (y, z) the ray runs from [m]; the axis by default.

    Returns
    -------
    radius_m : float
        Distance of the farthest crossing [m], so that a wing or an arm in that direction is included.

    Raises
    ------
    MeshError
        If the skin does not reach the axis in that direction.

    Notes
    -----
    Exact for the polygon. A crossing at no distance counts: the axis may run in the wall.

    References
    ----------
    .. [1] Definition; crossing of a ray and a segment by linear interpolation.

    Examples
    --------
    >>> square = np.array([[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]])
    >>> one = Section(station_m=0.0, loops=(square,), area_m2=4.0, perimeter_m=8.0, centroid_m=(0.0, 0.0))
    >>> round(radius_at(one, 0.0), 6), round(radius_at(one, math.pi / 4), 6)
    (1.0, 1.414214)
    """
    crossings = [_farthest_crossing(loop - np.array(from_m), roll_rad) for loop in section.loops]
    farthest = max(crossings, default=-math.inf)
    if farthest < 0.0:
        raise MeshError(
            f"at station {1e3 * section.station_m:.1f} mm the skin is not met from the axis at roll "
            f"{math.degrees(roll_rad):.1f} deg: is the axis inside the shape there?"
        )
    return farthest


def _farthest_crossing(loop: NDArray[np.float64], roll_rad: float) -> float:
    along = loop @ np.array([math.cos(roll_rad), math.sin(roll_rad)])
    beside = loop @ np.array([-math.sin(roll_rad), math.cos(roll_rad)])
    along_next, beside_next = np.roll(along, -1), np.roll(beside, -1)
    crossed = (beside >= 0.0) != (beside_next >= 0.0)
    if not crossed.any():
        return -math.inf
    share = beside[crossed] / (beside[crossed] - beside_next[crossed])
    return float((along[crossed] + share * (along_next[crossed] - along[crossed])).max())


def extents_m(skin: Skin) -> tuple[float, float]:
    """Largest extents of the skin across its axis.

    Parameters
    ----------
    skin : Skin
        The skin.

    Returns
    -------
    along_y_m, along_z_m : float
        Extent along body y and along body z [m].

    Notes
    -----
    Exact for the corners of the sections; what stands out between two sections is not seen.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> from finial.shape.sections import slice_skin
    >>> from finial.shape.tiers import Tier, tiers_mesh
    >>> post = slice_skin([tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=1.0)])])
    >>> [round(extent, 6) for extent in extents_m(post)]
    [0.1, 0.1]
    """
    points = np.concatenate([loop for section in skin.sections for loop in section.loops])
    across = np.ptp(points, axis=0)
    return float(across[0]), float(across[1])
