"""Firing paths from battery to canopy, and what breaks them all at once.

A canopy comes out if at least one path has all its parts working. Its bay's joint, its cord
and the canopy itself stand in every path: each is alone by nature, and is counted.
"""

from dataclasses import dataclass
from itertools import product

from finial.electronics.rates import PartKind
from finial.electronics.wiring import Charge, FailingPart, Igniter, Moment, Wiring


@dataclass(frozen=True, slots=True, kw_only=True)
class FiringPath:
    """One way to fire a canopy out."""

    canopy: str
    charge: str
    igniter: str
    computer: str
    battery: str
    switches: tuple[str, ...]
    """One of every group in series; empty where nothing arms the computer."""
    event: Moment
    holds: tuple[FailingPart, ...] = ()
    """Joint, cord and canopy."""
    fed_through: tuple[FailingPart, ...] = ()
    """Sled, port and plugs of the computer."""
    fired_through: tuple[FailingPart, ...] = ()
    """Lead and plugs of the igniter."""

    @property
    def needs(self) -> tuple[FailingPart, ...]:
        """Everything beside the chain itself."""
        return (*self.holds, *self.fed_through, *self.fired_through)

    @property
    def parts(self) -> frozenset[FailingPart]:
        """Everything that must work for this path to work."""
        named = (
            (PartKind.CHARGE, self.charge),
            (PartKind.IGNITER, self.igniter),
            (PartKind.COMPUTER, self.computer),
            (PartKind.BATTERY, self.battery),
            *((PartKind.SWITCH, switch) for switch in self.switches),
        )
        return frozenset((*self.needs, *(FailingPart(kind=kind, name=name) for kind, name in named)))


def firing_paths(wiring: Wiring) -> tuple[FiringPath, ...]:
    """All ways to fire all canopies, in the order of the canopies.

    Parameters
    ----------
    wiring : Wiring
        Parts and what hangs on what; no unit enters here [-].

    Returns
    -------
    paths : tuple of FiringPath
        One for every canopy, charge in its bay, igniter in that charge, and way through its switches.

    Notes
    -----
    Range: any wiring in which each computer has one battery.

    References
    ----------
    .. [1] Enumeration of success paths, as in NUREG-0492, Fault Tree Handbook, 1981;
       from memory, not re-read.

    Examples
    --------
    >>> firing_paths(Wiring())
    ()
    """
    found: list[FiringPath] = []
    for canopy in wiring.canopies:
        for charge, igniter in _fired(wiring, canopy.bay):
            computer = wiring.computer(igniter.computer)
            found += [
                FiringPath(
                    canopy=canopy.name,
                    charge=charge.name,
                    igniter=igniter.name,
                    computer=computer.name,
                    battery=computer.battery,
                    switches=switches,
                    event=igniter.event,
                    holds=canopy.needs,
                    fed_through=computer.needs,
                    fired_through=igniter.needs,
                )
                for switches in product(*computer.arming)
            ]
    return tuple(found)


def _fired(wiring: Wiring, bay: str) -> list[tuple[Charge, Igniter]]:
    """Return the charges of a bay with each igniter that stands in them."""
    return [
        (charge, igniter)
        for charge in wiring.charges
        if charge.bay == bay
        for igniter in wiring.igniters
        if igniter.charge == charge.name
    ]


def canopies_without_path(wiring: Wiring) -> tuple[str, ...]:
    """Canopies that nothing fires out.

    Parameters
    ----------
    wiring : Wiring
        Parts and what hangs on what [-].

    Returns
    -------
    names : tuple of str
        In the order of the wiring.

    Notes
    -----
    Range: any wiring.

    References
    ----------
    .. [1] Reading the sheet's wiring; no source.

    Examples
    --------
    >>> from finial.electronics.wiring import Canopy, Trigger
    >>> lonely = Canopy(name="main", bay="lantern bay", event=Moment(trigger=Trigger.APOGEE))
    >>> canopies_without_path(Wiring(canopies=(lonely,)))
    ('main',)
    """
    fired = {path.canopy for path in firing_paths(wiring)}
    return tuple(canopy.name for canopy in wiring.canopies if canopy.name not in fired)


def charges_without_igniter(wiring: Wiring) -> tuple[str, ...]:
    """Charges that no igniter stands in.

    Parameters
    ----------
    wiring : Wiring
        Parts and what hangs on what [-].

    Returns
    -------
    names : tuple of str
        In the order of the wiring.

    Notes
    -----
    Range: any wiring.

    References
    ----------
    .. [1] Reading the sheet's wiring; no source.

    Examples
    --------
    >>> charges_without_igniter(Wiring(charges=(Charge(name="backup", bay="bay"),)))
    ('backup',)
    """
    fired = {igniter.charge for igniter in wiring.igniters}
    return tuple(charge.name for charge in wiring.charges if charge.name not in fired)


def canopies_off_event(wiring: Wiring) -> tuple[str, ...]:
    """Canopies that have a path, but none that fires at the event they are meant for.

    Parameters
    ----------
    wiring : Wiring
        Parts and what hangs on what [-].

    Returns
    -------
    names : tuple of str
        In the order of the wiring.

    Notes
    -----
    Range: any wiring. Events are the same when kind and number are.

    References
    ----------
    .. [1] Reading the sheet's wiring; no source.

    Examples
    --------
    >>> canopies_off_event(Wiring())
    ()
    """
    paths = firing_paths(wiring)
    fired = {path.canopy for path in paths}
    on_event = {(path.canopy, path.event) for path in paths}
    return tuple(
        canopy.name
        for canopy in wiring.canopies
        if canopy.name in fired and (canopy.name, canopy.event) not in on_event
    )


def ways_out(paths: tuple[FiringPath, ...], canopy: str) -> frozenset[frozenset[FailingPart]]:
    """Gather the sets of parts that each bring a canopy out: its paths at any event.

    Parameters
    ----------
    paths : tuple of FiringPath
        Paths of all canopies.
    canopy : str
        Which canopy.

    Returns
    -------
    ways : frozenset of frozenset of FailingPart
        Empty where nothing fires it out.

    Notes
    -----
    Range: any paths.

    References
    ----------
    .. [1] As :func:`firing_paths`.

    Examples
    --------
    >>> ways_out((), "main")
    frozenset()
    """
    return frozenset(path.parts for path in paths if path.canopy == canopy)
