"""Findings of one cause are told as one, worst first still, and the same in text, page and JSON."""

from dataclasses import replace

import pytest

from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate, KnownBy, exact
from finial.findings.causes import gathered, groups_of
from finial.findings.finding import Bound, Finding, Sense, Subject, Verdict, worst_first
from finial.report.shown import Shown
from finial.report.text import findings_lines


def finding(key: str, verdict: Verdict, *, name: str = "", case: str = "", low: float = 0.5) -> Finding:
    return Finding(
        key=key,
        stage="strength" if key.startswith("wall") else "stability",
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


@pytest.mark.parametrize(
    ("margin", "angle", "least", "leader"),
    [
        (1.6, 80.0, 0.0, "off-axis"),
        (1.4, 80.0, 0.0, "margin"),
        (1.6, 9.0, 0.0, "margin"),
        (1.4, 80.0, 11.0, "off-axis"),
        (-0.1, 80.0, 11.0, "margin"),
    ],
)
def test_a_crooked_shape_leads_where_more_margin_would_not_mend_it(margin, angle, least, leader) -> None:
    """Moving the balance point forward does not help what leans, nor what leans even at its good end."""
    missed = Estimate(value=margin, low=-0.2, high=3.0, known_by=KnownBy.COMPUTED)
    held = Estimate(value=angle, low=least, high=90.0, known_by=KnownBy.COMPUTED)
    off = replace(
        finding("off-axis", Verdict.NO_GO),
        value=held,
        bound=Bound(sense=Sense.AT_MOST, value=10.0),
        margin=-0.1,
    )
    short = replace(finding("margin", Verdict.NO_GO, case="rail exit"), value=missed, margin=-0.9)
    first, *_ = groups_of(told(short, off))
    assert first.leader.key == leader
    assert len(first.followers) == 1


def test_ways_to_give_under_one_load_are_one_and_another_load_is_another() -> None:
    found = told(
        finding("wall-wrinkles", Verdict.NO_GO, case="cord-pulls", low=0.2),
        finding("wall-crushed", Verdict.NO_GO, case="cord-pulls", low=0.4),
        finding("wall-sheared", Verdict.NO_GO, case="max-thrust", low=0.3),
    )
    assert keys(groups_of(found)) == [("wall-wrinkles", ["wall-crushed"]), ("wall-sheared", [])]


def test_what_ports_beside_a_ledge_bring_about_is_one_finding() -> None:
    found = told(
        finding("barometer-rises", Verdict.NOT_KNOWN, name="static ports", low=0.1),
        finding("top-early", Verdict.NOT_KNOWN, name="A", low=0.2),
        finding("top-late", Verdict.NOT_KNOWN, name="A", low=0.3),
        finding("computers-disagree", Verdict.NOT_KNOWN, low=0.4),
        finding("ports-smooth", Verdict.CAUTION, name="static ports", low=0.0),
        finding("pad-time", Verdict.NOT_KNOWN, name="battery A", low=0.0),
    )
    assert keys(groups_of(found)) == [
        ("pad-time", []),
        ("barometer-rises", ["top-early", "top-late", "computers-disagree", "ports-smooth"]),
    ]


def test_a_cause_that_a_rule_named_stays() -> None:
    warm = replace(finding("holds-when-warm", Verdict.NO_GO, low=0.1), cause="warm-plastic")
    part = finding("warm-part", Verdict.NO_GO, name="dome", case="sun", low=-9.0)
    assert [one.cause for one in told(warm, part)] == ["warm-plastic", "warm-plastic"]
    assert [one.cause for one in told(warm)] == ["warm-plastic"]


def test_what_is_met_or_not_entered_has_no_cause() -> None:
    met = finding("margin", Verdict.GO, case="burnout", low=2.0)
    unknown = [
        replace(
            finding("wall-thin", Verdict.NOT_KNOWN, name=name, case="every-case"), value=None, margin=None
        )
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


def test_a_missed_margin_leads_what_else_of_the_balance_is_as_bad() -> None:
    may_hold = Estimate(value=0.1, low=0.1, high=9.0, known_by=KnownBy.COMPUTED)
    found = told(
        replace(finding("off-axis", Verdict.NO_GO, low=0.1), value=may_hold),
        finding("margin", Verdict.NO_GO, case="rail exit", low=0.4),
        finding("pins-hold", Verdict.NO_GO, name="bay", low=0.2),
        finding("margin", Verdict.NO_GO, case="burnout", low=0.6),
    )
    assert keys(groups_of(found)) == [("margin", ["off-axis", "margin"]), ("pins-hold", [])]


def test_a_margin_that_is_less_bad_does_not_lead() -> None:
    found = told(
        finding("off-axis", Verdict.NO_GO, low=0.1),
        finding("margin", Verdict.NOT_KNOWN, case="rail exit", low=0.4),
    )
    assert keys(groups_of(found)) == [("off-axis", ["margin"])]


def test_what_a_lost_flight_spoils_is_named_once_and_without_numbers() -> None:
    lost = replace(finding("lands", Verdict.NO_GO), key="lost-flight", value=None, margin=None)
    spoiled = [
        replace(finding("margin", Verdict.NOT_KNOWN, case=case, low=0.321), spoiled=True, margin=None)
        for case in ("burnout", "max speed")
    ]
    text = "\n".join(line.text for line in findings_lines(told(lost, *spoiled), Shown(us_units=False)))
    assert text.count("   with it ") == 1
    assert "no number of it to be used" in text
    assert "margin at burnout" in text
    assert "0.32" not in text


def test_what_opens_under_thrust_is_one_finding() -> None:
    found = told(
        finding("before-burnout", Verdict.NO_GO, name="main"),
        finding("before-burnout", Verdict.NO_GO, name="charge"),
        finding("rail-tilt", Verdict.NO_GO),
    )
    assert keys(groups_of(found)) == [("before-burnout", ["before-burnout"]), ("rail-tilt", [])]


def test_a_fall_without_a_canopy_follows_from_that_and_from_nothing_else() -> None:
    fall = [finding(key, Verdict.NO_GO, low=0.4) for key in ("landing-speed", "landing-energy")]
    met, missed = (finding("brought-down", verdict, low=0.1) for verdict in (Verdict.GO, Verdict.NO_GO))
    assert {one.cause for one in told(missed, *fall)} == {"nothing-brings-it-down"}
    assert {one.cause for one in told(met, *fall) if one.fails} == {"fall"}
    other = finding("pins-hold", Verdict.NO_GO, low=0.1)
    assert {one.cause for one in told(other, *fall) if one.key != "pins-hold"} == {"fall"}


def test_a_pack_too_large_for_its_bay_and_its_sticking_there_are_one() -> None:
    """Friction of a pack that the bay does not hold tells nothing beside that it does not hold it."""
    found = told(
        finding("pack-leaves-bay", Verdict.NO_GO, name="bay", low=0.1),
        finding("pack-exit", Verdict.NO_GO, name="bay", low=0.2),
        finding("pack-exit", Verdict.NO_GO, name="other", low=0.3),
    )
    assert keys(groups_of(found)) == [("pack-leaves-bay", ["pack-exit"]), ("pack-exit", [])]
