"""Buckling of rods between their supports."""

import math

from finial.core.corners import over_corners
from finial.core.doors import require_positive
from finial.core.estimates import Estimate

_SOURCE = "Euler and Johnson columns (Shigley, Mechanical Engineering Design)"


def euler_load(diameter_m: float, length_m: float, modulus_pa: float, *, end_factor: float = 1.0) -> float:
    r"""Axial force at which a slender round rod bows out.

    .. math::  P = \frac{c \, \pi^2 E I}{L^2}, \qquad I = \frac{\pi d^4}{64}

    Parameters
    ----------
    diameter_m : float
        Diameter [m]; of a threaded rod the root diameter.
    length_m : float
        Length between supports [m].
    modulus_pa : float
        Young's modulus [Pa].
    end_factor : float
        Grip of the ends: 1 pinned, 4 both fixed, 1/4 one end free [-].

    Returns
    -------
    load_n : float
        Buckling load [N].

    Raises
    ------
    OutsideRange
        If an argument is not above zero.

    Notes
    -----
    Holds for slender rods; short ones yield first, see :func:`column_load`. Real ends are never fully fixed.

    References
    ----------
    .. [1] Euler 1757; Timoshenko and Gere, Theory of Elastic Stability, chapter 2.

    Examples
    --------
    >>> round(euler_load(4.7731e-3, 0.3, 205e9))
    573
    """
    require_positive(diameter_m=diameter_m, length_m=length_m, modulus_pa=modulus_pa, end_factor=end_factor)
    return end_factor * math.pi**3 * modulus_pa * diameter_m**4 / (64 * length_m**2)


def column_load(
    diameter_m: float, length_m: float, modulus_pa: float, yield_pa: float, *, end_factor: float = 1.0
) -> float:
    r"""Axial force a round rod carries, slender or short.

    .. math::
        \lambda = \frac{4 L}{d \sqrt c}, \quad \lambda_1 = \sqrt{2 \pi^2 E / S_y}, \qquad
        \frac{P}{A} = S_y \left(1 - \frac{S_y \lambda^2}{4 \pi^2 E}\right) (\lambda < \lambda_1), \quad
        \frac{\pi^2 E}{\lambda^2} (\lambda \ge \lambda_1)

    Parameters
    ----------
    diameter_m : float
        Diameter [m]; of a threaded rod the root diameter.
    length_m : float
        Length between supports [m].
    modulus_pa, yield_pa : float
        Young's modulus and yield strength [Pa].
    end_factor : float
        Grip of the ends: 1 pinned, 4 both fixed, 1/4 one end free [-].

    Returns
    -------
    load_n : float
        Largest load [N].

    Raises
    ------
    OutsideRange
        If an argument is not above zero.

    Notes
    -----
    Holds for straight rods loaded on their axis; a bow of 1/1000 of the length takes 5 to 15 % off near the
    transition.

    References
    ----------
    .. [1] Johnson's parabola: Shigley, Mechanical Engineering Design, chapter on columns; from memory.

    Examples
    --------
    >>> round(column_load(5e-3, 0.5, 205e9, 240e6)) == round(euler_load(5e-3, 0.5, 205e9))
    True
    """
    euler = euler_load(diameter_m, length_m, modulus_pa, end_factor=end_factor)
    require_positive(yield_pa=yield_pa)
    squash = math.pi / 4 * diameter_m**2 * yield_pa
    return euler if euler <= squash / 2 else squash * (1 - squash / (4 * euler))


def column_load_estimate(
    diameter_m: float,
    length_m: float,
    modulus: Estimate,
    yield_strength: Estimate,
    *,
    end_factor: float = 1.0,
) -> Estimate:
    """Load a rod carries in compression, with the intervals of its material.

    Parameters
    ----------
    diameter_m, length_m : float
        Diameter, of a threaded rod the root diameter, and length between supports [m].
    modulus : Estimate
        Young's modulus [Pa].
    yield_strength : Estimate
        Yield strength [Pa].
    end_factor : float
        Grip of the ends: 1 pinned, 4 both fixed, 1/4 one end free [-].

    Returns
    -------
    load : Estimate
        Load it carries [N].

    Raises
    ------
    OutsideRange
        As :func:`column_load`.

    Notes
    -----
    Range and error as :func:`column_load`.

    References
    ----------
    .. [1] As :func:`column_load`.

    Examples
    --------
    >>> from finial.core.estimates import KnownBy, exact, spread
    >>> steel = spread(205e9, 0.03, known_by=KnownBy.HANDBOOK)
    >>> load = column_load_estimate(4.7731e-3, 0.3, steel, exact(240e6))
    >>> round(load.low), round(load.high)
    (556, 590)
    """
    return over_corners(
        lambda e, s: column_load(diameter_m, length_m, e, s, end_factor=end_factor),
        {"e": modulus, "s": yield_strength},
        method="column between supports",
        source=_SOURCE,
    )
