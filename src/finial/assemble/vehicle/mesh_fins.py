"""Fins that are part of a mesh: off the body, onto the list of fins."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from finial.files.sheet_body import FinEntry
from finial.shape.bodies import signed_volumes_m3
from finial.shape.fin_edges import EdgeBluntness, edge_bluntness
from finial.shape.fin_set import FinSet
from finial.shape.fin_split import THINNEST_BODY, SplitSkin, median_width_m, split_fins
from finial.shape.repair import Repaired
from finial.shape.skin import Skin
from finial.shape.thin_parts import ThinPart, bare_plates

_NO_VOLUME_M3 = 1e-12
_THICK = 0.30
"""Share of the body's width up to which something may still look like a fin [-]."""
_ALL_BODY = 0.235
"""Share of it from which that is all body: a little less, so that nothing changes where fins end [-]."""
_TOO_THICK = 0.45
"""Share of it up to which the pieces of something too thick for a fin are looked after [-]."""
_SURELY = 0.8
"""A plate thicker than this share of a limit is looked for with the next: near it roots stay behind [-]."""
_SQUARE = 0.4
"""Edges blunter than this are square: a sweep of 50 degrees leaves a square one so blunt [-]."""
_SAME_ROLL_RAD = np.radians(12.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class ThickPlates:
    """Plates too thick to be surely fins: they count as both."""

    body: Skin
    """The body with them in it."""
    fins: tuple[FinSet, ...]
    """The other fins."""
    share: float
    """How far they are body: none at a tenth of its width, all of it at nearly a quarter [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Parted:
    """A skin parted into body and fins."""

    body: Skin
    fins: tuple[FinSet, ...]
    thick: ThickPlates | None


def parted(skin: Skin, meshes: Sequence[Repaired], given: Sequence[FinEntry]) -> Parted:
    """Body alone, and the fins its meshes carry, but for those the sheet gives too.

    Plates without thickness are looked for where a mesh was mended or holds bodies without
    volume. What happened stands in the skin's notes.
    """
    doubtful = [part.mesh for part in meshes if part.notes or _has_empty_bodies(part)]
    thin = _split(skin, (THINNEST_BODY, _THICK, _TOO_THICK), bare_plates(doubtful, skin.sections))
    # Thicker than fins usually are: the sheet may say that they are fins; otherwise nobody knows.
    thick = _split(thin.body, (_THICK, _TOO_THICK))
    share = _share_of_body(thin.body, thick, given)
    named = [fin for fin in thick.fins if any(_same_place(fin, known) for known in given)]
    if (named and not thin.fins) or not share:
        thin, thick = _together(thin, thick), replace(thick, fins=())
    shapes = [part.mesh for part in meshes]
    sure = _not_given(thin.fins, given)
    odd = _not_given(thick.fins, given)
    notes = _notes(thin, thick, sure, odd)
    fins = tuple(
        _fin_set(fin, n, edge_bluntness(fin, shapes)) for n, fin in enumerate((*sure, *odd), start=1)
    )
    body = thick.body if odd else thin.body
    return Parted(
        body=replace(body, notes=(*skin.notes, *notes)),
        fins=fins,
        thick=ThickPlates(body=thin.body, fins=fins[: len(sure)], share=share) if odd else None,
    )


def _together(thin: SplitSkin, thick: SplitSkin) -> SplitSkin:
    """All of them as fins, off the body."""
    return replace(thick, fins=(*thin.fins, *thick.fins), notes=(*thin.notes, *thick.notes))


def _share_of_body(body: Skin, thick: SplitSkin, given: Sequence[FinEntry]) -> float:
    """How far the thickest plate that the sheet does not give is body."""
    odd = _not_given(thick.fins, given)
    pairs = zip(thick.fins, thick.thickest_m, strict=True)
    most = max((most for fin, most in pairs if any(fin is each for each in odd)), default=0.0)
    share = (most / median_width_m(body) - THINNEST_BODY) / (_ALL_BODY - THINNEST_BODY)
    return float(np.clip(share, 0.0, 1.0))


def _split(skin: Skin, limits: Sequence[float], plates: Sequence[ThinPart] = ()) -> SplitSkin:
    """Fins no thicker than the first of some shares of the width: pieces of thicker ones stay with them."""
    thinnest, *wider = limits
    found = split_fins(skin, plates, thinnest)
    if not found.fins:
        return found
    width, thicker = median_width_m(skin), list[FinSet]()
    for limit in wider:
        wide = split_fins(skin, plates, limit)
        pairs = list(zip(wide.fins, wide.thickest_m, strict=True))
        thicker += [fin for fin, most in pairs if most > _SURELY * thinnest * width]
        if pairs and all(most < _SURELY * limit * width for _, most in pairs):
            break
    return split_fins(skin, plates, thinnest, thicker) if thicker else found


def _not_given(fins: Sequence[FinSet], given: Sequence[FinEntry]) -> list[FinSet]:
    return [fin for fin in fins if not any(_same_place(fin, known) for known in given)]


def _notes(
    thin: SplitSkin, thick: SplitSkin, sure: Sequence[FinSet], odd: Sequence[FinSet]
) -> tuple[str, ...]:
    notes = list(thin.notes)
    if odd:
        count, most = sum(fin.count for fin in odd), max(thick.thickest_m)
        notes.append(
            f"{count} parts that stand out like fins, up to {1e3 * most:.0f} mm thick, count partly as fins "
            "and partly as body: if they are fins, give them under [[fin]]"
        )
    if len(sure) + len(odd) < len(thin.fins) + len(thick.fins):
        notes.append(
            "fins that the sheet gives under [[fin]] stand in the mesh too: they count once, as given"
        )
    return tuple(notes)


def _has_empty_bodies(part: Repaired) -> bool:
    return bool(np.abs(signed_volumes_m3(part.mesh, part.body_of_face)).min() < _NO_VOLUME_M3)


def _same_place(fin: FinSet, known: FinEntry) -> bool:
    """Whether a fin of the mesh stands where a set of the sheet has one."""
    start, length = known.station.value, max(along.value for along, _ in known.outline)
    overlap = fin.station_m < start + length and start < fin.station_m + float(fin.outline_m[:, 0].max())
    turns = 2.0 * np.pi * np.arange(known.count) / known.count
    off = np.angle(np.exp(1j * (fin.first_at_rad - known.first_at.value - turns)))
    return bool(overlap and np.abs(off).min() < _SAME_ROLL_RAD)


def _fin_set(fin: FinSet, number: int, edges: EdgeBluntness | None) -> FinSet:
    return replace(
        fin,
        name="fins in the mesh" if number == 1 else f"fins in the mesh, set {number}",
        square_edges=edges is None or edges.lead > _SQUARE,
        lead_blunt=edges and edges.lead,
        trail_blunt=edges and edges.trail,
    )
