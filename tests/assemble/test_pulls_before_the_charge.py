"""What pulls at a joint before its charge: thrust that stops dead swings the whole squeeze over."""

from dataclasses import replace

import numpy as np
import pytest

from finial.assemble.looks.answer import answer
from finial.assemble.recovery.charges import early_load, early_pulls
from finial.assemble.recovery.moments import recovery_moments
from finial.assemble.recovery.results import PullKind
from finial.findings.finding import Verdict
from finial.findings.limits import Limits
from finial.findings.rules.recovery_rules import recovery_findings
from finial.structure.loads.thrust_end import tail_off


def stopping_dead(vehicle):
    """The vehicle on a motor of the same mean thrust that ends at once."""
    motor = vehicle.motor
    burn = float(motor.times_s[-1])
    mean = float(np.trapezoid(motor.thrusts_n, motor.times_s)) / burn
    times, thrusts = np.array([0.0, 0.001, burn - 1e-6, burn]), np.array([0.0, mean, mean, 0.0])
    dead = replace(motor, times_s=times, thrusts_n=thrusts)
    return replace(vehicle, motor=dead, motors=(dead,)), mean


def pulls_of(vehicle):
    found = answer(vehicle)
    moments = recovery_moments(found.basis)
    bay = vehicle.sheet.recovery.bay[0]
    pulls = early_pulls(vehicle.sheet, bay, moments, found.recovery.canopies)
    return found, moments, {pull.kind: pull.force for pull in pulls}, pulls


def test_thrust_that_stops_dead_pulls_as_hard_as_it_squeezed(lighthouse) -> None:
    vehicle, mean = stopping_dead(lighthouse)
    found, moments, forces, pulls = pulls_of(vehicle)
    apart = moments.apart["lantern joint"]
    share = apart.fore_kg.value / (apart.fore_kg.value + apart.aft_kg.value)
    assert forces[PullKind.SPRINGBACK].value == pytest.approx(0.8 * mean * share, rel=0.02)
    assert early_load(pulls).high >= forces[PullKind.SPRINGBACK].high
    pins = next(one for one in recovery_findings(found.recovery, Limits(own={})) if one.key == "pins-hold")
    assert pins.bound.value == pytest.approx(1.5 * early_load(pulls).high)
    assert pins.verdict is (Verdict.GO if pins.value.low >= pins.bound.value else Verdict.NO_GO)


def test_a_long_tail_swings_little_back(lighthouse) -> None:
    _, moments, slow, _ = pulls_of(lighthouse)
    _, _, dead, _ = pulls_of(stopping_dead(lighthouse)[0])
    # A wave at 300 m/s runs the body's length and back in one period; the hull of sin(x)/x is 1/x.
    motor = lighthouse.motor
    fall_s, last_n = tail_off(motor.times_s, motor.thrusts_n)
    turn = np.pi * fall_s / (2 * lighthouse.skin.length_m / 300.0)
    apart = moments.apart["lantern joint"]
    share = apart.fore_kg.high / (apart.fore_kg.high + apart.aft_kg.low)
    assert slow[PullKind.SPRINGBACK].high == pytest.approx(last_n / turn * share, rel=1e-6)
    assert slow[PullKind.SPRINGBACK].low == 0.0
    assert slow[PullKind.SPRINGBACK].high < 0.1 * dead[PullKind.SPRINGBACK].high
