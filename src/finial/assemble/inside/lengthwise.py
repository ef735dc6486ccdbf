"""The whole cut along its axis, as corners to draw true to scale."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from finial.assemble.inside.cavity import room_inside
from finial.assemble.inside.things import placed_things
from finial.assemble.vehicle.fins import fin_sets
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.assemble.vehicle.templates import Corners
from finial.inside.profile import cut_through, telling_roll, thing_cut
from finial.inside.things import Kind, Thing

_SMALL = (Kind.NUT, Kind.EYE)
"""Seen at the ends of their rods."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CutThing:
    """What stands inside and is cut by the plane, once for each name and span."""

    name: str
    span_m: tuple[float, float]
    across_m: float
    depth_m: float
    is_round: bool
    outlines_m: tuple[Corners, ...]
    """Aft of the tip, and away from the axis in the plane [m]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LengthwiseTemplate:
    """The vehicle cut along its axis at one roll angle."""

    name: str
    length_m: float
    roll_rad: float
    printed_m: tuple[Corners, ...]
    """Outlines of all that is printed, outer and inner [m]."""
    parts: tuple[tuple[str, float, float], ...]
    """Name, and the stations each outside part reaches from and to [m]."""
    things: tuple[CutThing, ...]
    """From the tip aft."""


def lengthwise_template(vehicle: LoadedVehicle) -> LengthwiseTemplate:
    """Cut the vehicle at the roll angle at which the plane meets the most things."""
    cavity = room_inside(vehicle)
    placed = placed_things(vehicle, fin_sets(vehicle), cavity)
    # What stands in for a motor that nobody has told yet is no motor.
    left_out = (*_SMALL, Kind.MOTOR) if "motor" in vehicle.files.missing else _SMALL
    things = [one.thing for one in placed if one.thing.kind not in left_out]
    roll = telling_roll(cavity, things)
    return LengthwiseTemplate(
        name=vehicle.sheet.vehicle.name,
        length_m=vehicle.skin.length_m,
        roll_rad=roll,
        printed_m=tuple(ring for row in cavity.printed for ring in _rings(cut_through(cavity, row, roll))),
        parts=tuple((part.spec.name, *part.span_m) for part in vehicle.parts if part.spec.outside),
        things=tuple(_cut(things, roll)),
    )


def _cut(things: Sequence[Thing], roll_rad: float) -> Iterator[CutThing]:
    # Rods of one set have one name and one span; two buttons have one name and a span each.
    alike: dict[tuple[str, float, float], list[Thing]] = {}
    for thing in sorted(things, key=lambda one: one.span_m):
        if not thing_cut(thing, roll_rad).is_empty:
            fore, aft = (round(end, 6) for end in thing.span_m)
            alike.setdefault((thing.name, fore, aft), []).append(thing)
    for (name, fore, aft), every in alike.items():
        yield CutThing(
            name=name,
            span_m=(fore, aft),
            across_m=every[0].across_m,
            depth_m=every[0].depth_m,
            is_round=every[0].is_round,
            outlines_m=tuple(ring for one in every for ring in _rings(thing_cut(one, roll_rad))),
        )


def _rings(region: Any) -> Iterator[Corners]:
    """Outer and inner outlines of a region, the first corner not repeated."""
    import shapely

    for piece in shapely.get_parts(region):
        if isinstance(piece, shapely.Polygon) and piece.area > 0.0:
            for ring in (piece.exterior, *piece.interiors):
                yield tuple((float(x), float(y)) for x, y in ring.coords[:-1])
