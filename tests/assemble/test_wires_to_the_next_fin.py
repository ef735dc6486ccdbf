"""A wire from fin to fin is shared by two: one is bought for each fin."""

from dataclasses import replace
from pathlib import Path
from typing import Literal

import pytest

from finial.assemble.mass.bill import BillKind, bill_of
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.findings.check import load_begun

SHEET = Path(__file__).parents[2] / "examples" / "every-key" / "every-key.toml"


@pytest.fixture(scope="module")
def every() -> LoadedVehicle:
    return load_begun(SHEET)


@pytest.mark.parametrize(("to", "each"), [("body", 2), ("next fin", 1)])
def test_wires_are_counted_by_where_they_end(
    every: LoadedVehicle, to: Literal["body", "next fin"], each: int
) -> None:
    (fin, *others) = every.sheet.fin
    stay = fin.stays[0].model_copy(update={"to": to})
    tied = every.sheet.model_copy(update={"fin": (fin.model_copy(update={"stays": (stay,)}), *others)})
    rows = bill_of(replace(every, sheet=tied))
    assert [row.count for row in rows if row.kind is BillKind.WIRE] == [each * fin.count]
