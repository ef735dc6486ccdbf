"""A motor whose curve and masses are of two motors is doubted."""

import tomllib
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from finial.assemble.vehicle.loading import motor_of
from finial.core.units import Quantity
from finial.files.motor_data import read_motor
from finial.files.sheet_motor import MotorMountEntry
from finial.findings.finding import Verdict
from finial.findings.rules.motor_rules import burn_findings, motor_findings, said_of_motors
from finial.motors.motor import Motor

EXAMPLES = Path(__file__).parents[2] / "examples"
GO, NOT_KNOWN, NO_GO = Verdict.GO, Verdict.NOT_KNOWN, Verdict.NO_GO
MOTOR = Motor(
    name="Demo",
    diameter_m=0.054,
    length_m=0.4,
    loaded_mass_kg=1.48,
    propellant_mass_kg=0.76,
    times_s=np.array([0.0, 3.0]),
    thrusts_n=np.array([1000.0, 0.0]),
)


def verdicts(motor: Motor) -> dict[str, Verdict]:
    return {one.key: one.verdict for one in motor_findings((motor,), wander_m=0.0)}


@pytest.mark.parametrize(
    ("propellant_kg", "verdict"), [(0.53, GO), (0.52, NOT_KNOWN), (2.54, GO), (2.56, NOT_KNOWN)]
)
def test_an_impulse_wants_its_propellant(propellant_kg: float, verdict: Verdict) -> None:
    """1500 N s: 290 s of specific impulse need 0.527 kg; 60 s would take 2.549 kg."""
    assert verdicts(replace(MOTOR, propellant_mass_kg=propellant_kg))["motor-gives"] is verdict


@pytest.mark.parametrize(("loaded_kg", "verdict"), [(2.46, GO), (2.49, NOT_KNOWN)])
def test_a_motor_is_no_denser_than_its_case(loaded_kg: float, verdict: Verdict) -> None:
    """54 by 400 mm is 0.916 l: 2.47 kg of solid aluminium."""
    assert verdicts(replace(MOTOR, loaded_mass_kg=loaded_kg))["motor-weighs"] is verdict


def test_each_kind_of_a_cluster_is_judged_once() -> None:
    found = motor_findings((MOTOR, MOTOR, replace(MOTOR, name="Other")), wander_m=0.0)
    assert [one.subject.name for one in found] == ["Demo", "Demo", "Other", "Other", ""]


FOLDER = EXAMPLES / "every-key"
DATA = read_motor(FOLDER / "motors" / "demo-k500.toml", FOLDER)


def said(mount: str = "", **claims: object) -> dict[tuple[str, str], Verdict]:
    """Verdicts on the demo motor of 54 by 400 mm with other claims, in a mount that is told."""
    data = replace(DATA, **claims)
    entry = {"data": "demo.toml", "nozzle_station": "1 m", **tomllib.loads(mount)}
    found = said_of_motors(MotorMountEntry.model_validate(entry), [(motor_of(data), data)] * 2)
    return {(one.key, one.subject.case): one.verdict for one in found}


def test_a_curve_that_gives_what_is_claimed_goes() -> None:
    assert said() == {("motor-claims", ""): GO}


@pytest.mark.parametrize(
    ("claims", "what"),
    [
        # The curve gives 1500 N s, a mean of 500 N over 3 s, class K; 10 % either way are taken.
        ({"claimed_average_thrust": Quantity(value=560.0)}, "average thrust, N"),
        ({"claimed_burn_time": Quantity(value=2.5)}, "burn time, s"),
        ({"claimed_letter": "L"}, "letter"),
    ],
)
def test_a_curve_that_gives_another_than_claimed_is_doubted(claims, what) -> None:
    assert said(**claims) == {("motor-claims", what): NOT_KNOWN}


@pytest.mark.parametrize(
    ("mount", "case", "verdict"),
    [
        ('takes = "54 mm"', "diameter", GO),
        ('takes = "53.9 mm"', "diameter", Verdict.NO_GO),
        ('room = "400 mm"', "length", GO),
        ('room = "399 mm"', "length", Verdict.NO_GO),
    ],
)
def test_a_motor_fits_what_the_sheet_says_its_mount_takes(mount, case, verdict) -> None:
    assert said(mount)["motor-misfit", case] is verdict


@pytest.mark.parametrize(("wander_mm", "verdict"), [(4.9, GO), (5.1, NOT_KNOWN)])
def test_a_cluster_keeps_its_line(wander_mm: float, verdict: Verdict) -> None:
    found = motor_findings((MOTOR, MOTOR), wander_m=wander_mm * 1e-3)
    assert [one.verdict for one in found if one.key == "cluster-in-step"] == [verdict]
    assert "cluster-in-step" not in {one.key for one in motor_findings((MOTOR,), wander_m=1.0)}


def burn(times, thrusts, weight_n: float = 100.0) -> dict[str, Verdict]:
    motor = replace(MOTOR, times_s=np.array(times), thrusts_n=np.array(thrusts))
    return {one.key: one.verdict for one in burn_findings(motor, weight_n=weight_n)}


@pytest.mark.parametrize(
    ("least", "back", "verdict"),
    [(101.0, 600.0, GO), (99.0, 600.0, NO_GO), (0.0, 251.0, NO_GO), (0.0, 249.0, GO)],
)
def test_thrust_that_was_gone_does_not_come_back(least: float, back: float, verdict: Verdict) -> None:
    """Of 1000 N, a tenth is gone and a quarter is back."""
    found = burn([0.0, 0.05, 0.5, 0.6, 0.7, 1.5, 1.6], [0.0, 1000.0, 900.0, least, back, back, 0.0])
    assert found["burns-once"] is verdict


def test_a_slow_rise_and_a_long_tail_are_one_burn() -> None:
    assert burn([0.0, 0.3, 0.5, 2.0, 4.0], [0.0, 50.0, 1000.0, 200.0, 0.0])["burns-once"] is GO


@pytest.mark.parametrize(("rises_s", "verdict"), [(0.98, GO), (1.02, NO_GO)])
def test_a_motor_lifts_its_weight_within_half_a_second(rises_s: float, verdict: Verdict) -> None:
    """A straight rise to 1000 N reaches a weight of 500 N half way."""
    assert burn([0.0, rises_s, 3.0], [0.0, 1000.0, 0.0], weight_n=500.0)["lifts-soon"] is verdict


def test_less_thrust_than_weight_never_lifts() -> None:
    assert burn([0.0, 0.1, 3.0], [0.0, 90.0, 0.0])["lifts-soon"] is NO_GO
    assert burn([0.0, 3.0], [1000.0, 0.0])["lifts-soon"] is GO
