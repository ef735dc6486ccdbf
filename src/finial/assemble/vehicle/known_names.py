"""Names in the sheet that some table must have."""

from collections.abc import Callable, Iterable, Iterator
from difflib import get_close_matches
from functools import partial
from typing import Any

from finial.assemble.vehicle.materials import sheet_material
from finial.assemble.vehicle.strength_names import strength_names
from finial.atmosphere.wind import terrain_named
from finial.core.errors import Fault, MissingData
from finial.electronics.firing import igniter_kind
from finial.electronics.rates import switch_kinds
from finial.files.sheet import LoadedSheet, Sheet
from finial.files.sheet_recovery import RecoveryEntry
from finial.files.source import TomlSource
from finial.recovery.canopies.kinds import canopy_kind
from finial.recovery.cords.kinds import cord_named
from finial.recovery.joints.pins import pins_hold
from finial.structure.rods.threads import thread

Where = tuple[str | int, ...]
Named = tuple[Where, str, Callable[[str], Any]]
"""Where a name stands in the sheet, the name, and what looks it up in its table."""


def unknown_names(files: LoadedSheet, also: Iterable[Named] = ()) -> list[Fault]:
    """Find the names that no table has; ``also`` holds those that only later stages know."""
    source = files.source
    return [
        fault
        for where, name, look_up in (*_names(files.sheet), *also)
        if where[0] not in files.missing and (fault := unknown(source, where, name, look_up)) is not None
    ]


def _names(sheet: Sheet) -> Iterator[Named]:
    """Every name in the sheet that some table must have, where it stands, and how to look it up."""
    for table in ("part", "rod", "fin"):
        for index, record in enumerate(getattr(sheet, table)):
            yield (table, index, "material"), record.material, partial(sheet_material, sheet)
    for index, rod in enumerate(sheet.rod):
        yield ("rod", index, "thread"), rod.thread, thread
    yield from strength_names(sheet)
    yield ("launch", "terrain"), sheet.launch.terrain, terrain_named
    yield from _recovery_names(sheet, sheet.recovery)
    for index, switch in enumerate(sheet.electronics.switch):
        yield ("electronics", "switch", index, "kind"), switch.kind, switch_kind
    for index, igniter in enumerate(sheet.electronics.igniter):
        if igniter.kind:
            yield ("electronics", "igniter", index, "kind"), igniter.kind, igniter_kind


def _recovery_names(sheet: Sheet, recovery: RecoveryEntry) -> Iterator[Named]:
    stuff = partial(sheet_material, sheet)
    for index, canopy in enumerate(recovery.canopy):
        yield ("recovery", "canopy", index, "kind"), canopy.kind, canopy_kind
    for index, cord in enumerate(recovery.cord):
        if not (cord.breaking_load and cord.stretch_at_break):
            yield ("recovery", "cord", index, "material"), cord.material, cord_named
    for index, bay in enumerate(recovery.bay):
        if bay.material:
            yield ("recovery", "bay", index, "material"), bay.material, stuff
        if bay.lip and bay.lip.material:
            yield ("recovery", "bay", index, "lip", "material"), bay.lip.material, stuff
        if bay.lip and bay.lip.ring:
            yield ("recovery", "bay", index, "lip", "ring", "material"), bay.lip.ring.material, stuff
    for index, joint in enumerate(recovery.joint):
        if joint.pins:
            yield ("recovery", "joint", index, "pins", "screw"), joint.pins.screw, screw_named


def switch_kind(name: str) -> None:
    """Look a kind of switch up.

    Raises
    ------
    MissingData
        If the table has no such kind.
    """
    known = switch_kinds()
    if name.casefold() not in {one.casefold() for one in known}:
        raise MissingData(f"no kind of switch {name!r}: known are {', '.join(known)}", known)


def screw_named(name: str) -> None:
    """Look a shear pin's screw up.

    Raises
    ------
    MissingData
        If the table has no such screw.
    """
    pins_hold(name, 1)


def unknown(source: TomlSource, where: Where, name: str, look_up: Callable[[str], Any]) -> Fault | None:
    """Look a name up; return the fault of one that its table does not have."""
    try:
        look_up(name)
    except MissingData as error:
        close = get_close_matches(name.casefold(), [known.casefold() for known in error.known], n=1)
        meant = next((known for known in error.known if known.casefold() in close), None)
        slip = f'did you mean "{meant}"?' if meant else ""
        return source.fault(where, given=repr(name), accepted=str(error), likely_slip=slip)
    return None
