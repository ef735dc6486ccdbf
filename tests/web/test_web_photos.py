"""Photos marked on the page: by the formula of a pinhole camera, and held against what the shell says."""

import json
import math
from collections.abc import Callable, Coroutine
from pathlib import Path

import httpx
import numpy as np
import pytest
from click.testing import CliRunner

from finial.cli.main import finial
from finial.core.errors import MarksError
from finial.files.tower import read_tower
from finial.web.drafts.opened import app_of, draft_of
from finial.web.drafts.photos import photos_draft

from .conftest import PAGE_KEY, with_key

PORT = 8778
SIZE = [4000, 3000]
Talk = Callable[[httpx.AsyncClient], Coroutine]
Run = Callable[[Coroutine], object]


def seen(*points_m: tuple[float, float], yaw: float = 0.5, far_m: float = 20.0) -> list[list[int]]:
    """Pixels of places on a facade, in a pinhole camera of 3000 pixels' focal length that looks aside."""
    cos, sin = math.cos(yaw), math.sin(yaw)
    turn = np.array([[1, 0, 0], [0, 0.98, -0.199], [0, 0.199, 0.98]])
    turn = turn @ np.array([[cos, 0, -sin], [0, 1, 0], [sin, 0, cos]])
    there = (np.array([(x, y, 0.0) for x, y in points_m]) - (3.0 - 20.0 * yaw * 0.2, 2.0, -far_m)) @ turn.T
    places = np.array([2000.0, 1500.0]) + 3000.0 * there[:, :2] / there[:, 2:] * (1.0, -1.0)
    return places.round().astype(int).tolist()


def marked(number: int, yaw: float, *, high_m: float = 9.0) -> list[dict]:
    """Edits that add a photo and move its marks where the camera sees a facade of 6 by 9 m."""
    photo = f"photo[{number}]"
    corners = seen((0, 0), (6, 0), (6, 9), (0, 9), yaw=yaw)
    return [
        {"add": "photo", "number": number, "given": {"name": f"photo {number}", "size": SIZE}},
        *({"put": f"{photo}.corners[{one}]", "value": at} for one, at in enumerate(corners, 1)),
        {"put": f"{photo}.known.ends", "value": corners[:2]},
        {"type": f"{photo}.known.length", "text": "6 m +- 1 cm"},
        {"put": f"{photo}.wanted[1].ends", "value": seen((0, 0), (0, high_m), yaw=yaw)},
    ]


def talked(path: Path, run: Run, talk: Talk) -> object:
    async def within() -> object:
        app = app_of(draft_of(path) or photos_draft(path), port=PORT, key=PAGE_KEY)
        async with httpx.AsyncClient(
            transport=httpx.ASGITransport(app=app),
            base_url=f"http://127.0.0.1:{PORT}",
            cookies=with_key(PORT),
        ) as client:
            return await talk(client)

    return run(within())


def edited(path: Path, run: Run, edits: list[dict], text: str = "# ours\n") -> dict:
    async def talk(client: httpx.AsyncClient) -> httpx.Response:
        return await client.post("/api/draft", json={"text": text, "edits": edits})

    told = talked(path, run, talk)
    assert told.status_code == 200, told.text
    return told.json()


def test_without_a_photo_it_says_so_and_a_new_one_wants_its_known_length(
    tmp_path: Path, in_a_loop_of_its_own: Run
) -> None:
    path = tmp_path / "marks.toml"
    empty = edited(path, in_a_loop_of_its_own, [])
    assert (empty["kind"], empty["photos"], empty["read"]) == ("photos", [], None)
    given = {"name": "quay", "size": SIZE}
    told = edited(path, in_a_loop_of_its_own, [{"add": "photo", "number": 1, "given": given}])
    # Nobody guesses a length that everything else hangs on.
    assert [one["field"] for one in told["faults"]] == ["photo[1].known.length"]
    (photo,) = told["photos"]
    assert (photo["name"], photo["size"]) == ("quay", SIZE)
    assert [(line["kind"], len(line["marks"])) for line in photo["lines"]] == [
        ("corners", 4),
        ("known", 2),
        ("wanted", 2),
    ]
    first = photo["lines"][0]["marks"][0]
    assert (first["place"], first["says"]) == ("photo[1].corners[1]", "lower left corner")


def test_marks_tell_the_height_with_its_error_as_the_shell_does(
    tmp_path: Path, in_a_loop_of_its_own: Run
) -> None:
    path = tmp_path / "marks.toml"
    told = edited(path, in_a_loop_of_its_own, marked(1, 0.5))
    assert told["fault"] == ""
    assert told["text"].startswith("# ours\n")
    path.write_text(told["text"], encoding="utf-8")
    (height,) = json.loads(CliRunner().invoke(finial, ["photo", str(path), "--json"]).stdout)["lengths"]
    assert height["length_m"]["value"] == pytest.approx(9.0, rel=5e-3)
    assert height["length_m"]["low"] < 9.0 < height["length_m"]["high"]
    lengths = told["read"]["section"]["tables"][0]
    assert lengths["rows"][0][0] == "height"
    shell = " ".join(CliRunner().invoke(finial, ["photo", str(path)]).stdout.split())
    for said in (*lengths["rows"][0], *told["read"]["section"]["notes"]):
        assert " ".join(said.split()) in shell
    assert any("out of the facade reads" in note for note in told["read"]["section"]["notes"])


def test_two_photos_agree_or_it_is_said_how_far_apart_they_are(
    tmp_path: Path, in_a_loop_of_its_own: Run
) -> None:
    path = tmp_path / "marks.toml"
    for high_m, agrees in ((9.0, True), (8.0, False)):
        edits = [*marked(1, 0.5), *marked(2, -0.4, high_m=high_m)]
        told = edited(path, in_a_loop_of_its_own, edits)["read"]["section"]
        assert told["tables"][0]["rows"][0][3] == "2"
        assert (told["tables"][0]["rows"][0][4] == "yes") is agrees
        assert any("do not agree on height" in note for note in told["notes"]) is not agrees


def test_a_bowed_edge_warns_of_the_lens(tmp_path: Path, in_a_loop_of_its_own: Run) -> None:
    path = tmp_path / "marks.toml"
    edge = [*marked(1, 0.5), {"add": "photo[1].straight", "number": 1}]
    told = edited(path, in_a_loop_of_its_own, edge)
    assert not any("lens bends" in note for note in told["read"]["section"]["notes"])
    line = told["photos"][0]["lines"][-1]
    middle = line["marks"][1]
    assert (line["kind"], len(line["marks"])) == ("straight", 3)
    bent = [{"put": middle["place"], "value": [middle["at"][0] + 40, middle["at"][1]]}]
    bowed = edited(path, in_a_loop_of_its_own, bent, text=told["text"])
    assert any("lens bends" in note for note in bowed["read"]["section"]["notes"])


def test_storeys_are_sent_to_tiers_and_never_over_a_tower(tmp_path: Path, in_a_loop_of_its_own: Run) -> None:
    path = tmp_path / "marks.toml"
    low, top = (seen(*corners) for corners in (SHAFT, TOP))
    edits = [
        *marked(1, 0.5),
        {"add": "photo[1].storeys", "number": 1},
        {"add": "photo[1].storeys", "number": 2},
    ]
    blank = edited(path, in_a_loop_of_its_own, edits)
    assert [one["field"] for one in blank["faults"]] == [f"photo[1].storeys[{n}].outline" for n in (1, 2)]
    edits += [
        {"type": f"photo[1].storeys[{n}].outline", "text": told}
        for n, told in ((1, "square"), (2, "octagon"))
    ]
    edits += [{"put": f"photo[1].storeys[{n}].corners", "value": at} for n, at in ((1, low), (2, top))]
    text = edited(path, in_a_loop_of_its_own, edits)["text"]

    async def talk(client: httpx.AsyncClient) -> list[httpx.Response]:
        saved = await client.post("/api/draft/save", json={"text": text, "revision": ""})
        asked = {"revision": saved.json()["revision"]}
        highs = ("10", "500 mm", "500 mm")
        return [await client.post("/api/draft/write/tower", json={**asked, "high": high}) for high in highs]

    unit, sent, again = talked(path, in_a_loop_of_its_own, talk)
    assert [one.status_code for one in (unit, sent, again)] == [422, 200, 422]
    assert "is there already" in again.json()["error"]
    assert sent.json()["files"] == ["marks-tower.toml"]
    tower, _ = read_tower(tmp_path / "marks-tower.toml")
    first, second = tower.part[0].tiers
    assert (first.outline, second.outline) == ("square", "octagon")
    # 10 m in truth and 500 mm here: 1 to 20.
    assert first.height.value == pytest.approx(7.0 / 20, rel=1e-2)
    assert first.across.value == pytest.approx(6.0 / 20, rel=1e-2)
    assert second.across.value == pytest.approx(4.0 / 20, rel=1e-2)


SHAFT = ((0.0, 0.0), (6.0, 0.0), (5.0, 7.0), (1.0, 7.0))
TOP = ((1.0, 7.0), (5.0, 7.0), (5.0, 10.0), (1.0, 10.0))


def test_what_the_marks_reader_refuses_is_said_in_its_words_and_the_marks_stay(
    tmp_path: Path, in_a_loop_of_its_own: Run
) -> None:
    path = tmp_path / "marks.toml"
    crossed = [*marked(1, 0.5), {"put": "photo[1].corners[1]", "value": seen((6, 9))[0]}]
    told = edited(path, in_a_loop_of_its_own, crossed)
    path.write_text(told["text"], encoding="utf-8")
    shell = CliRunner().invoke(finial, ["photo", str(path)])
    assert isinstance(shell.exception, MarksError)
    assert told["fault"] == str(shell.exception)
    assert told["read"] is None
    assert len(told["photos"][0]["lines"][0]["marks"]) == 4
