"""Buckling of thin printed walls squeezed along the body."""

import math

from finial.structure.bounds import need_between, need_positive


def flat_wall_buckling_stress(
    modulus_pa: float, wall_m: float, width_m: float, *, poisson: float = 0.35
) -> float:
    r"""Stress at which a long flat wall squeezed along its length wrinkles.

    .. math::  \sigma = \frac{4 \pi^2 E}{12 (1 - \nu^2)} \left(\frac{t}{b}\right)^2

    Parameters
    ----------
    modulus_pa : float
        Young's modulus [Pa].
    wall_m, width_m : float
        Thickness, and width between the corners that hold it [m].
    poisson : float
        Poisson's ratio [-].

    Returns
    -------
    stress_pa : float
        Buckling stress [Pa].

    Raises
    ------
    OutsideRange
        If an argument is not above zero or Poisson's ratio is above 0.5.

    Notes
    -----
    Holds for walls longer than wide with corners that stay straight but do not clamp. A flat wall goes on
    carrying load after it wrinkles: this is the onset, not the collapse.

    References
    ----------
    .. [1] Timoshenko and Gere, Theory of Elastic Stability, article 9.2 (k = 4.00); from memory.

    Examples
    --------
    >>> round(flat_wall_buckling_stress(2.3e9, 0.002, 0.1) / 1e6, 2)
    3.45
    """
    need_positive(modulus_pa=modulus_pa, wall_m=wall_m, width_m=width_m)
    need_between(0.0, 0.5, poisson=poisson)
    return math.pi**2 * modulus_pa / (3 * (1 - poisson**2)) * (wall_m / width_m) ** 2


def round_wall_buckling_stress(
    modulus_pa: float, wall_m: float, radius_m: float, *, poisson: float = 0.35
) -> float:
    r"""Stress at which a thin round tube squeezed along its axis wrinkles.

    .. math::
        \sigma = \gamma \frac{E}{\sqrt{3 (1 - \nu^2)}} \frac{t}{R}, \qquad
        \gamma = 1 - 0.901 \left(1 - e^{-\sqrt{R/t} / 16}\right)

    Parameters
    ----------
    modulus_pa : float
        Young's modulus [Pa].
    wall_m, radius_m : float
        Thickness and radius [m].
    poisson : float
        Poisson's ratio [-].

    Returns
    -------
    stress_pa : float
        Buckling stress [Pa], knocked down for real tubes.

    Raises
    ------
    OutsideRange
        If an argument is not above zero or radius over wall exceeds 1500.

    Notes
    -----
    Holds for R/t below 1500: a lower bound to tests on metal tubes, which scatter up to twice as high.

    References
    ----------
    .. [1] NASA SP-8007, Buckling of Thin-Walled Circular Cylinders, 1968; from memory, not re-read.

    Examples
    --------
    >>> round(round_wall_buckling_stress(1.0, 0.01, 1.0, poisson=0.3), 5)
    0.00352
    """
    need_positive(modulus_pa=modulus_pa, wall_m=wall_m, radius_m=radius_m)
    need_between(0.0, 0.5, poisson=poisson)
    need_between(0.0, 1500.0, radius_over_wall=radius_m / wall_m)
    knocked_down = 1 - 0.901 * (1 - math.exp(-math.sqrt(radius_m / wall_m) / 16))
    return knocked_down * modulus_pa / math.sqrt(3 * (1 - poisson**2)) * wall_m / radius_m


def wrinkled_wall_strength(buckling_pa: float, crushing_pa: float) -> float:
    r"""Mean stress a flat wall carries before it collapses, wrinkles or not.

    .. math::
        \sigma_u = \sigma_y \, r \, (1 - 0.22 \, r), \qquad r = \sqrt{\sigma_{cr} / \sigma_y} < 1.49

    Parameters
    ----------
    buckling_pa : float
        Stress at which the wall wrinkles [Pa].
    crushing_pa : float
        Strength of the material [Pa].

    Returns
    -------
    stress_pa : float
        Collapse load over the whole width of the wall [Pa].

    Raises
    ------
    OutsideRange
        If an argument is not above zero.

    Notes
    -----
    Holds for walls with held edges; fitted to tests on metal. A print whose layers part while it wrinkles
    carries less: take the wrinkling stress for walls loaded across their layers.

    References
    ----------
    .. [1] Winter's effective width, as in AISI S100 and EN 1993-1-3; from memory, not re-read.

    Examples
    --------
    >>> round(wrinkled_wall_strength(3.45e6, 50e6) / 1e6, 2)
    12.37
    """
    need_positive(buckling_pa=buckling_pa, crushing_pa=crushing_pa)
    root = math.sqrt(buckling_pa / crushing_pa)
    return crushing_pa * min(1.0, root * (1 - 0.22 * root)) if root < 1 / 0.673 else crushing_pa
