"""What the batteries of a wiring must give: firing current and hours on the pad."""

from finial.core.errors import MissingData
from finial.core.estimates import Estimate, exact, total
from finial.electronics.batteries import pad_hours
from finial.electronics.firing import FiringCircuit, firing_current
from finial.electronics.paths import Chain
from finial.electronics.wiring import Computer, Igniter, Wiring


def chain_current(wiring: Wiring, chain: Chain) -> Estimate:
    r"""Find the current through the igniter of a chain, alone or with others at the same moment.

    .. math::  I = U / (R_{internal} + R_{switch} + R_{wiring} + R_{igniter})

    Parameters
    ----------
    wiring : Wiring
        All parts with their voltages [V] and resistances [ohm].
    chain : Chain
        One of its chains.

    Returns
    -------
    Estimate
        Current [A]; the low end has every igniter with the same event on the same battery
        fire at once, the value and the high end have this one alone.

    Raises
    ------
    MissingData
        If the chain does not belong to the wiring.
    OutsideRange
        If a voltage or an igniter's resistance is not positive.

    Notes
    -----
    Range and error as for ``firing_current``. Others on the same battery count as behind
    the same switch, which errs low.

    References
    ----------
    .. [1] Ohm's law.

    Examples
    --------
    >>> from finial.electronics.paths import firing_chains
    >>> from finial.electronics.wiring import Battery, Canopy, Charge
    >>> wiring = Wiring(
    ...     batteries=(
    ...         Battery(name="B", voltage_v=exact(9.0), internal_ohm=exact(2.0), capacity_a_h=exact(0.5)),
    ...     ),
    ...     switches=(),
    ...     computers=(Computer(name="K", battery="B", switch=None, pad_current_a=exact(0.02)),),
    ...     igniters=(
    ...         Igniter(
    ...             name="I", charge="C", computer="K", resistance_ohm=exact(1.5), wiring_ohm=exact(0.3),
    ...             all_fire_a=1.0,
    ...         ),
    ...     ),
    ...     charges=(Charge(name="C", bay="bay"),),
    ...     canopies=(Canopy(name="main", bay="bay"),),
    ... )
    >>> round(chain_current(wiring, firing_chains(wiring)[0]).value, 2)
    2.37
    """
    igniters = {igniter.name: igniter for igniter in wiring.igniters}
    if chain.igniter not in igniters:
        raise MissingData(f"no igniter {chain.igniter!r}: known are {', '.join(igniters) or 'none'}")
    mine = igniters[chain.igniter]
    others = tuple(
        _circuit(wiring, other)
        for other in wiring.igniters
        if other is not mine and other.event == mine.event and _shares_supply(wiring, other, mine)
    )
    alone = firing_current(_circuit(wiring, mine))
    together = firing_current(_circuit(wiring, mine), others)
    return Estimate(
        value=alone.value,
        low=together.low,
        high=alone.high,
        known_by=max(alone.known_by, together.known_by),
        method=alone.method + (", low end with all igniters at once" if others else ""),
        source=alone.source,
        inside_range=together.inside_range,
    )


def battery_pad_hours(wiring: Wiring, battery: str, temperature_k: Estimate) -> Estimate | None:
    """Hours a battery keeps all its computers awake; ``None`` when none hangs on it.

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
    Estimate or None
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
    >>> from finial.electronics.wiring import Battery
    >>> cell = Battery(name="B", voltage_v=exact(7.4), internal_ohm=exact(0.1), capacity_a_h=exact(0.5))
    >>> board = Computer(name="K", battery="B", switch=None, pad_current_a=exact(0.025))
    >>> wiring = Wiring(
    ...     batteries=(cell,), switches=(), computers=(board,), igniters=(), charges=(), canopies=()
    ... )
    >>> round(battery_pad_hours(wiring, "B", exact(300.15)).value, 1)
    18.0
    """
    batteries = {item.name: item for item in wiring.batteries}
    if battery not in batteries:
        raise MissingData(f"no battery {battery!r}: known are {', '.join(batteries) or 'none'}")
    currents = [computer.pad_current_a for computer in wiring.computers if computer.battery == battery]
    if not currents:
        return None
    return pad_hours(batteries[battery].capacity_a_h, total(currents), temperature_k)


def _computer(wiring: Wiring, igniter: Igniter) -> Computer:
    """Find the computer that fires an igniter."""
    return next(computer for computer in wiring.computers if computer.name == igniter.computer)


def _shares_supply(wiring: Wiring, first: Igniter, second: Igniter) -> bool:
    """Whether two igniters draw from the same battery."""
    return _computer(wiring, first).battery == _computer(wiring, second).battery


def _circuit(wiring: Wiring, igniter: Igniter) -> FiringCircuit:
    """Circuit of one igniter from the parts it hangs on."""
    computer = _computer(wiring, igniter)
    battery = next(item for item in wiring.batteries if item.name == computer.battery)
    switch = next((item for item in wiring.switches if item.name == computer.switch), None)
    return FiringCircuit(
        voltage_v=battery.voltage_v,
        internal_ohm=battery.internal_ohm,
        switch_ohm=switch.resistance_ohm if switch else exact(0.0),
        wiring_ohm=igniter.wiring_ohm,
        igniter_ohm=igniter.resistance_ohm,
    )
