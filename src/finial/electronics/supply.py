"""What the batteries of a wiring must give: firing current, voltage left, hours on the pad."""

from dataclasses import replace

from finial.core.errors import MissingData
from finial.core.estimates import Estimate, exact, total
from finial.electronics.batteries import pad_hours
from finial.electronics.firing import FiringCircuit, firing_current, voltage_left
from finial.electronics.paths import FiringPath
from finial.electronics.wiring import Computer, Igniter, Wiring


def path_current(wiring: Wiring, path: FiringPath) -> Estimate:
    r"""Find the current through the igniter of a path, alone or with others at the same moment.

    .. math::  I = U / (R_{internal} + R_{switch} + R_{wiring} + R_{igniter})

    Parameters
    ----------
    wiring : Wiring
        All parts with their voltages [V] and resistances [ohm].
    path : FiringPath
        One of its paths.

    Returns
    -------
    current : Estimate
        Current [A]; the low end has every igniter with the same event on the same battery
        fire at once, the value and the high end have this one alone.

    Raises
    ------
    MissingData
        If the path does not belong to the wiring.
    OutsideRange
        If a voltage or an igniter's resistance is not positive.

    Notes
    -----
    Range and error as for ``firing_current``. Others on the same battery count as behind
    the same switches, which errs low.

    References
    ----------
    .. [1] Ohm's law.

    Examples
    --------
    >>> from finial.electronics.example import one_of_everything
    >>> from finial.electronics.paths import firing_paths
    >>> wiring = one_of_everything()
    >>> round(path_current(wiring, firing_paths(wiring)[0]).value, 2)
    2.37
    """
    mine, others = _circuits(wiring, path)
    alone, together = firing_current(mine), firing_current(mine, others)
    return replace(
        alone,
        low=together.low,
        known_by=max(alone.known_by, together.known_by),
        method=alone.method + (", low end with all igniters at once" if others else ""),
        inside_range=together.inside_range,
    )


def path_voltage(wiring: Wiring, path: FiringPath) -> Estimate:
    r"""Find the voltage left for the computer of a path while it fires, the low end with others at once.

    .. math::  V = U / (1 + R_s \sum 1 / R)

    Parameters
    ----------
    wiring : Wiring
        All parts with their voltages [V] and resistances [ohm].
    path : FiringPath
        One of its paths.

    Returns
    -------
    voltage : Estimate
        Voltage [V].

    Raises
    ------
    MissingData
        If the path does not belong to the wiring.
    OutsideRange
        If a voltage or an igniter's resistance is not positive.

    Notes
    -----
    Range and error as for ``voltage_left``.

    References
    ----------
    .. [1] Ohm's law.

    Examples
    --------
    >>> from finial.electronics.example import one_of_everything
    >>> from finial.electronics.paths import firing_paths
    >>> wiring = one_of_everything()
    >>> round(path_voltage(wiring, firing_paths(wiring)[0]).value, 2)
    4.26
    """
    mine, others = _circuits(wiring, path)
    alone, together = voltage_left(mine), voltage_left(mine, others)
    return replace(alone, low=together.low, known_by=max(alone.known_by, together.known_by))


def battery_pad_hours(wiring: Wiring, battery: str, temperature_k: Estimate) -> Estimate | None:
    r"""Hours a battery keeps all its computers awake; ``None`` when none hangs on it.

    .. math::  t = u \, s(T) \, Q / \sum I

    Parameters
    ----------
    wiring : Wiring
        Parts with capacities [A h] and currents [A].
    battery : str
        Name of the battery.
    temperature_k : Estimate
        Temperature of the battery [K].

    Returns
    -------
    hours : Estimate or None
        Time [h].

    Raises
    ------
    MissingData
        If there is no such battery.
    OutsideRange
        If a capacity or current is not positive.

    Notes
    -----
    Range and error as for ``pad_hours``.

    References
    ----------
    .. [1] Capacity over current.

    Examples
    --------
    >>> from finial.electronics.example import one_of_everything
    >>> round(battery_pad_hours(one_of_everything(), "battery", exact(300.15)).value, 1)
    22.5
    """
    batteries = {item.name: item for item in wiring.batteries}
    if battery not in batteries:
        raise MissingData(f"no battery {battery!r}: known are {', '.join(batteries) or 'none'}")
    currents = [computer.pad_current_a for computer in wiring.computers if computer.battery == battery]
    if not currents:
        return None
    return pad_hours(batteries[battery].capacity_a_h, total(currents), temperature_k)


def _circuits(wiring: Wiring, path: FiringPath) -> tuple[FiringCircuit, tuple[FiringCircuit, ...]]:
    """Circuit of a path's igniter, and of all that fire at the same moment from the same battery."""
    igniters = {igniter.name: igniter for igniter in wiring.igniters}
    if path.igniter not in igniters:
        raise MissingData(f"no igniter {path.igniter!r}: known are {', '.join(igniters) or 'none'}")
    mine = igniters[path.igniter]
    others = tuple(
        _circuit(wiring, other)
        for other in wiring.igniters
        if other is not mine
        and other.event == mine.event
        and wiring.computer(other.computer).battery == path.battery
    )
    return _circuit(wiring, mine), others


def _circuit(wiring: Wiring, igniter: Igniter) -> FiringCircuit:
    """Circuit of one igniter from the parts it hangs on."""
    computer = wiring.computer(igniter.computer)
    battery = wiring.battery(computer.battery)
    return FiringCircuit(
        voltage_v=battery.voltage_v,
        internal_ohm=battery.internal_ohm,
        switch_ohm=_through_switches(wiring, computer),
        wiring_ohm=igniter.wiring_ohm,
        igniter_ohm=igniter.resistance_ohm,
    )


def _through_switches(wiring: Wiring, computer: Computer) -> Estimate:
    """Resistance of the arming network [ohm]: of every group the worst switch alone, errs low in current."""
    groups = [[wiring.switch(name).resistance_ohm for name in group] for group in computer.arming]
    if not groups:
        return exact(0.0)
    return total(max(group, key=lambda one: one.high) for group in groups)
