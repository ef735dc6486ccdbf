# pyright: reportUnknownMemberType=false
# The types of shapely's functions leave their keywords open.
"""Which axis of its meshes points to the tip: how sure, and what says so."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

import numpy as np
from numpy.typing import NDArray

from finial.shape.pieces.outlines import Outlines, evenly, outlines_of, span_of, turned
from finial.shape.repair import Repaired

_LETTERS = ("x", "y", "z")
_CUTS = 24
_SURE_AXIS, _LIKELY_AXIS = 0.8, 0.3
_SURE_TIP, _LIKELY_TIP = 1.4, 0.6
"""Leads from which an axis, or an end, counts as sure or likely [-]; tried on plain and odd shapes."""
_ROUND_WEIGHT, _ROUND_POWER, _DRAWN_UPRIGHT = 3.0, 4, 0.3
_STANDING = 0.5
_FINNED = 0.35
"""A section less compact than this shows plates that stand out; a square has 0.785 [-]."""
_BORE_M = 9e-3
"""Least radius of a bore that a motor may go into [m]: of 18 mm, the smallest common one."""
_BORE_WEIGHT = _FIN_WEIGHT = 1.5
_LEAST_DEPTH = 0.06
_SAYS = 0.1
"""A sign that weighs less than this says nothing [-]."""
_END_SHARE = 0.2


class Sureness(StrEnum):
    """How far something recognised may be trusted."""

    SURE = "sure"
    LIKELY = "likely"
    UNSURE = "unsure"


class Sign(StrEnum):
    """What speaks for an axis or an end."""

    LONG = "longest that way"
    EVEN_ROUND = "sections as wide one way as the other"
    UPRIGHT = "drawn upright"
    NARROW = "narrow end"
    BORE = "bore at the other end"
    PLATES = "plates at the other end"
    TOLD = "told"


@dataclass(frozen=True, slots=True, kw_only=True)
class Upright:
    """One of the six ways a vehicle may stand, and what speaks for it."""

    up: str
    axis: Sureness
    tip: Sureness
    signs: tuple[tuple[Sign, float], ...]
    """What speaks for it, each with its number: how many times as long [-], shares [-], areas [-]."""
    against: tuple[Sign, ...] = ()
    """What speaks for the other end."""

    @property
    def sureness(self) -> Sureness:
        """The weaker of axis and tip."""
        order = list(Sureness)
        return max(self.axis, self.tip, key=order.index)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Axis:
    letter: str
    slender: float
    even: float

    @property
    def score(self) -> float:
        drawn = _DRAWN_UPRIGHT if self.letter == "z" else 0.0
        return (
            float(np.clip(math.log2(self.slender), -1.0, 1.0))
            + _ROUND_WEIGHT * self.even**_ROUND_POWER
            + drawn
        )


def upright(pieces: Sequence[Repaired], *, together: bool, letter: str = "") -> Upright:
    """Find which mesh axis points to the tip.

    Parameters
    ----------
    pieces : sequence of Repaired
        The outside pieces in mesh axes [m].
    together : bool
        Whether they stand together as drawn: their axis is that of the whole, else of each for itself.
    letter : str
        The axis where it is known, x, y or z.

    Returns
    -------
    upright : Upright
        The best of the six ways, how sure, and why.

    Notes
    -----
    The axis is that along which the shape is longest and its sections are as wide one way as the other.
    The tip is the narrow end, away from a bore that a motor may go into and from plates that stand out.
    A shape without any of these is unsure: ask its builder. So is one that was drawn upside down, unless two
    signs say so, and one whose tip would have the bore. Weights were chosen on shapes like the examples.

    References
    ----------
    .. [1] No published method.

    Examples
    --------
    >>> from finial.shape.repair import repaired
    >>> from finial.shape.tiers import Tier, tiers_mesh
    >>> spire = repaired(tiers_mesh([Tier(sides=8, across_m=0.1, across_top_m=0.02, height_m=0.6)]))
    >>> found = upright([spire], together=True)
    >>> found.up, found.sureness.value
    ('+x', 'sure')
    """
    groups = [list(pieces)] if together else [[piece] for piece in pieces]
    ranked = sorted((_axis(groups, one) for one in _LETTERS), key=lambda one: -one.score)
    best = next((one for one in ranked if one.letter == letter), ranked[0])
    lead = ranked[0].score - ranked[1].score
    sure = Sureness.SURE if letter else _sureness(lead, _SURE_AXIS, _LIKELY_AXIS)
    signs = [(Sign.LONG, best.slender)] if best.slender > 1.0 else []
    signs += [(Sign.EVEN_ROUND, best.even)] if best.even > 0.8 else []
    score, tip_signs, against = _tip(groups, best.letter)
    up = ("+" if score >= 0.0 else "-") + best.letter
    return Upright(
        up=up,
        axis=sure,
        tip=Sureness.UNSURE if Sign.BORE in against else _tip_sureness(up, score, len(tip_signs)),
        signs=(*signs, *tip_signs),
        against=against,
    )


def _tip_sureness(up: str, score: float, signs: int) -> Sureness:
    """Tell how sure an end is: one that was drawn downwards needs two signs, and is never quite sure."""
    found = _sureness(abs(score), _SURE_TIP, _LIKELY_TIP)
    if up != "-z":
        return found
    return Sureness.UNSURE if signs < 2 or found is Sureness.UNSURE else Sureness.LIKELY


def _sureness(lead: float, sure: float, likely: float) -> Sureness:
    if lead >= sure:
        return Sureness.SURE
    return Sureness.LIKELY if lead >= likely else Sureness.UNSURE


def _axis(groups: Sequence[Sequence[Repaired]], letter: str) -> _Axis:
    """Judge an axis by each group of pieces, the larger ones counting more."""
    found = [_axis_of(group, letter) for group in groups]
    weights = np.array([one[2] for one in found])
    slender, even = (np.array([one[k] for one in found]) for k in (0, 1))
    return _Axis(
        letter=letter,
        slender=float(np.exp(np.average(np.log(slender), weights=weights))),
        even=float(np.average(even, weights=weights)),
    )


def _axis_of(pieces: Sequence[Repaired], letter: str) -> tuple[float, float, float]:
    corners = np.concatenate([piece.mesh.vertices_m for piece in pieces])
    sides: NDArray[np.float64] = np.ptp(corners, axis=0)
    number = _LETTERS.index(letter)
    slender = float(sides[number] / np.delete(sides, number).max())
    even = [_evenness(region) for region in _cut(pieces, f"+{letter}").filled if not region.is_empty]
    return slender, float(np.median(even)) if even else 0.0, float(np.prod(sides))


def _cut(pieces: Sequence[Repaired], up: str) -> Outlines:
    lying = [turned(piece, up) for piece in pieces]
    return outlines_of(lying, evenly(*span_of(lying), _CUTS))


def _evenness(region: Any) -> float:
    """Ratio of the lesser to the greater principal second moment of the largest outline [-]."""
    import shapely

    largest = max(shapely.get_parts(region), key=lambda part: float(part.area))
    corners = shapely.get_coordinates(largest.exterior)
    y, z = (corners - corners.mean(axis=0)).T
    cross = y[:-1] * z[1:] - y[1:] * z[:-1]
    area = cross.sum() / 2
    middle = np.array([((a[:-1] + a[1:]) * cross).sum() for a in (y, z)]) / (6 * area)
    yy, zz = (((a[:-1] ** 2 + a[:-1] * a[1:] + a[1:] ** 2) * cross).sum() / 12 for a in (y, z))
    yz = ((y[:-1] * z[1:] + 2 * y[:-1] * z[:-1] + 2 * y[1:] * z[1:] + y[1:] * z[:-1]) * cross).sum() / 24
    about = np.array([[yy, yz], [yz, zz]]) / area - np.outer(middle, middle)
    lesser, greater = np.linalg.eigvalsh(about)
    return float(max(lesser, 0.0) / greater) if greater > 0.0 else 0.0


def _tip(
    groups: Sequence[Sequence[Repaired]], letter: str
) -> tuple[float, tuple[tuple[Sign, float], ...], tuple[Sign, ...]]:
    """How much more speaks for the tip at the plus end than at the minus end, what, and what against it."""
    found = [_tip_of(_cut(group, f"+{letter}")) for group in groups]
    sizes = np.array([_box_m3(group) for group in groups])
    weights = (sizes / sizes.sum()).tolist()
    every = {
        sign: float(sum(weight * one[sign] for weight, one in zip(weights, found, strict=True)))
        for sign in found[0]
    }
    every[Sign.UPRIGHT] = _STANDING if letter == "z" else 0.0
    score = sum(every.values())
    sense = 1.0 if score >= 0.0 else -1.0
    weighed = [(sign, sense * value) for sign, value in every.items()]
    return (
        score,
        tuple((sign, value) for sign, value in weighed if value > _SAYS),
        tuple(sign for sign, value in weighed if value < -_SAYS),
    )


def _box_m3(pieces: Sequence[Repaired]) -> float:
    """Volume of the box round pieces [m^3]."""
    corners = np.concatenate([piece.mesh.vertices_m for piece in pieces])
    sides: NDArray[np.float64] = np.ptp(corners, axis=0)
    return float(np.prod(sides))


def _tip_of(cut: Outlines) -> dict[Sign, float]:
    """Weigh what speaks for the fore end of one cut shape; negative for its aft end."""
    import shapely

    area, rim = shapely.area(cut.filled), shapely.length(cut.filled)
    compact = 4 * math.pi * area / np.maximum(rim**2, 1e-12)
    length = cut.stations_m - cut.stations_m[0]
    share = length / length[-1]
    finned = (compact < _FINNED) & (area > 0.0)
    plain = ~finned & (area > 0.0)
    fore, aft = (plain & (share <= _END_SHARE), plain & (share >= 1.0 - _END_SHARE))
    narrow = math.log2(area[aft].mean() / area[fore].mean()) if fore.any() and aft.any() else 0.0
    plates = float(2 * share[finned].mean() - 1) if finned.any() else 0.0
    return {
        Sign.NARROW: float(np.clip(narrow, -2.0, 2.0)),
        Sign.BORE: _BORE_WEIGHT * (_bore(cut, -1) - _bore(cut, 1)),
        Sign.PLATES: _FIN_WEIGHT * float(np.sign(plates)) if abs(plates) > 0.2 else 0.0,
    }


def _bore(cut: Outlines, way: int) -> float:
    """1 where a bore is open at an end and reaches in, else 0; ``way`` -1 looks from the aft end."""
    order = range(len(cut.stations_m))[:: 1 if way > 0 else -1]
    end = cut.filled[order[0]]
    if end.is_empty:
        return 0.0
    middle: Any = end.centroid
    free = 0
    for k in order:
        if not cut.filled[k].contains(middle) or middle.distance(cut.solid[k]) < _BORE_M:
            break
        free += 1
    return float(free >= max(2, _LEAST_DEPTH * len(cut.stations_m)))
