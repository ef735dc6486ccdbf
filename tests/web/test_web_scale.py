"""The vehicle at other heights on the page: the shell's own rows, of what is tried."""

import json
from collections.abc import Callable, Coroutine
from pathlib import Path

import httpx
import pytest
from click.testing import CliRunner

from finial.cli.main import finial
from finial.findings.check import load_begun
from finial.web.app import create_app
from finial.web.scale import STEPS
from finial.web.serve import opened

from .conftest import PAGE_KEY, with_key
from .test_web_begun import BEGUN

PORT = 8776
Talk = Callable[[httpx.AsyncClient], Coroutine]
Run = Callable[[Coroutine], object]


@pytest.fixture
def sheet(tmp_path: Path) -> Path:
    path = tmp_path / "post.toml"
    path.write_text(BEGUN, encoding="utf-8")
    return path


def asked(sheet: Path, run: Run, *questions: dict, units: str = "metric") -> list[httpx.Response]:
    session = opened(load_begun(sheet))

    async def within() -> list[httpx.Response]:
        app = create_app(session, port=PORT, key=PAGE_KEY)
        async with httpx.AsyncClient(
            transport=httpx.ASGITransport(app=app),
            base_url=f"http://127.0.0.1:{PORT}",
            cookies=with_key(PORT),
        ) as client:
            return [
                await client.post("/api/scale", params={"units": units}, json=question)
                for question in questions
            ]

    return run(within())


def rows(told: httpx.Response) -> list[list[str]]:
    assert told.status_code == 200, told.text
    return told.json()["section"]["tables"][0]["rows"]


def test_the_slider_runs_from_half_to_twice_and_passes_what_is_drawn(
    sheet: Path, in_a_loop_of_its_own: Run
) -> None:
    (told,) = asked(sheet, in_a_loop_of_its_own, {"real": "30 m"})
    one = told.json()
    assert one["heights_m"][0] == pytest.approx(0.3)
    assert one["heights_m"][-1] == pytest.approx(1.2)
    assert len(one["heights_m"]) == len(rows(told)) == STEPS
    assert min(abs(high - 0.6) for high in one["heights_m"]) < 1e-9
    drawn = rows(told)[19]
    # 30 m over 0.6 m.
    assert drawn[:2] == ["600 mm", "1:50.0"]


def test_it_says_what_the_shell_says(sheet: Path, in_a_loop_of_its_own: Run) -> None:
    asked_for = [
        "size",
        "scale",
        str(sheet),
        "--real",
        "30 m",
        "--steps",
        "1",
        "--from",
        "0.6 m",
        "--to",
        "0.6 m",
    ]
    shell = CliRunner().invoke(finial, [*asked_for, "--json", "--quiet"])
    (model,) = json.loads(shell.stdout)["models"]
    (told,) = asked(sheet, in_a_loop_of_its_own, {"real": "30 m"})
    first, last = model["motor"]
    assert rows(told)[19][3] == f"{first} to {last}"
    assert f"{model['lift_off_kg']['value']:.2f}" in rows(told)[19][2]


def test_own_ends_and_us_units(sheet: Path, in_a_loop_of_its_own: Run) -> None:
    question = {"real": "100 ft", "lowest": "1 ft", "highest": "10 ft"}
    (told,) = asked(sheet, in_a_loop_of_its_own, question, units="us")
    assert told.json()["heights_m"][0] == pytest.approx(0.3048)
    assert told.json()["heights_m"][-1] == pytest.approx(3.048)
    assert (told.json()["unit"], told.json()["unit_m"]) == ("in", 0.0254)
    assert rows(told)[0][:2] == ["12 in", "1:100.0"]


def test_what_is_tried_is_scaled_and_nothing_is_written(sheet: Path, in_a_loop_of_its_own: Run) -> None:
    thick = {"sheet": {"part[1].print.wall": "4 mm"}}
    plain, tried = asked(sheet, in_a_loop_of_its_own, {"real": "30 m"}, {"real": "30 m", "tried": thick})
    assert rows(plain)[19][2] != rows(tried)[19][2]
    assert sheet.read_text(encoding="utf-8") == BEGUN


@pytest.mark.parametrize(
    ("question", "status", "said"),
    [
        ({}, 422, "a length with its unit"),
        ({"real": "30"}, 422, "30"),
        ({"real": "0 m"}, 422, "0 m"),
        ({"real": "30 m", "lowest": "2 m"}, 422, "the lowest first"),
        ({"real": "30 m", "lowest": "1 m", "highest": "1 m"}, 422, "below the highest"),
        ({"real": 30}, 400, "'real' must be a text"),
        ({"real": "30 m", "tried": []}, 400, "'tried' must be an object"),
        ({"real": "30 m", "tried": {"sheet": {"part[1].print.wall": "4 mmm"}}}, 422, "4 mmm"),
    ],
)
def test_what_is_no_height_is_refused_in_words(
    sheet: Path, in_a_loop_of_its_own: Run, question: dict, status: int, said: str
) -> None:
    (told,) = asked(sheet, in_a_loop_of_its_own, question)
    assert told.status_code == status, told.text
    assert said in told.json()["error"]


def test_without_a_bed_it_says_what_is_missing_and_with_one_it_counts(
    sheet: Path, in_a_loop_of_its_own: Run
) -> None:
    (bare,) = asked(sheet, in_a_loop_of_its_own, {"real": "30 m"})
    assert rows(bare)[19][4:6] == ["not known", "not known"]
    assert "write [print]" in bare.json()["section"]["notes"][-1]
    bed = '\n[print]\nbed = ["220 mm", "220 mm", "250 mm"]\nnozzle = "0.4 mm"\n'
    sheet.write_text(BEGUN + bed, encoding="utf-8")
    (told,) = asked(sheet, in_a_loop_of_its_own, {"real": "30 m"})
    # 600 mm high on a bed that prints 250 mm high: three.
    assert rows(told)[19][4] == "3 or more"
