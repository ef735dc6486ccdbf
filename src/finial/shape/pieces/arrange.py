"""Pieces as exported, arranged as one vehicle: upright, on one another, inner ones told from outer ones."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from finial.core.frames import body_from_mesh
from finial.shape.mesh import Mesh
from finial.shape.pieces.outlines import span_of, turned
from finial.shape.pieces.stack import Stacked, stacked
from finial.shape.pieces.together import Together, WhyApart, together
from finial.shape.pieces.upright import Sign, Sureness, Upright, upright
from finial.shape.repair import Repaired

_LEVEL_M = 0.5e-3


class Placing(StrEnum):
    """Whether pieces stay where they were drawn, or are put on one another."""

    FOUND = "found"
    AS_DRAWN = "as drawn"
    STACKED = "stacked"


@dataclass(frozen=True, slots=True, kw_only=True)
class ToldPlacing:
    """What the builder says himself; what is left out is found."""

    up: str = ""
    placing: Placing = Placing.FOUND
    order: tuple[int, ...] | None = None
    """Numbers of the pieces, the foremost first."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Arranged:
    """How the pieces stand; equal only to itself."""

    upright: Upright
    inner: tuple[bool, ...]
    """Which lie inside others."""
    order: tuple[int, ...]
    """Numbers of the pieces by their fore ends, the foremost first."""
    moves_m: NDArray[np.float64]
    """What is added to each piece in mesh axes [m], shape (pieces, 3); nothing where they stay as drawn."""
    drawn: Together
    """How they stood as drawn."""
    stack: Stacked | None = None

    @property
    def stays(self) -> bool:
        """Whether every piece stays where it was drawn."""
        return not self.moves_m.any()

    @property
    def doubtful(self) -> bool:
        """Whether its builder must be asked how the pieces stand."""
        if self.stack is not None:
            return not self.stack.is_sure
        return self.drawn.apart is not None


def arranged(pieces: Sequence[Repaired], told: ToldPlacing | None = None) -> Arranged:
    """Find how pieces stand as one vehicle.

    Parameters
    ----------
    pieces : sequence of Repaired
        At least one piece in mesh axes, as exported [m].
    told : ToldPlacing, optional
        What is known already.

    Returns
    -------
    arranged : Arranged
        Axis, tip, order and moves [m]; doubtful where the builder must be asked.

    Raises
    ------
    OutsideRange
        If ``told.up`` is not a signed axis, or more than 12 pieces would have to be put in order.

    Notes
    -----
    Pieces that do not stand together are put on one another by themselves only where all begin, end or have
    their middle at one level, as exports at an origin of their own do. Else nothing is moved, and it is
    doubtful.

    References
    ----------
    .. [1] No published method.

    Examples
    --------
    >>> from finial.shape.repair import repaired
    >>> from finial.shape.tiers import Tier, tiers_mesh
    >>> low, top = (
    ...     repaired(tiers_mesh([Tier(sides=4, across_m=base, across_top_m=tip, height_m=0.3)]))
    ...     for base, tip in ((0.12, 0.1), (0.1, 0.02))
    ... )
    >>> found = arranged([low, top])
    >>> found.order, found.doubtful, found.upright.up, found.moves_m.round(3)[:, 0].tolist()
    ((1, 0), False, '+x', [-0.3, 0.0])
    """
    told = told or ToldPlacing()
    letter = told.up[-1:]
    first = told.up or upright(pieces, together=True, letter=letter).up
    drawn = together([turned(piece, first) for piece in pieces])
    if told.placing is Placing.AS_DRAWN:
        return _as_drawn(pieces, told, replace(drawn, apart=None))
    if drawn.apart is None and told.placing is Placing.FOUND:
        return _as_drawn(pieces, told, drawn)
    way = told.up or upright(pieces, together=False, letter=letter).up
    lying = [turned(piece, way) for piece in pieces]
    may_stack = drawn.apart is not WhyApart.NESTED and _level(lying)
    if told.placing is Placing.FOUND and not may_stack:
        return _as_drawn(pieces, told, drawn)
    return _stacked(pieces, told, (way, lying), drawn)


def _as_drawn(pieces: Sequence[Repaired], told: ToldPlacing, drawn: Together) -> Arranged:
    outer = [piece for piece, inside in zip(pieces, drawn.inner, strict=True) if not inside]
    found = _told_or_found(outer or pieces, told)
    return Arranged(
        upright=found,
        inner=drawn.inner,
        order=_by_station(pieces, found.up),
        moves_m=np.zeros((len(pieces), 3)),
        drawn=drawn,
    )


def _stacked(
    pieces: Sequence[Repaired], told: ToldPlacing, lying: tuple[str, Sequence[Repaired]], drawn: Together
) -> Arranged:
    way, turned_pieces = lying
    stack = stacked(turned_pieces, told.order)
    # Rows of the rotation are the body's axes in mesh axes: its transpose turns moves back.
    moves = np.array(stack.shifts_m) @ body_from_mesh(way)
    moves[np.abs(moves) < 1e-9] = 0.0
    placed = [moved(piece, move) for piece, move in zip(pieces, moves, strict=True)]
    found = _told_or_found(placed, replace(told, up=told.up or way[-1]))
    return Arranged(
        upright=found,
        inner=(False,) * len(pieces),
        order=_by_station(placed, found.up),
        moves_m=moves,
        drawn=drawn,
        stack=stack,
    )


def _told_or_found(pieces: Sequence[Repaired], told: ToldPlacing) -> Upright:
    """Way up as told; one that is only an axis leaves the end to be found."""
    if len(told.up) == 2:
        return Upright(up=told.up, axis=Sureness.SURE, tip=Sureness.SURE, signs=((Sign.TOLD, 1.0),))
    found = upright(pieces, together=True)
    if not told.up or found.up[-1] == told.up:
        return found
    return upright(pieces, together=True, letter=told.up)


def _by_station(pieces: Sequence[Repaired], up: str) -> tuple[int, ...]:
    spans = [span_of([turned(piece, up)]) for piece in pieces]
    return tuple(sorted(range(len(pieces)), key=lambda number: spans[number]))


def _level(lying: Sequence[Repaired]) -> bool:
    """Tell whether all pieces begin, end or have their middle at one level, as at origins of their own."""
    spans = np.array([span_of([piece]) for piece in lying])
    levels = np.column_stack([spans, spans.mean(axis=1)])
    return bool((np.ptp(levels, axis=0) < _LEVEL_M).any())


def moved(piece: Repaired, move_m: NDArray[np.float64]) -> Repaired:
    """Return a piece moved, never turned.

    Parameters
    ----------
    piece : Repaired
        The piece [m].
    move_m : ndarray, shape (3,)
        What is added to its corners [m].

    Returns
    -------
    moved : Repaired
        The piece in its new place [m].

    Notes
    -----
    Exact.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> from finial.shape.repair import repaired
    >>> from finial.shape.tiers import Tier, tiers_mesh
    >>> post = repaired(tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=1.0)]))
    >>> span_of([moved(post, np.array([-1.0, 0.0, 0.0]))])
    (1.0, 2.0)
    """
    mesh = Mesh(vertices_m=piece.mesh.vertices_m + move_m, faces=piece.mesh.faces)
    return replace(piece, mesh=mesh)
