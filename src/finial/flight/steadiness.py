"""Whether fins hold a vehicle straight: against thrust beside the balance point, against its own spin."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from finial.aero.table.record import AirTable
from finial.core.doors import require_not_negative
from finial.core.errors import OutsideRange
from finial.core.kept_parts import kept
from finial.flight.inputs import MassHistory, Thrust
from finial.flight.trace import EventKind, Trace
from finial.shape.mesh import crossed

_FAST = 0.1
"""Share of the largest dynamic pressure above which spin can work up an angle [-]."""
_STEADY = 0.25
"""Share of the largest dynamic pressure above which a vehicle should fly straight [-]."""
_TIMES = 400
_HELD_RAD = np.linspace(0.0, math.pi / 2.0, 361)
_NEAR = 49
"""Angles that are tried first, up to 12 degrees."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Spin:
    """How near a flight's roll rate comes to its pitch frequency."""

    ratio: float
    """Largest roll rate over the pitch frequency [-]; infinite where no moment brings it back."""
    time_s: float
    roll_rad_s: float
    """Roll rate at that moment."""
    pitch_rad_s: float
    """Pitch frequency at that moment."""
    fastest_rad_s: float
    """Largest roll rate of all."""
    passes: bool
    """True where the roll rate meets the pitch frequency on the way."""


def righting_m3(
    table: AirTable, alpha_rad: ArrayLike, mach: ArrayLike, balance_m: ArrayLike
) -> NDArray[np.float64]:
    r"""Moment that brings the vehicle back, over dynamic pressure and the sine of the angle.

    .. math::  k(\alpha) = \min_\phi S \left( b\, C_m / \sin\alpha - x\, C_N / \sin\alpha \right)

    Parameters
    ----------
    table : AirTable
        Air loads.
    alpha_rad : array_like, shape (...)
        Angle of attack, 0 to pi [rad].
    mach : array_like, shape (...)
        Mach number [-].
    balance_m : array_like, shape (...)
        Station of the balance point, :math:`x` [m].

    Returns
    -------
    righting_m3 : ndarray, shape (...)
        At the roll angle where it is least [m^3]; below zero it turns the vehicle over.

    Raises
    ------
    OutsideRange
        If an angle or a Mach number is none that the table can be asked for.

    Notes
    -----
    Linear between the table's nodes, its last Mach number beyond; the centre of the pressure band,
    without the band's width.

    References
    ----------
    .. [1] Definition; loads as in the air table.

    Examples
    --------
    >>> from finial.flight.example import PRESSURE_STATION_M, example_table
    >>> (righting_m3(example_table(), [0.0, 0.2], 0.1, PRESSURE_STATION_M).round(9) + 0.0).tolist()
    [0.0, 0.0]
    """
    # The compiler's import costs a third of a second: only where something flew.
    from finial.flight.readout.kernel import righting

    alpha, speed, balance = (np.asarray(one, dtype=float) for one in (alpha_rad, mach, balance_m))
    if not (np.all((alpha >= 0.0) & (alpha <= math.pi)) and np.all(speed >= 0.0)):
        raise OutsideRange("angles of attack from 0 to pi and Mach numbers of 0 or more are accepted")
    asked = np.empty((3, *np.broadcast_shapes(alpha.shape, speed.shape, balance.shape)))
    asked[0], asked[1], asked[2] = alpha, speed, balance
    least = righting(
        asked.reshape(3, -1),
        np.ascontiguousarray(table.alpha_rad),
        np.ascontiguousarray(table.mach),
        np.ascontiguousarray(table.along),
        np.ascontiguousarray(table.along_moment),
        (table.width_m, table.reference_area_m2),
    )
    return least.reshape(asked.shape[1:])


def held_angles(
    table: AirTable,
    mach: float,
    balances_m: Sequence[float],
    moments_n_m: Sequence[float],
    pressure_pa: float,
) -> list[float | None]:
    r"""Angles of attack at which the air holds steady moments.

    .. math::  q\, k(\alpha) \sin\alpha = M

    Parameters
    ----------
    table : AirTable
        Air loads.
    mach : float
        Mach number [-].
    balances_m : sequence of float
        Stations of the balance point, one for each moment [m].
    moments_n_m : sequence of float
        Moments about the balance point, :math:`M` [N m].
    pressure_pa : float
        Dynamic pressure, :math:`q` [Pa].

    Returns
    -------
    angles_rad : list of float or None
        The smallest such angle of each [rad]; ``None`` where no angle up to 90 degrees holds it.

    Raises
    ------
    OutsideRange
        If a moment or the pressure is below zero.

    Notes
    -----
    Where the vehicle would come to rest if speed and thrust stayed as they are; on the way there
    it swings to nearly twice that.

    References
    ----------
    .. [1] Balance of moments.

    Examples
    --------
    >>> from finial.flight.example import example_table
    >>> (angle,) = held_angles(example_table(), 0.06, [0.73], [2.0], 250.0)
    >>> round(math.degrees(angle), 2)
    13.1
    """
    require_not_negative(pressure_pa=pressure_pa)
    for moment in moments_n_m:
        require_not_negative(moment_n_m=moment)
    balances = np.array(balances_m)[:, None]
    # Most are held within a few degrees: the rest is looked at only if one of them is not.
    for angles in (_HELD_RAD[:_NEAR], _HELD_RAD):
        held = pressure_pa * np.sin(angles) * righting_m3(table, angles, mach, balances)
        found = [_held(row, angles, moment) for row, moment in zip(held, moments_n_m, strict=True)]
        if None not in found:
            break
    return found


def _held(held_n_m: NDArray[np.float64], angles_rad: NDArray[np.float64], moment_n_m: float) -> float | None:
    """First angle at which so much is held [rad]."""
    if moment_n_m == 0.0:
        return 0.0
    enough = (held_n_m >= moment_n_m).nonzero()[0]
    if not enough.size or enough[0] == 0:
        return None
    between = slice(int(enough[0]) - 1, int(enough[0]) + 1)
    return float(np.interp(moment_n_m, held_n_m[between], angles_rad[between]))


def thrust_arm(thrust: Thrust, centre_m: NDArray[np.float64]) -> float:
    r"""Distance of the balance point from the line of thrust.

    .. math::  a = | (r_n - r_c) \times e |

    Parameters
    ----------
    thrust : Thrust
        Where the nozzle stands and where it points, :math:`r_n, e`.
    centre_m : ndarray, shape (3,)
        Balance point, body axes, :math:`r_c` [m].

    Returns
    -------
    arm_m : float
        Thrust times it is the moment that turns the vehicle [m].

    Raises
    ------
    OutsideRange
        If the balance point is no point.

    Notes
    -----
    Exact for a thrust of one line.

    References
    ----------
    .. [1] Distance of a point from a line.

    Examples
    --------
    >>> line = Thrust(times_s=np.zeros(2), thrusts_n=np.zeros(2), nozzle_station_m=1.0, offset_m=(0.0, 0.003))
    >>> thrust_arm(line, np.array([-0.5, 0.004, 0.0]))
    0.005
    """
    if centre_m.shape != (3,) or not np.isfinite(centre_m).all():
        raise OutsideRange(f"balance point {centre_m}: accepted are three finite numbers")
    lean_y, lean_z = math.sin(thrust.tilt_rad[0]), math.sin(thrust.tilt_rad[1])
    line = np.array([math.sqrt(1.0 - lean_y**2 - lean_z**2), lean_y, lean_z])
    nozzle = np.array([-thrust.nozzle_station_m, *thrust.offset_m])
    return float(np.linalg.norm(crossed(nozzle - centre_m, line)))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class WayUp:
    """Where a flight is fast on its way up, and what brings it back there; arrays by row."""

    rows: NDArray[np.intp]
    across_kg_m2: NDArray[np.float64]
    """The larger of the two inertias across."""
    about_kg_m2: NDArray[np.float64]
    righting_m3: NDArray[np.float64]
    """At small angles, see ``righting_m3``."""


def way_up(trace: Trace, table: AirTable, mass: MassHistory, ignition_delay_s: float) -> WayUp | None:
    """Inertia and righting moment at small angles over a flight's fast way up.

    Parameters
    ----------
    trace : Trace
        One flight.
    table : AirTable
        Air loads.
    mass : MassHistory
        Balance point and inertia over the burn.
    ignition_delay_s : float
        From the firing signal to ignition [s].

    Returns
    -------
    up : WayUp or None
        Rows as of ``rising_rows``; ``None`` for a flight that never left the rail.

    Raises
    ------
    OutsideRange
        If the table cannot be asked for the flight's Mach numbers.

    Notes
    -----
    Inertia [kg m^2] is linear between the knots of the burn.

    References
    ----------
    .. [1] Definition, no source.

    Examples
    --------
    >>> from finial.flight.example import example_inputs
    >>> from finial.flight.fly import fly
    >>> inputs = example_inputs()
    >>> up = way_up(fly(inputs), inputs.air_table, inputs.mass, 0.0)
    >>> bool((up.across_kg_m2 > up.about_kg_m2).all())
    True
    """
    return _way_up(trace, table, mass, ignition_delay_s)


# How it spins and how it swings are two questions about one way up.
@kept(8)
def _way_up(trace: Trace, table: AirTable, mass: MassHistory, ignition_delay_s: float) -> WayUp | None:
    rows = rising_rows(trace)
    if rows is None:
        return None
    times, tensors = trace.times_s[rows] - ignition_delay_s, mass.inertias_kg_m2
    balances = -np.interp(times, mass.times_s, mass.centres_m[:, 0])
    return WayUp(
        rows=rows,
        across_kg_m2=np.interp(times, mass.times_s, np.maximum(tensors[:, 1, 1], tensors[:, 2, 2])),
        about_kg_m2=np.interp(times, mass.times_s, tensors[:, 0, 0]),
        righting_m3=righting_m3(table, 0.0, trace.machs[rows], balances),
    )


def spin(trace: Trace, table: AirTable, mass: MassHistory, ignition_delay_s: float = 0.0) -> Spin | None:
    r"""Compare the roll rate with the frequency the vehicle swings at.

    .. math::  \lambda = \frac{|p|}{\omega}, \qquad \omega^2 = \frac{q\, k}{I_t - I_x}

    Parameters
    ----------
    trace : Trace
        One flight.
    table : AirTable
        Air loads, for :math:`k`, see :func:`righting_m3`.
    mass : MassHistory
        For the inertia across and about the axis, :math:`I_t, I_x` [kg m^2].
    ignition_delay_s : float
        From the firing signal to ignition [s].

    Returns
    -------
    spin : Spin or None
        Where the ratio is largest, from rail exit to apogee or the first canopy, while the dynamic
        pressure is a tenth of its largest or more; ``None`` for a flight that never left the rail.

    Raises
    ------
    OutsideRange
        If the table cannot be asked for the flight's Mach numbers.

    Notes
    -----
    Small angles; the larger of the two inertias across. An angle at which a crooked vehicle would
    fly straight on grows by the factor :math:`1 / |1 - \lambda^2|`: twofold at 0.71, without bound
    but for damping at 1.

    References
    ----------
    .. [1] Resonance of a rolling missile with a slight asymmetry at
       :math:`p = \sqrt{-M_\alpha / (I_t - I_x)}`: Nicolaides, On the free flight motion of missiles
       having slight configurational asymmetries, BRL Report 858, 1953; from memory, not re-read.

    Examples
    --------
    >>> from finial.flight.example import example_inputs
    >>> from finial.flight.fly import fly
    >>> inputs = example_inputs()
    >>> spin(fly(inputs), inputs.air_table, inputs.mass).ratio < 0.1
    True
    """
    up = way_up(trace, table, mass, ignition_delay_s)
    if up is None:
        return None
    rows = up.rows
    ratios, frequencies = _spin_ratios(trace, up)
    best = int(np.argmax(ratios))
    above = ratios >= 1.0
    rolls = np.abs(trace.rates_rad_s[rows, 0])
    return Spin(
        ratio=float(ratios[best]),
        time_s=float(trace.times_s[rows[best]]),
        roll_rad_s=float(rolls[best]),
        pitch_rad_s=float(frequencies[best]),
        fastest_rad_s=float(rolls.max()),
        passes=bool(above.any()),
    )


def _spin_ratios(trace: Trace, up: WayUp) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    tumbles = np.maximum(up.across_kg_m2 - up.about_kg_m2, 1e-12)
    squared = trace.dynamic_pressures_pa[up.rows] * up.righting_m3 / tumbles
    frequencies = np.sqrt(np.maximum(squared, 0.0))
    rolls = np.abs(trace.rates_rad_s[up.rows, 0])
    unheld = np.where(rolls > 0.0, math.inf, 0.0)
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.where(frequencies > 0.0, rolls / frequencies, unheld), frequencies


def steady_angle(trace: Trace) -> float | None:
    """Angle of attack that a flight keeps to when nothing disturbs it any more [rad].

    Parameters
    ----------
    trace : Trace
        One flight.

    Returns
    -------
    angle_rad : float or None
        The angle [rad] that is exceeded half the time between rail exit and apogee or the first canopy,
        while the dynamic pressure is a quarter of its largest or more; ``None`` for a flight that
        never left the rail.

    Raises
    ------
    OutsideRange
        If the trace is empty.

    Notes
    -----
    Swings die out within that time or do not count for much of it; what stays is trim, or the cone
    of a vehicle that spins.

    References
    ----------
    .. [1] Definition, no source.

    Examples
    --------
    >>> from finial.flight.example import example_inputs
    >>> from finial.flight.fly import fly
    >>> steady_angle(fly(example_inputs())) < math.radians(1.0)
    True
    """
    if trace.times_s.size == 0:
        raise OutsideRange("an empty trace keeps to no angle")
    rows = rising_rows(trace, _STEADY)
    if rows is None:
        return None
    known = trace.times_s[rows]
    times = np.linspace(float(known[0]), float(known[-1]), _TIMES)
    middle = _TIMES // 2 - 1, _TIMES // 2
    angles = np.partition(np.interp(times, known, trace.alphas_rad[rows]), middle)
    return float(angles[middle[0] : middle[1] + 1].mean())


def rising_rows(trace: Trace, share: float = _FAST) -> NDArray[np.intp] | None:
    """Rows of a trace from rail exit to apogee or the first canopy where the air is fast enough.

    Parameters
    ----------
    trace : Trace
        One flight.
    share : float
        Of the largest dynamic pressure on that way [-].

    Returns
    -------
    rows : ndarray or None
        Their numbers; ``None`` for a flight that never left the rail.

    Notes
    -----
    The pressure [Pa] is compared row by row.

    References
    ----------
    .. [1] Definition, no source.

    Examples
    --------
    >>> from finial.flight.example import example_inputs
    >>> from finial.flight.fly import fly
    >>> trace = fly(example_inputs())
    >>> len(rising_rows(trace, 0.1)) > len(rising_rows(trace, 0.5))
    True
    """
    left, apogee = trace.event(EventKind.RAIL_EXIT), trace.event(EventKind.APOGEE)
    if left is None:
        return None
    ends = [event.time_s for event in trace.events if event.kind is EventKind.OUT]
    until = min([*ends, np.inf if apogee is None else apogee.time_s])
    # Times never fall: what flies free stands in one piece.
    first = int(np.searchsorted(trace.times_s, left.time_s, side="left"))
    free = trace.dynamic_pressures_pa[first : int(np.searchsorted(trace.times_s, until, side="right"))]
    if not free.size:
        return None
    return first + (free >= share * free.max()).nonzero()[0]
