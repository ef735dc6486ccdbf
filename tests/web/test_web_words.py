"""The verdict in sentences, and numbers in the builder's units."""

import json
from dataclasses import replace

import pytest

from finial.assemble.stability.results import MomentName
from finial.core.estimates import Estimate, KnownBy
from finial.findings.finding import Verdict, overall
from finial.findings.readiness import Readiness
from finial.report.words import answer, how_far, margin_words
from finial.web.numbers import key_numbers, number_groups
from finial.web.payload import answer_text
from finial.web.words import detail


def with_verdicts(readiness: Readiness, *verdicts: Verdict) -> Readiness:
    findings = tuple(replace(readiness.findings[0], verdict=verdict) for verdict in verdicts)
    return replace(readiness, findings=findings, verdict=overall(findings))


@pytest.mark.parametrize(
    ("verdicts", "said"),
    [
        ((Verdict.NO_GO, Verdict.NO_GO, Verdict.GO), "2 of 3 checks fail."),
        ((Verdict.NO_GO, Verdict.NOT_KNOWN), "1 of 2 checks fail and 1 cannot be answered yet."),
        ((Verdict.NOT_KNOWN, Verdict.CAUTION), "1 of 2 checks cannot be answered yet"),
        ((Verdict.CAUTION, Verdict.GO), "Go, with 1 caution to read"),
        ((Verdict.GO,), "all 1 check meet their limits"),
        ((), "Not known: nothing checked"),
    ],
)
def test_headline_counts_what_stands_in_the_way(
    readiness: Readiness, verdicts: tuple[Verdict, ...], said: str
) -> None:
    assert said in answer(with_verdicts(readiness, *verdicts))


def test_detail_names_the_worst_and_is_silent_when_all_is_go(readiness: Readiness) -> None:
    assert detail(readiness) == "The worst: “margin at rail exit”, 120 mm (15 to 225), limit at least 50 mm."
    assert detail(with_verdicts(readiness, Verdict.GO)) == ""
    only_unknown = replace(readiness, findings=readiness.findings[1:])
    asked = "limit twice the all-fire current, which the sheet does not give"
    assert detail(only_unknown) == f"To settle first: “firing current of igniter A”, {asked}."


def test_margin_says_on_which_side_of_the_limit_the_bad_end_is() -> None:
    assert margin_words(0.123) == "12 % to spare"
    assert margin_words(-0.5) == "bad end 50 % past the limit"
    assert margin_words(None) == ""


@pytest.mark.parametrize(
    ("verdict", "margin", "said"),
    [
        (Verdict.GO, 2.37, "237 % to spare"),
        (Verdict.CAUTION, 2.37, ""),
        (Verdict.NOT_KNOWN, 2.37, ""),
        (Verdict.NO_GO, 0.0, ""),
        (Verdict.NOT_KNOWN, -0.5, "bad end 50 % past the limit"),
        (Verdict.NOT_KNOWN, None, ""),
    ],
)
def test_what_is_no_go_for_another_reason_has_nothing_to_spare(
    readiness: Readiness, verdict: Verdict, margin: float | None, said: str
) -> None:
    assert how_far(replace(readiness.findings[0], verdict=verdict, margin=margin)) == said


def test_us_builders_read_inches_pounds_and_feet(us_readiness: Readiness) -> None:
    shown = {row.key: row.value for row in key_numbers(us_readiness)}
    # 580 mm / 25.4 mm = 22.83 in; 7.5 kg / 0.45359 kg = 16.53 lb; 533.3 m / 0.3048 m = 1750 ft.
    assert shown["balance"] == "22.83 in"
    assert shown["mass"] == "16.53 lb"
    assert shown["apogee"] == "1750 ft"


def test_every_number_has_its_own_key(readiness: Readiness) -> None:
    keys = [row.key for group in number_groups(readiness) for row in group.rows]
    assert len(keys) == len(set(keys))


def test_pedigree_and_interval_stand_beside_the_number(readiness: Readiness) -> None:
    rows = {row.key: row for group in number_groups(readiness) for row in group.rows}
    assert rows["margin-rail-exit"].interval == "15 to 225"
    assert rows["margin-rail-exit"].known_by == "computed"
    assert rows["landing-speed"].known_by == "handbook"


def test_worst_moment_is_the_one_shown(readiness: Readiness) -> None:
    good = readiness.stability[0]
    bad_margin = Estimate(value=0.05, low=-0.01, high=0.1, known_by=KnownBy.COMPUTED)
    both = replace(readiness, stability=(good, replace(good, moment=MomentName.BURNOUT, margin=bad_margin)))
    row = next(row for row in key_numbers(both) if row.key == "margin-bad-end")
    assert row.name == "Smallest margin, burnout"
    assert row.value == "-10 mm"


def test_what_follows_from_a_cause_stands_below_its_leader_and_not_in_its_words(readiness: Readiness) -> None:
    led, other = (replace(one, cause="balance") for one in readiness.findings[:2])
    told = json.loads(answer_text(replace(readiness, findings=(led, other, *readiness.findings[2:]))))[
        "findings"
    ]
    assert [len(one["followers"]) for one in told] == [1, *(0 for _ in readiness.findings[2:])]
    (follower,) = told[0]["followers"]
    assert follower["name"]
    assert follower["name"] not in told[0]["why"]


def test_a_follower_of_a_lost_flight_is_named_without_its_numbers(readiness: Readiness) -> None:
    led, other = (replace(one, cause="lost-flight") for one in readiness.findings[:2])
    findings = (led, replace(other, spoiled=True))
    ((follower,),) = (
        one["followers"] for one in json.loads(answer_text(replace(readiness, findings=findings)))["findings"]
    )
    assert follower["name"]
    assert [follower[key] for key in ("value", "interval", "limit", "margin", "fix")] == [""] * 5


def test_a_number_that_nobody_knows_has_a_row_that_says_so(readiness: Readiness) -> None:
    unknown = replace(readiness, flight=replace(readiness.flight, rail=None))
    (row,) = [row for row in key_numbers(unknown) if row.key == "rail-exit"]
    assert row.value == "not known"
    (told,) = [row for row in key_numbers(readiness) if row.key == "rail-exit"]
    assert told.value.endswith("m/s")
