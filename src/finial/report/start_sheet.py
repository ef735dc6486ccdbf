"""The build sheet of a vehicle that is begun from its meshes: what was found, guessed and proposed.

What Finial recognised stands in comments with how sure it is; what it guessed is marked and counts as a
guess; everything else is a proposal behind ``#~`` that does nothing until its builder takes the mark away.
"""

import math
import textwrap
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache

from finial.assemble.start.found import DrawnVehicle
from finial.core.errors import MissingData
from finial.core.visible import visible
from finial.files.edit import Value, toml_value
from finial.files.sheet_rows import BUILD_SHEET, rows_of
from finial.inside.drawn import SHORTEST_HOLE_M
from finial.report.shown import Shown
from finial.report.start_words import (
    fin_words,
    motor_words,
    piece_words,
    rod_words,
    room_words,
    standing_words,
    tip_words,
)
from finial.shape.pieces.arrange import Arranged

PROPOSED = "#~ "
"""Begins a line that does nothing yet."""
OPEN = "?"
"""Stands where only the builder knows what to write."""
_WIDTH = 110
_GUESSED_WALL = {False: "1.6 mm", True: "0.063 in"}
"""By whether the sheet shows US units."""
_GUESSED_INFILL = "15 %"
_OPEN_UNITS = {"g": "oz", "mm": "in", "N": "lbf", "m/s": "mph", "degC": "degF"}
"""What an open place is written in, and instead of that where the sheet shows US units."""
_FIN_ROOT, _FIN_TIP, _FIN_SPAN, _FIN_SWEEP = 0.22, 0.5, 0.8, 0.6
"""Of a first set of fins: root over length, tip over root, span over width, sweep over span [-]; a guess."""

_GREETING = """\
{title}: begun from {count} by `finial new`. Nobody has checked it yet, least of all Finial.

How to read it
  Every quantity is a string with its unit: "1.2 m", "47 in", "412 g +- 2 g".
  Station = distance aft of the tip along the axis. The tip is station 0, the base {length}.
  Roll angle = from body y towards body z, looking from the tip aft: with up = "+z" from mesh +x to mesh +y.
FOUND    what the meshes show, how sure that is, and from what. Look whether it is so.
GUESS    what nobody knows yet: while guessed = true stands at a part, nothing is go.
{mark}       a proposal for this shape, which does nothing yet: set its numbers right, write what stands
         as {open}, and take the {mark} away, line by line.
Ask `finial check` after each change: its first lines are the next steps."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MeshLine:
    """A mesh as the sheet names it."""

    name: str
    file: str
    unit: str | None
    """``None`` where the file carries it."""
    notes: tuple[str, ...] = ()
    """What the builder should know of this file."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Beginning:
    """Everything that a begun sheet is written from."""

    title: str
    arranged: Arranged
    meshes: tuple[MeshLine, ...]
    """In the order of the pieces as they were read."""
    us_units: bool
    material: str
    material_told: bool = False
    """Whether the builder named the material."""
    motors: tuple[str, ...] = ()
    """Motors' files beside the sheet, best first."""


def bare_sheet(start: Beginning) -> str:
    """Sheet with nothing but the meshes, as far as it can be written before anything is found."""
    lines = [*_vehicle(start), ""]
    for number in start.arranged.order:
        lines += ["[[part]]", *_pairs("part", {**_mesh_pairs(start, number), "material": start.material}), ""]
    return "\n".join(lines)


def start_sheet(start: Beginning, found: DrawnVehicle) -> str:
    """Whole sheet, with what was found, guessed and proposed."""
    shown = Shown(us_units=start.us_units)
    count = f"{len(start.meshes)} mesh{'es' if len(start.meshes) > 1 else ''}"
    greeting = _GREETING.format(
        title=start.title,
        count=count,
        length=f"lies at {_length(found.length_m, shown)}",
        mark=PROPOSED.strip(),
        open=OPEN,
    )
    blocks = [
        [_comment(line) for line in greeting.split("\n")],
        [*_found(tip_words(start.arranged.upright)), *_vehicle(start)],
        _parts(start, found, shown),
        _motor(start, found, shown),
        *_rods(found, shown),
        _fins(found, shown),
        _ballast(found, shown),
        _guide(found, shown),
        _recovery(found, shown),
        _electronics(),
        _launch(shown),
        _bed(),
    ]
    return "\n".join("\n".join(block) + "\n" for block in blocks)


def _vehicle(start: Beginning) -> list[str]:
    pairs = {
        "name": start.title,
        "up": start.arranged.upright.up,
        "show_units": "us" if start.us_units else "metric",
    }
    return ["[vehicle]", *_pairs("vehicle", pairs)]


def _parts(start: Beginning, found: DrawnVehicle, shown: Shown) -> list[str]:
    names = [mesh.name for mesh in start.meshes]
    lines = [_heading("parts, from the tip"), *_found(standing_words(start.arranged, names))]
    shapes = {piece.name: piece for piece in found.pieces}
    for place, number in enumerate(start.arranged.order):
        mesh = start.meshes[number]
        lines += ["", *_found(piece_words(shapes[mesh.name], shown))]
        lines += [line for note in mesh.notes for line in _found(shown.note(note))]
        pairs: dict[str, Value] = {**_mesh_pairs(start, number), "material": start.material}
        if not shapes[mesh.name].is_shell:
            pairs["print"] = {
                "wall": _GUESSED_WALL[start.us_units],
                "infill": _GUESSED_INFILL,
                "layers_along": start.arranged.upright.up[-1],
            }
        guessed = {"print"} if start.material_told else {"material", "print"}
        lines.append("[[part]]")
        # What keys mean is said once: below it every part reads the same.
        lines += [_part_pair(key, value, key in guessed, first=place == 0) for key, value in pairs.items()]
        lines.append(_part_pair("guessed", True, False, first=place == 0))
        lines.append(_pair("part", "weighed", _open("g", shown), proposed=True))
    return lines


def _part_pair(key: str, value: Value, guessed: bool, *, first: bool) -> str:
    said = "GUESS. " if guessed else ""
    if first:
        return _pair("part", key, value, said)
    return f"{key} = {toml_value(value)}{'  # GUESS.' if guessed else ''}"


def _mesh_pairs(start: Beginning, number: int) -> dict[str, Value]:
    mesh = start.meshes[number]
    pairs: dict[str, Value] = {"name": mesh.name, "mesh": mesh.file}
    if mesh.unit:
        pairs["mesh_unit"] = mesh.unit
    if start.arranged.inner[number]:
        pairs["outside"] = False
    return pairs


def _motor(start: Beginning, found: DrawnVehicle, shown: Shown) -> list[str]:
    pairs: dict[str, Value] = {
        "data": f"motors/{start.motors[0] if start.motors else f'{OPEN}.toml'}",
        "nozzle_station": _length(found.length_m, shown),
    }
    if found.motor is not None and found.motor.is_bore:
        pairs["takes"] = _length(found.motor.across_m, shown)
        pairs["room"] = _length(found.motor.depth_m(found.motor.across_m), shown)
    return [
        _heading("motor"),
        *_found(motor_words(found.motor, shown)),
        *_block("motor", "[motor]", pairs),
    ]


def _rods(found: DrawnVehicle, shown: Shown) -> Iterator[list[str]]:
    if not found.rods:
        yield [
            _heading("rods"),
            *_found(
                f"no holes for rods are drawn (likely: no set of {shown.offset(SHORTEST_HOLE_M)} or more "
                "stands evenly round the axis)"
            ),
            _comment("Parts that only butt together need rods, glued = true, or dowels."),
        ]
    for rods in found.rods:
        holes = rods.holes
        yield [
            _heading("rods"),
            *_found(rod_words(rods, shown)),
            *_block(
                "rod",
                "[[rod]]",
                {
                    "thread": rods.thread or OPEN,
                    "material": OPEN,
                    "count": holes.count,
                    "on_circle": _length(holes.on_circle_m, shown),
                    "first_at": _angle(holes.first_at_rad),
                    "stations": [_length(holes.fore_m, shown), _length(holes.aft_m, shown)],
                    "preload": _open("N", shown),
                },
            ),
        ]


def _fins(found: DrawnVehicle, shown: Shown) -> list[str]:
    lines = [_heading("fins"), *_found(fin_words(found.fins, shown))]
    if found.fins:
        return lines
    root, span = _FIN_ROOT * found.length_m, _FIN_SPAN * found.width_m
    swept = min(_FIN_SWEEP * span, root)
    corners = [(0.0, 0.0), (swept, span), (swept + _FIN_TIP * root, span), (root, 0.0)]
    return [
        *lines,
        _comment(
            "A first set to begin with; `finial size` finds the one that is needed once the rest is written."
        ),
        *_block(
            "fin",
            "[[fin]]",
            {
                "name": "fins",
                "outline": [[_length(along, shown), _length(outward, shown)] for along, outward in corners],
                "station": _length(found.length_m - root, shown),
                "count": 4,
                "first_at": "45 deg",
                "thickness": _open("mm", shown),
                "material": OPEN,
            },
        ),
    ]


def _ballast(found: DrawnVehicle, shown: Shown) -> list[str]:
    pairs = {
        "name": "ballast",
        "mass": _open("g", shown),
        "station": _length(found.ballast_m, shown),
        "known_by": "assumed",
        "kind": "ballast",
    }
    lines = [_heading("hardware without a mesh: ballast, boards, nuts, glue, tubes")]
    lines += [line for said in room_words(found, shown) for line in _found(said)]
    return [*lines, *_block("item", "[[item]]", pairs)]


def _guide(found: DrawnVehicle, shown: Shown) -> list[str]:
    buttons = found.buttons
    pairs = {
        "buttons": [_length(buttons.fore_m, shown), _length(buttons.aft_m, shown)],
        "at": _angle(buttons.at_rad),
        "rail_from_axis": _length(buttons.rail_from_axis_m, shown),
    }
    return [
        _heading("rail buttons"),
        _comment("The rail's face stands clear of the whole body there; buttons away from fins."),
        *_block("guide", "[guide]", pairs),
    ]


def _recovery(found: DrawnVehicle, shown: Shown) -> list[str]:
    opening = found.opening
    lines = [_heading("recovery")]
    if opening is None:
        lines += _found(
            "one piece: nothing shows where it comes apart, and something must let the canopy out"
        )
    else:
        lines += _found(
            f"parts meet at station {_length(opening.joint_m, shown)}, {opening.ahead} and {opening.behind}"
        )
    joint = _length(opening.joint_m, shown) if opening else OPEN
    bay = opening.bay if opening else None
    ends = [_length(bay.fore_m, shown), _length(bay.aft_m, shown)] if bay else [OPEN, OPEN]
    across = _length(bay.across_m, shown) if bay else OPEN
    middle = _length((bay.fore_m + bay.aft_m) / 2, shown) if bay else OPEN
    tables: list[tuple[str, dict[str, Value]]] = [
        ("joint", {"name": "joint", "station": joint}),
        (
            "bay",
            {
                "name": "bay",
                "joint": "joint",
                "stations": ends,
                "diameter": across,
                "round_tube": bool(bay and bay.is_round),
            },
        ),
        (
            "canopy",
            {
                "name": "main",
                "bay": "bay",
                "kind": "flat circular",
                "diameter": OPEN,
                "diameter_measures": "nominal",
                "event": "apogee",
                "mass": _open("g", shown),
                "station": middle,
            },
        ),
        ("cord", {"name": "shock cord", "joint": "joint", "material": OPEN, "length": OPEN}),
        ("charge", {"name": "charge", "bay": "bay", "powder": f"{OPEN} g", "event": "apogee"}),
    ]
    for name, pairs in tables:
        lines += [*_block(f"recovery.{name}", f"[[recovery.{name}]]", pairs), ""]
    return lines[:-1]


def _electronics() -> list[str]:
    return [
        _heading("electronics: batteries, switches, computers, igniters"),
        _comment(
            "`finial new another-folder` writes an example with all of them: two of each, nothing shared."
        ),
    ]


def _launch(shown: Shown) -> list[str]:
    ground = "790 ft" if shown.us_units else "240 m"
    pairs = {
        "site": "site.toml",
        "rail_length": OPEN,
        "wind": _open("m/s", shown),
        "wind_from": f"{OPEN} deg",
        "terrain": "level open",
        "temperature": _open("degC", shown),
        "code": OPEN,
    }
    return [
        _heading("the launch"),
        _comment(
            f'site.toml stands beside this sheet, with name = "the field", ground_asl = "{ground}" and so on.'
        ),
        *_block("launch", "[launch]", pairs),
    ]


def _bed() -> list[str]:
    return [_heading("the printer"), *_block("print", "[print]", {"bed": [OPEN, OPEN, OPEN]})]


def _block(table: str, heading: str, pairs: Mapping[str, Value]) -> list[str]:
    """Proposed table: its meaning, and every line behind the mark."""
    meaning = _meaning(table)
    above = [_comment(meaning)] if meaning else []
    return [
        *above,
        PROPOSED + heading,
        *(_pair(table, key, value, proposed=True) for key, value in pairs.items()),
    ]


def _pairs(table: str, pairs: Mapping[str, Value]) -> list[str]:
    return [_pair(table, key, value) for key, value in pairs.items()]


def _pair(table: str, key: str, value: Value, said: str = "", *, proposed: bool = False) -> str:
    """One key, and behind it what it means by the schema, where there is room."""
    text = f"{PROPOSED if proposed else ''}{key} = {toml_value(value)}"
    note = f"{said}{_meaning(f'{table}.{key}')}"
    padded = text.ljust(34 if len(text) < 34 else 2 * (len(text) // 2) + 2)
    if not note:
        return text
    if len(padded) + len(note) + 2 <= _WIDTH:
        return f"{padded}# {note}"
    wrapped = textwrap.wrap(note, _WIDTH - 2)
    return "\n".join([*map(_comment, wrapped), text])


def _meaning(dotted: str) -> str:
    found = _meanings().get(dotted)
    if found is None:
        raise MissingData(f"no key {dotted} in the schema")
    return found


@cache
def _meanings() -> dict[str, str]:
    return {row.dotted: row.key.meaning for row in rows_of(BUILD_SHEET)}


def _heading(text: str) -> str:
    return _comment(f"{'-' * 64} {text}")


def _found(text: str) -> list[str]:
    wrapped = textwrap.wrap(f"FOUND  {text}", _WIDTH - 2, subsequent_indent="       ")
    return [_comment(line) for line in wrapped]


def _comment(text: str) -> str:
    return f"# {visible(text)}".rstrip()


def _open(unit: str, shown: Shown) -> str:
    """Open place for a number, with the unit that its builder writes."""
    return f"{OPEN} {_OPEN_UNITS[unit] if shown.us_units else unit}"


def _length(metres: float, shown: Shown) -> str:
    """Length as a sheet writes it, to a tenth of a millimetre or a hundredth of an inch."""
    number, unit = shown.offset(metres).split()
    return f"{number.rstrip('0').rstrip('.')} {unit}"


def _angle(radians: float) -> str:
    return f"{math.degrees(radians) % 360:.4g} deg"
