"""Lay tables and paragraphs out in columns of plain text."""

from functools import partial
from textwrap import wrap

from finial.report.document import Table

_GAP = 2
_NARROW_WORDS, _NARROWEST = 12, 8
"""Columns of words are not squeezed below the first while numbers stay whole, nothing below the second."""


def paragraph(text: str, width: int, *, first: str = "", rest: str | None = None) -> list[str]:
    """Wrap words to a width; ``first`` and ``rest`` open the first and the following lines."""
    following = " " * len(first) if rest is None else rest
    return _wrapped(text, width, first, following) or [first.rstrip()]


def laid_out(table: Table, width: int, *, indent: int = 2) -> list[str]:
    """Lines of a table no wider than ``width``; long cells wrap, numbers stand right."""
    rows = [table.columns, *table.rows]
    widths = _fitted(rows, table.numbers, width - indent - _GAP * (len(table.columns) - 1))
    lines = [line for row in rows for line in _row(row, widths, table.numbers, indent)]
    head = len(_row(table.columns, widths, table.numbers, indent))
    ruled = " " * indent + (" " * _GAP).join("-" * column for column in widths)
    return [*lines[:head], ruled, *lines[head:]]


def _fitted(rows: list[tuple[str, ...]], numbers: tuple[int, ...], room: int) -> list[int]:
    """Narrow columns until all fit: words first, numbers only when words cannot give more.

    Each step takes a character from the column where that costs the fewest lines.
    """
    lengths = [[len(cell) for cell in row] for row in rows]
    widths = [max(column) for column in zip(*lengths, strict=True)]
    words = [column for column in range(len(widths)) if column not in numbers]
    for columns, least in ((words, _NARROW_WORDS), (list(range(len(widths))), _NARROWEST)):
        while sum(widths) > room:
            free = [column for column in columns if widths[column] > least]
            if not free:
                break
            widths[min(free, key=partial(_cost, lengths, widths))] -= 1
    return widths


def _cost(lengths: list[list[int]], widths: list[int], column: int) -> tuple[int, int]:
    """Lines the table would take with one character less in a column; among equals the widest gives."""
    tried = [max(1, width - (index == column)) for index, width in enumerate(widths)]
    lines = sum(max(-(-length // width) for length, width in zip(row, tried, strict=True)) for row in lengths)
    return lines, -widths[column]


def _wrapped(text: str, width: int, first: str = "", rest: str = "") -> list[str]:
    """Wrap, keeping a number and its per cent sign on one line."""
    kept = text.replace(" %", "\N{NO-BREAK SPACE}%")
    lines = wrap(kept, width, initial_indent=first, subsequent_indent=rest)
    return [line.replace("\N{NO-BREAK SPACE}", " ") for line in lines]


def _row(cells: tuple[str, ...], widths: list[int], numbers: tuple[int, ...], indent: int) -> list[str]:
    wrapped = [_wrapped(cell, width) or [""] for cell, width in zip(cells, widths, strict=True)]
    lines: list[str] = []
    for depth in range(max(map(len, wrapped))):
        parts: list[str] = []
        for column, (pieces, width) in enumerate(zip(wrapped, widths, strict=True)):
            piece = pieces[depth] if depth < len(pieces) else ""
            parts.append(piece.rjust(width) if column in numbers else piece.ljust(width))
        lines.append((" " * indent + (" " * _GAP).join(parts)).rstrip())
    return lines
