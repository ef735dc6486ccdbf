"""What touches nothing, and of which the sheet does not say what holds it."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from finial.assemble.inside.placed import Placed
from finial.assemble.inside.results import Loose, Meeting
from finial.files.sheet import Sheet
from finial.files.sheet_body import ItemEntry
from finial.inside.clearance import gap_between
from finial.inside.things import Kind, Thing

_HOLD_NOTHING = frozenset({Kind.BAY, Kind.PACK, Kind.MOTOR, Kind.NUT, Kind.EYE, Kind.SCREW})
"""What is no hold for what stands beside it: room, cloth, what slides, ends of what holds something else."""
_RUN_THROUGH = frozenset({Kind.ROD, Kind.SCREW})
NEAR_M = 0.05
"""A ledge, a bracket or a screw reaches so far from what it is fixed to [m]; a judgement of this project."""


def loose_things(
    sheet: Sheet,
    placed: Sequence[Placed],
    meetings: Sequence[Meeting],
    spans_m: Mapping[str, tuple[float, float]],
) -> tuple[Loose, ...]:
    """Items and motors' tubes that nothing is said to hold, each with the room to what stands nearest.

    What is said to be held by something out of reach is held by nothing; ``spans_m`` are the stations [m]
    at which each part begins and ends. Glue and a tight fit hold by touching: those are asked what is near.
    """
    things = [one.thing for one in placed]
    far = {item.name for item in sheet.item if item.held_by and not _is_near(item, things, spans_m)}
    said = {item.name for item in sheet.item if _is_said(item, item.name not in far)}
    far |= {item.name for item in sheet.item if _is_joined(item)} - said
    own = {item.name for item in sheet.item} - said
    asked = [
        one
        for one in things
        if one.name in own
        or (one.kind is Kind.MOTOR_TUBE and sheet.motor.tube is None and not one.pressed_in_m)
    ]
    kinds = {one.name: one.kind for one in things}
    glued = {item.name for item in sheet.item if item.glue is not None} - said
    return tuple(
        replace(_loose(one, meetings, kinds), out_of_reach=one.name in far, glued=one.name in glued)
        for one in asked
        if not _is_pierced(one, things)
    )


def _is_near(item: ItemEntry, things: Sequence[Thing], spans_m: Mapping[str, tuple[float, float]]) -> bool:
    """Whether something that is said to hold an item stands within reach; what has no place is taken to."""
    own = next((one for one in things if one.name == item.name), None)
    return own is None or any(_reaches(own, name, things, spans_m) for name in item.held_by)


def _reaches(
    own: Thing, holder: str, things: Sequence[Thing], spans_m: Mapping[str, tuple[float, float]]
) -> bool:
    if holder in spans_m:
        fore, aft = spans_m[holder]
        start, end = own.span_m
        return fore - NEAR_M <= end and start <= aft + NEAR_M
    beside = [one for one in things if one.name == holder]
    return not beside or any(gap_between(own, one).gap_m <= NEAR_M for one in beside)


def _is_said(item: ItemEntry, is_near: bool) -> bool:
    """Whether the sheet says what holds an item, wherever it is: a test, print round it, neighbours."""
    held_by = item.held_by if is_near else ()
    holds = (held_by, item.holds, item.passes)
    return any(holds) or item.put_in == "while printing" or item.kind == "screw"


def _is_joined(item: ItemEntry) -> bool:
    """Whether the sheet says that glue or a tight fit holds an item to what it touches."""
    return item.glue is not None or item.pressed_in.value > 0.0


def _is_pierced(thing: Thing, things: Sequence[Thing]) -> bool:
    """Whether a rod or a screw runs through it."""
    fore, aft = thing.span_m
    return any(
        gap_between(thing, other).gap_m < 0.0
        for other in things
        if other.kind in _RUN_THROUGH and other.name != thing.name and _beside(other, fore, aft)
    )


def _beside(thing: Thing, fore_m: float, aft_m: float) -> bool:
    start, end = thing.span_m
    return start <= aft_m and end >= fore_m


def _loose(thing: Thing, meetings: Sequence[Meeting], kinds: dict[str, Kind]) -> Loose:
    beside = [
        met
        for met in meetings
        if thing.name in (met.first, met.second) and kinds.get(_other(met, thing)) not in _HOLD_NOTHING
    ]
    nearest = min(beside, key=lambda met: met.gap.value, default=None)
    return Loose(
        thing=thing.name,
        station_m=thing.middle_m,
        gap=nearest.gap if nearest else None,
        beside=_other(nearest, thing) if nearest else "",
    )


def _other(met: Meeting, thing: Thing) -> str:
    return met.second if met.first == thing.name else met.first
