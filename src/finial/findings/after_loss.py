"""Findings whose numbers follow from a flight that was lost: not to be used, and so not known."""

from collections.abc import Iterable
from dataclasses import replace

from finial.assemble.flights.results import Loss, LostFlight
from finial.assemble.stability.results import MomentName
from finial.findings.finding import Finding, Verdict
from finial.findings.rules.strength_rules import OFF_TIME, WHEN_WARM
from finial.structure.reserves import FailureMode

SPOILED = frozenset(
    {
        *("methods-range", "opens-in-the-air", "spin", "steady-angle", "swing", "air-keeps-up"),
        *("gallop", "lopsided"),
        *("barometer-rises", "height-fired", "timer-after-top"),
        *("sheds-in-step", "nothing-sheds-in-step", "first-motion"),
        *("ceiling", "lands-inside", "bystander-distance", "field-size", "over-people"),
        *("charge-in-time", "cord-in-time", "lip-holds", "sides-keep-apart", "pack-exit", "joint-force"),
    }
)
"""Checks of what a flight does after it has left the rail."""
AS_BUILT = frozenset(
    {
        *(FailureMode.JOINT_UNHELD, FailureMode.ROD_LOOSE, FailureMode.ROD_ENDS_NOWHERE),
        *(FailureMode.ROD_END_UNSAID, FailureMode.THRUST_UNSAID, FailureMode.STAY_CROSSES_BODY),
        FailureMode.PRINT_TOO_THIN,
    }
)
"""Ways to fail that no flight changes."""
LOADED_IN_FLIGHT = frozenset({mode.value for mode in set(FailureMode) - AS_BUILT} | {OFF_TIME, WHEN_WARM})


def spoiled_by(lost: tuple[LostFlight, ...], findings: Iterable[Finding]) -> list[Finding]:
    """Take the verdict off every finding that follows from a lost flight; the others stay.

    A vehicle none of whose flights is lost keeps them all.
    """
    if not lost:
        return list(findings)
    over = all(one.loss is Loss.TURNED_OVER and one.under_thrust for one in lost)
    return [_unused(finding) if _follows(finding, over=over) else finding for finding in findings]


def _follows(finding: Finding, *, over: bool) -> bool:
    """Whether a finding's number comes after the loss; a top that it tumbled through is no apogee."""
    if finding.key == "before-burnout":
        return over
    if finding.key == "margin":
        return finding.subject.case != MomentName.RAIL_EXIT
    return finding.key in SPOILED or finding.key in LOADED_IN_FLIGHT


def _unused(finding: Finding) -> Finding:
    return replace(finding, verdict=Verdict.NOT_KNOWN, margin=None, spoiled=True)
