"""The sheet's electronics as the physics takes them: the one place where quantities become estimates."""

from dataclasses import replace

from finial.core.corners import over_corners
from finial.core.estimates import Estimate, KnownBy, total
from finial.core.kept_parts import kept
from finial.core.units import Quantity
from finial.electronics.batteries import cold_resistance, voltage_after
from finial.electronics.firing import IgniterKind, igniter_kind
from finial.electronics.rates import PartKind, Rates, Rest, rates_of
from finial.electronics.wires import contact_resistance, wire_resistance
from finial.electronics.wiring import (
    Battery,
    Canopy,
    Charge,
    Computer,
    FailingPart,
    Igniter,
    Moment,
    Switch,
    Trigger,
    Wiring,
)
from finial.files.sheet_recovery import (
    BatteryEntry,
    CanopyEntry,
    ComputerEntry,
    ElectronicsEntry,
    EventEntry,
    IgniterEntry,
    RecoveryEntry,
    SwitchEntry,
)

SECONDS_PER_HOUR = 3600.0
CONTACTS = 2
"""Of a plug that has a name: there and back."""
NO_WIRING_OHM = 0.2
"""Wires and connectors that the sheet says nothing of [ohm], give or take all of it; common practice."""
LEAST_VOLTAGE = Estimate(
    value=5.0,
    low=3.3,
    high=6.0,
    known_by=KnownBy.ASSUMED,
    method="voltage below which a computer resets, not entered",
    source="assumed: regulators for 3.3 V logic, with and without a stage for 5 V before it",
)


@kept(8)
def sheet_wiring(
    electronics: ElectronicsEntry, recovery: RecoveryEntry, warm_k: Estimate, wait_s: float = 0.0
) -> Wiring:
    """Everything between the batteries and the canopies, as warm as the day.

    Parameters
    ----------
    electronics : ElectronicsEntry
        Batteries, switches, computers and igniters of the sheet.
    recovery : RecoveryEntry
        Charges and canopies of the sheet.
    warm_k : Estimate
        Temperature of cells and wires [K].
    wait_s : float
        How long they have waited when they fire [s].

    Returns
    -------
    Wiring
        Parts and what hangs on what.
    """
    return Wiring(
        batteries=tuple(
            _battery(one, warm_k, wait_s * _drawn(electronics, one.name)) for one in electronics.battery
        ),
        switches=tuple(_switch(one) for one in electronics.switch),
        computers=tuple(_computer(one) for one in electronics.computer),
        igniters=tuple(_igniter(one, _feeding(electronics, one), warm_k) for one in electronics.igniter),
        charges=tuple(Charge(name=charge.name, bay=charge.bay) for charge in recovery.charge),
        canopies=tuple(_canopy(recovery, canopy) for canopy in recovery.canopy),
    )


def moment_of(event: EventEntry) -> Moment:
    """When something of the sheet fires, to be compared."""
    if event.falling_through is not None:
        return Moment(trigger=Trigger.FALLING, value=event.falling_through.value)
    if event.after_lift_off is not None:
        return Moment(trigger=Trigger.CLOCK, value=event.after_lift_off.value)
    return Moment(trigger=Trigger.APOGEE)


def _drawn(electronics: ElectronicsEntry, battery: str) -> float:
    """Largest current of all computers on a battery while they wait [A]."""
    return sum(one.current_on_pad.high for one in electronics.computer if one.battery == battery)


def _feeding(electronics: ElectronicsEntry, igniter: IgniterEntry) -> ComputerEntry:
    return next(one for one in electronics.computer if one.name == igniter.computer)


def _battery(given: BatteryEntry, warm_k: Estimate, drawn_a_s: float) -> Battery:
    left = given.charged.low - drawn_a_s / given.capacity.low
    return Battery(
        name=given.name,
        voltage_v=over_corners(
            lambda told, share: told * share,
            {
                "told": given.voltage.estimate(KnownBy.HANDBOOK),
                "share": voltage_after(given.charged.value, left),
            },
            method="voltage at rest after the wait",
        ),
        internal_ohm=over_corners(
            lambda warm, times: warm * times,
            {
                "warm": given.internal_resistance.estimate(KnownBy.HANDBOOK),
                "times": cold_resistance(warm_k),
            },
            method="resistance at the day's temperature",
        ),
        capacity_a_h=given.capacity.estimate(KnownBy.HANDBOOK).scaled(1 / SECONDS_PER_HOUR),
    )


def _switch(given: SwitchEntry) -> Switch:
    usual = rates_of(given.kind, Rest(given.rest) if given.rest else None)
    return Switch(
        name=given.name,
        resistance_ohm=given.resistance.estimate(KnownBy.HANDBOOK),
        rates=Rates(
            fails=_counted(given.fails_open, usual.fails), unasked=_counted(given.fails_closed, usual.unasked)
        ),
    )


def _counted(own: Quantity | None, usual: Estimate) -> Estimate:
    if own is None:
        return usual
    return replace(
        usual,
        value=own.value,
        low=max(own.low, 0.0),
        high=min(own.high, 1.0),
        known_by=KnownBy.MEASURED,
        source="the build sheet",
    )


def _computer(given: ComputerEntry) -> Computer:
    return Computer(
        name=given.name,
        battery=given.battery,
        arming=given.arming,
        pad_current_a=given.current_on_pad.estimate(KnownBy.HANDBOOK),
        least_v=given.least_voltage.estimate(KnownBy.HANDBOOK) if given.least_voltage else LEAST_VOLTAGE,
        continuity_a=given.continuity_current.estimate(KnownBy.HANDBOOK)
        if given.continuity_current
        else None,
        needs=(
            FailingPart(kind=PartKind.SLED, name=given.sled),
            FailingPart(kind=PartKind.PORT, name=given.port),
            *_plugs(given.plugs),
        ),
    )


def _plugs(names: tuple[str, ...]) -> tuple[FailingPart, ...]:
    return tuple(FailingPart(kind=PartKind.CONNECTOR, name=name) for name in names)


def _igniter(given: IgniterEntry, computer: ComputerEntry, warm_k: Estimate) -> Igniter:
    kind = igniter_kind(given.kind) if given.kind else None
    return Igniter(
        name=given.name,
        charge=given.fires,
        computer=given.computer,
        event=moment_of(given.event),
        resistance_ohm=_bridge(given, kind),
        wiring_ohm=_wires(given, computer, warm_k),
        all_fire_a=given.all_fire.high if given.all_fire else kind and kind.all_fire_a[1],
        no_fire_a=given.no_fire.low if given.no_fire else kind and kind.no_fire_a,
        fires_in_s=kind and kind.fires_in_s,
        energy_j=kind and kind.energy_j,
        needs=(FailingPart(kind=PartKind.LEAD, name=given.name), *_plugs(given.plugs)),
        connectors=given.connectors,
    )


def _bridge(given: IgniterEntry, kind: IgniterKind | None) -> Estimate:
    if given.resistance is not None:
        return given.resistance.estimate(KnownBy.HANDBOOK)
    assert kind is not None, "the sheet's reader has made sure that there is a kind or a resistance"
    low, high = kind.resistance_ohm
    return Estimate(
        value=(low + high) / 2,
        low=low,
        high=high,
        known_by=KnownBy.HANDBOOK,
        method=kind.name,
        source=kind.source,
    )


def _wires(given: IgniterEntry, computer: ComputerEntry, warm_k: Estimate) -> Estimate:
    """Wires and plugs from battery to igniter; what was measured at the lead has the lead's plugs in it."""
    own, feeding = given.wiring_resistance, CONTACTS * len(computer.plugs)
    if own is not None:
        measured = own.estimate(KnownBy.MEASURED if own.tolerance else KnownBy.HANDBOOK)
        return total([measured, contact_resistance(feeding)]) if feeding else measured
    if given.wire is not None:
        contacts = given.connectors + CONTACTS * len(given.plugs) + feeding
        return wire_resistance(given.wire.gauge, given.wire.length.value, contacts, warm_k)
    return Estimate(
        value=NO_WIRING_OHM,
        low=0.0,
        high=2 * NO_WIRING_OHM,
        known_by=KnownBy.ASSUMED,
        method="wires not entered",
    )


def _canopy(recovery: RecoveryEntry, given: CanopyEntry) -> Canopy:
    joint = next(bay.joint for bay in recovery.bay if bay.name == given.bay)
    cords = (cord.name for cord in recovery.cord if cord.joint == joint)
    return Canopy(
        name=given.name,
        bay=given.bay,
        event=moment_of(given.event),
        needs=(
            FailingPart(kind=PartKind.CANOPY, name=given.name),
            FailingPart(kind=PartKind.JOINT, name=joint),
            *(FailingPart(kind=PartKind.CORD, name=name) for name in cords),
        ),
    )
