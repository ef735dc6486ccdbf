"""Current through an igniter against what it takes to fire it."""

from dataclasses import dataclass

from finial.core.corners import over_corners
from finial.core.doors import require_not_negative, require_positive
from finial.core.estimates import Estimate, total
from finial.core.tables import row_named, table_rows

MOST_CONTINUITY_A = 0.05
"""Most that a continuity check may pass through any igniter [A]; the source of :func:`continuity_limit`."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FiringCircuit:
    """One igniter and everything between it and the battery's cells."""

    voltage_v: Estimate
    """Battery voltage without load [V]."""
    internal_ohm: Estimate
    """Resistance of the battery itself [ohm]."""
    switch_ohm: Estimate
    """Resistance of the arming switch and whatever else all igniters share [ohm]."""
    wiring_ohm: Estimate
    """Wires, connectors and the computer's output of this igniter [ohm]."""
    igniter_ohm: Estimate


@dataclass(frozen=True, slots=True, kw_only=True)
class IgniterKind:
    """What igniters of one kind have in common."""

    name: str
    all_fire_a: tuple[float, float]
    """Current that fires every one of them, over makers [A]."""
    no_fire_a: float
    """Current that fires none [A]."""
    test_a: float
    """Most that a continuity check should pass [A]."""
    resistance_ohm: tuple[float, float]
    fires_in_s: tuple[float, float]
    """How long it takes at its all-fire current [s]."""
    energy_j: float
    """What that puts into it, about [J]."""
    source: str


def igniter_kind(name: str) -> IgniterKind:
    """Look a kind of igniter up by name.

    Parameters
    ----------
    name : str
        Name as in the table, letter case ignored.

    Returns
    -------
    IgniterKind
        Currents [A], resistances [ohm], times [s] and energy [J].

    Raises
    ------
    MissingData
        If the table has no such kind; the message lists those it has.

    Notes
    -----
    Ranges over makers; the data sheet of the igniter at hand goes first.

    References
    ----------
    .. [1] Makers' data sheets, from memory, not re-read.

    Examples
    --------
    >>> igniter_kind("electric match").no_fire_a
    0.3
    """
    row = row_named(table_rows("finial.electronics", "igniters.csv"), name)
    return IgniterKind(
        name=row["name"],
        all_fire_a=(float(row["all_fire_low_a"]), float(row["all_fire_high_a"])),
        no_fire_a=float(row["no_fire_a"]),
        test_a=float(row["test_a"]),
        resistance_ohm=(float(row["ohm_low"]), float(row["ohm_high"])),
        fires_in_s=(float(row["fire_low_s"]), float(row["fire_high_s"])),
        energy_j=float(row["energy_j"]),
        source=row["source"],
    )


def firing_current(circuit: FiringCircuit, at_once: tuple[FiringCircuit, ...] = ()) -> Estimate:
    r"""Find the current through an igniter when its computer fires.

    .. math::

        I = \frac{U}{R_s + R_b (1 + R_s \sum_o 1 / R_o)}, \qquad
        R_s = R_{internal} + R_{switch}, \quad R_b = R_{wiring} + R_{igniter}

    Parameters
    ----------
    circuit : FiringCircuit
        Voltage [V] and resistances [ohm] of this igniter.
    at_once : tuple of FiringCircuit
        Igniters that fire at the same moment from the same battery and switch; they take
        their share of the current.

    Returns
    -------
    Estimate
        Current :math:`I` [A].

    Raises
    ------
    OutsideRange
        If the voltage or an igniter's resistance is not positive, or another resistance negative.

    Notes
    -----
    Holds for a battery with a constant internal resistance. In the cold that resistance
    doubles or worse; small batteries may not give the current their resistance suggests.
    The time to fire (5-20 ms) is not looked at.

    References
    ----------
    .. [1] Ohm's law.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> case = FiringCircuit(
    ...     voltage_v=exact(7.4), internal_ohm=exact(0.1), switch_ohm=exact(0.0),
    ...     wiring_ohm=exact(0.3), igniter_ohm=exact(1.5),
    ... )
    >>> round(firing_current(case).value, 2)
    3.89
    """
    _require_circuit(circuit)
    others = total([_conductance(other) for other in at_once], method="igniters fired at once")
    return over_corners(
        lambda voltage, internal, switch, wiring, igniter, others: (
            voltage / ((internal + switch) + (wiring + igniter) * (1 + (internal + switch) * others))
        ),
        {
            "voltage": circuit.voltage_v,
            "internal": circuit.internal_ohm,
            "switch": circuit.switch_ohm,
            "wiring": circuit.wiring_ohm,
            "igniter": circuit.igniter_ohm,
            "others": others,
        },
        method="Ohm's law, battery to igniter",
        source="Ohm's law",
    )


def voltage_left(circuit: FiringCircuit, at_once: tuple[FiringCircuit, ...] = ()) -> Estimate:
    r"""Voltage that a computer still gets while it fires.

    .. math::

        V = \frac{U}{1 + R_s \, (1 / R_b + \sum_o 1 / R_o)}, \qquad
        R_s = R_{internal} + R_{switch}, \quad R_b = R_{wiring} + R_{igniter}

    Parameters
    ----------
    circuit : FiringCircuit
        Voltage [V] and resistances [ohm] of this igniter.
    at_once : tuple of FiringCircuit
        Igniters that fire at the same moment from the same battery and switch.

    Returns
    -------
    voltage : Estimate
        Voltage behind battery and switch [V].

    Raises
    ------
    OutsideRange
        If the voltage or an igniter's resistance is not positive, or another resistance negative.

    Notes
    -----
    Holds while the igniter conducts, 5 to 20 ms until it burns through; a bridge that melts shut draws on.
    What the computer itself draws is small beside it. A computer below its least voltage resets, and may
    forget that it flew.

    References
    ----------
    .. [1] Ohm's law.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> worn = FiringCircuit(
    ...     voltage_v=exact(9.0), internal_ohm=exact(2.0), switch_ohm=exact(0.0),
    ...     wiring_ohm=exact(0.3), igniter_ohm=exact(1.5),
    ... )
    >>> round(voltage_left(worn).value, 2)
    4.26
    """
    _require_circuit(circuit)
    branches = total([_conductance(one) for one in (circuit, *at_once)], method="igniters fired at once")
    return over_corners(
        lambda voltage, internal, switch, branches: voltage / (1 + (internal + switch) * branches),
        {
            "voltage": circuit.voltage_v,
            "internal": circuit.internal_ohm,
            "switch": circuit.switch_ohm,
            "branches": branches,
        },
        method="Ohm's law, behind battery and switch",
        source="Ohm's law",
    )


def continuity_limit(no_fire_a: float, share: float) -> float:
    r"""Most current that a continuity check may pass through a live igniter.

    .. math::  I = \min(s \, I_{no-fire},\ 50\ \mathrm{mA})

    Parameters
    ----------
    no_fire_a : float
        Current that fires none of its kind [A].
    share : float
        Share of it that is left to a check, :math:`s` [-].

    Returns
    -------
    float
        Current [A].

    Raises
    ------
    OutsideRange
        If the current or the share is not positive.

    Notes
    -----
    Holds for bridgewire igniters. The source allows a tenth of the no-fire energy; at the same
    resistance and time that is a share of 0.32 of the current, so a tenth of the current is stricter.

    References
    ----------
    .. [1] NASA Expendable Launch Vehicle Payload Safety Requirements, 13.8.1.1.1 (seen in a copy).

    Examples
    --------
    >>> round(continuity_limit(0.3, 0.1), 3), continuity_limit(2.0, 0.1)
    (0.03, 0.05)
    """
    require_positive(no_fire_a=no_fire_a, share=share)
    return min(share * no_fire_a, MOST_CONTINUITY_A)


def _conductance(circuit: FiringCircuit) -> Estimate:
    """Conductance of another igniter's own branch [S]."""
    _require_circuit(circuit)
    return total([circuit.wiring_ohm, circuit.igniter_ohm]).mapped(lambda ohm: 1 / ohm)


def _require_circuit(circuit: FiringCircuit) -> None:
    """Refuse a circuit without voltage or igniter."""
    require_positive(voltage_v=circuit.voltage_v.low, igniter_ohm=circuit.igniter_ohm.low)
    require_not_negative(
        internal_ohm=circuit.internal_ohm.low,
        switch_ohm=circuit.switch_ohm.low,
        wiring_ohm=circuit.wiring_ohm.low,
    )
