"""Batteries, switches, computers, igniters, charges and canopies, and what hangs on what."""

from collections.abc import Iterable
from dataclasses import dataclass

from finial.core.errors import MissingData, OutsideRange
from finial.core.estimates import Estimate


@dataclass(frozen=True, slots=True, kw_only=True)
class Battery:
    """A battery."""

    name: str
    voltage_v: Estimate
    internal_ohm: Estimate
    capacity_a_h: Estimate


@dataclass(frozen=True, slots=True, kw_only=True)
class Switch:
    """An arming switch."""

    name: str
    resistance_ohm: Estimate


@dataclass(frozen=True, slots=True, kw_only=True)
class Computer:
    """A flight computer or timer."""

    name: str
    battery: str
    switch: str | None
    pad_current_a: Estimate


@dataclass(frozen=True, slots=True, kw_only=True)
class Igniter:
    """An igniter in a charge, fired by a computer."""

    name: str
    charge: str
    computer: str
    resistance_ohm: Estimate
    wiring_ohm: Estimate
    all_fire_a: float | None = None
    """Current that fires every one of them [A]; ``None`` where nobody entered it."""
    event: str = ""
    """When the computer fires it, in the same words as the canopies' events."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Charge:
    """A charge and the bay it opens."""

    name: str
    bay: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Canopy:
    """A canopy and the bay it waits in."""

    name: str
    bay: str
    event: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wiring:
    """Everything between the batteries and the canopies.

    Raises
    ------
    OutsideRange
        If two of a kind have the same name.
    MissingData
        If something names a battery, switch, computer or charge that is not there.
    """

    batteries: tuple[Battery, ...]
    switches: tuple[Switch, ...]
    computers: tuple[Computer, ...]
    igniters: tuple[Igniter, ...]
    charges: tuple[Charge, ...]
    canopies: tuple[Canopy, ...]

    def __post_init__(self) -> None:
        """Refuse names that are double or lead nowhere."""
        batteries = _names("battery", self.batteries)
        switches = _names("switch", self.switches)
        computers = _names("computer", self.computers)
        charges = _names("charge", self.charges)
        _names("igniter", self.igniters)
        _names("canopy", self.canopies)
        for computer in self.computers:
            _require_known(computer.name, "battery", computer.battery, batteries)
            if computer.switch is not None:
                _require_known(computer.name, "switch", computer.switch, switches)
        for igniter in self.igniters:
            _require_known(igniter.name, "computer", igniter.computer, computers)
            _require_known(igniter.name, "charge", igniter.charge, charges)


def _names(kind: str, things: Iterable[Battery | Switch | Computer | Igniter | Charge | Canopy]) -> set[str]:
    """Return the names of all things of a kind; refuse doubles."""
    names: set[str] = set()
    for thing in things:
        if thing.name in names:
            raise OutsideRange(f"two things of kind {kind} are called {thing.name!r}: give each its own name")
        names.add(thing.name)
    return names


def _require_known(owner: str, kind: str, name: str, known: set[str]) -> None:
    """Refuse a name that leads nowhere."""
    if name not in known:
        raise MissingData(f"{owner} names {kind} {name!r}: known are {', '.join(sorted(known)) or 'none'}")
