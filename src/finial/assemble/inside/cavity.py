"""The printed parts of a sheet as the inside sees them, cut once however often anything else changes."""

import math
from dataclasses import dataclass, field, replace

from finial.assemble.vehicle.loading import LoadedVehicle, PlacedPart
from finial.assemble.vehicle.materials import walls_of
from finial.core.kept_parts import kept
from finial.files.fields import across_m
from finial.files.sheet_body import BoreEntry, PartEntry
from finial.inside.cavity import Cavity, Printed, cavity_of
from finial.inside.things import Kind, Thing
from finial.shape.skin import Skin
from finial.shape.stations import ONE_STEP_M


@dataclass(frozen=True, slots=True, kw_only=True)
class _Drawn:
    """What the room inside depends on; ballast, fins and motors are not among it."""

    skin: Skin
    parts: tuple[PlacedPart, ...]
    entries: tuple[PartEntry, ...]
    vehicle: LoadedVehicle = field(compare=False)


def room_inside(vehicle: LoadedVehicle) -> Cavity:
    """Skin, print and room of a vehicle."""
    drawn = _Drawn(skin=vehicle.skin, parts=vehicle.parts, entries=vehicle.sheet.part, vehicle=vehicle)
    return _room(drawn)


@kept(4)
def _room(drawn: _Drawn) -> Cavity:
    parts = [_printed(part, entry) for part, entry in zip(drawn.parts, drawn.entries, strict=True)]
    return cavity_of(parts, drawn.skin)


def _printed(part: PlacedPart, entry: PartEntry) -> Printed:
    bare = Printed(name=entry.name, mended=part.mended, outside=entry.outside, walls=walls_of(entry))
    return replace(bare, bores=tuple(_bore(entry, bore, bare.span_m) for bore in entry.bores))


def _bore(entry: PartEntry, bore: BoreEntry, span_m: tuple[float, float]) -> Thing:
    """Return a hole that is said, as the room it gives; one that ends just short of its part goes through."""
    fore, aft = (
        edge if abs(end.value - edge) < ONE_STEP_M else end.value
        for end, edge in zip(bore.stations, span_m, strict=True)
    )
    sides = [side.value for side in bore.sides] if bore.sides else []
    return Thing(
        name=f"hole in {entry.name}",
        kind=Kind.OTHER,
        middle_m=(fore + aft) / 2,
        length_m=(aft - fore) / math.cos(bore.tilt.value),
        across_m=sides[0] if sides else (bore.across.value if bore.across else 0.0),
        depth_m=sides[1] if sides else 0.0,
        offset_m=across_m(bore.offset),
        tilt_rad=bore.tilt.value,
        toward_rad=bore.toward.value,
        roll_rad=bore.turned.value,
    )
