"""Bodies simple enough for a formula: points, rods, cylinders, flat plates."""

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from finial.core.doors import require_positive
from finial.core.errors import OutsideRange
from finial.mass.properties import MassProperties, combined
from finial.shape.fin_set import FinSet


def point_mass(
    mass_kg: float, station_m: float, offset_m: tuple[float, float] = (0.0, 0.0)
) -> MassProperties:
    """Item without size.

    Parameters
    ----------
    mass_kg : float
        Mass [kg].
    station_m : float
        Station aft of the tip [m].
    offset_m : tuple of float
        Place off the axis, body (y, z) [m].

    Returns
    -------
    body : MassProperties
        A body without inertia of its own.

    Raises
    ------
    OutsideRange
        If the mass is not above zero.

    Notes
    -----
    Leaves out :math:`m L^2 / 12` of an item of length L: for 1 kg of 100 mm, 0.0008 kg m^2.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> point_mass(0.94, 0.104).station_m
    0.104
    """
    require_positive(mass_kg=mass_kg)
    return MassProperties(
        mass_kg=mass_kg, centre_m=np.array([-station_m, *offset_m]), inertia_kg_m2=np.zeros((3, 3))
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Cylinder:
    """Round body along the axis between two stations, off the axis by (y, z).

    ``inner_diameter_m`` equal to ``diameter_m`` is a thin shell without ends.
    """

    diameter_m: float
    stations_m: tuple[float, float]
    """Fore and aft end [m]."""
    inner_diameter_m: float = 0.0
    offset_m: tuple[float, float] = (0.0, 0.0)


def cylinder(mass_kg: float, shape: Cylinder) -> MassProperties:
    r"""Mass properties of a solid, hollow or thin cylinder.

    .. math::
        I_x = \tfrac{m}{2} (r_o^2 + r_i^2), \qquad
        I_y = I_z = \tfrac{m}{12} \left( 3 (r_o^2 + r_i^2) + L^2 \right)

    Parameters
    ----------
    mass_kg : float
        Mass :math:`m` [kg].
    shape : Cylinder
        Outer and inner diameter, ends and place [m].

    Returns
    -------
    body : MassProperties
        Centre [m] halfway between the ends, inertia [kg m^2].

    Raises
    ------
    OutsideRange
        If the mass, diameter or length is not above zero, or the bore is wider than the body.

    Notes
    -----
    Exact for an even body with its axis along the vehicle's.

    References
    ----------
    .. [1] Moments of inertia of a hollow cylinder: any handbook of mechanics.

    Examples
    --------
    >>> body = cylinder(2.0, Cylinder(diameter_m=0.1, stations_m=(0.0, 1.0)))
    >>> body.inertia_kg_m2.diagonal().round(6).tolist()
    [0.0025, 0.167917, 0.167917]
    """
    length = shape.stations_m[1] - shape.stations_m[0]
    require_positive(mass_kg=mass_kg, diameter_m=shape.diameter_m, length_m=length)
    if not 0.0 <= shape.inner_diameter_m <= shape.diameter_m:
        raise OutsideRange(f"a bore of {shape.inner_diameter_m} m does not fit {shape.diameter_m} m")
    squares = (shape.diameter_m**2 + shape.inner_diameter_m**2) / 4.0
    about_axis = mass_kg * squares / 2.0
    across = mass_kg * (3.0 * squares + length**2) / 12.0
    return MassProperties(
        mass_kg=mass_kg,
        centre_m=np.array([-(shape.stations_m[0] + length / 2.0), *shape.offset_m]),
        inertia_kg_m2=np.diag([about_axis, across, across]),
    )


def rods(mass_each_kg: float, places_m: ArrayLike, stations_m: tuple[float, float]) -> MassProperties:
    r"""Mass properties of equal thin rods along the axis.

    .. math::  I_i = \operatorname{diag}(0, \; m L^2 / 12, \; m L^2 / 12)

    Parameters
    ----------
    mass_each_kg : float
        Mass of one rod, :math:`m` [kg].
    places_m : array_like, shape (n, 2)
        Where each stands off the axis (y, z) [m].
    stations_m : tuple of float
        Where all begin and end [m].

    Returns
    -------
    body : MassProperties
        All rods together, by the parallel-axis theorem.

    Raises
    ------
    OutsideRange
        If the mass, length or number is not above zero.

    Notes
    -----
    Holds for rods much thinner than their distance: the rod's own :math:`m r^2 / 2` about its axis is
    left out.

    References
    ----------
    .. [1] Thin rod: any handbook of mechanics.

    Examples
    --------
    >>> four = rods(0.1, [[0.1, 0.0], [0.0, 0.1], [-0.1, 0.0], [0.0, -0.1]], (0.0, 1.2))
    >>> four.mass_kg, four.inertia_kg_m2.diagonal().round(6).tolist()
    (0.4, [0.004, 0.05, 0.05])
    """
    places = np.asarray(places_m, dtype=float).reshape(-1, 2)
    length = stations_m[1] - stations_m[0]
    require_positive(mass_each_kg=mass_each_kg, length_m=length, count=len(places))
    across = mass_each_kg * length**2 / 12.0
    middle = -(stations_m[0] + length / 2.0)
    return combined(
        MassProperties(
            mass_kg=mass_each_kg,
            centre_m=np.array([middle, *place]),
            inertia_kg_m2=np.diag([0.0, across, across]),
        )
        for place in places
    )


def plates(plate: FinSet, density_kg_m3: float) -> MassProperties:
    r"""Mass properties of a set of flat plates; one that tapers counts as even, at its mean thickness.

    .. math::
        m = \rho t A, \qquad I_{xx} = \rho t \int r^2 \, dA + m t^2 / 12, \qquad
        I_{yy} = \rho t \int x^2 \, dA + m t^2 / 12, \qquad I_{xy} = -\rho t \int x r \, dA

    for one plate along y, about its centre, and :math:`I_{zz} = \rho t \int (x^2 + r^2) \, dA`; the
    integrals over the outline by Green's theorem.

    Parameters
    ----------
    plate : FinSet
        Outline, place and thickness :math:`t` [m], number and first roll angle [rad].
    density_kg_m3 : float
        Density :math:`\rho` [kg/m^3].

    Returns
    -------
    body : MassProperties
        All plates together.

    Raises
    ------
    OutsideRange
        If thickness, density or number is not above zero, or the outline has no area.

    Notes
    -----
    Exact for straight edges and square sides. Rounded or sharpened edges weigh less.

    References
    ----------
    .. [1] Area moments of a polygon by Green's theorem: any handbook of mechanics.

    Examples
    --------
    >>> outline = np.array([[0.0, 0.0], [0.0, 0.1], [0.2, 0.1], [0.2, 0.0]])
    >>> pair = FinSet(name="pair", outline_m=outline, station_m=1.0, root_radius_m=0.05, count=2,
    ...     first_at_rad=0.0,
    ...                 thickness_m=0.005)
    >>> both = plates(pair, 1200.0)
    >>> round(both.mass_kg, 6), round(both.station_m, 6)
    (0.24, 1.1)
    """
    require_positive(thickness_m=plate.mean_thickness_m, density_kg_m3=density_kg_m3, count=plate.count)
    one = _plate_along_y(plate, density_kg_m3)
    every = (_rolled(one, angle) for angle in plate.rolls_rad)
    aside = np.array([0.0, *plate.offset_m])
    return combined(replace(each, centre_m=each.centre_m + aside) for each in every)


def _plate_along_y(plate: FinSet, density_kg_m3: float) -> MassProperties:
    """One plate in the x-y plane, outward along +y."""
    outline = np.asarray(plate.outline_m, dtype=float)
    corners = np.column_stack([-(plate.station_m + outline[:, 0]), plate.root_radius_m + outline[:, 1]])
    area, centre, second = _outline_moments(corners)
    sign = math.copysign(1.0, area)
    per_area = density_kg_m3 * plate.mean_thickness_m
    mass = per_area * abs(area)
    spread = per_area * sign * second - mass * np.outer(centre, centre)
    through = mass * plate.mean_thickness_m**2 / 12.0
    (xx, xy), (_, yy) = spread
    inertia = np.array([[yy + through, -xy, 0.0], [-xy, xx + through, 0.0], [0.0, 0.0, xx + yy]])
    return MassProperties(mass_kg=mass, centre_m=np.array([*centre, 0.0]), inertia_kg_m2=inertia)


def _outline_moments(outline_m: ArrayLike) -> tuple[float, NDArray[np.float64], NDArray[np.float64]]:
    """Signed area, centroid and signed second moments (2, 2) about the origin."""
    points = np.asarray(outline_m, dtype=float)
    if points.ndim != 2 or points.shape[1] != 2 or len(points) < 3 or not np.isfinite(points).all():
        raise OutsideRange(
            f"an outline needs three or more finite (along, outward) corners: got {points.shape}"
        )
    after = np.roll(points, -1, axis=0)
    twofold = points[:, 0] * after[:, 1] - points[:, 1] * after[:, 0]
    area = float(twofold.sum() / 2.0)
    if abs(area) < 1e-12:
        raise OutsideRange("the outline encloses no area: are its corners in order round the plate?")
    total = points + after
    centre = (twofold[:, None] * total).sum(axis=0) / (6.0 * area)
    weights = twofold[:, None] / 24.0
    second = (total * weights).T @ total + (points * weights).T @ points + (after * weights).T @ after
    return area, centre, second


def _rolled(body: MassProperties, angle_rad: float) -> MassProperties:
    cosine, sine = math.cos(angle_rad), math.sin(angle_rad)
    turn = np.array([[1.0, 0.0, 0.0], [0.0, cosine, -sine], [0.0, sine, cosine]])
    return MassProperties(
        mass_kg=body.mass_kg,
        centre_m=turn @ body.centre_m,
        inertia_kg_m2=turn @ body.inertia_kg_m2 @ turn.T,
    )
