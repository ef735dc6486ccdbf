# pyright: reportUnknownMemberType=false
# The types of shapely's functions leave their keywords open.
"""Whether pieces stand together as drawn, or each was exported at an origin of its own."""

import itertools
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

import numpy as np

from finial.shape.pieces.outlines import Outlines, evenly, outlines_of, span_of
from finial.shape.repair import Repaired

_CUTS = 80
_SAME_ROOM = 0.15
"""Pieces that share more than this of the smaller one's material stand in one another [-]."""
_GAP_SHARE = 0.05
"""Outside pieces farther apart than this share of the whole do not touch; as the sheet's own check [-]."""
_WITHIN = 0.95
_SAME_END_M = 0.5e-3
_NEAR_M = 1e-3
_PIECE_SHARE = 0.5
"""A piece inside another that takes more of it than this may be a storey, not a tube [-]."""


class WhyApart(StrEnum):
    """Why pieces do not stand together, or why nobody can tell."""

    SAME_ROOM = "in the same room"
    GAP = "a gap between them"
    NESTED = "one inside the other"


@dataclass(frozen=True, slots=True, kw_only=True)
class Together:
    """How pieces stand as drawn."""

    inner: tuple[bool, ...]
    """Which lie inside others: no part of what the air sees."""
    apart: WhyApart | None = None
    """Why they cannot stay as drawn; ``NESTED``: they may or may not."""
    which: tuple[int, int] = (0, 0)
    """The two pieces that show it."""


def together(pieces: Sequence[Repaired]) -> Together:
    """Tell whether pieces stand together as drawn.

    Parameters
    ----------
    pieces : sequence of Repaired
        The pieces in body axes, one origin for all [m].

    Returns
    -------
    found : Together
        Which lie inside others, and why they do not stand together where they do not.

    Notes
    -----
    They do where each touches another, end to end, side by side or as a tube inside, and no two share more
    than 15 % of the smaller one's material. A thick piece inside another that begins or ends level with it
    may be a storey that was drawn at its own origin: nobody can tell.

    References
    ----------
    .. [1] No published method; the limits are ours.

    Examples
    --------
    >>> from finial.shape.repair import repaired
    >>> from finial.shape.tiers import Tier, tiers_mesh
    >>> tier = [Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=0.5)]
    >>> two = [repaired(tiers_mesh(tier, tip_station_m=tip)) for tip in (0.0, 0.5)]
    >>> together(two).apart is None, together([two[0], two[0]]).apart.value
    (True, 'in the same room')
    """
    drawn = [_Drawn(piece) for piece in pieces]
    pairs = list(itertools.combinations(range(len(drawn)), 2))
    for one, other in pairs:
        if _shared(drawn[one], drawn[other]) > _SAME_ROOM:
            return Together(inner=(False,) * len(drawn), apart=WhyApart.SAME_ROOM, which=(one, other))
    hosts = [_host(drawn, number) for number in range(len(drawn))]
    inner = tuple(host is not None for host in hosts)
    for number, host in enumerate(hosts):
        if host is not None and _may_be_storey(drawn[number], drawn[host]):
            return Together(inner=inner, apart=WhyApart.NESTED, which=(number, host))
    loose = _loose(drawn, pairs)
    if loose is not None:
        return Together(inner=inner, apart=WhyApart.GAP, which=loose)
    return Together(inner=inner)


class _Drawn:
    """A piece and its cuts, made where they are asked for."""

    def __init__(self, piece: Repaired) -> None:
        self.piece = piece
        self.low, self.high = piece.mesh.vertices_m.min(axis=0), piece.mesh.vertices_m.max(axis=0)
        self.span = span_of([piece])

    def between(self, fore_m: float, aft_m: float, count: int = _CUTS) -> Outlines:
        return outlines_of([self.piece], evenly(fore_m, aft_m, count))

    @property
    def own(self) -> Outlines:
        return self.between(*self.span)


def _shared(one: _Drawn, other: _Drawn) -> float:
    """Share of the smaller piece's material that lies in the other's [-]."""
    import shapely

    if (one.low > other.high).any() or (other.low > one.high).any():
        return 0.0
    fore, aft = max(one.span[0], other.span[0]), min(one.span[1], other.span[1])
    if aft - fore < _NEAR_M:
        return 0.0
    here, there = (piece.between(fore, aft, _CUTS // 2) for piece in (one, other))
    both = float(shapely.area(shapely.intersection(here.solid, there.solid)).mean()) * (aft - fore)
    return both / max(min(_volume(one), _volume(other)), 1e-12)


def _volume(drawn: _Drawn) -> float:
    import shapely

    return float(shapely.area(drawn.own.solid).mean()) * (drawn.span[1] - drawn.span[0])


def _host(drawn: Sequence[_Drawn], number: int) -> int | None:
    """MeshPiece whose outline holds this one along nearly all of its length."""
    import shapely

    me = drawn[number]
    for other, host in enumerate(drawn):
        overlap = min(me.span[1], host.span[1]) - max(me.span[0], host.span[0])
        if other == number or overlap < _WITHIN * (me.span[1] - me.span[0]):
            continue
        mine = me.own
        theirs = outlines_of([host.piece], mine.stations_m)
        area = shapely.area(mine.filled)
        out = shapely.area(shapely.difference(mine.filled, theirs.filled))
        if float((out <= (1 - _WITHIN) * area).mean()) >= _WITHIN:
            return other
    return None


def _may_be_storey(me: _Drawn, host: _Drawn) -> bool:
    import shapely

    level = min(abs(me.span[end] - host.span[end]) for end in (0, 1)) < _SAME_END_M
    mine = me.own
    theirs = outlines_of([host.piece], mine.stations_m)
    taken = shapely.area(mine.filled) / np.maximum(shapely.area(theirs.filled), 1e-12)
    return level and float(np.median(taken)) > _PIECE_SHARE


def _loose(drawn: Sequence[_Drawn], pairs: Sequence[tuple[int, int]]) -> tuple[int, int] | None:
    """Two pieces of which nothing leads from one to the other, by touching ones."""
    group = list(range(len(drawn)))
    slack = _GAP_SHARE * (max(one.span[1] for one in drawn) - min(one.span[0] for one in drawn))
    for one, other in pairs:
        if group[one] != group[other] and _touch(drawn[one], drawn[other], slack):
            group = [group[one] if each == group[other] else each for each in group]
    away = next((number for number, each in enumerate(group) if each != group[0]), None)
    return None if away is None else (0, away)


def _touch(one: _Drawn, other: _Drawn, slack_m: float) -> bool:
    """Tell whether two pieces meet: end to end within the slack, or side by side."""
    fore, aft = sorted((one, other), key=lambda drawn: drawn.span)
    gap = aft.span[0] - fore.span[1]
    if gap > slack_m:
        return False
    if gap > -_NEAR_M:
        return _overlap(_end(fore, 1), _end(aft, 0), 0.0)
    first, last = aft.span[0], min(fore.span[1], aft.span[1])
    here, there = (piece.between(first, last, _CUTS // 2).filled for piece in (fore, aft))
    return any(_overlap(a, b, _NEAR_M) for a, b in zip(here, there, strict=True))


def _end(drawn: _Drawn, end: int) -> Any:
    return drawn.own.filled[-end]


def _overlap(one: Any, other: Any, near_m: float) -> bool:
    return not one.is_empty and not other.is_empty and bool(one.distance(other) <= near_m)
