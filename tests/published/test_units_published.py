"""Conversion factors against the tables they come from."""

import csv
from pathlib import Path

import pytest

from finial.core.units import Dimension, parse_quantity

ROWS = list(csv.DictReader(Path(__file__).with_name("units.csv").read_text(encoding="utf-8").splitlines()))


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["id"])
def test_unit_has_its_published_value(row):
    value = parse_quantity(row["inputs"], Dimension(row["dimension"])).value
    assert abs(value - float(row["expected"])) <= float(row["tolerance"])
