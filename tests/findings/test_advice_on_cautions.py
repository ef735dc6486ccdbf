"""A caution's advice is tried too: it becomes a go, a good deal less does not, and its price is told."""

from dataclasses import replace
from pathlib import Path

import pytest

from finial.assemble.vehicle.changes import changed
from finial.assemble.vehicle.pulls import pulls_of
from finial.assemble.vehicle.tweak import TweakKind
from finial.core.dimensions import Dimension
from finial.core.estimates import exact
from finial.findings import advice, tries
from finial.findings.advice import FIX, advised, tried
from finial.findings.check import load, readiness, silent
from finial.findings.finding import Finding, Fix, Subject, Trial, Verdict, bearable
from finial.findings.readiness import Depth
from finial.findings.rules.strength_rules import WARM
from finial.findings.same_check import check_of, worst_of
from finial.findings.tries import moved, suiting, turned
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
    trial, calmer = trials_of(vehicle, before, key)
    assert (trial.lever, trial.turns) == ("canopy", True)
    assert calmer.lever == "calmer"
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
    trial, _ = trials_of(vehicle, before, "landing-energy-in-wind")
    finding = caution(before, "landing-energy-in-wind")
    told = what_to_change(replace(finding, trials=(trial,)), Shown(us_units=False))
    assert not trial.deep
    assert "more than the quick look sees was not looked for" in told
    deep = replace(trial, deep=True, moved=())
    assert "nothing else changes its verdict" in what_to_change(
        replace(finding, trials=(deep,)), Shown(us_units=False)
    )


def test_a_caution_that_nobody_tried_to_turn_is_given_no_advice(before) -> None:
    told = what_to_change(caution(before, "landing-energy-in-wind"), Shown(us_units=False))
    assert told == "The wind and the speed of the fall decide it."


def test_a_change_of_its_rule_that_was_tried_in_vain_says_so(before) -> None:
    """It was printed as not tried."""
    found = caution(before, "shoulder")
    vain = Trial(lever=FIX, name="longer", was=0.0, size=0.0, dimension=Dimension.RATIO, turns=False)
    told = what_to_change(replace(found, trials=(vain,)), Shown(us_units=False))
    assert told == "It takes an overlap of 62 mm. Tried alone, that does not suffice."


def test_one_key_with_another_size_was_not_tried(vehicle, before, monkeypatch) -> None:
    """Two findings of one check have fixes of one key: what was tried for one says nothing of the other."""
    first = caution(before, "shoulder")
    (fix,) = first.fixes
    other = replace(
        first, subject=replace(first.subject, case="later"), fixes=(replace(fix, changes={"a": "1"}),)
    )
    trial = Trial(lever=FIX, name=fix.key, was=0.0, size=0.0, dimension=Dimension.RATIO, turns=True)
    monkeypatch.setattr(advice, "tried", lambda *_: {check_of(first): (trial,)})
    monkeypatch.setattr(advice, "kept", lambda _name, _content, compute: compute())
    told = advised(vehicle, replace(before, depth=Depth.WHOLE, findings=(first, other)), silent).findings
    assert [one.trials for one in told] == [(trial,), ()]


def test_what_was_looked_at_and_tried_is_found_again_whichever_units_the_sheet_shows(
    vehicle, before, monkeypatch
) -> None:
    asked = []
    monkeypatch.setattr(advice, "kept", lambda _name, content, _compute: asked.append(content) or {})
    for changes in ({}, {("vehicle", "show_units"): "us"}, {("vehicle", "name"): "another"}):
        advised(changed(vehicle, changes), replace(before, depth=Depth.WHOLE), silent)
    metric, us, another = asked
    assert metric == us != another


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
    assert not tries.Tries(vehicle=vehicle, most_long=0).affords({("launch", "rail_length"): "4 m"})
    assert tries.Tries(vehicle=vehicle, most_long=1).affords({("launch", "rail_length"): "4 m"})


@pytest.mark.parametrize(
    ("middle", "at_ends", "turns", "looks"),
    [
        (Verdict.NO_GO, Verdict.GO, False, [False]),
        (Verdict.GO, Verdict.GO, True, [False, True]),
        (Verdict.GO, Verdict.NOT_KNOWN, False, [False, True]),
    ],
)
def test_ends_are_looked_at_only_of_what_turns_in_the_middle(
    vehicle, before, monkeypatch, middle: Verdict, at_ends: Verdict, turns: bool, looks: list[bool]
) -> None:
    told = caution(before, "landing-energy-in-wind")
    asked: list[bool] = []

    def tried_so(_vehicle, _changes, *, depth: Depth, ends: bool):
        assert depth is Depth.WHOLE
        asked.append(ends)
        return replace(before, findings=(replace(told, verdict=at_ends if ends else middle),))

    monkeypatch.setattr(tries, "tried", tried_so)
    longer, changes = tries.Tries(vehicle=vehicle, most_long=1), {("launch", "rail_length"): "4 m"}
    for _ in range(2):
        assert longer.turns(changes, Depth.WHOLE, check_of(told), Verdict.CAUTION) is turns
    assert asked == looks, "each once"
    assert longer.long_looks == 1, "a look and its ends are one"
    assert longer.affords(changes), "what was asked may be asked again"


def test_a_size_in_the_words_is_in_the_units_of_the_sheet(vehicle, before) -> None:
    trial, _ = trials_of(vehicle, before, "landing-energy-in-wind")
    assert trial.dimension is Dimension.LENGTH
    finding = replace(caution(before, "landing-energy-in-wind"), trials=(trial,))
    assert f"main of {trial.size:.2f} m" in what_to_change(finding, Shown(us_units=False))
    assert " ft (110 in now)" in what_to_change(finding, Shown(us_units=True))


def test_what_a_fix_turned_is_said_of_the_other_place_by_its_own_fix(vehicle, before, monkeypatch) -> None:
    """One part is warm in the car and at the motor: another plastic is one change and two fixes."""

    def warm(place: str, plastic: str) -> Finding:
        fix = Fix(key=f"{place}-plastic", facts={"plastic": plastic}, changes={"part.foot.material": plastic})
        return WARM.holds(
            Verdict.CAUTION,
            value=exact(-1.0),
            subject=Subject(name="foot", case=place),
            facts={"warm": "70 degC", "softens": "60 degC", "below": "10 K"},
            fixes=(fix,),
        )

    car = warm("car", "ABS")
    trial = Trial(
        lever=FIX, name="car-plastic", was=0.0, size=0.0, dimension=Dimension.RATIO, turns=True, deep=True
    )
    monkeypatch.setattr(advice, "tried", lambda *_: {check_of(car): (trial,)})
    monkeypatch.setattr(advice, "kept", lambda _name, _content, compute: compute())
    three = (car, warm("motor", "ABS"), warm("motor", "PC"))
    told = advised(vehicle, replace(before, depth=Depth.WHOLE, findings=three), silent).findings
    assert [[one.name for one in finding.trials] for finding in told] == [
        ["car-plastic"],
        ["motor-plastic"],
        [],
    ]
    assert "printed in ABS, foot stays hard. With that this goes" in what_to_change(told[1])
    assert "card tube" in what_to_change(told[1])
