"""Texts that would take for ever, or all memory, to read: every one is refused within a second or so."""

import json
import shutil
import time
from pathlib import Path

import pytest

from finial.core.errors import BuildSheetError, UnitError
from finial.core.units import Dimension, parse_quantity
from finial.files.geojson import read_field
from finial.files.sheet import read_sheet
from finial.files.source import read_toml
from finial.files.thrust_curve import read_thrust_curve

EXAMPLE = Path(__file__).parents[1] / "files" / "full_sheet"
MOST_SECONDS = 3.0


@pytest.fixture(autouse=True)
def _in_no_time():
    began = time.process_time()
    yield
    assert time.process_time() - began < MOST_SECONDS


@pytest.mark.parametrize(
    "text",
    [
        "1e-999999999 kg",
        "1e999999999 kg",
        "1 kg +- 1e-999999999 kg",
        "1e61 kg",
        "1" + " " * 2000 + "kg",
        "1 to" + " " * 2000,
        "9" * 5000 + " kg",
        "1 kg " * 5000,
        "0." + "0" * 5000 + "1 kg",
        "-",
        "+",
        "+-",
        ".",
        "e5 kg",
        "",
        10**4000,
    ],
    ids=lambda text: repr(text)[:20],
)
def test_quantities_of_no_end_are_refused(text):
    with pytest.raises(UnitError) as caught:
        parse_quantity(text, Dimension.MASS)
    assert len(str(caught.value)) < 1500


def test_the_largest_power_that_is_read():
    assert parse_quantity("1e-60 kg", Dimension.MASS).value == 1e-60


def refused(path, text):
    path.write_text(text, encoding="utf-8")
    with pytest.raises(BuildSheetError) as caught:
        read_toml(path)
    (fault,) = caught.value.faults
    return fault.given


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("a" + ".a" * 500_000 + " = 1", "dotted steps"),
        ("[" + "a." * 500_000 + "a]", "dotted steps"),
        ("[[" + "a." * 500_000 + "a]]", "dotted steps"),
        ("x = { " + "a." * 500_000 + "a = 1 }", "dotted steps"),
        ("a = " + "9" * 5000, "thousands of digits"),
        ("a = 0x" + "f" * 5000, "a whole number of 20000 bits"),
        ("a = [" * 1 + "[" * 200 + "]" * 200 + "]", "nested too deep"),
        ("a = " + "[" * 5000, "nested too deep"),
        ("a = " + "{ b = " * 300 + "1" + " }" * 300, "nested too deep"),
    ],
    ids=lambda text: text[:12],
)
def test_toml_of_no_end_is_refused(tmp_path, text, words):
    assert words in refused(tmp_path / "a.toml", text)


def test_a_long_list_of_numbers_on_one_line_is_no_long_key(tmp_path):
    (tmp_path / "a.toml").write_text(
        f"a = [{', '.join(['0.5'] * 500)}]\nb = '{'.' * 500}'\n", encoding="utf-8"
    )
    assert len(read_toml(tmp_path / "a.toml").values["a"]) == 500


@pytest.mark.parametrize(
    "written", ['"' + "1 " * 4000 + 'mm"', '"' + " " * 4000 + "below the top of 'tower'\""]
)
def test_a_station_of_no_end_is_refused(tmp_path, written):
    folder = Path(shutil.copytree(EXAMPLE, tmp_path / "project"))
    sheet = folder / "lamp.toml"
    text = sheet.read_text(encoding="utf-8")
    assert 'station = "470 mm"' in text
    sheet.write_text(text.replace('station = "470 mm"', f"station = {written}", 1), encoding="utf-8")
    with pytest.raises(BuildSheetError) as caught:
        read_sheet(sheet)
    assert caught.value.faults[0].field == "item[3].station"


@pytest.mark.parametrize(
    "text",
    [
        "(" * 300_000 + "\n0, 0\n1, 5\n2, 0\n",
        "(" + " " * 300_000 + "\n0, 0\n1, 5\n2, 0\n",
        "time" + " " * 300_000 + "thrust (lbf)\n0, 0\n1, 5\n2, 0\n",
    ],
    ids=["open", "blank", "wide"],
)
def test_a_heading_of_no_end_is_read_or_refused(tmp_path, text):
    path = tmp_path / "a.csv"
    path.write_text(text, encoding="utf-8")
    try:
        times, _ = read_thrust_curve(path)
    except BuildSheetError:
        return
    assert len(times) == 3


@pytest.mark.parametrize(
    "text",
    [
        '{"type": "Polygon", "coordinates": [[[' + "9" * 5000 + ", 0]]]}",
        '{"type": "Polygon", "coordinates": [[[' + "9" * 400 + ", 0], [1, 0], [1, 1], [0, 0]]]}",
        "[" * 100_000,
        json.dumps({"type": "Polygon", "coordinates": [[[0, 0], [1, 0], [1, None], [0, 0]]]}),
        json.dumps({"type": "Polygon", "coordinates": [3]}),
        json.dumps({"type": "Polygon", "coordinates": [[]]}),
        json.dumps({"type": "Polygon", "coordinates": []}),
    ],
    ids=range(7),
)
def test_a_field_of_no_end_is_refused(tmp_path, text):
    (tmp_path / "a.geojson").write_text(text, encoding="utf-8")
    with pytest.raises(BuildSheetError):
        read_field(tmp_path / "a.geojson")
