"""Tables that ship with a package."""

import csv
from importlib.resources import files

import pytest

from finial.core.dimensions import Dimension, find_unit, units_of
from finial.core.errors import MissingData
from finial.core.tables import row_named, table_rows

ROWS = ({"name": "PETG", "e": "2.1"}, {"name": "ASA", "e": "2.0"})


def test_comments_are_left_out_and_columns_named():
    rows = table_rows("finial.core", "units.csv")
    assert rows[0]["symbol"] == "mm"
    assert all(None not in row and None not in row.values() for row in rows)


def test_a_table_that_is_not_there_is_named():
    with pytest.raises(MissingData, match=r"finial\.core has no table nothing\.csv"):
        table_rows("finial.core", "nothing.csv")


def test_names_are_found_in_any_letter_case():
    assert row_named(ROWS, "petg")["e"] == "2.1"


def test_an_unknown_name_lists_the_known_ones():
    with pytest.raises(MissingData, match="no entry 'PLA': known are PETG, ASA"):
        row_named(ROWS, "PLA")


def test_every_unit_has_a_source_and_a_spelling_of_its_own():
    for dimension in Dimension:
        spellings = [spelling for unit in units_of(dimension) for spelling in unit.spellings]
        assert len(spellings) == len(set(spellings))
        for unit in units_of(dimension):
            assert all(find_unit(slip, dimension) is None for slip in unit.slips)
    text = (files("finial.core") / "units.csv").read_text(encoding="utf-8")
    rows = csv.DictReader(line for line in text.splitlines() if not line.startswith("#"))
    assert all(row["source"] for row in rows)
