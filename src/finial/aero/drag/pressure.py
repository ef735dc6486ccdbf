"""Pressure on faces and behind bases."""

from dataclasses import dataclass

import numpy as np

from finial.aero.plates.plate_lift import subsonic_beta
from finial.core.errors import OutsideRange
from finial.core.estimates import Estimate, KnownBy

FACE_PRESSURE = 0.72
"""Mean pressure coefficient on a flat face with a sharp edge (Aeronautical Engineer's Data
Book p. 95: cylinders end-on, 0.85 to 0.99 in all, seen; less base and friction)."""
HOERNER = "from memory of Hoerner, Fluid-Dynamic Drag, 1965"
DATA_BOOK = "Aeronautical Engineer's Data Book p. 95"
_SLIM, _BLUNT = 0.1, 0.4
"""Drag of fronts on the largest section up to which a body is slim, and from which on it is blunt."""
_WAKE_ERROR, _CORNERED_ERROR = 1.5, 2.1
"""The suction behind a short body may be so many times as much, and behind a section with sharp corners so
many: behind a cube that flies corner first it is 2."""


def base_drag_fit(mach: float) -> float:
    """Return the base drag coefficient on the base area from the Mach number.

    .. math::  C = 0.12 + 0.13 M^2

    Parameters
    ----------
    mach : float
        Mach number, up to 0.9 [-].

    Returns
    -------
    coefficient : float
        On the base area, motor off [-].

    Notes
    -----
    For bodies several widths long; 30 %. The other fit, ``base_drag_behind``, differs by up to 1.7 times.

    References
    ----------
    .. [1] E. L. Fleeman, Tactical Missile Design, AIAA, 2001, base drag of a coasting body below Mach 1; from
       memory, not re-read.

    Examples
    --------
    >>> base_drag_fit(0.5)
    0.1525
    """
    return 0.12 + 0.13 * mach**2


def base_drag_behind(forebody_drag: float) -> float:
    r"""Return the base drag coefficient from the forebody's drag on the base area.

    .. math::  C = 0.029 / \sqrt{C_f}

    Parameters
    ----------
    forebody_drag : float
        Drag of everything but the base, on the base area, :math:`C_f` [-].

    Returns
    -------
    coefficient : float
        On the base area [-].

    Raises
    ------
    OutsideRange
        If the forebody drag is not positive.

    Notes
    -----
    Drawn through bodies of revolution, incompressible: a thicker boundary layer feeds the wake. How far the
    data reach is not remembered; bluff bodies, with most of their drag in front, lie beyond.

    References
    ----------
    .. [1] S. F. Hoerner, Fluid-Dynamic Drag, 1965, chapter 3 (from memory, not re-read).

    Examples
    --------
    >>> round(base_drag_behind(0.10), 4)
    0.0917
    """
    if not forebody_drag > 0:
        raise OutsideRange(f"forebody drag must be positive: got {forebody_drag}")
    return 0.029 / float(np.sqrt(forebody_drag))


def stagnation_rise(mach: float) -> float:
    """Return the stagnation pressure's rise over the dynamic pressure, isentropic.

    .. math::  1 + M^2 / 4 + M^4 / 40

    Parameters
    ----------
    mach : float
        Mach number, 0 to 0.9 [-].

    Returns
    -------
    rise : float
        Ratio [-].

    Raises
    ------
    OutsideRange
        Above Mach 0.9.

    Notes
    -----
    The first terms of the series; within 0.1 % at Mach 0.9.

    References
    ----------
    .. [1] Isentropic flow of air, any textbook of gas dynamics.

    Examples
    --------
    >>> stagnation_rise(0.0)
    1.0
    """
    subsonic_beta(mach)
    return 1 + mach**2 / 4 + mach**4 / 40


def friction_at_mach(mach: float) -> float:
    """Return friction at a Mach number over that in slow air.

    .. math::  (1 + 0.144 M^2)^{-0.65}

    Parameters
    ----------
    mach : float
        Mach number, 0 to 0.9 [-].

    Returns
    -------
    factor : float
        Ratio [-].

    Notes
    -----
    Turbulent plates without heat; 2 %.

    References
    ----------
    .. [1] E. R. van Driest, J. Aeronautical Sciences 18, 1951 (from memory).

    Examples
    --------
    >>> round(friction_at_mach(0.6), 3)
    0.968
    """
    return float((1 + 0.144 * mach**2) ** -0.65)


@dataclass(frozen=True, slots=True, kw_only=True)
class Suction:
    """Pressure coefficient below that of the stream behind bases and torn-off backs, positive [-]."""

    low: float
    value: float
    high: float

    def on(
        self, area_m2: float, reference_area_m2: float, wake: float = 0.0, cornered: float = 0.0
    ) -> Estimate:
        """Return the drag coefficient of an area behind which it sucks, with a short body's wake.

        Parameters
        ----------
        area_m2, reference_area_m2 : float
            Area it acts on, and the vehicle's own [m^2].
        wake : float
            What the wake of a short body sucks beyond [-].
        cornered : float
            How sharp the corners are of the section that makes the wake, 0 to 1 [-].

        Returns
        -------
        coefficient : Estimate
            On the reference area [-].

        Notes
        -----
        The wake may suck 1.5 times as hard, and 2.1 times behind a section with sharp corners.

        References
        ----------
        .. [1] Definition; a cube that flies corner first, see the accuracy page.

        Examples
        --------
        >>> Suction(low=0.1, value=0.12, high=0.16).on(1.0, 2.0).value
        0.06
        """
        size = area_m2 / reference_area_m2
        most = _WAKE_ERROR + cornered * (_CORNERED_ERROR - _WAKE_ERROR)
        return Estimate(
            value=(self.value + wake) * size,
            low=(self.low + 0.7 * wake) * size,
            high=(self.high + most * wake) * size,
            known_by=KnownBy.HANDBOOK,
            method="two base-pressure fits",
            source=f"{HOERNER}; common practice",
        )


def blunt_share(fronts: float) -> float:
    """How far a body has a blunt front, by the drag of its fronts.

    Parameters
    ----------
    fronts : float
        Drag coefficient of all fronts on the reference area [-].

    Returns
    -------
    share : float
        0 for a slim body, up to a drag of 0.1; 1 from 0.4 on [-].

    Notes
    -----
    A judgement between slim bodies and boxes.

    References
    ----------
    .. [1] No source.

    Examples
    --------
    >>> round(blunt_share(0.25), 3)
    0.5
    """
    return float(np.clip((fronts - _SLIM) / (_BLUNT - _SLIM), 0.0, 1.0))


def suction_behind(mach: float, friction: float, fronts: float, torn_share: float) -> Suction:
    r"""How hard the air sucks behind a body, by how blunt its front is.

    .. math::  s = w (0.12 + 0.13 M^2) + (1 - w) \min\left(0.12 + 0.13 M^2, \,
               \frac{0.029}{\sqrt{C_f S / S_b}}\right), \qquad w = \frac{C_{front} - 0.1}{0.3}

    Parameters
    ----------
    mach : float
        Mach number, 0 to 0.9 [-].
    friction, fronts : float
        Drag of friction and of all fronts, on the reference area [-].
    torn_share : float
        Base and torn-off backs over the reference area, :math:`S_b / S` [-].

    Returns
    -------
    suction : Suction

    Raises
    ------
    OutsideRange
        If the friction is not positive.

    Notes
    -----
    Behind a slim body the boundary layer feeds the wake, and its base drags little: a boat-tailed
    rocket and three bullets were measured so, without the rise with Mach number. Behind a blunt front
    the fit of the trade stands. The high end is never below that fit.

    References
    ----------
    .. [1] S. F. Hoerner, Fluid-Dynamic Drag, 1965, chapter 3 (from memory, not re-read).

    Examples
    --------
    A slim rocket and a flat-topped box.

    >>> round(suction_behind(0.3, 0.2, 0.0, 0.5).value, 3), round(suction_behind(0.3, 0.2, 0.7, 1.0).value, 3)
    (0.046, 0.132)
    """
    fit = base_drag_fit(mach)
    slim = min(fit, base_drag_behind(friction / max(torn_share, 1e-6)))
    whole = min(fit, base_drag_behind((friction + fronts) / max(torn_share, 1e-6)))
    blunt = blunt_share(fronts)
    value = blunt * fit + (1.0 - blunt) * slim
    return Suction(low=min(0.8 * value, whole), value=value, high=max(1.3 * value, fit))
