"""Does the air push behind the balance point, by enough, at the bad end?"""

from finial.aero.band.worst import LEAST_FORCE
from finial.assemble.stability.results import StabilityPoint
from finial.core.dimensions import Dimension
from finial.findings.finding import Amount, Finding, Fix, Subject
from finial.findings.limits import Limits
from finial.findings.rule import Rule

SHORT_AND_FAT = 6.0
"""Length over width below which the calibre rule says little; common practice."""
MOST_MOVED = 0.5
"""Share of the length by which ballast and fins part balance point and pressure band at most [-]; a judgement
of this project."""


def stability_findings(points: tuple[StabilityPoint, ...], limits: Limits) -> list[Finding]:
    """Judge the margin at each moment, at the forward end of the band and the worst roll angle."""
    worst = min(points, key=lambda point: point.margin.low, default=None)
    return [_finding(point, limits, is_worst=point is worst) for point in points]


def _finding(point: StabilityPoint, limits: Limits, *, is_worst: bool) -> Finding:
    """Judge one moment; the worst one says the whole why. What is unstable as computed stands first."""
    limit = limits.margin(point.width_m, point.length_m)
    rule = Rule(
        key="margin",
        stage="stability",
        dimension=Dimension.LENGTH,
        source=limit.source,
        safety=True,
        urgent=point.margin.value < 0.0,
    )
    needed_m, slenderness = limit.value, point.length_m / point.width_m
    short = needed_m - point.margin.low
    return rule.at_least(
        point.margin,
        needed_m,
        subject=Subject(case=point.moment),
        facts={
            "far": Amount(value=point.length_m, dimension=Dimension.LENGTH),
            "slenderness": f"{slenderness:.1f}",
            "slope": f"{point.moment_slope.low:.2g} to {point.moment_slope.high:.2g}",
            "force": f"{LEAST_FORCE:g}",
        },
        reasons=_reasons(point, slenderness, is_worst=is_worst),
        fixes=(_apart(short, point.length_m),),
    )


def _apart(short_m: float, length_m: float) -> Fix:
    """Say how far balance point and pressure band must part; on so short a body no piece moves so far."""
    facts = {
        "short": Amount(value=short_m, dimension=Dimension.LENGTH),
        "length": Amount(value=length_m, dimension=Dimension.LENGTH),
    }
    return Fix(key="another-shape" if short_m > MOST_MOVED * length_m else "move-apart", facts=facts)


def _reasons(point: StabilityPoint, slenderness: float, *, is_worst: bool) -> tuple[str, ...]:
    """Say once that the shape is short, and wherever the force is small that its moment is judged."""
    short = ("short-and-fat",) if is_worst and slenderness < SHORT_AND_FAT else ()
    return (*short, *(("by-moment",) if point.by_moment else ()))
