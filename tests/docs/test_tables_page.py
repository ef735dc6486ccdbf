"""The page of tables says what the tables say, every row of them, each with its source."""

import importlib.util
from pathlib import Path

import pytest

from finial.core.tables import table_rows
from finial.materials.material import material_names
from finial.range_safety.distance import known_codes
from finial.recovery.canopies.kinds import canopy_kinds

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def maker():
    spec = importlib.util.spec_from_file_location("make_tables", ROOT / "docs" / "make_tables.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_the_committed_page_is_what_the_tables_give(maker):
    assert maker.PAGE.read_text(encoding="utf-8") == maker.page(), "run: python docs/make_tables.py"


def test_every_name_that_a_sheet_may_use_stands_on_it(maker):
    page = maker.page()
    names = [*material_names(), *(kind.name for kind in canopy_kinds()), *known_codes()]
    assert len(names) > 20
    for name in names:
        assert name in page, name


def test_every_table_of_a_code_has_a_source_in_every_row(maker):
    for _, package, name in maker._OF_CODES:
        for row in table_rows(package, name):
            assert row["source"].strip(), row
            assert row["source"] in maker.page()
