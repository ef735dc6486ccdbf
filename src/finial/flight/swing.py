"""How a vehicle swings back: how far it flies in one swing, and how fast swings die out."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.aero.table.record import AirTable
from finial.core.kept_parts import kept
from finial.flight.inputs import MassHistory
from finial.flight.steadiness import WayUp, way_up
from finial.flight.trace import Trace

_CHORDS = 63.0
"""Mean chords of a fin that a swing is long at least for its air to keep up, pi over 0.05 [-]."""
_WIDTHS = 20.0
"""The same for the air behind a blunt body, in its widths [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Swing:
    """Where swings die out most slowly on the way up."""

    damping_ratio: float
    """Central guess, over the damping at which it would no longer swing [-]."""
    least_ratio: float | None
    """The same with the low end of the damping; below zero swings grow, ``None`` where not known [-]."""
    wavelength_m: float
    """Way flown in one swing, where that is shortest [m]."""
    time_s: float
    """When swings die out most slowly [s]."""


def swing(trace: Trace, table: AirTable, mass: MassHistory, ignition_delay_s: float = 0.0) -> Swing | None:
    r"""Wavelength and damping ratio of the swing in pitch.

    .. math::  \lambda = 2 \pi \sqrt{\frac{2 I}{\rho k}}, \qquad
               \zeta = \frac{\rho V S}{4 \omega} \left( \frac{d^2 D}{2 I} + \frac{C_{N\alpha}}{m} \right)

    .. math::  \omega = V \sqrt{\frac{\rho k}{2 I}}

    Parameters
    ----------
    trace : Trace
        One flight.
    table : AirTable
        Air loads; :math:`k` as ``righting_m3``, :math:`D` the damping per rate times width over twice the
        speed.
    mass : MassHistory
        Mass :math:`m` [kg], balance point and inertia across, :math:`I` [kg m^2].
    ignition_delay_s : float
        From the firing signal to ignition [s].

    Returns
    -------
    swing : Swing or None
        Where the ratio is least, and the wavelength, from rail exit to apogee or the first canopy, while
        the dynamic pressure is a tenth of its largest or more; ``None`` where no moment brings the vehicle
        back, or for a flight that never left the rail.

    Raises
    ------
    OutsideRange
        If the table cannot be asked for the flight's Mach numbers.

    Notes
    -----
    Small angles, speed and density constant over a swing. What the jet takes out is left out: it helps. The
    path gives way too, which is the second term. Neither depends on the speed. Damping about the balance
    point at lift-off.

    References
    ----------
    .. [1] B. Etkin, Dynamics of Atmospheric Flight, 1972, section 9.1: the short-period mode (from memory).

    Examples
    --------
    >>> from finial.flight.example import example_inputs
    >>> from finial.flight.fly import fly
    >>> inputs = example_inputs()
    >>> found = swing(fly(inputs), inputs.air_table, inputs.mass)
    >>> 0.0 < found.damping_ratio < 1.0, found.wavelength_m > 10.0
    (True, True)
    """
    up = way_up(trace, table, mass, ignition_delay_s)
    if up is None:
        return None
    rows, across, righting = up.rows, up.across_kg_m2, up.righting_m3
    speeds = trace.airspeeds_m_s[rows]
    if np.any(righting <= 0.0) or np.any(speeds <= 0.0):
        return None
    density = 2.0 * trace.dynamic_pressures_pa[rows] / speeds**2
    per_speed = np.sqrt(density * righting / (2.0 * across))
    per_fading = density / (4.0 * per_speed)
    fadings = fadings_m2_kg(trace, table, up)
    usual = per_fading * fadings[0]
    least = None if fadings[1] is None else per_fading * fadings[1]
    worst = int(np.argmin(usual if least is None else least))
    return Swing(
        damping_ratio=float(usual[worst]),
        least_ratio=None if least is None else float(least[worst]),
        wavelength_m=2.0 * math.pi / float(per_speed.max()),
        time_s=float(trace.times_s[rows[worst]]),
    )


def least_wavelength_m(chord_m: float, width_m: float) -> float:
    r"""Shortest swing over which the air keeps up with the vehicle.

    .. math::  \lambda \ge \max(63 \, c, \; 20 \, w), \qquad k = \frac{\pi c}{\lambda} \le 0.05

    Parameters
    ----------
    chord_m : float
        Mean chord of the fins, the longest of all sets, :math:`c`; 0 without fins [m].
    width_m : float
        Width of the body, :math:`w` [m].

    Returns
    -------
    wavelength : float
        Way flown in one swing [m].

    Notes
    -----
    Loads of one angle and rate are taken as if both had always been so. In a shorter swing the force of a fin
    comes late, which drives the swing: at the least, by R. T. Jones's indicial lift of a wing of aspect ratio
    3, a fortieth of a radian late, which takes 0.013 off a damping ratio; a wing of no aspect ratio is not
    late at all. The wake of a blunt body is as late by some widths.

    References
    ----------
    .. [1] J. G. Leishman, Principles of Helicopter Aerodynamics, chapter 8: quasi-steady up to a reduced
       frequency of 0.05 (from memory).
    .. [2] R. T. Jones, The Unsteady Lift of a Wing of Finite Aspect Ratio, NACA report 681, 1940 (from
       memory).
    .. [3] R. D. Blevins, Flow-Induced Vibration: quasi-steady forces of blunt sections from a reduced
       velocity of 20 on (from memory).

    Examples
    --------
    Fins of 100 mm on a body as wide, and the body alone.

    >>> round(least_wavelength_m(0.1, 0.1), 3), least_wavelength_m(0.0, 0.1)
    (6.3, 2.0)
    """
    return max(_CHORDS * chord_m, _WIDTHS * width_m)


def fadings_m2_kg(
    trace: Trace, table: AirTable, up: WayUp
) -> tuple[NDArray[np.float64], NDArray[np.float64] | None]:
    r"""Growth rate of a swing with its sign turned, over a quarter of density times speed.

    .. math::  S \left( \frac{d^2 D}{2 I} + \frac{C_{N\alpha}}{m} \right)

    Parameters
    ----------
    trace : Trace
        One flight, for Mach number and mass.
    table : AirTable
        Air loads, as for ``swing``.
    up : WayUp
        Rows of the flight and inertia there, shape (rows,).

    Returns
    -------
    usual, least : ndarray, shape (rows,)
        With the central guess and with the low end of the damping [m^2/kg]; ``None`` where that is not known.

    Notes
    -----
    Small angles, in the plane and at the roll angle where it is least.

    References
    ----------
    .. [1] As ``swing``.

    Examples
    --------
    >>> from finial.flight.example import example_inputs
    >>> from finial.flight.fly import fly
    >>> inputs = example_inputs()
    >>> trace = fly(inputs)
    >>> usual, _ = fadings_m2_kg(trace, inputs.air_table, way_up(trace, inputs.air_table, inputs.mass, 0.0))
    >>> bool((usual > 0.0).all())
    True
    """
    return _fadings(trace, table, up)


# How a swing fades and what it takes to gallop are two questions about one way up.
@kept(8)
def _fadings(
    trace: Trace, table: AirTable, up: WayUp
) -> tuple[NDArray[np.float64], NDArray[np.float64] | None]:
    machs = trace.machs[up.rows]
    slope = np.asarray(np.interp(machs, table.mach, table.along[0].min(axis=0)), dtype=float)
    gives_way = slope / trace.masses_kg[up.rows]

    def fading(coefficient: NDArray[np.float64]) -> NDArray[np.float64]:
        damped = -np.asarray(np.interp(machs, table.mach, coefficient), dtype=float)
        return table.reference_area_m2 * (damped * table.width_m**2 / (2.0 * up.across_kg_m2) + gives_way)

    weaker = table.pitch_damping
    if table.yaw_damping is not None:
        weaker = np.maximum(weaker, table.yaw_damping)
    return fading(weaker), None if table.least_damping is None else fading(table.least_damping)
