"""``finial inside``: text, JSON, sections, exit codes."""

import json
import sys
from pathlib import Path

import pytest

from finial.cli.main import main

PHONE_BOX = Path(__file__).parents[2] / "examples" / "phone-box" / "phone-box.toml"


def run(monkeypatch: pytest.MonkeyPatch, *words: str) -> int:
    monkeypatch.setattr(sys, "argv", ["finial", *words])
    with pytest.raises(SystemExit) as ended:
        main()
    return int(ended.value.code or 0)


def test_inside_prints_what_stands_where_and_draws_two_sections(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    assert run(monkeypatch, "inside", str(PHONE_BOX), "--plots", str(tmp_path)) == 3
    told = capsys.readouterr().out
    for words in ("Findings on inside", "What stands inside", "electronics sled A", "84 mm", "Bays"):
        assert words in told
    drawn = {path.name: path.read_text(encoding="utf-8") for path in tmp_path.iterdir()}
    assert sorted(drawn) == ["section-square.svg", "section.svg"]
    assert "roll 90 degrees" in drawn["section.svg"]
    assert "roll 0 degrees" in drawn["section-square.svg"]


def test_inside_as_json(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    assert run(monkeypatch, "inside", str(PHONE_BOX), "--json", "--quiet", "--plots", str(tmp_path)) == 3
    answer = json.loads(capsys.readouterr().out)
    assert "air" not in answer
    [sled] = [thing for thing in answer["inside"]["things"] if thing["name"] == "electronics sled A"]
    assert sled["offset_m"] == [0.0, 0.084]
