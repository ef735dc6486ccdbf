"""The JSON Schema of an answer, made from its records, so that it cannot drift from them."""

import dataclasses
import types
from collections.abc import Mapping
from enum import Enum
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints

import numpy as np

from finial.core.estimates import KnownBy
from finial.findings.finding import Finding, Verdict
from finial.findings.readiness import Depth, Readiness
from finial.report.json_records import LONG, MESHES, SCHEMA_VERSION

DIALECT = "https://json-schema.org/draft/2020-12/schema"
_PLAIN: dict[Any, dict[str, Any]] = {
    str: {"type": "string"},
    bool: {"type": "boolean"},
    int: {"type": "integer"},
    # A number that is not finite has no word in JSON.
    float: {"type": ["number", "null"]},
    type(None): {"type": "null"},
}
_OPENING = {
    "schema_version": {"const": SCHEMA_VERSION},
    "finial_version": {"type": "string"},
    "units": {"type": "string"},
    "answer": {"type": "string", "description": "The verdict in one sentence."},
    "caution": {"type": "string"},
}
_WORDS = {
    "type": "object",
    "description": "What the finding says, in the units that the sheet shows.",
    "properties": {name: {"type": "string"} for name in ("title", "limit", "why", "change")},
    "required": ["title", "limit", "why", "change"],
}


def answer_schema() -> dict[str, Any]:
    """Return the schema of what ``finial check --json`` prints, draft 2020-12.

    Tables and time histories, which come with ``--full`` alone, are not required.
    """
    definitions: dict[str, Any] = {}
    whole = _record(Readiness, definitions)
    definitions["Finding"]["properties"]["words"] = _WORDS
    definitions["Finding"]["required"].append("words")
    whole["properties"] = {**_OPENING, **whole["properties"]}
    whole["required"] = [*_OPENING, *whole["required"]]
    return {
        "$schema": DIALECT,
        "title": "Answer of Finial",
        **whole,
        "$defs": dict(sorted(definitions.items())),
    }


def _record(record: type, definitions: dict[str, Any]) -> dict[str, Any]:
    hints = get_type_hints(record)
    named = [one.name for one in dataclasses.fields(record) if one.name not in MESHES]
    properties = {name: _schema(hints[name], definitions) for name in named}
    return {
        "type": "object",
        "description": (record.__doc__ or "").strip().split("\n")[0],
        "properties": properties,
        "required": [name for name in named if name not in LONG],
        "additionalProperties": record is Finding,
    }


def _schema(hint: Any, definitions: dict[str, Any]) -> dict[str, Any]:
    if hint in _PLAIN:
        return dict(_PLAIN[hint])
    if dataclasses.is_dataclass(hint) and isinstance(hint, type):
        if hint.__name__ not in definitions:
            definitions[hint.__name__] = {}
            definitions[hint.__name__] = _record(hint, definitions)
        return {"$ref": f"#/$defs/{hint.__name__}"}
    if isinstance(hint, type) and issubclass(hint, Enum):
        return {"enum": _members(hint)}
    return _container(get_origin(hint), get_args(hint), definitions)


def _members(kind: type[Enum]) -> list[Any]:
    if issubclass(kind, KnownBy):
        return [one.word for one in kind]
    if issubclass(kind, Verdict):
        return [one.words for one in kind]
    if issubclass(kind, Depth):
        return [one.name.lower() for one in kind]
    return [one.value for one in kind]


def _container(origin: Any, arguments: tuple[Any, ...], definitions: dict[str, Any]) -> dict[str, Any]:
    if origin in (types.UnionType, Union):
        return {"anyOf": [_schema(one, definitions) for one in arguments]}
    if origin is Literal:
        return {"enum": list(arguments)}
    if origin is np.ndarray:
        return {"type": "array"}
    if origin is tuple and arguments[-1] is Ellipsis:
        return {"type": "array", "items": _schema(arguments[0], definitions)}
    if origin is tuple:
        return {"type": "array", "prefixItems": [_schema(one, definitions) for one in arguments]}
    if isinstance(origin, type) and issubclass(origin, Mapping):
        return {"type": "object", "additionalProperties": _schema(arguments[1], definitions)}
    raise TypeError(f"a record holds {origin} of {arguments}, which has no schema")
