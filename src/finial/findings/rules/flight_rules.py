"""Does it leave the rail fast enough, and stay where it may?"""

from finial.assemble.flights.results import CanopyOpening, FlightResult
from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate
from finial.findings.finding import Finding, Fix, Subject, Verdict
from finial.findings.limits import Limits
from finial.findings.rule import Rule, softened

MAX_MACH = 0.9
METHODS_RANGE = Rule(key="methods-range", stage="flight")
LANDED = Rule(key="lands", stage="flight")
OPENS = Rule(
    key="opens-in-the-air",
    stage="flight",
    dimension=Dimension.LENGTH,
    source="the flights at the corners of thrust, mass, drag and wind",
    safety=True,
)


def flight_findings(flight: FlightResult, limits: Limits, *, wind: Estimate) -> list[Finding]:
    """Judge rail exit, thrust to weight, and the whole of the flight."""
    return [
        _rail_exit(flight, limits, wind),
        _thrust_to_weight(flight, limits),
        _mach(flight),
        _landed(flight),
        *(_opens(opening) for opening in flight.openings),
    ]


def _rail_exit(flight: FlightResult, limits: Limits, wind: Estimate) -> Finding:
    least, ratio = limits["rail_exit_speed"], limits["rail_exit_wind_ratio"]
    needed = max(least.value, ratio.value * wind.high)
    rule = Rule(
        key="rail-exit-speed",
        stage="flight",
        dimension=Dimension.SPEED,
        source=least.source if needed == least.value else ratio.source,
        safety=True,
    )
    return rule.at_least(flight.rail_exit_speed, needed, fixes=(Fix(key="faster"),))


def _thrust_to_weight(flight: FlightResult, limits: Limits) -> Finding:
    usual, floor = limits["thrust_to_weight"], limits["thrust_to_weight_floor"]
    rule = Rule(key="thrust-to-weight", stage="flight", source=f"{usual.source}; {floor.source}", safety=True)
    finding = rule.at_least(flight.thrust_to_weight, usual.value, fixes=(Fix(key="more-thrust"),))
    if flight.thrust_to_weight.low >= floor.value:
        return softened(finding, Verdict.CAUTION)
    return finding


def _mach(flight: FlightResult) -> Finding:
    verdict = Verdict.GO if flight.max_mach < MAX_MACH else Verdict.NOT_KNOWN
    return METHODS_RANGE.holds(verdict, facts={"mach": f"{MAX_MACH}"}, fixes=(Fix(key="slower"),))


def _landed(flight: FlightResult) -> Finding:
    ended = flight.trace.ended
    fix = Fix(key="stopped", facts={"ended": ended})
    return LANDED.holds(Verdict.GO if flight.trace.landed else Verdict.NOT_KNOWN, fixes=(fix,))


def _opens(opening: CanopyOpening) -> Finding:
    """Judge whether a canopy stands open before the ground in every flight that was computed."""
    verdict = Verdict.NO_GO if opening.height_agl is None else Verdict.GO
    subject = Subject(name=opening.canopy)
    return OPENS.holds(verdict, value=opening.height_agl, subject=subject, fixes=(Fix(key="earlier"),))
