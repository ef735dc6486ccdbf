"""Read what the page asks; refuse anything outside the sliders' ends."""

import json
import math
from collections.abc import Mapping
from dataclasses import replace

from finial.core.errors import OutsideRange
from finial.core.trees import is_table
from finial.files.typed import Typed
from finial.web.adding import Adding
from finial.web.controls import SPAN_SCALE_ENDS, BallastControl
from finial.web.desk import Desk
from finial.web.session import PageQuestion

_FIELDS = ("ballast", "fin_span_scale", "sheet")


def read_question(
    body: bytes, ballast: tuple[BallastControl, ...], *, has_fins: bool, desk: Desk | None = None
) -> PageQuestion:
    """Read ``{"ballast": {name: kg}, "fin_span_scale": factor, "sheet": {place: text}}``.

    What is left out stays as written.

    Raises
    ------
    OutsideRange
        If it is no such object, names another item, or a number is not finite or out of range.
    """
    return question_in(json_object(body), ballast, has_fins=has_fins, desk=desk)


def question_in(
    given: Mapping[str, object],
    ballast: tuple[BallastControl, ...],
    *,
    has_fins: bool,
    desk: Desk | None = None,
) -> PageQuestion:
    """Take a question out of an object that was read.

    Raises
    ------
    OutsideRange
        If it names another field or item, or a number is not finite or out of range.
    """
    unknown = sorted(set(given) - set(_FIELDS))
    if unknown:
        raise OutsideRange(f"unknown field {unknown[0]!r}: accepted are {', '.join(map(repr, _FIELDS))}")
    masses = given.get("ballast", {})
    if not is_table(masses):
        raise OutsideRange("'ballast' must be an object of item names and masses in kg")
    scale = _number(given.get("fin_span_scale", 1.0), "fin_span_scale", *SPAN_SCALE_ENDS)
    if not has_fins and scale != 1.0:
        raise OutsideRange("this vehicle has no fins whose span could be changed")
    typed = typed_in(given)
    if typed and desk is None:
        raise OutsideRange("this page has no sheet to fill in")
    tried = PageQuestion(ballast_kg=_masses(masses, ballast), fin_span_scale=scale)
    return replace(tried, sheet=desk.changes(typed)) if desk else tried


def read_saving(body: bytes) -> tuple[Typed, str]:
    """Read ``{"sheet": {place: text}, "revision": digits}``: what to write, and into which revision.

    Raises
    ------
    OutsideRange
        If it is no such object.
    """
    given = json_object(body)
    revision = given.get("revision")
    if not isinstance(revision, str):
        raise OutsideRange("'revision' must be the revision that the page was shown")
    return typed_in(given), revision


def read_adding(body: bytes) -> tuple[Adding, str]:
    """Read ``{"table": path, "values": {key: text}, "revision": digits}``: a table to add, and to what.

    Raises
    ------
    OutsideRange
        If it is no such object.
    """
    given = json_object(body)
    table, revision, values = given.get("table"), given.get("revision"), given.get("values")
    if not isinstance(table, str) or not isinstance(revision, str):
        raise OutsideRange("'table' and 'revision' must be texts")
    if not is_table(values) or not all(isinstance(text, str) for text in values.values()):
        raise OutsideRange("'values' must be an object of keys and what was typed for each")
    return Adding(path=table, values={key: str(text) for key, text in values.items()}), revision


def read_taking_away(body: bytes) -> tuple[str, str]:
    """Read ``{"table": place, "revision": digits}``: a table to take away, and from what.

    Raises
    ------
    OutsideRange
        If it is no such object.
    """
    given = json_object(body)
    table, revision = given.get("table"), given.get("revision")
    if not isinstance(table, str) or not isinstance(revision, str):
        raise OutsideRange("'table' and 'revision' must be texts")
    return table, revision


def typed_in(given: Mapping[str, object]) -> Typed:
    """Take what was typed out of a question.

    Raises
    ------
    OutsideRange
        If it is no object of places and texts.
    """
    typed = given.get("sheet", {})
    if not is_table(typed) or not all(isinstance(text, str) for text in typed.values()):
        raise OutsideRange("'sheet' must be an object of places and what was typed there")
    return {name: str(text) for name, text in typed.items()}


def _masses(given: Mapping[str, object], ballast: tuple[BallastControl, ...]) -> dict[str, float]:
    known = {control.name: control for control in ballast}
    for name in given:
        if name not in known:
            names = ", ".join(repr(one) for one in known) or "none"
            raise OutsideRange(f"no ballast is called {name!r}: this vehicle has {names}")
    return {
        name: _number(mass, f"ballast[{name!r}]", known[name].min_kg, known[name].max_kg)
        for name, mass in given.items()
    }


def json_object(body: bytes) -> dict[str, object]:
    """Read a JSON object.

    Raises
    ------
    OutsideRange
        If it is none.
    """
    try:
        # Whole numbers are read as floats too: one of a thousand digits becomes infinite, and is refused.
        given = json.loads(body, parse_int=float)
    except (ValueError, RecursionError) as fault:
        raise OutsideRange("the question is not JSON") from fault
    if not is_table(given):
        raise OutsideRange("the question must be a JSON object")
    return given


def _number(value: object, name: str, low: float, high: float) -> float:
    if not isinstance(value, float) or not math.isfinite(value):
        raise OutsideRange(f"{name}: give a finite number from {low:g} to {high:g}")
    slack = 1e-9 * max(abs(low), abs(high))
    if not low - slack <= value <= high + slack:
        raise OutsideRange(f"{name} = {value:g}: give a number from {low:g} to {high:g}")
    return min(max(value, low), high)
