"""How strongly the air resists turning: pitch, yaw and roll."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

from finial.aero.body import BodyAir, integral_along
from finial.aero.fins.on_body import FinAir
from finial.aero.steps.fronts import LOST_CLOSED, LOST_OPEN, FrontLip
from finial.aero.steps.separation import SeparatedGrowth, growing_part

_BODY_ERROR = 0.3
"""Damping of a measured hull, with fins and without, came out within so much."""
_QUARTER_TURN = np.array([[0.0, -1.0], [1.0, 0.0]])


def turning_damping(
    body: BodyAir,
    fins: Sequence[FinAir],
    centre_m: float,
    mach: ArrayLike = 0.0,
    attached: float | None = None,
) -> NDArray[np.float64]:
    r"""Moment coefficients per turning rate about a centre, in pitch and yaw.

    .. math::  D = -\frac{2}{d^2} \, R \left( \sum_i C_{N\alpha,i} (x_i - x_c)^2
               + \frac{2}{S} \int A (x - x_c) \, dx \right) R^T

    with :math:`R` a quarter turn: turning about y moves the body along z.

    Parameters
    ----------
    body : BodyAir
    fins : sequence of FinAir
    centre_m : float
        Station of the centre of turning, :math:`x_c` [m].
    mach : array_like, shape (...)
        Mach numbers, 0 to 0.9 [-]; fins refuse others (``OutsideRange``).
    attached : float
        Share of what narrows that the air follows, 0 to 1; left out, the share that each
        bubble is taken to have [-].

    Returns
    -------
    damping : ndarray, shape (..., 2, 2)
        Moments about body y (pitch) and z (yaw), per rate about y and z times
        width / (2 V), negative when it damps [-]; equal for shapes alike all round.

    Notes
    -----
    Small rates and angles; on a measured hull with and without fins within 30 %, between
    tails that the air follows wholly and not at all. A blunt body may drive its own turning: then
    its part is positive, and fins must outweigh it. Jet damping is not part of it.

    References
    ----------
    .. [1] J. N. Nielsen, Missile Aerodynamics, McGraw-Hill 1960, chapter 10 (from memory).

    Examples
    --------
    >>> from finial.aero.body import body_air
    >>> from finial.aero.sections.outlines import ellipse, tapered_skin
    >>> cone = body_air(tapered_skin(lambda d: ellipse(d / 2, d / 2), [(0.0, 0.0), (0.3, 0.1)]))
    >>> pitch, yaw = np.diag(turning_damping(cone, (), 0.2))
    >>> bool(pitch < 0.0 and abs(yaw / pitch - 1.0) < 1e-3)
    True
    """
    mach = np.asarray(mach, dtype=float)
    arms = body.growth.stations_m - centre_m
    own = np.einsum("n,nij->ij", arms**2, _felt(body.growth, attached))
    lever = body.tensors_m2 * (body.stations_m - centre_m)[:, None, None]
    carried = integral_along(body.stations_m, lever)
    whole = 2.0 * (own + carried) / body.reference_area_m2
    damping = np.broadcast_to(whole, (*mach.shape, 2, 2))
    for ring in body.rings:
        damping = damping + ring.felt_slope_per_rad * (ring.centre_m - centre_m) ** 2
    for fin in fins:
        slope = fin.felt_slope_per_rad * (fin.centre_m - centre_m) ** 2
        damping = damping + fin.mach_factor(mach)[..., None, None] * slope
    return -2.0 * (_QUARTER_TURN @ damping @ _QUARTER_TURN.T) / body.width_m**2


def _felt(growth: SeparatedGrowth, attached: float | None) -> NDArray[np.float64]:
    """Growth that turning meets: in separated flow only what grows, in attached flow all of it."""
    if attached is None:
        return growth.felt_m2
    return (
        (1.0 - attached) * growing_part(growth.separated_m2)
        + attached * growth.attached_m2
        - growth.let_go_m2
    )


def least_turning_damping(
    body: BodyAir, fins: Sequence[FinAir], centre_m: float, mach: ArrayLike = 0.0
) -> NDArray[np.float64]:
    r"""Low end of the damping in the plane where it is least.

    .. math::  D_{low} = -\frac{2}{d^2} \, \lambda_{\min} \left( B_{low} + \sum_i k_i^{low} C_{N\alpha,i}
               (x_i - x_c)^2 \right)

    Parameters
    ----------
    body : BodyAir
    fins : sequence of FinAir
    centre_m : float
        Station of the centre of turning, :math:`x_c` [m].
    mach : array_like, shape (...)
        Mach numbers, 0 to 0.9 [-]; fins refuse others (``OutsideRange``).

    Returns
    -------
    damping : ndarray, shape (...)
        Moment coefficient per rate times width / (2 V), negative when it damps [-].

    Notes
    -----
    Bubbles behind front lips take their most, the rest of the body's part is 30 % lower, and fins have the
    low end of their force: what a blunt body drives is assumed, not measured.

    References
    ----------
    .. [1] As ``turning_damping`` and ``front_lips``.

    Examples
    --------
    A cube drives its own turning at the worst; a slim cone does not.

    >>> from finial.aero.body import body_air
    >>> from finial.aero.sections.outlines import ellipse, tapered_skin
    >>> cube, cone = (
    ...     body_air(tapered_skin(lambda d: ellipse(d / 2, d / 2), profile))
    ...     for profile in ([(0.0, 0.1), (0.1, 0.1)], [(0.0, 0.0), (0.3, 0.1)])
    ... )
    >>> bool(least_turning_damping(cube, (), 0.06) > 0.0 > least_turning_damping(cone, (), 0.2))
    True
    """
    mach = np.asarray(mach, dtype=float)
    usual = -turning_damping(body, (), centre_m) * body.width_m**2 / 2.0
    lost = sum((_more_lost(lip, centre_m) for lip in body.growth.fronts), np.zeros((2, 2)))
    turned = _QUARTER_TURN @ (2.0 * lost / body.reference_area_m2) @ _QUARTER_TURN.T
    strength, axes = np.linalg.eigh(usual - turned)
    own = (
        axes * np.where(strength > 0, (1.0 - _BODY_ERROR) * strength, (1.0 + _BODY_ERROR) * strength)
    ) @ axes.T
    whole = np.broadcast_to(own, (*mach.shape, 2, 2))
    for fin in fins:
        slope = fin.factor[0] * fin.slope_per_rad * (fin.centre_m - centre_m) ** 2
        rises = fin.mach_factor(mach) ** (1.0 - fin.dulled.tail)
        whole = whole + rises[..., None, None] * (_QUARTER_TURN @ slope @ _QUARTER_TURN.T)
    return np.asarray(-2.0 * np.linalg.eigvalsh(whole)[..., 0] / body.width_m**2, dtype=np.float64)


def _more_lost(lip: FrontLip, centre_m: float) -> NDArray[np.float64]:
    """Return what a lip's bubble may take of the damping beyond the central guess [m^4]."""
    most = (1.0 - lip.opened) * LOST_CLOSED[2] + lip.opened * LOST_OPEN[2]
    return (most - lip.lost) * (lip.station_m - centre_m) ** 2 * lip.growth_m2


def roll_damping(
    body: BodyAir, fins: Sequence[FinAir], mach: ArrayLike = 0.0, friction: float = 0.0
) -> NDArray[np.float64]:
    r"""Roll moment coefficient per ``rate width / (2 V)`` [-], negative when it damps.

    .. math::  C_{lp} = -\frac{4 J + 2 C_f \int r^2 \, dS_{wet}}{S d^2} + \mathrm{fins}

    Parameters
    ----------
    body : BodyAir
        :math:`J` is the added moment of inertia of its base section per density [m^4].
    fins : sequence of FinAir
    mach : array_like, shape (...)
        Mach numbers, 0 to 0.9 [-]; fins refuse others (``OutsideRange``).
    friction : float
        Mean friction coefficient of the skin, :math:`C_f` [-].

    Returns
    -------
    damping : ndarray, shape (...)
        One a Mach number [-].

    Notes
    -----
    Slender-body theory, the air that the base turns is left behind, and friction. A round
    body has friction alone, -0.03 at four widths long and -0.06 at ten; a square base adds
    -0.14, where four fins give several tens. Vortices of edges ahead of a round base are left out.

    References
    ----------
    .. [1] J. N. Nielsen, Missile Aerodynamics, McGraw-Hill 1960, chapter 10 (from memory).

    Examples
    --------
    >>> from finial.aero.body import body_air
    >>> from finial.aero.sections.outlines import regular_polygon, tapered_skin
    >>> tower = body_air(tapered_skin(lambda s: regular_polygon(4, s), [(0.0, 0.1), (0.5, 0.1)]))
    >>> roll_damping(tower, ()).round(2).item()
    -0.14
    """
    mach = np.asarray(mach, dtype=float)
    turned = 4.0 * body.base_roll_inertia_m4 + 2.0 * friction * body.skin_turning_m4
    own = -turned / (body.reference_area_m2 * body.width_m**2)
    turning = (fin.factor[1] * fin.roll_damping * fin.mach_factor(mach) for fin in fins)
    return np.asarray(sum(turning, np.full(mach.shape, own)))
