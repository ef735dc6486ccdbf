"""Batteries, switches, computers, igniters, charges and canopies, and what hangs on what."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import StrEnum

from finial.core.errors import MissingData, OutsideRange
from finial.core.estimates import Estimate
from finial.electronics.rates import PartKind, Rates


@dataclass(frozen=True, slots=True, kw_only=True, order=True)
class FailingPart:
    """One part that can fail."""

    kind: PartKind
    name: str


class Trigger(StrEnum):
    """What sets something off."""

    APOGEE = "apogee"
    FALLING = "falling-through"
    CLOCK = "after-lift-off"


@dataclass(frozen=True, slots=True, kw_only=True, order=True)
class Moment:
    """When something fires: at the top, falling through a height, or by the clock."""

    trigger: Trigger
    value: float = 0.0
    """Height above ground [m], or time after lift-off [s]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Battery:
    """A battery, as warm and as full as it is when it fires."""

    name: str
    voltage_v: Estimate
    internal_ohm: Estimate
    capacity_a_h: Estimate


@dataclass(frozen=True, slots=True, kw_only=True)
class Switch:
    """An arming switch."""

    name: str
    resistance_ohm: Estimate
    rates: Rates


@dataclass(frozen=True, slots=True, kw_only=True)
class Computer:
    """A flight computer or timer."""

    name: str
    battery: str
    arming: tuple[tuple[str, ...], ...]
    """Switches: groups in series, in parallel within a group; empty where nothing arms it."""
    pad_current_a: Estimate
    least_v: Estimate
    """Voltage below which it resets [V]."""
    continuity_a: Estimate | None = None
    """What it passes through an igniter to tell that it is there [A]; ``None`` where nobody entered it."""
    needs: tuple[FailingPart, ...] = ()
    """What carries it, lets it sense and feeds it: sled, port, the plugs of its leads."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Igniter:
    """An igniter in a charge, fired by a computer."""

    name: str
    charge: str
    computer: str
    event: Moment
    resistance_ohm: Estimate
    wiring_ohm: Estimate
    all_fire_a: float | None = None
    """Current that fires every one of them [A]; ``None`` where nobody entered it."""
    no_fire_a: float | None = None
    """Current that fires none [A]; ``None`` where nobody entered it."""
    fires_in_s: tuple[float, float] | None = None
    """How long it takes to fire [s]; ``None`` where its kind is not entered."""
    energy_j: float | None = None
    """What that puts into it [J]; ``None`` likewise."""
    needs: tuple[FailingPart, ...] = ()
    """Its lead, and the plugs that the lead passes."""
    connectors: int = 0
    """Plugs, terminals and crimps in its lead that have no name."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Charge:
    """A charge and the bay it opens."""

    name: str
    bay: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Canopy:
    """A canopy, the bay it waits in, and what must hold once it is out."""

    name: str
    bay: str
    event: Moment
    needs: tuple[FailingPart, ...] = ()
    """Itself, its joint and its cord."""


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

    batteries: tuple[Battery, ...] = ()
    switches: tuple[Switch, ...] = ()
    computers: tuple[Computer, ...] = ()
    igniters: tuple[Igniter, ...] = ()
    charges: tuple[Charge, ...] = ()
    canopies: tuple[Canopy, ...] = ()

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
            for switch in _switches(computer):
                _require_known(computer.name, "switch", switch, switches)
        for igniter in self.igniters:
            _require_known(igniter.name, "computer", igniter.computer, computers)
            _require_known(igniter.name, "charge", igniter.charge, charges)

    def computer(self, name: str) -> Computer:
        """Look a computer of the wiring up.

        Parameters
        ----------
        name : str
            Its name, which the wiring has.

        Returns
        -------
        computer : Computer
            The computer.
        """
        return next(one for one in self.computers if one.name == name)

    def battery(self, name: str) -> Battery:
        """Look a battery of the wiring up.

        Parameters
        ----------
        name : str
            Its name, which the wiring has.

        Returns
        -------
        battery : Battery
            The battery.
        """
        return next(one for one in self.batteries if one.name == name)

    def switch(self, name: str) -> Switch:
        """Look a switch of the wiring up.

        Parameters
        ----------
        name : str
            Its name, which the wiring has.

        Returns
        -------
        switch : Switch
            The switch.
        """
        return next(one for one in self.switches if one.name == name)


def _switches(computer: Computer) -> Iterator[str]:
    return (switch for group in computer.arming for switch in group)


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
