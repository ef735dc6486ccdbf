"""The logbook as the page is told it: curves in the sheet's units, last flight first, faults said."""

from collections.abc import Callable, Coroutine
from pathlib import Path

import httpx
import numpy as np
import pytest
from starlette.applications import Starlette

from finial.files.flight_log.curves import FlightCurves, KeptCurves, KeptEvent
from finial.files.flight_log.kept import KeptFlight, curves_of, keep
from finial.web.flights import flown_list, flown_routes

TIMES = np.array([-1.0, 0.0, 1.0, 10.0])


def curves(top_m: float) -> KeptCurves:
    one = FlightCurves(
        height_m=np.array([0.0, 0.0, 30.48, top_m]),
        climb_m_s=np.array([np.nan, 0.0, 60.96, -3.048]),
        push_m_s2=np.array([9.80665, 9.80665, 49.03325, np.nan]),
    )
    events = (KeptEvent(kind="lift-off", time_s=0.0), KeptEvent(kind="apogee", time_s=10.0))
    return KeptCurves(times_s=TIMES, log=one, predicted=one, corrected=one, events=events)


@pytest.fixture
def sheet(tmp_path: Path) -> Path:
    path = tmp_path / "buoy.toml"
    told = {"vehicle": "Channel Buoy", "logs": ("a.csv",)}
    keep(path, "1 first", KeptFlight.model_validate({**told, "repaired": "the mast"}), curves(300.0))
    keep(path, "2 second", KeptFlight.model_validate({**told, "left_out": True}), curves(304.8))
    return path


def test_the_last_flight_comes_first_in_the_sheets_units(sheet: Path) -> None:
    metric, us = (flown_list(sheet, us_units=us_units) for us_units in (False, True))
    assert [one.name for one in us.flights] == ["2 second", "1 first"]
    assert (us.height_unit, us.climb_unit) == ("ft", "ft/s")
    lines = us.flights[0].lines
    assert lines is not None
    assert lines.log.height == [0.0, 0.0, 100.0, 1000.0]
    assert lines.predicted.climb == [None, 0.0, 200.0, -10.0]
    assert lines.corrected.push == [1.0, 1.0, 5.0, None]
    assert [(mark.name, mark.height) for mark in lines.marks] == [("lift-off", 0.0), ("apogee", 1000.0)]
    assert metric.flights[0].lines is not None
    assert metric.flights[0].lines.log.height[-1] == 304.8


def test_what_was_repaired_and_what_does_not_count_is_said(sheet: Path) -> None:
    second, first = flown_list(sheet, us_units=False).flights
    assert first.said == "repaired: the mast"
    assert second.said == "does not count: left out"


def test_a_flight_whose_curves_are_gone_is_still_told(sheet: Path) -> None:
    curves_of(sheet, "2 second").unlink()
    found = flown_list(sheet, us_units=False)
    assert [one.lines is None for one in found.flights] == [True, False]


def test_a_damaged_logbook_is_a_fault_and_no_traceback(sheet: Path) -> None:
    curves_of(sheet, "1 first").write_text("{", encoding="utf-8")
    found = flown_list(sheet, us_units=False)
    assert found.flights == ()
    assert "no JSON" in found.fault
    assert flown_list(sheet.parent / "elsewhere" / "x.toml", us_units=False).fault == ""


def test_one_address_tells_them_in_the_units_that_are_asked_for(
    sheet: Path, in_a_loop_of_its_own: Callable[[Coroutine], object]
) -> None:
    app = Starlette(routes=flown_routes(sheet, lambda request: "us" in request.url.query))

    async def told(units: str) -> str:
        transport = httpx.ASGITransport(app=app)
        async with httpx.AsyncClient(transport=transport, base_url="http://page") as client:
            return (await client.get(f"/api/flights?units={units}")).json()["height_unit"]

    assert in_a_loop_of_its_own(told("metric")) == "m"
    assert in_a_loop_of_its_own(told("us")) == "ft"
