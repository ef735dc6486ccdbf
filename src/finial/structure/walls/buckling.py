"""Buckling of thin printed walls squeezed along the body."""

import math

from finial.core.doors import require_positive
from finial.core.errors import OutsideRange
from finial.core.estimates import Estimate, KnownBy
from finial.structure.bounds import need_between

INFILL_STIFFNESS = Estimate(
    value=0.3,
    low=0.1,
    high=1.0,
    known_by=KnownBy.ASSUMED,
    method="stiffness of infill across a wall over the square law of foams",
    source="assumed: lines that lean, and that hold to the wall in places only",
)


def infill_support(modulus_pa: float, infill: float, depth_m: float, stiffness: float) -> float:
    r"""How hard the infill behind a wall pushes back, per area and distance.

    .. math::  k = \frac{c \, \phi^2 E}{h}

    Parameters
    ----------
    modulus_pa : float
        Young's modulus of the print [Pa].
    infill : float
        Share of the inside that is filled, 0 to 1 [-].
    depth_m : float
        Depth of infill behind the wall, to where it is held: half way to the opposite wall [m].
    stiffness : float
        Stiffness of this infill over the square law, :math:`c` [-].

    Returns
    -------
    support_pa_m : float
        Foundation stiffness [Pa/m]; 0 without infill.

    Raises
    ------
    OutsideRange
        If a number is not above zero, or the infill lies outside 0 to 1.

    Notes
    -----
    Holds for infill that is bonded to the wall. Springs side by side that know nothing of each other: a real
    core, stiff in shear, supports the wall better (Hoff and Mautner).

    References
    ----------
    .. [1] Winkler's foundation; Gibson and Ashby, Cellular Solids, chapter 5 (modulus as density squared);
           from
       memory.

    Examples
    --------
    >>> round(infill_support(2.3e9, 0.08, 0.06, 0.3) / 1e6)
    74
    """
    require_positive(modulus_pa=modulus_pa, depth_m=depth_m, stiffness=stiffness)
    need_between(0.0, 1.0, infill=infill)
    return stiffness * infill**2 * modulus_pa / depth_m


def flat_wall_buckling_stress(
    modulus_pa: float,
    wall_m: float,
    width_m: float,
    *,
    length_m: float = math.inf,
    support_pa_m: float = 0.0,
    poisson: float = 0.35,
) -> float:
    r"""Stress at which a flat wall squeezed along its length wrinkles, infill behind it or not.

    .. math::
        \sigma = \min_{m \ge 1} \frac{D (\alpha_m^2 + \beta^2)^2 + k}{\alpha_m^2 \, t}, \qquad
        \alpha_m = \frac{m \pi}{a}, \quad \beta = \frac{\pi}{b}, \quad D = \frac{E t^3}{12 (1 - \nu^2)}

    which is :math:`4 \pi^2 D / (b^2 t)` for a long wall with nothing behind it.

    Parameters
    ----------
    modulus_pa : float
        Young's modulus [Pa].
    wall_m, width_m : float
        Thickness, and width between the corners that hold it [m].
    length_m : float
        Length along the load between the ledges that hold it [m].
    support_pa_m : float
        What stands behind it, see :func:`infill_support` [Pa/m].
    poisson : float
        Poisson's ratio [-].

    Returns
    -------
    stress_pa : float
        Buckling stress [Pa].

    Raises
    ------
    OutsideRange
        If a size is not above zero, the support is negative or Poisson's ratio is above 0.5.

    Notes
    -----
    Holds for corners and ledges that stay straight but do not clamp. A flat wall goes on carrying load after
    it wrinkles: this is the onset, not the collapse.

    References
    ----------
    .. [1] Timoshenko and Gere, Theory of Elastic Stability, article 9.2 (k = 4.00 for long walls,
       (b/a + a/b)^2 for short ones); plate on springs: article 9.14; from memory.

    Examples
    --------
    >>> round(flat_wall_buckling_stress(2.3e9, 0.002, 0.1) / 1e6, 2)
    3.45
    >>> round(flat_wall_buckling_stress(2.3e9, 0.002, 0.237, length_m=0.05) / 1e6, 2)
    3.76
    """
    require_positive(modulus_pa=modulus_pa, wall_m=wall_m, width_m=width_m)
    need_between(0.0, 0.5, poisson=poisson)
    need_between(0.0, math.inf, support_pa_m=support_pa_m)
    if not length_m > 0.0:
        raise OutsideRange(f"length_m = {length_m}: a length above zero is needed")
    bending = modulus_pa * wall_m**3 / (12 * (1 - poisson**2))
    across = (math.pi / width_m) ** 2
    best = math.sqrt(across**2 + support_pa_m / bending)
    if math.isfinite(length_m):
        waves = math.sqrt(best) * length_m / math.pi
        tried = {max(math.floor(waves), 1), max(math.ceil(waves), 1)}
        along = [(count * math.pi / length_m) ** 2 for count in tried]
    else:
        along = [best]
    return min((bending * (one + across) ** 2 + support_pa_m) / (one * wall_m) for one in along)


def round_wall_buckling_stress(
    modulus_pa: float, wall_m: float, radius_m: float, *, support_pa_m: float = 0.0, poisson: float = 0.35
) -> float:
    r"""Stress at which a thin round tube squeezed along its axis wrinkles, infill behind it or not.

    .. math::
        \sigma = \sqrt{\left(\gamma \frac{E}{\sqrt{3 (1 - \nu^2)}} \frac{t}{R}\right)^2
        + \frac{4 k D}{t^2}}, \qquad
        \gamma = 1 - 0.901 \left(1 - e^{-\sqrt{R/t} / 16}\right)

    Parameters
    ----------
    modulus_pa : float
        Young's modulus [Pa].
    wall_m, radius_m : float
        Thickness and radius [m].
    support_pa_m : float
        What stands behind it, see :func:`infill_support` [Pa/m].
    poisson : float
        Poisson's ratio [-].

    Returns
    -------
    stress_pa : float
        Buckling stress [Pa], knocked down for real tubes.

    Raises
    ------
    OutsideRange
        If an argument is not above zero, radius over wall exceeds 1500 or the support is negative.

    Notes
    -----
    Holds for R/t below 1500: a lower bound to tests on metal tubes, which scatter up to twice as high. Rings
    of the wall on springs, :math:`2 \sqrt{(k + E t / R^2) D} / t`, the knock-down on the tube's part alone.

    References
    ----------
    .. [1] NASA SP-8007, Buckling of Thin-Walled Circular Cylinders, 1968; from memory, not re-read.

    Examples
    --------
    >>> round(round_wall_buckling_stress(1.0, 0.01, 1.0, poisson=0.3), 5)
    0.00352
    """
    require_positive(modulus_pa=modulus_pa, wall_m=wall_m, radius_m=radius_m)
    need_between(0.0, 0.5, poisson=poisson)
    need_between(0.0, 1500.0, radius_over_wall=radius_m / wall_m)
    knocked_down = 1 - 0.901 * (1 - math.exp(-math.sqrt(radius_m / wall_m) / 16))
    alone = knocked_down * modulus_pa / math.sqrt(3 * (1 - poisson**2)) * wall_m / radius_m
    need_between(0.0, math.inf, support_pa_m=support_pa_m)
    bending = modulus_pa * wall_m**3 / (12 * (1 - poisson**2))
    return math.hypot(alone, 2 * math.sqrt(support_pa_m * bending) / wall_m)


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
    require_positive(buckling_pa=buckling_pa, crushing_pa=crushing_pa)
    root = math.sqrt(buckling_pa / crushing_pa)
    return crushing_pa * min(1.0, root * (1 - 0.22 * root)) if root < 1 / 0.673 else crushing_pa
