"""Twist of a fin under its own lift, and the speed at which it runs away."""

import math
from dataclasses import dataclass

from finial.structure.bounds import need_between, need_positive


@dataclass(frozen=True, slots=True, kw_only=True)
class TwistingFin:
    """An untapered fin that twists about a straight elastic axis."""

    torsion_n_m2: float
    """Torsional stiffness G J [N m^2]; of a flat plate G c t^3 / 3."""
    span_m: float
    chord_m: float
    lift_ahead_m: float
    """Lift's distance ahead of the elastic axis [m]; a quarter chord for a flat plate."""
    lift_slope_per_rad: float = 2 * math.pi

    def __post_init__(self) -> None:
        """Refuse what no fin can be."""
        need_positive(
            torsion_n_m2=self.torsion_n_m2,
            span_m=self.span_m,
            chord_m=self.chord_m,
            lift_ahead_m=self.lift_ahead_m,
            lift_slope_per_rad=self.lift_slope_per_rad,
        )


def divergence_pressure(fin: TwistingFin) -> float:
    r"""Dynamic pressure at which twist grows without end.

    .. math::  q_D = \frac{\pi^2 G J}{4 s^2 c\, e\, a_0}

    Parameters
    ----------
    fin : TwistingFin
        Stiffness [N m^2], span, chord, lift arm [m], lift slope [1/rad].

    Returns
    -------
    pressure_pa : float
        Dynamic pressure [Pa]; the speed follows as sqrt(2 q / rho).

    Notes
    -----
    Holds for unswept, untapered fins in strip theory, which overstates lift near the tip, so the answer is
    low. Sweep back raises it, sweep forward lowers it.

    References
    ----------
    .. [1] Bisplinghoff, Ashley and Halfman, Aeroelasticity, chapter 8; from memory, not re-read.

    Examples
    --------
    >>> fin = TwistingFin(torsion_n_m2=50.0, span_m=0.3, chord_m=0.1, lift_ahead_m=0.025)
    >>> round(divergence_pressure(fin))
    87266
    """
    arm = fin.chord_m * fin.lift_ahead_m * fin.lift_slope_per_rad
    return math.pi**2 * fin.torsion_n_m2 / (4 * fin.span_m**2 * arm)


def twist_growth(pressure_share: float) -> tuple[float, float]:
    r"""Tip twist and lift of a twisting fin.

    .. math::
        \frac{\theta_{tip}}{\alpha} = \frac{1}{\cos\mu} - 1, \qquad
        \frac{L}{L_{rigid}} = \frac{\tan\mu}{\mu}, \qquad \mu = \frac{\pi}{2} \sqrt{q / q_D}

    Parameters
    ----------
    pressure_share : float
        Dynamic pressure over that of divergence [-].

    Returns
    -------
    tip_twist, lift_ratio : float
        Tip twist per angle of attack [-]; lift over that of a rigid fin [-].

    Raises
    ------
    OutsideRange
        If the share lies outside 0 to 0.99.

    Notes
    -----
    Holds as :func:`divergence_pressure`. Keep below 0.25: from there on fins work more than a quarter off.

    References
    ----------
    .. [1] Bisplinghoff, Ashley and Halfman, Aeroelasticity, chapter 8; from memory, not re-read.

    Examples
    --------
    >>> twist, lift = twist_growth(0.5)
    >>> round(twist, 3), round(lift, 3)
    (1.252, 1.817)
    """
    need_between(0.0, 0.99, pressure_share=pressure_share)
    angle = math.pi / 2 * math.sqrt(pressure_share)
    return 1 / math.cos(angle) - 1, math.tan(angle) / angle if angle else 1.0
