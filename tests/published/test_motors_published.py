"""Motor classes and a worked thrust curve."""

import csv
from pathlib import Path

import numpy as np
import pytest

from finial.motors.curve import (
    average_thrust,
    burn_window,
    designation,
    letter_class,
    total_impulse,
)
from finial.motors.motor import Motor

_LBF_N = 4.4482216152605

TRAPEZOID = Motor(
    name="trapezoid",
    diameter_m=0.054,
    length_m=0.3,
    loaded_mass_kg=0.8,
    propellant_mass_kg=0.35,
    times_s=np.array([0.0, 0.05, 1.5, 2.0]),
    thrusts_n=np.array([0.0, 400.0, 400.0, 0.0]),
)
QUANTITIES = {
    "letter": lambda text: letter_class(float(text)),
    "letter of lbf s": lambda text: letter_class(float(text) * _LBF_N),
    "impulse": lambda _: total_impulse(TRAPEZOID),
    "burn time": lambda _: burn_window(TRAPEZOID)[1] - burn_window(TRAPEZOID)[0],
    "average thrust": lambda _: average_thrust(TRAPEZOID),
    "designation": lambda _: designation(TRAPEZOID),
}


def _rows():
    with (Path(__file__).parent / "motors.csv").open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(line for line in stream if not line.startswith("#")))


@pytest.mark.parametrize("row", _rows(), ids=lambda row: f"{row['id']} {row['inputs']}")
def test_published_motor(row):
    quantity, _, given = row["inputs"].partition(": ")
    answer = QUANTITIES[quantity](given)
    if row["tolerance"] == "exact":
        assert answer == row["expected"]
    else:
        share = float(row["tolerance"].rstrip(" %")) / 100.0
        assert answer == pytest.approx(float(row["expected"]), rel=share)
