"""What a log's numbers are turned into, against worked examples."""

import csv
from pathlib import Path

import pytest

from finial.atmosphere.pressure_height import metres_per_pascal
from finial.core.constants import STANDARD_GRAVITY_M_S2
from finial.flown.coast import drag_coefficient_of_coast
from finial.flown.smoothing import port_error

QUANTITIES = {
    "metres per hectopascal": lambda p, t: 100.0 * metres_per_pascal(p, t),
    "false height of a port": port_error,
    "drag coefficient of a coast": drag_coefficient_of_coast,
    "felt in that coast": lambda slows: STANDARD_GRAVITY_M_S2 - slows,
}


def _rows():
    with (Path(__file__).parent / "logs.csv").open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(line for line in stream if not line.startswith("#")))


@pytest.mark.parametrize("row", _rows(), ids=lambda row: f"{row['id']} {row['inputs']}")
def test_published_log_numbers(row):
    quantity, _, given = row["inputs"].partition(": ")
    answer = float(QUANTITIES[quantity](*map(float, given.split())))
    assert answer == pytest.approx(float(row["expected"]), rel=float(row["tolerance"].rstrip(" %")) / 100.0)
