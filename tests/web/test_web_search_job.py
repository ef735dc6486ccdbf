"""The page's search: every lever of the sheet, either aim, the whole look at the best, the front drawn."""

import shutil
from pathlib import Path
from typing import Any
from unittest.mock import Mock

import pytest

from finial.assemble.vehicle.changes import Changes
from finial.files.alone import sole_run
from finial.findings.check import load
from finial.findings.finding import Verdict
from finial.sizing.judged import Judged
from finial.sizing.usual import usual_variables
from finial.sizing.variables import Variable
from finial.web.jobs.asked import AskedJob
from finial.web.jobs.finds import Work
from finial.web.jobs.kinds import KINDS
from finial.web.jobs.queue import about

EXAMPLES = Path(__file__).parents[2] / "examples"
LEVERS = ("ballast", "span", "walls", "preload", "charge", "rail", "canopy", "motor")


@pytest.fixture
def sheet(tmp_path: Path) -> Path:
    """The lighthouse beside another motor, of the same curve."""
    path = shutil.copytree(EXAMPLES / "skerry-light", tmp_path / "light") / "skerry-light.toml"
    shutil.copy(path.parent / "motors" / "demo-k500.toml", path.parent / "motors" / "other.toml")
    return path


def searched(sheet: Path, folder: Path, monkeypatch: Any, **settings: int) -> Any:
    """Run the job on designs that are judged by their ballast alone: heavier ones fly higher."""

    def judge(_vehicle: Any, changes: Changes, motors: Any) -> Judged:
        assert len(motors) == 2
        masses = [value for place, value in changes.items() if place[0] == "item" and place[2:] == ("mass",)]
        kilos = float(str(masses[0]).split()[0]) / 1000.0
        return Judged(mass_kg=8.0 + kilos, missing=0.0, is_go=True, apogee_m=400.0 + 100.0 * kilos)

    monkeypatch.setattr("finial.findings.design_judge.judge_design", judge)
    monkeypatch.setattr("finial.findings.design_whole.whole_verdict", Mock(return_value=Verdict.CAUTION))
    shares: list[float] = []
    job = Work(
        vehicle=load(sheet),
        changes={},
        settings={"generations": 2, **settings},
        folder=folder,
        note=lambda _note: None,
        share=shares.append,
    )
    folder.mkdir(exist_ok=True)
    with sole_run(folder):  # as a job's process has it
        found = KINDS["search"].run(job)
    assert shares == [0.5, 1.0]
    return found


def test_every_lever_of_the_sheet_is_varied_within_ends_round_what_it_has(sheet: Path) -> None:
    found = {one.kind: one for one in usual_variables(load(sheet))}
    assert tuple(found) == LEVERS[2:]
    assert (found["rail"].low, found["rail"].high) == pytest.approx((0.8 * 3.6, 1.25 * 3.6))
    assert (found["canopy"].low, found["canopy"].high) == pytest.approx((3.2, 5.0))
    assert (found["preload"].low, found["preload"].high) == pytest.approx((312.0, 728.0))
    assert (found["walls"].name, found["walls"].low, found["walls"].high) == ("", 0.8, 1.5)
    assert (found["charge"].low, found["charge"].high) == (0.7, 1.5)
    assert found["motor"].choices == ("motors/demo-k500.toml", "motors/other.toml")
    (sheet.parent / "motors" / "other.toml").unlink()
    assert "motor" not in {one.kind for one in usual_variables(load(sheet))}


def test_the_job_tells_its_best_its_error_and_its_front_with_a_picture(
    sheet: Path, tmp_path: Path, monkeypatch: Any
) -> None:
    found = searched(sheet, tmp_path, monkeypatch)
    assert found.headline.startswith("Go by the whole look at 8")
    assert [section.key for section in found.sections] == ["search", "foretold", "front"]
    columns = found.sections[2].tables[0].columns
    assert tuple(column.split()[0] for column in columns[1 : 1 + len(LEVERS)]) == LEVERS
    assert columns[-1] == "whole look"
    assert found.sections[2].tables[0].rows[0][-1] == "caution"
    assert "blue: goes by the whole look" in found.pictures["search-front"]
    assert found.tries
    assert found.tries[0].label == "1"


def test_the_job_seeks_the_highest_where_asked_and_goes_on_in_the_same_folder(
    sheet: Path, tmp_path: Path, monkeypatch: Any
) -> None:
    light = searched(sheet, tmp_path, monkeypatch, highest=0)
    noted = (tmp_path / "designs" / "judged.jsonl").read_text()
    high = searched(sheet, tmp_path, monkeypatch, highest=1)
    assert (tmp_path / "designs" / "judged.jsonl").read_text().startswith(noted)
    masses = [float(one.headline.split(" at ")[1].split()[0]) for one in (light, high)]
    assert masses[0] + 1.0 < masses[1]


def test_the_job_flies_what_goes_where_odds_are_asked_and_says_them(
    sheet: Path, tmp_path: Path, monkeypatch: Any
) -> None:
    flown: list[tuple[float, int]] = []

    def least_odds(_case: Any, wanted: Any) -> float:
        flown.append((wanted.share, wanted.flights))
        return 0.97

    def motor_and_canopy(vehicle: Any) -> tuple[Variable, ...]:
        """Every lever is tried above; walls would change each part of the hundreds of cases flown here."""
        return tuple(one for one in usual_variables(vehicle) if one.kind in {"motor", "canopy"})

    monkeypatch.setattr("finial.sizing.usual.usual_variables", motor_and_canopy)
    monkeypatch.setattr("finial.findings.design_judge.least_odds", least_odds)
    plain = searched(sheet, tmp_path, monkeypatch, odds=0, flights=60)
    assert not flown
    assert "odds at least" not in plain.sections[2].tables[0].columns
    found = searched(sheet, tmp_path / "95", monkeypatch, odds=95, flights=60)
    assert set(flown) == {(0.95, 60)}
    table = found.sections[2].tables[0]
    assert table.rows[0][table.columns.index("odds at least")] == "97.0 %"
    assert "odds at least, %" in found.pictures["search-front"]
    short = searched(sheet, tmp_path / "98", monkeypatch, odds=98, flights=60)
    assert short.headline.startswith("No go found")


def said(settings: dict[str, int]) -> str:
    kind = KINDS["search"].kind
    asked = AskedJob(kind="search", settings=settings, sheet="", revision=None, changes={})
    return about(kind, asked)


@pytest.mark.parametrize(
    ("settings", "words"),
    [
        (
            {"generations": 1, "highest": 0, "odds": 0, "flights": 1000},
            "1 generation, aim lightest, no odds asked, on the sheet as saved",
        ),
        (
            {"generations": 5, "highest": 1, "odds": 95, "flights": 1000},
            "5 generations, aim highest, at least 95 % as meant, 1,000 flights of each design,"
            " on the sheet as saved",
        ),
        ({"generations": 5, "highest": 1}, "5 generations, aim highest, on the sheet as saved"),
    ],
)
def test_what_a_search_was_set_to_reads_as_words(settings: dict[str, int], words: str) -> None:
    assert said(settings) == words
