r"""Exact odds of a system that works if one of its ways works, and what breaks it.

A *way* is a set of parts that must all work. Everything here is exact for parts that fail
independently; what they share (a sled, a port, the same mistake) stands as a part of its own
in every way that needs it.
"""

from collections.abc import Collection, Hashable, Mapping, Sequence
from functools import cache
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from finial.core.doors import require_not_negative
from finial.core.errors import MissingData, OutsideRange
from finial.core.estimates import Estimate, KnownBy

P = TypeVar("P", bound=Hashable)


def loss_probability(ways: Collection[frozenset[P]], failure: Mapping[P, float]) -> float:
    r"""Probability that no way works.

    .. math::  Q(W) = q_p \, Q(W \setminus \{w \ni p\}) + (1 - q_p) \, Q(\{w \setminus \{p\}\})

    with :math:`Q = 1` where no way is left and 0 where one needs nothing more.

    Parameters
    ----------
    ways : collection of frozenset
        Sets of parts, each enough to work.
    failure : mapping of part to float
        Probability that each part fails, :math:`q_p` [-].

    Returns
    -------
    probability : float
        Probability that all ways fail [-]; 1 where there is none.

    Raises
    ------
    OutsideRange
        If a number is no probability.
    MissingData
        If a part has none.

    Notes
    -----
    Exact for independent parts: each part is settled once, and equal rests are answered once, as in a
    binary decision diagram. Range: some forty parts in a dozen ways take milliseconds; the work grows
    with how the ways are knotted, not with two to the number of parts.

    References
    ----------
    .. [1] Shannon expansion: R. E. Bryant, IEEE Transactions on Computers C-35 (1986) 677; NUREG-0492,
       Fault Tree Handbook, 1981; both from memory, not re-read.

    Examples
    --------
    Two of three, each at 0.97:

    >>> pairs = [frozenset("ab"), frozenset("ac"), frozenset("bc")]
    >>> round(1 - loss_probability(pairs, dict.fromkeys("abc", 0.03)), 6)
    0.997354
    """
    return float(_lost(ways, [failure])[0])


def loss_interval(ways: Collection[frozenset[P]], failure: Mapping[P, Estimate]) -> Estimate:
    r"""Probability that no way works, with every part at its good end, its middle and its bad end.

    .. math::  [Q(q^-),\ Q(q^+)]

    Parameters
    ----------
    ways : collection of frozenset
        Sets of parts, each enough to work.
    failure : mapping of part to Estimate
        Probability that each part fails [-].

    Returns
    -------
    probability : Estimate
        Probability that all ways fail [-].

    Raises
    ------
    OutsideRange
        If a number is no probability.
    MissingData
        If a part has none.

    Notes
    -----
    Exact bounds: the odds rise with every part's.

    References
    ----------
    .. [1] As :func:`loss_probability`.

    Examples
    --------
    >>> one = Estimate(value=0.1, low=0.0, high=0.2, known_by=KnownBy.ASSUMED)
    >>> both = loss_interval([frozenset("a"), frozenset("b")], {"a": one, "b": one})
    >>> both.low, round(both.value, 6), round(both.high, 6)
    (0.0, 0.01, 0.04)
    """
    ends = ("low", "value", "high")
    cases = [{part: getattr(odds, end) for part, odds in failure.items()} for end in ends]
    low, value, high = _lost(ways, cases).tolist()
    return Estimate(
        value=value,
        low=low,
        high=high,
        known_by=max((odds.known_by for odds in failure.values()), default=KnownBy.COMPUTED),
        method="exact odds that no way works",
        source="parts fail independently; what they share stands as a part",
    )


def minimal_cut_sets(ways: Collection[frozenset[P]]) -> tuple[frozenset[P], ...]:
    r"""Smallest sets of parts whose failure breaks every way, of any size.

    .. math::  C \cap w \ne \emptyset \ \forall w, \qquad
               \text{no proper subset of } C \text{ does the same}

    Parameters
    ----------
    ways : collection of frozenset
        Sets of parts, each enough to work.

    Returns
    -------
    cuts : tuple of frozenset
        The sets, smallest first; empty where there is no way, for then nothing more can fail.

    Notes
    -----
    Exact, for any wiring: the sets of the first ways are carried over to the next, and those that hold
    another are dropped. Range: some thousands of sets.

    References
    ----------
    .. [1] Minimal transversals of a hypergraph: C. Berge, Hypergraphs, North-Holland 1989; NUREG-0492,
       Fault Tree Handbook, 1981; both from memory, not re-read.

    Examples
    --------
    >>> [sorted(cut) for cut in minimal_cut_sets([frozenset("sa"), frozenset("sb")])]
    [['s'], ['a', 'b']]
    """
    cuts: set[frozenset[P]] = {frozenset()} if ways else set()
    for way in ways:
        cuts = _smallest({cut if cut & way else cut | {part} for cut in cuts for part in way})
    return tuple(sorted(cuts, key=lambda cut: (len(cut), sorted(map(str, cut)))))


def doubled(
    ways: Collection[frozenset[P]], failure: Mapping[P, float], parts: Collection[P]
) -> tuple[float, ...]:
    r"""How the odds of losing all ways change when one part gets an equal beside it, for each by itself.

    .. math::  \frac{Q(q_p^2)}{Q(q_p)}

    Parameters
    ----------
    ways : collection of frozenset
        Sets of parts, each enough to work.
    failure : mapping of part to float
        Probability that each part fails [-].
    parts : collection of parts
        The parts, one after the other.

    Returns
    -------
    ratios : tuple of float
        Odds after over odds before [-]: 0.2 means a fifth of the risk; 1 where nothing is to be gained.

    Raises
    ------
    OutsideRange
        If a number is no probability.
    MissingData
        If a part has none.

    Notes
    -----
    Holds for an equal part that fails independently and takes over by itself.

    References
    ----------
    .. [1] Risk reduction worth, NUREG/CR-3385, 1983, with a second part in place of a perfect one; from
       memory, not re-read.

    Examples
    --------
    >>> [round(ratio, 3) for ratio in doubled([frozenset("ab")], {"a": 0.1, "b": 0.01}, "ab")]
    [0.183, 0.918]
    """
    cases = [failure, *({**failure, part: failure[part] ** 2} for part in parts)]
    before, *after = _lost(ways, cases).tolist()
    return tuple(one / before if before > 0 else 1.0 for one in after)


def _lost(ways: Collection[frozenset[P]], cases: Sequence[Mapping[P, float]]) -> NDArray[np.float64]:
    """Odds that no way works in each case: the ways are taken apart once for all of them."""
    needed = {part for way in ways for part in way}
    odds = {part: np.array([_probability(part, case) for case in cases]) for part in needed}

    @cache
    def lost(left: frozenset[frozenset[P]]) -> NDArray[np.float64]:
        if not left:
            return np.ones(len(cases))
        if frozenset() in left:
            return np.zeros(len(cases))
        part = _most_needed(left)
        works = frozenset(way - {part} for way in left)
        fails = frozenset(way for way in left if part not in way)
        return odds[part] * lost(fails) + (1 - odds[part]) * lost(works)

    return lost(frozenset(frozenset(way) for way in ways))


def _most_needed(ways: frozenset[frozenset[P]]) -> P:
    """Part that most ways need: settling it first keeps the rests few."""
    counts: dict[P, int] = {}
    for way in ways:
        for part in way:
            counts[part] = counts.get(part, 0) + 1
    most = max(counts.values())
    return max((part for part, count in counts.items() if count == most), key=str)


def _smallest(cuts: set[frozenset[P]]) -> set[frozenset[P]]:
    kept: list[frozenset[P]] = []
    for cut in sorted(cuts, key=len):
        if not any(other <= cut for other in kept):
            kept.append(cut)
    return set(kept)


def _probability(part: P, failure: Mapping[P, float]) -> float:
    """Failure probability of a part, checked."""
    if part not in failure:
        raise MissingData(f"no failure probability for {part}")
    require_not_negative(failure=failure[part])
    if failure[part] > 1:
        raise OutsideRange(f"failure probability {failure[part]} of {part}: give 0.03, not 3")
    return failure[part]
