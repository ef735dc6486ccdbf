"""What the columns of a log seem to be: a mapping to confirm, with a question where no heading tells."""

import re
from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np

from finial.core.dimensions import Dimension, find_unit
from finial.files.edit import toml_value
from finial.files.flight_log.mapping import NOT_ANSWERED
from finial.files.flight_log.rows import SEPARATORS, LogText, columns_of

_UNIT = re.compile(r"[(\[]\s*([^()\[\]]+?)\s*[)\]]")
_WORD = re.compile(r"[a-z]+")
_AXIS = re.compile(r"(?:^|[^a-z])([xyz])(?:[^a-z]|$)|(?:acc|accel|gyro|rate|turn|a|g|w)_?([xyz])(?:[^a-z]|$)")

_LOOKED_AT = 20_000
"""Rows that a guess looks at."""


class LogTable(StrEnum):
    """Tables of a mapping."""

    TIME = "time"
    PRESSURE = "pressure"
    HEIGHT = "height"
    ACCELERATION = "acceleration"
    TURNING = "turning"


_WORDS = {
    LogTable.TIME: ("time", "t", "clock", "millis", "timestamp", "seconds", "elapsed"),
    LogTable.PRESSURE: ("pressure", "press", "baro", "barometer", "p"),
    LogTable.HEIGHT: ("height", "altitude", "alt", "agl", "h"),
    LogTable.ACCELERATION: ("acceleration", "accel", "acc", "ax", "ay", "az", "felt"),
    LogTable.TURNING: ("turning", "gyro", "rate", "rotation", "omega", "wx", "wy", "wz", "gx", "gy", "gz"),
}
"""Plain words of the trade that a heading may hold."""
_KINDS = {
    LogTable.TIME: Dimension.TIME,
    LogTable.PRESSURE: Dimension.PRESSURE,
    LogTable.HEIGHT: Dimension.LENGTH,
    LogTable.ACCELERATION: Dimension.ACCELERATION,
    LogTable.TURNING: Dimension.TURN_RATE,
}


class LogQuestion(StrEnum):
    """What a guess leaves open."""

    UNIT = "unit"
    UP = "up"
    MEASURED_BY = "measured_by"
    COLUMN = "column"


@dataclass(frozen=True, slots=True, kw_only=True)
class ColumnGuess:
    """One table of the mapping as it seems to be."""

    table: LogTable
    columns: tuple[tuple[str, int], ...]
    """Key in the table (``column``, ``x``, ``y``, ``z``) and place of the column."""
    names: tuple[str, ...]
    unit: str
    """``?`` where no heading tells it."""
    up: str = ""
    """Axis to the tip, where the table has axes; ``?`` where the pad does not tell it."""
    measured_by: str = ""
    """Of a height beside places: ``?``, for no heading tells whether air or satellites told it."""
    low: float
    high: float
    """Ends of what its first column reads, for whoever answers."""

    @property
    def open(self) -> tuple[LogQuestion, ...]:
        """What must be answered before it can be used."""
        asked = (
            (LogQuestion.UNIT, self.unit),
            (LogQuestion.UP, self.up),
            (LogQuestion.MEASURED_BY, self.measured_by),
        )
        return tuple(what for what, told in asked if told == NOT_ANSWERED)


def guesses(text: LogText) -> tuple[ColumnGuess, ...]:
    """Say what each column seems to be, by its heading; units only where a heading tells them.

    Raises
    ------
    LogError
        If rows cannot be read.
    """
    found = [
        guess
        for table in LogTable
        if (guess := _guess(text, table, _columns_called(text, table))) is not None
    ]
    if not _places(text):
        return tuple(found)
    return tuple(
        replace(guess, measured_by=NOT_ANSWERED) if guess.table is LogTable.HEIGHT else guess
        for guess in found
    )


def mapping_text(text: LogText, found: tuple[ColumnGuess, ...]) -> str:
    """Write the mapping that the guesses make, questions and all."""
    named = {mark: name for name, mark in SEPARATORS.items()}
    lines = [
        "# What the columns of this log are. Guessed from its headings: read it before you use it.",
        f"separator = {toml_value(named[text.separator])}",
    ]
    if not any(guess.table is LogTable.TIME for guess in found):
        lines += ["", "[time]", f'step = "{NOT_ANSWERED}"  # time from row to row, such as "10 ms"']
    for guess in found:
        lines += ["", f"[{guess.table}]", *_table_lines(text, guess)]
    places = _places(text)
    if places:
        told = [f"{key} = {toml_value(text.headings[place])}" for key, place in places]
        lines += ["", "[position]", *told]
    return "\n".join(lines) + "\n"


def answered(guess: ColumnGuess, asked: LogQuestion, told: str) -> ColumnGuess:
    """Put an answer in the place of a question."""
    if asked is LogQuestion.UNIT:
        return replace(guess, unit=told)
    return replace(guess, up=told) if asked is LogQuestion.UP else replace(guess, measured_by=told)


def _places(text: LogText) -> tuple[tuple[str, int], ...]:
    """Columns of a receiver's places; none where one of the two is missing."""
    words = {"latitude": ("latitude", "lat"), "longitude": ("longitude", "lon", "lng", "long")}
    found: list[tuple[str, int]] = []
    for key, spellings in words.items():
        for place, heading in enumerate(text.headings):
            if set(_WORD.findall(heading.casefold().replace("_", " "))) & set(spellings):
                found.append((key, place))
                break
    return tuple(found) if len(found) == 2 else ()


def _table_lines(text: LogText, guess: ColumnGuess) -> list[str]:
    told = [
        f"{key} = {toml_value(text.headings[place] if text.headings else place + 1)}"
        for key, place in guess.columns
    ]
    note = f"  # reads {guess.low:g} to {guess.high:g}" if guess.unit == NOT_ANSWERED else ""
    told.append(f"unit = {toml_value(guess.unit)}{note}")
    if guess.measured_by:
        told.append(f'measured_by = {toml_value(guess.measured_by)}  # "pressure" or "satellites"')
    if guess.up:
        note = (
            "  # which of its axes points to the tip"
            if guess.up == NOT_ANSWERED
            else "  # felt 1 g on the pad"
        )
        told.append(f"up = {toml_value(guess.up)}{note}")
    return told


def _columns_called(text: LogText, table: LogTable) -> list[int]:
    """Places of the columns whose heading holds a word of the table, in the order of the words."""
    found: list[tuple[int, int]] = []
    for place, heading in enumerate(text.headings):
        plain = _UNIT.sub(" ", heading).casefold().replace("_", " ")
        ranks = [_WORDS[table].index(word) for word in _WORD.findall(plain) if word in _WORDS[table]]
        if ranks:
            found.append((min(ranks), place))
    return [place for _, place in sorted(found)]


def _guess(text: LogText, table: LogTable, places: list[int]) -> ColumnGuess | None:
    if not places:
        return None
    axes = table in (LogTable.ACCELERATION, LogTable.TURNING)
    columns = _axes(text, places) if axes else [("column", places[0])]
    values = columns_of(text, tuple(sorted({place for _, place in columns})), most=_LOOKED_AT).values
    first = values[columns[0][1]]
    unit = _unit_told(text.headings[columns[0][1]], _KINDS[table])
    return ColumnGuess(
        table=table,
        columns=tuple(columns),
        names=tuple(text.headings[place] for _, place in columns),
        unit=unit,
        up=_up(columns, values, unit) if table is LogTable.ACCELERATION else (NOT_ANSWERED if axes else ""),
        low=float(np.nanmin(first)),
        high=float(np.nanmax(first)),
    )


def _axes(text: LogText, places: list[int]) -> list[tuple[str, int]]:
    """Columns by the axis that their heading names; a single one without an axis counts as x."""
    found: dict[str, int] = {}
    for place in sorted(places):
        plain = _UNIT.sub(" ", text.headings[place]).casefold()
        told = _AXIS.search(plain)
        letter = (told[1] or told[2]) if told else ""
        if letter and letter not in found:
            found[letter] = place
    return sorted(found.items()) or [("x", places[0])]


def _unit_told(heading: str, kind: Dimension) -> str:
    """Read the unit in brackets, or behind the last underscore; a question where neither is one."""
    told = _UNIT.search(heading)
    tail = heading.rpartition("_")[2]
    for spelling in filter(None, (told[1] if told else "", tail, "/".join(heading.rsplit("_", 2)[-2:]))):
        unit = find_unit(spelling, kind)
        if unit is not None:
            return unit.symbol
    return NOT_ANSWERED


def _up(columns: list[tuple[str, int]], values: dict[int, np.ndarray], unit: str) -> str:
    """Axis that felt the weight in the first rows, where one alone did; a question otherwise."""
    known = find_unit(unit, Dimension.ACCELERATION)
    if known is None:
        return NOT_ANSWERED
    at_rest = {key: float(np.nanmedian(values[place][:50]) * float(known.factor)) for key, place in columns}
    heavy = [key for key, felt in at_rest.items() if abs(abs(felt) - 9.81) < 2.0]
    return f"{'+' if at_rest[heavy[0]] > 0 else '-'}{heavy[0]}" if len(heavy) == 1 else NOT_ANSWERED
