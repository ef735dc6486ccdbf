# pyright: reportUnknownMemberType=false
# The types of shapely's functions leave their keywords open.
"""Pieces that were exported each at its own origin, put on one another where their ends match best."""

import itertools
from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from finial.shape.pieces.outlines import evenly, outlines_of, span_of
from finial.shape.repair import Repaired

MOST_PIECES = 12
"""Orders of more pieces are not searched: give the order."""
_POOR = 0.65
"""Ends with less than 35 % in common hardly belong together [-]."""
_TURNED_GAIN = 0.15
"""Gain from which pieces count as upside down [-]; of one mismatch of outlines."""
_CLEAR = 0.02
"""Lead of the best order over any other from which it is clear [-]; of one mismatch of outlines."""
_NARROWER = 1.2
"""An end counts as the narrow one where the other's outline is so much larger [-]."""
_CUTS = 60
_SPIGOT_SHARE, _SPIGOT_STEP = 0.35, 0.9
"""A spigot is at most this share of its piece, and at most this share of the outline behind it [-]."""
_FITS = 0.7
"""Least share of a bore that a spigot in it fills [-]."""
_OFF_AXIS = 0.05
"""Ends drawn farther off the origin than this share of their width are put middle on middle [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stacked:
    """Pieces on one another: their order, how far each is moved, and how clear that order is."""

    order: tuple[int, ...]
    """Numbers of the pieces, the foremost first."""
    shifts_m: tuple[tuple[float, float, float], ...]
    """What is added to each piece in body axes [m], in the order they were given."""
    mismatch: tuple[float, ...]
    """For each joint from the tip, how much the two ends differ: 0 alike, 1 nothing in common [-]."""
    sunk_m: tuple[float, ...]
    """For each joint, how far a spigot reaches into the other piece [m]; 0 where they butt."""
    clear: bool
    """False where another order would do nearly as well."""
    told: bool = False
    """Whether its builder gave the order."""
    upside_down: tuple[int, ...] = ()
    """Pieces whose ends would match far better if they were turned over."""

    @property
    def is_sure(self) -> bool:
        """Whether nothing speaks against it, or its builder said so."""
        return self.told or (self.clear and self.matches and not self.upside_down)

    @property
    def matches(self) -> bool:
        """Whether no two ends that meet are so unlike that they can hardly belong together."""
        return max(self.mismatch, default=0.0) <= _POOR


@dataclass(frozen=True, slots=True, kw_only=True)
class _End:
    """Fore or aft end of a piece."""

    filled: Any
    solid: Any
    spigot_m: float
    """Length of a narrower end that may go into the neighbour [m]; 0 for none."""
    shoulder: Any
    """Outline behind the spigot."""

    @property
    def bore(self) -> Any:
        return self.filled.difference(self.solid)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Piece:
    span: tuple[float, float]
    fore: _End
    aft: _End


@dataclass(frozen=True, slots=True, kw_only=True)
class _Joint:
    mismatch: float
    sunk_m: float


def stacked(pieces: Sequence[Repaired], order: Sequence[int] | None = None) -> Stacked:
    r"""Put pieces end on end, in the order in which their outlines match best.

    .. math::  \min_\pi \sum_k \left( 1 - \frac{|A_k \cap B_{k+1}|}{|A_k \cup B_{k+1}|} \right)

    with :math:`A` the aft end of a piece and :math:`B` the fore end of the next.

    Parameters
    ----------
    pieces : sequence of Repaired
        At least two pieces in body axes, turned as they fly [m].
    order : sequence of int, optional
        Numbers of the pieces, the foremost first, where it is known.

    Returns
    -------
    stacked : Stacked
        Order, moves, and whether another order would match nearly as well.

    Raises
    ------
    OutsideRange
        If there are more than 12 pieces and no order is given.

    Notes
    -----
    An end that is narrower than what is behind it, and fills the neighbour's bore to 70 % or more, is sunk
    into it as far as its step. Ends are compared about their own origins, or their middles where they were
    drawn off the axis. A piece that was exported upside down is not turned: its ends match badly.

    References
    ----------
    .. [1] Jaccard's distance of plane sets; the shortest path through all by Held and Karp, J. SIAM 10
       (1962) 196, from memory.

    Examples
    --------
    >>> from finial.shape.repair import repaired
    >>> from finial.shape.tiers import Tier, tiers_mesh
    >>> wide, mid, thin = (
    ...     repaired(tiers_mesh([Tier(sides=4, across_m=base, across_top_m=top, height_m=0.2)]))
    ...     for base, top in ((0.12, 0.1), (0.1, 0.06), (0.06, 0.02))
    ... )
    >>> found = stacked([mid, thin, wide])
    >>> found.order, found.clear, [round(shift[0], 3) for shift in found.shifts_m]
    ((1, 0, 2), True, [-0.2, 0.0, -0.4])
    """
    from finial.core.errors import OutsideRange

    if order is None and len(pieces) > MOST_PIECES:
        raise OutsideRange(f"{len(pieces)} pieces: of more than {MOST_PIECES} the order must be given")
    ends = [_piece(piece) for piece in pieces]
    joints = [[_joint(fore.aft, aft.fore) for aft in ends] for fore in ends]
    cost = np.array([[joint.mismatch for joint in row] for row in joints])
    best, clear = (tuple(order), True) if order is not None else _clearest(cost, ends)
    met = [joints[one][two] for one, two in itertools.pairwise(best)]
    return Stacked(
        order=best,
        shifts_m=_shifts(ends, best, met),
        mismatch=tuple(joint.mismatch for joint in met),
        sunk_m=tuple(joint.sunk_m for joint in met),
        clear=clear,
        told=order is not None,
        upside_down=() if order is not None else _upside_down(ends, _total(cost, best)),
    )


def _clearest(cost: NDArray[np.float64], ends: Sequence[_Piece]) -> tuple[tuple[int, ...], bool]:
    """Best order, and whether it is clear; of one that reads as well backwards the narrow end is the tip."""
    best = _shortest(cost)
    back = best[::-1]
    own, lead = _total(cost, best), _lead(cost, best)
    if _total(cost, back) - own > _CLEAR:
        return best, lead > _CLEAR
    fore, aft = ends[best[0]].fore.filled.area, ends[best[-1]].aft.filled.area
    return best if fore <= aft else back, lead > _CLEAR and max(fore, aft) > _NARROWER * min(fore, aft)


def _upside_down(ends: Sequence[_Piece], own: float) -> tuple[int, ...]:
    """Pieces that the best order with some turned over turns, where that order is much better."""
    count = len(ends)
    both = [*ends, *(replace(piece, fore=piece.aft, aft=piece.fore) for piece in ends)]
    cost = np.array([[_joint(fore.aft, aft.fore).mismatch for aft in both] for fore in both])
    best = _shortest(cost, number=np.arange(2 * count) % count)
    if own - _total(cost, best) < _TURNED_GAIN:
        return ()
    turned, kept = (tuple(one % count for one in best if (one >= count) == way) for way in (True, False))
    return tuple(sorted(min(turned, kept, key=len)))


def _piece(piece: Repaired) -> _Piece:
    import shapely

    span = span_of([piece])
    cut = outlines_of([piece], evenly(*span, _CUTS))
    area = shapely.area(cut.filled)
    ends: list[_End] = []
    for way in (1, -1):
        along, filled, solid = area[::way], cut.filled[::way], cut.solid[::way]
        most = int(_SPIGOT_SHARE * _CUTS)
        steps = [k for k in range(most) if along[k] < _SPIGOT_STEP * along[k + 1] and _even(along[: k + 1])]
        last = steps[-1] if steps else None
        length = 0.0 if last is None else abs(_step_at(piece, cut.stations_m[::way], last) - span[way < 0])
        ends.append(
            _End(
                filled=filled[0],
                solid=solid[0],
                spigot_m=length,
                shoulder=filled[0] if last is None else filled[last + 1],
            )
        )
    return _Piece(span=span, fore=ends[0], aft=ends[1])


def _even(area: NDArray[np.float64]) -> bool:
    """Tell whether an end keeps its section, as a spigot does and a cone or dome does not."""
    return bool(np.ptp(area) < 0.05 * area.max())


def _step_at(piece: Repaired, stations: NDArray[np.float64], k: int) -> float:
    """Station of the step between two cuts: the corners nearest to one another there."""
    low, high = sorted((stations[k], stations[k + 1]))
    found = -piece.mesh.vertices_m[:, 0]
    between = found[(found >= low) & (found <= high)]
    return float(np.median(between)) if len(between) else float((low + high) / 2)


def _joint(aft: _End, fore: _End) -> _Joint:
    """How the aft end of one piece meets the fore end of the next."""
    ways = [_Joint(mismatch=_unlike(aft.filled, fore.filled), sunk_m=0.0)]
    if aft.spigot_m:
        ways.append(_sunk(aft, fore))
    if fore.spigot_m:
        ways.append(_sunk(fore, aft))
    return min(ways, key=lambda joint: joint.mismatch)


def _sunk(spigot: _End, socket: _End) -> _Joint:
    bore = socket.bore
    if bore.is_empty or _unlike(spigot.filled, bore) > 1.0 - _FITS:
        return _Joint(mismatch=1.0, sunk_m=0.0)
    return _Joint(mismatch=_unlike(spigot.shoulder, socket.filled), sunk_m=spigot.spigot_m)


def _unlike(one: Any, other: Any) -> float:
    if one.is_empty or other.is_empty:
        return 1.0
    one, other = _centred(one), _centred(other)
    return 1.0 - float(one.intersection(other).area / one.union(other).area)


def _centred(region: Any) -> Any:
    from shapely.affinity import translate

    off = _off_axis(region)
    return translate(region, -off[0], -off[1]) if any(off) else region


def _off_axis(region: Any) -> tuple[float, float]:
    """Middle of an end, where it was drawn off its origin; else nothing."""
    middle = region.centroid
    far = float(np.hypot(middle.x, middle.y)) > _OFF_AXIS * float(np.sqrt(region.area))
    return (middle.x, middle.y) if far else (0.0, 0.0)


def _shifts(
    ends: Sequence[_Piece], order: Sequence[int], joints: Sequence[_Joint]
) -> tuple[tuple[float, float, float], ...]:
    """Move each piece behind the one ahead of it; body x points forward."""
    shifts: dict[int, tuple[float, float, float]] = {}
    reached, middle = 0.0, (0.0, 0.0)
    for place, number in enumerate(order):
        piece = ends[number]
        fore = reached - (joints[place - 1].sunk_m if place else 0.0)
        off = _off_axis(piece.fore.shoulder)
        across = (middle[0] - off[0], middle[1] - off[1])
        shifts[number] = (piece.span[0] - fore + 0.0, *across)
        reached = fore + piece.span[1] - piece.span[0]
        back = _off_axis(piece.aft.shoulder)
        middle = (back[0] + across[0], back[1] + across[1])
    return tuple(shifts[number] for number in range(len(ends)))


def _shortest(
    cost: NDArray[np.float64],
    banned: Collection[tuple[int, int]] = frozenset(),
    number: NDArray[np.int64] | None = None,
) -> tuple[int, ...]:
    """Cheapest order through all pieces; ``number`` says whose each row is, where a piece has several."""
    own = list(range(len(cost))) if number is None else number.tolist()
    rows = cost.tolist()
    best: dict[tuple[int, int], tuple[float, tuple[int, ...]]] = {
        (1 << piece, one): (0.0, (one,)) for one, piece in enumerate(own)
    }
    whole = (1 << (max(own) + 1)) - 1
    for seen in range(1, whole):
        for last in range(len(own)):
            if (seen, last) not in best:
                continue
            so_far, path = best[seen, last]
            for after, piece in enumerate(own):
                if seen >> piece & 1 or (last, after) in banned:
                    continue
                key, total = (seen | 1 << piece, after), so_far + rows[last][after]
                if key not in best or total < best[key][0]:
                    best[key] = (total, (*path, after))
    ends = [best[whole, last] for last in range(len(own)) if (whole, last) in best]
    return min(ends)[1] if ends else ()


def _lead(cost: NDArray[np.float64], order: tuple[int, ...]) -> float:
    """How much dearer the best other order is."""
    own = _total(cost, order)
    others = [
        other
        for pair in itertools.pairwise(order)
        for other in _shortest_two(cost, pair)
        if other != order[::-1]
    ]
    return min((_total(cost, other) - own for other in others), default=np.inf)


def _shortest_two(cost: NDArray[np.float64], banned: tuple[int, int]) -> list[tuple[int, ...]]:
    """Cheapest order without a pair, and without that pair either way round."""
    back = (banned[1], banned[0])
    return [found for ban in ({banned}, {banned, back}) if (found := _shortest(cost, ban))]


def _total(cost: NDArray[np.float64], order: Sequence[int]) -> float:
    return float(sum(cost[one, two] for one, two in itertools.pairwise(order)))
