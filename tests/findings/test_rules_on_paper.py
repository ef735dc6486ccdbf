"""Rules judged on results made by hand: no vehicle is computed."""

from dataclasses import replace

import numpy as np
import pytest
from unsaid import nothing_inside

from finial.assemble.electronics.results import ContinuityCheck, ElectronicsResult
from finial.assemble.flights.results import Loss, LostFlight
from finial.assemble.inside.results import JointCheck
from finial.core.estimates import exact
from finial.findings.after_loss import spoiled_by
from finial.findings.finding import Verdict
from finial.findings.limits import Limits
from finial.findings.rule import Rule
from finial.findings.rules.electronics_rules import electronics_findings
from finial.findings.rules.inside_rules import inside_findings
from finial.findings.rules.motor_rules import burn_findings
from finial.motors.motor import Motor

LIMITS = Limits(own={})


@pytest.mark.parametrize(
    ("losses", "spoiled"),
    [
        ((Loss.TURNED_OVER, Loss.TURNED_OVER), True),
        ((Loss.TURNED_OVER, Loss.NOT_FOLLOWED), False),
        ((Loss.EARLY_CANOPY,), False),
    ],
)
def test_a_canopy_before_burnout_is_unknown_where_every_flight_turned_over(
    losses: tuple[Loss, ...], spoiled: bool
) -> None:
    lost = tuple(LostFlight(flight="weak", loss=one, time_s=1.4, under_thrust=True) for one in losses)
    early = Rule(key="before-burnout", stage="flight", source="made up", safety=True).holds(Verdict.NO_GO)
    (found,) = spoiled_by(lost, [early])
    assert found.spoiled is spoiled
    assert found.verdict is (Verdict.NOT_KNOWN if spoiled else Verdict.NO_GO)


def test_an_igniter_whose_currents_contradict_each_other_concerns_safety() -> None:
    check = ContinuityCheck(igniter="i", computer="k", current=exact(0.001), no_fire_a=1.01, all_fire_a=1.0)
    wired = ElectronicsResult(
        computers=1,
        paths=(),
        checks=(check,),
        pad_times=(),
        arming=(),
        odds=(),
        single_points=(),
    )
    found = {one.key: one for one in electronics_findings(wired, LIMITS, wait=None)}
    assert (found["igniter-currents"].verdict, found["igniter-currents"].safety) == (Verdict.NO_GO, True)


@pytest.mark.parametrize("key", ["joint-free", "joint-between-parts"])
def test_a_joint_that_cannot_part_concerns_safety(key: str) -> None:
    tied = JointCheck(joint="joint", station_m=0.3, off=exact(0.1), glued=True, ties=("rod",))
    found = {one.key: one for one in inside_findings(replace(nothing_inside(), joints=(tied,)), None, LIMITS)}
    assert (found[key].verdict, found[key].safety) == (Verdict.NO_GO, True)


def test_a_motor_waits_from_the_first_of_its_times_on() -> None:
    """From 1 s on it rises to 100 N in a second: 50 N stand under it after half of that."""
    motor = Motor(
        name="late",
        diameter_m=0.054,
        length_m=0.4,
        loaded_mass_kg=1.48,
        propellant_mass_kg=0.76,
        times_s=np.array([1.0, 2.0, 3.0]),
        thrusts_n=np.array([0.0, 100.0, 0.0]),
    )
    (waits,) = [one.value for one in burn_findings(motor, weight_n=50.0) if one.value is not None]
    assert waits == exact(0.5)
