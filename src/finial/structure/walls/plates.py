"""Closed forms for flat plates and walls under pressure.

All hold for small deflection, below half the thickness; beyond that a clamped wall stretches
and is stiffer and less bent than these say, until its edges or layers give way.
"""

import math
from dataclasses import dataclass
from functools import cache
from typing import Literal

import numpy as np

from finial.core.doors import require_positive
from finial.core.tables import table_rows
from finial.structure.bounds import need_between

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
        require_positive(thickness_m=self.thickness_m, modulus_pa=self.modulus_pa)
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
    require_positive(radius_m=radius_m, pressure_pa=pressure_pa)
    nu = plate.poisson
    deflection = pressure_pa * radius_m**4 / (64 * plate.stiffness_n_m)
    stress = pressure_pa * (radius_m / plate.thickness_m) ** 2
    if edge == "clamped":
        return PlateAnswer(deflection_m=deflection, stress_pa=0.75 * stress)
    return PlateAnswer(deflection_m=deflection * (5 + nu) / (1 + nu), stress_pa=3 * (3 + nu) / 8 * stress)


def round_plate_pushed(
    plate: Plate, radius_m: float, force_n: float, pushed_radius_m: float, *, edge: Edge
) -> PlateAnswer:
    r"""Round plate pushed or pulled at its middle, such as a bulkhead by its eye bolt.

    .. math::
        w = \frac{(3 + \nu)\, F a^2}{16 \pi (1 + \nu) D}, \;
        \sigma = \frac{3 F}{2 \pi t^2} \left[ (1 + \nu) \ln\frac{a}{r'} + 1 \right] \text{ (supported)}; \\
        w = \frac{F a^2}{16 \pi D}, \;
        \sigma = \frac{3 F}{2 \pi t^2} \max\left[ (1 + \nu) \ln\frac{a}{r'},\ 1 \right]
        \text{ (clamped: middle or edge)}

    with :math:`r' = \sqrt{1.6 r^2 + t^2} - 0.675 t` where the pushed circle has :math:`r < t / 2`, else
    :math:`r' = r`.

    Parameters
    ----------
    plate : Plate
        Thickness [m], modulus [Pa], Poisson's ratio.
    radius_m : float
        Radius of the support [m].
    force_n : float
        Force across the plate [N].
    pushed_radius_m : float
        Radius of the circle that the force spreads over, a washer's [m].
    edge : {"supported", "clamped"}
        How the rim is held.

    Returns
    -------
    answer : PlateAnswer
        Centre deflection [m] and largest stress [Pa].

    Raises
    ------
    OutsideRange
        If a size or the force is not above zero, or the circle is not inside the rim.

    Notes
    -----
    Holds for deflection below half the thickness, a full plate and a force amid it. The deflection is that of
    a force at one point, the upper bound.

    References
    ----------
    .. [1] Roark's Formulas for Stress and Strain, round flat plates, load over a small circle amid them, with
       Westergaard's radius; from memory.
    .. [2] Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells, article 19; from memory.

    Examples
    --------
    >>> plate = Plate(thickness_m=0.0015, modulus_pa=200e9, poisson=0.29)
    >>> answer = round_plate_pushed(plate, 0.15, 314.16, 0.01, edge="clamped")
    >>> round(answer.deflection_m * 1e3, 2), round(answer.stress_pa / 1e6)
    (2.29, 233)
    """
    require_positive(
        radius_m=radius_m, force_n=force_n, pushed_radius_m=pushed_radius_m, rim_m=radius_m - pushed_radius_m
    )
    nu, thick = plate.poisson, plate.thickness_m
    spread_m = pushed_radius_m
    if spread_m < thick / 2:
        spread_m = math.sqrt(1.6 * spread_m**2 + thick**2) - 0.675 * thick
    middle = (1 + nu) * math.log(radius_m / spread_m)
    stress = 3 * force_n / (2 * math.pi * thick**2)
    deflection = force_n * radius_m**2 / (16 * math.pi * plate.stiffness_n_m)
    if edge == "clamped":
        return PlateAnswer(deflection_m=deflection, stress_pa=stress * max(middle, 1.0))
    return PlateAnswer(deflection_m=deflection * (3 + nu) / (1 + nu), stress_pa=stress * (middle + 1.0))


def rectangular_plate(
    plate: Plate, width_m: float, length_m: float, pressure_pa: float, *, edge: Edge
) -> PlateAnswer:
    r"""Rectangular plate under even pressure: one flat side of a box, from ledge to ledge.

    .. math::  w = \alpha \, q b^4 / D, \qquad \sigma = \beta \, q b^2 / t^2

    with :math:`b` the shorter side and the factors tabled over the longer side divided by it: 0.00126 and
    0.3078 for a clamped square, 1/384 and 1/2 for a long clamped strip.

    Parameters
    ----------
    plate : Plate
        Thickness [m], modulus [Pa], Poisson's ratio.
    width_m, length_m : float
        Sides between the held edges, in either order [m].
    pressure_pa : float
        Pressure [Pa].
    edge : {"supported", "clamped"}
        How the edges are held; the corners of a box hold each other clamped.

    Returns
    -------
    answer : PlateAnswer
        Middle deflection [m] and largest stress [Pa]: in the middle if supported, at the longer edge if
        clamped.

    Raises
    ------
    OutsideRange
        If a side or the pressure is not above zero.

    Notes
    -----
    Holds for deflection below half the thickness. The stress factors are for a Poisson's ratio of 0.3;
    0.4 raises the supported ones by up to 8 %.

    References
    ----------
    .. [1] Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells, tables 8 and 35; from memory.
    .. [2] Roark's Formulas for Stress and Strain, flat plates, rectangular; from memory.

    Examples
    --------
    >>> wall = Plate(thickness_m=0.003, modulus_pa=2.3e9)
    >>> round(rectangular_plate(wall, 0.1, 1.0, 103_421.0, edge="clamped").stress_pa / 1e6, 1)
    57.5
    >>> round(rectangular_plate(wall, 0.1, 0.05, 103_421.0, edge="clamped").stress_pa / 1e6, 1)
    14.3
    """
    require_positive(width_m=width_m, length_m=length_m, pressure_pa=pressure_pa)
    short, long = sorted((width_m, length_m))
    deflection, stress = (_tabled(edge, what, long / short) for what in ("deflection", "stress"))
    return PlateAnswer(
        deflection_m=deflection * pressure_pa * short**4 / plate.stiffness_n_m,
        stress_pa=stress * pressure_pa * (short / plate.thickness_m) ** 2,
    )


def _tabled(edge: Edge, what: str, ratio: float) -> float:
    ratios, values = _columns(f"{edge}_{what}")
    return float(np.interp(ratio, ratios, values))


@cache
def _columns(name: str) -> tuple[list[float], list[float]]:
    rows = table_rows("finial.structure", "rectangular_plates.csv")
    return [float(row["ratio"]) for row in rows], [float(row[name]) for row in rows]


def backed_wall_stress(plate: Plate, pressure_pa: float, support_pa_m: float) -> float:
    r"""Bending of a wide wall with infill behind it, at the edge that clamps it.

    .. math::  \sigma = \frac{6}{t^2} \frac{q}{2 \lambda^2}, \qquad \lambda^4 = \frac{k}{4 D}

    Parameters
    ----------
    plate : Plate
        Thickness [m], modulus [Pa], Poisson's ratio.
    pressure_pa : float
        Pressure [Pa].
    support_pa_m : float
        Stiffness of what stands behind, :math:`k`, see :func:`finial.structure.walls.buckling.infill_support`
        [Pa/m].

    Returns
    -------
    stress_pa : float
        Largest bending stress [Pa].

    Raises
    ------
    OutsideRange
        If pressure or support is not above zero.

    Notes
    -----
    Holds for walls much wider than :math:`1/\lambda`; away from the edges the infill takes all.

    References
    ----------
    .. [1] Hetenyi, Beams on Elastic Foundation, 1946: half-infinite beam, clamped end, even load; from
           memory.

    Examples
    --------
    >>> wall = Plate(thickness_m=0.0016, modulus_pa=2.3e9)
    >>> round(backed_wall_stress(wall, 7000.0, 2.4e7) / 1e6, 2)
    3.17
    """
    require_positive(pressure_pa=pressure_pa, support_pa_m=support_pa_m)
    return 6 / plate.thickness_m**2 * pressure_pa * math.sqrt(plate.stiffness_n_m / support_pa_m)


PANEL_CENTRE = 0.0056
"""Deflection of a clamped square pushed at its centre, w D / (P b^2) [-]; Timoshenko, table 37."""


def panel_stiffness(bending_n_m: float, width_m: float, support_pa_m: float = 0.0) -> float:
    r"""How stiff a wall is against a pull straight off it at one point, such as an anchor's.

    .. math::  k = \max\left(\frac{D}{0.0056 \, b^2},\ 8 \sqrt{k_i D}\right)

    Parameters
    ----------
    bending_n_m : float
        Bending stiffness of the wall, with any plate behind it, :math:`D` [N m].
    width_m : float
        Width between the edges that hold it [m].
    support_pa_m : float
        Stiffness of infill behind it, :math:`k_i` [Pa/m].

    Returns
    -------
    stiffness_n_per_m : float
        Pull over shift [N/m].

    Raises
    ------
    OutsideRange
        If bending stiffness or width is not above zero, or the support is negative.

    Notes
    -----
    Holds for anchors amid a wall, small against it; near a corner it is stiffer. Infill that came off its
    wall does not support against a pull.

    References
    ----------
    .. [1] Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells, table 37 (clamped square, load at
           the
       centre) and article 57 (wide plate on springs); from memory.

    Examples
    --------
    >>> round(panel_stiffness(0.9, 0.1) / 1e3, 1)
    16.1
    """
    require_positive(bending_n_m=bending_n_m, width_m=width_m)
    need_between(0.0, math.inf, support_pa_m=support_pa_m)
    return max(bending_n_m / (PANEL_CENTRE * width_m**2), 8 * math.sqrt(support_pa_m * bending_n_m))


def panel_frequency(
    plate: Plate, sides_m: tuple[float, float], density_kg_m3: float, support_pa_m: float = 0.0, *, edge: Edge
) -> float:
    r"""Lowest frequency of a rectangular plate: one flat side of a box, from ledge to ledge.

    .. math::
        f = \frac{1}{2 \pi} \sqrt{\frac{\lambda^2 D + k_i}{\rho t}}, \qquad
        \lambda = \pi^2 (a^{-2} + b^{-2}) \text{ (supported)}, \quad
        \lambda^2 = 22.37^2 (a^{-4} + b^{-4}) + 2 \cdot 12.30^2 (a b)^{-2} \text{ (clamped)}

    Parameters
    ----------
    plate : Plate
        Thickness :math:`t` [m], modulus, Poisson's ratio.
    sides_m : tuple of float
        Sides between the held edges, :math:`a, b` [m].
    density_kg_m3 : float
        Of the plate's stuff, :math:`\rho` [kg/m^3].
    support_pa_m : float
        Stiffness of infill behind it, :math:`k_i` [Pa/m].
    edge : {"supported", "clamped"}
        How the edges are held.

    Returns
    -------
    frequency_hz : float
        Lowest natural frequency [Hz].

    Raises
    ------
    OutsideRange
        If a side or the density is not above zero, or the support is negative.

    Notes
    -----
    Small swings; air and what infill weighs are left out: both make it slower. The clamped form is 0.3 %
    above the exact 35.99 of a square.

    References
    ----------
    .. [1] A. W. Leissa, Vibration of Plates, NASA SP-160, 1969: 19.74 and 35.99 of a square; G. B.
       Warburton, Proc. Inst. Mechanical Engineers 168, 1954 (both from memory, not re-read).

    Examples
    --------
    >>> wall = Plate(thickness_m=0.0016, modulus_pa=2.0e9)
    >>> round(panel_frequency(wall, (0.1, 0.15), 1270.0, edge="supported"))
    140
    """
    require_positive(short_m=sides_m[0], long_m=sides_m[1], density_kg_m3=density_kg_m3)
    need_between(0.0, math.inf, support_pa_m=support_pa_m)
    a, b = (1.0 / side**2 for side in sides_m)
    if edge == "supported":
        squared = (math.pi**2 * (a + b)) ** 2
    else:
        squared = 22.37**2 * (a**2 + b**2) + 2.0 * 12.30**2 * a * b
    stiffness = squared * plate.stiffness_n_m + support_pa_m
    return math.sqrt(stiffness / (density_kg_m3 * plate.thickness_m)) / (2.0 * math.pi)


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
    require_positive(pressure_pa=pressure_pa, outer_diameter_m=outer_diameter_m, wall_m=wall_m)
    need_between(0.0, outer_diameter_m / 4, wall_m=wall_m)
    return pressure_pa * (outer_diameter_m - wall_m) / (2 * wall_m)
