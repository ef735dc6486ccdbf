"""The page's server over real HTTP: what it answers, what it refuses, and in what words."""

import asyncio
import json
import os
import socket
import struct
from pathlib import Path
from urllib.parse import unquote, urlsplit

import httpx
import numpy as np
import pytest

from finial.web import app
from finial.web.serve import listen, way_in

from .conftest import PAGE_KEY


def key_number(answer: dict, key: str) -> str:
    return next(row["value"] for row in answer["key_numbers"] if row["key"] == key)


def ask(client: httpx.Client, question: object) -> httpx.Response:
    return client.post("/api/what-if", json=question)


def test_vehicle_tells_the_answer_to_the_sheet_as_written(client: httpx.Client) -> None:
    told = client.get("/api/vehicle").json()
    assert told["name"] == "Invented Beacon"
    assert told["sheet"] == "beacon.toml"
    assert "range safety officer" in told["caution"]
    assert told["answer"]["verdict"] == "no-go"
    assert (
        told["answer"]["headline"]
        == "No-go: do not fly Invented Beacon as it stands. 1 of 3 checks fail and 1 cannot be answered yet."
    )
    assert key_number(told["answer"], "balance") == "580 mm"
    assert key_number(told["answer"], "margin-bad-end") == "15 mm"


def test_findings_come_worst_first_with_reason_and_remedy(client: httpx.Client) -> None:
    findings = client.get("/api/vehicle").json()["answer"]["findings"]
    assert [finding["verdict"] for finding in findings] == ["no-go", "not known", "go"]
    assert findings[0]["value"] == "120 mm"
    assert findings[0]["interval"] == "15 to 225"
    assert findings[0]["margin"] == "bad end 70 % past the limit"
    assert findings[0]["fix"].startswith("At the bad end the balance point is 35 mm too far aft")
    assert findings[1]["value"] == ""


def test_more_ballast_moves_the_balance_point_by_the_lever_rule(client: httpx.Client) -> None:
    answer = ask(client, {"ballast": {"nose ballast": 2.0}}).json()
    # (6 kg * 700 mm + 2 kg * 100 mm) / 8 kg = 550 mm; the band's forward end 600 mm less 550 mm less 5 mm.
    assert key_number(answer, "balance") == "550 mm"
    assert key_number(answer, "margin-bad-end") == "45 mm"


def test_longer_fins_turn_the_verdict(client: httpx.Client) -> None:
    answer = ask(client, {"ballast": {"nose ballast": 2.0}, "fin_span_scale": 1.1}).json()
    # The band moves 0.2 m * 0.1 = 20 mm aft: 65 mm, above the 50 mm asked for; one check stays not known.
    assert key_number(answer, "margin-bad-end") == "65 mm"
    assert answer["verdict"] == "not known"
    assert "not known never counts as go" in answer["headline"]
    assert answer["picture"]["fins"][0]["outline_m"][1] == pytest.approx([0.1, 0.165])


def test_what_is_left_out_stays_as_written(client: httpx.Client) -> None:
    assert ask(client, {}).json() == client.get("/api/vehicle").json()["answer"]


def test_hull_comes_as_counts_corners_and_faces_without_fins(client: httpx.Client) -> None:
    content = client.get("/api/mesh").content
    corners, faces = struct.unpack_from("<2I", content)
    assert (corners, faces) == (8, 12)
    assert len(content) == 8 + corners * 12 + faces * 12
    vertices = np.frombuffer(content, "<f4", corners * 3, offset=8).reshape(-1, 3)
    named = np.frombuffer(content, "<u4", faces * 3, offset=8 + corners * 12)
    assert vertices.min(axis=0) == pytest.approx([-1.0, -0.08, -0.08])
    assert vertices.max(axis=0) == pytest.approx([0.0, 0.08, 0.08])
    assert set(named) == set(range(8))


def test_a_drawing_gets_a_hull_of_fewer_triangles(
    client: httpx.Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(app, "DRAWN_FACES", 2)
    _, faces = struct.unpack_from("<2I", client.get("/api/mesh?for=drawing").content)
    assert faces <= 2
    assert struct.unpack_from("<2I", client.get("/api/mesh").content) == (8, 12)


@pytest.mark.parametrize(
    ("body", "said"),
    [
        (b"", "the question is not JSON"),
        (b"{", "the question is not JSON"),
        (b"\xff\xfe", "the question is not JSON"),
        (b"[" * 9_000, "the question is not JSON"),
        (b"[1]", "the question must be a JSON object"),
        (b'{"balast": {}}', "unknown field 'balast': accepted are 'ballast', 'fin_span_scale', 'sheet'"),
        (b'{"ballast": 3}', "'ballast' must be an object of item names and masses in kg"),
        (b'{"ballast": {"tower": 1}}', "no ballast is called 'tower': this vehicle has 'nose ballast'"),
        (b'{"ballast": {"nose ballast": NaN}}', "give a finite number from 0 to 3.75"),
        (b'{"ballast": {"nose ballast": 1e999}}', "give a finite number from 0 to 3.75"),
        (b'{"ballast": {"nose ballast": ' + b"9" * 5000 + b"}}", "give a finite number from 0 to 3.75"),
        (b'{"ballast": {"nose ballast": "1"}}', "give a finite number from 0 to 3.75"),
        (b'{"ballast": {"nose ballast": true}}', "give a finite number from 0 to 3.75"),
        (
            b'{"ballast": {"nose ballast": -0.1}}',
            "ballast['nose ballast'] = -0.1: give a number from 0 to 3.75",
        ),
        (b'{"ballast": {"nose ballast": 4}}', "ballast['nose ballast'] = 4: give a number from 0 to 3.75"),
        (b'{"fin_span_scale": 0}', "fin_span_scale = 0: give a number from 0.5 to 1.5"),
        (b'{"fin_span_scale": null}', "fin_span_scale: give a finite number from 0.5 to 1.5"),
    ],
)
def test_bad_questions_are_refused_in_plain_words(client: httpx.Client, body: bytes, said: str) -> None:
    response = client.post("/api/what-if", content=body, headers={"content-type": "application/json"})
    assert response.status_code == 400
    assert said in response.json()["error"]


def test_a_question_that_is_too_long_is_refused_unread(client: httpx.Client) -> None:
    content = json.dumps({"ballast": {"x" * 70_000: 1}}).encode()
    response = client.post("/api/what-if", content=content, headers={"content-type": "application/json"})
    assert response.status_code == 413
    assert "65536 bytes" in response.json()["error"]


def test_only_json_is_taken_for_a_question(client: httpx.Client) -> None:
    # A form on another site can send text/plain or form data without asking first, but not JSON.
    response = client.post("/api/what-if", content=b"{}", headers={"content-type": "text/plain"})
    assert response.status_code == 415


def test_a_change_that_cannot_be_answered_says_why(client: httpx.Client) -> None:
    response = ask(client, {"ballast": {"nose ballast": 3.1}})
    assert response.status_code == 422
    assert response.json() == {"error": "the flight gave up after 10 steps", "faults": []}


@pytest.mark.parametrize("path", ["/", "/api/vehicle", "/api/mesh", "/static/index.html"])
def test_another_host_name_is_refused(client: httpx.Client, path: str) -> None:
    # DNS rebinding: a stranger's name that was made to point at 127.0.0.1.
    response = client.get(path, headers={"host": f"stranger.example:{client.base_url.port}"})
    assert response.status_code == 403


def test_the_port_belongs_to_the_address(client: httpx.Client) -> None:
    assert client.get("/api/vehicle", headers={"host": "127.0.0.1"}).status_code == 403
    assert (
        client.get("/api/vehicle", headers={"host": f"localhost:{client.base_url.port}"}).status_code == 200
    )


@pytest.mark.parametrize(
    "headers",
    [{"origin": "https://stranger.example"}, {"origin": "null"}, {"sec-fetch-site": "cross-site"}],
)
def test_other_sites_may_not_ask(client: httpx.Client, headers: dict[str, str]) -> None:
    assert client.post("/api/what-if", json={}, headers=headers).status_code == 403
    assert client.get("/api/vehicle", headers=headers).status_code == 403


def test_the_page_itself_may_ask(client: httpx.Client) -> None:
    origin = str(client.base_url).rstrip("/")
    headers = {"origin": origin, "sec-fetch-site": "same-origin"}
    assert client.post("/api/what-if", json={}, headers=headers).status_code == 200


@pytest.mark.parametrize(
    "path",
    [
        "/",
        "/?key=wrong",
        "/?key=",
        "/api/vehicle",
        "/api/mesh",
        "/static/index.html",
        "/api/vehicle?key=" + PAGE_KEY,
    ],
)
@pytest.mark.parametrize("cookie", ["", "wrong", PAGE_KEY[:-1], PAGE_KEY + "x", '"', "\u00e9"])
def test_without_the_key_nobody_reads_anything(client: httpx.Client, path: str, cookie: str) -> None:
    # Another user of the machine reaches the port too.
    port = client.base_url.port
    for headers in ({}, {"cookie": f"finial-{port}={cookie}".encode()}):
        with httpx.Client(base_url=client.base_url) as stranger:
            response = stranger.get(path, headers=headers)
        assert response.status_code == 403
        assert "key" in response.json()["error"]
        assert "set-cookie" not in response.headers


def test_the_key_moves_from_the_address_into_a_cookie(client: httpx.Client) -> None:
    with httpx.Client(base_url=client.base_url) as browser:
        response = browser.get("/", params={"key": PAGE_KEY}, headers={"sec-fetch-site": "cross-site"})
        assert response.status_code == 303
        assert response.headers["location"] == "/"
        told = response.headers["set-cookie"].lower()
        assert "httponly" in told
        assert "samesite=lax" in told
        assert browser.get("/api/vehicle").status_code == 200


def test_the_way_in_is_a_file_of_this_user_alone() -> None:
    with way_in("http://127.0.0.1:1/?key=abc") as opening:
        path = Path(unquote(urlsplit(opening).path))
        assert "url=http://127.0.0.1:1/?key=abc" in path.read_text(encoding="utf-8")
        if os.name == "posix":
            assert path.parent.stat().st_mode & 0o077 == 0
    assert not path.exists()


@pytest.mark.parametrize("path", ["/", "/api/vehicle", "/nowhere"])
def test_every_answer_forbids_inline_scripts_and_framing(client: httpx.Client, path: str) -> None:
    policy = client.get(path).headers["content-security-policy"]
    assert "default-src 'none'" in policy
    assert "script-src 'self';" in policy
    assert "frame-ancestors 'none'" in policy
    assert "unsafe" not in policy


@pytest.mark.parametrize(
    "path",
    ["/static/..%2f..%2f__init__.py", "/static/../app.py", "/static/%2e%2e/app.py", "/static//etc/passwd"],
)
def test_static_files_stay_in_their_folder(client: httpx.Client, path: str) -> None:
    assert client.get(path).status_code == 404


def test_answers_are_not_kept(client: httpx.Client) -> None:
    assert client.get("/api/vehicle").headers["cache-control"] == "no-store"


def test_questions_are_posted(client: httpx.Client) -> None:
    response = client.get("/api/what-if")
    assert response.status_code == 405
    assert response.json()["error"]


def test_an_answer_does_not_wait_for_an_acknowledgement(in_a_loop_of_its_own) -> None:
    # Nagle's algorithm with delayed acknowledgement costs at least 40 ms on every answer (RFC 1122, 4.2.3.2
    # allows up to 500 ms; Linux waits 40 ms, from memory of its documentation, not re-read).
    async def accepted() -> int:
        found: asyncio.Future[int] = asyncio.get_running_loop().create_future()

        def answering(_reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
            told = writer.get_extra_info("socket")
            found.set_result(told.getsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY))
            writer.close()

        with listen(0) as listening:
            server = await asyncio.start_server(answering, sock=listening)
            _, asking = await asyncio.open_connection(*listening.getsockname()[:2])
            delayless = await asyncio.wait_for(found, 20.0)
            asking.close()
            server.close()
        return delayless

    assert in_a_loop_of_its_own(accepted()) == 1


def test_what_the_walls_have_left_follows_the_ballast(client: httpx.Client) -> None:
    # 12 / 7.5 = 1.60 as written and 12 / (6 + 3.75) = 1.23 with all the ballast there may be.
    written = client.get("/api/vehicle").json()["answer"]["picture"]["walls"]
    tried = ask(client, {"ballast": {"nose ballast": 3.75}}).json()["picture"]["walls"]
    assert [told["weakest"][0]["reserve"] for told in (written, tried)] == ["1.60", "1.23"]
    assert [told["stretches"][2]["band"] for told in (written, tried)] == [2, 1]
    assert "1.23 times the load" in tried["sentence"]


def test_what_nobody_knows_is_null_and_said_in_words(client: httpx.Client) -> None:
    walls = client.get("/api/vehicle").json()["answer"]["picture"]["walls"]
    assert {"from_m": 0.2, "to_m": 0.4, "band": None} in walls["stretches"]
    assert walls["unknown"].startswith("Not known aft of the tip: 200 mm to 400 mm.")
    assert len(json.dumps(walls)) < 2000
