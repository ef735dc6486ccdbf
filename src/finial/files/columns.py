"""Plain columns of numbers with any separator, comments after ``#``, and one heading line."""

import re

SEPARATORS = re.compile(r"\s*[,;\t]\s*|\s+")
UNIT_IN_HEADING = re.compile(r"[(\[]([^()\[\]]*)[)\]]")
NumberedRow = tuple[int, str]


def numbered_rows(text: str) -> list[NumberedRow]:
    r"""Lines that hold something, with their numbers, comments cut off.

    Examples
    --------
    >>> numbered_rows("# heights\n\n10, 4 # low")
    [(3, '10, 4')]
    """
    plain = ((number, row.split("#")[0].strip()) for number, row in enumerate(text.splitlines(), start=1))
    return [(number, row) for number, row in plain if row]


def cells_of(row: str) -> list[str]:
    """Cells of a row."""
    return [cell for cell in SEPARATORS.split(row) if cell]


def number_in(cell: str) -> float | None:
    """Return the number in a cell, ``None`` where it holds none."""
    try:
        return float(cell)
    except ValueError:
        return None


def is_heading(row: str) -> bool:
    """Say whether a row holds no number at all."""
    return all(number_in(cell) is None for cell in cells_of(row))
