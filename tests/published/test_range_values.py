"""Range safety against numbers typed from the codes and the law."""

import csv
import math
from collections.abc import Callable
from pathlib import Path

import pytest

from finial.range_safety.classes import Installed, faa_class, is_high_power
from finial.range_safety.distance import faa_101_25, minimum_distance
from finial.range_safety.limits import airspace_rules, code_limits

FOOT, MPH = 0.3048, 0.44704


def rows() -> list[dict[str, str]]:
    lines = Path(__file__).with_name("range.csv").read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def distance_ft(code: str, impulse: str, layout: str) -> float:
    return minimum_distance(code, float(impulse), layout).distance_m / FOOT


def installed(impulse: str, propellant: str, mass: str, thrust: str, motors: str, metal: str) -> Installed:
    return Installed(
        impulse_n_s=float(impulse),
        propellant_kg=float(propellant),
        lift_off_mass_kg=float(mass),
        largest_average_thrust_n=float(thrust),
        motor_count=int(motors),
        substantial_metal=metal == "1",
    )


def rule_value(rule: str) -> float | None:
    return next(item.value for item in airspace_rules() if item.rule == rule)


def limit_value(code: str, limit: str) -> float | None:
    limits = code_limits(code)
    return {
        "tilt_deg": math.degrees(limits.tilt_rad),
        "wind_mph": limits.wind_m_s / MPH,
        "misfire_s": limits.misfire_wait_s,
        "countdown_s": limits.countdown_s,
        "no_flame_ft": limits.no_flame_m and limits.no_flame_m / FOOT,
        "sight_above_ft": limits.sight_above_m and limits.sight_above_m / FOOT,
        "thrust_ratio": limits.thrust_over_weight,
    }[limit]


CHECKS: dict[str, Callable[..., float | None]] = {
    "RNG-01": distance_ft,
    "RNG-02": distance_ft,
    "RNG-03": lambda **case: float(faa_class(installed(**case)).value.removeprefix("Class ")),
    "RNG-03-high": lambda **case: float(is_high_power(installed(**case))),
    "RNG-04": lambda altitude_ft: faa_101_25(float(altitude_ft) * FOOT) / FOOT,
    "RNG-04-rule": rule_value,
    "RNG-05": limit_value,
}


@pytest.mark.parametrize("row", rows(), ids=lambda row: row["id"])
def test_value_is_the_published_one(row: dict[str, str]) -> None:
    pairs = (pair.split("=") for pair in row["inputs"].split(";"))
    given = {key.strip(): value.strip() for key, value in pairs}
    ours = CHECKS[row["id"].split()[0]](**given)
    assert ours == pytest.approx(float(row["expected"]), rel=float(row["tolerance"]))
