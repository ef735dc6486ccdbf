"""May it fly here today, by the tables of the chosen code?"""

from dataclasses import dataclass, replace

from finial.assemble.flights.results import FlightResult
from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate, exact
from finial.findings.finding import Amount, Finding, Fix, Verdict
from finial.findings.range_result import RangeResult
from finial.findings.rule import Rule, softened
from finial.range_safety.distance import LEAST_BYSTANDER_M

BYSTANDERS = Rule(
    key="bystander-distance",
    stage="range",
    dimension=Dimension.LENGTH,
    source="14 CFR 101.25 (g) (seen; eCFR of 5 April 2026)",
    safety=True,
)
FIELD_SIZE = Rule(key="field-size", stage="range", dimension=Dimension.LENGTH, safety=True)
AIRSPACE = Rule(
    key="airspace", stage="range", source="14 CFR 101.25 (f) (seen; eCFR of 5 April 2026)", safety=True
)
OVERHEAD = Rule(
    key="over-people",
    stage="range",
    dimension=Dimension.LENGTH,
    source="High Power Rocket Safety Code, August 2012: not on trajectories over the heads of spectators",
    safety=True,
)
UNREAD = "unread"
"""Reason of what meets a limit that was not read in its code."""
UNCONTROLLED = "G"
LIMIT_NAMES = {"wind": "wind", "rail-tilt": "tilt"}
"""What the table of limits calls that which a finding is judged by."""
LOWEST_PRESSURE_OFF, MOST_PRESSURE_OFF = -0.06, 0.04
"""How far weather moves the pressure at one height [-]: five per cent in a deep low, three in a high; what
is reduced to the sea reads high; from memory."""
PRESSURE = Rule(
    key="pad-pressure",
    stage="range",
    dimension=Dimension.RATIO,
    source="the standard atmosphere at the site's height, and how far weather is off it, from memory",
    safety=True,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class DayAndPlace:
    """What the sheet says of the day and the place; ``None`` where it does not say."""

    wind: Estimate
    tilt: Estimate
    crowd_distance: Estimate | None
    field_radius_m: float | None
    pressure_off: float | None = None
    """Share by which the entered pressure lies above that of a standard day at the site's height [-]."""


def range_findings(range_safety: RangeResult, flight: FlightResult, day: DayAndPlace) -> list[Finding]:
    """Judge distance, wind, tilt, ceiling and landing inside the field."""
    code = f"{range_safety.code}, {range_safety.edition}: {range_safety.source}"
    distance, wind, tilt = (
        Rule(key=key, stage="range", dimension=dimension, source=code, safety=True)
        for key, dimension in (
            ("crowd-distance", Dimension.LENGTH),
            ("wind", Dimension.WIND_SPEED),
            ("rail-tilt", Dimension.ANGLE),
        )
    )
    tilt_rad = range_safety.limits.tilt_rad
    return [
        distance.at_least(
            day.crowd_distance,
            range_safety.minimum_distance_m,
            facts={"count": range_safety.at_once},
            reasons=("together",) if range_safety.together else (),
            fixes=(Fix(key="move-people"),),
        ),
        _overhead(range_safety),
        _of_code(
            range_safety, wind.at_most(day.wind, range_safety.limits.wind_m_s, fixes=(Fix(key="wait"),))
        ),
        _of_code(range_safety, _lying(tilt.at_most(day.tilt, tilt_rad, fixes=(Fix(key="upright"),)))),
        _bystanders(range_safety),
        _field_size(range_safety),
        _airspace(range_safety),
        _ceiling(range_safety, flight),
        _field(flight, day),
        _pressure(day),
    ]


def _lying(judged: Finding) -> Finding:
    """Put a rail that leans past the code before all that follows from such a flight."""
    return replace(judged, urgent=judged.verdict is Verdict.NO_GO)


def _of_code(range_safety: RangeResult, judged: Finding) -> Finding:
    """Return what is met as a caution where the code's own limit was not read and another's stands in."""
    limit = LIMIT_NAMES[judged.key]
    if limit not in range_safety.limits.not_read:
        return judged
    told = replace(judged, bound=replace(judged.bound, source=_source(range_safety, limit)))
    if judged.verdict is not Verdict.GO:
        return told
    return replace(told, verdict=Verdict.CAUTION, reasons=(UNREAD,), fixes=(Fix(key="ask"),))


def _pressure(day: DayAndPlace) -> Finding:
    """Judge the entered pressure against the site's height: reduced to the sea it is another height's."""
    if day.pressure_off is None:
        return PRESSURE.holds(Verdict.GO, limit="standard")
    off, fixes = day.pressure_off, (Fix(key="look"),)
    judge, limit = (
        (PRESSURE.at_least, LOWEST_PRESSURE_OFF) if off < 0 else (PRESSURE.at_most, MOST_PRESSURE_OFF)
    )
    judged = judge(exact(off), limit, fixes=fixes)
    return softened(judged, Verdict.NOT_KNOWN)


def _overhead(range_safety: RangeResult) -> Finding:
    """Judge that no computed flight passes over the crowd; where they stand unsaid, nobody knows."""
    clear = range_safety.crowd_clear_m
    if clear is None:
        return OVERHEAD.holds(Verdict.NOT_KNOWN, limit="told", fixes=(Fix(key="enter"),))
    return OVERHEAD.at_least(exact(clear), 0.0, fixes=(Fix(key="elsewhere"),))


def _bystanders(range_safety: RangeResult) -> Finding:
    """Judge how far those stand who have no part in the launch; elsewhere than in the States nobody asks."""
    facts = {"least": Amount(value=LEAST_BYSTANDER_M, dimension=Dimension.LENGTH)}
    if range_safety.bystander_minimum_m is None:
        return BYSTANDERS.holds(Verdict.GO, facts=facts)
    return BYSTANDERS.at_least(
        range_safety.bystander_distance,
        range_safety.bystander_minimum_m,
        facts=facts,
        fixes=(Fix(key="enter"),),
    )


def _field_size(range_safety: RangeResult) -> Finding:
    """Judge the field where it is narrowest; a code whose rule is not in the tables is a caution."""
    least = range_safety.field_minimum_m
    rule = replace(FIELD_SIZE, source=f"{range_safety.code}: {_source(range_safety, 'field at least')}")
    if least is None:
        return rule.holds(Verdict.CAUTION, fixes=(Fix(key="ask"),))
    side = range_safety.field_side_m
    return rule.at_least(None if side is None else exact(side), least, fixes=(Fix(key="larger"),))


def _source(range_safety: RangeResult, limit: str) -> str:
    return dict(range_safety.limits.sources).get(limit, "not in the tables")


def _airspace(range_safety: RangeResult) -> Finding:
    """Judge the airspace: controlled air needs an authorisation that is named; a ceiling alone is none."""
    if not range_safety.airspace_rules or range_safety.airspace == UNCONTROLLED:
        return AIRSPACE.holds(Verdict.GO)
    if range_safety.airspace is None:
        return AIRSPACE.holds(Verdict.NOT_KNOWN, fixes=(Fix(key="enter"),))
    facts = {"airspace": range_safety.airspace}
    if range_safety.authorised_by:
        held = Fix(key="look", facts={"by": range_safety.authorised_by})
        return AIRSPACE.holds(Verdict.CAUTION, facts=facts, fixes=(held,))
    return AIRSPACE.holds(Verdict.NO_GO, facts=facts, fixes=(Fix(key="authorise"),))


def _site_rule(key: str) -> Rule:
    return Rule(key=key, stage="range", dimension=Dimension.LENGTH, source="the site file", safety=True)


def _ceiling(range_safety: RangeResult, flight: FlightResult) -> Finding:
    rule = _site_rule("ceiling")
    if range_safety.ceiling_agl_m is None:
        return rule.holds(Verdict.NOT_KNOWN, value=flight.apogee_agl, fixes=(Fix(key="enter"),))
    return rule.at_most(flight.apogee_agl, range_safety.ceiling_agl_m, fixes=(Fix(key="lower"),))


def _field(flight: FlightResult, day: DayAndPlace) -> Finding:
    rule = _site_rule("lands-inside")
    if day.field_radius_m is None:
        return rule.holds(Verdict.NOT_KNOWN, value=flight.drift, fixes=(Fix(key="enter"),))
    return rule.at_most(flight.drift, day.field_radius_m, fixes=(Fix(key="less-drift"),))
