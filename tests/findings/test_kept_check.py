"""A second check of an unchanged sheet is the first one's answer; of a changed one it is a new answer."""

import dataclasses
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from finial.findings import advice
from finial.findings.begun import Begun
from finial.findings.check import check
from finial.findings.kept_check import kept_check
from finial.findings.readiness import Depth

SHEET = Path(__file__).parents[2] / "examples" / "buoy-tiers" / "buoy-tiers.toml"


@pytest.fixture
def sheet(tmp_path, monkeypatch, compiled_where_it_is):
    monkeypatch.setenv("FINIAL_CACHE_DIR", str(tmp_path / "cache"))
    return shutil.copytree(SHEET.parent, tmp_path / "buoy") / SHEET.name


def answered(sheet, depth=Depth.QUICK):
    """Return the answer and what was told while it was found: nothing for one that was kept."""
    told = []
    answer = kept_check(sheet, depth, told.append)
    return answer, told


def lines_of(answer):
    return [(finding.key, finding.verdict, finding.value) for finding in answer.findings]


def test_the_second_answer_is_the_first_and_nothing_is_computed(sheet):
    first, told = answered(sheet)
    again, nothing = answered(sheet)
    assert told
    assert nothing == []
    assert (again.verdict, lines_of(again)) == (first.verdict, lines_of(first))
    fresh = check(sheet, depth=Depth.QUICK)
    assert (again.verdict, lines_of(again)) == (fresh.verdict, lines_of(fresh))


def test_a_changed_sheet_or_file_is_answered_anew(sheet):
    first, _ = answered(sheet)
    text = sheet.read_text()
    (curve,) = (sheet.parent / "motors").glob("*.csv")
    curve.write_text(curve.read_text() + "# weighed again\n")
    _, told = answered(sheet)
    assert told
    sheet.write_text(text.replace('tilt = "', 'tilt = "1', 1))
    other, told = answered(sheet)
    assert told
    assert lines_of(other) != lines_of(first)


def test_each_depth_is_kept_by_itself(sheet, monkeypatch):
    monkeypatch.setattr(advice, "advised", lambda _vehicle, before, _tell: before)
    quick, _ = answered(sheet)
    whole, told = answered(sheet, Depth.WHOLE)
    assert told
    assert (quick.depth, whole.depth) == (Depth.QUICK, Depth.WHOLE)


def test_a_begun_sheet_is_kept_too(sheet):
    text = sheet.read_text()
    sheet.write_text(text[: text.index("[motor]")])
    first, told = answered(sheet)
    again, nothing = answered(sheet)
    assert isinstance(first, Begun)
    assert told
    assert nothing == []
    assert dataclasses.astuple(again)[:4] == dataclasses.astuple(first)[:4]


def test_a_kept_answer_is_read_and_told_without_what_computes_one(sheet):
    answered(sheet)
    computing = "{'scipy', 'pydantic', 'numba', 'finial.files.sheet', 'finial.assemble.looks.answer'}"
    code = (
        "import sys; from pathlib import Path; from finial.findings.kept_check import kept_check;"
        " from finial.findings.readiness import Depth; from finial.report.json_records import to_json;"
        f" to_json(kept_check(Path({str(sheet)!r}), Depth.QUICK, print));"
        f" print(sorted({computing} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
