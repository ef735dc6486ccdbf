"""Flutter speed of a fin, as a quick screen."""

import math
from dataclasses import replace
from typing import Literal

from finial.core.constants import HEAT_RATIO_AIR, STANDARD_PRESSURE_PA
from finial.core.corners import over_corners
from finial.core.doors import require_positive
from finial.core.estimates import Estimate, KnownBy
from finial.structure.fins.outline import FinPlan

CUSTOMARY_FLUTTER_MARGIN = 1.5
"""Screened flutter speed over top speed that builders ask for; common practice, no source."""

_CENTRE_BEHIND_QUARTER = 0.25
# The mass centre of a flat plate lies a quarter chord behind the quarter chord point.
_SCREEN_PA = 24 * _CENTRE_BEHIND_QUARTER * HEAT_RATIO_AIR * STANDARD_PRESSURE_PA / math.pi
_SOURCE = "Martin, NACA TN 4197, 1958"


def flutter_screen_speed(
    plan: FinPlan,
    thickness_m: float,
    shear_modulus_pa: float,
    *,
    sound_m_s: float,
    pressure_pa: float,
    ratio_to: Literal["root", "mean"] = "root",
) -> float:
    r"""Speed at which a solid flat fin may flutter.

    .. math::
        V = a \sqrt{\frac{G}{\dfrac{K A^3}{(t/c)^3 (A + 2)} \, \dfrac{\lambda + 1}{2} \, \dfrac{p}{p_0}}},
        \qquad K = \frac{24 \, \epsilon \, \kappa \, p_0}{\pi}, \; \epsilon = 0.25, \; \kappa = 1.4

    with :math:`A` span squared over the area of one fin and :math:`\lambda` tip over root chord.

    Parameters
    ----------
    plan : FinPlan
        Root chord, tip chord and span [m].
    thickness_m : float
        Thickness [m].
    shear_modulus_pa : float
        Shear modulus [Pa].
    sound_m_s, pressure_pa : float
        Speed of sound [m/s] and pressure [Pa] of the air.
    ratio_to : {"root", "mean"}
        Chord that the thickness is compared with.

    Returns
    -------
    speed_m_s : float
        Flutter speed [m/s].

    Raises
    ------
    OutsideRange
        If a number is not above zero (the tip chord may be zero).

    Notes
    -----
    Range: a screen for thin, solid, firmly held, moderately swept fins; no more than a first look. The source
    does not settle which chord t/c refers to, which moves the answer by up to half.

    References
    ----------
    .. [1] Martin, Summary of flutter experiences as a guide to the preliminary design of lifting surfaces on
       missiles, NACA TN 4197, 1958; from memory, not re-read.

    Examples
    --------
    >>> plan = FinPlan(root_chord_m=0.18, tip_chord_m=0.09, span_m=0.11)
    >>> air = {"sound_m_s": 340.3, "pressure_pa": 101_325.0}
    >>> round(flutter_screen_speed(plan, 0.006, 0.85e9, **air))
    306
    """
    require_positive(root_chord_m=plan.root_chord_m, span_m=plan.span_m, thickness_m=thickness_m)
    require_positive(shear_modulus_pa=shear_modulus_pa, sound_m_s=sound_m_s, pressure_pa=pressure_pa)
    taper = plan.tip_chord_m / plan.root_chord_m
    chord = plan.root_chord_m if ratio_to == "root" else plan.area_m2 / plan.span_m
    aspect = plan.span_m**2 / plan.area_m2
    slender = aspect**3 / ((thickness_m / chord) ** 3 * (aspect + 2))
    needed = _SCREEN_PA * slender * (taper + 1) / 2 * pressure_pa / STANDARD_PRESSURE_PA
    return sound_m_s * math.sqrt(shear_modulus_pa / needed)


def flutter_screen(
    plan: FinPlan, thickness: Estimate, shear_modulus: Estimate, *, sound_m_s: float, pressure_pa: float
) -> Estimate:
    """Flutter speed over both readings of t/c and the intervals of thickness and modulus.

    The value is the geometric mean of the two readings. See :func:`flutter_screen_speed` for the equation.

    Parameters
    ----------
    plan : FinPlan
        Chords and span [m].
    thickness : Estimate
        Thickness [m].
    shear_modulus : Estimate
        Shear modulus [Pa].
    sound_m_s : float
        Speed of sound [m/s].
    pressure_pa : float
        Air pressure [Pa].

    Returns
    -------
    speed : Estimate
        Flutter speed [m/s].

    Raises
    ------
    OutsideRange
        As :func:`flutter_screen_speed`.

    Notes
    -----
    A screen, no more: the two readings of t/c alone differ by up to half.

    References
    ----------
    .. [1] As :func:`flutter_screen_speed`.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> plan = FinPlan(root_chord_m=0.18, tip_chord_m=0.09, span_m=0.11)
    >>> speed = flutter_screen(plan, exact(0.006), exact(0.85e9), sound_m_s=340.3, pressure_pa=101_325.0)
    >>> round(speed.low), round(speed.value), round(speed.high)
    (306, 379, 470)
    """

    def reading(ratio_to: Literal["root", "mean"]) -> Estimate:
        return over_corners(
            lambda t, g: flutter_screen_speed(
                plan, t, g, sound_m_s=sound_m_s, pressure_pa=pressure_pa, ratio_to=ratio_to
            ),
            {"t": thickness, "g": shear_modulus},
            method="flutter screen, thickness over root and over mean chord",
            source=_SOURCE,
        )

    root, mean = reading("root"), reading("mean")
    ends = {"low": min(root.low, mean.low), "high": max(root.high, mean.high)}
    # Which reading is meant is a guess, however well the plate is known.
    return replace(root, value=math.sqrt(root.value * mean.value), known_by=KnownBy.ASSUMED, **ends)
