"""Whole answers to what is tried: kept by the sheet's content and the changes, found by another process."""

import json
import os
import shutil
from pathlib import Path
from types import SimpleNamespace

import pytest

from finial.files import kept as files_kept
from finial.files.read_by import content_of_sheet
from finial.findings import advice
from finial.findings.kept_check import trial_kept, trial_looked_at

EXAMPLE = Path(__file__).parents[2] / "examples" / "buoy-tiers"
CHANGES = {("item", 0, "mass"): "1.6 kg", ("fin", 0, "outline"): [["0 mm", "0 mm"], ["9 mm", "8 mm"]]}


@pytest.fixture
def vehicle(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> SimpleNamespace:
    """Anything with a sheet; its answers are counted, no look is taken."""
    shutil.copytree(EXAMPLE, tmp_path / "buoy")
    monkeypatch.setenv("FINIAL_CACHE_DIR", str(tmp_path / "kept"))
    looked: list[str] = []

    def answered(_vehicle: object, *, tell: object) -> str:
        looked.append("looked")
        return f"answer {len(looked)}"

    monkeypatch.setattr(advice, "answered", answered)
    return SimpleNamespace(files=SimpleNamespace(path=tmp_path / "buoy" / "buoy-tiers.toml"), looked=looked)


def test_the_same_trial_is_looked_at_once_and_another_anew(vehicle: SimpleNamespace) -> None:
    path, content = vehicle.files.path, content_of_sheet(vehicle.files.path)
    assert trial_kept(path, content, CHANGES) is None
    assert trial_looked_at(vehicle, CHANGES, print) == "answer 1"
    assert trial_looked_at(vehicle, CHANGES, print) == "answer 1"
    # As a job reads them back from its folder, in another order.
    told = json.loads(json.dumps([[list(place), value] for place, value in reversed(CHANGES.items())]))
    assert trial_kept(path, content, {tuple(place): value for place, value in told}) == "answer 1"
    other = CHANGES | {("item", 0, "mass"): "1.7 kg"}
    assert trial_kept(path, content, other) is None
    assert trial_looked_at(vehicle, other, print) == "answer 2"


def test_many_small_answers_push_no_trial_out(
    vehicle: SimpleNamespace, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(files_kept, "MOST_FILES", 3)
    monkeypatch.setattr(files_kept, "MOST_TRIALS", 2)
    path, content = vehicle.files.path, content_of_sheet(vehicle.files.path)
    trials = [{("item", 0, "mass"): f"{kg} kg"} for kg in (1, 2, 3)]
    for age, changes in enumerate(trials):
        trial_looked_at(vehicle, changes, print)
        for file in files_kept.answers_folder().glob("trial-*"):
            os.utime(file, (file.stat().st_atime, file.stat().st_mtime - 100 * (3 - age)))
    for number in range(9):
        files_kept.kept("strength", str(number), lambda: "small")
    assert len(list(files_kept.answers_folder().glob("strength-*"))) == 3
    assert [trial_kept(path, content, one) for one in trials] == [None, "answer 2", "answer 3"]


def test_of_a_sheet_that_was_changed_nothing_is_found(vehicle: SimpleNamespace) -> None:
    path = vehicle.files.path
    before = content_of_sheet(path)
    trial_looked_at(vehicle, CHANGES, print)
    path.write_text(path.read_text(encoding="utf-8") + "# a note\n", encoding="utf-8")
    assert trial_kept(path, content_of_sheet(path), CHANGES) is None
    assert trial_kept(path, before, CHANGES) == "answer 1"
    assert trial_kept(path, None, CHANGES) is None
