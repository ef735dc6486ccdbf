"""Closed forms for flat plates and walls under pressure.

All hold for small deflection, below half the thickness; beyond that a clamped wall stretches
and is stiffer and less bent than these say, until its edges or layers give way.
"""

import math
from dataclasses import dataclass
from typing import Literal

from finial.structure.bounds import need_between, need_positive

Edge = Literal["supported", "clamped"]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlateAnswer:
    """Largest deflection [m] and largest bending stress [Pa]."""

    deflection_m: float
    stress_pa: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Plate:
    """Thickness and stuff of a flat plate.

    Raises
    ------
    OutsideRange
        If thickness or modulus is not above zero, or Poisson's ratio lies outside 0 to 0.5.
    """

    thickness_m: float
    modulus_pa: float
    poisson: float = 0.35

    def __post_init__(self) -> None:
        """Refuse what no plate can be."""
        need_positive(thickness_m=self.thickness_m, modulus_pa=self.modulus_pa)
        need_between(0.0, 0.5, poisson=self.poisson)

    @property
    def stiffness_n_m(self) -> float:
        """Bending stiffness D = E t^3 / (12 (1 - nu^2)) [N m]."""
        return self.modulus_pa * self.thickness_m**3 / (12 * (1 - self.poisson**2))


def round_plate(plate: Plate, radius_m: float, pressure_pa: float, *, edge: Edge) -> PlateAnswer:
    r"""Round plate under even pressure, such as a bulkhead.

    .. math::
        w = \frac{(5 + \nu)\, q a^4}{64 (1 + \nu) D}, \; \sigma = \frac{3 (3 + \nu)}{8} \frac{q a^2}{t^2}
        \text{ (supported)}; \qquad
        w = \frac{q a^4}{64 D}, \; \sigma = \frac{3}{4} \frac{q a^2}{t^2} \text{ (clamped, at the edge)}

    Parameters
    ----------
    plate : Plate
        Thickness [m], modulus [Pa], Poisson's ratio.
    radius_m : float
        Radius of the support [m].
    pressure_pa : float
        Pressure [Pa].
    edge : {"supported", "clamped"}
        How the rim is held.

    Returns
    -------
    answer : PlateAnswer
        Centre deflection [m] and largest stress [Pa].

    Raises
    ------
    OutsideRange
        If radius or pressure is not above zero.

    Notes
    -----
    Holds for deflection below half the thickness and radius above 5 thicknesses.

    References
    ----------
    .. [1] Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells, articles 16 and 17; from memory.

    Examples
    --------
    >>> answer = round_plate(Plate(thickness_m=1.0, modulus_pa=1.0, poisson=0.3), 1.0, 1.0, edge="clamped")
    >>> round(answer.deflection_m, 4), answer.stress_pa
    (0.1706, 0.75)
    """
    need_positive(radius_m=radius_m, pressure_pa=pressure_pa)
    nu = plate.poisson
    deflection = pressure_pa * radius_m**4 / (64 * plate.stiffness_n_m)
    stress = pressure_pa * (radius_m / plate.thickness_m) ** 2
    if edge == "clamped":
        return PlateAnswer(deflection_m=deflection, stress_pa=0.75 * stress)
    return PlateAnswer(deflection_m=deflection * (5 + nu) / (1 + nu), stress_pa=3 * (3 + nu) / 8 * stress)


def round_plate_centre_load(plate: Plate, radius_m: float, load_n: float, *, edge: Edge) -> float:
    r"""Centre deflection of a round plate pushed at its centre.

    .. math::
        w = \frac{(3 + \nu) P a^2}{16 \pi (1 + \nu) D} \text{ (supported)}, \qquad
        w = \frac{P a^2}{16 \pi D} \text{ (clamped)}

    Parameters
    ----------
    plate : Plate
        Thickness [m], modulus [Pa], Poisson's ratio.
    radius_m : float
        Radius of the support [m].
    load_n : float
        Load [N].
    edge : {"supported", "clamped"}
        How the rim is held.

    Returns
    -------
    deflection_m : float
        Centre deflection [m].

    Raises
    ------
    OutsideRange
        If radius or load is not above zero.

    Notes
    -----
    Holds for deflection below half the thickness. The stress under a point load depends on its footprint.

    References
    ----------
    .. [1] Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells, article 19; from memory.

    Examples
    --------
    >>> plate = Plate(thickness_m=1.0, modulus_pa=1.0, poisson=0.3)
    >>> round(round_plate_centre_load(plate, 1.0, 1.0, edge="clamped"), 4)
    0.2172
    """
    need_positive(radius_m=radius_m, load_n=load_n)
    clamped = load_n * radius_m**2 / (16 * math.pi * plate.stiffness_n_m)
    return clamped if edge == "clamped" else clamped * (3 + plate.poisson) / (1 + plate.poisson)


def square_plate(plate: Plate, side_m: float, pressure_pa: float, *, edge: Edge) -> PlateAnswer:
    r"""Square plate under even pressure.

    .. math::
        w = k \, q s^4 / D, \; k = 0.00406 \text{ or } 0.00126; \qquad
        \sigma = \beta \, q s^2 / t^2, \; \beta = 0.2874 \text{ or } 0.3078

    Parameters
    ----------
    plate : Plate
        Thickness [m], modulus [Pa], Poisson's ratio.
    side_m : float
        Side between supports [m].
    pressure_pa : float
        Pressure [Pa].
    edge : {"supported", "clamped"}
        How the edges are held.

    Returns
    -------
    answer : PlateAnswer
        Centre deflection [m] and largest stress [Pa]: centre if supported, middle of an edge if clamped.

    Raises
    ------
    OutsideRange
        If side or pressure is not above zero.

    Notes
    -----
    Holds for deflection below half the thickness. The stress factors are for a Poisson's ratio of 0.3;
    0.4 raises the supported one by 8 %.

    References
    ----------
    .. [1] Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells, tables 8 and 35; from memory.
    .. [2] Roark's Formulas for Stress and Strain, flat plates, rectangular; from memory.

    Examples
    --------
    >>> plate = Plate(thickness_m=1.0, modulus_pa=10.92, poisson=0.3)
    >>> round(square_plate(plate, 1.0, 1.0, edge="clamped").deflection_m, 6)
    0.00126
    """
    need_positive(side_m=side_m, pressure_pa=pressure_pa)
    deflection, stress = (0.00126, 0.3078) if edge == "clamped" else (0.0040624, 0.2874)
    return PlateAnswer(
        deflection_m=deflection * pressure_pa * side_m**4 / plate.stiffness_n_m,
        stress_pa=stress * pressure_pa * (side_m / plate.thickness_m) ** 2,
    )


def long_wall(plate: Plate, width_m: float, pressure_pa: float, *, edge: Edge) -> PlateAnswer:
    r"""Long flat wall under pressure, held along its two long edges: one side of a box.

    .. math::
        \sigma = \frac{q b^2}{2 t^2}, \; w = \frac{q b^4}{384 D} \text{ (clamped, at the edge)}; \qquad
        \sigma = \frac{3 q b^2}{4 t^2}, \; w = \frac{5 q b^4}{384 D} \text{ (supported)}

    Parameters
    ----------
    plate : Plate
        Thickness [m], modulus [Pa], Poisson's ratio.
    width_m : float
        Width between the held edges [m].
    pressure_pa : float
        Pressure [Pa].
    edge : {"supported", "clamped"}
        How the edges are held; the corners of a box hold each other clamped.

    Returns
    -------
    answer : PlateAnswer
        Middle deflection [m] and largest stress [Pa].

    Raises
    ------
    OutsideRange
        If width or pressure is not above zero.

    Notes
    -----
    Holds for walls longer than twice their width and deflection below half the thickness.

    References
    ----------
    .. [1] Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells, articles 2 and 3; from memory.

    Examples
    --------
    >>> wall = Plate(thickness_m=0.003, modulus_pa=2.3e9)
    >>> round(long_wall(wall, 0.1, 103_421.0, edge="clamped").stress_pa / 1e6, 1)
    57.5
    """
    need_positive(width_m=width_m, pressure_pa=pressure_pa)
    clamped = edge == "clamped"
    stress = (0.5 if clamped else 0.75) * pressure_pa * (width_m / plate.thickness_m) ** 2
    deflection = (1 if clamped else 5) * pressure_pa * width_m**4 / (384 * plate.stiffness_n_m)
    return PlateAnswer(deflection_m=deflection, stress_pa=stress)


def hoop_stress(pressure_pa: float, outer_diameter_m: float, wall_m: float) -> float:
    r"""Stress round a thin tube under inner pressure, at its mean radius.

    .. math::  \sigma = p \, r_m / t, \qquad r_m = (d - t) / 2

    Parameters
    ----------
    pressure_pa : float
        Pressure [Pa].
    outer_diameter_m : float
        Outer diameter [m].
    wall_m : float
        Wall thickness [m].

    Returns
    -------
    stress_pa : float
        Hoop stress [Pa].

    Raises
    ------
    OutsideRange
        If an argument is not above zero or the wall is thicker than a quarter of the diameter.

    Notes
    -----
    Holds for walls below a tenth of the radius; a few per cent low at the inside of thicker ones.

    References
    ----------
    .. [1] Thin cylinder, any strength of materials text, such as Timoshenko, Strength of Materials I.

    Examples
    --------
    >>> round(hoop_stress(103_421.0, 0.1, 0.0015) / 1e6, 2)
    3.4
    """
    need_positive(pressure_pa=pressure_pa, outer_diameter_m=outer_diameter_m, wall_m=wall_m)
    need_between(0.0, outer_diameter_m / 4, wall_m=wall_m)
    return pressure_pa * (outer_diameter_m - wall_m) / (2 * wall_m)
