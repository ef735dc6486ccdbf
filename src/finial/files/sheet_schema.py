"""JSON Schemas of the build sheet, a motor's file and a site's file, for editors that complete and check.

An editor says at once what :func:`finial.files.sheet.read_sheet` would say later: unknown keys, missing
ones, numbers without a unit. Bounds of quantities and faults between fields only the reader finds.
"""

import json
import re
from collections.abc import Iterator
from typing import Any

from finial.core.dimensions import Dimension, units_of
from finial.files.fields import Measured
from finial.files.sheet_keys import (
    Key,
    KeyKind,
    KeyTable,
    KeyValue,
    bounds_words,
    every_table,
    inner_table,
    table_of,
)
from finial.files.sheet_rows import SheetFile, rows_of

DIALECT = "https://json-schema.org/draft/2020-12/schema"

_NUMBER = r"[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?"
_STATION = "station"
_FROM_A_PART = (
    r"^\s*([^'\"]+\s+(below|above)\s+)?(the\s+)?(top|middle|bottom)\s+of\s+('[^']+'|\"[^\"]+\")\s*$"
)
_GIVE_OR_TAKE = r"\s*(\+/?-|±)\s*"


def schema_text(file: SheetFile) -> str:
    """Write the schema of one kind of file as it is saved.

    Raises
    ------
    BuildSheetError
        If the example project cannot be read.
    """
    return json.dumps(json_schema(file), indent=1, ensure_ascii=False) + "\n"


def json_schema(file: SheetFile) -> dict[str, Any]:
    """Build the schema of one kind of file, draft 2020-12.

    Raises
    ------
    BuildSheetError
        If the example project cannot be read.
    """
    table, rows = table_of(file.record), rows_of(file)
    examples = {id(row.key): row.example.value for row in reversed(rows) if row.example is not None}
    inner = [each for each in every_table(table) if each != table]
    every = [measured for each in (table, *inner) for measured in _measured(each)]
    dimensions = sorted({measured.dimension for measured in every})
    return {
        "$schema": DIALECT,
        "title": f"{file.title} of Finial",
        **_table(table, examples),
        "$defs": {
            **{dimension.value: _quantity(dimension) for dimension in dimensions},
            **({_STATION: _station()} if any(measured.station for measured in every) else {}),
            **{each.name: _table(each, examples) for each in inner},
        },
    }


def quantity_pattern(dimension: Dimension) -> str:
    r"""Pattern of a quantity of one dimension as a builder writes it, sums and tolerance included.

    Examples
    --------
    >>> mass = re.compile(quantity_pattern(Dimension.MASS))
    >>> [bool(mass.search(text)) for text in ("412 g +- 2 g", "1 lb 2 oz", "412", "3 mm")]
    [True, True, False, False]
    """
    unit = f"({'|'.join(_spelled(unit) for unit in _spellings(dimension))})"
    if dimension is Dimension.RATIO:
        term = rf"{_NUMBER}\s*{unit}?"
        return rf"^\s*{term}({_GIVE_OR_TAKE}{term})?\s*$"
    terms = rf"{_NUMBER}\s*{unit}(\s*{_NUMBER}\s*{unit})*"
    shared = rf"{_NUMBER}{_GIVE_OR_TAKE}{_NUMBER}\s*{unit}"
    return rf"^\s*({terms}({_GIVE_OR_TAKE}{_NUMBER}\s*({unit}|%))?|{shared})\s*$"


def _spellings(dimension: Dimension) -> list[str]:
    """Every spelling of every unit, longest first so that none hides behind its own beginning."""
    found = {text for unit in units_of(dimension) for text in unit.spellings}
    return sorted(found, key=lambda text: (-len(text), text))


def _spelled(unit: str) -> str:
    """Pattern of a unit in every spelling that means the same: raised digits, dots, degree signs."""
    text = re.escape(unit).replace(r"\ ", "[ ·*]+").replace(r"\-", "-")
    text = re.sub(
        r"(?<=[a-z])([23])", lambda found: rf"(\^|\*\*)?[{found[1]}{'²³'[int(found[1]) - 2]}]", text
    )
    text = re.sub(r"^u(?=[A-Za-z])", "[uµμ]", text)
    return text.replace("deg", "(deg|°)").replace("ohm", "(ohm|Ω|\u03a9)")


def _table(table: KeyTable, examples: dict[int, Any]) -> dict[str, Any]:
    required = [key.name for key in table.keys if key.required]
    whole = {
        "type": "object",
        "description": table.meaning,
        "properties": {key.name: _property(key, examples.get(id(key))) for key in table.keys},
        **({"required": required} if required else {}),
        "additionalProperties": False,
    }
    one_key = {**whole, "minProperties": 1, "maxProperties": 1}
    return {"anyOf": [{"const": table.word}, one_key]} if table.word else whole


def _measured(table: KeyTable) -> Iterator[Measured]:
    for key in table.keys:
        yield from _in_value(key.value)


def _in_value(value: KeyValue) -> Iterator[Measured]:
    if value.measured:
        yield value.measured
    for entry in value.entries:
        yield from _in_value(entry)


def _property(key: Key, example: Any) -> dict[str, Any]:
    bounds = bounds_words(key.value.measured) if key.value.measured else ""
    found = {"description": f"{key.meaning} {bounds.capitalize()}".strip(), **_value(key.value)}
    if key.default is not None:
        found["default"] = key.default
    if example is not None and (inner_table(key.value) is None or isinstance(example, str)):
        found["examples"] = [example]
    return found


def _value(value: KeyValue) -> dict[str, Any]:
    match value.kind:
        case KeyKind.QUANTITY:
            return {"$ref": f"#/$defs/{_definition(value.measured)}"} if value.measured else {}
        case KeyKind.COUNT:
            return _without_none({"type": "integer", "minimum": value.least, "maximum": value.most})
        case KeyKind.CHOICE:
            return {"enum": list(value.choices)}
        case KeyKind.YES_NO:
            return {"type": "boolean"}
        case KeyKind.LIST:
            return _list(value)
        case KeyKind.TABLE:
            return {"$ref": f"#/$defs/{value.table.name}"} if value.table else {}
        case KeyKind.TEXT:
            return _without_none(
                {
                    "type": "string",
                    "minLength": value.least,
                    "maxLength": value.most,
                    "pattern": f"^({value.spelled.pattern})$" if value.spelled else None,
                }
            )


def _quantity(dimension: Dimension) -> dict[str, Any]:
    kinds = ["string", "number"] if dimension is Dimension.RATIO else "string"
    return {"type": kinds, "pattern": quantity_pattern(dimension)}


def _definition(measured: Measured) -> str:
    return _STATION if measured.station else measured.dimension.value


def _station() -> dict[str, Any]:
    """Return what a station may be: a length, or a place from an end of a part."""
    return {
        "anyOf": [
            {"$ref": f"#/$defs/{Dimension.LENGTH.value}"},
            {"type": "string", "pattern": _FROM_A_PART},
        ]
    }


def _list(value: KeyValue) -> dict[str, Any]:
    entries = [_value(entry) for entry in value.entries]
    if len(entries) == 1:
        return _without_none({"type": "array", "items": entries[0], "minItems": value.least})
    return {
        "type": "array",
        "prefixItems": entries,
        "items": False,
        "minItems": value.least,
    }


def _without_none(given: dict[str, Any]) -> dict[str, Any]:
    return {name: value for name, value in given.items() if value is not None}
