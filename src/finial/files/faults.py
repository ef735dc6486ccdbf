"""Pydantic's errors in the builder's words: where, what was given, what is accepted."""

from collections.abc import Iterator
from difflib import get_close_matches
from pathlib import Path
from typing import Any, TypeVar

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from finial.core.errors import BuildSheetError, Fault
from finial.files.fields import Record, as_written
from finial.files.sheet_keys import KeyTable, accepted_words, inner_table, table_of
from finial.files.source import TomlSource, read_toml
from finial.files.toml_places import KeyPath

R = TypeVar("R", bound=Record)

_WORDS = {
    "string_type": "text in quotes",
    "tuple_type": "a list in square brackets [ ]",
    "model_type": "a table: { key = value } or its own [section]",
    "bool_type": "true or false",
}


def read_record(
    path: Path, model: type[R], kind: type[BuildSheetError] = BuildSheetError
) -> tuple[R, TomlSource]:
    """Read a TOML file that is one record.

    Raises
    ------
    BuildSheetError
        Of that kind, with all faults in it.
    """
    try:
        source = read_toml(path)
    except BuildSheetError as error:
        raise kind(error.faults) from error
    return record_from(source, model, kind), source


def record_from(source: TomlSource, model: type[R], kind: type[BuildSheetError] = BuildSheetError) -> R:
    """Read a text that is one record.

    Raises
    ------
    BuildSheetError
        Of that kind, with all faults in it.
    """
    try:
        return model.model_validate(source.values)
    except ValidationError as error:
        raise kind(faults_from(error, source, model)) from error


def faults_from(error: ValidationError, source: TomlSource, model: type[Record]) -> Iterator[Fault]:
    """Turn each thing pydantic found into a fault with its line."""
    details = error.errors(include_url=False)
    misspelt = {(*detail["loc"][:-1], _meant_key(detail, model)) for detail in details}
    for detail in details:
        is_told = detail["type"] == "missing" and detail["loc"] in misspelt
        if not is_told and not _is_of_entries(detail, details):
            yield _fault(detail, source, model)


def _is_of_entries(detail: ErrorDetails, details: list[ErrorDetails]) -> bool:
    """Say whether a list counts as too short only because entries of it are faulty themselves."""
    where = detail["loc"]
    inside = (one["loc"] for one in details if len(one["loc"]) > len(where))
    return detail["type"] == "too_short" and any(loc[: len(where)] == where for loc in inside)


def _fault(detail: ErrorDetails, source: TomlSource, model: type[Record]) -> Fault:
    where: KeyPath = detail["loc"]
    kind, context = detail["type"], detail.get("ctx", {})
    if kind == "refusal":
        return source.fault(where, **context)
    if kind == "extra_forbidden":
        return _unknown_key(detail, source, model)
    if kind == "missing":
        return _missing(where, source, model)
    given = as_written(detail["input"])
    if kind == "literal_error":
        return _not_listed(where, source, detail["input"], str(context["expected"]))
    if kind == "tuple_type" and isinstance(detail["input"], dict):
        return _single_table(where, source)
    accepted = _WORDS.get(kind) or _counted(kind, context) or detail["msg"].lower()
    return source.fault(where, given=given, accepted=accepted)


def _unknown_key(detail: ErrorDetails, source: TomlSource, model: type[Record]) -> Fault:
    where, meant = detail["loc"], _meant_key(detail, model)
    owner = _table_at(where[:-1], table_of(model))
    elsewhere = dict(owner.elsewhere).get(str(where[-1]), "") if owner else ""
    return source.fault(
        where,
        given=f"unknown key {where[-1]}",
        accepted=f"one of {', '.join(_keys_at(where[:-1], model))}",
        likely_slip=f"did you mean {meant}?" if meant else elsewhere,
    )


def _meant_key(detail: ErrorDetails, model: type[Record]) -> str | None:
    """Return the key that an unknown one was probably meant to be."""
    if detail["type"] != "extra_forbidden":
        return None
    *above, key = detail["loc"]
    close = get_close_matches(str(key).casefold(), _keys_at(tuple(above), model), n=1, cutoff=0.6)
    return close[0] if close else None


def _keys_at(where: KeyPath, model: type[Record]) -> list[str]:
    owner = _table_at(where, table_of(model))
    return sorted(key.name for key in owner.keys) if owner else []


def _missing(where: KeyPath, source: TomlSource, model: type[Record]) -> Fault:
    last = where[-1]
    if isinstance(last, int):
        return source.fault(where[:-1], given=f"a list of {last}", accepted=f"a list of at least {last + 1}")
    owner = _table_at(where[:-1], table_of(model))
    key = owner.key(str(last)) if owner else None
    accepted = accepted_words(key.value) if key else "a value"
    return source.fault(where, given="nothing", accepted=accepted, likely_slip=f"the key {last} is required")


def _not_listed(where: KeyPath, source: TomlSource, given: object, expected: str) -> Fault:
    choices = [choice.strip("' ") for choice in expected.replace(" or ", ",").split(",")]
    close = [f'"{choice}"' for choice in get_close_matches(str(given).casefold(), choices, n=2, cutoff=0.6)]
    return source.fault(
        where,
        given=as_written(given),
        accepted="one of " + ", ".join(f'"{choice}"' for choice in choices),
        likely_slip=f"did you mean {' or '.join(close)}?" if close else "",
    )


def _single_table(where: KeyPath, source: TomlSource) -> Fault:
    name = ".".join(str(step) for step in where)
    return source.fault(
        where,
        given=f"one table [{name}]",
        accepted=f"a list of tables [[{name}]]",
        likely_slip="double the brackets",
    )


def _counted(kind: str, context: dict[str, Any]) -> str:
    """Words for the errors that speak of a count or a length."""
    if kind == "too_short":
        return f"at least {context['min_length']} entries"
    if kind == "too_long":
        return f"{context['max_length']} entries, not more"
    if kind == "greater_than_equal":
        return f"at least {context['ge']}"
    if kind == "less_than_equal":
        return f"at most {context['le']}"
    if kind == "string_too_short":
        return "text that is not empty"
    return ""


def _table_at(where: KeyPath, table: KeyTable) -> KeyTable | None:
    """Follow a path through the tables."""
    found: KeyTable | None = table
    for step in (step for step in where if isinstance(step, str)):
        key = found.key(step) if found else None
        found = inner_table(key.value) if key else None
    return found
