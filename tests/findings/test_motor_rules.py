"""A motor whose curve and masses are of two motors is doubted."""

from dataclasses import replace

import numpy as np
import pytest

from finial.findings.finding import Verdict
from finial.findings.rules.motor_rules import motor_findings
from finial.motors.motor import Motor

GO, NOT_KNOWN = Verdict.GO, Verdict.NOT_KNOWN
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
    return {one.key: one.verdict for one in motor_findings((motor,))}


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
    found = motor_findings((MOTOR, MOTOR, replace(MOTOR, name="Other")))
    assert [one.subject.name for one in found] == ["Demo", "Demo", "Other", "Other"]
