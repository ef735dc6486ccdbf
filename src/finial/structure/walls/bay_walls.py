"""Walls of a recovery bay under the pressure of its charge."""

from dataclasses import dataclass, replace

from finial.core.corners import over_corners
from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate
from finial.structure.reserves import Because, FailureMode, Reserve, reserve_factor
from finial.structure.walls.plates import Plate, PlateAnswer, hoop_stress, rectangular_plate

MOST_STRETCH = 0.05
"""Stretch round a tube beyond which its joint no longer seals nor guides [-]; a judgement of this project:
rigid plastics yield at two to five hundredths, so that only what is like rubber stretches so far unbroken."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BayWall:
    """The wall that takes the pressure: a round tube, or the flat sides of a box."""

    station_m: float
    across_m: float
    """Outer diameter of the tube, or width of the widest flat side [m]."""
    length_m: float
    """Length of the bay [m]."""
    wall_m: float
    round_tube: bool
    modulus: Estimate
    """Young's modulus along the layers [Pa]."""
    strength: Estimate
    """Tensile strength round the bay: along the layers when they are stacked along the body [Pa]."""
    poisson: float = 0.35


def bay_wall_reserve(bay: BayWall, pressure: Estimate) -> Reserve:
    r"""Reserve of a bay's wall against the pressure of its charge.

    .. math::
        \sigma = \frac{p (d - t)}{2 t} \text{ (round tube)}, \qquad
        \sigma = \beta \frac{p\, b^2}{t^2} \text{ (flat side, edges clamped; } \beta = 1/2 \text{ if long)}

    Parameters
    ----------
    bay : BayWall
        Size [m] and stuff [Pa] of the wall.
    pressure : Estimate
        Gauge pressure [Pa].

    Returns
    -------
    reserve : Reserve
        Stress against strength, or of a tube against what swells it by ``MOST_STRETCH`` if that is less;
        the load is marked outside its range when a flat side bulges by more than half its thickness.

    Raises
    ------
    OutsideRange
        If a size, the modulus or the pressure's value is not above zero.

    Notes
    -----
    Range: thin tubes and flat sides. A side that bulges further than half its
    thickness stretches, is stressed less in bending than this and pulls at its corners instead.

    References
    ----------
    .. [1] Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells, articles 2 and 3; from memory.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> sides = BayWall(station_m=0.3, across_m=0.1, length_m=0.3, wall_m=0.003, round_tube=False,
    ...     modulus=exact(2.3e9), strength=exact(50e6))
    >>> answer = bay_wall_reserve(sides, exact(103_421.0))
    >>> round(answer.load.value / 1e6, 1), answer.load.inside_range, round(answer.reserve.value, 2)
    (57.5, False, 0.87)
    """

    def stress(gauge: float) -> float:
        return _stress(bay, gauge)

    load = over_corners(
        stress,
        {"gauge": pressure},
        method="thin tube" if bay.round_tube else "flat wall clamped at its corners",
        source="Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells",
    )
    if not bay.round_tube and flat_bulge(bay, pressure).high > bay.wall_m / 2:
        load = replace(load, inside_range=False)
    swells = bay.modulus.scaled(MOST_STRETCH)
    is_soft = bay.round_tube and swells.low < bay.strength.low
    strength = swells if is_soft else bay.strength
    return Reserve(
        mode=FailureMode.BAY_BURSTS,
        station_m=bay.station_m,
        dimension=Dimension.PRESSURE,
        load=load,
        strength=strength,
        reserve=reserve_factor(strength, load),
        because=Because.FLAT_BAY if not bay.round_tube else Because.BAY_SWELLS if is_soft else None,
    )


def flat_bulge(bay: BayWall, pressure: Estimate) -> Estimate:
    """How far a flat side bulges by small-deflection theory, as ``rectangular_plate`` of the plates.

    Parameters
    ----------
    bay : BayWall
        Size [m] and stuff [Pa] of the wall.
    pressure : Estimate
        Gauge pressure [Pa].

    Returns
    -------
    bulge : Estimate
        Of the middle of the side [m].

    Raises
    ------
    OutsideRange
        As :func:`bay_wall_reserve`.

    Notes
    -----
    Holds up to half the wall's thickness; beyond, the side stretches and bulges less than this.

    References
    ----------
    .. [1] As :func:`bay_wall_reserve`.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> sides = BayWall(station_m=0.3, across_m=0.1, length_m=0.3, wall_m=0.003, round_tube=False,
    ...     modulus=exact(2.3e9), strength=exact(50e6))
    >>> round(flat_bulge(sides, exact(103_421.0)).value * 1e3, 1)
    4.6
    """
    return over_corners(
        lambda gauge, modulus: _answer(bay, gauge, modulus).deflection_m if gauge > 0 else 0.0,
        {"gauge": pressure, "modulus": bay.modulus},
        method="flat wall clamped at its corners",
        source="Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells",
    )


def _answer(bay: BayWall, gauge_pa: float, modulus_pa: float) -> PlateAnswer:
    plate = Plate(thickness_m=bay.wall_m, modulus_pa=modulus_pa, poisson=bay.poisson)
    return rectangular_plate(plate, bay.across_m, bay.length_m, gauge_pa, edge="clamped")


def _stress(bay: BayWall, gauge_pa: float) -> float:
    if gauge_pa <= 0:
        return 0.0
    if bay.round_tube:
        return hoop_stress(gauge_pa, bay.across_m, bay.wall_m)
    return _answer(bay, gauge_pa, bay.modulus.value).stress_pa
