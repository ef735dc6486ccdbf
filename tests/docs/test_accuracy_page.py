"""The accuracy page is generated from the published tests, and up to date."""

import importlib.util
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def maker():
    spec = importlib.util.spec_from_file_location("make_accuracy", ROOT / "docs" / "make_accuracy.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_committed_page_is_what_the_tables_give(maker):
    committed = maker.PAGE.read_text(encoding="utf-8")
    assert committed == maker.page(), "run: python docs/make_accuracy.py"


def test_committed_pictures_are_what_the_tables_give(maker):
    drawn = maker.pictures()
    assert set(drawn) == {"measured-bodies.svg", "measured-vehicles.svg"}
    for file, drawing in drawn.items():
        committed = maker.PAGE.with_name(file).read_text(encoding="utf-8")
        assert committed == drawing, "run: python docs/make_accuracy.py"


def test_a_measurement_is_placed_by_what_its_reading_error_leaves(maker):
    row = {"low": "1", "central": "2", "high": "4", "expected": "3.5", "tolerance": "0.5"}
    assert maker.place(row) == pytest.approx(0.5)
    assert maker.place({**row, "expected": "1.0", "tolerance": "0.25"}) == pytest.approx(-0.75)
    assert maker.place({**row, "expected": "2.4"}) == 0.0
    assert maker.place({**row, "expected": "2.4"}, with_error=True) == pytest.approx(0.2)
    assert maker.calibration([row] * 19 + [{**row, "expected": "4.5"}]).startswith("Ranges 0.50 times")


def test_every_published_row_is_on_the_page_with_its_source(maker):
    page = maker.page()
    for path in sorted(maker.PUBLISHED.glob("*.csv")):
        if path.name == maker.KINDS_FILE:
            continue
        for row in maker.published_rows(path):
            assert row["source"].strip(), f"{path.name}: {row['id']} names no source"
            assert maker.cell(row["source"]) in page


def test_a_table_without_source_column_is_refused(maker, tmp_path):
    bad = tmp_path / "bad.csv"
    bad.write_text("id,expected,tolerance\nA-1,1,0.1\n")
    with pytest.raises(ValueError, match=r"bad\.csv has no column source"):
        maker.published_rows(bad)


def test_bars_in_a_source_do_not_break_the_table(maker):
    row = {"id": "A", "expected": "1", "tolerance": "0", "source": "a|b"}
    assert maker.section("air", [row]).splitlines()[-1] == r"| A |  | 1 | 0 | a\|b |"


def test_what_a_table_says_of_its_tolerances_is_on_the_page(maker, tmp_path):
    table = tmp_path / "air.csv"
    table.write_text("# Tolerance relative.\nid,expected,tolerance,source\nA,1,0,book\n")
    said = maker.section("air", maker.published_rows(table), maker.preamble(table))
    assert said.startswith("### Air\n\nTolerance relative.\n\n| row |")


def test_every_row_stands_once_under_its_heading(maker):
    page = maker.page()
    counts = [int(row.split("|")[2]) for row in page.splitlines() if row.split("|")[1:2] in TITLES]
    rows = [
        row
        for path in maker.PUBLISHED.glob("*.csv")
        if path.name != maker.KINDS_FILE
        for row in maker.published_rows(path)
    ]
    assert len(counts) == 3
    assert (
        sum(counts)
        == len(rows)
        == sum(line.startswith("| ") for line in page.splitlines()) - _heads(page, maker)
    )


TITLES = [[" Computed independently "], [" Typed tables "], [" Measurements beside a range "]]


def _heads(page, maker):
    """Lines of the tables that hold no row."""
    lines = [line for line in page.splitlines() if line.startswith("| ")]
    heads = sum(line.startswith(("| ---", "| row |", "| |", "| class |")) for line in lines)
    return heads + len(TITLES) + len(maker.CLASSES)


def test_a_typed_table_is_not_called_computed(maker):
    assert maker.kind_of({"id": "UNIT-01"}) == "table"
    assert maker.kind_of({"id": "CHT-02 a"}) == "table"
    assert maker.kind_of({"id": "CHT-01 a"}) == "computed"
    assert maker.kind_of({"id": "XDR-01", "low": "1"}) == "measured"


def test_no_source_is_a_program(maker):
    for path in maker.PUBLISHED.glob("*.csv"):
        if path.name != maker.KINDS_FILE:
            for row in maker.published_rows(path):
                words = row["source"].lower()
                assert not any(name in words for name in ("library", "scipy", "code_aster", "program")), row


def test_the_width_of_a_range_stands_beside_it(maker):
    row = {"low": "1", "central": "2", "high": "4"}
    assert maker.width(row) == "150%"
    assert maker.width({**row, "central": "0.1"}) == "3"


def test_sharpness_by_hand(maker):
    row = {"inputs": "vehicle=hull; ask=force", "low": "1", "central": "2", "high": "4", "tolerance": "0"}
    rows = [{**row, "expected": value} for value in ("2", "3", "4", "5")]
    # Widths 3 over the measurements; one above by 1 of 5: 3 + 40 over 5.
    assert [maker.interval_score(each) for each in rows] == pytest.approx([1.5, 1.0, 0.75, 8.6])
    assert [maker.chance(each) for each in rows] == pytest.approx([0.5, 0.7375, 0.975, 1.0])
    (line,) = (each for each in maker.sharpness(rows).splitlines() if each.startswith("| slim round"))
    assert line == "| slim round | 4 | 3 | 0.88 | 0 0 1 1 2 | 1.25 |"


def test_every_measurement_has_a_class_and_fins_make_another(maker):
    for path in maker.PUBLISHED.glob("measured_*.csv"):
        for row in maker.published_rows(path):
            assert maker.shape_class(row) in maker.CLASSES
    assert maker.shape_class({"inputs": "vehicle=hull with fins; ask=force"}) == "finned"
    assert maker.shape_class({"inputs": "vehicle=hull; ask=force"}) == "slim round"
    # What nothing was measured of is said to be not known, not left out.
    assert "| crooked | 0 | not known" in maker.sharpness([])
