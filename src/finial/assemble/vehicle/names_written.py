"""Names of a sheet that cannot be read yet: refused in the same go as its other faults, with their lists."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import replace
from typing import Any

from finial.assemble.vehicle.known_names import screw_named, switch_kind, unknown
from finial.atmosphere.wind import terrain_named
from finial.core.errors import Fault, MissingData
from finial.core.trees import is_list, is_table
from finial.electronics.firing import igniter_kind
from finial.files.sheet import Sheet
from finial.files.sheet_keys import KeyTable, KeyValue, table_of
from finial.files.source import TomlSource, dotted
from finial.files.toml_places import KeyPath
from finial.materials.glue import glue
from finial.materials.material import material
from finial.recovery.canopies.kinds import canopy_kind
from finial.recovery.cords.kinds import cord_named
from finial.structure.rods.threads import thread

LookUps = Mapping[str, Callable[[str], Any]]
"""What looks a name up, by what it is the name of."""
LOOK_UPS: LookUps = {
    "material": material,
    "glue": glue,
    "thread": thread,
    "shear pin": screw_named,
    "canopy kind": canopy_kind,
    "cord": cord_named,
    "switch kind": switch_kind,
    "igniter kind": igniter_kind,
    "terrain": terrain_named,
}
_OWN_CORD = frozenset({"breaking_load", "stretch_at_break"})
"""With both of them a cord needs no table."""


def in_full(source: TomlSource, faults: Iterable[Fault], above: LookUps) -> list[Fault]:
    """Return the faults, those of unknown names among them, each with the list of what is accepted.

    Parameters
    ----------
    source : TomlSource
        The sheet as written.
    faults : iterable of Fault
        What was found in it already.
    above : mapping
        Names that only later stages can look up.
    """
    look_ups = {**LOOK_UPS, **above}
    places = list(_places((), source.values, table_of(Sheet)))
    lists = {dotted(where): look_ups[what] for where, _, what in places if what in look_ups}
    told = [_with_list(fault, lists) for fault in faults]
    known = {(fault.file, fault.field) for fault in told}
    own = {str(entry.get("name")).strip().casefold() for entry in _entries(source.values.get("material"))}
    named = [
        unknown(source, where, given, look_ups[what])
        for where, given, what in places
        if isinstance(given, str) and what in look_ups
        if not (what == "material" and given.strip().casefold() in own)
    ]
    return told + [one for one in named if one is not None and (one.file, one.field) not in known]


def _with_list(fault: Fault, lists: LookUps) -> Fault:
    """Put the list of a table in the place of a mere kind of value."""
    look_up = lists.get(fault.field)
    if look_up is None or fault.given != "nothing":
        return fault
    try:
        look_up("")
    except MissingData as error:
        return replace(fault, accepted="one of " + ", ".join(f'"{one}"' for one in error.known))
    return fault


def _places(where: KeyPath, given: Any, table: KeyTable) -> Iterator[tuple[KeyPath, object, str]]:
    """Walk every place for the name of a row, written or left out: where, what stands there, of what."""
    for key in table.keys if is_table(given) else ():
        if key.value.names == "cord" and set(given) >= _OWN_CORD:
            continue
        yield from _at((*where, key.name), given.get(key.name), key.value)


def _at(where: KeyPath, given: object, value: KeyValue) -> Iterator[tuple[KeyPath, object, str]]:
    if value.names:
        yield where, given, value.names
    if value.table:
        yield from _places(where, given, value.table)
    if is_list(given) and len(value.entries) == 1:
        for index, one in enumerate(given):
            yield from _at((*where, index), one, value.entries[0])


def _entries(given: object) -> list[dict[str, Any]]:
    return [one for one in given if is_table(one)] if is_list(given) else []
