"""Electronics, first form: the sheet's wiring, its firing paths and what fails alone."""

from collections.abc import Iterator
from dataclasses import dataclass

from finial.core.estimates import Estimate, KnownBy, exact
from finial.core.units import Quantity
from finial.electronics.paths import Chain, canopies_off_event, firing_chains, single_points
from finial.electronics.supply import battery_pad_hours, chain_current
from finial.electronics.wiring import Battery, Canopy, Charge, Computer, Igniter, Switch, Wiring
from finial.files.sheet import Sheet

SECONDS_PER_HOUR = 3600.0
NO_WIRING_OHM = 0.2
"""Wires and connectors that the sheet says nothing of [ohm], give or take all of it; common practice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FiringPath:
    """From battery to canopy: what fires what, with what current."""

    canopy: str
    igniter: str
    computer: str
    battery: str
    switch: str
    current: Estimate
    all_fire_a: float | None
    """``None`` where the sheet does not give it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ContinuityCheck:
    """What a computer passes through a live igniter to tell that it is there."""

    igniter: str
    computer: str
    current: Estimate | None
    no_fire_a: float | None
    """Both ``None`` where the sheet does not give them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ElectronicsResult:
    """Firing paths, continuity checks, pad time and what would fail alone."""

    paths: tuple[FiringPath, ...]
    checks: tuple[ContinuityCheck, ...]
    """One for each igniter."""
    pad_times: tuple[tuple[str, Estimate | None], ...]
    """Battery name and time it lasts on the pad [s]; ``None`` where the sheet lacks a number."""
    single_points: tuple[str, ...]
    """Each: what fails alone and which canopy it loses."""
    off_event: tuple[str, ...] = ()
    """Canopies that have a firing path, but none at the event they are meant for."""


def electronics_result(sheet: Sheet) -> ElectronicsResult:
    """Answer for every firing path and battery in the sheet."""
    wiring = _wiring(sheet)
    all_fire = {igniter.name: igniter.all_fire_a for igniter in wiring.igniters}
    cold = sheet.launch.temperature.estimate(KnownBy.MEASURED)
    return ElectronicsResult(
        paths=tuple(_path(wiring, chain, all_fire[chain.igniter]) for chain in firing_chains(wiring)),
        checks=tuple(_checks(sheet)),
        pad_times=tuple(
            (battery.name, hours.scaled(SECONDS_PER_HOUR) if hours else None)
            for battery in wiring.batteries
            if (hours := battery_pad_hours(wiring, battery.name, cold)) is not None
        ),
        off_event=tuple(canopies_off_event(wiring)),
        single_points=tuple(
            f"{point.part.kind} {point.part.name} loses {', '.join(point.canopies)}"
            for point in single_points(wiring)
        ),
    )


def _checks(sheet: Sheet) -> Iterator[ContinuityCheck]:
    passes = {computer.name: computer.continuity_current for computer in sheet.electronics.computer}
    for igniter in sheet.electronics.igniter:
        current = passes[igniter.computer]
        yield ContinuityCheck(
            igniter=igniter.name,
            computer=igniter.computer,
            current=current.estimate(KnownBy.HANDBOOK) if current else None,
            no_fire_a=igniter.no_fire.value - igniter.no_fire.tolerance if igniter.no_fire else None,
        )


def _path(wiring: Wiring, chain: Chain, all_fire_a: float | None) -> FiringPath:
    return FiringPath(
        canopy=chain.canopy,
        igniter=chain.igniter,
        computer=chain.computer,
        battery=chain.battery,
        switch=chain.switch or "none",
        current=chain_current(wiring, chain),
        all_fire_a=all_fire_a,
    )


def _wiring(sheet: Sheet) -> Wiring:
    electronics, recovery = sheet.electronics, sheet.recovery
    return Wiring(
        batteries=tuple(
            Battery(
                name=battery.name,
                voltage_v=battery.voltage.estimate(KnownBy.HANDBOOK),
                internal_ohm=battery.internal_resistance.estimate(KnownBy.HANDBOOK),
                capacity_a_h=battery.capacity.estimate(KnownBy.HANDBOOK).scaled(1 / SECONDS_PER_HOUR),
            )
            for battery in electronics.battery
        ),
        switches=tuple(
            Switch(name=switch.name, resistance_ohm=switch.resistance.estimate(KnownBy.HANDBOOK))
            for switch in electronics.switch
        ),
        computers=tuple(
            Computer(
                name=computer.name,
                battery=computer.battery,
                switch=computer.switch,
                pad_current_a=computer.current_on_pad.estimate(KnownBy.HANDBOOK),
            )
            for computer in electronics.computer
        ),
        igniters=tuple(
            Igniter(
                name=igniter.name,
                charge=igniter.fires,
                computer=igniter.computer,
                resistance_ohm=igniter.resistance.estimate(KnownBy.HANDBOOK),
                wiring_ohm=_wires(igniter.wiring_resistance),
                all_fire_a=igniter.all_fire.value if igniter.all_fire else None,
                event=igniter.event.words,
            )
            for igniter in electronics.igniter
        ),
        charges=tuple(Charge(name=charge.name, bay=charge.bay) for charge in recovery.charge),
        canopies=tuple(
            Canopy(name=canopy.name, bay=canopy.bay, event=canopy.event.words) for canopy in recovery.canopy
        ),
    )


def _wires(given: Quantity | None) -> Estimate:
    if given is not None:
        return (
            given.estimate(KnownBy.MEASURED)
            if given.tolerance
            else exact(given.value, known_by=KnownBy.HANDBOOK)
        )
    return Estimate(
        value=NO_WIRING_OHM,
        low=0.0,
        high=2 * NO_WIRING_OHM,
        known_by=KnownBy.ASSUMED,
        method="wires not entered",
    )
