"""Component method for slender round bodies with thin fins: a second opinion, not the model."""

import numpy as np

from finial.aero.plates.planform import Planform
from finial.aero.plates.plate_lift import diederich_slope
from finial.core.errors import OutsideRange


def round_body_fin_slope(planform: Planform, count: int, root_radius_m: float, width_m: float) -> float:
    r"""Return the normal force slope of three or more fins on a round body, body lift beside them included.

    .. math::  C_{N\alpha} = \left(1 + \frac{r}{s + r}\right)
               \frac{n}{2} \frac{C_{L\alpha} S_{fin}}{\pi d^2 / 4}

    Parameters
    ----------
    planform : Planform
        One fin.
    count : int
        Number of fins, 3 or more, evenly spaced.
    root_radius_m, width_m : float
        Body radius at the fins and reference diameter [m].

    Returns
    -------
    slope_per_rad : float
        On the area of the reference diameter [1/rad].

    Raises
    ------
    OutsideRange
        With fewer than three fins or a size that is not positive.

    Notes
    -----
    Small angles, incompressible, round slender bodies. Leaves out the lift that fins induce
    on the body behind their leading edge, so it lies below slender-body theory.

    References
    ----------
    .. [1] J. S. Barrowman, The Practical Calculation of the Aerodynamic Characteristics of
       Slender Finned Vehicles, M.S. thesis, Catholic University of America, 1967 (from memory).

    Examples
    --------
    >>> from finial.aero.plates.planform import fin_planform
    >>> fin = fin_planform(np.array([[0, 0], [0.09, 0.11], [0.18, 0.11], [0.18, 0]]))
    >>> round(round_body_fin_slope(fin, 4, 0.05, 0.10), 1)
    10.9
    """
    if count < 3 or not min(root_radius_m, width_m) > 0:
        raise OutsideRange("the component method needs three fins or more on a body of some width")
    one = float(diederich_slope(planform.aspect_ratio, planform.mid_chord_sweep_rad)) * planform.area_m2
    beside = 1 + root_radius_m / (planform.span_m + root_radius_m)
    return beside * count / 2 * one / (np.pi * width_m**2 / 4)


def quarter_chord_centre(planform: Planform) -> float:
    r"""Quarter point of the mean aerodynamic chord.

    .. math::  x = \frac{\int c \, (x_{LE} + c / 4) \, dy}{\int c \, dy}

    Parameters
    ----------
    planform : Planform
        One fin.

    Returns
    -------
    centre_m : float
        Aft of the fin's station [m].

    Notes
    -----
    The usual place of a fin's force; low-aspect fins really act 1 to 7 % of the root chord
    ahead of it, which is the unsafe side.

    References
    ----------
    .. [1] J. S. Barrowman, M.S. thesis, Catholic University of America, 1967 (from memory).

    Examples
    --------
    >>> from finial.aero.plates.planform import fin_planform
    >>> round(quarter_chord_centre(fin_planform(np.array([[0, 0], [0, 1], [1, 1], [1, 0]]))), 9)
    0.25
    """
    weight = planform.chords_m / planform.chords_m.sum()
    return float(np.sum(weight * (planform.leads_m + planform.chords_m / 4)))


def shoulder(
    fore_diameter_m: float, aft_diameter_m: float, length_m: float, width_m: float
) -> tuple[float, float]:
    r"""Return the normal force slope of a conical change of diameter, and its centre from the fore end.

    .. math::  C_{N\alpha} = 2 \frac{d_2^2 - d_1^2}{d^2}, \qquad
               x = \frac{L}{3} \left(1 + \frac{1 - d_1/d_2}{1 - (d_1/d_2)^2}\right)

    Parameters
    ----------
    fore_diameter_m, aft_diameter_m, length_m, width_m : float
        Diameters at both ends, length, and reference diameter [m].

    Returns
    -------
    slope_per_rad, centre_m : float
        Slope on the area of the reference diameter [1/rad]; negative for a boat-tail.

    Raises
    ------
    OutsideRange
        If a size is not positive.

    Notes
    -----
    Attached flow. Steep tails keep about half of their negative lift (common practice).

    References
    ----------
    .. [1] J. S. Barrowman, M.S. thesis, Catholic University of America, 1967 (from memory).

    Examples
    --------
    >>> [round(part, 4) for part in shoulder(0.10, 0.15, 0.10, 0.10)]
    [2.5, 0.0533]
    """
    if not min(fore_diameter_m, aft_diameter_m, length_m, width_m) > 0:
        raise OutsideRange("a shoulder needs positive diameters and length")
    slope = 2 * (aft_diameter_m**2 - fore_diameter_m**2) / width_m**2
    ratio = fore_diameter_m / aft_diameter_m
    return slope, length_m / 3 * (1 + 1 / (1 + ratio))


def carry_over(radius_over_tip: float) -> tuple[float, float]:
    r"""Lift of a fin beside a round body, and of the body beside the fin, over the fin's alone.

    .. math::  K_W = \frac{2}{\pi (1-\tau)^2} \left\{ (1+\tau^4) \left[\tfrac12 \arctan
               \tfrac12 (\tfrac1\tau - \tau) + \tfrac\pi4\right] - \tau^2 \left[(\tfrac1\tau - \tau)
               + 2 \arctan\tau\right] \right\}, \quad K_B = (1+\tau)^2 - K_W

    Parameters
    ----------
    radius_over_tip : float
        Body radius over tip radius, :math:`\tau` [-].

    Returns
    -------
    on_fin, on_body : float
        Factors on the fin's own lift [-].

    Raises
    ------
    OutsideRange
        Outside 0 < tau < 1.

    Notes
    -----
    Slender-body theory; holds for round bodies with a pair of fins and a long afterbody.

    References
    ----------
    .. [1] W. C. Pitts, J. N. Nielsen, G. E. Kaattari, NACA Report 1307, 1957 (from memory).

    Examples
    --------
    >>> [round(part, 4) for part in carry_over(0.5)]
    [1.4503, 0.7997]
    """
    tau = radius_over_tip
    if not 0 < tau < 1:
        raise OutsideRange(f"body radius over tip radius must lie between 0 and 1: got {tau}")
    spread = 1 / tau - tau
    inner = (1 + tau**4) * (np.arctan(spread / 2) / 2 + np.pi / 4) - tau**2 * (spread + 2 * np.arctan(tau))
    on_fin = float(2 * inner / (np.pi * (1 - tau) ** 2))
    return on_fin, (1 + tau) ** 2 - on_fin
