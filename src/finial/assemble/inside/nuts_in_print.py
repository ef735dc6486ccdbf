"""Nuts of rods that the print leaves no way to: nobody can put them there, or tighten them."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from finial.assemble.inside.placed import Placed
from finial.assemble.inside.results import BuriedNut
from finial.assemble.vehicle.rods import rod_name
from finial.core.kept_parts import kept
from finial.files.sheet import Sheet
from finial.files.sheet_body import RodEntry
from finial.inside.cavity import Cavity
from finial.inside.room import WallGap, wall_gap
from finial.inside.things import Kind, Thing

COUNTERBORE_M = 25e-3
"""How deep a nut may stand in a hole that nobody drew [m]; common practice."""
STEP_M = 2.5e-3
"""How finely that hole is followed outward [m]."""
MOSTLY_IN = 0.75
"""A nut that reaches into free room by less than a quarter of its width stands in print all round [-]: its
depth there, of its width; a judgement of this project."""


def buried_nuts(sheet: Sheet, placed: Sequence[Placed], cavity: Cavity) -> tuple[BuriedNut, ...]:
    """Nuts that stand in print all round, from which no counterbore along the rod comes out.

    One of each end of each set is told.
    """
    found = (
        buried
        for rod in sheet.rod
        for thing in _ends(rod_name(rod), placed)
        if (buried := _buried(rod, thing, cavity)) is not None
    )
    told: dict[tuple[str, float], BuriedNut] = {}
    for one in found:
        told.setdefault((one.rods, one.station_m), one)
    return tuple(told.values())


def _ends(name: str, placed: Sequence[Placed]) -> Iterator[Thing]:
    """Nuts of one set of rods."""
    wanted = f"nuts of {name}"
    return (one.thing for one in placed if one.thing.kind is Kind.NUT and one.thing.name == wanted)


# On the page rods and prints stay, whatever moves.
@kept(64)
def _buried(rod: RodEntry, nut: Thing, cavity: Cavity) -> BuriedNut | None:
    met = _gap(replace(nut, kind=Kind.OTHER), cavity)
    if met.outside or met.gap_m > -MOSTLY_IN * nut.across_m:
        return None
    fore, aft = (end.value for end in rod.stations)
    ahead = abs(nut.middle_m - fore) < abs(nut.middle_m - aft)
    end_m, outward = (fore, -1.0) if ahead else (aft, 1.0)
    if _is_open(nut, met.wall, (end_m, outward), cavity):
        return None
    return BuriedNut(rods=rod_name(rod), part=met.wall, station_m=end_m)


def _is_open(nut: Thing, part: str, way: tuple[float, float], cavity: Cavity) -> bool:
    """Whether a counterbore along the rod, outward from its end, comes out of its part: others come later."""
    end_m, outward = way
    probes = (end_m + outward * step * STEP_M for step in range(1 + round(COUNTERBORE_M / STEP_M)))
    return any(_is_free(nut, part, station_m, cavity) for station_m in probes)


def _is_free(nut: Thing, part: str, station_m: float, cavity: Cavity) -> bool:
    """Whether there is no print of a part at a station on the axis of a nut."""
    if not 0.0 < station_m < cavity.length_m:
        return True
    probe = replace(nut, kind=Kind.OTHER, middle_m=station_m, length_m=STEP_M / 5, across_m=STEP_M / 5)
    met = _gap(probe, cavity)
    return met.outside or met.gap_m >= 0.0 or met.wall != part


@kept(256)
def _gap(nut: Thing, cavity: Cavity) -> WallGap:
    return wall_gap(nut, cavity)
