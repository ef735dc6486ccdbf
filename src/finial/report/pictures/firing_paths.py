"""What fires what: from the batteries over switches, computers and igniters to charges and canopies."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from finial.assemble.electronics.results import ElectronicsResult, PathPower
from finial.core.dimensions import Dimension
from finial.electronics.rates import PartKind
from finial.electronics.wiring import FailingPart, Moment, Trigger
from finial.report.pictures.axes import PAGE_MM
from finial.report.pictures.svg import GREY, INK, PALE, RUST, clipped, element, line, picture, words
from finial.report.shown import Shown

_NAME: Final = "firing-paths"
_BOX_MM: Final = (23.0, 11.5)
_STEP_MM: Final = (28.6, 15.0)
_EDGE_MM: Final = (2.0, 9.0)
_SMALL_MM: Final = 2.4
_LETTERS: Final = 16
_PLUGS_A_LINE: Final = 5
_COLUMNS: Final = (
    (PartKind.BATTERY, "battery"),
    (PartKind.SWITCH, "arming"),
    (PartKind.COMPUTER, "computer"),
    (PartKind.IGNITER, "igniter"),
    (PartKind.CHARGE, "charge"),
    (PartKind.CANOPY, "canopy"),
)
_AT: Final = {kind: index for index, (kind, _) in enumerate(_COLUMNS)}
Rows = dict[tuple[PartKind, str], float]
"""Row of the middle of every box, by what it stands for; whole rows do not overlap."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Drawing:
    electronics: ElectronicsResult
    rows: Rows
    alone: frozenset[FailingPart]
    shown: Shown

    def middle(self, kind: PartKind, name: str) -> tuple[float, float]:
        """Middle of a box on the paper [mm]."""
        x = _EDGE_MM[0] + _AT[kind] * _STEP_MM[0] + _BOX_MM[0] / 2
        return x, _EDGE_MM[1] + self.rows[kind, name] * _STEP_MM[1] + _BOX_MM[1] / 2


def firing_paths(electronics: ElectronicsResult, *, us_units: bool = False) -> str:
    """Draw every firing path, left to right; thick outlines stand alone, dashed ones lead nowhere."""
    drawing = _Drawing(
        electronics=electronics,
        rows=_rows(electronics),
        alone=frozenset(point.part for point in electronics.single_points),
        shown=Shown(us_units=us_units),
    )
    last = max(drawing.rows.values(), default=0.0)
    plugs = _numbered(electronics)
    legend = _legend(plugs, drawing.alone)
    foot = _EDGE_MM[1] + (last + 1) * _STEP_MM[1] + 2.0
    body = (
        *(words(name, (_EDGE_MM[0] + index * _STEP_MM[0], 5.5)) for index, (_, name) in enumerate(_COLUMNS)),
        *(_wire(drawing, one, two) for one, two in _wires(electronics)),
        *(_box(drawing, kind, name) for kind, name in drawing.rows if kind is not PartKind.SWITCH),
        *(_arming(drawing, one.computer, one.switches) for one in electronics.arming),
        *_plugs(drawing, plugs),
        words("thick outline: it fails alone; dashed: it fires nothing, or nothing fires it", (2.0, foot)),
        *(words(told, (2.0, foot + 4.0 * (row + 1))) for row, told in enumerate(legend)),
    )
    return picture(
        _NAME,
        (PAGE_MM, foot + 4.0 * (1 + len(legend))),
        *body,
        title="What fires what",
        says=_says(electronics, drawing.alone),
    )


def _says(electronics: ElectronicsResult, alone: frozenset[FailingPart]) -> str:
    chains = [
        " to ".join((path.battery, path.computer, path.igniter, path.charge, path.canopy))
        for path in (power.path for power in electronics.paths)
    ]
    lost = ", ".join(part.name for part in sorted(alone)) or "nothing"
    return f"Paths: {'; '.join(chains) or 'none'}. Alone stand {lost}."


def _rows(electronics: ElectronicsResult) -> Rows:
    """Place igniters one below the other, and everything else beside what hangs on it."""
    paths = [power.path for power in electronics.paths]
    rows: Rows = {(PartKind.IGNITER, path.igniter): 0.0 for path in paths}
    rows = {key: float(row) for row, key in enumerate(rows)}
    spare = float(len(rows))
    charges = [((PartKind.IGNITER, path.igniter), (PartKind.CHARGE, path.charge)) for path in paths]
    rows |= _spaced(_beside(rows, charges))
    rows |= _spaced(
        _beside(rows, [((PartKind.CHARGE, path.charge), (PartKind.CANOPY, path.canopy)) for path in paths])
    )
    computers = [((PartKind.IGNITER, path.igniter), (PartKind.COMPUTER, path.computer)) for path in paths]
    rows |= _spaced(_beside(rows, computers))
    batteries = [((PartKind.COMPUTER, path.computer), (PartKind.BATTERY, path.battery)) for path in paths]
    rows |= _spaced(_beside(rows, batteries))
    for kind, names in (
        (PartKind.COMPUTER, electronics.idle),
        (PartKind.CHARGE, electronics.unfired),
        (PartKind.CANOPY, electronics.without_path),
    ):
        taken = [row + 1 for (other, _), row in rows.items() if other is kind]
        first = max([spare, *taken])
        rows |= {(kind, name): first + index for index, name in enumerate(names)}
    return rows


def _beside(rows: Rows, pairs: Sequence[tuple[tuple[PartKind, str], tuple[PartKind, str]]]) -> Rows:
    """Put each box at the middle of those it is joined to."""
    joined: dict[tuple[PartKind, str], dict[tuple[PartKind, str], None]] = {}
    for known, wanted in pairs:
        joined.setdefault(wanted, {})[known] = None
    return {wanted: sum(rows[one] for one in known) / len(known) for wanted, known in joined.items()}


def _spaced(rows: Rows) -> Rows:
    """Push boxes of one column down until none overlaps."""
    placed: Rows = {}
    free = 0.0
    for key, row in sorted(rows.items(), key=lambda one: one[1]):
        placed[key] = max(row, free)
        free = placed[key] + 1.0
    return placed


def _wires(
    electronics: ElectronicsResult,
) -> list[tuple[tuple[PartKind, str], tuple[PartKind, str]]]:
    """Pairs that are joined, each once; what runs through the switches ends at the computer."""
    found: dict[tuple[tuple[PartKind, str], tuple[PartKind, str]], None] = {}
    for path in (power.path for power in electronics.paths):
        chain = (
            (PartKind.BATTERY, path.battery),
            (PartKind.COMPUTER, path.computer),
            (PartKind.IGNITER, path.igniter),
            (PartKind.CHARGE, path.charge),
            (PartKind.CANOPY, path.canopy),
        )
        found |= dict.fromkeys(pairwise(chain))
    return list(found)


def _wire(drawing: _Drawing, one: tuple[PartKind, str], two: tuple[PartKind, str]) -> str:
    """Draw a wire from the right edge of one box to the left edge of the next."""
    (left, left_y), (right, right_y) = drawing.middle(*one), drawing.middle(*two)
    half = _BOX_MM[0] / 2
    return line((left + half, left_y), (right - half, right_y), stroke=GREY, stroke_width=0.35)


def _numbered(electronics: ElectronicsResult) -> dict[str, int]:
    """Give each plug that has a name its number, in the order of the paths."""
    names = dict.fromkeys(
        part.name
        for power in electronics.paths
        for part in power.path.needs
        if part.kind is PartKind.CONNECTOR
    )
    return {name: number for number, name in enumerate(names, start=1)}


def _legend(plugs: dict[str, int], alone: frozenset[FailingPart]) -> list[str]:
    """Name the numbered plugs, a few to a line."""
    told = [
        f"{number} {name}" + (" (alone)" if FailingPart(kind=PartKind.CONNECTOR, name=name) in alone else "")
        for name, number in plugs.items()
    ]
    rows = [", ".join(told[first : first + _PLUGS_A_LINE]) for first in range(0, len(told), _PLUGS_A_LINE)]
    return [f"plugs: {row}" for row in rows]


def _plugs(drawing: _Drawing, plugs: dict[str, int]) -> Iterator[str]:
    """Draw the plugs of every computer and igniter on the wire that leads to it."""
    fed: dict[tuple[PartKind, str], dict[int, None]] = {}
    for path in (power.path for power in drawing.electronics.paths):
        for kind, name, parts in (
            (PartKind.COMPUTER, path.computer, path.fed_through),
            (PartKind.IGNITER, path.igniter, path.fired_through),
        ):
            numbers = (plugs[part.name] for part in parts if part.kind is PartKind.CONNECTOR)
            fed.setdefault((kind, name), {}).update(dict.fromkeys(numbers))
    for (kind, name), numbers in fed.items():
        x, y = drawing.middle(kind, name)
        if numbers:
            yield _plug((x - _BOX_MM[0] / 2 - 2.8, y), ",".join(map(str, numbers)))


def _plug(at: tuple[float, float], text: str) -> str:
    """Draw a small square with a number on a wire."""
    x, y = at
    width = 2.6 + 1.3 * (len(text) - 1)
    frame = element(
        "rect",
        x=x - width / 2,
        y=y - 1.5,
        width=width,
        height=3.0,
        fill="white",
        stroke=INK,
        stroke_width=0.25,
    )
    return element("g", frame, words(text, (x, y + 0.85), font_size=_SMALL_MM, text_anchor="middle"))


def _box(drawing: _Drawing, kind: PartKind, name: str) -> str:
    x, y = drawing.middle(kind, name)
    alone = FailingPart(kind=kind, name=name) in drawing.alone
    found = drawing.electronics
    idle = name in {
        PartKind.COMPUTER: found.idle,
        PartKind.CHARGE: found.unfired,
        PartKind.CANOPY: found.without_path,
    }.get(kind, ())
    below = _below(drawing, kind, name)
    return _framed((x, y, _BOX_MM[0]), [*_lines(name), *below], alone=alone, idle=idle)


def _framed(
    at: tuple[float, float, float], lines: Sequence[str], *, alone: bool = False, idle: bool = False
) -> str:
    """One box: middle [mm] and width [mm], up to three lines of text."""
    x, y, width = at
    height = _BOX_MM[1]
    frame = element(
        "rect",
        x=x - width / 2,
        y=y - height / 2,
        width=width,
        height=height,
        fill=PALE,
        stroke=RUST if alone else INK,
        stroke_width=0.8 if alone else 0.25,
        stroke_dasharray="1.5 1" if idle else None,
    )
    first = y - 1.45 * (len(lines) - 1) + 0.8
    told = [
        words(text, (x, first + 2.9 * index), font_size=_SMALL_MM, text_anchor="middle")
        for index, text in enumerate(lines)
    ]
    return element("g", frame, *told)


def _arming(drawing: _Drawing, computer: str, groups: Sequence[Sequence[str]]) -> str:
    """Draw the switches of a computer: groups in series side by side, in parallel one above the other."""
    key = (PartKind.COMPUTER, computer)
    if key not in drawing.rows:
        return ""
    _, y = drawing.middle(*key)
    left = _EDGE_MM[0] + _AT[PartKind.SWITCH] * _STEP_MM[0]
    if not groups:
        return _framed((left + _BOX_MM[0] / 2, y, _BOX_MM[0]), ["no switch:", "live at once"], alone=True)
    width = _BOX_MM[0] / len(groups)
    letters = max(int(_LETTERS / len(groups)), 3)
    drawn: list[str] = []
    for index, group in enumerate(groups):
        x = left + (index + 0.5) * width
        height = _BOX_MM[1] / len(group)
        for number, name in enumerate(group):
            top = y - _BOX_MM[1] / 2 + number * height
            alone = FailingPart(kind=PartKind.SWITCH, name=name) in drawing.alone
            drawn.append(
                element(
                    "rect",
                    x=x - width / 2 + 0.3,
                    y=top + 0.3,
                    width=width - 0.6,
                    height=height - 0.6,
                    fill=PALE,
                    stroke=RUST if alone else INK,
                    stroke_width=0.8 if alone else 0.25,
                )
            )
            place = (x, top + height / 2 + 0.8)
            drawn.append(words(clipped(name, letters), place, font_size=_SMALL_MM, text_anchor="middle"))
    return element("g", *drawn)


def _below(drawing: _Drawing, kind: PartKind, name: str) -> list[str]:
    """Say what matters of an igniter: its current, and when it fires."""
    if kind is not PartKind.IGNITER:
        return []
    power = next(one for one in drawing.electronics.paths if one.path.igniter == name)
    return [_current(power, drawing.shown.plain), _event(power.path.event, drawing.shown)]


def _event(moment: Moment, shown: Shown) -> str:
    if moment.trigger is Trigger.FALLING:
        return f"down at {shown.height(moment.value)}"
    return f"{moment.value:g} s after lift-off" if moment.trigger is Trigger.CLOCK else "apogee"


def _current(power: PathPower, plain: Callable[[float, Dimension], str]) -> str:
    given = plain(power.current.low, Dimension.CURRENT)
    return (
        f"{given} at least"
        if power.all_fire_a is None
        else (f"{given}; wants {plain(power.all_fire_a, Dimension.CURRENT)}")
    )


def _lines(name: str) -> list[str]:
    """Break a name into one or two lines."""
    if len(name) <= _LETTERS:
        return [name]
    broken = name.rfind(" ", 0, _LETTERS + 1)
    if broken < 0:
        return [clipped(name, _LETTERS)]
    return [name[:broken], clipped(name[broken + 1 :], _LETTERS)]
