"""Pydantic's errors in the builder's words: where, what was given, what is accepted."""

from collections.abc import Iterator
from difflib import get_close_matches
from typing import Any, get_args

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from finial.core.errors import Fault
from finial.core.units import wanted
from finial.files.fields import Measured
from finial.files.source import TomlSource
from finial.files.toml_places import KeyPath

_WORDS = {
    "string_type": "text in quotes",
    "tuple_type": "a list in square brackets [ ]",
    "model_type": "a table: { key = value } or its own [section]",
    "bool_type": "true or false",
}


def faults_from(error: ValidationError, source: TomlSource, model: type[BaseModel]) -> Iterator[Fault]:
    """Turn each thing pydantic found into a fault with its line."""
    for detail in error.errors(include_url=False):
        yield _fault(detail, source, model)


def _fault(detail: ErrorDetails, source: TomlSource, model: type[BaseModel]) -> Fault:
    where: KeyPath = detail["loc"]
    kind, context = detail["type"], detail.get("ctx", {})
    if kind == "refusal":
        return source.fault(where, **context)
    if kind == "extra_forbidden":
        return _unknown_key(where, source, model)
    if kind == "missing":
        return _missing(where, source, model)
    given = _short(detail["input"])
    if kind == "literal_error":
        return _not_listed(where, source, detail["input"], str(context["expected"]))
    if kind == "tuple_type" and isinstance(detail["input"], dict):
        return _single_table(where, source)
    accepted = _WORDS.get(kind) or _counted(kind, context) or detail["msg"].lower()
    return source.fault(where, given=given, accepted=accepted)


def _unknown_key(where: KeyPath, source: TomlSource, model: type[BaseModel]) -> Fault:
    owner = _model_at(where[:-1], model)
    keys = sorted(owner.model_fields) if owner else []
    key = str(where[-1])
    close = get_close_matches(key.casefold(), keys, n=1, cutoff=0.6)
    return source.fault(
        where,
        given=f"unknown key {key!r}",
        accepted=f"one of {', '.join(keys)}",
        likely_slip=f"did you mean {close[0]!r}?" if close else "",
    )


def _missing(where: KeyPath, source: TomlSource, model: type[BaseModel]) -> Fault:
    last = where[-1]
    if isinstance(last, int):
        return source.fault(where[:-1], given=f"{last} values in the list", accepted=f"at least {last + 1}")
    owner = _model_at(where[:-1], model)
    accepted = _accepted_by(owner.model_fields[str(last)]) if owner else "a value"
    return source.fault(
        where, given="nothing", accepted=accepted, likely_slip=f"the key {last!r} is required"
    )


def _not_listed(where: KeyPath, source: TomlSource, given: object, expected: str) -> Fault:
    choices = [choice.strip("' ") for choice in expected.replace(" or ", ",").split(",")]
    close = get_close_matches(str(given).casefold(), choices, n=1, cutoff=0.5)
    return source.fault(
        where,
        given=_short(given),
        accepted=f"one of {', '.join(f'{choice!r}' for choice in choices)}".replace("'", '"'),
        likely_slip=f'did you mean "{close[0]}"?' if close else "",
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


def _accepted_by(field: Any) -> str:
    for mark in _marks(field):
        if isinstance(mark, Measured):
            return wanted(mark.dimension)
    annotation = field.annotation
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return f"a table with {', '.join(annotation.model_fields)}"
    return "text in quotes" if annotation is str else "a value"


def _marks(field: Any) -> Iterator[Any]:
    yield from field.metadata
    for argument in get_args(field.annotation):
        yield from getattr(argument, "__metadata__", ())


def _model_at(where: KeyPath, model: type[BaseModel]) -> type[BaseModel] | None:
    """Follow a path through the models' annotations."""
    for step in where:
        if isinstance(step, int):
            continue
        field = model.model_fields.get(step)
        inner = _model_in(field.annotation) if field else None
        if inner is None:
            return None
        model = inner
    return model


def _model_in(annotation: Any) -> type[BaseModel] | None:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    return next(filter(None, map(_model_in, get_args(annotation))), None)


def _short(given: object) -> str:
    text = f'"{given}"' if isinstance(given, str) else repr(given)
    return text if len(text) <= 80 else f"{text[:77]}..."
