"""Sizes of one thing of which one must lie within another, and keys beside others that nothing would read."""

from collections.abc import Iterator
from typing import Any

from finial.core.errors import Fault
from finial.core.trees import is_list, is_table
from finial.files.sheet_rules import length_or_none, tables
from finial.files.source import TomlSource
from finial.files.toml_places import KeyPath

FIXING_READS = {
    "stiff": frozenset[str](),
    "fillet": frozenset({"depth", "wall", "width", "material"}),
    "slot": frozenset({"depth", "wall", "width", "material"}),
    "tab": frozenset({"depth"}),
    "bolts": frozenset({"bolts", "washer"}),
}
"""Keys of a fin's fixing that its kind is computed with; glue is asked for all of them."""
_FIXING_KEYS = ("depth", "wall", "width", "material", "bolts", "washer")
_SAME_SHARE = 0.1
"""How far one diameter may be off another of the same tube [-]: paint, sleeves, a caliper."""
_ROUNDED_M = 1e-9


def faults_of_sizes(source: TomlSource) -> Iterator[Fault]:
    """Find sizes that do not go into each other, and keys that would be read and dropped."""
    yield from _fixings(source)
    yield from _mouths(source)
    yield from _supports(source)
    yield from _mount(source)


def _fixings(source: TomlSource) -> Iterator[Fault]:
    """Find what is told of a fin's root and bears on nothing, held as it is."""
    for where, fin in tables(source, ("fin",)):
        fixing = fin.get("fixing")
        kind = fixing.get("kind") if is_table(fixing) else None
        if not is_table(fixing) or not isinstance(kind, str) or kind not in FIXING_READS:
            continue
        reads = FIXING_READS[kind] | ({"material"} if "glue" in fixing else frozenset[str]())
        for key in _FIXING_KEYS:
            if key in fixing and key not in reads:
                held = ", ".join(one for one in _FIXING_KEYS if one in reads) or "none of them"
                yield source.fault(
                    (*where, "fixing", key),
                    given=f'{key} of a fixing of kind "{kind}"',
                    accepted=f"what that kind is computed with: {held}",
                    likely_slip="another kind was meant, or a key was left over from one",
                )


def _mouths(source: TomlSource) -> Iterator[Fault]:
    """Find mouths wider than their bay: the narrowest on the way out is no wider than the bay itself."""
    for where, bay in tables(source, ("recovery", "bay")):
        mouth, across = (length_or_none(bay.get(key)) for key in ("mouth", "diameter"))
        if mouth is not None and across is not None and mouth > across:
            yield source.fault(
                (*where, "mouth"),
                given=f"a mouth of {bay['mouth']} on a bay of {bay['diameter']}",
                accepted="the narrowest diameter on the way out, the bay's own at most",
                likely_slip="the outer diameter was measured",
            )


def _supports(source: TomlSource) -> Iterator[Fault]:
    """Find rods that are said to be steadied nowhere: left out, they count as steadied all along."""
    for where, rod in tables(source, ("rod",)):
        if rod.get("supports") == []:
            yield source.fault(
                (*where, "supports"),
                given="no support",
                accepted="stations where a wall or plate steadies them, or no entry where it does all along",
            )


def _mount(source: TomlSource) -> Iterator[Fault]:
    """Find a mount that is said to take more than its tube does, and a glued joint of another tube."""
    motor = source.values.get("motor")
    if not is_table(motor):
        return
    mount: Any = motor.get("mount")
    tube = mount if is_table(mount) else {}
    yield from _too_thick(source, motor, tube)
    room, nozzle = (length_or_none(motor.get(key)) for key in ("room", "nozzle_station"))
    if room is not None and nozzle is not None and room > nozzle:
        yield source.fault(
            ("motor", "room"),
            given=f"room for {motor['room']} ahead of a nozzle at {motor['nozzle_station']}",
            accepted="a motor that ends behind the tip",
        )
    yield from _glued(source, motor.get("tube"), tube)


def _too_thick(source: TomlSource, motor: dict[str, Any], tube: dict[str, Any]) -> Iterator[Fault]:
    takes, bore = length_or_none(motor.get("takes")), length_or_none(tube.get("bore"))
    if takes is not None and bore is not None and takes > bore:
        yield source.fault(
            ("motor", "takes"),
            given=f"a motor of {motor['takes']} in a bore of {tube['bore']}",
            accepted="the thickest motor that goes into the bore of its tube",
            likely_slip="the tube's outer diameter was given",
        )


def _glued(source: TomlSource, glued: object, tube: dict[str, Any]) -> Iterator[Fault]:
    """Find a glued joint longer or wider than the tube that it is on."""
    if not is_table(glued):
        return
    where: KeyPath = ("motor", "tube")
    across, joint = length_or_none(tube.get("across")), length_or_none(glued.get("diameter"))
    if across is not None and joint is not None and abs(joint - across) > _SAME_SHARE * across:
        yield source.fault(
            (*where, "diameter"),
            given=f"a glued joint {glued['diameter']} across on a tube of {tube['across']}",
            accepted="the outer diameter of the same tube",
        )
    ends = [length_or_none(one) for one in tube["stations"]] if is_list(tube.get("stations")) else []
    length = length_or_none(glued.get("length"))
    if len(ends) == 2 and None not in ends and length is not None:
        whole = (ends[1] or 0.0) - (ends[0] or 0.0)
        if length > whole + _ROUNDED_M:
            yield source.fault(
                (*where, "length"),
                given=f"a glued joint of {glued['length']} on a tube of {1e3 * whole:g} mm",
                accepted="no more than the length of the tube",
            )
