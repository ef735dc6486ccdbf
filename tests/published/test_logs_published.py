"""What a log's numbers are turned into, against worked examples."""

import csv
from pathlib import Path

import numpy as np
import pytest

from finial.atmosphere.standard import air_state
from finial.flown.noise import reading_noise
from finial.flown.smoothing import port_error
from finial.recovery.charges.ports import lag_height

QUANTITIES = {
    "metres per hectopascal": lambda p, t: lag_height(100.0, float(air_state(p, t).density_kg_m3)),
    "metres per pascal": lambda p, t: lag_height(1.0, float(air_state(p, t).density_kg_m3)),
    "false height of a port": port_error,
    "noise of a step": lambda step: reading_noise(np.where(np.arange(60) < 30, 0.0, step)),
}


def _rows():
    with (Path(__file__).parent / "logs.csv").open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(line for line in stream if not line.startswith("#")))


@pytest.mark.parametrize("row", _rows(), ids=lambda row: f"{row['id']} {row['inputs']}")
def test_published_log_numbers(row):
    quantity, _, given = row["inputs"].partition(": ")
    answer = float(QUANTITIES[quantity](*map(float, given.split())))
    assert answer == pytest.approx(float(row["expected"]), rel=float(row["tolerance"].rstrip(" %")) / 100.0)
