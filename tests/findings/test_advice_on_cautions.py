"""A caution's advice is tried too: it becomes a go, a good deal less does not, and its price is told."""

from dataclasses import replace
from pathlib import Path

import pytest

from finial.assemble.vehicle.pulls import TweakKind, pulls_of
from finial.core.dimensions import Dimension
from finial.findings.advice import FIX, tried
from finial.findings.check import load, readiness
from finial.findings.finding import Trial, Verdict, bearable
from finial.findings.readiness import Depth
from finial.findings.tries import Tries, check_of, moved, suiting, turned, worst_of
from finial.report.finding_words import what_to_change
from finial.report.shown import Shown

PHONE_BOX = Path(__file__).parents[2] / "examples" / "phone-box" / "phone-box.toml"


@pytest.fixture(scope="module")
def vehicle():
    return load(PHONE_BOX)


@pytest.fixture(scope="module")
def before(vehicle):
    return readiness(vehicle, depth=Depth.QUICK)


def caution(before, key: str):
    found = next(one for one in worst_of(before.findings).values() if one.key == key)
    assert found.verdict is Verdict.CAUTION
    return found


def trials_of(vehicle, before, key: str) -> tuple[Trial, ...]:
    found = caution(before, key)
    return tried(vehicle, before, [(found, suiting(found, pulls_of(vehicle)))])[check_of(found)]


def test_a_caution_turns_into_a_go_and_a_good_deal_less_leaves_it(vehicle, before) -> None:
    key = "landing-energy-in-wind"
    (trial,) = trials_of(vehicle, before, key)
    assert (trial.lever, trial.turns) == ("canopy", True)
    pull = next(one for one in pulls_of(vehicle) if one.kind is TweakKind.CANOPY)

    def verdict(diameter_m: float) -> Verdict:
        after = readiness(vehicle, pull.changes(diameter_m), depth=Depth.QUICK)
        return max(one.verdict for one in after.findings if one.key == key)

    assert verdict(trial.size) is Verdict.GO
    assert verdict(trial.size - (pull.most - pull.now) / 16) is Verdict.CAUTION


def test_a_change_that_its_rule_worked_out_is_tried_too(vehicle, before) -> None:
    (trial,) = trials_of(vehicle, before, "shoulder")
    assert (trial.lever, trial.turns) == (FIX, True)
    told = what_to_change(replace(caution(before, "shoulder"), trials=(trial,)), Shown(us_units=False))
    assert "With that this goes" in told


def test_a_quick_trial_owns_up_to_having_looked_no_deeper(vehicle, before) -> None:
    (trial,) = trials_of(vehicle, before, "landing-energy-in-wind")
    finding = caution(before, "landing-energy-in-wind")
    told = what_to_change(replace(finding, trials=(trial,)), Shown(us_units=False))
    assert not trial.deep
    assert "more than the quick look sees was not looked for" in told
    deep = replace(trial, deep=True, moved=())
    assert "nothing else changes its verdict" in what_to_change(
        replace(finding, trials=(deep,)), Shown(us_units=False)
    )


def test_a_caution_that_nobody_tried_to_turn_says_so(before) -> None:
    told = what_to_change(caution(before, "landing-energy-in-wind"), Shown(us_units=False))
    assert told.startswith("Not tried: ")


def test_what_is_a_caution_only_because_of_the_change_is_told_of_a_caution(vehicle, before) -> None:
    """A canopy twice as wide no longer leaves its bay: a builder who had no doubt there has one then."""
    pull = next(one for one in pulls_of(vehicle) if one.kind is TweakKind.CANOPY)
    after = readiness(vehicle, pull.changes(pull.most), depth=Depth.QUICK)
    check = check_of(caution(before, "landing-energy-in-wind"))
    then, now = worst_of(before.findings), worst_of(after.findings)
    doubts = {one.key for one in now if one in then and now[one].verdict > then[one].verdict and one != check}
    assert doubts
    told = {one.key for one in moved(before, after, check, Verdict.GO) if one.now > one.was}
    assert told
    assert told <= doubts


@pytest.mark.parametrize(
    ("verdict", "most"),
    [
        (Verdict.NO_GO, Verdict.CAUTION),
        (Verdict.NOT_KNOWN, Verdict.CAUTION),
        (Verdict.CAUTION, Verdict.GO),
    ],
)
def test_what_fails_turns_at_a_caution_and_a_caution_at_a_go(verdict: Verdict, most: Verdict) -> None:
    assert bearable(verdict) is most


def test_a_check_has_turned_when_it_is_no_worse_than_asked(before) -> None:
    check = check_of(caution(before, "landing-energy-in-wind"))
    assert turned(before, check, Verdict.CAUTION)
    assert not turned(before, check, Verdict.GO)
    assert not turned(None, check, Verdict.NO_GO)


def test_no_more_long_looks_are_made_than_may_be(vehicle) -> None:
    tries = Tries(vehicle=vehicle, most_long=0)
    assert not tries.affords({("launch", "rail_length"): "4 m"})
    assert Tries(vehicle=vehicle, most_long=1).affords({("launch", "rail_length"): "4 m"})


def test_a_size_in_the_words_is_in_the_units_of_the_sheet(vehicle, before) -> None:
    (trial,) = trials_of(vehicle, before, "landing-energy-in-wind")
    assert trial.dimension is Dimension.LENGTH
    finding = replace(caution(before, "landing-energy-in-wind"), trials=(trial,))
    assert f"main of {trial.size:.2f} m" in what_to_change(finding, Shown(us_units=False))
    assert " ft (110 in now)" in what_to_change(finding, Shown(us_units=True))
