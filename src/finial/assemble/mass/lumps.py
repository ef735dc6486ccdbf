"""Mass of the vehicle along its axis, as lumps: for every balance, every half and every load."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np

from finial.assemble.mass.rows import Row
from finial.core.estimates import Estimate, total
from finial.core.kept_parts import kept
from finial.mass.lumps import Lumps, joined, leaning_bar, lumps, share_ahead, split
from finial.shape.skin import Skin
from finial.structure.walls.torsion import RollLumps

PART_LUMPS = 16


def body_lumps(skin: Skin, rows: Sequence[Row]) -> Lumps:
    """Every row as lumps over its own span, or as a point."""
    return joined([row_lumps(skin, row) for row in rows])


def masses_between(skin: Skin, rows: Sequence[Row], cuts_m: Sequence[float]) -> tuple[Estimate, ...]:
    """Masses of the pieces that cuts leave [kg], fore to aft, each the sum of its shares of the rows."""
    pieces: list[list[Estimate]] = [[] for _ in range(len(cuts_m) + 1)]
    for row in rows:
        shares = _shares(skin, row.kind == "part", row.span_m, row.station.value, tuple(sorted(cuts_m)))
        for piece, share in zip(pieces, shares, strict=True):
            piece.append(row.mass.scaled(share))
    return tuple(total(piece, method="rows of the mass table, each where it lies") for piece in pieces)


@kept(512)
def _shares(
    skin: Skin,
    is_shell: bool,
    span: tuple[float, float] | None,
    station_m: float,
    cuts_m: tuple[float, ...],
) -> tuple[float, ...]:
    """Shares of a row's mass in the pieces that cuts leave, fore to aft: however much it weighs."""
    along = _kilogram(skin, is_shell, span, station_m)
    ahead = [0.0, *(share_ahead(along, cut) for cut in cuts_m), 1.0]
    return tuple(end - start for start, end in pairwise(ahead))


def half_of(body: Lumps, station_m: float, sign: float) -> Lumps | None:
    """Lumps ahead of a joint or behind it; ``None`` for one that has no length to bend over.

    Parameters
    ----------
    body : Lumps
        The whole.
    station_m : float
        Station of the joint [m].
    sign : float
        Above 0 the half ahead, else the half behind [-].

    Returns
    -------
    half : Lumps or None
        Its lumps.
    """
    half = split(body, station_m)[0 if sign > 0 else 1]
    return None if half is None or len(np.unique(half.stations_m)) < 2 else half


def roll_lumps(rows: Sequence[Row], ends_m: tuple[float, float]) -> RollLumps | None:
    """Inertia about the axis of every row between two stations; ``None`` where there is none."""
    fore, aft = ends_m
    inside = [row for row in rows if fore <= row.station.value <= aft]
    about = [_about_axis(row) for row in inside]
    if sum(about) <= 0:
        return None
    return RollLumps(
        stations_m=np.array([row.station.value for row in inside]), inertias_kg_m2=np.array(about)
    )


def _about_axis(row: Row) -> float:
    body = row.body
    return float(body.inertia_kg_m2[0, 0] + body.mass_kg * np.sum(body.centre_m[1:] ** 2))


# Every balance, half and load case of one answer asks for the same rows.
@kept(256)
def row_lumps(skin: Skin, row: Row) -> Lumps:
    """One row over its own span, or as a point: walls by the outline, all else so that it balances."""
    alike, mass_kg = _kilogram(skin, row.kind == "part", row.span_m, row.station.value), row.body.mass_kg
    return replace(alike, masses_kg=mass_kg * alike.masses_kg, rotary_kg_m2=mass_kg * alike.rotary_kg_m2)


# Where the whole was weighed every row is made anew, of another mass: how it lies stays.
@kept(256)
def _kilogram(skin: Skin, is_shell: bool, span: tuple[float, float] | None, station_m: float) -> Lumps:
    """Lumps of a row that lies so, if it weighed 1 kg."""
    if span is None or span[1] - span[0] < 1e-3:
        return lumps([station_m], [1.0])
    return _shell_lumps(skin, span) if is_shell else leaning_bar(1.0, *span, station_m, count=12)


def _shell_lumps(skin: Skin, span: tuple[float, float]) -> Lumps:
    """Mass of a printed part where its walls are: in proportion to the outline's length."""
    edges = np.linspace(*span, PART_LUMPS + 1)
    middles = (edges[:-1] + edges[1:]) / 2
    outlines = np.interp(middles, skin.stations_m, skin.perimeters_m)
    shares = outlines / outlines.sum() if outlines.sum() > 0 else np.full(PART_LUMPS, 1 / PART_LUMPS)
    return lumps(middles, shares, cells_m=edges[1] - edges[0])
