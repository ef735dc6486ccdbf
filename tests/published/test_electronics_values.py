"""Electronics against values typed from data sheets, handbooks and plain arithmetic."""

import csv
from collections.abc import Callable
from pathlib import Path

import pytest

from finial.core.estimates import exact
from finial.electronics.batteries import cold_share
from finial.electronics.firing import FiringCircuit, continuity_limit, firing_current, igniter_kind
from finial.electronics.reliability import loss_probability


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
        "fires_soonest": kind.fires_in_s[0],
        "fires_latest": kind.fires_in_s[1],
        "energy": kind.energy_j,
    }[field]


def current(**volts_and_ohms: str) -> float:
    circuit = FiringCircuit(
        switch_ohm=exact(0.0), **{name: exact(float(value)) for name, value in volts_and_ohms.items()}
    )
    return firing_current(circuit).value


def works(ways: list[list[str]], *reliabilities: float) -> float:
    names = sorted({part for way in ways for part in way})
    failure = {name: 1 - odds for name, odds in zip(names, reliabilities, strict=True)}
    return 1 - loss_probability([frozenset(way) for way in ways], failure)


def shared(failure: float, share: float) -> float:
    """Both of two like parts fail; the formula adds by themselves and at once without their overlap."""
    both = [frozenset(way) for way in (("a", "all"), ("b", "all"))]
    own, at_once = (1 - share) * failure, share * failure
    return loss_probability(both, {"a": own, "b": own, "all": at_once}) + at_once * own**2


RELIABILITY: dict[str, Callable[[list[float]], float]] = {
    "series": lambda values: works([["a", "b"]], *values),
    "parallel": lambda values: works([["a"], ["b"]], *values),
    "voting": lambda values: works([["a", "b"], ["a", "c"], ["b", "c"]], *[values[2]] * 3),
    "chain": lambda values: works([["a", "b", "c", "d"]], *values),
    "two-chains": lambda values: works([["a", "b", "c", "d"], ["e", "f", "g", "h"]], *values, *values),
    "common": lambda values: shared(*values),
    "independent": lambda values: shared(*values),
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
