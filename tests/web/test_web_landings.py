"""Landings of a kept campaign on the page: the very points of its files, counted, drawn, and taken away."""

import csv
import json
import math
import shutil
from collections.abc import Callable, Coroutine
from dataclasses import replace
from pathlib import Path

import httpx
import numpy as np
import pyarrow.parquet
import pytest

from finial.assemble.spread.case import flight_case
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.campaign.campaign import planned
from finial.campaign.run import Threads, run_campaign
from finial.core.errors import CampaignError
from finial.files.own_campaign import own_campaign
from finial.findings.check import load
from finial.findings.kept_landings import kept_landings
from finial.web.app import create_app
from finial.web.desk import Desk
from finial.web.jobs.finds import Work
from finial.web.jobs.kinds import KINDS
from finial.web.session import Session

from .conftest import PAGE_KEY, with_key

EXAMPLES = Path(__file__).parents[2] / "examples"
PORT, FLIGHTS, MINIMUM_M = 8767, 40, 61.0


@pytest.fixture(scope="module")
def vehicle(tmp_path_factory: pytest.TempPathFactory) -> LoadedVehicle:
    """Skerry Light on the field of the example with every key."""
    folder = tmp_path_factory.mktemp("landings") / "it"
    shutil.copytree(EXAMPLES / "skerry-light", folder)
    shutil.copy(EXAMPLES / "every-key" / "field.geojson", folder)
    site = (folder / "site.toml").read_text(encoding="utf-8")
    place = 'field = "field.geojson"\nlatitude = "48 deg"\nlongitude = "-20 deg"\n'
    (folder / "site.toml").write_text(site + place, encoding="utf-8")
    return load(folder / "skerry-light.toml")


@pytest.fixture(scope="module")
def kept(vehicle: LoadedVehicle) -> Path:
    case, folder = flight_case(vehicle), own_campaign(vehicle.files.path)
    run_campaign(planned(case.name, case.inputs, case.spread, flights=FLIGHTS, seed=5), folder, Threads(1))
    return folder


@pytest.fixture(scope="module")
def points_m(kept: Path) -> np.ndarray:
    """Landing points of the flights that were not lost, read from the files without the project."""
    (file,) = kept.glob("*.parquet")
    columns = pyarrow.parquet.read_table(file).to_pydict()
    sound = np.array(columns["loss"]) == 0.0
    return np.column_stack([columns["landing_east_m"], columns["landing_north_m"]])[sound]


def test_the_points_are_those_of_the_files(vehicle: LoadedVehicle, kept: Path, points_m: np.ndarray) -> None:
    found = kept_landings(vehicle, [kept], MINIMUM_M)
    assert found is not None
    assert found.flights == FLIGHTS
    assert found.drawn.landings_m == pytest.approx(points_m)
    east, north = points_m.mean(axis=0)
    assert found.drawn.walk == pytest.approx((math.hypot(east, north), math.atan2(east, north)))
    far = np.sort(np.hypot(*points_m.T))
    assert far[-5] < found.within.value <= far[-1]
    assert {one.name for one in found.on_marks} == {"lane", "car park", "barn", "pond", "copse"}
    assert {one.bare for one in found.on_marks} == {None}
    assert (found.drawn.bare_m, found.drawn.farthest_bare_m) == (None, None)


def test_a_folder_of_other_flights_is_passed_over_and_alone_said_so(
    vehicle: LoadedVehicle, kept: Path, tmp_path: Path
) -> None:
    found = kept_landings(vehicle, [tmp_path, kept], MINIMUM_M)
    assert found is not None
    with pytest.raises(CampaignError, match="holds no campaign"):
        kept_landings(vehicle, [tmp_path], MINIMUM_M)
    other = load(EXAMPLES / "buoy-tiers" / "buoy-tiers.toml")
    with pytest.raises(CampaignError, match="another campaign"):
        kept_landings(other, [kept], MINIMUM_M)
    assert kept_landings(vehicle, [], MINIMUM_M) is None


def asked(
    session: Session, vehicle: LoadedVehicle, addresses: list[str], run: Callable[[Coroutine], object]
) -> list[httpx.Response]:
    path = vehicle.files.path
    desk = Desk(path=path, refuse=lambda _changes: None)
    at_desk = replace(session, desk=desk, landings=lambda folders: kept_landings(vehicle, folders, MINIMUM_M))

    async def talk() -> list[httpx.Response]:
        transport = httpx.ASGITransport(app=create_app(at_desk, port=PORT, key=PAGE_KEY))
        base = f"http://127.0.0.1:{PORT}"
        async with httpx.AsyncClient(transport=transport, base_url=base, cookies=with_key(PORT)) as client:
            return [await client.get(address) for address in addresses]

    return run(talk())


def test_the_page_tells_draws_and_hands_out(
    session: Session,
    vehicle: LoadedVehicle,
    kept: Path,
    points_m: np.ndarray,
    in_a_loop_of_its_own: Callable[[Coroutine], object],
) -> None:
    names = ("landings.csv", "map.geojson", "map.kml", "map.svg", "manifest.json")
    addresses = ["/api/landings", "/api/landings?units=us", *(f"/api/landings/{name}" for name in names)]
    told, us, points, geojson, kml, drawn, other = asked(session, vehicle, addresses, in_a_loop_of_its_own)
    page = told.json()
    assert page["says"].startswith(f"{len(points_m)} of {FLIGHTS} flights of the kept campaign")
    assert page["files"] == ["map.geojson", "map.kml", "landings.csv"]
    walk, walk_us = (dict(one.json()["sections"][0]["facts"])["walk from the pad"] for one in (told, us))
    far_m = math.hypot(*points_m.mean(axis=0))
    assert walk.startswith(f"{far_m:.0f} m")
    assert walk_us.startswith(f"{far_m / 0.3048:.0f} ft")
    assert page["sections"][1]["tables"][0]["columns"] == ["what", "flights that come down there"]
    rows = list(csv.reader(points.text.splitlines()))
    assert rows[0] == ["east_m", "north_m"]
    assert np.array(rows[1:], dtype=float) == pytest.approx(points_m, abs=0.0051)
    named = [one["properties"]["name"] for one in json.loads(geojson.text)["features"]]
    assert "Skerry Light: landing points" in named
    assert not any("without a canopy" in name for name in named)
    assert kml.headers["content-type"].startswith("application/vnd.google-earth.kml+xml")
    assert drawn.text.startswith("<svg")
    assert "without a canopy" not in drawn.text
    assert other.status_code == 404


def test_of_many_flights_a_sample_is_handed_out_and_said_so(
    session: Session,
    vehicle: LoadedVehicle,
    kept: Path,
    points_m: np.ndarray,
    in_a_loop_of_its_own: Callable[[Coroutine], object],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("finial.findings.kept_landings.MOST_HELD", 10)
    addresses = ["/api/landings", "/api/landings/landings.csv", "/api/landings/map.svg"]
    told, points, drawn = asked(session, vehicle, addresses, in_a_loop_of_its_own)
    says = told.json()["says"]
    assert says.startswith(f"{len(points_m)} of {FLIGHTS} flights of the kept campaign come down here")
    assert "The first 10 of them, a fair sample, stand in the file of points" in says
    assert says.endswith("Odds, distances, counts and the ellipse are of all.")
    rows = list(csv.reader(points.text.splitlines()))
    assert np.array(rows[1:], dtype=float) == pytest.approx(points_m[:10], abs=0.0051)
    assert f"where the first 10 of {len(points_m)} flights land" in drawn.text
    walk = dict(told.json()["sections"][0]["facts"])["walk from the pad"]
    assert walk.startswith(f"{math.hypot(*points_m.mean(axis=0)):.0f} m")


def test_the_map_of_the_day_is_a_job(vehicle: LoadedVehicle, tmp_path: Path) -> None:
    shares: list[float] = []
    work = Work(
        vehicle=vehicle,
        changes={},
        settings={"flights": 50, "seed": 2},
        folder=tmp_path,
        note=lambda _note: None,
        share=shares.append,
    )
    found = KINDS["field"].run(work)
    assert found.headline.startswith("Walk from the pad: ")
    assert [section.key for section in found.sections] == ["down", "under", "lean", "wind"]
    told = dict(found.sections[0].facts)
    assert told["flights"] == "50, and as many without a canopy"
    assert "without a canopy" in found.pictures["field-of-the-day"]


def test_where_none_is_kept_the_page_says_what_to_do(
    session: Session, vehicle: LoadedVehicle, kept: Path, in_a_loop_of_its_own: Callable[[Coroutine], object]
) -> None:
    away = kept.rename(kept.with_name("moved-away"))
    try:
        (told,) = asked(session, vehicle, ["/api/landings"], in_a_loop_of_its_own)
    finally:
        away.rename(kept)
    assert told.json() == {
        "says": "No campaign is kept yet.",
        "picture": None,
        "sections": [],
        "files": [],
    }
