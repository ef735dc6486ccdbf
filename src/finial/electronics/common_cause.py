"""What takes all parts of a kind at once: the same mistake made twice, the same vibration, the same batch."""

from collections.abc import Collection, Mapping

from finial.core.corners import over_corners
from finial.core.errors import MissingData
from finial.core.estimates import Estimate, KnownBy
from finial.electronics.rates import PartKind, rates_of
from finial.electronics.wiring import FailingPart

SHARED_SHARE = Estimate(
    value=0.10,
    low=0.05,
    high=0.20,
    known_by=KnownBy.ASSUMED,
    method="share of failures that take all parts of a kind at once",
    source="assumed: 5 to 20 % is usual where nothing is known; from memory of IEC 61508-6 annex D",
)
ALIKE = (
    PartKind.BATTERY,
    PartKind.SWITCH,
    PartKind.COMPUTER,
    PartKind.IGNITER,
    PartKind.CHARGE,
    PartKind.LEAD,
)
"""Kinds of which a build has two that are often the same make, packed by the same hands."""
ALL_AT_ONCE = ""
"""Name of the part that stands for all of a kind failing at once."""

Ways = frozenset[frozenset[FailingPart]]


def with_common_causes(
    ways: Collection[frozenset[FailingPart]],
    odds: Mapping[FailingPart, Estimate],
    share: Estimate = SHARED_SHARE,
) -> tuple[Ways, dict[FailingPart, Estimate]]:
    r"""Split the odds of like parts into their own and those that they share.

    .. math::  q_{own} = (1 - \beta) \, q, \qquad q_{all} = \beta \, q

    Parameters
    ----------
    ways : collection of frozenset of FailingPart
        Sets of parts, each enough to work.
    odds : mapping of FailingPart to Estimate
        Odds that each fails [-].
    share : Estimate
        Share of failures that take all of a kind, :math:`\beta` [-].

    Returns
    -------
    ways, odds : frozenset, dict of FailingPart to Estimate
        The same with one more part for every kind of which there are two or more [-].

    Raises
    ------
    MissingData
        If a part has no odds.

    Notes
    -----
    Beta-factor model. Range: a few like parts; where their odds differ, the largest is shared.

    References
    ----------
    .. [1] Beta-factor model, as in IEC 61508-6 annex D; from memory, not re-read.

    Examples
    --------
    Two at 2 % each, a tenth of it shared: 0.002 at once, and 0.018 each by itself.

    >>> from finial.core.estimates import exact
    >>> two = [FailingPart(kind=PartKind.COMPUTER, name=name) for name in "AB"]
    >>> ways, odds = with_common_causes([frozenset([part]) for part in two], dict.fromkeys(two, exact(0.02)))
    >>> sorted(round(one.value, 4) for one in odds.values())
    [0.002, 0.018, 0.018]
    """
    parts = sorted(frozenset[FailingPart]().union(*ways))
    missing = [part for part in parts if part not in odds]
    if missing:
        raise MissingData(f"no odds for {missing[0].kind} {missing[0].name!r}")
    split = {part: odds[part] for part in parts}
    for kind in ALIKE:
        like = [part for part in parts if part.kind is kind]
        if len(like) < 2:
            continue
        worst = max((odds[part] for part in like), key=lambda one: one.high)
        split[FailingPart(kind=kind, name=ALL_AT_ONCE)] = part_of(worst, share, shared=True)
        split.update({part: part_of(odds[part], share, shared=False) for part in like})
    return frozenset(_with_shared(way, split) for way in ways), split


def _with_shared(way: frozenset[FailingPart], odds: Mapping[FailingPart, Estimate]) -> frozenset[FailingPart]:
    shared = {FailingPart(kind=part.kind, name=ALL_AT_ONCE) for part in way}
    return way | (shared & odds.keys())


def shaken(
    ways: Collection[frozenset[FailingPart]], odds: Mapping[FailingPart, Estimate]
) -> tuple[Ways, dict[FailingPart, Estimate]]:
    r"""Count the shaking of the whole vehicle, which opens contacts and resets computers of every chain.

    .. math::  w' = w \cup \{v\}

    Parameters
    ----------
    ways : collection of frozenset of FailingPart
        Sets of parts, each enough to work.
    odds : mapping of FailingPart to Estimate
        Odds that each fails [-].

    Returns
    -------
    ways, odds : frozenset, dict of FailingPart to Estimate
        The same with the shaking, :math:`v`, in every way [-].

    Notes
    -----
    Range: chains that ride in one vehicle. A second chain does not help against it.

    References
    ----------
    .. [1] Table ``rates.csv``; judgement of this project.

    Examples
    --------
    >>> ways, odds = shaken([frozenset()], {})
    >>> [part.kind.value for way in ways for part in way]
    ['vibration']
    """
    part = FailingPart(kind=PartKind.VIBRATION, name=ALL_AT_ONCE)
    return (
        frozenset(frozenset(way) | {part} for way in ways),
        {**odds, part: rates_of(PartKind.VIBRATION).fails},
    )


def part_of(odds: Estimate, share: Estimate, *, shared: bool) -> Estimate:
    r"""Odds that a part fails by itself, or that all of its kind do.

    .. math::  (1 - \beta) \, q, \qquad \beta \, q

    Parameters
    ----------
    odds : Estimate
        Odds that it fails, :math:`q` [-].
    share : Estimate
        Share of failures that take all of a kind, :math:`\beta` [-].
    shared : bool
        Whether all of the kind are asked for.

    Returns
    -------
    odds : Estimate
        Odds [-].

    Notes
    -----
    Range: odds and shares from 0 to 1.

    References
    ----------
    .. [1] Beta-factor model, as in IEC 61508-6 annex D; from memory, not re-read.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> round(part_of(exact(0.02), exact(0.1), shared=True).value, 6)
    0.002
    """
    return over_corners(
        lambda odds, share: odds * (share if shared else 1 - share),
        {"odds": odds, "share": share},
        method="beta factor",
        source=share.source,
    )
