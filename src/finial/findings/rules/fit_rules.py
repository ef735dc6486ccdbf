"""One thing that stands wrongly meets many: all it meets, and what follows from that, is one finding."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import replace

from finial.assemble.inside.results import InsideResult
from finial.assemble.strength.buttons import ButtonHold
from finial.findings.finding import Finding, Fix, Verdict
from finial.findings.limits import Limits
from finial.findings.rule import Rule
from finial.findings.rules.fitting_rules import fitting_findings
from finial.findings.rules.inside_rules import inside_findings
from finial.inside.things import Thing

COLLISIONS = frozenset({"same-room", "into-print", "out-of-skin"})
_STAGE = "inside"
_NAMING = ("other", "blocker", "bay")
"""Facts of a finding of the inside that name a second thing."""
_MANY = 4
"""So many things that stand wrongly at once were not each misplaced: the shape is another one than was meant
[-]; a judgement of this project."""
SHAPE = Rule(
    key="shape-and-things",
    stage=_STAGE,
    source="a judgement of this project: four things at once are not each in the wrong place",
    safety=True,
    urgent=True,
)


def fit_findings(inside: InsideResult, buttons: ButtonHold | None, limits: Limits) -> list[Finding]:
    """Judge everything inside, what stands wrongly told once."""
    every = [*inside_findings(inside, buttons, limits), *fitting_findings(inside.fittings)]
    return with_fit_causes(every, inside.things)


def shape_and_things(findings: Sequence[Finding], left_out: Sequence[str], up: str) -> list[Finding]:
    """Tell first, where many things at once have no room, that the shape is another one than they stand in.

    ``left_out`` names the parts that the air is said not to see; ``up`` is the axis that points at the sky.
    """
    wrong = {one.cause for one in findings if one.key in COLLISIONS and one.verdict is Verdict.NO_GO}
    if len(wrong) < _MANY:
        return [SHAPE.holds(Verdict.GO), *findings]
    facts = {"count": len(wrong), "up": up, "parts": ", ".join(left_out)}
    fixes = (Fix(key="outside" if left_out else "turn", facts=facts),)
    return [SHAPE.holds(Verdict.NO_GO, facts=facts, reasons=("many",), fixes=fixes), *findings]


def with_fit_causes(findings: Sequence[Finding], things: Iterable[Thing]) -> list[Finding]:
    """Give the findings of the inside that follow from one misplaced thing its name as their cause.

    The thing that meets most others is taken as the one that stands wrongly, then that of what is left.
    A part is never taken: what needs a hole in it needs one of its own.
    """
    moved_by = {thing.name: thing.moves_with for thing in things if thing.moves_with}
    hits = [one for one in findings if one.key in COLLISIONS and one.fails]
    guilty = _guilty([_met(one, moved_by) for one in hits])
    return [_caused(one, guilty, moved_by) for one in findings]


def _met(hit: Finding, moved_by: dict[str, str]) -> tuple[str, ...]:
    """Names of the things of a collision, each by what it moves with; the part of one is left out."""
    names = [hit.subject.name]
    names += [str(hit.facts["other"])] if hit.key == "same-room" else []
    return tuple(moved_by.get(name, name) for name in names)


def _guilty(hits: list[tuple[str, ...]]) -> list[str]:
    """Fewest names, about, such that each collision has one of them; that of the most collisions first."""
    found: list[str] = []
    while hits:
        met = Counter(name for hit in hits for name in dict.fromkeys(hit))
        found.append(met.most_common(1)[0][0])
        hits = [hit for hit in hits if found[-1] not in hit]
    return found


def _caused(finding: Finding, guilty: Sequence[str], moved_by: dict[str, str]) -> Finding:
    if finding.stage != _STAGE or not finding.fails or finding.cause:
        return finding
    if finding.key in COLLISIONS:
        names = _met(finding, moved_by)
    else:
        told = [finding.subject.name, *(str(finding.facts[key]) for key in _NAMING if key in finding.facts)]
        names = tuple(moved_by.get(name, name) for name in told)
    cause = next((name for name in guilty if name in names), "")
    return replace(finding, cause=f"misplaced: {cause}") if cause else finding
