"""Verdicts at the ends of intervals."""

from dataclasses import replace

import pytest

from finial.core.estimates import Estimate, KnownBy
from finial.findings.finding import Bound, Finding, Sense, Subject, Verdict, overall, worst_first
from finial.findings.judge import at_least, at_most, margin_at_least, margin_at_most


def between(low: float, high: float, known_by: KnownBy = KnownBy.COMPUTED) -> Estimate:
    return Estimate(value=(low + high) / 2, low=low, high=high, known_by=known_by)


@pytest.mark.parametrize(
    ("value", "verdict"),
    [
        (between(1.5, 2.0), Verdict.GO),
        (between(1.4, 2.0), Verdict.NO_GO),
        (between(1.4, 2.0, KnownBy.ASSUMED), Verdict.NOT_KNOWN),
        (between(1.0, 1.4, KnownBy.ASSUMED), Verdict.NO_GO),
        (None, Verdict.NOT_KNOWN),
    ],
)
def test_at_least_judges_the_low_end(value: Estimate | None, verdict: Verdict) -> None:
    assert at_least(value, 1.5) is verdict


@pytest.mark.parametrize(
    ("value", "verdict"),
    [
        (between(1.0, 1.5), Verdict.GO),
        (between(1.0, 1.6), Verdict.NO_GO),
        (between(1.0, 1.6, KnownBy.ASSUMED), Verdict.NOT_KNOWN),
        (between(1.6, 1.8, KnownBy.ASSUMED), Verdict.NO_GO),
        (None, Verdict.NOT_KNOWN),
    ],
)
def test_at_most_judges_the_high_end(value: Estimate | None, verdict: Verdict) -> None:
    assert at_most(value, 1.5) is verdict


def test_margins_are_fractions_of_the_limit_at_the_bad_end() -> None:
    assert margin_at_least(between(3.0, 5.0), 2.0) == 0.5
    assert margin_at_most(between(3.0, 5.0), 4.0) == -0.25
    assert margin_at_least(None, 2.0) is None


def finding(verdict: Verdict) -> Finding:
    return Finding(
        key="guessed-mass",
        stage="mass",
        subject=Subject(),
        verdict=verdict,
        value=None,
        dimension=None,
        bound=Bound(sense=Sense.HOLDS),
        margin=None,
    )


def test_no_go_outranks_not_known_and_nothing_checked_is_not_known() -> None:
    assert overall([]) is Verdict.NOT_KNOWN
    assert overall([finding(Verdict.GO), finding(Verdict.CAUTION)]) is Verdict.CAUTION
    assert overall([finding(Verdict.NOT_KNOWN), finding(Verdict.NO_GO)]) is Verdict.NO_GO
    assert overall([finding(Verdict.GO), finding(Verdict.NOT_KNOWN)]) is Verdict.NOT_KNOWN


def test_of_one_verdict_a_plain_no_comes_first_and_what_has_no_number_last() -> None:
    plain, missed, met, said = (
        replace(finding(verdict), key=key, margin=margin)
        for key, verdict, margin in (
            ("plain", Verdict.NO_GO, None),
            ("missed", Verdict.NO_GO, -0.5),
            ("met", Verdict.GO, 0.1),
            ("said", Verdict.GO, None),
        )
    )
    urgent = replace(met, key="urgent", margin=5.0, urgent=True)
    found = worst_first([said, met, missed, urgent, plain])
    assert [one.key for one in found] == ["plain", "missed", "urgent", "met", "said"]
