"""How a vehicle leaves its rail: how long it is held, how fast it then goes, what the wind makes of it."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.core.doors import require_positive
from finial.core.errors import OutsideRange
from finial.core.estimates import Estimate, KnownBy
from finial.flight.inputs import Air, Rail
from finial.flight.packing.pack import rail_turn
from finial.flight.trace import EventKind, Trace
from finial.shape.mesh import crossed

PLAY_M = (0.001, 0.002, 0.003)
"""How far a button moves from side to side in its slot: least, usual, most [m]; common practice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RailExit:
    """One flight's way off the rail."""

    held_until_s: float
    """When the rail no longer holds the direction [s]."""
    speed_m_s: float
    """At that moment."""
    fore_speed_m_s: float
    """When the fore button leaves."""
    aft_speed_m_s: float
    """When the aft button leaves."""
    wind_m_s: float
    """At the height of the rail's end."""
    angle_rad: float
    """Angle that this wind makes of the speed when it blows across [rad]."""
    alpha_rad: float
    """Angle of attack when the fore button leaves [rad]."""
    turned_rad: float
    """How far the axis has turned off the rail's direction when the aft button leaves [rad]."""
    turning_rad_s: float
    """How fast it turns across its axis then [rad/s]."""


def rail_exit(trace: Trace, rail: Rail, air: Air) -> RailExit | None:
    r"""Tell how a flight leaves its rail.

    .. math::  \theta = \arctan(w / v)

    Parameters
    ----------
    trace : Trace
        The flight.
    rail : Rail
        The rail it left.
    air : Air
        The day's air, whose wind at the height of the rail's end is :math:`w` [m/s].

    Returns
    -------
    left : RailExit or None
        ``None`` where a button never left.

    Notes
    -----
    A rail holds the direction by buttons around the balance point: :math:`v` is the speed when the
    fore button leaves, or when the balance point passes the rail's end if that comes first. What
    stands out above the rail then hangs on buttons behind it, and two buttons at the tail gain
    nothing by riding on. The wind is taken as blowing fully across.

    References
    ----------
    .. [1] Angle of the wind at the end of the rail: plain trigonometry. That buttons belong around
       the balance point is common practice.

    Examples
    --------
    >>> from finial.flight.example import example_inputs
    >>> from finial.flight.fly import fly
    >>> inputs = example_inputs()
    >>> left = rail_exit(fly(inputs), inputs.rail, inputs.air)
    >>> round(left.wind_m_s, 1), round(math.degrees(left.angle_rad), 1)
    (3.4, 12.6)
    """
    fore, aft = trace.event(EventKind.FORE_LEAVES), trace.event(EventKind.RAIL_EXIT)
    if fore is None or aft is None:
        return None
    passed = _balance_passes(trace, rail, aft.time_s)
    held = min(fore.time_s, passed)
    # The times until then, and one more: no later row moves what is read between them.
    early = slice(0, int(np.searchsorted(trace.times_s, held, side="right")) + 1)
    speeds: NDArray[np.float64] = np.linalg.norm(trace.velocities_m_s[early], axis=1)
    speed = float(np.interp(held, trace.times_s[early], speeds))
    wind = wind_at(air, rail.length_m * math.cos(rail.tilt_rad))
    row = int(np.searchsorted(trace.times_s, aft.time_s))
    return RailExit(
        held_until_s=held,
        speed_m_s=speed,
        fore_speed_m_s=fore.speed_m_s,
        aft_speed_m_s=aft.speed_m_s,
        wind_m_s=wind,
        angle_rad=wind_angle(speed, wind),
        alpha_rad=float(np.interp(fore.time_s, trace.times_s, trace.alphas_rad)),
        turned_rad=_turned(trace, rail, row),
        turning_rad_s=float(np.hypot(*trace.rates_rad_s[row, 1:])),
    )


def wind_angle(speed_m_s: float, wind_m_s: float) -> float:
    r"""Angle that a wind blowing across makes of a speed.

    .. math::  \theta = \arctan(w / v)

    Parameters
    ----------
    speed_m_s : float
        Speed over the ground, :math:`v` [m/s].
    wind_m_s : float
        Wind across it, :math:`w` [m/s].

    Returns
    -------
    angle_rad : float
        A quarter turn where there is no speed [rad].

    Notes
    -----
    Exact for a wind fully across; both from 0 up.

    References
    ----------
    .. [1] Plain trigonometry.

    Examples
    --------
    >>> round(math.degrees(wind_angle(52 * 0.3048, 20 * 0.44704)), 1)
    29.4
    """
    return math.atan2(wind_m_s, speed_m_s)


def wind_at(air: Air, height_agl_m: float) -> float:
    r"""Speed of the wind at a height above ground.

    .. math::  w = \sqrt{w_e^2 + w_n^2}

    Parameters
    ----------
    air : Air
        The day's air; its wind is straight between heights.
    height_agl_m : float
        Height above ground [m].

    Returns
    -------
    speed_m_s : float
        Speed over ground, updraughts left out [m/s].

    Notes
    -----
    Beyond the ends of the column the end values hold.

    References
    ----------
    .. [1] Linear interpolation of the wind's two parts; definition.

    Examples
    --------
    >>> from finial.flight.example import example_air
    >>> round(wind_at(example_air(4.0), 10.0), 6)
    4.0
    """
    east = np.interp(height_agl_m, air.wind_heights_m, air.wind_east_m_s)
    north = np.interp(height_agl_m, air.wind_heights_m, air.wind_north_m_s)
    return float(np.hypot(east, north))


def _balance_passes(trace: Trace, rail: Rail, until_s: float) -> float:
    """When the balance point passes the rail's end [s]; infinite if not before ``until_s``."""
    early = slice(0, int(np.searchsorted(trace.times_s, until_s, side="right")))
    along = trace.positions_m[early] @ rail_turn(rail)[:, 0]
    rows = np.flatnonzero(along >= rail.length_m)
    if not rows.size:
        return math.inf
    after = max(int(rows[0]), 1)
    return float(np.interp(rail.length_m, along[after - 1 : after + 1], trace.times_s[after - 1 : after + 1]))


def _turned(trace: Trace, rail: Rail, row: int) -> float:
    w, x, y, z = trace.quaternions[row]
    axis = np.array([1.0 - 2.0 * (y * y + z * z), 2.0 * (x * y + w * z), 2.0 * (x * z - w * y)])
    along = rail_turn(rail)[:, 0]
    # From the sine where the angle is small: a cosine near one loses it.
    return float(math.atan2(np.linalg.norm(crossed(axis, along)), axis @ along))


def lean_by_play(gap_m: float) -> Estimate:
    r"""How far two buttons let a vehicle lean inside the slot of the rail.

    .. math::  \theta = \arctan(p / g)

    Parameters
    ----------
    gap_m : float
        Distance between the fore and the aft button, :math:`g` [m].

    Returns
    -------
    lean_rad : Estimate
        For a play :math:`p` of 1 to 3 mm, 2 mm usual [rad].

    Raises
    ------
    OutsideRange
        If the gap is not above zero.

    Notes
    -----
    Holds for buttons that fit their rail; worn or wrong ones lean further.

    References
    ----------
    .. [1] Plain trigonometry; the play is common practice, measured by nobody here.

    Examples
    --------
    >>> lean = lean_by_play(0.07)
    >>> [round(math.degrees(one), 1) for one in (lean.low, lean.value, lean.high)]
    [0.8, 1.6, 2.5]
    """
    require_positive(gap_m=gap_m)
    low, usual, high = (math.atan2(play, gap_m) for play in PLAY_M)
    return Estimate(
        value=usual, low=low, high=high, known_by=KnownBy.HANDBOOK, method="play in the slot over the gap"
    )


def two_button_travel(rail: Rail, stand_m: float) -> float:
    r"""How far both buttons ride on the rail, over the gap between them.

    .. math::  t = \frac{L - (s_0 - s_f)}{s_a - s_f}

    Parameters
    ----------
    rail : Rail
        Its length :math:`L`, and the stations :math:`s_f, s_a` of its buttons [m].
    stand_m : float
        Station that stands at the foot of the rail, :math:`s_0` [m].

    Returns
    -------
    travel : float
        Travel with both buttons on the rail over the travel with one [-]; zero or less where the
        fore button begins above the rail's end.

    Raises
    ------
    OutsideRange
        If the buttons are not one behind the other.

    Notes
    -----
    Below one the vehicle rides longer on a single button, about which the wind may turn it, than
    held by two.

    References
    ----------
    .. [1] Lengths along the rail; no source.

    Examples
    --------
    >>> from finial.flight.example import example_inputs
    >>> round(two_button_travel(example_inputs().rail, 1.205), 2)
    5.69
    """
    gap = rail.aft_button_m - rail.fore_button_m
    if not gap > 0.0:
        raise OutsideRange(f"buttons {gap} m apart: the fore button must be nearer to the tip")
    return (rail.length_m - (stand_m - rail.fore_button_m)) / gap
