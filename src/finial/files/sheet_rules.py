"""Faults that show only when several fields of a sheet are read together.

These work on the values as parsed, not on checked records, so that they are
reported in the same go as the faults inside single fields.
"""

from collections.abc import Iterator
from difflib import get_close_matches
from itertools import pairwise
from pathlib import PurePosixPath
from typing import Any

from finial.core.errors import Fault, UnitError
from finial.core.trees import is_list, is_table
from finial.core.units import Dimension, parse_quantity
from finial.files.fields import as_written
from finial.files.source import TomlSource
from finial.files.toml_places import KeyPath

UNITLESS_MESHES = (".stl", ".obj", ".ply")
MESHES_WITH_UNIT = (".3mf", ".amf", ".gltf", ".glb", ".step", ".stp")
MESH_SUFFIXES = (*UNITLESS_MESHES, *MESHES_WITH_UNIT)

_NAMED = (
    ("part",),
    ("item",),
    ("fin",),
    ("recovery", "joint"),
    ("recovery", "bay"),
    ("recovery", "canopy"),
    ("recovery", "cord"),
    ("recovery", "charge"),
    ("electronics", "battery"),
    ("electronics", "switch"),
    ("electronics", "computer"),
    ("electronics", "port"),
    ("electronics", "igniter"),
)
REFERENCES = (
    (("recovery", "bay"), "joint", ("recovery", "joint")),
    (("recovery", "canopy"), "bay", ("recovery", "bay")),
    (("recovery", "cord"), "joint", ("recovery", "joint")),
    (("recovery", "cord"), "tied_to", ("item",)),
    (("recovery", "charge"), "bay", ("recovery", "bay")),
    (("recovery", "charge"), "backup_of", ("recovery", "charge")),
    (("electronics", "computer"), "battery", ("electronics", "battery")),
    (("electronics", "computer"), "switch", ("electronics", "switch")),
    (("electronics", "computer"), "switches", ("electronics", "switch")),
    (("electronics", "igniter"), "fires", ("recovery", "charge")),
    (("electronics", "igniter"), "computer", ("electronics", "computer")),
)
"""Table, key, and the table whose entries the key names."""
_STATION_PAIRS = (("rod",), ("recovery", "bay"))
_HAVE_ROOM = (("item",), ("recovery", "bay"), ("recovery", "canopy"))
_WITHIN = (
    ("mount", "bore", "across", "the tube has a wall"),
    ("thrust_plate", "hole", "held_at", "the plate reaches from its hole to what holds it"),
    ("thrust_plate", "held_at", "across", "the plate reaches to what holds it"),
)
"""Tables of the motor with what must be smaller than what, and why."""
MOTOR_TUBE = "motor tube"
"""Name of the tube under ``[motor]``, where something takes its room or passes it."""


def faults_between_fields(source: TomlSource) -> Iterator[Fault]:
    """Find every fault between fields: shapes, names, references, stations."""
    yield from _shape_faults(source)
    yield from _stacks_without_place(source)
    yield from _repeated_names(source)
    yield from _names_of_two_things(source)
    yield from _broken_references(source)
    yield from _backwards_stations(source)
    yield from _sizes_twice(source)
    yield from _wires_twice(source)
    yield from _rods_without_places(source)
    yield from _tight_and_loose(source)
    yield from _room_of_nothing(source)
    yield from _plates_and_tubes_of_the_motor(source)
    yield from _backups_in_a_circle(source)
    yield from _buttons_in_one_place(source)
    yield from _weighed_nowhere(source)
    yield from _air_from_somewhere(source)


def _air_from_somewhere(source: TomlSource) -> Iterator[Fault]:
    """Find air loads from nowhere, and a table without its area or the other way round."""
    told = source.values.get("air")
    if not is_table(told):
        return
    table, area = ("table" in told, "area" in told)
    if not (table or "study" in told):
        yield source.fault(("air",), given="neither a table nor a study", accepted="one of them, or both")
    if table != area:
        yield source.fault(
            ("air", "table" if table else "area"),
            given="a table without its area" if table else "an area without a table",
            accepted="a table, and the area that its coefficients stand on",
        )


def _buttons_in_one_place(source: TomlSource) -> Iterator[Fault]:
    """Find a guide of one button, which keeps no direction, or one with two in one place."""
    guide = source.values.get("guide")
    buttons = guide.get("buttons") if is_table(guide) else None
    told = [str(one).strip() for one in _listed(buttons)]
    twice = next((one for place, one in enumerate(told) if one in told[:place]), None)
    if len(told) == 1 or twice is not None:
        yield source.fault(
            ("guide", "buttons"),
            given=f"buttons in one place, {as_written(twice or told[0])}",
            accepted="the stations of at least two buttons, each in a place of its own",
        )


def _weighed_nowhere(source: TomlSource) -> Iterator[Fault]:
    """Find a weighing without a mass, or two scales at one station."""
    told = source.values.get("weighing")
    if not is_table(told):
        return
    if "mass" not in told and "scales" not in told:
        yield source.fault(
            ("weighing",),
            given="neither mass nor scales",
            accepted="mass of the whole on one scale, or two scales that carry it together",
        )
    scales = [one for one in _listed(told.get("scales")) if is_table(one)]
    if len(scales) == 2 and len({str(one.get("at")).strip() for one in scales}) == 1:
        yield source.fault(
            ("weighing", "scales"),
            given=f"two scales at {as_written(scales[0].get('at'))}",
            accepted="two stations apart: what lies between them shares its weight",
        )


def tables(source: TomlSource, path: KeyPath) -> list[tuple[KeyPath, dict[str, Any]]]:
    """Return the tables of a list such as ``[[recovery.bay]]``, with their paths; odd values left out."""
    here: Any = source.values
    for step in path:
        here = here.get(step) if is_table(here) and isinstance(step, str) else None
    entries = here if is_list(here) else []
    return [((*path, index), entry) for index, entry in enumerate(entries) if is_table(entry)]


def _shape_faults(source: TomlSource) -> Iterator[Fault]:
    if not tables(source, ("part",)):
        yield source.fault(("part",), given="no part", accepted="at least one [[part]] with a mesh or tiers")
    for where, part in tables(source, ("part",)):
        given = [key for key in ("mesh", "tiers") if key in part]
        if len(given) != 1:
            yield source.fault(
                where,
                given="both mesh and tiers" if given else "neither mesh nor tiers",
                accepted='exactly one of mesh = "..." and tiers = [...]',
            )
        elif "mesh" in part:
            yield from _mesh_unit_faults(source, where, part)
        elif "mesh_unit" in part:
            yield source.fault(
                (*where, "mesh_unit"),
                given="mesh_unit on a part of tiers",
                accepted="mesh_unit only beside mesh",
            )


def _stacks_without_place(source: TomlSource) -> Iterator[Fault]:
    """Stacks of tiers that nobody placed beside another such or a mesh: both would begin at the tip."""
    parts = tables(source, ("part",))
    unplaced = [where for where, part in parts if "tiers" in part and "tip_station" not in part]
    if len(unplaced) > 1 or any("mesh" in part for _, part in parts):
        for where in unplaced:
            yield source.fault(
                where,
                given="tiers without tip_station, beside other parts",
                accepted='tip_station = the station at which the top of this stack stands, such as "0 mm"',
            )


def _mesh_unit_faults(source: TomlSource, where: KeyPath, part: dict[str, Any]) -> Iterator[Fault]:
    suffix = PurePosixPath(str(part["mesh"])).suffix.lower()
    if suffix in UNITLESS_MESHES and "mesh_unit" not in part:
        yield source.fault(
            (*where, "mesh"),
            given=f'"{part["mesh"]}" without mesh_unit',
            accepted='mesh_unit = "mm", "cm", "m", "in" or "ft" beside it',
            likely_slip=f"{suffix[1:].upper()} files carry no unit; most slicers write mm",
        )
    if suffix in MESHES_WITH_UNIT and "mesh_unit" in part:
        yield source.fault(
            (*where, "mesh_unit"),
            given=f'mesh_unit = "{part["mesh_unit"]}"',
            accepted=f"no mesh_unit: {suffix[1:].upper()} files carry their own",
        )
    if "tip_station" in part:
        yield source.fault(
            (*where, "tip_station"),
            given="tip_station on a part with a mesh",
            accepted="tip_station only beside tiers; a mesh stands where it was drawn",
        )


def _repeated_names(source: TomlSource) -> Iterator[Fault]:
    for path in _NAMED:
        first_at: dict[str, KeyPath] = {}
        for where, entry in tables(source, path):
            name = entry.get("name")
            if not isinstance(name, str):
                continue
            if name.strip() in first_at:
                first = source.places.lines.get((*first_at[name.strip()], "name"))
                yield source.fault(
                    (*where, "name"),
                    given=f'"{name}" a second time (first on line {first})',
                    accepted=f"a name that no other {path[-1]} has",
                )
            first_at.setdefault(name.strip(), where)


def _names_of_two_things(source: TomlSource) -> Iterator[Fault]:
    """Find one name for things of two kinds: who names one of them by it may mean the other."""
    known = {MOTOR_TUBE: "the tube under [motor]"}
    for path in (*_HAVE_ROOM, ("part",), ("rod",)):
        own: set[str] = set()
        for where, entry in tables(source, path):
            name = entry.get("name")
            if isinstance(name, str) and name.strip() in known and entry.get("room_of") != name.strip():
                yield source.fault(
                    (*where, "name"),
                    given=f'"{name}", which {known[name.strip()]} has too',
                    accepted="a name of its own: room_of, passes and held_by name things by it",
                )
            own |= {name.strip()} if isinstance(name, str) else set()
        known |= {name: f"a {path[-1]}" for name in own}


def _broken_references(source: TomlSource) -> Iterator[Fault]:
    for path, field, target in REFERENCES:
        names = _names(source, target)
        for where, entry in tables(source, path):
            for named in _texts(entry.get(field)):
                if named not in names:
                    yield _no_such(source, (*where, field), named, (target, names))


def _texts(given: Any) -> Iterator[str]:
    """Return the texts in a value, or in lists of lists of them."""
    if isinstance(given, str):
        yield given
    for inner in given if is_list(given) else ():
        yield from _texts(inner)


def _no_such(
    source: TomlSource, where: KeyPath, named: str, known: tuple[tuple[str, ...], list[str]]
) -> Fault:
    target, names = known
    close = [f'"{name}"' for name in get_close_matches(named, names, n=2, cutoff=0.5)]
    listed = ", ".join(f'"{name}"' for name in dict.fromkeys(names))
    accepted = f"the name of a {target[-1]}: {listed}" if names else f"a [[{'.'.join(target)}]] of that name"
    return source.fault(
        where,
        given=f'"{named}"',
        accepted=accepted,
        likely_slip=f"did you mean {' or '.join(close)}?" if close else "",
    )


def _backwards_stations(source: TomlSource) -> Iterator[Fault]:
    lists = [
        ((*where, "stations"), entry.get("stations"))
        for path in _STATION_PAIRS
        for where, entry in tables(source, path)
    ]
    lists += [
        ((*where, "bores", number, "stations"), bore.get("stations"))
        for where, part in tables(source, ("part",))
        for number, bore in enumerate(_listed(part.get("bores")))
        if is_table(bore)
    ]
    lists += [((*where, "stations"), tube.get("stations")) for where, tube in _motor_tubes(source)]
    for where, stations in lists:
        if not is_list(stations):
            continue
        values = [length_or_none(station) for station in stations]
        if any(a is not None and b is not None and a >= b for a, b in pairwise(values)):
            yield source.fault(
                where,
                given=", ".join(map(str, stations)),
                accepted="the forward station first, then one further aft",
                likely_slip="stations count from the tip downwards",
            )


def _motor_tubes(source: TomlSource) -> Iterator[tuple[KeyPath, dict[str, Any]]]:
    """Tubes of the motor and of those beside it, with their paths."""
    motor = source.values.get("motor")
    mounts: list[tuple[KeyPath, Any]] = [(("motor", "mount"), motor.get("mount"))] if is_table(motor) else []
    mounts += [((*where, "mount"), more.get("mount")) for where, more in tables(source, ("motor", "more"))]
    yield from ((where, mount) for where, mount in mounts if is_table(mount))


def _sizes_twice(source: TomlSource) -> Iterator[Fault]:
    """Things and holes that are both round and square, or hollow without an outside."""
    holes: list[tuple[KeyPath, dict[str, Any]]] = [
        ((*where, "bores", number), bore)
        for where, part in tables(source, ("part",))
        for number, bore in enumerate(_listed(part.get("bores")))
        if is_table(bore)
    ]
    for where, thing in (*tables(source, ("item",)), *holes):
        if "across" in thing and "sides" in thing:
            yield source.fault(
                where, given="across and sides", accepted="across of a round one, or sides of a square one"
            )
        if where[0] == "part" and "across" not in thing and "sides" not in thing:
            yield source.fault(where, given="a hole without a size", accepted='across = "60 mm" or sides')
        if "bore" in thing and "across" not in thing:
            yield source.fault(
                (*where, "bore"), given="a bore without across", accepted="the outer diameter beside it"
            )
        across, bore = length_or_none(thing.get("across")), length_or_none(thing.get("bore"))
        if across is not None and bore is not None and bore >= across:
            yield source.fault(
                (*where, "bore"),
                given=f"a bore of {thing['bore']} in {thing['across']}",
                accepted="a bore smaller than the outside",
                likely_slip="one of the two in another unit",
            )


def _plates_and_tubes_of_the_motor(source: TomlSource) -> Iterator[Fault]:
    """Sizes under ``[motor]`` of which one must lie within the other."""
    motor = source.values.get("motor")
    if not is_table(motor):
        return
    for table, inner, outer, means in _WITHIN:
        sizes = motor.get(table)
        if not is_table(sizes):
            continue
        least, most = length_or_none(sizes.get(inner)), length_or_none(sizes.get(outer))
        if least is None or most is None:
            continue
        if least > most or (least == most and inner != "held_at"):
            yield source.fault(
                ("motor", table, inner),
                given=f"{inner} of {sizes[inner]}, {outer} of {sizes[outer]}",
                accepted=f"{inner} within {outer}: {means}",
                likely_slip="one of the two in another unit",
            )


def _wires_twice(source: TomlSource) -> Iterator[Fault]:
    """Find igniters whose wires are measured and worked out too: the two need not agree."""
    for where, igniter in tables(source, ("electronics", "igniter")):
        if "wiring_resistance" in igniter and "wire" in igniter:
            yield source.fault(
                where,
                given="wiring_resistance and wire",
                accepted="wiring_resistance as measured, or the wire it is worked out from",
            )


def _rods_without_places(source: TomlSource) -> Iterator[Fault]:
    for where, rod in tables(source, ("rod",)):
        given = [key for key in ("count", "on_circle", "places") if key in rod]
        if given not in (["count", "on_circle"], ["places"]):
            yield source.fault(
                where,
                given=f"rods with {' and '.join(given) or 'no place'}",
                accepted='count and on_circle = "84 mm", or places = [["30 mm", "20 mm"], ...]',
            )


def _tight_and_loose(source: TomlSource) -> Iterator[Fault]:
    """Rods that are tightened and have play: what is tight has none, and one of the two was left standing."""
    for where, rod in tables(source, ("rod",)):
        if "preload" in rod and "slip" in rod:
            yield source.fault(
                (*where, "slip"),
                given="preload and slip",
                accepted="preload of rods that are tightened, or slip of those that are not",
            )


def _room_of_nothing(source: TomlSource) -> Iterator[Fault]:
    """Items that take the room of something the sheet does not have, or of themselves."""
    known = [name for path in _HAVE_ROOM for name in _names(source, path)] + [MOTOR_TUBE]
    passing = [*known, *_names(source, ("rod",)), *_names(source, ("part",))]
    for where, item in tables(source, ("item",)):
        named = [("room_of", item.get("room_of"), known)]
        named += [(key, one, passing) for key in ("passes", "held_by") for one in _listed(item.get(key))]
        for key, name, names in named:
            if isinstance(name, str) and (name not in names or name == item.get("name") != MOTOR_TUBE):
                close = get_close_matches(name, names, n=1, cutoff=0.5)
                yield source.fault(
                    (*where, key),
                    given=f'"{name}"',
                    accepted="the name of another thing: "
                    + ", ".join(f'"{one}"' for one in dict.fromkeys(names)),
                    likely_slip=f'did you mean "{close[0]}"?' if close else "",
                )


def _listed(value: Any) -> list[Any]:
    return value if is_list(value) else []


def _backups_in_a_circle(source: TomlSource) -> Iterator[Fault]:
    """Charges that stand in for themselves, by way of others or not: none of them is the first."""
    charges = tables(source, ("recovery", "charge"))
    stands_in = {str(charge.get("name")): charge.get("backup_of") for _, charge in charges}
    for where, charge in charges:
        name = str(charge.get("name"))
        chain = [name]
        while isinstance(following := stands_in.get(chain[-1]), str) and following not in chain:
            chain.append(following)
        if following == name:
            yield source.fault(
                (*where, "backup_of"),
                given=" is the backup of ".join(f'"{one}"' for one in (*chain, name)),
                accepted="the charge that fires first, which itself is the backup of none",
            )


def _names(source: TomlSource, path: KeyPath) -> list[str]:
    return [entry["name"] for _, entry in tables(source, path) if isinstance(entry.get("name"), str)]


def length_or_none(given: object) -> float | None:
    """Return a length of the sheet [m]; ``None`` where it is none: that is told of elsewhere."""
    try:
        return parse_quantity(given, Dimension.LENGTH).value
    except UnitError:
        return None
