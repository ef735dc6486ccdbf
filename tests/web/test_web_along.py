"""Curves along the body, stages with their pictures, and units as asked."""

import re
from collections.abc import Callable, Coroutine
from dataclasses import replace

import httpx
import numpy as np
import pytest

from finial.assemble.strength.results import CaseLoads
from finial.core.constants import STANDARD_GRAVITY_M_S2
from finial.findings.readiness import Readiness
from finial.report.album import pictures
from finial.structure.loads.case import Case, Load
from finial.web import stages
from finial.web.along import along_body
from finial.web.app import create_app, in_units
from finial.web.session import Session
from finial.web.stages import staged

from .conftest import PAGE_KEY, with_key

PORT = 8767


def bar(load: Load, first_m: float, last_m: float, moment_n_m: float) -> CaseLoads:
    """Loads that rise evenly from one station to the other."""
    stations = np.array([first_m, last_m])
    rising = np.array([0.0, 1.0])
    return CaseLoads(
        case=Case(load=load),
        stations_m=stations,
        axial_n=100.0 * rising,
        shear_n=-40.0 * rising,
        bending_n_m=moment_n_m * rising,
        torsion_n_m=0.0 * rising,
    )


@pytest.fixture
def loaded(readiness: Readiness) -> Readiness:
    cases = (bar(Load.MAX_THRUST, 0.0, 1.0, 5.0), bar(Load.MAX_SPEED, 0.0, 0.5, -20.0))
    return replace(readiness, strength=replace(readiness.strength, cases=cases))


def test_curves_stand_on_common_stations_and_the_most_bent_comes_first(loaded: Readiness) -> None:
    found = along_body(loaded)
    middle = found.stations.index(500.0)
    quarter = found.stations.index(250.0)
    worst, other = found.cases
    assert (worst.bending[middle], other.bending[middle]) == (-20.0, 2.5)
    assert (worst.shear[quarter], worst.axial[quarter]) == (-20.0, 50.0)
    # The worst case loads the fore half only.
    assert worst.bending[middle + 1] is None
    assert other.bending[-1] == 5.0
    assert "bent most by 20 N m" in found.sentence


def test_the_outline_is_the_hull_s_from_the_side(loaded: Readiness) -> None:
    found = along_body(loaded)
    # A box 160 mm across, all its length.
    assert set(found.upper) == {80.0}
    assert set(found.lower) == {-80.0}


def test_reserves_are_of_the_nearest_judged_station_and_never_guessed_beyond(loaded: Readiness) -> None:
    found = along_body(loaded)
    # Judged at 0.1, 0.3 (nobody knows), 0.5 (12 / 7.5), 0.7 and 0.9 m.
    at = {
        station: (value, by)
        for station, value, by in zip(found.stations, found.reserve, found.reserve_by, strict=True)
    }
    assert at[500.0][0] == pytest.approx(1.6)
    assert at[300.0] == (None, "not known")
    assert at[50.0] == (None, "")
    assert at[950.0] == (None, "")
    assert "wrinkles" in at[500.0][1]


def test_without_loads_it_says_so(readiness: Readiness) -> None:
    found = along_body(readiness)
    assert found.cases == ()
    assert found.sentence == "No loads along the body are known."


def test_us_units_are_inches_and_pounds(loaded: Readiness) -> None:
    found = along_body(in_units(loaded, us_units=True))
    assert (found.length_unit, found.force_unit, found.moment_unit) == ("in", "lbf", "lbf ft")
    assert found.stations[-1] == pytest.approx(39.37, abs=0.01)
    pound_n = 0.45359237 * STANDARD_GRAVITY_M_S2
    # Rounded to a thousandth of the unit.
    assert found.cases[1].bending[-1] == pytest.approx(5.0 / (pound_n * 0.3048), abs=6e-4)


def test_every_picture_has_words_and_stands_once(readiness: Readiness) -> None:
    found = staged(readiness)
    named = [picture for stage in found.told.stages for picture in stage.pictures]
    assert {one.name for one in named} == set(found.drawn)
    assert len(named) >= 3
    assert all(one.title and one.says for one in named)
    assert len(set(found.drawn.values())) == len(named)
    assert all(re.fullmatch(r"[a-z0-9-]+", one.name) for one in named)


def test_a_picture_that_a_stage_has_under_two_names_is_shown_once(
    readiness: Readiness, monkeypatch: pytest.MonkeyPatch
) -> None:
    traces = pictures(readiness)["flight_traces"]
    twice = {"once_more": traces, "another": traces.replace("<desc", "<!-- another --><desc", 1)}
    monkeypatch.setitem(stages._LOOKS, "flight", (lambda _: (), lambda _: twice))
    (flight,) = [one for one in staged(readiness).told.stages if one.key == "flight"]
    assert [one.name for one in flight.pictures] == ["flight-flight-traces", "flight-another"]


def test_stages_and_pictures_are_served(
    session: Session, in_a_loop_of_its_own: Callable[[Coroutine], list[httpx.Response]]
) -> None:
    async def talk() -> list[httpx.Response]:
        app = create_app(session, port=PORT, key=PAGE_KEY)
        async with httpx.AsyncClient(
            transport=httpx.ASGITransport(app=app),
            base_url=f"http://127.0.0.1:{PORT}",
            cookies=with_key(PORT),
        ) as client:
            names = ("stages", "stages/flight-flight-traces.svg", "stages/none-of-that.svg")
            return [await client.get(f"/api/{name}") for name in names]

    stages, drawn, missing = in_a_loop_of_its_own(talk())
    told = {one["key"]: one for one in stages.json()["stages"]}
    assert list(told)[:2] == ["shape", "mass"]
    assert [one["name"] for one in told["flight"]["pictures"]] == ["flight-flight-traces"]
    assert drawn.headers["content-type"] == "image/svg+xml"
    assert drawn.text.startswith("<svg")
    assert missing.status_code == 404


def test_units_are_those_that_are_asked(client: httpx.Client) -> None:
    own, us = (client.get("/api/vehicle", params=given).json() for given in ({}, {"units": "us"}))
    assert (own["us_units"], us["us_units"]) == (False, True)
    # 1.5 kg of ballast in grams and ounces; the same kilograms underneath.
    assert (own["ballast"][0]["unit"], us["ballast"][0]["unit"]) == ("g", "oz")
    tried = client.post(
        "/api/what-if", params={"units": "us"}, json={"ballast": {"nose ballast": 2.0}}
    ).json()
    assert next(row["value"] for row in tried["key_numbers"] if row["key"] == "mass").endswith("lb")


def test_how_a_number_is_found_is_told_for_every_check(client: httpx.Client) -> None:
    told = client.get("/api/ways/margin").json()
    assert len(told["way"]) > 20
    assert client.get("/api/ways/no-such-check").status_code == 404


def test_what_the_page_asks_for_first_is_worked_out_before_it_asks(
    session: Session,
    in_a_loop_of_its_own: Callable[[Coroutine], httpx.Response],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    app = create_app(session, port=PORT, key=PAGE_KEY)

    async def talk() -> httpx.Response:
        async with app.router.lifespan_context(app):
            monkeypatch.setattr("finial.web.app.vehicle_payload", None)
            transport, key = httpx.ASGITransport(app=app), with_key(PORT)
            address = f"http://127.0.0.1:{PORT}"
            async with httpx.AsyncClient(transport=transport, base_url=address, cookies=key) as client:
                return await client.get("/api/vehicle")

    assert in_a_loop_of_its_own(talk()).json()["name"] == session.name
