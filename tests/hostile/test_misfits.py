"""Hardware in another unit, and names no table has: one clear message each, exit code 2."""

import shutil
import sys
from pathlib import Path

import pytest

from finial.cli.main import main

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture
def buoy(tmp_path: Path) -> Path:
    folder = tmp_path / "buoy"
    shutil.copytree(EXAMPLES / "buoy-tiers", folder)
    return folder / "buoy-tiers.toml"


def run(monkeypatch: pytest.MonkeyPatch, *words: str) -> int:
    monkeypatch.setattr(sys, "argv", ["finial", *words])
    with pytest.raises(SystemExit) as ended:
        main()
    return int(ended.value.code or 0)


def altered(sheet: Path, before: str, after: str) -> int:
    """Change one place of the sheet and return its line."""
    text = sheet.read_text(encoding="utf-8")
    assert text.count(before) == 1, f"{before!r} must stand in the sheet once"
    sheet.write_text(text.replace(before, after), encoding="utf-8")
    return text[: text.index(before)].count("\n") + 1


@pytest.mark.parametrize(
    ("before", "after", "field", "words"),
    [
        (
            'station = "730 mm"',
            'station = "8.8 m"',
            "fin[1].station",
            ("a root that begins at 8.8 m", "a root on the body"),
        ),
        (
            'stations = ["690 mm", "910 mm"]',
            'stations = ["100 mm", "600 mm"]',
            "part[3].bores[1].stations",
            ("a hole from 100 mm to 600 mm in float", "stands from 690 mm to 910 mm", "two parts swapped"),
        ),
        (
            'stations = ["170 mm", "505 mm"], across = "94 mm"',
            'stations = ["170 mm", "505 mm"], across = "194 mm"',
            "part[2].bores[1]",
            ("a hole 194 mm wide in daymark tower", "190 mm at its widest"),
        ),
        (
            'nozzle_station = "915 mm"',
            'nozzle_station = "9 m"',
            "motor.nozzle_station",
            ("9 m", "near the base"),
        ),
        (
            'station = "304 mm"',
            'station = "6.5 m"',
            "item[3].station",
            ("station 6.5 m", "between 0 and the base"),
        ),
        (
            '["210 mm", "170 mm"], ["120 mm", "0 mm"]',
            '["210 mm", "170 mm"], ["120 mm", "20 mm"]',
            "fin[1].outline",
            ("begin and end on the root", "the first and the last with 0 outward"),
        ),
        (
            '["90 mm", "170 mm"], ["210 mm", "170 mm"]',
            '["210 mm", "170 mm"], ["90 mm", "170 mm"]',
            "fin[1].outline",
            ("corners that cross", "in order round the plate"),
        ),
        ('rail_length = "', 'rail_length = "0.', "launch.rail_length", ("a rail of", "past the fore button")),
        (
            'buttons = ["420 mm", "850 mm"]',
            'buttons = ["420 mm"]',
            "guide.buttons",
            ("at least two buttons",),
        ),
        (
            'buttons = ["420 mm", "850 mm"]',
            'buttons = ["420 mm", "850 mm", "850 mm"]',
            "guide.buttons",
            ('buttons in one place, "850 mm"', "each in a place of its own"),
        ),
        ('material = "polycarbonate"', 'material = "cheese"', "fin[1].material", ("'cheese'", "known are")),
        (
            'resistance = "20 mohm"',
            'rest = "open"\nresistance = "20 mohm"',
            "electronics.switch[1].rest",
            ('rest = "open" for a switch, which stays where it is put', '"pull pin", "magnetic switch"'),
        ),
        (
            'nozzle_station = "915 mm"',
            'tilt = "40 deg"\nnozzle_station = "915 mm"',
            "motor.tilt",
            ("a motor that leans by 40 deg", "28 deg", "another unit"),
        ),
        (
            'material = "polycarbonate"',
            'stays = [{ diameter = "1 mm", along = "90 mm", outward = "300 mm", preload = "20 N" }]\n'
            'material = "polycarbonate"',
            "fin[1].stays[1]",
            ("held 90 mm along and 300 mm outward, beside the fin", "within the fin's outline"),
        ),
        ('terrain = "level open"', 'terrain = "moon"', "launch.terrain", ("'moon'", "level open")),
    ],
)
def test_each_misfit_names_field_line_and_what_is_accepted(
    buoy: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    before: str,
    after: str,
    field: str,
    words: tuple[str, ...],
) -> None:
    line = altered(buoy, before, after)
    assert run(monkeypatch, "check", str(buoy)) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert f"buoy-tiers.toml:{line}: {field}" in told.err
    for word in words:
        assert word in told.err


def test_a_second_stack_that_nobody_placed_is_a_fault(
    buoy: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    altered(buoy, 'tip_station = "0 mm"       # where the top of this stack stands\n', "")
    altered(buoy, 'tip_station = "170 mm"\n', "")
    assert run(monkeypatch, "check", str(buoy)) == 2
    told = capsys.readouterr().err
    assert "part[2]" in told
    assert "tiers without tip_station, beside other parts" in told


def test_rods_in_another_unit_are_a_fault(
    buoy: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    with buoy.open("a", encoding="utf-8") as stream:
        stream.write(
            '\n[[rod]]\nthread = "M6"\nmaterial = "6061-T6"\ncount = 4\non_circle = "4 m"\n'
            'stations = ["300 mm", "800 mm"]\n'
        )
    assert run(monkeypatch, "check", str(buoy)) == 2
    told = capsys.readouterr().err
    assert "rod[1].on_circle" in told
    assert "a rod 2 m from the axis" in told
    assert "in another unit" in told


def test_a_set_of_rods_in_another_is_a_fault(
    buoy: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    rod = '\n[[rod]]\nthread = "M6"\nmaterial = "6061-T6"\ncount = 4\non_circle = "100 mm"\n'
    with buoy.open("a", encoding="utf-8") as stream:
        stream.write(2 * f'{rod}stations = ["300 mm", "800 mm"]\n')
    assert run(monkeypatch, "check", str(buoy)) == 2
    told = capsys.readouterr().err
    assert "rod[2]: its rods run through those of rod[1]" in told
    assert "one set entered twice" in told


def test_all_misfits_come_at_once(
    buoy: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    altered(buoy, 'station = "730 mm"', 'station = "8.8 m"')
    altered(buoy, 'station = "304 mm"', 'station = "6.5 m"')
    assert run(monkeypatch, "check", str(buoy)) == 2
    assert "2 faults in the build sheet" in capsys.readouterr().err


def test_a_fault_leaves_no_report_behind(buoy: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    altered(buoy, 'material = "polycarbonate"', 'material = "cheese"')
    target = buoy.parent / "out" / "report.pdf"
    assert run(monkeypatch, "report", str(buoy), "--output", str(target)) == 2
    assert not target.parent.exists()


def test_a_missing_sheet_is_said_in_one_line(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(monkeypatch, "check", str(tmp_path / "nothing.toml")) == 2
    assert "nothing.toml" in capsys.readouterr().err
