"""The answer as plain lists and objects, ready for JSON.

SI units and radians throughout; the keys are the records' own, which name the unit. An
estimate becomes an object with value, low, high, known_by, method, source, inside_range.
Meshes are left out: they are large, and the sheet names them.
"""

import json
import math
from dataclasses import fields, is_dataclass
from enum import IntEnum
from typing import Any

import numpy as np

from finial import __version__
from finial.core.estimates import KnownBy
from finial.findings.finding import Verdict
from finial.findings.readiness import Readiness
from finial.report.words import CAUTION, answer

SCHEMA_VERSION = 1
"""Rises when a key changes its name or its meaning; new keys alone do not raise it."""

_LEFT_OUT = frozenset({"display_mesh", "fin_faces", "loops"})


def to_json(readiness: Readiness) -> str:
    """Return the whole answer as JSON text."""
    return json.dumps(to_plain(readiness), allow_nan=False, ensure_ascii=False, indent=1)


def flight_to_json(readiness: Readiness) -> str:
    """Return one flight, its numbers and its trace, as JSON text."""
    flight = {**_opening(readiness), "name": readiness.name, "flight": _plain(readiness.flight)}
    return json.dumps(flight, allow_nan=False, ensure_ascii=False, indent=1)


def to_plain(readiness: Readiness) -> dict[str, Any]:
    """Return the answer as a dictionary that :func:`json.dumps` takes as it is.

    Numbers that are not finite become ``None``: JSON has no word for them.
    """
    return {**_opening(readiness), **_record(readiness)}


def plain(value: object) -> Any:
    """Return any record of an answer as plain lists and objects, by the rules above."""
    return _plain(value)


def _opening(readiness: Readiness) -> dict[str, Any]:
    return {
        "schema_version": SCHEMA_VERSION,
        "finial_version": __version__,
        "units": "SI: m, kg, s, N, Pa, J, A, V, K; angles in radians",
        "answer": answer(readiness),
        "caution": CAUTION,
    }


def _record(record: object) -> dict[str, Any]:
    return {
        field.name: _plain(getattr(record, field.name))
        for field in fields(record)  # type: ignore[arg-type]
        if field.name not in _LEFT_OUT
    }


def _plain(value: object) -> Any:
    if isinstance(value, KnownBy):
        return value.word
    if isinstance(value, Verdict):
        return value.words
    if value is None or isinstance(value, bool | np.bool_):
        return None if value is None else bool(value)
    if isinstance(value, str):
        return str(value)
    if isinstance(value, int | np.integer) and not isinstance(value, IntEnum):
        return int(value)
    if isinstance(value, float | np.floating):
        return float(value) if math.isfinite(value) else None
    if isinstance(value, np.ndarray):
        return _plain(value.tolist())
    if isinstance(value, tuple | list):
        return [_plain(part) for part in value]
    if is_dataclass(value):
        return _record(value)
    raise TypeError(f"a record holds a {type(value).__name__}, which has no JSON form")
