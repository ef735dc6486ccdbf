"""Findings of one cause are told as one, worst first still, and the same in text, page and JSON."""

from dataclasses import replace

from finial.core.dimensions import Dimension
from finial.core.estimates import exact
from finial.findings.causes import gathered, groups_of
from finial.findings.finding import Bound, Finding, Sense, Subject, Verdict, worst_first
from finial.report.shown import Shown
from finial.report.text import findings_lines


def finding(key: str, verdict: Verdict, *, name: str = "", case: str = "", low: float = 0.5) -> Finding:
    return Finding(
        key=key,
        stage="strength" if key == "reserve" else "stability",
        subject=Subject(name=name, case=case),
        verdict=verdict,
        value=exact(low),
        dimension=Dimension.RATIO,
        bound=Bound(sense=Sense.AT_LEAST, value=1.5),
        margin=low / 1.5 - 1.0,
        facts={"load": "", "note": "", "slenderness": "2", "warm": "", "told": ""},
    )


def told(*findings: Finding) -> tuple[Finding, ...]:
    return gathered(worst_first(findings))


def keys(groups) -> list[tuple[str, list[str]]]:
    return [(one.leader.key, [other.key for other in one.followers]) for one in groups]


def test_margins_of_all_moments_are_one_finding_led_by_the_worst() -> None:
    found = told(
        finding("margin", Verdict.NO_GO, case="burnout", low=0.9),
        finding("margin", Verdict.NO_GO, case="rail exit", low=0.1),
        finding("pins-hold", Verdict.NO_GO, name="bay", low=0.5),
    )
    first, *_ = groups_of(found)
    assert (first.leader.subject.case, [one.subject.case for one in first.followers]) == (
        "rail exit",
        ["burnout"],
    )
    assert [one.key for one in found] == ["margin", "pins-hold", "margin"]


def test_ways_to_give_under_one_load_are_one_and_another_load_is_another() -> None:
    found = told(
        finding("reserve", Verdict.NO_GO, name="wall wrinkles", case="the cord pulls", low=0.2),
        finding("reserve", Verdict.NO_GO, name="wall crushed", case="the cord pulls", low=0.4),
        finding("reserve", Verdict.NO_GO, name="wall crushed", case="thrust", low=0.3),
    )
    assert keys(groups_of(found)) == [("reserve", ["reserve"]), ("reserve", [])]


def test_warm_plastic_is_one_cause_for_every_load() -> None:
    warm = finding("warm-part", Verdict.NO_GO, name="dome", case="on the pad", low=-9.0)
    weak = [
        finding("reserve", Verdict.NO_GO, name=f"way {number}", case=f"case {number}", low=0.1 * number)
        for number in range(1, 6)
    ]
    assert [len(one.followers) for one in groups_of(told(warm, *weak))] == [5]
    # Cool plastic is no cause: each load stands for itself.
    cool = replace(warm, verdict=Verdict.CAUTION)
    assert [len(one.followers) for one in groups_of(told(cool, *weak))] == [0] * 6


def test_what_is_met_or_not_entered_has_no_cause() -> None:
    met = finding("margin", Verdict.GO, case="burnout", low=2.0)
    unknown = [
        replace(finding("reserve", Verdict.NOT_KNOWN, name=name, case="every case"), value=None, margin=None)
        for name in ("motor stays in", "thrust reaches the body")
    ]
    found = told(met, finding("margin", Verdict.NO_GO, case="rail exit"), *unknown)
    assert all(not one.cause for one in found)


def test_verdicts_still_come_worst_first() -> None:
    found = told(
        finding("margin", Verdict.CAUTION, case="burnout", low=1.4),
        finding("margin", Verdict.NO_GO, case="rail exit", low=0.1),
        finding("pins-hold", Verdict.NOT_KNOWN, name="bay"),
        finding("rail-exit-speed", Verdict.NO_GO, low=0.8),
    )
    verdicts = [one.verdict for one in found]
    assert verdicts == sorted(verdicts, reverse=True)


def test_the_text_tells_a_cause_once_with_what_follows_under_it() -> None:
    found = told(
        finding("margin", Verdict.NO_GO, case="burnout", low=0.9),
        finding("margin", Verdict.NO_GO, case="rail exit", low=0.1),
    )
    lines = [line.text for line in findings_lines(found, Shown(us_units=False))]
    assert sum(line.startswith("NO-GO") for line in lines) == 1
    assert sum(line.startswith("   with it NO-GO: margin at burnout") for line in lines) == 1
    assert sum(line.startswith("   why") for line in lines) == 1
