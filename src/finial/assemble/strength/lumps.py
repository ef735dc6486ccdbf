"""Mass of the vehicle along its axis, for loads that inertia balances."""

from collections.abc import Sequence

import numpy as np

from finial.assemble.mass.rows import Row
from finial.shape.skin import Skin
from finial.structure.loads.masses import Lumps, joined, leaning_bar, lumps
from finial.structure.walls.torsion import RollLumps

PART_LUMPS = 16


def body_lumps(skin: Skin, rows: Sequence[Row]) -> Lumps:
    """Every row as lumps over its own span, or as a point."""
    return joined([_row_lumps(skin, row) for row in rows])


def half_of(body: Lumps, station_m: float, sign: float) -> Lumps | None:
    """Lumps ahead of a joint (``sign`` +1) or behind it; ``None`` for one that has no length to bend over."""
    side = (body.stations_m < station_m) == (sign > 0)
    if len(np.unique(body.stations_m[side])) < 2:
        return None
    return Lumps(
        stations_m=body.stations_m[side],
        masses_kg=body.masses_kg[side],
        rotary_kg_m2=body.rotary_kg_m2[side],
        offsets_m=body.offsets_m[side],
    )


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


def _row_lumps(skin: Skin, row: Row) -> Lumps:
    span = row.span_m
    if span is None or span[1] - span[0] < 1e-3:
        return lumps([row.station.value], [row.body.mass_kg])
    if row.kind == "part":
        return _shell_lumps(skin, row.body.mass_kg, span)
    return leaning_bar(row.body.mass_kg, *span, row.station.value, count=12)


def _shell_lumps(skin: Skin, mass_kg: float, span: tuple[float, float]) -> Lumps:
    """Mass of a printed part where its walls are: in proportion to the outline's length."""
    edges = np.linspace(*span, PART_LUMPS + 1)
    middles = (edges[:-1] + edges[1:]) / 2
    outlines = np.interp(middles, skin.stations_m, [section.perimeter_m for section in skin.sections])
    shares = outlines / outlines.sum() if outlines.sum() > 0 else np.full(PART_LUMPS, 1 / PART_LUMPS)
    return lumps(middles, mass_kg * shares)
