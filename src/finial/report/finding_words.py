"""What a finding says, in the builder's units: title, limit, why, what to change."""

import math
from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from string import Formatter

from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate
from finial.core.units import show_estimate
from finial.findings.finding import (
    Amount,
    Fact,
    Facts,
    FailsAlone,
    Finding,
    Fix,
    OtherCheck,
    Sense,
    Subject,
)
from finial.report.shown import Shown
from finial.report.trial_words import in_vain, of_its_rule, trial_sentence, vain_sentence
from finial.report.wording import WORDINGS
from finial.report.wording.form import ALSO, Wording
from finial.report.wording.recovery_study import CASES as SEPARATIONS
from finial.report.wording.strength import CASES as LOADS
from finial.report.wording.strength import HALVES

METRIC = Shown(us_units=False)
_STEPS = frozenset(
    "ask authorise blow break enter give hang look measure mend own place pull push retie say set stopped"
    " tell test weigh wire".split()
)
"""First words of the keys of fixes that ask for something: an entry, a test, two entries that contradict."""
_STATES = frozenset({"layout", "too-much", "margin-first", "another-shape"})
"""Keys of fixes that name no change: that no more of the same is enough."""
_LACKS = "move-apart"
"""Key of the fix that says how much is missing, which stays true when every single change was in vain."""
_BARE = Dimension.RATIO
_CASES = {**SEPARATIONS, **LOADS}
SPOILED = "This number follows from a computed flight that was lost: it is not to be used."
SPOILED_FIX = "Mend what loses the flight, then look again."


def title(finding: Finding, shown: Shown = METRIC) -> str:
    """Say what was checked, on what.

    Examples
    --------
    >>> from finial.findings.finding import Bound, Subject, Verdict
    >>> made = Finding(key="margin", stage="stability", subject=Subject(case="burnout"), dimension=None,
    ...     verdict=Verdict.NO_GO, value=None, bound=Bound(sense=Sense.AT_LEAST, value=0.2), margin=None)
    >>> title(made)
    'margin at burnout'
    """
    return _filled(finding, _wording(finding).title, shown).rstrip(": ,")


def title_of(key: str, subject: Subject, facts: Facts, shown: Shown = METRIC) -> str:
    """Say what a check is called, without its finding."""
    return _in_places(subject, facts, WORDINGS[key].title, shown)


def value(finding: Finding, shown: Shown = METRIC) -> str:
    """Say the number that was judged, with its interval; not known without one."""
    return shown.between(finding.value, finding.dimension, _far(finding))


def value_judged(finding: Finding, shown: Shown = METRIC) -> str:
    """Say the number that was judged, its interval and how it is known."""
    return shown.judged(finding.value, finding.dimension, _far(finding))


def _far(finding: Finding) -> float:
    """Return the size beyond which a number of this finding tells no more [SI]."""
    far = finding.facts.get("far")
    return far.value if isinstance(far, Amount) and isinstance(far.value, float) else math.inf


def limit(finding: Finding, shown: Shown = METRIC) -> str:
    """Say what was asked: at least or at most a number, or a sentence."""
    bound = finding.bound
    if bound.sense is Sense.HOLDS or bound.value is None:
        return _filled(finding, _wording(finding).limits[bound.key], shown)
    return f"{bound.sense.value} {_number(bound.value, finding, shown)}"


def why(finding: Finding, shown: Shown = METRIC) -> str:
    """Why it matters, in general and here."""
    wording = _wording(finding)
    sentences = (
        *((SPOILED,) if finding.spoiled else ()),
        wording.why,
        *(wording.reasons[reason] for reason in finding.reasons if not reason.startswith(ALSO)),
        *_also([wording.reasons[reason] for reason in finding.reasons if reason.startswith(ALSO)]),
    )
    return " ".join(_filled(finding, sentence, shown) for sentence in sentences).strip()


def _also(more: Sequence[str]) -> tuple[str, ...]:
    """Name all that comes of the same cause in one sentence."""
    return (f"Also: {'; '.join(more)}.",) if more else ()


def what_to_change(finding: Finding, shown: Shown = METRIC) -> str:
    """Say what to change, all of it in one string; empty where nothing is wrong."""
    if finding.spoiled:
        return SPOILED_FIX
    if not finding.fixes and not finding.trials:
        return ""
    own = {fix.key: fix_words(finding, fix, shown) for fix in finding.fixes}
    turning = [one for one in finding.trials if one.turns]
    if turning:
        return " ".join(trial_sentence(one, title_of, shown, own) for one in turning)
    vain = vain_sentence(finding.trials, shown, fails=finding.fails)
    fixes_in_vain = [one.name for one in finding.trials if of_its_rule(one)]
    told_of = (_LACKS,) if vain else tuple(own)
    said = (
        in_vain(words) if key in fixes_in_vain else words
        for key, words in own.items()
        if key in told_of or key in fixes_in_vain or _asks(key) or key in _STATES
    )
    return " ".join(filter(None, (vain, *said)))


def what_else_to_change(finding: Finding, leader: Finding, shown: Shown = METRIC) -> str:
    """Say what to change for a finding that follows from its leader's cause; empty where that is told there.

    The same check at another moment is mended by what mends the worst of it.
    """
    same = finding.key == leader.key and finding.subject.name == leader.subject.name
    if same or _tried_already(finding, leader):
        return ""
    own = what_to_change(finding, shown)
    return "" if own == what_to_change(leader, shown) else own


def _tried_already(finding: Finding, leader: Finding) -> bool:
    """Whether all that was tried for a follower is told of the leader, down to the size."""
    told = [(one.lever, one.name, one.size) for one in leader.trials]
    own = [(one.lever, one.name, one.size) for one in finding.trials]
    return bool(own) and all(one in told for one in own)


def _asks(key: str) -> bool:
    """Tell whether a fix asks for an entry of the sheet or a measurement: a next step."""
    return key.partition("-")[0] in _STEPS


def fix_words(finding: Finding, fix: Fix, shown: Shown = METRIC) -> str:
    """One thing to change."""
    return _filled(finding, _wording(finding).fixes[fix.key], shown, fix.facts)


def _wording(finding: Finding) -> Wording:
    return WORDINGS[finding.key]


def _number(value: float, finding: Finding, shown: Shown) -> str:
    return f"{value:g}" if finding.dimension is None else shown.plain(value, finding.dimension)


def _filled(finding: Finding, sentence: str, shown: Shown, more: Mapping[str, Fact] | None = None) -> str:
    if "{" not in sentence:
        return sentence
    return _in_places(finding.subject, {**finding.facts, **more} if more else finding.facts, sentence, shown)


def _in_places(subject: Subject, facts: Facts, sentence: str, shown: Shown) -> str:
    # Most facts stand in one sentence of several: only those of this one are written.
    return sentence.format(**{name: _place(name, subject, facts, shown) for name in _places(sentence)})


@cache
def _places(sentence: str) -> tuple[str, ...]:
    """Names of the places of a sentence, each once."""
    return tuple(dict.fromkeys(name for _, name, _, _ in Formatter().parse(sentence) if name))


def _place(name: str, subject: Subject, facts: Facts, shown: Shown) -> str:
    if name == "name":
        return subject.name
    if name == "case":
        return _case(subject, facts)
    if name == "station":
        return "" if subject.station_m is None else shown.length(subject.station_m)
    return _fact(facts[name], shown)


def _case(subject: Subject, facts: Facts) -> str:
    """Say the case, with the thing that loads and the half that it loads."""
    case = subject.case
    half = HALVES.get(str(facts.get("half", "")), "")
    return _CASES.get(case, case).format(of=facts.get("of", ""), half=half)


def _alone(parts: Sequence[FailsAlone]) -> Iterator[str]:
    """Name parts that fail alone; what the ratio is of is said once, where the first one stands."""
    of = " times today's odds of losing a canopy"
    for part in parts:
        kind = "" if part.kind in part.name else part.kind
        left = "" if part.left is None else f"a second one leaves {part.left:.2f}{of}"
        told = "; ".join(filter(None, (kind, left)))
        yield f"{part.name} ({told})" if told else part.name
        of = of if part.left is None else ""


def _fact(fact: Fact, shown: Shown) -> str:
    if isinstance(fact, tuple):
        return ", ".join(_alone(fact))
    if isinstance(fact, OtherCheck):
        return title_of(fact.key, fact.subject, fact.facts, shown)
    if not isinstance(fact, Amount):
        return str(fact)
    if isinstance(fact.value, Estimate):
        if fact.dimension is None:
            return show_estimate(fact.value, _BARE, us_units=shown.us_units)
        return show_estimate(fact.value, fact.dimension, us_units=shown.us_units)
    return f"{fact.value:g}" if fact.dimension is None else shown.plain(fact.value, fact.dimension)
