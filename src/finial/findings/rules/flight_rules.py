"""Does it leave the rail fast enough, and stay where it may?"""

from finial.assemble.flights.results import CanopyOpening, FlightResult
from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate
from finial.findings.finding import Finding, Verdict
from finial.findings.limits import Limits
from finial.findings.rule import Rule, softened

MAX_MACH = 0.9


def flight_findings(flight: FlightResult, limits: Limits, *, wind: Estimate, us_units: bool) -> list[Finding]:
    """Judge rail exit, thrust to weight, and the whole of the flight."""
    return [
        _rail_exit(flight, limits, wind, us_units),
        _thrust_to_weight(flight, limits, us_units),
        _mach(flight),
        _landed(flight),
        *(_opens(opening) for opening in flight.openings),
    ]


def _rail_exit(flight: FlightResult, limits: Limits, wind: Estimate, us_units: bool) -> Finding:
    least, ratio = limits["rail_exit_speed"], limits["rail_exit_wind_ratio"]
    needed = max(least.value, ratio.value * wind.high)
    rule = Rule(
        subject="flight",
        name="speed off the rail",
        dimension=Dimension.SPEED,
        why="Below it the fins have no grip yet and the wind turns the vehicle as it leaves.",
        source=least.source if needed == least.value else ratio.source,
        safety=True,
    )
    fix = "Longer rail, lighter vehicle, a motor with more early thrust, or a calmer hour."
    return rule.at_least(flight.rail_exit_speed, needed, fix=fix, us_units=us_units)


def _thrust_to_weight(flight: FlightResult, limits: Limits, us_units: bool) -> Finding:
    usual, floor = limits["thrust_to_weight"], limits["thrust_to_weight_floor"]
    rule = Rule(
        subject="flight",
        name="thrust to weight",
        dimension=None,
        why="Too little thrust leaves the rail slowly and tilts into the wind.",
        source=f"{usual.source}; {floor.source}",
        safety=True,
    )
    fix = "A motor with more average thrust, or a lighter vehicle."
    finding = rule.at_least(flight.thrust_to_weight, usual.value, fix=fix, us_units=us_units)
    if flight.thrust_to_weight.low >= floor.value:
        return softened(finding, Verdict.CAUTION)
    return finding


def _mach(flight: FlightResult) -> Finding:
    rule = Rule(
        subject="flight",
        name="top speed within the methods' range",
        dimension=None,
        why=f"The air loads hold to Mach {MAX_MACH}; beyond it every margin here is a guess.",
        source="",
    )
    verdict = Verdict.GO if flight.max_mach < MAX_MACH else Verdict.NOT_KNOWN
    return rule.finding(
        verdict, f"below Mach {MAX_MACH}", "A smaller motor, or a heavier or blunter vehicle."
    )


def _landed(flight: FlightResult) -> Finding:
    rule = Rule(
        subject="flight",
        name="flight computed to the ground",
        dimension=None,
        why="A flight that could not be followed to the ground is not an answer.",
        source="",
    )
    ended = flight.trace.ended
    verdict = Verdict.GO if flight.trace.landed else Verdict.NOT_KNOWN
    return rule.finding(verdict, "lands", f"The computed flight stopped: {ended}.")


def _opens(opening: CanopyOpening) -> Finding:
    """Judge whether a canopy stands open before the ground in every flight that was computed."""
    rule = Rule(
        subject="flight",
        name=f"{opening.canopy} is open before the ground",
        dimension=Dimension.LENGTH,
        why="A canopy that comes out too late is no canopy: the vehicle meets the ground at full speed.",
        source="the flights at the corners of thrust, mass, drag and wind",
        safety=True,
    )
    verdict = Verdict.NO_GO if opening.height_agl is None else Verdict.GO
    fix = f"An earlier event or a shorter delay for {opening.canopy}, in canopy, charge and igniter alike."
    return rule.finding(verdict, "open in the air, in every flight computed", fix, opening.height_agl)
