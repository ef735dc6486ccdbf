"""Numbers of an example are swept from good to bad: whatever a check gets, a worse number is no milder."""

from functools import cache
from itertools import combinations
from pathlib import Path

import pytest

from finial.assemble.vehicle.loading import LoadedVehicle
from finial.findings.check import load, readiness
from finial.findings.finding import Finding
from finial.findings.readiness import Depth
from finial.findings.same_check import Check, check_of, worst_of

EXAMPLES = Path(__file__).parents[2] / "examples"
_PAGODA = {
    ("recovery", "canopy", 0, "diameter"): ("6 m", "4 m", "3.6 m", "3 m", "1.5 m", "0.8 m"),
    ("launch", "wind"): ("0.5 m/s", "3 m/s", "7 m/s"),
}
_LIGHTHOUSE = {
    ("launch", "wind"): ("0.5 m/s", "3 m/s", "6 m/s", "9 m/s", "14 m/s"),
    ("launch", "rail_length"): ("6 m", "3.6 m", "2 m", "1.2 m"),
    ("launch", "temperature"): ("20 degC", "-5 degC", "-25 degC", "45 degC"),
    ("launch", "crowd_distance"): ("400 m", "120 m", "62 m", "30 m"),
    ("launch", "tilt"): ("1 deg", "8 deg", "19 deg"),
    ("item", 0, "mass"): ("3 kg", "1.91 kg", "1.4 kg", "0.4 kg"),
    ("fin", 0, "cant"): ("0 deg", "1 deg", "5 deg", "12 deg"),
    ("fin", 0, "thickness"): ("9 mm", "5 mm", "2.5 mm", "1 mm"),
    ("motor", "offset"): (["0 mm", "0 mm"], ["4 mm", "0 mm"], ["12 mm", "0 mm"], ["27 mm", "0 mm"]),
    ("recovery", "canopy", 0, "diameter"): ("5 m", "4 m", "3 m", "1.5 m", "0.5 m"),
    ("recovery", "charge", 0, "powder"): ("0.9 g", "0.62 g", "0.4 g", "0.1 g"),
}
SWEEPS = [
    *(("skerry-light", place, values) for place, values in _LIGHTHOUSE.items()),
    *(("pagoda", place, values) for place, values in _PAGODA.items()),
]
"""From good to bad, or there and back: the numbers that come of it are compared, not these."""


@cache
def loaded(name: str) -> LoadedVehicle:
    return load(EXAMPLES / name / f"{name}.toml")


def judged(vehicle: LoadedVehicle, place: tuple, value: object) -> dict[Check, Finding]:
    found = readiness(vehicle, {place: value}, depth=Depth.QUICK).findings
    return {
        check_of(one): one for one in worst_of(found).values() if not one.spoiled and one.margin is not None
    }


def milder(one: Finding, other: Finding) -> bool:
    """Whether the one with less left to its limit, known alike, is judged milder than the other."""
    worse, better = sorted((one, other), key=lambda it: it.margin)
    alike = worse.value and better.value and worse.value.known_by is better.value.known_by
    same = worse.bound == better.bound and worse.subject.case == better.subject.case
    return bool(alike) and same and worse.margin < better.margin and worse.verdict < better.verdict


@pytest.mark.parametrize(
    ("name", "place", "values"),
    SWEEPS,
    ids=[f"{name}:{'.'.join(map(str, place))}" for name, place, _ in SWEEPS],
)
def test_a_worse_number_is_judged_no_milder(name: str, place: tuple, values: tuple) -> None:
    looks = [judged(loaded(name), place, value) for value in values]
    pairs = [(a[check], b[check]) for a, b in combinations(looks, 2) for check in a.keys() & b.keys()]
    assert len(pairs) > 100
    assert [(a.key, a.verdict, a.margin, b.verdict, b.margin) for a, b in pairs if milder(a, b)] == []
    assert any(a.verdict != b.verdict for a, b in pairs), "the sweep moves no verdict"
