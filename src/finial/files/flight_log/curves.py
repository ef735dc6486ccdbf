"""Curves of a kept flight, log and prediction on one time: JSON beside its entry in the logbook."""

import json
import math
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import Fault, LogError
from finial.core.trees import is_list, is_table

MOST_POINTS = 5000
_LARGEST_BYTES = 4_000_000
_CURVES = ("height_m", "climb_m_s", "push_m_s2")
_FLIGHTS = ("log", "predicted", "corrected")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FlightCurves:
    """One flight, on the times of its :class:`KeptCurves`, not a number where it tells nothing."""

    height_m: NDArray[np.float64]
    """Above the pad."""
    climb_m_s: NDArray[np.float64]
    push_m_s2: NDArray[np.float64]
    """Felt along the axis."""


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptEvent:
    """One thing that the log showed."""

    kind: str
    time_s: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class KeptCurves:
    """Log, prediction made for that day, and the model corrected by the log; equal only to itself."""

    times_s: NDArray[np.float64]
    """Rising, from lift-off."""
    log: FlightCurves
    predicted: FlightCurves
    corrected: FlightCurves
    events: tuple[KeptEvent, ...]


def curves_bytes(curves: KeptCurves) -> bytes:
    """Write them as JSON; what is not a number becomes null."""
    told: dict[str, Any] = {"times_s": _plain(curves.times_s)}
    for flight in _FLIGHTS:
        one: FlightCurves = getattr(curves, flight)
        told[flight] = {name: _plain(getattr(one, name)) for name in _CURVES}
    told["events"] = [{"kind": one.kind, "time_s": round(one.time_s, 3)} for one in curves.events]
    return json.dumps(told, allow_nan=False).encode()


def read_curves(path: Path) -> KeptCurves:
    """Read the curves of a kept flight.

    Raises
    ------
    LogError
        If the file is not there, too large, or not what :func:`curves_bytes` writes.
    """
    try:
        if path.stat().st_size > _LARGEST_BYTES:
            raise _refused(path, f"{path.stat().st_size} bytes")
        told = json.loads(path.read_bytes())
    except OSError as error:
        raise _refused(path, error.strerror or str(error)) from error
    except (ValueError, RecursionError) as error:
        raise _refused(path, "no JSON") from error
    if not is_table(told):
        raise _refused(path, "no table")
    times = _numbers(path, told, "times_s", None)
    if not (np.isfinite(times).all() and np.all(np.diff(times) > 0.0)):
        raise _refused(path, "times_s that do not rise")
    flights = {name: _flight(path, told.get(name), len(times)) for name in _FLIGHTS}
    return KeptCurves(times_s=times, events=_events(path, told.get("events")), **flights)


def _flight(path: Path, told: Any, count: int) -> FlightCurves:
    if not is_table(told):
        raise _refused(path, "a flight that is no table")
    return FlightCurves(**{name: _numbers(path, told, name, count) for name in _CURVES})


def _numbers(path: Path, told: Any, name: str, count: int | None) -> NDArray[np.float64]:
    values = told.get(name)
    if not is_list(values) or not 1 < len(values) <= MOST_POINTS or (count and len(values) != count):
        raise _refused(path, f"{name} of another length")
    if not all(one is None or _is_number(one) for one in values):
        raise _refused(path, f"{name} with something that is no number")
    return np.array([math.nan if one is None else float(one) for one in values])


def _events(path: Path, told: Any) -> tuple[KeptEvent, ...]:
    if not is_list(told) or len(told) > MOST_POINTS:
        raise _refused(path, "events that are no list")
    found: list[KeptEvent] = []
    for one in told:
        if not (is_table(one) and isinstance(one.get("kind"), str) and _is_number(one.get("time_s"))):
            raise _refused(path, "an event without kind or time_s")
        found.append(KeptEvent(kind=one["kind"], time_s=float(one["time_s"])))
    return tuple(found)


def _is_number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and math.isfinite(value)


def _plain(values: NDArray[np.float64]) -> list[float | None]:
    return [round(one, 3) if math.isfinite(one) else None for one in values.tolist()]


def _refused(path: Path, given: str) -> LogError:
    accepted = "curves as finial log --keep writes them; keep the flight anew"
    return LogError([Fault(file=str(path), field="curves", given=given, accepted=accepted)])
