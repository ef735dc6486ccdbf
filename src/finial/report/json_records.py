"""The answer as plain lists and objects, ready for JSON.

SI units and radians throughout; the keys are the records' own, which name the unit. An
estimate becomes an object with value, low, high, known_by, method, source, inside_range.
Meshes are left out: they are large, and the sheet names them; so are tables and time
histories unless they are asked for.
"""

import json
import math
from collections.abc import Mapping, Sequence
from dataclasses import fields, is_dataclass
from enum import Enum, IntEnum
from typing import Any, cast

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import MissingData
from finial.core.estimates import KnownBy
from finial.core.version import __version__
from finial.findings.finding import Finding, Verdict
from finial.findings.readiness import Depth, Readiness
from finial.flight.uncertain import Drawn, Uncertain
from finial.report.finding_words import limit, title, what_to_change, why
from finial.report.shown import Shown
from finial.report.words import CAUTION, Answered, answer

SCHEMA_VERSION = 1
"""Rises when a key changes its name or its meaning; new keys alone do not raise it."""

MESHES = frozenset({"display_mesh", "fin_faces", "loops", "cavity"})
"""Large, and the sheet names the files they came from."""
LONG = frozenset(
    {"skin", "table", "trace", "histories", "history", "modes", "growing", "sweep", "followed", "wind_over"}
)
"""Tables and time histories that pictures are drawn from: given where they are asked for."""
VIEWS = {
    "inside": ("inside",),
    "air": ("air", "stability"),
    "flight": ("flight",),
    "strength": ("strength", "strength_study"),
    "recovery": ("recovery", "recovery_study"),
}
"""Parts of the answer that a command of that name prints, beside the verdict and the findings."""
_ALWAYS = ("name", "note", "sheet_file", "us_units", "depth", "verdict", "findings")


def to_json(readiness: Readiness, *, view: str = "", full: bool = False) -> str:
    """Return the answer as JSON text: all of it, or one view; ``full`` adds tables and time histories.

    Raises
    ------
    MissingData
        If there is no such view.
    """
    return json.dumps(
        to_plain(readiness, view=view, full=full), allow_nan=False, ensure_ascii=False, indent=1
    )


def to_plain(readiness: Readiness, *, view: str = "", full: bool = False) -> dict[str, Any]:
    """Return the answer as a dictionary that :func:`json.dumps` takes as it is.

    Numbers that are not finite become ``None``: JSON has no word for them.

    Raises
    ------
    MissingData
        If there is no such view.
    """
    if view and view not in VIEWS:
        raise MissingData(f"no view {view!r}: there are {', '.join(VIEWS)}", VIEWS)
    shown = Shown(us_units=readiness.us_units)
    kept = (*_ALWAYS, *VIEWS[view]) if view else tuple(field.name for field in fields(readiness))
    told = {name: _plain(getattr(readiness, name), full=full) for name in kept if name != "findings"}
    findings = [finding_plain(finding, shown) for finding in readiness.findings]
    return {**opening_plain(readiness), **told, "findings": findings}


def finding_plain(finding: Finding, shown: Shown) -> dict[str, Any]:
    """Return a finding as data, and what it says in the sheet's units under ``words``."""
    words = {
        "title": title(finding, shown),
        "limit": limit(finding, shown),
        "why": why(finding, shown),
        "change": what_to_change(finding, shown),
    }
    return {**_record(finding), "words": words}


def plain(value: object) -> Any:
    """Return any record of an answer as plain lists and objects, by the rules above."""
    return _plain(value, full=True)


def opening_plain(readiness: Answered) -> dict[str, Any]:
    """Return what stands above every answer: versions, units, the verdict in a sentence, the caution."""
    return {
        "schema_version": SCHEMA_VERSION,
        "finial_version": __version__,
        "units": "SI: m, kg, s, N, Pa, J, A, V, K; angles in radians",
        "answer": answer(readiness),
        "caution": CAUTION,
    }


def plain_short(value: object, *, full: bool) -> Any:
    """Return a record as plain lists and objects; tables and time histories only with ``full``."""
    return _plain(value, full=full)


def _record(record: object, *, full: bool = True) -> dict[str, Any]:
    return {
        field.name: _plain(getattr(record, field.name), full=full)
        for field in fields(record)  # type: ignore[arg-type]
        if field.name not in MESHES and (full or field.name not in LONG)
    }


def _plain(value: object, *, full: bool) -> Any:
    if isinstance(value, KnownBy):
        return value.word
    if isinstance(value, Verdict):
        return value.words
    if isinstance(value, Depth | Drawn):
        return value.name.lower()
    if isinstance(value, Uncertain):
        return {"name": value.name, **_record(value, full=full)}
    if value is None or isinstance(value, bool | np.bool_):
        return None if value is None else bool(cast("bool | np.bool_", value))
    if isinstance(value, str):
        return str(value)
    if isinstance(value, int | np.integer) and not isinstance(value, IntEnum):
        return int(cast("int | np.integer[Any]", value))
    if isinstance(value, float | np.floating):
        number = float(cast("float | np.floating[Any]", value))
        return number if math.isfinite(number) else None
    if isinstance(value, Enum):
        return value.value
    return _container(value, full)


def _container(value: object, full: bool) -> Any:
    if isinstance(value, np.ndarray):
        listed = cast("NDArray[np.generic]", value).tolist()
        # Tens of thousands of numbers, nearly always finite: looked at together, not one by one.
        return listed if _all_finite(cast("NDArray[np.generic]", value)) else _plain(listed, full=full)
    if isinstance(value, tuple | list):
        return [_plain(part, full=full) for part in cast("Sequence[object]", value)]
    if isinstance(value, Mapping):
        return {
            str(name): _plain(part, full=full)
            for name, part in cast("Mapping[object, object]", value).items()
        }
    if is_dataclass(value):
        return _record(value, full=full)
    raise TypeError(f"a record holds a {type(value).__name__}, which has no JSON form")


def _all_finite(array: NDArray[np.generic]) -> bool:
    return array.dtype == np.float64 and bool(np.isfinite(array).all())
