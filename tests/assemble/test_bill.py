"""The bill of materials against what the examples' sheets say, read from them by hand."""

import csv
import io
import math
from pathlib import Path

import pytest

from finial.assemble.mass.bill import BillKind, bill_of
from finial.core.estimates import KnownBy
from finial.findings.check import load_begun
from finial.report.bill_text import bill_csv, to_weigh

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture(scope="module")
def every():
    return load_begun(EXAMPLES / "every-key" / "every-key.toml")


@pytest.fixture(scope="module")
def rows(every):
    return bill_of(every)


def of(rows, kind: BillKind) -> list:
    return [row for row in rows if row.kind is kind]


def test_rods_are_cut_from_end_to_end_and_have_two_nuts_each(every, rows) -> None:
    for row, nuts, rod in zip(of(rows, BillKind.ROD), of(rows, BillKind.NUT), every.sheet.rod, strict=True):
        fore, aft = (end.value for end in rod.stations)
        assert row.cut_m == pytest.approx(aft - fore)
        assert row.count == (rod.count or len(rod.places))
        assert (nuts.count, nuts.detail) == (2 * row.count, rod.thread)
        assert row.mass.known_by is KnownBy.COMPUTED


def test_only_rods_with_washers_have_some(every, rows) -> None:
    wanted = [2 * (rod.count or len(rod.places)) for rod in every.sheet.rod if rod.washer]
    assert [row.count for row in of(rows, BillKind.WASHER)] == wanted


def test_a_fin_is_cut_from_a_sheet_that_holds_its_tab_too(every, rows) -> None:
    row, entry = of(rows, BillKind.FIN)[0], every.sheet.fin[0]
    along = [corner[0].value for corner in entry.outline]
    outward = max(corner[1].value for corner in entry.outline)
    assert entry.fixing.kind in ("slot", "tab")
    wanted = (max(along) - min(along), outward + entry.fixing.depth.value, entry.thickness.value)
    assert row.sides_m == pytest.approx(wanted)
    assert row.count == entry.count


def test_stays_are_as_long_as_the_way_from_the_fin_to_the_skin(every, rows) -> None:
    """A pair for each fin; never shorter than the straight way from its point to the middle plane."""
    [stay] = every.sheet.fin[0].stays
    [row] = of(rows, BillKind.WIRE)
    assert stay.to == "body"
    assert row.count == 2 * every.sheet.fin[0].count
    turn = stay.anchor_turn.value if stay.anchor_turn else math.pi / every.sheet.fin[0].count
    assert row.cut_m > stay.outward.value * math.sin(turn)
    assert row.sides_m == (stay.diameter.value,)


def test_dowels_reach_into_both_parts(every, rows) -> None:
    [row] = of(rows, BillKind.DOWEL)
    [dowels] = [part.dowels for part in every.sheet.part if part.dowels]
    assert (row.count, row.cut_m) == (dowels.count, pytest.approx(2 * dowels.depth.value))


def test_everything_that_can_be_bought_is_listed_once(every, rows) -> None:
    sheet = every.sheet
    assert len(of(rows, BillKind.PART)) == len(sheet.part)
    assert len(of(rows, BillKind.ITEM)) == len(sheet.item)
    assert len(of(rows, BillKind.MOTOR)) == len(every.files.every_motor)
    assert len(of(rows, BillKind.IGNITER)) == len(sheet.electronics.igniter)
    assert sum(row.count for row in of(rows, BillKind.BUTTON)) == len(sheet.guide.buttons)
    assert sum(row.count for row in of(rows, BillKind.PIN)) == sum(
        joint.pins.count for joint in sheet.recovery.joint if joint.pins
    )
    # The motor tube is an item of the sheet: told once.
    assert of(rows, BillKind.TUBE) == []


def test_what_a_scale_has_not_seen_is_still_to_be_weighed(every, rows) -> None:
    left = {row.name for row in rows if to_weigh(row) and row.kind is BillKind.PART}
    assert left == {part.name for part in every.sheet.part if part.weighed is None}
    assert not any(to_weigh(row) for row in rows if row.kind in (BillKind.NUT, BillKind.POWDER))


def test_the_csv_holds_the_same_in_plain_numbers(every, rows) -> None:
    table = list(csv.DictReader(io.StringIO(bill_csv(rows, us_units=False))))
    assert len(table) == len(rows)
    rod = next(row for row in table if row["kind"] == "rod")
    fore, aft = (end.value for end in every.sheet.rod[0].stations)
    assert float(rod["cut_mm"]) == pytest.approx(1e3 * (aft - fore))
    in_inches = list(csv.DictReader(io.StringIO(bill_csv(rows, us_units=True))))
    rod_us = next(row for row in in_inches if row["kind"] == "rod")
    assert float(rod_us["cut_in"]) == pytest.approx((aft - fore) / 0.0254, rel=1e-5)
    # The international ounce: 28.349523125 g, by definition.
    assert float(rod_us["mass_of_all_oz"]) == pytest.approx(
        float(rod["mass_of_all_g"]) / 28.349523125, rel=1e-3
    )


def test_a_name_is_no_formula_for_a_table_program(rows) -> None:
    from dataclasses import replace

    text = bill_csv([replace(rows[0], name="=1+1")], us_units=False)
    assert "'=1+1" in text
    assert "\n=1" not in text
