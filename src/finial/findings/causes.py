"""Findings of one cause are one finding: the worst of them leads, the others follow from the same thing."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from finial.findings.finding import Finding, Verdict

BALANCE, LEAVING, FALL, HEAT, LOST, UNFIRED, NO_CANOPY = (
    "balance",
    "leaving-the-rail",
    "fall",
    "warm-plastic",
    "lost-flight",
    "nothing-fires",
    "nothing-brings-it-down",
)
_OF_KEY = {
    "margin": BALANCE,
    "off-axis": BALANCE,
    "steady-angle": BALANCE,
    "rail-exit-speed": LEAVING,
    "rail-exit-wind": LEAVING,
    "rail-exit-angle": LEAVING,
    "landing-speed": FALL,
    "landing-energy": FALL,
    "landing-energy-in-wind": FALL,
    "charge-fired": UNFIRED,
    "canopies-fired": UNFIRED,
    "brought-down": NO_CANOPY,
}
_WITHOUT_CANOPY = frozenset({"landing-speed", "landing-energy", "canopies-fired"})
_PACKED = frozenset({"pack-leaves-bay", "pack-exit"})
"""A pack too large for its bay sticks in it."""
_WARM = frozenset({"warm-part", "soft-in-the-sun"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """A finding, and those that follow from the same cause."""

    leader: Finding
    followers: tuple[Finding, ...] = ()


def gathered(findings: Sequence[Finding]) -> tuple[Finding, ...]:
    """Name what several findings share, and put those that follow behind the others of their verdict.

    The findings come worst first, and do so still.
    """
    own = {one.cause for one in findings}
    heated = any(one.key in _WARM and one.verdict is Verdict.NO_GO for one in findings)
    falling = any(one.key == "brought-down" and one.fails for one in findings)
    named = _margin_leads([_caused(one, _cause(one, heated=heated, falling=falling)) for one in findings])
    shared = _shared(named)
    told = [one if one.cause in shared or one.cause in own else _caused(one, "") for one in named]
    leaders = {id(one[0]) for one in _by_cause(told)}
    return tuple(sorted(told, key=lambda one: (-one.verdict, id(one) not in leaders)))


def _caused(finding: Finding, cause: str) -> Finding:
    return finding if finding.cause == cause else replace(finding, cause=cause)


def _margin_leads(findings: list[Finding]) -> list[Finding]:
    """Put a margin that is missed before what else of the balance is as bad: it is what lies behind it."""
    balance = [one for one in findings if one.cause == BALANCE]
    margins = [one for one in balance if one.key == "margin" and one.verdict is balance[0].verdict]
    if not margins:
        return findings
    place = findings.index(balance[0])
    return [*findings[:place], margins[0], *(one for one in findings[place:] if one is not margins[0])]


def groups_of(findings: Iterable[Finding]) -> tuple[Group, ...]:
    """Return the findings in their order, each with those behind it that share its cause."""
    return tuple(Group(leader=one[0], followers=tuple(one[1:])) for one in _by_cause(findings))


def _by_cause(findings: Iterable[Finding]) -> Iterable[list[Finding]]:
    groups: dict[str | int, list[Finding]] = {}
    for number, finding in enumerate(findings):
        groups.setdefault(finding.cause or number, []).append(finding)
    return groups.values()


def _shared(findings: Iterable[Finding]) -> set[str]:
    causes = [one.cause for one in findings if one.cause]
    return {cause for cause in causes if causes.count(cause) > 1}


def _cause(finding: Finding, *, heated: bool, falling: bool) -> str:
    """Say what lies behind a finding that is not a go; nothing where it stands for itself."""
    if finding.verdict is Verdict.GO:
        return ""
    if finding.cause:
        return finding.cause
    if finding.spoiled or finding.key == "lost-flight":
        return LOST
    if falling and finding.key in _WITHOUT_CANOPY:
        return NO_CANOPY
    if heated and finding.key in _WARM:
        return HEAT
    if finding.key in _PACKED:
        return f"pack: {finding.subject.name}"
    if finding.stage == "strength" and finding.value is not None and finding.bound.value is not None:
        # One load on one body: every way in which it gives is the same load.
        return f"load: {finding.subject.case}, {finding.facts.get('of', '')}, {finding.facts.get('half', '')}"
    return _OF_KEY.get(finding.key, "")
