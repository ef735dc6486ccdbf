"""Lay tables and paragraphs out in columns of plain text."""

from textwrap import wrap

from finial.report.document import Table

_GAP = 2
_NARROWEST = 8
"""A column of words is not squeezed below this."""


def paragraph(text: str, width: int, *, first: str = "", rest: str | None = None) -> list[str]:
    """Wrap words to a width; ``first`` and ``rest`` open the first and the following lines."""
    following = " " * len(first) if rest is None else rest
    return wrap(text, width, initial_indent=first, subsequent_indent=following) or [first.rstrip()]


def laid_out(table: Table, width: int, *, indent: int = 2) -> list[str]:
    """Lines of a table no wider than ``width``; long cells wrap, numbers stand right."""
    rows = [table.columns, *table.rows]
    widths = _fitted(
        [max(len(row[column]) for row in rows) for column in range(len(table.columns))],
        width - indent - _GAP * (len(table.columns) - 1),
    )
    lines = [line for row in rows for line in _row(row, widths, table.numbers, indent)]
    head = len(_row(table.columns, widths, table.numbers, indent))
    ruled = " " * indent + (" " * _GAP).join("-" * column for column in widths)
    return [*lines[:head], ruled, *lines[head:]]


def _fitted(wanted: list[int], room: int) -> list[int]:
    """Narrow the widest columns, one character at a time, until they fit."""
    widths = list(wanted)
    while sum(widths) > room and max(widths) > _NARROWEST:
        widths[widths.index(max(widths))] -= 1
    return widths


def _row(cells: tuple[str, ...], widths: list[int], numbers: tuple[int, ...], indent: int) -> list[str]:
    wrapped = [wrap(cell, width) or [""] for cell, width in zip(cells, widths, strict=True)]
    lines = []
    for depth in range(max(map(len, wrapped))):
        parts = []
        for column, (pieces, width) in enumerate(zip(wrapped, widths, strict=True)):
            piece = pieces[depth] if depth < len(pieces) else ""
            parts.append(piece.rjust(width) if column in numbers else piece.ljust(width))
        lines.append((" " * indent + (" " * _GAP).join(parts)).rstrip())
    return lines
