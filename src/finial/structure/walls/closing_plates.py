"""Plates that close a bay or take a cord: bent by a charge or by the pull at an eye, held at their rim.

Nobody knows how stiffly a rim is held: each answer spans from clamped to simply supported.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache

from finial.core.corners import over_corners
from finial.core.doors import require_positive
from finial.core.errors import OutsideRange
from finial.core.estimates import Estimate, KnownBy
from finial.core.kept_parts import kept
from finial.structure.walls.plates import (
    Edge,
    Plate,
    PlateAnswer,
    rectangular_plate,
    round_plate,
    round_plate_pushed,
)

HOLE_AMID = 2.0
"""Stress beside a small hole over that without it, bent alike both ways [-]; Kirsch, from memory."""
_INSIDE = 0.98
"""Widest circle a washer pushes on, of the plate's own radius [-]; chosen."""
_EDGES: tuple[Edge, Edge] = ("clamped", "supported")
_RIM = Estimate(value=0.5, low=0.0, high=1.0, known_by=KnownBy.COMPUTED, method="clamped to supported")
_SOURCE = (
    "Roark's Formulas for Stress and Strain; Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class ClosingPlate:
    """A plate across the inside, round unless ``longer_m`` is given.

    Raises
    ------
    OutsideRange
        If thickness, size or modulus is not above zero, or the longer side is the shorter.
    """

    thickness_m: float
    across_m: float
    """Diameter, or the shorter side [m]."""
    modulus: Estimate
    """[Pa]."""
    poisson: float
    longer_m: float = 0.0
    """Longer side of a plate with four corners; 0 for a round one [m]."""
    holed: bool = False
    """Whether it has a hole amid it, as for wires."""

    def __post_init__(self) -> None:
        """Refuse what no plate can be."""
        require_positive(thickness_m=self.thickness_m, across_m=self.across_m, modulus_pa=self.modulus.low)
        if self.longer_m and not self.longer_m >= self.across_m:
            raise OutsideRange(f"longer side of {self.longer_m} m: shorter than {self.across_m} m")

    @property
    def area_m2(self) -> float:
        """Area that a charge pushes on [m^2]."""
        return self.across_m * self.longer_m if self.longer_m else math.pi / 4 * self.across_m**2


@dataclass(frozen=True, slots=True, kw_only=True)
class Bent:
    """What bends a plate comes to."""

    stress: Estimate
    """Largest bending stress [Pa]; outside its range where the plate sags by more than half its thickness."""
    sag: Estimate
    """Deflection amid the plate [m]."""


# On the page the charges stay as they are while ballast and fins move.
@kept(64)
def bent_by_charge(closing: ClosingPlate, pressure: Estimate) -> Bent:
    r"""Bend a plate by even pressure, its rim from clamped to simply supported.

    .. math::
        \sigma = \tfrac{3}{4} \frac{p a^2}{t^2} \text{ (clamped) to }
        \frac{3 (3 + \nu)}{8} \frac{p a^2}{t^2} \text{ (supported)}

    A hole amid it doubles the stress there, :math:`3 (1 + \nu) p a^2 / 8 t^2` where it is clamped.

    Parameters
    ----------
    closing : ClosingPlate
        The plate [m], [Pa].
    pressure : Estimate
        Gauge pressure [Pa].

    Returns
    -------
    bent : Bent
        Stress [Pa] and sag [m]: low ends clamped, high ends supported, central between both.

    Raises
    ------
    OutsideRange
        As :func:`finial.structure.walls.plates.round_plate`.

    Notes
    -----
    Holds for sags below half the thickness; beyond that a held rim takes part of the push as tension, and
    the plate bends less than this. Plates with corners by the tables of rectangular ones.

    References
    ----------
    .. [1] Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells, articles 15 to 17; from memory.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> one = ClosingPlate(thickness_m=0.008, across_m=0.0756, modulus=exact(9e9), poisson=0.2)
    >>> bent = bent_by_charge(one, exact(225e3))
    >>> round(bent.stress.low / 1e6, 2), round(bent.stress.high / 1e6, 2)
    (3.77, 6.03)
    """

    def answer(plate: Plate, load: float, edge: Edge) -> PlateAnswer:
        return _pressed(closing, plate, load, edge)

    return _bent(closing, pressure, answer)


def _pressed(closing: ClosingPlate, plate: Plate, pressure_pa: float, edge: Edge) -> PlateAnswer:
    """Bend by even pressure; a hole amid the plate doubles what bends it there."""
    if closing.longer_m:
        found = rectangular_plate(plate, closing.across_m, closing.longer_m, pressure_pa, edge=edge)
        amid = found.stress_pa
    else:
        found = round_plate(plate, closing.across_m / 2, pressure_pa, edge=edge)
        amid = found.stress_pa * ((1 + plate.poisson) / 2 if edge == "clamped" else 1.0)
    return replace(found, stress_pa=max(found.stress_pa, HOLE_AMID * amid)) if closing.holed else found


def bent_by_pull(closing: ClosingPlate, pull: Estimate, washer_m: float) -> Bent:
    r"""Bend a plate by the pull at an eye amid it, its rim from clamped to simply supported.

    .. math::
        \sigma = \frac{3 F}{2 \pi t^2} \max\left[ (1 + \nu) \ln\frac{a}{r'},\ 1 \right] \text{ (clamped) to }
        \frac{3 F}{2 \pi t^2} \left[ (1 + \nu) \ln\frac{a}{r'} + 1 \right] \text{ (supported)}

    Parameters
    ----------
    closing : ClosingPlate
        The plate [m], [Pa].
    pull : Estimate
        Pull across it [N].
    washer_m : float
        Diameter of the washer under the eye's nut [m].

    Returns
    -------
    bent : Bent
        Stress [Pa] and sag [m]: low ends clamped, high ends supported, central between both.

    Raises
    ------
    OutsideRange
        As :func:`finial.structure.walls.plates.round_plate_pushed`.

    Notes
    -----
    Holds for sags below half the thickness. The eye's own hole is covered by nut and washer; one more
    near it, as for wires, doubles the stress. A plate with corners counts as a circle across its longer side,
    which bends more.

    References
    ----------
    .. [1] Roark's Formulas for Stress and Strain, round flat plates; from memory.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> one = ClosingPlate(thickness_m=0.008, across_m=0.0756, modulus=exact(9e9), poisson=0.2)
    >>> bent = bent_by_pull(one, exact(700.0), 0.03)
    >>> round(bent.stress.low / 1e6, 2), round(bent.stress.high / 1e6, 2)
    (5.79, 11.01)
    """
    radius = max(closing.across_m, closing.longer_m) / 2
    pushed = min(washer_m / 2, _INSIDE * radius)

    def answer(plate: Plate, load: float, edge: Edge) -> PlateAnswer:
        found = round_plate_pushed(plate, radius, load, pushed, edge=edge)
        return replace(found, stress_pa=HOLE_AMID * found.stress_pa) if closing.holed else found

    return _bent(closing, pull, answer)


_Bend = Callable[[Plate, float, Edge], PlateAnswer]


def _bent(closing: ClosingPlate, load: Estimate, bend: _Bend) -> Bent:
    """Span stress and sag over the ends of the load, of the modulus and of how the rim is held."""

    @cache  # of one call: stress and sag ask for the same few, at every stiffness of the rim
    def held(force: float, modulus: float) -> tuple[PlateAnswer, PlateAnswer]:
        plate = Plate(thickness_m=closing.thickness_m, modulus_pa=modulus, poisson=closing.poisson)
        clamped, supported = (bend(plate, force, edge) for edge in _EDGES)
        return clamped, supported

    def spanned(what: Callable[[PlateAnswer], float]) -> Estimate:
        def between(force: float, modulus: float, free: float) -> float:
            if force <= 0.0:
                return 0.0
            clamped, supported = map(what, held(force, modulus))
            return clamped + free * (supported - clamped)

        return over_corners(
            between,
            {"force": load, "modulus": closing.modulus, "free": _RIM},
            method="plate, its rim clamped to simply supported",
            source=_SOURCE,
        )

    sag, stress = spanned(lambda found: found.deflection_m), spanned(lambda found: found.stress_pa)
    small = sag.high <= closing.thickness_m / 2
    return Bent(stress=replace(stress, inside_range=stress.inside_range and small), sag=sag)


def rim_shear_of_charge(closing: ClosingPlate, pressure: Estimate) -> Estimate:
    r"""Shear at the rim of a plate under even pressure: in the plate, and in the glue all round it.

    .. math::  \tau = \frac{p\, a}{2\, t}, \qquad \tau = \frac{p\, b}{2\, t} \text{ amid the longer side}

    Parameters
    ----------
    closing : ClosingPlate
        The plate [m].
    pressure : Estimate
        Gauge pressure [Pa].

    Returns
    -------
    shear : Estimate
        Mean over the thickness [Pa].

    Notes
    -----
    Holds for glue over the whole thickness. Amid the sides of a square it is 0.42 to 0.45 of p b / t: taken
    as the half of a long one.

    References
    ----------
    .. [1] Balance of forces; Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells, table 8.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> one = ClosingPlate(thickness_m=0.008, across_m=0.08, modulus=exact(9e9), poisson=0.2)
    >>> rim_shear_of_charge(one, exact(200e3)).value
    500000.0
    """
    lever = closing.across_m / 2 if closing.longer_m else closing.across_m / 4
    return pressure.scaled(lever / closing.thickness_m)


def rim_shear_of_pull(closing: ClosingPlate, pull: Estimate) -> Estimate:
    r"""Shear at the rim of a plate that is pulled amid it: in the plate, and in the glue all round it.

    .. math::  \tau = \frac{F}{\pi d t}

    Parameters
    ----------
    closing : ClosingPlate
        The plate [m].
    pull : Estimate
        Pull across it [N].

    Returns
    -------
    shear : Estimate
        Mean over rim and thickness [Pa].

    Notes
    -----
    Holds for glue over the whole thickness; a plate with corners counts as the circle inside it.

    References
    ----------
    .. [1] Balance of forces.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> one = ClosingPlate(thickness_m=0.008, across_m=0.08, modulus=exact(9e9), poisson=0.2)
    >>> round(rim_shear_of_pull(one, exact(700.0)).value)
    348151
    """
    return pull.scaled(1.0 / (math.pi * closing.across_m * closing.thickness_m))
