"""Electronics against values typed from data sheets, handbooks and plain arithmetic."""

import csv
from collections.abc import Callable
from pathlib import Path

import pytest

from finial.core.estimates import exact
from finial.electronics.batteries import cold_share
from finial.electronics.firing import FiringCircuit, continuity_limit, firing_current, igniter_kind
from finial.electronics.reliability import (
    common_cause_failure,
    parallel_reliability,
    series_reliability,
    voting_reliability,
)


def rows() -> list[dict[str, str]]:
    lines = Path(__file__).with_name("electronics.csv").read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def inputs(row: dict[str, str]) -> dict[str, str]:
    pairs = (pair.split("=") for pair in row["inputs"].split(";"))
    return {key.strip(): value.strip() for key, value in pairs}


def match_field(field: str) -> float:
    kind = igniter_kind("electric match")
    return {
        "all_fire_low": kind.all_fire_a[0],
        "all_fire_high": kind.all_fire_a[1],
        "no_fire": kind.no_fire_a,
        "test": kind.test_a,
        "resistance_low": kind.resistance_ohm[0],
        "resistance_high": kind.resistance_ohm[1],
    }[field]


def current(**volts_and_ohms: str) -> float:
    circuit = FiringCircuit(
        switch_ohm=exact(0.0), **{name: exact(float(value)) for name, value in volts_and_ohms.items()}
    )
    return firing_current(circuit).value


RELIABILITY: dict[str, Callable[[list[float]], float]] = {
    "series": series_reliability,
    "parallel": parallel_reliability,
    "voting": lambda values: voting_reliability(int(values[0]), int(values[1]), values[2]),
    "chain": series_reliability,
    "two-chains": lambda values: parallel_reliability([series_reliability(values)] * 2),
    "common": lambda values: common_cause_failure(*values),
    "independent": lambda values: common_cause_failure(*values),
}


def answer(row: dict[str, str]) -> float:
    check, which = row["id"].split(maxsplit=1)
    given = inputs(row)
    if check == "ELC-01":
        return match_field(given["field"])
    if check == "ELC-02":
        return current(**given)
    if check == "ELC-06":
        return continuity_limit(**{name: float(value) for name, value in given.items()})
    if check == "ELC-03":
        return cold_share(exact(float(given["celsius"]) + 273.15)).value
    return RELIABILITY[which]([float(value) for value in given["values"].split()])


@pytest.mark.parametrize("row", rows(), ids=lambda row: row["id"])
def test_value_is_the_published_one(row: dict[str, str]) -> None:
    assert answer(row) == pytest.approx(float(row["expected"]), rel=float(row["tolerance"]))


@pytest.mark.parametrize(("celsius", "share"), [(-18.0, 0.5), (0.0, 0.8)])
def test_cold_interval_is_ten_points_either_side(celsius: float, share: float) -> None:
    cold = cold_share(exact(celsius + 273.15))
    assert (cold.low, cold.high) == pytest.approx((share - 0.1, share + 0.1))
