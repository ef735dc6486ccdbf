"""The keys of a file as plain data, for a form that a builder fills in."""

from typing import Any, cast

from finial.core.dimensions import Dimension, units_of
from finial.files.fields import Measured
from finial.files.sheet_keys import KeyValue, inner_table
from finial.files.sheet_rows import BUILD_SHEET, SheetFile, rows_of


def form_fields(file: SheetFile = BUILD_SHEET) -> list[dict[str, Any]]:
    """Every key from top to bottom: lists, dictionaries, texts, numbers and booleans only.

    Each has its ``path``, ``meaning``, ``default`` and ``example``, whether it is ``required``, the tables
    whose entries it names, and what it accepts. Bounds are in SI; of the ``units`` the first is the usual.
    What does not belong to a kind is ``None``.

    Raises
    ------
    BuildSheetError
        If the example project cannot be read.

    Examples
    --------
    >>> fields = {field["path"]: field for field in form_fields()}
    >>> fields["part.print.infill"]["at_most"]
    1
    >>> fields["rod.stations"]["entries"][0]["units"][:3]
    ['mm', 'cm', 'm']
    """
    return [
        {
            "path": row.dotted,
            "meaning": row.key.meaning,
            "required": row.key.required,
            "default": _listed(row.key.default),
            "example": row.example.value if row.example and inner_table(row.key.value) is None else None,
            "names_entry_of": row.names_entry_of or None,
            **_accepted(row.key.value),
        }
        for row in rows_of(file)
    ]


def _accepted(value: KeyValue) -> dict[str, Any]:
    return {
        "kind": value.kind.value,
        **_measured(value.measured),
        "choices": list(value.choices) or None,
        "names": value.names or None,
        "pattern": value.spelled.pattern if value.spelled else None,
        "least": value.least,
        "most": value.most,
        "word": (value.table.word or None) if value.table else None,
        "entries": [_accepted(entry) for entry in value.entries] or None,
    }


def _measured(measured: Measured | None) -> dict[str, Any]:
    if measured is None:
        return dict.fromkeys(("dimension", "units", "at_least", "above", "at_most"))
    return {
        "dimension": measured.dimension.value,
        "units": [unit.symbol for unit in units_of(Dimension(measured.dimension))],
        "at_least": measured.minimum,
        "above": measured.above,
        "at_most": measured.maximum,
    }


def _listed(default: Any) -> Any:
    if not isinstance(default, tuple):
        return default
    entries = cast("tuple[Any, ...]", default)
    return list(map(_listed, entries))
