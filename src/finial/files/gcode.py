"""Motions of a printer, as a slicing program writes them: ISO 6983 words, one block a line.

Read are G0 to G4, G20 and G21 (or G70 and G71), G28, G90 to G92, M82 and M83; other words are passed over.
Numbers of the words are those of ISO 6983-1, from memory; extrusion on E, M82 and M83 are common practice of
printers, and so are milliseconds after P in G4.
"""

import math
import re
from array import array
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import Fault, MotionError

MOST_BYTES = 400_000_000
MOST_MOVES = 20_000_000
_WORD = re.compile(r"([A-Za-z])\s*([-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?)")
_NOTE = re.compile(r"\([^)]*\)|[;%*].*")
_CHORD_MM = 0.5
_INCH_MM = 25.4


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Motions:
    """Every move of a print in its order; arrays have one row a move."""

    starts_mm: NDArray[np.float64]
    """Shape (n, 3)."""
    ends_mm: NDArray[np.float64]
    """Shape (n, 3)."""
    fed_mm: NDArray[np.float64]
    """Filament pushed by each move, below zero where it is drawn back [mm], shape (n,)."""
    speeds_mm_s: NDArray[np.float64]
    """As told; zero where none was told yet, shape (n,)."""
    dwell_s: float
    """Waits that were told."""


@dataclass(slots=True, kw_only=True)
class _Machine:
    """Where the nozzle is and how its words are meant."""

    place: list[float]
    fed: float = 0.0
    scale: float = 1.0
    absolute: bool = True
    fed_absolute: bool = True
    speed: float = 0.0
    dwell: float = 0.0
    motion: int = 0


def read_motions(path: Path) -> Motions:
    """Read a file of motions.

    Raises
    ------
    MotionError
        If it is not there, too large, no text, holds a word that is no number, or lays nothing.
    """
    try:
        size = path.stat().st_size
        if size > MOST_BYTES:
            raise MotionError(
                [_fault(path, None, f"{size / 1e6:.0f} MB", f"at most {MOST_BYTES / 1e6:.0f} MB")]
            )
        text = path.read_text(encoding="utf-8", errors="strict")
    except OSError as error:
        raise MotionError([_fault(path, None, error.strerror or str(error), "a file of motions")]) from error
    except UnicodeDecodeError as error:
        raise MotionError(
            [_fault(path, None, "bytes that are no text", "motions as text, not in binary")]
        ) from error
    return motions_of(text, path)


def motions_of(text: str, path: Path) -> Motions:
    r"""Take the text of a file of motions as if it stood at a path.

    Examples
    --------
    >>> square = "G21 G90 M83\nG1 Z0.2 F600\nG1 X10 E0.5 F1200\nG1 Y10 E0.5"
    >>> told = motions_of(square, Path("square.gcode"))
    >>> told.ends_mm[-1].tolist(), float(told.fed_mm.sum()), float(told.speeds_mm_s[-1])
    ([10.0, 10.0, 0.2], 1.0, 20.0)
    """
    machine, rows = _Machine(place=[0.0, 0.0, 0.0]), array("d")
    for number, line in enumerate(text.splitlines(), start=1):
        words = _words(line, path, number)
        if words:
            for row in _moves(machine, words, path, number):
                rows.extend(row)
            if len(rows) > 8 * MOST_MOVES:
                raise MotionError(
                    [_fault(path, number, "more moves than are read", f"at most {MOST_MOVES:,} moves")]
                )
    table = np.array(rows, dtype=np.float64).reshape(-1, 8)
    if not (table[:, 6] > 0.0).any():
        raise MotionError(
            [_fault(path, None, "no move that pushes filament", "motions of a print, with E words")]
        )
    return Motions(
        starts_mm=table[:, :3],
        ends_mm=table[:, 3:6],
        fed_mm=table[:, 6],
        speeds_mm_s=table[:, 7],
        dwell_s=machine.dwell,
    )


def _words(line: str, path: Path, number: int) -> list[tuple[str, float]]:
    bare = _NOTE.sub(" ", line)
    words = [(letter.upper(), float(value)) for letter, value in _WORD.findall(bare)]
    moves = bool(words) and words[0][0] == "G" and words[0][1] in (0.0, 1.0, 2.0, 3.0)
    if moves and _WORD.sub("", bare).strip():
        raise MotionError([_fault(path, number, line.strip(), "letters with a number each, such as X12.5")])
    if not all(math.isfinite(value) for _, value in words):
        raise MotionError([_fault(path, number, line.strip(), "numbers that are finite")])
    return words


def _moves(
    machine: _Machine, words: list[tuple[str, float]], path: Path, number: int
) -> Iterator[tuple[float, ...]]:
    """Obey the words of one block; yield the moves that it makes."""
    told = dict(words)
    for letter, value in words:
        if letter == "G":
            _mode(machine, value, told)
        elif letter == "M" and value in (82.0, 83.0):
            machine.fed_absolute = value == 82.0
    codes = [value for letter, value in words if letter == "G"]
    if any(code in (28.0, 92.0, 4.0) for code in codes):
        return
    if words[0][0] not in "GXYZEFN" or (words[0][0] == "G" and not set(codes) & {0.0, 1.0, 2.0, 3.0}):
        return
    if "F" in told:
        machine.speed = told["F"] * machine.scale / 60.0
    yield from _move(machine, told, path, number)


def _mode(machine: _Machine, code: float, told: dict[str, float]) -> None:
    if code in (0.0, 1.0, 2.0, 3.0):
        machine.motion = int(code)
    elif code in (20.0, 70.0):
        machine.scale = _INCH_MM
    elif code in (21.0, 71.0):
        machine.scale = 1.0
    elif code in (90.0, 91.0):
        machine.absolute = machine.fed_absolute = code == 90.0
    elif code == 4.0:
        machine.dwell += told.get("P", 0.0) / 1e3 + told.get("S", 0.0)
    elif code == 28.0:
        axes = [axis for axis in range(3) if "XYZ"[axis] in told] or [0, 1, 2]
        for axis in axes:
            machine.place[axis] = 0.0
    elif code == 92.0:
        for axis, letter in enumerate("XYZ"):
            machine.place[axis] = told.get(letter, machine.place[axis] / machine.scale) * machine.scale
        machine.fed = told.get("E", machine.fed / machine.scale) * machine.scale


def _move(machine: _Machine, told: dict[str, float], path: Path, number: int) -> Iterator[tuple[float, ...]]:
    start = tuple(machine.place)
    end = tuple(
        (0.0 if machine.absolute else start[axis]) + told[letter] * machine.scale
        if letter in told
        else start[axis]
        for axis, letter in enumerate("XYZ")
    )
    pushed = 0.0
    if "E" in told:
        pushed = told["E"] * machine.scale - (machine.fed if machine.fed_absolute else 0.0)
        machine.fed += pushed
    machine.place = list(end)
    if machine.motion in (2, 3) and ("I" in told or "J" in told or "R" in told):
        yield from _arc(machine, (start, end), told, pushed, (path, number))
    elif start != end or pushed:
        yield (*start, *end, pushed, machine.speed)


def _arc(
    machine: _Machine,
    ends: tuple[tuple[float, ...], tuple[float, ...]],
    told: dict[str, float],
    pushed: float,
    where: tuple[Path, int],
) -> Iterator[tuple[float, ...]]:
    """Yield an arc as chords of half a millimetre: clockwise for G2, the other way for G3."""
    (x0, y0, z0), (x1, y1, z1) = ends
    clockwise = machine.motion == 2
    if "R" in told:
        middle = _middle(ends, told["R"] * machine.scale, clockwise)
    else:
        middle = (x0 + told.get("I", 0.0) * machine.scale, y0 + told.get("J", 0.0) * machine.scale)
    if middle is None:
        raise MotionError(
            [_fault(*where, "an arc whose radius does not reach", "a radius of half its chord at least")]
        )
    radius = math.hypot(x0 - middle[0], y0 - middle[1])
    first = math.atan2(y0 - middle[1], x0 - middle[0])
    turn = math.atan2(y1 - middle[1], x1 - middle[0]) - first
    turn = turn % math.tau
    if clockwise:
        turn -= math.tau
    if abs(turn) < 1e-9 or (x0, y0) == (x1, y1):
        turn = -math.tau if clockwise else math.tau
    count = max(1, min(10_000, math.ceil(abs(turn) * radius / _CHORD_MM)))
    last = (x0, y0, z0)
    for step in range(1, count + 1):
        share = step / count
        angle = first + share * turn
        x, y = middle[0] + radius * math.cos(angle), middle[1] + radius * math.sin(angle)
        here = (x1, y1, z1) if step == count else (x, y, z0 + share * (z1 - z0))
        yield (*last, *here, pushed / count, machine.speed)
        last = here


def _middle(
    ends: tuple[tuple[float, ...], tuple[float, ...]], radius: float, clockwise: bool
) -> tuple[float, float] | None:
    (x0, y0, _), (x1, y1, _) = ends
    chord = math.hypot(x1 - x0, y1 - y0)
    if chord == 0.0 or abs(radius) < chord / 2 * (1 - 1e-9):
        return None
    off = math.sqrt(max(radius**2 - chord**2 / 4, 0.0)) / chord
    # A radius above zero takes the shorter way round: its middle lies to the right for a clockwise arc.
    side = -1.0 if clockwise == (radius > 0.0) else 1.0
    return (x0 + x1) / 2 - side * off * (y1 - y0), (y0 + y1) / 2 + side * off * (x1 - x0)


def _fault(path: Path, line: int | None, given: str, accepted: str) -> Fault:
    return Fault(file=str(path), line=line, field="motions", given=given, accepted=accepted)
