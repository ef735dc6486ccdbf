"""Whole answers kept beside tests: none of their thousands of numbers moves unseen.

The numbers of a group (``strength.reserves``) are kept as how many they are and one sum over them, by
their logarithms, so that a hundredth of a small one weighs as a hundredth of a large one, and by their
places, so that two cannot change places. Of what is no number (names, kinds, what is not known) a
checksum is kept. How a number was found (its method, its source) is wording, and is not.
"""

import json
import math
import zlib
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import fields, is_dataclass
from enum import Enum
from pathlib import Path
from typing import Any, cast

import numpy as np
from numpy.typing import NDArray

from finial.flight.trace import Trace

MOVED = "moved: say in CHANGELOG.md why, under 'Numbers that changed', then run PYTHONPATH=src:tests python"
CLOSE = 1e-2
"""Of the sum of a thousand numbers: one moved by a hundredth. Other processors move all by far less."""
SMALLEST = 1e-6
"""Numbers of this size and less, in SI units, weigh as what they are, not by their logarithm."""
WORDING = frozenset({"method", "source", "note", "notes", "quirks", "caution"})
READ = frozenset({"files", "vehicle", "sheet", "motor", "motors"})
AGAIN = frozenset({"display_mesh", "mesh", "result", "trace", "inputs", "askew_inputs"})
"""What stands elsewhere in the same answer, or shows there."""
BY_STEP = frozenset(field.name for field in fields(Trace)) - {"events", "ended"} | {"height_agl_m"}
"""How many steps a flight takes hangs on the last digits, and how far off zero it ends; the rest does not."""
BY_TETHER = frozenset({"cases", "shares", "order", "tethers", "reserves", "by_station", "ground_by_station"})
"""Of the long looks, what hangs on pieces that tumble on their cords: last digits grow to percents there."""
BY_MOMENT = frozenset({"cases", "spinning"})
"""Of the quick look, what is read at one step of a flight, where thrust or air changes fast: which step that
is hangs on last digits. Reserves of those cases are held."""
LEFT_OUT = WORDING | READ | AGAIN | BY_STEP

Place = tuple[str, ...]
"""Names of fields, the outermost first."""
Kept = dict[str, list[Any]]
"""Of each group: how many numbers, their sum, and the checksum of the rest."""
Asked = Callable[[str], Kept]
"""From the name of a vehicle or a shape to what is kept of it."""


def told(asked: Asked, name: str) -> str:
    """Return what an answer is kept under."""
    return f"{getattr(asked, '__name__', '')} {name}"


def kept_of(record: object, depth: int = 2) -> Kept:
    """Return what is kept of a record, by its fields down to a depth."""
    numbers: dict[str, list[float]] = {}
    words: dict[str, list[str]] = {}
    for at, value in _leaves(record, ()):
        group = ".".join(at[:depth])
        numbers.setdefault(group, [])
        words.setdefault(group, [])
        if isinstance(value, np.ndarray):
            numbers[group] += cast("NDArray[np.generic]", value).ravel().astype(float).tolist()
        elif isinstance(value, float):
            numbers[group].append(float(value))
        else:
            words[group].append(f"{at[-1]} {value}")
    return {at: [*_summed(np.array(numbers[at])), _checksum(words[at])] for at in numbers}


def without(kept: Kept, names: Collection[str]) -> Kept:
    """Leave out the groups whose last name is one of these."""
    return {at: value for at, value in kept.items() if at.split(".")[-1] not in names}


def moved(now: Kept, kept: Kept) -> list[str]:
    """Return the groups in which two kept answers differ."""
    return [at for at in sorted({*now, *kept}) if not _same(now.get(at), kept.get(at))]


def hold(path: Path, name: str, now: Kept) -> None:
    """Refuse an answer that is not the one of that name kept in a file."""
    found = moved(now, json.loads(path.read_text(encoding="utf-8"))[name])
    assert not found, f"{name}: {', '.join(found)} {MOVED} {path.with_suffix('.py').name}"


def keep(path: Path, made: Mapping[str, Callable[[], Kept]]) -> None:
    """Find every answer anew and keep them in a file, a group in a line."""
    kept = [f"{json.dumps(name)}: {{\n{_lines(make())}\n}}" for name, make in made.items()]
    path.write_text("{\n" + ",\n".join(kept) + "\n}\n", encoding="utf-8")


def _lines(kept: Kept) -> str:
    return ",\n".join(f"  {json.dumps(at)}: {json.dumps(value)}" for at, value in kept.items())


def _leaves(value: object, at: Place) -> Iterator[tuple[Place, object]]:
    """Yield what a record holds in the end, and where; what it can only be asked (functions) is left out."""
    parts = _parts(value, at)
    if parts is None:
        yield at, _plain(value)
        return
    if at:
        yield at, len(parts)
    for place, part in parts:
        yield from _leaves(part, place)


def _parts(value: object, at: Place) -> list[tuple[Place, object]] | None:
    if is_dataclass(value):
        found = [field.name for field in fields(value) if field.name not in LEFT_OUT]
        return [((*at, name), getattr(value, name)) for name in found]
    if isinstance(value, Mapping):
        named = cast("Mapping[object, object]", value)
        return [((*at, str(name)), part) for name, part in named.items()]
    if isinstance(value, tuple | list):
        return [(at, part) for part in cast("Sequence[object]", value)]
    return [] if callable(value) else None


def _plain(value: object) -> object:
    if isinstance(value, frozenset | set):
        return sorted(map(str, cast("Iterable[object]", value)))
    if isinstance(value, np.ndarray):
        array = cast("NDArray[np.generic]", value)
        return array if array.dtype.kind in "fiub" else array.tolist()
    return value.name if isinstance(value, Enum) else value


def _summed(found: NDArray[np.float64]) -> tuple[int, float]:
    weight = 1.0 + 0.5 * np.cos(np.arange(found.size))
    finite = np.where(np.isfinite(found), found, 0.0)
    return int(found.size), round(float((weight * np.arcsinh(finite / SMALLEST)).sum()), 6)


def _checksum(words: list[str]) -> str:
    return f"{zlib.crc32('|'.join(words).encode()):08x}"


def _same(now: list[Any] | None, kept: list[Any] | None) -> bool:
    if now is None or kept is None:
        return False
    (size, found, words), (size_then, found_then, words_then) = now, kept
    close = CLOSE * max(1.0, size / 1000.0)
    return (size, words) == (size_then, words_then) and math.isclose(found, found_then, abs_tol=close)
