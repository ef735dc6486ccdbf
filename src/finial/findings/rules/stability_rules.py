"""Does the air push behind the balance point, by enough, at the bad end?"""

from finial.assemble.stability import StabilityPoint
from finial.core.dimensions import Dimension
from finial.core.units import show
from finial.findings.finding import Finding
from finial.findings.limits import Limits
from finial.findings.rule import Rule

TURNS = "If the air pushes ahead of the balance point the vehicle turns round."
SHORT_AND_FAT = 6.0
"""Length over width below which the calibre rule says little; common practice."""


def stability_findings(
    points: tuple[StabilityPoint, ...], limits: Limits, *, us_units: bool
) -> list[Finding]:
    """Judge the margin at each moment, at the forward end of the band and the worst roll angle."""
    worst = min(points, key=lambda point: point.margin.low, default=None)
    return [_finding(point, limits, us_units, full=point is worst) for point in points]


def _finding(point: StabilityPoint, limits: Limits, us_units: bool, *, full: bool) -> Finding:
    """Judge one moment; the worst one says the whole why."""
    limit = limits["margin_widths"]
    rule = Rule(
        subject="stability",
        name=f"margin at {point.moment}",
        dimension=Dimension.LENGTH,
        why=_why(point) if full else TURNS,
        source=limit.source,
        safety=True,
    )
    needed_m = limit.value * point.width_m
    return rule.at_least(point.margin, needed_m, fix=_fix(point, needed_m, us_units), us_units=us_units)


def _why(point: StabilityPoint) -> str:
    why = TURNS
    if point.length_m / point.width_m < SHORT_AND_FAT:
        why += (
            f" This shape is only {point.length_m / point.width_m:.1f} widths long: the rule of one width was"
            " made for slender round bodies, so read the margin in % of length too."
        )
    return why


def _fix(point: StabilityPoint, needed_m: float, us_units: bool) -> str:
    short_m = needed_m - point.margin.low
    shown = show(short_m, Dimension.LENGTH, us_units=us_units)
    return (
        f"Move the balance point {shown} forward (ballast near the tip, lighter tail) or the pressure band"
        f" {shown} aft (larger fins, or fins further aft)."
    )
