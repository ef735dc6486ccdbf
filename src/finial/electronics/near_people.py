"""What fires a charge while people stand beside it, and how often.

A computer that is live unasked fires nothing by that alone: it must fire unasked too. An igniter
may go off by itself. Both are counted, for every charge, and what like parts share is shared here too:
two switches in a row guard nobody where the same hands left both closed.
"""

from collections.abc import Collection, Mapping
from itertools import product

from finial.core.errors import MissingData
from finial.core.estimates import Estimate
from finial.electronics.common_cause import ALIKE, ALL_AT_ONCE, SHARED_SHARE, part_of
from finial.electronics.rates import PartKind
from finial.electronics.reliability import loss_probability
from finial.electronics.wiring import FailingPart, Wiring

Ways = frozenset[frozenset[FailingPart]]


def ways_to_fire(wiring: Wiring, charges: Collection[str]) -> Ways:
    """Gather the sets of parts that each fire one of some charges unasked.

    Parameters
    ----------
    wiring : Wiring
        Parts and what hangs on what [-].
    charges : collection of str
        Names of the charges.

    Returns
    -------
    ways : frozenset of frozenset of FailingPart
        A computer with one switch of every group in series; an igniter by itself.

    Notes
    -----
    Range: any wiring. A computer without a switch is live from the moment its battery is plugged in.

    References
    ----------
    .. [1] Minimal cut sets of the event that nothing fires, NUREG-0492, Fault Tree Handbook, 1981; from
       memory, not re-read.

    Examples
    --------
    >>> from finial.electronics.example import one_of_everything
    >>> wiring = one_of_everything()
    >>> [sorted(part.kind.value for part in way) for way in sorted(ways_to_fire(wiring, ["charge"]), key=len)]
    [['igniter'], ['computer', 'switch']]
    """
    found: set[frozenset[FailingPart]] = set()
    for igniter in wiring.igniters:
        if igniter.charge in charges:
            computer = FailingPart(kind=PartKind.COMPUTER, name=igniter.computer)
            found.add(frozenset([FailingPart(kind=PartKind.IGNITER, name=igniter.name)]))
            for switches in product(*wiring.computer(igniter.computer).arming):
                closed = (FailingPart(kind=PartKind.SWITCH, name=name) for name in switches)
                found.add(frozenset([computer, *closed]))
    return frozenset(found)


def odds_of_firing(
    ways: Collection[frozenset[FailingPart]],
    unasked: Mapping[FailingPart, Estimate],
    share: Estimate = SHARED_SHARE,
) -> Estimate:
    r"""Odds that at least one way fires, like parts sharing some of what they do unasked.

    .. math::  P = 1 - Q(W), \qquad c_{own} = (1 - \beta) \, c, \quad c_{all} = \beta \, c

    Parameters
    ----------
    ways : collection of frozenset of FailingPart
        Sets of parts, each enough to fire.
    unasked : mapping of FailingPart to Estimate
        Odds that each acts unasked, :math:`c` [-].
    share : Estimate
        Share of that which takes all of a kind, :math:`\beta` [-].

    Returns
    -------
    odds : Estimate
        Odds that something fires [-].

    Raises
    ------
    MissingData
        If a part has no odds.
    OutsideRange
        If a number is no probability.

    Notes
    -----
    Exact for the parts as told: those of a kind act each by itself, or all at once. Range: some dozen parts.
    Each end bounds from its side: own and shared odds both stand at it.

    References
    ----------
    .. [1] As :func:`~finial.electronics.reliability.loss_probability`; beta-factor model, IEC 61508-6
       annex D; from memory, not re-read.

    Examples
    --------
    Two pins in a row at 0.5 % each, and a computer that fires in any case: a tenth of it shared is twenty
    times what two independent pins would let through.

    >>> from finial.core.estimates import exact
    >>> pins = [FailingPart(kind=PartKind.SWITCH, name=name) for name in "AB"]
    >>> odds = dict.fromkeys(pins, exact(0.005))
    >>> round(odds_of_firing([frozenset(pins)], odds, exact(0.1)).value, 6)
    0.00052
    >>> round(odds_of_firing([frozenset(pins)], odds, exact(0.0)).value, 6)
    2.5e-05
    """
    split, odds = _split(ways, unasked, share)
    low, value, high = (
        1.0 - loss_probability(split, {part: 1.0 - getattr(one, end) for part, one in odds.items()})
        for end in ("low", "value", "high")
    )
    return Estimate(
        value=value,
        low=low,
        high=high,
        known_by=max(one.known_by for one in unasked.values()),
        method="exact odds that a way fires",
    )


def _split(
    ways: Collection[frozenset[FailingPart]], unasked: Mapping[FailingPart, Estimate], share: Estimate
) -> tuple[Ways, dict[FailingPart, Estimate]]:
    """Let every part of a kind act by itself or with all of its kind."""
    parts = sorted(frozenset[FailingPart]().union(*ways))
    missing = [part for part in parts if part not in unasked]
    if missing:
        raise MissingData(f"no unasked odds for {missing[0].kind} {missing[0].name!r}")
    odds = {part: unasked[part] for part in parts}
    shared: dict[PartKind, FailingPart] = {}
    for kind in ALIKE:
        like = [part for part in parts if part.kind is kind]
        if len(like) > 1:
            shared[kind] = FailingPart(kind=kind, name=ALL_AT_ONCE)
            worst = max((odds[part] for part in like), key=lambda one: one.high)
            odds.update({part: part_of(odds[part], share, shared=False) for part in like})
            odds[shared[kind]] = part_of(worst, share, shared=True)
    found = {
        frozenset(chosen)
        for way in ways
        for chosen in product(*(_either(part, shared.get(part.kind)) for part in way))
    }
    return frozenset(found), odds


def _either(part: FailingPart, shared: FailingPart | None) -> tuple[FailingPart, ...]:
    return (part,) if shared is None else (part, shared)
