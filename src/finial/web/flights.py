"""Flights of the logbook on the page: each log over the prediction made for its day."""

from collections.abc import Callable
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import BaseRoute, Route

from finial.core.constants import STANDARD_GRAVITY_M_S2
from finial.core.dimensions import Dimension, find_unit
from finial.core.errors import LogError
from finial.files.flight_log.curves import FlightCurves, KeptCurves, read_curves
from finial.files.flight_log.kept import KeptFlight, curves_of, kept_flights
from finial.flown.happening import Seen
from finial.report.log_words import SEEN
from finial.web.replies import fresh


@dataclass(frozen=True, slots=True, kw_only=True)
class FlightLines:
    """One flight on the times of its chart; null where it tells nothing."""

    height: list[float | None]
    """Above the pad."""
    climb: list[float | None]
    push: list[float | None]
    """Felt along the axis, g."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FlownMark:
    """One thing that the log showed."""

    name: str
    time_s: float
    height: float | None
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FlownLines:
    """Log, prediction and corrected model on one time from lift-off."""

    times_s: list[float]
    log: FlightLines
    predicted: FlightLines
    corrected: FlightLines
    marks: tuple[FlownMark, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class FlownFlight:
    """One flight of the logbook; ``lines`` is null where its curves are gone."""

    name: str
    said: str
    lines: FlownLines | None


@dataclass(frozen=True, slots=True, kw_only=True)
class FlownList:
    """The logbook, last flight first, in the sheet's units; ``fault`` says what is wrong with it."""

    height_unit: str
    climb_unit: str
    flights: tuple[FlownFlight, ...]
    fault: str


def flown_list(sheet: Path, *, us_units: bool) -> FlownList:
    """Read the logbook beside a sheet."""
    height, climb = ("ft", "ft/s") if us_units else ("m", "m/s")
    units = _factor(height, Dimension.LENGTH), _factor(climb, Dimension.SPEED)
    try:
        flights = tuple(_flight(sheet, name, kept, units) for name, kept in reversed(kept_flights(sheet)))
        fault = ""
    except LogError as error:
        flights, fault = (), str(error)
    return FlownList(height_unit=height, climb_unit=climb, flights=flights, fault=fault)


def flown_routes(sheet: Path, shows_us: Callable[[Request], bool]) -> list[BaseRoute]:
    """Return the one address that tells the logbook, in the units that a request asks for."""

    async def flights(request: Request) -> Response:
        found = await run_in_threadpool(lambda: flown_list(sheet, us_units=shows_us(request)))
        plain: dict[str, Any] = asdict(found)
        return fresh(JSONResponse(plain))

    return [Route("/api/flights", flights)]


def _flight(sheet: Path, name: str, kept: KeptFlight, units: tuple[float, float]) -> FlownFlight:
    path = curves_of(sheet, name)
    lines = _lines(read_curves(path), units) if path.exists() else None
    told = (
        ("repaired", kept.repaired),
        ("changed", kept.changed),
        ("does not count", "left out" if kept.left_out else ""),
    )
    said = "; ".join(f"{what}: {words}" for what, words in told if words)
    return FlownFlight(name=name, said=said, lines=lines)


def _lines(curves: KeptCurves, units: tuple[float, float]) -> FlownLines:
    log, predicted, corrected = (_of(one, units) for one in (curves.log, curves.predicted, curves.corrected))
    heights = curves.log.height_m / units[0]
    marks = tuple(
        FlownMark(
            name=SEEN[Seen(one.kind)],
            time_s=one.time_s,
            height=_number(float(np.interp(one.time_s, curves.times_s, heights))),
            text=f"{one.time_s:.1f} s",
        )
        for one in curves.events
    )
    times = [round(one, 3) for one in curves.times_s.tolist()]
    return FlownLines(times_s=times, log=log, predicted=predicted, corrected=corrected, marks=marks)


def _of(one: FlightCurves, units: tuple[float, float]) -> FlightLines:
    return FlightLines(
        height=_listed(one.height_m / units[0]),
        climb=_listed(one.climb_m_s / units[1]),
        push=_listed(one.push_m_s2 / STANDARD_GRAVITY_M_S2),
    )


def _listed(values: NDArray[np.float64]) -> list[float | None]:
    return [_number(one) for one in values.tolist()]


def _number(value: float) -> float | None:
    return round(value, 2) if np.isfinite(value) else None


def _factor(symbol: str, dimension: Dimension) -> float:
    unit = find_unit(symbol, dimension)
    assert unit is not None, f"the unit table has no {symbol}"
    return float(unit.factor)
