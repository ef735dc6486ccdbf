"""A tower drawn on the page: edited in its own text, refused as by the shell, saved, written, sent on."""

import re
from collections.abc import Callable, Coroutine
from pathlib import Path

import httpx
import pytest
import trimesh
from click.testing import CliRunner

from finial.cli.main import finial
from finial.core.errors import TowerError
from finial.files.tower import read_tower
from finial.web.drafts.opened import app_of, draft_of
from finial.web.drafts.tower import tower_draft

from .conftest import PAGE_KEY, with_key

PORT = 8777
TOWER = """name = "Invented Tower" # ours

[[part]]
name = "base"
bores = [{ heights = ["0 mm", "160 mm"], across = "60 mm" }]

[[part.tiers]]
outline = "rectangle"
across = "160 mm"          # along x
deep = "150 mm"
height = "160 mm"

[[part]]
name = "shaft"
tiers = [
  { outline = "octagon", across = "140 mm", across_top = "110 mm", height = "200 mm" }, # leans
  { outline = "circle", across = "120 mm", height = "60 mm", roof = "dome" },
]
"""
Talk = Callable[[httpx.AsyncClient], Coroutine]
Run = Callable[[Coroutine], object]


@pytest.fixture
def drawing(tmp_path: Path) -> Path:
    path = tmp_path / "light.toml"
    path.write_text(TOWER, encoding="utf-8")
    return path


def talked(drawing: Path, run: Run, talk: Talk) -> object:
    draft = draft_of(drawing) or tower_draft(drawing)

    async def within() -> object:
        app = app_of(draft, port=PORT, key=PAGE_KEY)
        async with httpx.AsyncClient(
            transport=httpx.ASGITransport(app=app),
            base_url=f"http://127.0.0.1:{PORT}",
            cookies=with_key(PORT),
        ) as client:
            return await talk(client)

    return run(within())


def edited(drawing: Path, run: Run, *edits: dict, text: str = TOWER) -> httpx.Response:
    async def talk(client: httpx.AsyncClient) -> httpx.Response:
        return await client.post("/api/draft", json={"text": text, "edits": list(edits)})

    return talked(drawing, run, talk)


def test_a_towers_file_is_drawn_and_a_sheet_is_none(drawing: Path, in_a_loop_of_its_own: Run) -> None:
    async def talk(client: httpx.AsyncClient) -> httpx.Response:
        return await client.get("/api/vehicle")

    told = talked(drawing, in_a_loop_of_its_own, talk).json()
    assert (told["kind"], told["file"], told["text"], told["fault"]) == ("tower", "light.toml", TOWER, "")
    assert told["drawn"]["says"].startswith("420 mm high and 160 mm wide")
    assert [row[0] for row in told["drawn"]["section"]["tables"][0]["rows"]] == [
        "part-01-base.stl",
        "part-02-shaft.stl",
    ]
    sheet = drawing.with_name("sheet.toml")
    sheet.write_text('[vehicle]\nname = "x"\n', encoding="utf-8")
    assert draft_of(sheet) is None
    assert draft_of(drawing.with_name("none.toml")) is None


def test_the_side_view_is_true_to_scale(drawing: Path, in_a_loop_of_its_own: Run) -> None:
    """Its own scale bar of 100 mm measures the drawn tower back: 160 mm wide and 420 mm high."""
    svg = edited(drawing, in_a_loop_of_its_own).json()["drawn"]["svg"]
    x1, x2 = (float(re.search(rf'{end}="([\d.]+)"[^>]*tower-side-bar', svg)[1]) for end in ("x1", "x2"))
    length = float(re.search(r">(\d+) mm</text></svg>", svg)[1])
    path = re.search(r'<path d="([^"]+)"', svg)[1]
    places = [tuple(map(float, one.split())) for one in re.findall(r"[ML]([\d. -]+)", path)]
    wide, high = (max(axis) - min(axis) for axis in zip(*places, strict=True))
    per_mm = (x2 - x1) / length
    assert wide / per_mm == pytest.approx(160.0, abs=0.05)
    assert high / per_mm == pytest.approx(420.0, abs=0.05)


def test_a_storey_is_typed_added_and_taken_away_and_every_comment_stays(
    drawing: Path, in_a_loop_of_its_own: Run
) -> None:
    typed = {"type": "part[2].tiers[1].height", "text": "250 mm"}
    told = edited(drawing, in_a_loop_of_its_own, typed).json()
    assert told["text"] == TOWER.replace('height = "200 mm"', 'height = "250 mm"')
    assert told["drawn"]["says"].startswith("470 mm high")
    added = edited(drawing, in_a_loop_of_its_own, {"add": "part[2].tiers", "number": 2}).json()
    # It goes on from the top of the one below it: as wide there as that one is.
    assert '{ outline = "octagon", across = "110 mm", height = "200 mm" },' in added["text"].replace(
        '"outline"', "outline"
    )
    assert added["drawn"]["says"].startswith("620 mm high")
    assert added["text"].count("#") == TOWER.count("#")
    taken = edited(drawing, in_a_loop_of_its_own, {"remove": "part[2].tiers[2]"}, text=added["text"]).json()
    assert taken["text"] == TOWER
    assert drawing.read_text(encoding="utf-8") == TOWER


@pytest.mark.parametrize("table", ["ledges", "windows"])
def test_bands_windows_and_bores_begin_as_something_that_is_drawn(
    drawing: Path, in_a_loop_of_its_own: Run, table: str
) -> None:
    where = f"part[1].tiers[1].{table}"
    told = edited(drawing, in_a_loop_of_its_own, {"add": where, "number": 1}).json()
    assert told["fault"] == ""
    assert any(one["dotted"] == f"{where}[1]" for one in told["tables"])
    bored = edited(drawing, in_a_loop_of_its_own, {"add": "part[2].bores", "number": 1}).json()
    assert bored["fault"] == ""
    plugged = edited(drawing, in_a_loop_of_its_own, {"add": "part[2].shoulder", "number": 1})
    assert plugged.json()["fault"] == ""
    twice = {"add": "part[2].shoulder", "number": 1}
    assert edited(drawing, in_a_loop_of_its_own, twice, text=plugged.json()["text"]).status_code == 422
    gone = edited(drawing, in_a_loop_of_its_own, {"remove": "part[2].shoulder"}, text=plugged.json()["text"])
    assert gone.json()["text"] == TOWER
    part = edited(drawing, in_a_loop_of_its_own, {"add": "part", "number": 3}).json()
    assert len(part["drawn"]["section"]["tables"][0]["rows"]) == 3


def test_an_emptied_key_goes_where_it_may(drawing: Path, in_a_loop_of_its_own: Run) -> None:
    told = edited(drawing, in_a_loop_of_its_own, {"type": "part[2].tiers[2].roof", "text": " "}).json()
    assert "roof" not in told["text"]
    assert told["fault"] == ""
    lost = edited(drawing, in_a_loop_of_its_own, {"type": "part[2].tiers[2].height", "text": ""}).json()
    assert lost["faults"][0]["field"] == "part[2].tiers[2].height"
    assert lost["drawn"] is None


def test_it_is_refused_in_the_shells_own_words(drawing: Path, in_a_loop_of_its_own: Run) -> None:
    for place, text in (
        ("part[2].tiers[1].height", "200"),
        ("part[1].bores[1].across", "170 mm"),
        ("part[2].name", "base"),
        ("part[1].tiers[1].deep", ""),
    ):
        told = edited(drawing, in_a_loop_of_its_own, {"type": place, "text": text}).json()
        drawing.write_text(told["text"], encoding="utf-8")
        shell = CliRunner().invoke(finial, ["tower", str(drawing)])
        assert isinstance(shell.exception, TowerError)
        assert told["fault"] == str(shell.exception)
        assert told["drawn"] is None


@pytest.mark.parametrize(
    ("question", "status", "said"),
    [
        ({"text": 3}, 400, "'text' must be a text"),
        ({"text": TOWER, "edits": [{"type": "part[1].nose", "text": "x"}]}, 422, "no place 'part[1].nose'"),
        ({"text": TOWER, "edits": [{"remove": "part[9]"}]}, 422, "part[9] is not in the file"),
        ({"text": TOWER, "edits": [{"remove": "part[0]"}]}, 400, "no place 'part[0]'"),
        ({"text": TOWER, "edits": [{"add": "part", "number": 0}]}, 400, "from 1"),
        ({"text": TOWER, "edits": [{"add": "fin", "number": 1}]}, 422, "no list of fin"),
        ({"text": TOWER, "edits": [{"type": "name", "remove": "part[1]", "text": ""}]}, 400, "one of"),
        ({"text": TOWER, "edits": [{"put": "part[1].tiers[1].twist", "value": "1 deg"}]}, 422, "no place"),
        ({"text": "name = ", "edits": []}, 422, "TOML syntax"),
        ({"text": TOWER, "edits": [{}] * 201}, 400, "at most"),
    ],
)
def test_what_is_no_edit_is_refused(
    drawing: Path, in_a_loop_of_its_own: Run, question: dict, status: int, said: str
) -> None:
    async def talk(client: httpx.AsyncClient) -> httpx.Response:
        return await client.post("/api/draft", json=question)

    told = talked(drawing, in_a_loop_of_its_own, talk)
    assert told.status_code == status, told.text
    assert said in told.json()["error"]


def test_it_is_saved_never_over_a_file_changed_meanwhile_nor_what_is_refused(
    drawing: Path, in_a_loop_of_its_own: Run
) -> None:
    new = TOWER.replace("200 mm", "210 mm")

    async def talk(client: httpx.AsyncClient) -> list[httpx.Response]:
        revision = (await client.get("/api/revision")).json()["revision"]
        bad = {"text": TOWER.replace("200 mm", "200 mmm"), "revision": revision}
        refused = await client.post("/api/draft/save", json=bad)
        assert drawing.read_text(encoding="utf-8") == TOWER
        saved = await client.post("/api/draft/save", json={"text": new, "revision": revision})
        stale = await client.post("/api/draft/save", json={"text": TOWER, "revision": revision})
        unwritten = await client.post("/api/draft/write/parts", json={"revision": revision})
        return [refused, saved, stale, unwritten]

    told = talked(drawing, in_a_loop_of_its_own, talk)
    assert [one.status_code for one in told] == [422, 200, 409, 409]
    assert "changed on disk meanwhile" in told[2].json()["error"]
    assert drawing.read_text(encoding="utf-8") == new


def test_a_new_file_is_begun_as_a_tower_and_written_only_when_saved(
    tmp_path: Path, in_a_loop_of_its_own: Run
) -> None:
    path = tmp_path / "my-light.toml"

    async def talk(client: httpx.AsyncClient) -> dict:
        told = (await client.get("/api/vehicle")).json()
        assert not path.exists()
        saved = {"text": told["text"], "revision": told["revision"]}
        assert (await client.post("/api/draft/save", json=saved)).status_code == 200
        return told

    told = talked(path, in_a_loop_of_its_own, talk)
    assert (told["revision"], told["fault"]) == ("", "")
    assert read_tower(path)[0].name == "My Light"


def test_parts_are_written_and_a_sheet_is_begun_with_them(drawing: Path, in_a_loop_of_its_own: Run) -> None:
    async def talk(client: httpx.AsyncClient) -> list[httpx.Response]:
        asked = {"revision": (await client.get("/api/revision")).json()["revision"]}
        names = ("parts", "sheet", "sheet", "wings")
        return [await client.post(f"/api/draft/write/{name}", json=asked) for name in names]

    parts, sheet, again, unknown = talked(drawing, in_a_loop_of_its_own, talk)
    assert parts.json()["files"] == [
        "light-parts/part-01-base.stl",
        "light-parts/part-02-shaft.stl",
        "light-parts/all-parts.3mf",
    ]
    base = trimesh.load_mesh(drawing.parent / "light-parts" / "part-01-base.stl")
    assert base.volume == pytest.approx(160 * 150 * 160 - 3.14159 * 30**2 * 160, rel=2e-3)
    both = trimesh.load_scene(drawing.parent / "light-parts" / "all-parts.3mf").geometry.values()
    assert [one.is_watertight for one in both] == [True, True]
    assert sheet.json()["files"] == ["light/invented-tower.toml"]
    assert (drawing.parent / "light" / "invented-tower.toml").is_file()
    assert again.status_code == 422, "a folder that is filled is never written into"
    assert unknown.status_code == 404
