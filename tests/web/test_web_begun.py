"""A sheet that is only begun on the page: what it gives, what is refused, and how it becomes a whole one."""

import shutil
from collections.abc import Callable, Coroutine
from pathlib import Path

import httpx
import pytest

from finial.findings.check import load_begun
from finial.web import serve
from finial.web.app import create_app
from finial.web.serve import opened
from finial.web.session import BegunSession, Session

from .conftest import PAGE_KEY, with_key

PORT = 8775
EXAMPLE = Path(__file__).parents[2] / "examples" / "buoy-tiers"
BEGUN = """
[vehicle]
name = "Post"
up = "+z"

[[part]]
name = "post"
tiers = [{ outline = "circle", across = "100 mm", height = "600 mm" }]
tip_station = "0 mm"
material = "PETG"
print = { wall = "2 mm", infill = "10 %", layers_along = "z" }
"""
MOTOR = {"data": "motors/demo-j.toml", "nozzle_station": "610 mm"}
Talk = Callable[[httpx.AsyncClient], Coroutine]
Run = Callable[[Coroutine], object]


@pytest.fixture
def sheet(tmp_path: Path) -> Path:
    shutil.copytree(EXAMPLE / "motors", tmp_path / "motors")
    (motor,) = (tmp_path / "motors").glob("*.toml")
    motor.rename(motor.with_name("demo-j.toml"))
    path = tmp_path / "post.toml"
    path.write_text(BEGUN, encoding="utf-8")
    return path


def talked(sheet: Path, run: Run, talk: Talk) -> object:
    session = opened(load_begun(sheet))
    assert isinstance(session, BegunSession)

    async def within() -> object:
        app = create_app(session, port=PORT, key=PAGE_KEY)
        async with httpx.AsyncClient(
            transport=httpx.ASGITransport(app=app),
            base_url=f"http://127.0.0.1:{PORT}",
            cookies=with_key(PORT),
        ) as client:
            return await talk(client)

    return run(within())


def test_it_tells_what_is_missing_and_never_go(sheet: Path, in_a_loop_of_its_own: Run) -> None:
    async def talk(client: httpx.AsyncClient) -> tuple[dict, dict]:
        return [(await client.get("/api/vehicle", params=one)).json() for one in ({}, {"units": "us"})]

    told, us = talked(sheet, in_a_loop_of_its_own, talk)
    assert (told["kind"], told["name"], told["verdict"]) == ("begun", "Post", "not known")
    assert told["missing"] == ["motor", "launch"]
    assert told["says"] == "600 mm long, 100 mm across."
    assert us["says"].startswith("23.6 in long")
    assert [one["key"] for one in told["sections"]] == ["shape", "mass", "air", "air-along"]
    assert {"[motor] in the sheet", "[launch] in the sheet"} <= {one["name"] for one in told["findings"]}


def test_what_needs_a_whole_sheet_is_refused_in_words(sheet: Path, in_a_loop_of_its_own: Run) -> None:
    async def talk(client: httpx.AsyncClient) -> list[httpx.Response]:
        asked = ("along", "across?station_m=0.1", "moving")
        posted = [await client.post(f"/api/{one}", json={}) for one in asked]
        return posted + [await client.get(f"/api/{one}") for one in ("stages", "inside", "share")]

    told = talked(sheet, in_a_loop_of_its_own, talk)
    assert {one.status_code for one in told} == {409}
    assert all("only begun" in one.json()["error"] for one in told)


def test_what_is_typed_is_tried_and_its_shape_is_drawn(sheet: Path, in_a_loop_of_its_own: Run) -> None:
    async def talk(client: httpx.AsyncClient) -> list[httpx.Response]:
        tried = [{"part[1].print.wall": "4 mm"}, {"part[1].print.wall": "4 mmm"}, {}]
        told = [await client.post("/api/what-if", json={"sheet": one}) for one in tried]
        return [*told, await client.get("/api/mesh")]

    thick, refused, thin, mesh = talked(sheet, in_a_loop_of_its_own, talk)
    masses = [_mass(one.json()) for one in (thick, thin)]
    assert masses[0] != masses[1]
    assert refused.status_code == 422
    assert refused.json()["faults"][0]["field"] == "part[1].print.wall"
    corners, faces = (int.from_bytes(mesh.content[at : at + 4], "little") for at in (0, 4))
    assert len(mesh.content) == 8 + 12 * corners + 12 * faces
    assert sheet.read_text(encoding="utf-8") == BEGUN


def _mass(told: dict) -> list[list[str]]:
    return [section["facts"] for section in told["sections"] if "mass" in section["title"].lower()]


def test_a_table_is_added_and_what_is_missing_becomes_less(sheet: Path, in_a_loop_of_its_own: Run) -> None:
    async def talk(client: httpx.AsyncClient) -> list[httpx.Response]:
        revision = (await client.get("/api/revision")).json()["revision"]
        asked = {"table": "motor", "values": MOTOR, "revision": revision}
        return [
            await client.post("/api/add", json=asked),
            await client.get("/api/vehicle"),
            await client.post("/api/add", json=asked),
        ]

    added, told, stale = talked(sheet, in_a_loop_of_its_own, talk)
    assert (added.status_code, stale.status_code) == (200, 409)
    assert told.json()["missing"] == ["launch"]
    assert sheet.read_text(encoding="utf-8").startswith(BEGUN)


def test_a_whole_sheet_that_lost_a_table_is_begun_again_and_the_other_way_round(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, session: Session
) -> None:
    shutil.copytree(EXAMPLE, tmp_path / "buoy")
    sheet = tmp_path / "buoy" / "buoy-tiers.toml"
    whole = sheet.read_text(encoding="utf-8")
    start = whole.index("\n[launch]")
    end = whole.find("\n[", start + 2)
    sheet.write_text(whole[:start] + (whole[end:] if end > 0 else ""), encoding="utf-8")
    begun = opened(load_begun(sheet))
    assert isinstance(begun, BegunSession)
    assert begun.missing == ("launch",)
    sheet.write_text(whole, encoding="utf-8")
    # The whole look itself is not what is asked here.
    seen: list[str] = []
    monkeypatch.setattr(serve, "session_of", lambda loaded: seen.append(loaded.sheet.vehicle.name) or session)
    assert begun.read_again() is session
    assert seen == ["Channel Buoy"]
