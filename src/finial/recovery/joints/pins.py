"""Shear pins: what breaks them, and what tries to part the joint before its time."""

import math
from dataclasses import dataclass

from finial.core.corners import over_corners
from finial.core.doors import require_not_negative, require_positive
from finial.core.errors import OutsideRange
from finial.core.estimates import Estimate, KnownBy, spread
from finial.core.tables import row_named, table_rows


@dataclass(frozen=True, slots=True, kw_only=True)
class PinnedHalf:
    """What lies on one side of a joint during the coast."""

    mass_kg: Estimate
    drag_n: Estimate
    """Drag on this side alone [N]."""


def screw_names() -> tuple[str, ...]:
    """Names of the screws in the table.

    Returns
    -------
    names : tuple of str
        In the order of the table.

    Examples
    --------
    >>> "M2.5 nylon" in screw_names()
    True
    """
    return tuple(row["name"] for row in table_rows("finial.recovery", "screws.csv"))


def pins_hold(screw: str, count: int) -> Estimate:
    r"""Force that breaks a ring of shear pins, each cut in one plane.

    .. math::  F = n \, \tau \, A_s

    Parameters
    ----------
    screw : str
        Screw as in the table, such as ``M2.5 nylon``.
    count : int
        Number of pins, :math:`n` [-].

    Returns
    -------
    Estimate
        Force [N], give or take a quarter.

    Raises
    ------
    MissingData
        If the table has no such screw; the message lists those it has.
    OutsideRange
        If there is not at least one pin.

    Notes
    -----
    Holds for nylon 6/6 screws at room temperature in close holes through stiff material;
    the thread is in the shear plane. Printed holes that tear, dry or damp nylon and hot
    days lie outside: test three pins from the same bag.

    References
    ----------
    .. [1] Breaking loads 25, 40 and 60 lbf of 2-56, 4-40 and 6-32: common practice.
    .. [2] Stress areas ASME B1.1 and ISO 898-1; from memory, not re-read.

    Examples
    --------
    >>> round(pins_hold("4-40 nylon", 1).value / 4.448222)
    40
    """
    if count < 1:
        raise OutsideRange(f"count = {count}: give at least one pin, or leave the pins out")
    row = row_named(table_rows("finial.recovery", "screws.csv"), screw)
    one = float(row["stress_area_mm2"]) * float(row["strength_mpa"])
    return spread(
        count * one,
        float(row["spread"]),
        known_by=KnownBy.HANDBOOK,
        method="pins times stress area times shear strength",
        source=row["source"],
    )


def fewest_pins(screw: str, hold_n: float) -> int:
    r"""Fewest pins of a screw that hold a force at their weak end.

    .. math::  n = \lceil F / F_1^- \rceil

    Parameters
    ----------
    screw : str
        Screw as in the table.
    hold_n : float
        Force to be held, :math:`F` [N].

    Returns
    -------
    count : int
        At least one.

    Raises
    ------
    MissingData
        If the table has no such screw.
    OutsideRange
        If the force is negative.

    Notes
    -----
    Range and error as ``pins_hold``.

    References
    ----------
    .. [1] As ``pins_hold``.

    Examples
    --------
    >>> fewest_pins("4-40 nylon", 300.0)
    3
    """
    require_not_negative(hold_n=hold_n)
    return max(1, math.ceil(hold_n / pins_hold(screw, 1).low))


def drag_separation_force(fore: PinnedHalf, aft: PinnedHalf) -> Estimate:
    r"""Pull in a joint when the aft half would slow down faster than the fore half.

    .. math::  F = \frac{m_f D_a - m_a D_f}{m_f + m_a}

    Parameters
    ----------
    fore, aft : PinnedHalf
        Mass [kg] and drag [N] of the two halves just after burnout.

    Returns
    -------
    Estimate
        Pull [N]; negative where the drag presses the joint together.

    Raises
    ------
    OutsideRange
        If a mass is not positive or a drag is negative.

    Notes
    -----
    Holds for a straight coast without thrust. Worst at the highest speed, just after burnout.

    References
    ----------
    .. [1] Newton's second law for two bodies that slow down together.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> heavy = PinnedHalf(mass_kg=exact(3.0), drag_n=exact(10.0))
    >>> light = PinnedHalf(mass_kg=exact(1.0), drag_n=exact(50.0))
    >>> drag_separation_force(heavy, light).value
    35.0
    """
    require_positive(fore_mass_kg=fore.mass_kg.low, aft_mass_kg=aft.mass_kg.low)
    require_not_negative(fore_drag_n=fore.drag_n.low, aft_drag_n=aft.drag_n.low)
    return over_corners(
        lambda fore_mass, aft_mass, fore_drag, aft_drag: (
            (fore_mass * aft_drag - aft_mass * fore_drag) / (fore_mass + aft_mass)
        ),
        {
            "fore_mass": fore.mass_kg,
            "aft_mass": aft.mass_kg,
            "fore_drag": fore.drag_n,
            "aft_drag": aft.drag_n,
        },
        method="two bodies slowing down together",
        source="Newton's second law",
    )


def trapped_pressure(ground_pa: float, outside_pa: float, port_lag_pa: float | None = None) -> Estimate:
    r"""Pressure left in a bay that was closed on the ground.

    .. math::  0 \le p \le p_{ground} - p_{outside}

    Parameters
    ----------
    ground_pa : float
        Air pressure where the bay was closed [Pa].
    outside_pa : float
        Air pressure outside at the moment in question [Pa].
    port_lag_pa : float, optional
        Lag of the bay's vent (``port_lag``) [Pa]; without it the bay counts as unvented.

    Returns
    -------
    Estimate
        Pressure above the air outside [Pa]. Unvented: the sealed bay, down to none if it leaks.

    Raises
    ------
    OutsideRange
        If a pressure is not positive or the lag is negative.

    Notes
    -----
    Sealed is the worst case; printed joints usually leak.

    References
    ----------
    .. [1] Boyle's law at constant volume and temperature.

    Examples
    --------
    >>> trapped_pressure(101_325.0, 89_875.0).high
    11450.0
    """
    require_positive(ground_pa=ground_pa, outside_pa=outside_pa)
    sealed = max(ground_pa - outside_pa, 0.0)
    if port_lag_pa is None:
        return Estimate(
            value=sealed, low=0.0, high=sealed, known_by=KnownBy.ASSUMED, method="no vent given: sealed bay"
        )
    require_not_negative(port_lag_pa=port_lag_pa)
    lag = min(port_lag_pa, sealed)
    return Estimate(
        value=lag, low=0.0, high=min(2 * lag, sealed), known_by=KnownBy.COMPUTED, method="lag of the vent"
    )


def springback_force(thrust_n: float, fore_kg: Estimate, aft_kg: Estimate, rebound: Estimate) -> Estimate:
    r"""Pull in a joint when the thrust stops and the squeezed body springs back.

    .. math::  F = r \, T \, \frac{m_f}{m_f + m_a}

    Parameters
    ----------
    thrust_n : float
        Thrust that falls away, :math:`T` [N].
    fore_kg, aft_kg : Estimate
        Masses on either side of the joint [kg].
    rebound : Estimate
        Share of a lost load that swings back, :math:`r` [-]: 1 for a thrust that stops at once.

    Returns
    -------
    pull : Estimate
        Pull [N].

    Raises
    ------
    OutsideRange
        If a mass is not positive, or the thrust or the share negative.

    Notes
    -----
    Holds for a joint whose sides bear on each other under thrust: what squeezed it, the fore part's own
    inertia, swings over. Drag on the fore part presses against it, and is left out.

    References
    ----------
    .. [1] Newton's second law; a load taken off a spring swings back whole: any text on vibration.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> springback_force(400.0, exact(3.0), exact(6.0), exact(0.3)).value
    40.0
    """
    require_positive(fore_kg=fore_kg.low, aft_kg=aft_kg.low)
    require_not_negative(thrust_n=thrust_n, rebound=rebound.low)
    return over_corners(
        lambda fore, aft, rebound: rebound * thrust_n * fore / (fore + aft),
        {"fore": fore_kg, "aft": aft_kg, "rebound": rebound},
        method="thrust that stops, on the fore part's share of the mass",
        source="Newton's second law",
    )


def inertia_force(mass_kg: Estimate, deceleration_m_s2: Estimate) -> Estimate:
    r"""Pull on a joint when a canopy stops the vehicle and this side wants to fly on.

    .. math::  F = m a

    Parameters
    ----------
    mass_kg : Estimate
        Mass beyond the joint, :math:`m` [kg].
    deceleration_m_s2 : Estimate
        Deceleration at the opening, :math:`a` [m/s^2].

    Returns
    -------
    Estimate
        Pull [N].

    Raises
    ------
    OutsideRange
        If the mass is not positive or the deceleration is negative.

    Notes
    -----
    Holds for a rigid vehicle; a cord that runs taut in steps snatches harder. This is the
    usual reason why a main bay opens with the first canopy.

    References
    ----------
    .. [1] Newton's second law.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> inertia_force(exact(2.0), exact(100.0)).value
    200.0
    """
    require_positive(mass_kg=mass_kg.low)
    require_not_negative(deceleration_m_s2=deceleration_m_s2.low)
    return over_corners(
        lambda mass, deceleration: mass * deceleration,
        {"mass": mass_kg, "deceleration": deceleration_m_s2},
        method="mass times deceleration",
        source="Newton's second law",
    )
