"""Mass, centre and inertia of a part made of one material, solid or printed."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from finial.core.corners import over_corners
from finial.core.estimates import Estimate, KnownBy
from finial.mass.moments import VolumeMoments
from finial.mass.properties import MassProperties, combined
from finial.mass.simple import Cylinder, cylinder
from finial.mass.solids import Solid
from finial.printing.walls import PrintedWalls, plastic_in

PRINT_SPREAD = 0.08
"""Scale against slicer for printed parts [-]: flow, seams and infill patterns; common practice."""

_LIGHTER, _HEAVIER = 0.8, 1.1
"""Lightest and heaviest printed plastic over PLA [-]; ABS and PA-CF of the materials table."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PartMass:
    """Mass of a part with its interval [kg], and its properties at the central mass."""

    mass: Estimate
    properties: MassProperties


def solid_part(solid: Solid, density_kg_m3: Estimate) -> PartMass:
    r"""Mass of a part filled with material.

    .. math::  m = \rho V

    Parameters
    ----------
    solid : Solid
        The part as drawn: volume with its interval [m^3].
    density_kg_m3 : Estimate
        Density of the material [kg/m^3].

    Returns
    -------
    part : PartMass
        Mass [kg], least volume at least density to most at most; centre and inertia of the filled solid.

    Notes
    -----
    Exact for a solid without voids.

    References
    ----------
    .. [1] Definition of density.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> from finial.mass.solids import solid_of
    >>> from finial.shape.tiers import Tier, tiers_mesh
    >>> post = solid_of(tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=1.0)]))
    >>> round(solid_part(post, exact(1200.0)).mass.value, 6)
    12.0
    """
    mass = over_corners(
        lambda volume, density: volume * density,
        {"volume": solid.volume_m3, "density": density_kg_m3},
        method="volume x density",
        source=density_kg_m3.source,
    )
    return PartMass(mass=mass, properties=_filled(solid.inside, mass.value))


def printed_part(solid: Solid, density_kg_m3: Estimate, walls: PrintedWalls, share: float = 1.0) -> PartMass:
    r"""Mass of a printed part: solid walls on its surface, infill inside.

    .. math::  m = \rho \left( \min(V, c A w) + (V - \min(V, c A w)) \, \phi \right)

    Parameters
    ----------
    solid : Solid
        The part as drawn.
    density_kg_m3 : Estimate
        Density of the plastic [kg/m^3].
    walls : PrintedWalls
        Wall thickness [m] and infill [-].
    share : float
        Plastic in the walls over thickness times surface, :math:`c`, see ``wall_share`` [-].

    Returns
    -------
    part : PartMass
        Mass +-8 % [kg], known by computation; centre and inertia of a thin skin holding the
        wall's mass together with a body holding the infill's.

    Raises
    ------
    OutsideRange
        If the solid has no volume or surface, or the walls are impossible.

    Notes
    -----
    The 8 % is common practice for printed parts and covers the scatter of the density. The
    skin is taken on the surface, not half a wall inside: the inertia comes out at most
    2 w / width too large.

    References
    ----------
    .. [1] Common practice: slicers' mass against the scale.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> from finial.mass.solids import solid_of
    >>> from finial.shape.tiers import Tier, tiers_mesh
    >>> post = solid_of(tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=1.0)]))
    >>> part = printed_part(post, exact(1270.0), PrintedWalls(wall_m=0.0012, infill=0.10))
    >>> round(part.mass.value, 4), round(part.mass.high / part.mass.value, 2)
    (1.8461, 1.08)
    """
    fixed = {"density": density_kg_m3.value, "area": share * solid.surface.size}
    mass = solid.volume_m3.mapped(
        lambda volume: fixed["density"] * plastic_in(volume, fixed["area"], walls).total_m3
    )
    widened = replace(
        mass,
        low=mass.low * (1.0 - PRINT_SPREAD),
        high=mass.high * (1.0 + PRINT_SPREAD),
        method="walls x surface + infill x inside, +-8 %",
        source=f"common practice; density: {density_kg_m3.source}",
    )
    plastic = plastic_in(solid.volume_m3.value, fixed["area"], walls)
    properties = combined(
        [
            _filled(solid.surface, density_kg_m3.value * plastic.shell_m3),
            _filled(solid.inside, density_kg_m3.value * plastic.infill_m3),
        ]
    )
    return PartMass(mass=widened, properties=properties)


def guessed_part(
    part: PartMass, solid: Solid, density_kg_m3: Estimate, walls: PrintedWalls | None, share: float = 1.0
) -> PartMass:
    r"""Mass of a part of which material and print are only guessed.

    .. math::  m_{low} = 0.8 \, m(w / 2, \phi / 2), \qquad m_{high} = 1.1 \, m(2 w, \min(2 \phi, 1))

    Parameters
    ----------
    part : PartMass
        The part with the guess [kg].
    solid : Solid
        The part as drawn.
    density_kg_m3 : Estimate
        Density of the guessed plastic [kg/m^3].
    walls : PrintedWalls or None
        Guessed walls :math:`w` [m] and infill :math:`\phi` [-]; ``None`` for a solid part.
    share : float
        Plastic in the walls over thickness times surface, as of the guess [-].

    Returns
    -------
    part : PartMass
        The same with an assumed mass, as wide as the guess [kg].

    Raises
    ------
    OutsideRange
        If the solid has no volume or surface.

    Notes
    -----
    Holds for printed plastics: of PLA, the usual guess, the lightest are a fifth lighter, the heaviest a
    tenth heavier. Half to twice the walls is a judgement of this project.

    References
    ----------
    .. [1] Densities of the materials table: 1000 to 1360 kg/m^3 beside 1240 of PLA.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> from finial.mass.solids import solid_of
    >>> from finial.shape.tiers import Tier, tiers_mesh
    >>> post = solid_of(tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=1.0)]))
    >>> walls = PrintedWalls(wall_m=0.0012, infill=0.10)
    >>> guessed = guessed_part(printed_part(post, exact(1270.0), walls), post, exact(1270.0), walls).mass
    >>> round(guessed.low, 2), round(guessed.value, 2), round(guessed.high, 2), guessed.known_by.word
    (0.69, 1.85, 4.23, 'assumed')
    """
    thin = thick = part
    if walls is not None:
        half = PrintedWalls(wall_m=walls.wall_m / 2, infill=walls.infill / 2)
        twice = PrintedWalls(wall_m=2 * walls.wall_m, infill=min(2 * walls.infill, 1.0))
        thin, thick = (printed_part(solid, density_kg_m3, one, share) for one in (half, twice))
    mass = replace(
        part.mass,
        low=min(part.mass.low, _LIGHTER * thin.mass.low),
        high=max(part.mass.high, _HEAVIER * thick.mass.high),
        known_by=KnownBy.ASSUMED,
        method="guessed walls and material: half to twice the walls",
    )
    return PartMass(mass=mass, properties=part.properties)


@dataclass(frozen=True, slots=True, kw_only=True)
class Hole:
    """A straight hole along a part that is printed into it but not drawn."""

    stations_m: tuple[float, float]
    """Where it begins and ends within the part [m]."""
    area_m2: float
    """Of its cross-section [m^2]."""
    girth_m: float
    """Round its cross-section [m]."""
    offset_m: tuple[float, float] = (0.0, 0.0)


def holed_part(
    part: PartMass, density_kg_m3: Estimate, walls: PrintedWalls | None, holes: Sequence[Hole]
) -> PartMass:
    r"""Mass of a part with holes in it that were not drawn.

    .. math::  m' = m - \rho \sum_h L_h \left( A_h f - P_h w (1 - f) \right)

    Parameters
    ----------
    part : PartMass
        The part as drawn.
    density_kg_m3 : Estimate
        Density of the material [kg/m^3].
    walls : PrintedWalls or None
        Wall thickness, :math:`w` [m], and infill, :math:`f` [-]; ``None`` for a solid part, :math:`f = 1`.
    holes : sequence of Hole
        Their lengths :math:`L`, sections :math:`A` and girths :math:`P` [m, m^2].

    Returns
    -------
    part : PartMass
        Infill taken out, walls of the holes put in; its interval keeps its share of the mass [kg].

    Raises
    ------
    OutsideRange
        If a hole has no length, or nothing of the part would be left.

    Notes
    -----
    Holds for holes within the infill; where one cuts through a wall that is drawn, that wall is still
    counted. A hole that leans is taken along the axis at its middle.

    References
    ----------
    .. [1] Volumes of prisms; common practice of slicing programs for walls round holes.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> from finial.mass.solids import solid_of
    >>> from finial.shape.tiers import Tier, tiers_mesh
    >>> post = solid_of(tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=1.0)]))
    >>> solid = solid_part(post, exact(1200.0))
    >>> half = Hole(stations_m=(0.0, 0.5), area_m2=0.005, girth_m=0.3)
    >>> round(holed_part(solid, exact(1200.0), None, [half]).mass.value, 6)
    9.0
    """
    if not holes:
        return part
    infill, wall_m = (1.0, 0.0) if walls is None else (walls.infill, walls.wall_m)
    bodies = [part.properties]
    for hole in holes:
        per_length = hole.area_m2 * infill - hole.girth_m * wall_m * (1.0 - infill)
        across = math.sqrt(4.0 * hole.area_m2 / math.pi)
        shape = Cylinder(diameter_m=across, stations_m=hole.stations_m, offset_m=hole.offset_m)
        one = cylinder(1.0, shape)
        taken = density_kg_m3.value * per_length * (hole.stations_m[1] - hole.stations_m[0])
        bodies.append(replace(one, mass_kg=-taken, inertia_kg_m2=-taken * one.inertia_kg_m2))
    properties = combined(bodies)
    return PartMass(
        mass=part.mass.scaled(properties.mass_kg / part.properties.mass_kg), properties=properties
    )


def weighed_part(part: PartMass, weighed: Estimate) -> PartMass:
    """Return the part with the mass the scale says; centre kept, inertia in proportion.

    Parameters
    ----------
    part : PartMass
        The part as computed.
    weighed : Estimate
        What the scale says [kg].

    Returns
    -------
    part : PartMass
        The part with that mass.

    Notes
    -----
    Holds if the difference is spread as the computed mass is. A lump of glue or a hidden nut moves the
    centre too: weigh the balance point of the whole vehicle.

    References
    ----------
    .. [1] Inertia is linear in mass at one shape; definition.

    Examples
    --------
    >>> import numpy as np
    >>> from finial.core.estimates import KnownBy, exact
    >>> ball = MassProperties(mass_kg=1.0, centre_m=np.zeros(3), inertia_kg_m2=np.eye(3))
    >>> part = PartMass(mass=exact(1.0), properties=ball)
    >>> weighed_part(part, exact(1.5, known_by=KnownBy.WEIGHED)).properties.inertia_kg_m2[0, 0]
    np.float64(1.5)
    """
    return PartMass(mass=weighed, properties=with_mass(part.properties, weighed.value))


def with_mass(body: MassProperties, mass_kg: float) -> MassProperties:
    """Return the body scaled to another mass: same shape, inertia in proportion.

    Parameters
    ----------
    body : MassProperties
        The body.
    mass_kg : float
        Its new mass [kg].

    Returns
    -------
    body : MassProperties
        The scaled body.

    Notes
    -----
    Exact if all of it becomes denser or lighter alike.

    References
    ----------
    .. [1] Inertia is linear in mass at one shape; definition.

    Examples
    --------
    >>> import numpy as np
    >>> ball = MassProperties(mass_kg=2.0, centre_m=np.zeros(3), inertia_kg_m2=np.eye(3))
    >>> with_mass(ball, 1.0).inertia_kg_m2.diagonal().tolist()
    [0.5, 0.5, 0.5]
    """
    share = mass_kg / body.mass_kg
    return MassProperties(mass_kg=mass_kg, centre_m=body.centre_m, inertia_kg_m2=body.inertia_kg_m2 * share)


def _filled(moments: VolumeMoments, mass_kg: float) -> MassProperties:
    return MassProperties(
        mass_kg=mass_kg,
        centre_m=moments.centre_m,
        inertia_kg_m2=moments.inertia * (mass_kg / moments.size),
    )
