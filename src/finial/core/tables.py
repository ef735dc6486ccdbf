"""Data tables that ship with a package: CSV with a source column."""

import csv
from functools import cache
from importlib.resources import files

from finial.core.errors import MissingData


@cache
def table_rows(package: str, name: str) -> tuple[dict[str, str], ...]:
    """Rows of a CSV table inside a package, comments (#) left out; read once, to be read only.

    Raises
    ------
    MissingData
        If the package has no such table.
    """
    path = files(package) / name
    if not path.is_file():
        raise MissingData(f"{package} has no table {name}")
    lines = path.read_text(encoding="utf-8").splitlines()
    return tuple(csv.DictReader(line for line in lines if not line.startswith("#")))


def row_named(rows: tuple[dict[str, str], ...], name: str, *, column: str = "name") -> dict[str, str]:
    """Return the row whose ``column`` reads ``name``, letter case ignored.

    Raises
    ------
    MissingData
        If there is none; the message lists the names there are.
    """
    for row in rows:
        if row[column].casefold() == name.casefold():
            return row
    known = [row[column] for row in rows]
    raise MissingData(f"no entry {name!r}: known are {', '.join(known)}", known)
