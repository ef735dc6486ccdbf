"""Firing paths from battery to canopy, and what breaks them all at once.

A canopy comes out if at least one path has all its parts working. The bay, its
joint, the cord and the canopy itself are left out: each is alone by nature.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import combinations, product

from finial.core.doors import require_not_negative
from finial.core.errors import MissingData, OutsideRange
from finial.electronics.wiring import Wiring

MOST_PARTS = 20
"""Most parts whose failures are enumerated one by one; 2**20 states take some seconds."""


@dataclass(frozen=True, slots=True, kw_only=True, order=True)
class FailingPart:
    """One part that can fail: ``battery``, ``switch``, ``computer``, ``igniter`` or ``charge``."""

    kind: str
    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Chain:
    """One way to fire a canopy out."""

    canopy: str
    charge: str
    igniter: str
    computer: str
    battery: str
    switch: str | None
    event: str

    @property
    def parts(self) -> frozenset[FailingPart]:
        """Everything that must work for this chain to work."""
        named = {
            "charge": self.charge,
            "igniter": self.igniter,
            "computer": self.computer,
            "battery": self.battery,
            "switch": self.switch,
        }
        return frozenset(
            FailingPart(kind=kind, name=name) for kind, name in named.items() if name is not None
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class SinglePoint:
    """A part whose failure alone keeps canopies in."""

    part: FailingPart
    canopies: tuple[str, ...]

    def __str__(self) -> str:
        """Say it in one line."""
        return f"{self.part.kind} {self.part.name!r} alone keeps in: {', '.join(self.canopies)}"


def firing_chains(wiring: Wiring) -> tuple[Chain, ...]:
    """All ways to fire all canopies, in the order of the canopies.

    Parameters
    ----------
    wiring : Wiring
        Parts and what hangs on what; no unit enters here [-].

    Returns
    -------
    tuple of Chain
        One for every canopy, charge in its bay and igniter in that charge.

    Notes
    -----
    Range: any wiring in which each computer has one battery and at most one switch.

    References
    ----------
    .. [1] Enumeration of success paths, as in NUREG-0492, Fault Tree Handbook, 1981;
       from memory, not re-read.

    Examples
    --------
    >>> empty = Wiring(batteries=(), switches=(), computers=(), igniters=(), charges=(), canopies=())
    >>> firing_chains(empty)
    ()
    """
    computers = {computer.name: computer for computer in wiring.computers}
    return tuple(
        Chain(
            canopy=canopy.name,
            charge=charge.name,
            igniter=igniter.name,
            computer=igniter.computer,
            battery=computers[igniter.computer].battery,
            switch=computers[igniter.computer].switch,
            event=igniter.event,
        )
        for canopy in wiring.canopies
        for charge in wiring.charges
        if charge.bay == canopy.bay
        for igniter in wiring.igniters
        if igniter.charge == charge.name
    )


def canopies_without_chain(wiring: Wiring) -> tuple[str, ...]:
    """Canopies that nothing fires out.

    Parameters
    ----------
    wiring : Wiring
        Parts and what hangs on what [-].

    Returns
    -------
    names : tuple of str
        Canopies in the order of the wiring.

    Notes
    -----
    Exact for the wiring as given. A canopy pulled out by another one has no chain of its own.

    References
    ----------
    .. [1] ``firing_chains``; definition.

    Examples
    --------
    >>> from finial.electronics.wiring import Canopy
    >>> lonely = Canopy(name="main", bay="lantern bay")
    >>> canopies_without_chain(
    ...     Wiring(batteries=(), switches=(), computers=(), igniters=(), charges=(), canopies=(lonely,))
    ... )
    ('main',)
    """
    fired = {chain.canopy for chain in firing_chains(wiring)}
    return tuple(canopy.name for canopy in wiring.canopies if canopy.name not in fired)


def canopies_off_event(wiring: Wiring) -> tuple[str, ...]:
    """Canopies that have a path, but none that fires at the event they are meant for.

    Parameters
    ----------
    wiring : Wiring
        Parts and what hangs on what, events in the same words [-].

    Returns
    -------
    names : tuple of str
        Canopies in the order of the wiring.

    Notes
    -----
    Exact for the wiring as given. A canopy without any path is not among them: see
    ``canopies_without_chain``.

    References
    ----------
    .. [1] ``firing_chains``; definition.

    Examples
    --------
    >>> canopies_off_event(
    ...     Wiring(batteries=(), switches=(), computers=(), igniters=(), charges=(), canopies=())
    ... )
    ()
    """
    chains = firing_chains(wiring)
    fired = {chain.canopy for chain in chains}
    on_event = {(chain.canopy, chain.event) for chain in chains}
    return tuple(
        canopy.name
        for canopy in wiring.canopies
        if canopy.name in fired and (canopy.name, canopy.event) not in on_event
    )


def minimal_cut_sets(chains: Iterable[Chain], largest: int = 2) -> tuple[frozenset[FailingPart], ...]:
    r"""Smallest sets of parts whose failure breaks every chain.

    .. math::  C \cap P_i \ne \emptyset \ \forall i, \qquad
               \text{no proper subset of } C \text{ does the same}

    Parameters
    ----------
    chains : iterable of Chain
        All chains of **one** canopy [-].
    largest : int
        Largest set to look for [-].

    Returns
    -------
    tuple of frozenset of Part
        The sets, smallest first; empty when there is no chain, for then nothing more can fail.

    Raises
    ------
    OutsideRange
        If the chains belong to different canopies or ``largest`` is below 1.

    Notes
    -----
    Exact: every combination up to that size is tried. Range: parts that fail or work, and
    failures to fire. Firing too early is not looked at, and there a second computer makes
    things worse, not better.

    References
    ----------
    .. [1] NUREG-0492, Fault Tree Handbook, 1981, minimal cut sets; from memory, not re-read.

    Examples
    --------
    >>> chain = Chain(
    ...     canopy="main", charge="C", igniter="I", computer="K", battery="B", switch=None, event="apogee"
    ... )
    >>> [sorted(part.kind for part in cut) for cut in minimal_cut_sets([chain])]
    [['battery'], ['charge'], ['computer'], ['igniter']]
    """
    paths = _paths_of_one_canopy(chains)
    if largest < 1:
        raise OutsideRange(f"largest = {largest}: look for sets of at least one part")
    parts = sorted(frozenset[FailingPart]().union(*paths)) if paths else []
    cuts: list[frozenset[FailingPart]] = []
    for size in range(1, largest + 1):
        for choice in map(frozenset, combinations(parts, size)):
            if not any(cut <= choice for cut in cuts) and all(choice & path for path in paths):
                cuts.append(choice)
    return tuple(cuts)


def single_points(wiring: Wiring) -> tuple[SinglePoint, ...]:
    """Parts whose failure alone keeps a canopy in.

    Parameters
    ----------
    wiring : Wiring
        Parts and what hangs on what [-].

    Returns
    -------
    tuple of SinglePoint
        Each part once, with all canopies it loses; by kind and name.

    Notes
    -----
    Exact for the parts in the wiring; no ``OutsideRange``, since the cut sets see one canopy at a time.
    A shared sled, static port, or a wire that both
    systems run through is a single point too, and the wiring does not show it. Range and
    what is left out: see the module.

    References
    ----------
    .. [1] NUREG-0492, Fault Tree Handbook, 1981, cut sets of order one; from memory, not re-read.

    Examples
    --------
    >>> single_points(Wiring(batteries=(), switches=(), computers=(), igniters=(), charges=(), canopies=()))
    ()
    """
    lost: dict[FailingPart, list[str]] = {}
    chains = firing_chains(wiring)
    for canopy in wiring.canopies:
        for cut in minimal_cut_sets((chain for chain in chains if chain.canopy == canopy.name), largest=1):
            lost.setdefault(next(iter(cut)), []).append(canopy.name)
    return tuple(SinglePoint(part=part, canopies=tuple(lost[part])) for part in sorted(lost))


def loss_probability(chains: Iterable[Chain], failure: Mapping[FailingPart, float]) -> float:
    r"""Probability that no chain of a canopy works.

    .. math::  Q = \sum_{s \in \{0, 1\}^n : \text{no chain works}} \prod_i q_i^{s_i} (1 - q_i)^{1 - s_i}

    Parameters
    ----------
    chains : iterable of Chain
        All chains of one canopy.
    failure : mapping of Part to float
        Probability that each part fails, :math:`q_i` [-].

    Returns
    -------
    float
        Probability :math:`Q` [-]; 1 when there is no chain.

    Raises
    ------
    OutsideRange
        If there are more than 20 parts, chains of different canopies, or a number that is
        no probability.
    MissingData
        If a part has no probability.

    Notes
    -----
    Exact for parts that fail independently, which real ones do not quite; see
    ``common_cause_failure``.

    References
    ----------
    .. [1] State enumeration, as in NUREG-0492, 1981; from memory, not re-read.

    Examples
    --------
    >>> chain = Chain(
    ...     canopy="main", charge="C", igniter="I", computer="K", battery="B", switch=None, event="apogee"
    ... )
    >>> round(loss_probability([chain], {part: 0.01 for part in chain.parts}), 6)
    0.039404
    """
    paths = _paths_of_one_canopy(chains)
    if not paths:
        return 1.0
    parts = sorted(frozenset[FailingPart]().union(*paths))
    probabilities = [_probability(part, failure) for part in parts]
    if len(parts) > MOST_PARTS:
        raise OutsideRange(f"{len(parts)} parts have too many states to enumerate; at most {MOST_PARTS}")
    masks = [sum(1 << index for index, part in enumerate(parts) if part in path) for path in paths]
    lost = 0.0
    for state in product((False, True), repeat=len(parts)):
        failed = sum(1 << index for index, fails in enumerate(state) if fails)
        if all(failed & mask for mask in masks):
            lost += _state_probability(state, probabilities)
    return lost


def _paths_of_one_canopy(chains: Iterable[Chain]) -> list[frozenset[FailingPart]]:
    """Part sets of the chains; refuse chains of different canopies."""
    chains = tuple(chains)
    canopies = {chain.canopy for chain in chains}
    if len(canopies) > 1:
        raise OutsideRange(
            f"chains of different canopies ({', '.join(sorted(canopies))}): give one at a time"
        )
    return [chain.parts for chain in chains]


def _probability(part: FailingPart, failure: Mapping[FailingPart, float]) -> float:
    """Failure probability of a part, checked."""
    if part not in failure:
        raise MissingData(f"no failure probability for {part.kind} {part.name!r}")
    require_not_negative(failure=failure[part])
    if failure[part] > 1:
        raise OutsideRange(f"failure probability {failure[part]} of {part.name!r}: give a number from 0 to 1")
    return failure[part]


def _state_probability(state: tuple[bool, ...], probabilities: list[float]) -> float:
    """Probability of exactly this set of failures."""
    chance = 1.0
    for fails, probability in zip(state, probabilities, strict=True):
        chance *= probability if fails else 1 - probability
    return chance
