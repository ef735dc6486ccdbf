"""Findings of one cause are one finding: the worst of them leads, the others follow from the same thing."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from finial.findings.finding import Finding, Sense, Verdict

BALANCE, LEAVING, FALL, HEAT, LOST, UNFIRED, NO_CANOPY, SENSED, UNDER_THRUST = (
    "balance",
    "leaving-the-rail",
    "fall",
    "warm-plastic",
    "lost-flight",
    "nothing-fires",
    "nothing-brings-it-down",
    "pressure-at-the-ports",
    "opened-under-thrust",
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
    "before-burnout": UNDER_THRUST,
    "charge-fired": UNFIRED,
    "canopies-fired": UNFIRED,
    "brought-down": NO_CANOPY,
    "barometer-rises": SENSED,
    "ports-smooth": SENSED,
    "top-early": SENSED,
    "top-late": SENSED,
    "computers-disagree": SENSED,
}
_CROOKED = frozenset({"off-axis", "steady-angle"})
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
    """Put a margin that is missed before what else of the balance is as bad: it is what lies behind it.

    Where the margin only may be missed, and thrust or shape are crooked all the same, those lie behind it;
    so they do where they are crooked even at the good end, and the air pushes behind the balance point as
    computed: more margin alone would not keep such a vehicle from turning over.
    """
    balance = [one for one in findings if one.cause == BALANCE]
    worst = [one for one in balance if one.verdict is balance[0].verdict]
    margins = [one for one in worst if one.key == "margin"]
    if not margins:
        return findings
    place = findings.index(balance[0])
    crooked = [one for one in worst if one.key in _CROOKED and _fails_as_computed(one)]
    behind = not _fails_as_computed(margins[0])
    sure = [one for one in crooked if _fails_wholly(one) and not _is_ahead(margins[0])]
    leader = (crooked if behind else sure or margins)[0] if crooked else margins[0]
    return [*findings[:place], leader, *(one for one in findings[place:] if one is not leader)]


def _fails_wholly(finding: Finding) -> bool:
    """Whether even the good end is past the limit."""
    if finding.value is None or finding.bound.value is None:
        return False
    at_most = finding.bound.sense is Sense.AT_MOST
    return finding.value.low > finding.bound.value if at_most else finding.value.high < finding.bound.value


def _is_ahead(margin: Finding) -> bool:
    """Whether the air pushes ahead of the balance point as computed."""
    return margin.value is None or margin.value.value < 0.0


def _fails_as_computed(finding: Finding) -> bool:
    """Whether the middle itself is past the limit, and not only the bad end."""
    if finding.value is None or finding.bound.value is None:
        return False
    past = finding.value.value - finding.bound.value
    return past > 0.0 if finding.bound.sense is Sense.AT_MOST else past < 0.0


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
