"""A side of an opened joint as a rigid piece with its own drag."""

from finial.core.doors import require_not_negative, require_positive
from finial.core.errors import OutsideRange
from finial.mass.lumps import Lumps
from finial.recovery.tether.scene import Piece
from finial.shape.measures import Stretch

BROADSIDE_COEFFICIENT = 0.9
"""Drag coefficient of a piece broadside, on its planform [-]; common practice."""
END_ON_COEFFICIENT = 0.9
"""Drag coefficient of a blunt piece end on, on its largest section [-]; common practice."""


def half_piece(name: str, masses: Lumps, span_m: tuple[float, float], shown: Stretch) -> Piece:
    r"""Rigid piece of one side of a joint.

    .. math::  I = \sum_i \left[ m_i (x_i - x_c)^2 + I_i \right] + \tfrac14 m r^2, \qquad
               C_D S = 0.9\, S_{end}, \; 0.9\, S_{side}

    Parameters
    ----------
    name : str
        What the piece is called.
    masses : Lumps
        Everything on this side [kg], at its stations [m].
    span_m : (float, float)
        Stations it reaches from and to [m].
    shown : Stretch
        Radius [m], planform and largest section [m^2] of that stretch of the skin.

    Returns
    -------
    piece : Piece
        Mass [kg], inertia across the axis [kg m^2], reach [m] and drag areas [m^2].

    Raises
    ------
    OutsideRange
        If the balance point lies outside the span, or the piece has no width.

    Notes
    -----
    Holds for slender pieces. Blunt end on and cylinder broadside: common practice, 30 % off either way;
    fins are left out and make the aft side turn less than this.

    References
    ----------
    .. [1] Inertia of a solid cylinder across its axis: any mechanics text, such as Meriam and Kraige,
       Dynamics, table D/4; drag areas: common practice.

    Examples
    --------
    >>> from finial.mass.lumps import even_bar
    >>> bar = even_bar(3.0, 0.0, 0.6, count=6)
    >>> shown = Stretch(radius_m=0.05, planform_m2=0.06, largest_m2=0.008)
    >>> piece = half_piece("fore", bar, (0.0, 0.6), shown)
    >>> round(piece.fore_m, 6), round(piece.inertia_kg_m2, 6)
    (0.3, 0.091875)
    """
    require_positive(radius_m=shown.radius_m)
    require_not_negative(planform_m2=shown.planform_m2, largest_m2=shown.largest_m2)
    fore, aft = span_m
    centre = masses.centre_m[0]
    if not fore <= centre <= aft:
        raise OutsideRange(f"{name} balances at {centre} m, outside its span of {fore} to {aft} m")
    return Piece(
        name=name,
        mass_kg=masses.mass_kg,
        inertia_kg_m2=masses.inertia_kg_m2 + shown.radius_m**2 / 4 * masses.mass_kg,
        fore_m=centre - fore,
        aft_m=aft - centre,
        radius_m=shown.radius_m,
        end_on_area_m2=END_ON_COEFFICIENT * shown.largest_m2,
        side_on_area_m2=BROADSIDE_COEFFICIENT * shown.planform_m2,
    )
