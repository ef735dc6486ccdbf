"""``finial air`` as a builder runs it."""

import json
import sys
from pathlib import Path

import pytest

from finial.cli.main import main

BUOY = Path(__file__).parents[2] / "examples" / "buoy-tiers" / "buoy-tiers.toml"


pytestmark = pytest.mark.usefixtures("no_advice")


def run(monkeypatch: pytest.MonkeyPatch, *words: str) -> int:
    monkeypatch.setattr(sys, "argv", ["finial", *words])
    with pytest.raises(SystemExit) as ended:
        main()
    return int(ended.value.code or 0)


def test_air_prints_and_plots(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    assert run(monkeypatch, "air", str(BUOY), "--plots", str(tmp_path / "plots")) == 3
    told = capsys.readouterr().out
    for words in ("Why the band has width", "in widths", "coasts off straight by", "Force slope along"):
        assert words in told
    names = sorted(path.name for path in (tmp_path / "plots").iterdir())
    assert names == [
        *("air-load.svg", "margin-by-angle.svg", "margin-map.svg", "pressure-by-roll.svg"),
        "tunnel-places.svg",
    ]
    assert "of this very shape, beside the sheet" in told


def test_air_as_json(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    assert run(monkeypatch, "air", str(BUOY), "--json", "--quiet", "--plots", str(tmp_path)) == 3
    told = capsys.readouterr()
    assert told.err == ""
    answer = json.loads(told.out)
    assert answer["air"]["straightness"]["trim_rad"] < 0.01
    assert len(answer["air"]["contributions"]) > 3
