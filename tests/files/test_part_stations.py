"""Stations from an end of a part: worked out from meshes and tiers, refused where they cannot be."""

from pathlib import Path

import pytest

from finial.core.errors import BuildSheetError
from finial.files.sheet import read_sheet

SKERRY = Path(__file__).parents[2] / "examples" / "skerry-light"
BUOY = Path(__file__).parents[2] / "examples" / "buoy-tiers"


@pytest.fixture
def with_line(tmp_path):
    """Read an example with one line of its sheet in place of another."""
    import shutil

    def read(folder: Path, old: str, new: str):
        copy = tmp_path / folder.name
        shutil.copytree(folder, copy, dirs_exist_ok=True)
        sheet = copy / f"{folder.name}.toml"
        text = sheet.read_text(encoding="utf-8")
        assert old in text
        sheet.write_text(text.replace(old, new, 1), encoding="utf-8")
        return read_sheet(sheet)

    return read


# The lighthouse is drawn from z = 0 to 1200 mm; its upper tower stands from 620 to 905 mm.
@pytest.mark.parametrize(
    ("written", "station_mm", "off_mm"),
    [
        ("60 mm below the top of 'upper tower'", 355.0, 0.0),
        ("60 mm +- 2 mm above the bottom of 'upper tower'", 520.0, 2.0),
        ("the middle of 'upper tower'", 437.5, 0.0),
        ("1 in below top of 'upper tower'", 320.4, 0.0),
        ("1200 mm above the bottom of 'lower tower and plinth'", 0.0, 0.0),
    ],
)
def test_a_station_from_a_mesh(with_line, written, station_mm, off_mm):
    loaded = with_line(SKERRY, 'station = "720 mm +- 5 mm"', f'station = "{written}"')
    sled = next(item for item in loaded.sheet.item if item.name == "electronics sled")
    assert 1e3 * sled.station.value == pytest.approx(station_mm, abs=2e-3)
    assert 1e3 * sled.station.tolerance == pytest.approx(off_mm)


def test_a_station_from_a_stack_of_tiers(with_line):
    loaded = with_line(BUOY, 'station = "472 mm"', "station = \"60 mm below the top of 'daymark tower'\"")
    assert loaded.sheet.item[4].station.value == pytest.approx(0.230)


def test_every_key_that_is_a_station_takes_one(with_line):
    loaded = with_line(
        SKERRY,
        'stations = ["304 mm", "660 mm"]',
        "stations = [\"5 mm below the top of 'upper tower'\", \"80 mm below the bottom of 'upper tower'\"]",
    )
    assert [round(1e3 * end.value, 3) for end in loaded.sheet.recovery.bay[0].stations] == [300.0, 660.0]
    loaded = with_line(
        SKERRY, 'buttons = ["620 mm", "1170 mm"]', 'buttons = ["the top of \'middle tower\'", "1170 mm"]'
    )
    assert loaded.sheet.guide.buttons[0].value == pytest.approx(0.580)


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("60 mm below the top of 'upper towr'", "did you mean 'upper tower'?"),
        ("60 mm below the top of upper tower", "quotes of its own"),
        ("60 below the top of 'upper tower'", "unit"),
        ("60 g below the top of 'upper tower'", "length"),
        ("60 mm beneath the top of 'upper tower'", "below or above"),
        ("400 mm above the top of 'upper tower'", "105.0 mm ahead of its tip"),
    ],
)
def test_what_cannot_be_worked_out_is_said_with_its_line(with_line, written, said):
    with pytest.raises(BuildSheetError) as refused:
        with_line(SKERRY, 'station = "720 mm +- 5 mm"', f'station = "{written}"')
    (fault,) = refused.value.faults
    assert fault.field == "item[5].station"
    assert fault.line is not None
    assert said in f"{fault.given} {fault.accepted} {fault.likely_slip}"


def test_a_note_is_left_as_it_is(with_line):
    loaded = with_line(SKERRY, 'note = "An invented lighthouse;', "note = \"60 mm below the top of 'dome';")
    assert loaded.sheet.vehicle.note.startswith("60 mm below the top of 'dome'")


def test_backwards_stations_are_found_behind_the_words(with_line):
    with pytest.raises(BuildSheetError, match="forward station first"):
        with_line(SKERRY, 'stations = ["304 mm", "660 mm"]', 'stations = ["304 mm", "the top of \'dome\'"]')
