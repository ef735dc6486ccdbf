"""What touches nothing, and of which the sheet does not say what holds it."""

from collections.abc import Sequence

from finial.assemble.inside.placed import Placed
from finial.assemble.inside.results import Loose, Meeting
from finial.files.sheet import Sheet
from finial.files.sheet_body import ItemEntry
from finial.inside.clearance import gap_between
from finial.inside.things import Kind, Thing

_HOLD_NOTHING = frozenset({Kind.BAY, Kind.PACK, Kind.MOTOR, Kind.NUT, Kind.EYE, Kind.SCREW})
"""What is no hold for what stands beside it: room, cloth, what slides, ends of what holds something else."""
_RUN_THROUGH = frozenset({Kind.ROD, Kind.SCREW})


def loose_things(sheet: Sheet, placed: Sequence[Placed], meetings: Sequence[Meeting]) -> tuple[Loose, ...]:
    """Items and motors' tubes that nothing is said to hold, each with the room to what stands nearest."""
    things = [one.thing for one in placed]
    said = {item.name for item in sheet.item if _is_said(item)}
    own = {item.name for item in sheet.item} - said
    asked = [
        one
        for one in things
        if one.name in own
        or (one.kind is Kind.MOTOR_TUBE and sheet.motor.tube is None and not one.pressed_in_m)
    ]
    kinds = {one.name: one.kind for one in things}
    return tuple(_loose(one, meetings, kinds) for one in asked if not _is_pierced(one, things))


def _is_said(item: ItemEntry) -> bool:
    """Whether the sheet says what holds an item: glue, a seat, a tight fit, print round it, neighbours."""
    holds = (item.held_by, item.glue, item.holds, item.pressed_in.value, item.passes)
    return any(holds) or item.put_in == "while printing" or item.kind == "screw"


def _is_pierced(thing: Thing, things: Sequence[Thing]) -> bool:
    """Whether a rod or a screw runs through it."""
    return any(
        gap_between(thing, other).gap_m < 0.0
        for other in things
        if other.kind in _RUN_THROUGH and other.name != thing.name
    )


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
