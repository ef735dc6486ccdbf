"""Bracing wires between fins."""

import math
from dataclasses import dataclass

from finial.structure.bounds import need_between, need_positive


@dataclass(frozen=True, slots=True, kw_only=True)
class StayStiffness:
    """Stiffness of a wire along itself and across the fin it holds [N/m]."""

    along_n_per_m: float
    across_n_per_m: float


def stay_stiffness(diameter_m: float, modulus_pa: float, length_m: float, angle_rad: float) -> StayStiffness:
    r"""Stiffness that a taut wire lends to a fin.

    .. math::  k = \frac{E A}{L}, \qquad k_\perp = k \sin^2\theta

    Parameters
    ----------
    diameter_m : float
        Wire diameter [m].
    modulus_pa : float
        Young's modulus [Pa]; of stranded wire about half that of its steel.
    length_m : float
        Length between its ends [m].
    angle_rad : float
        Angle between wire and fin plane [rad].

    Returns
    -------
    stiffness : StayStiffness
        Along the wire and across the fin [N/m].

    Raises
    ------
    OutsideRange
        If a length or the modulus is not above zero, or the angle lies outside 0 to pi/2.

    Notes
    -----
    Range: pull only. A wire holds while its tension outlasts the load: one on each side, or preload.

    References
    ----------
    .. [1] Bar stiffness, any strength of materials text.

    Examples
    --------
    >>> stay = stay_stiffness(0.0012, 190e9, 0.25, math.pi / 4)
    >>> round(stay.along_n_per_m / 1e3, 1), round(stay.across_n_per_m / 1e3, 1)
    (859.5, 429.8)
    """
    need_positive(diameter_m=diameter_m, modulus_pa=modulus_pa, length_m=length_m)
    need_between(0.0, math.pi / 2, angle_rad=angle_rad)
    along = modulus_pa * math.pi / 4 * diameter_m**2 / length_m
    return StayStiffness(along_n_per_m=along, across_n_per_m=along * math.sin(angle_rad) ** 2)
