"""Rows of delimited text to columns of numbers, a hundred thousand lines at a time."""

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import Fault, LogError

SEPARATORS = {"comma": ",", "semicolon": ";", "tab": "\t", "blank": None}
"""``None``: any run of blanks."""
LARGEST_BYTES = 400_000_000
_LINES_AT_ONCE = 100_000
_LARGEST = 1e15
"""No sensor counts so far."""
_LOOKED_AT = 400
"""First lines that tell where numbers begin."""
_EMPTY = frozenset(("", "-", "--", "nan", "na", "n/a", "null", "none"))
_DECIMAL_COMMA = re.compile(r"^[^,;]*\d,\d[^;]*;|^[^,\t]*\d,\d[^\t]*\t")
_MARKUP = re.compile(r"\s*(<[!?a-zA-Z]|[{\[]\s*[\"{\[])")


@dataclass(frozen=True, slots=True, kw_only=True)
class LogText:
    """A log as lines: where its numbers begin, and what its columns are called."""

    path: Path
    lines: list[str]
    separator: str | None
    first: int
    """Place of the first row of numbers in ``lines``."""
    headings: tuple[str, ...]
    """Empty where no line of names stands above the numbers."""
    width: int
    zeros: int = 0
    """Bytes of zero that were cut from the end: a recorder that lost its power writes them."""
    heading_line: str = ""


@dataclass(slots=True, kw_only=True)
class Columns:
    """Wanted columns as numbers, where each row stood, and what was odd."""

    values: dict[int, NDArray[np.float64]]
    """By place of the column, each (n,); not a number where a cell was empty."""
    lines: NDArray[np.int64]
    """(n,), counted from 1."""
    repeated_headings: list[int] = field(default_factory=list[int])
    odd: list[int] = field(default_factory=list[int])
    """Lines left out: another number of cells, or words where numbers should be."""
    cut_short: int | None = None
    """The last line, where it ends in the middle."""


def log_text(path: Path, separator: str | None = None, *, decimal_comma: bool = False) -> LogText:
    """Read a log as text and find where its numbers begin.

    Raises
    ------
    LogError
        If it is not there, empty, too large, not text, or holds no rows of numbers.
    """
    text, zeros = text_of(path)
    lines = text.splitlines()
    if not any(line.strip() for line in lines):
        raise log_refused(path, None, "nothing but blank lines", "rows of numbers")
    if _MARKUP.match(text):
        raise log_refused(
            path, 1, lines[0][:60], "delimited text: rows of numbers", "a page or a tree of values"
        )
    split = SEPARATORS[separator] if separator else _found_separator(lines)
    first, width = _first_row(path, lines, split, decimal_comma)
    heading, names = _heading(lines[:first], split, width)
    return LogText(
        path=path,
        lines=lines,
        separator=split,
        first=first,
        headings=names,
        width=width,
        zeros=zeros,
        heading_line=heading.strip(),
    )


def columns_of(
    text: LogText, wanted: tuple[int, ...], *, decimal_comma: bool = False, most: int | None = None
) -> Columns:
    """Read some columns as numbers, of the first ``most`` lines; rows that cannot be read are named.

    Raises
    ------
    LogError
        If more than one row in fifty cannot be read, with the first of them.
    """
    found = Columns(values={}, lines=np.empty(0, dtype=np.int64))
    parts: list[NDArray[np.float64]] = []
    numbers: list[NDArray[np.int64]] = []
    end = len(text.lines) if most is None else min(len(text.lines), text.first + most)
    for start in range(text.first, end, _LINES_AT_ONCE):
        values, at = _chunk(
            text, range(start, min(end, start + _LINES_AT_ONCE)), wanted, decimal_comma, found
        )
        parts.append(values)
        numbers.append(at)
    whole, found.lines = np.concatenate(parts), np.concatenate(numbers)
    found.values = {column: whole[:, index] for index, column in enumerate(wanted)}
    _refuse_ragged(text, found)
    return found


def text_of(path: Path) -> tuple[str, int]:
    """Read a file as text, and count the bytes of zero that were cut from its end.

    Raises
    ------
    LogError
        If it is not there, too large, or not text.
    """
    accepted = f"a log as text of at most {LARGEST_BYTES // 1_000_000} MB"
    try:
        if not path.is_file():
            raise log_refused(path, None, "a folder" if path.is_dir() else "no such file", accepted)
        if path.stat().st_size > LARGEST_BYTES:
            raise log_refused(path, None, f"{path.stat().st_size / 1e6:.0f} MB", accepted)
        content = path.read_bytes()
    except OSError as error:
        raise log_refused(path, None, error.strerror or str(error), accepted) from error
    if content.startswith((b"\xff\xfe", b"\xfe\xff")):
        return content.decode("utf-16", errors="replace"), 0
    kept = content.rstrip(b"\x00\xff")
    zeros = len(content) - len(kept)
    if b"\x00" in kept:
        line = kept[: kept.index(b"\x00")].count(b"\n") + 1
        raise log_refused(
            path, line, "bytes that are not text", accepted, "the recorder's own binary file: export it"
        )
    try:
        return kept.decode("utf-8-sig"), zeros
    except UnicodeDecodeError:
        # Degree signs and the like in an old encoding: numbers read the same.
        return kept.decode("latin-1"), zeros


def _found_separator(lines: list[str]) -> str | None:
    """Separator that cuts most of the first lines into the same number of cells, more than one."""
    sample = [line for line in lines[:_LOOKED_AT] if line.strip()][-50:]
    for mark in (";", "\t", ","):
        counts = [line.count(mark) for line in sample]
        usual = sorted(counts)[len(counts) // 2]
        if usual and sum(count == usual for count in counts) > 0.5 * len(counts):
            return mark
    return None


def _first_row(path: Path, lines: list[str], split: str | None, decimal_comma: bool) -> tuple[int, int]:
    """First of two rows of numbers of one width."""
    before = 0
    for index, line in enumerate(lines):
        cells = _cells(line, split)
        numbers = sum(_number(cell, decimal_comma) is not None for cell in cells)
        # A row of numbers has some, and fewer words than numbers.
        is_row = numbers > 0 and 2 * numbers >= len(cells) and not line.lstrip().startswith(("#", "%"))
        if is_row and len(cells) == before:
            return index - 1, before
        before = len(cells) if is_row else 0
    if any(_DECIMAL_COMMA.match(line) for line in lines[:_LOOKED_AT]) and not decimal_comma:
        slip = "decimals with a comma? write decimal_comma = true in the mapping"
        raise log_refused(path, 1, lines[0][:60], "two rows of numbers, one below the other", slip)
    raise log_refused(path, len(lines), f"{len(lines)} lines, no two rows of numbers", "rows of numbers")


def _heading(above: list[str], split: str | None, width: int) -> tuple[str, tuple[str, ...]]:
    """Last line above the numbers that names every column."""
    for line in reversed(above):
        names = tuple(cell.strip().strip("\"'") for cell in _cells(line.lstrip("#% "), split))
        if len(names) == width and all(_number(name, False) is None for name in names):
            return line, names
    return "", ()


def _chunk(
    text: LogText, span: range, wanted: tuple[int, ...], decimal_comma: bool, found: Columns
) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    start, chunk = span.start, text.lines[span.start : span.stop]
    values = None if decimal_comma else _fast(text, chunk, wanted)
    if values is not None:
        return values, np.arange(start + 1, start + 1 + len(chunk))
    kept = list(_slowly(text, start, chunk, wanted, decimal_comma, found))
    values = np.array([cells for _, cells in kept], dtype=float).reshape(-1, len(wanted))
    return values, np.array([line for line, _ in kept], dtype=np.int64)


def _fast(text: LogText, chunk: list[str], wanted: tuple[int, ...]) -> NDArray[np.float64] | None:
    """Read rows that are all of one width and hold nothing but numbers and empty cells."""
    split = text.separator
    widths = (line.count(split) for line in chunk) if split else (len(line.split()) - 1 for line in chunk)
    if any(width != text.width - 1 for width in widths):
        return None
    values = _loaded(chunk, split, wanted)
    if values is None and split:
        empty = re.compile(
            rf"(?<={re.escape(split)})[ ]*(?={re.escape(split)}|$)|^[ ]*(?={re.escape(split)})"
        )
        values = _loaded([empty.sub("nan", line) for line in chunk], split, wanted)
    return None if values is None or (np.abs(values) > _LARGEST).any() else values


def _loaded(chunk: list[str], split: str | None, wanted: tuple[int, ...]) -> NDArray[np.float64] | None:
    try:
        return np.loadtxt(chunk, delimiter=split, usecols=wanted, comments=None, ndmin=2)
    except ValueError:
        return None


def _slowly(
    text: LogText, start: int, chunk: list[str], wanted: tuple[int, ...], decimal_comma: bool, found: Columns
) -> Iterator[tuple[int, list[float]]]:
    """Row by row: what the fast way stumbled over."""
    for number, line in enumerate(chunk, start=start + 1):
        plain = line.strip()
        if not plain or plain.startswith(("#", "%")):
            continue
        if text.heading_line and plain == text.heading_line:
            found.repeated_headings.append(number)
            continue
        cells = _cells(line, text.separator)
        values = (
            [_cell(cells[column], decimal_comma) for column in wanted] if len(cells) == text.width else []
        )
        if values and all(value is not None for value in values):
            yield number, [math.nan if value is None else value for value in values]
        elif number == len(text.lines):
            found.cut_short = number
        else:
            found.odd.append(number)


def _cells(line: str, split: str | None) -> list[str]:
    return line.split(split) if split else line.split()


def _cell(cell: str, decimal_comma: bool) -> float | None:
    """Read the number in a cell, not a number where it is empty, ``None`` where it holds words."""
    return math.nan if cell.strip().casefold() in _EMPTY else _number(cell, decimal_comma)


def _number(cell: str, decimal_comma: bool) -> float | None:
    try:
        found = float(cell.replace(",", ".") if decimal_comma else cell)
    except ValueError:
        return None
    return found if abs(found) <= _LARGEST else None


def _refuse_ragged(text: LogText, found: Columns) -> None:
    count, odd = len(found.lines), len(found.odd)
    if odd > max(5.0, 0.02 * (count + odd)):
        line = found.odd[0]
        raise log_refused(
            text.path,
            line,
            text.lines[line - 1][:80],
            f"{text.width} cells as in the rows before; {odd} of {count + odd} rows are like this one",
            "two logs in one file, or words in a column that the mapping reads",
        )


def log_refused(path: Path, line: int | None, given: str, accepted: str, likely_slip: str = "") -> LogError:
    """Make the error of one fault in a log."""
    fault = Fault(
        file=str(path), line=line, field="log", given=given, accepted=accepted, likely_slip=likely_slip
    )
    return LogError([fault])
