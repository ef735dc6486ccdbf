"""Can a motor of these masses and this size give this thrust? Else curve and data are of two motors."""

import math

from finial.core.constants import STANDARD_GRAVITY_M_S2
from finial.core.dimensions import Dimension
from finial.core.estimates import KnownBy, exact
from finial.findings.finding import Finding, Fix, Subject, Verdict
from finial.findings.rule import Rule, softened
from finial.motors.curve import total_impulse
from finial.motors.motor import Motor

GIVES = Rule(
    key="motor-gives",
    stage="flight",
    dimension=Dimension.TIME,
    source="specific impulse of solid motors at sea level, black powder 80 s to composites of 250 s; from"
    " memory of Sutton and Biblarz, Rocket Propulsion Elements, not re-read",
    safety=True,
)
POOREST_S, BEST_S = 60.0, 290.0
"""Impulse over the weight of the propellant [s]: outside with room to spare, no solid or hybrid motor is."""
WEIGHS = Rule(
    key="motor-weighs",
    stage="flight",
    dimension=Dimension.DENSITY,
    source="common practice: propellant in aluminium, with room between",
    safety=True,
)
DENSEST_KG_M3 = 2700.0
"""A motor denser than solid aluminium is a slip [kg/m^3]."""


def motor_findings(motors: tuple[Motor, ...]) -> list[Finding]:
    """Judge each kind of motor once: impulse against its propellant, and mass against its room."""
    kinds = {motor.name: motor for motor in motors}
    return [judge(motor) for motor in kinds.values() for judge in (_gives, _weighs)]


def _gives(motor: Motor) -> Finding:
    weight_n = motor.propellant_mass_kg * STANDARD_GRAVITY_M_S2
    found = exact(total_impulse(motor) / weight_n, known_by=KnownBy.HANDBOOK)
    judge, limit = (GIVES.at_least, POOREST_S) if found.value < POOREST_S else (GIVES.at_most, BEST_S)
    judged = judge(found, limit, subject=Subject(name=motor.name), fixes=(Fix(key="look"),))
    return softened(judged, Verdict.NOT_KNOWN)


def _weighs(motor: Motor) -> Finding:
    volume_m3 = math.pi / 4 * motor.diameter_m**2 * motor.length_m
    found = exact(motor.loaded_mass_kg / volume_m3, known_by=KnownBy.HANDBOOK)
    judged = WEIGHS.at_most(found, DENSEST_KG_M3, subject=Subject(name=motor.name), fixes=(Fix(key="look"),))
    return softened(judged, Verdict.NOT_KNOWN)
