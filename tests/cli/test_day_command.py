"""``finial day``: what was read on the field reaches the verdict, and stands beside the sheet's numbers."""

import json
import shutil
from pathlib import Path

import pytest

from finial.files.sheet import read_sheet

EXAMPLE = Path(__file__).parents[2] / "examples" / "skerry-light"
WEIGHED = ("--motor", "loaded", "--mass", "9.28 kg +- 10 g", "--balance", "664 mm +- 2 mm")


@pytest.fixture
def sheet(tmp_path):
    shutil.copytree(EXAMPLE, tmp_path / "it")
    return tmp_path / "it" / "skerry-light.toml"


@pytest.mark.usefixtures("no_advice")
def test_a_windy_morning_is_told_beside_the_sheet(finial, sheet):
    done = finial("day", sheet, "--quiet", *WEIGHED, "--wind", "6 m/s +- 1 m/s")
    assert done.code == 3
    rows = {line.split("  ")[1]: line for line in done.out.splitlines() if line.startswith("  ")}
    assert "9.280 kg" in rows["mass at lift-off"]
    assert "9.25 kg" in rows["mass at lift-off"]
    assert rows["verdict"].split()[1:] == ["caution", "no-go"]
    assert "landing inside the field: go by the sheet, no-go today." in done.out
    assert sheet.read_text(encoding="utf-8") == (EXAMPLE / sheet.name).read_text(encoding="utf-8")


def test_a_calm_one_goes_and_is_written_when_asked(finial, sheet):
    done = finial("day", sheet, "--quiet", "--json", "--write", *WEIGHED, "--wind", "2 m/s +- 0.5 m/s")
    assert done.code == 0
    told = json.loads(done.out)
    assert told["mass"]["lift_off_mass"]["value"] == pytest.approx(9.28, abs=1e-3)
    assert not [one for one in told["findings"] if one["key"] == "whole-weighed" and one["verdict"] != "go"]
    written = read_sheet(sheet).sheet
    assert (written.weighing.mass.value, written.launch.wind.value) == (9.28, 2.0)
    assert "# compass bearing the rail leans to" in sheet.read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((), "nothing was read"),
        (("--phone", "--wind", "4 m/s"), "leave it out here"),
        (("--phone", "--address", "8.8.8.8"), "reached from far away"),
        (("--motor", "loaded", "--scale", "200 mm", "4 kg"), "two scales carry it"),
        (("--scale", "200 mm", "4 kg", "--scale", "900 mm", "4 kg"), "a weighing is told whole"),
        (("--mass", "9.28 kg"), "a weighing is told whole"),
        (("--motor", "out", "--balance", "600 mm"), "a weighing is told whole"),
        (("--wind", "6"), "a number without unit"),
        (("--motor", "loaded", "--mass", "1.2 kg"), "more than the motors alone weigh"),
    ],
)
def test_what_cannot_be_is_refused_and_nothing_is_written(finial, sheet, words, said):
    before = sheet.read_text(encoding="utf-8")
    done = finial("day", sheet, "--quiet", "--write", *words)
    assert done.code == 2
    assert said in done.err
    assert sheet.read_text(encoding="utf-8") == before


@pytest.mark.usefixtures("no_advice")
def test_two_scales_stand_beside_the_mass_table(finial, sheet):
    """By hand: 3.90 kg at 200 mm and 5.36 kg at 1000 mm make 9.26 kg, hung at 663.1 mm with the motor in."""
    scales = ("--scale", "200 mm", "3.90 kg +- 5 g", "--scale", "1000 mm", "5.36 kg +- 5 g")
    done = finial("day", sheet, "--quiet", "--motor", "loaded", *scales, "--across", "0.5 mm", "-0.5 mm")
    told = " ".join(done.out.split())
    assert "Measured beside computed" in told
    assert "balances beside the axis not told 0.5 mm, -0.5 mm" in told
    assert "at 200 mm reads 3.90 kg +- 5 g, at 1000 mm reads 5.36 kg +- 5 g" in told
    assert (3.90 * 200 + 5.36 * 1000) / 9.26 == pytest.approx(663.1, abs=0.05)
    rows = {line.split("  ")[1]: line for line in done.out.splitlines() if line.startswith("  ")}
    assert "663.1 mm" in rows["balance point at lift-off"]
    assert told.count("within both") == 2


@pytest.mark.usefixtures("no_advice")
def test_a_balance_that_contradicts_the_mass_table_is_told_and_no_go(finial, sheet):
    done = finial("day", sheet, "--quiet", *WEIGHED[:4], "--balance", "600 mm +- 2 mm")
    assert done.code == 3
    told = " ".join(done.out.split())
    assert told.count("within both") == 1
    assert "where the whole balances, without motors: go by the sheet, no-go today" in told
