"""Small things that let go: the size that its rule reckons is tried first, and turns its finding."""

from dataclasses import replace

import pytest

from finial.assemble.vehicle.changes import changed
from finial.assemble.vehicle.hardware_pulls import hardware_pulls
from finial.assemble.vehicle.pulls import pulls_of
from finial.assemble.vehicle.tweak import MOST_TIMES, TweakKind
from finial.core.dimensions import Dimension
from finial.core.estimates import exact
from finial.findings import advice
from finial.findings.advice import tried
from finial.findings.check import readiness
from finial.findings.finding import Amount, Bound, Finding, Fix, Sense, Subject, Trial, Verdict
from finial.findings.readiness import Depth
from finial.findings.same_check import check_of, worst_of
from finial.findings.tries import suiting
from finial.report.finding_words import _asks, what_to_change
from finial.report.shown import Shown
from finial.report.trial_words import change_words
from finial.report.wording import WORDINGS

METRIC = Shown(us_units=False)
ADVICE = frozenset(
    "Add Bring Carry Change Choose Close Cut Draw Fly Lean Leave Let Lower Make Move Print Put Raise Round"
    " Set Shade Shorten Shrink Split Straighten Support Take Tie Try Turn Wait".split()
)
"""First words of an order to do something."""
MAY_ORDER = frozenset({("entered", "no-motors")})
"""What a sheet that is only begun lacks."""


@pytest.fixture(scope="module")
def weak(lighthouse):
    """The lighthouse with a thin thrust plate and small washers under its eyes."""
    at = {item.name: index for index, item in enumerate(lighthouse.sheet.item)}
    floor, head = (
        ("item", at[name], "eye", "washer") for name in ("floor of the bay", "bulkhead and eye bolt")
    )
    plate = ("motor", "thrust_plate", "thickness")
    return changed(lighthouse, {plate: "3 mm", floor: "8 mm", head: "9 mm"})


@pytest.fixture(scope="module")
def before(weak):
    return readiness(weak, depth=Depth.WHOLE)


@pytest.mark.parametrize(
    ("key", "lever"), [("thrust-plate-breaks", "thrust plate"), ("eye-sinks", "eye washer")]
)
def test_what_its_rule_reckons_is_tried_and_turns_it(weak, before, key: str, lever: str) -> None:
    found = next(one for one in worst_of(before.findings).values() if one.key == key and one.fails)
    pulls = tuple(one for one in suiting(found, pulls_of(weak)) if one.kind == lever)
    (trial, *_) = tried(weak, before, [(found, pulls)])[check_of(found)]
    assert (trial.lever, trial.turns) == (lever, True)
    assert trial.was < trial.size < MOST_TIMES * trial.was
    assert "this goes" in what_to_change(replace(found, trials=(trial,)), METRIC)


def test_a_sheet_gives_its_small_things_to_pull_at(lighthouse) -> None:
    there = {(one.kind, one.name) for one in hardware_pulls(lighthouse.sheet)}
    assert there >= {
        (TweakKind.WASHER, "M8"),
        (TweakKind.BEARING, "M8"),
        (TweakKind.THREAD, "M8"),
        (TweakKind.THRUST_PLATE, ""),
        (TweakKind.SCREWS, ""),
        (TweakKind.EYE, "floor of the bay"),
        (TweakKind.EYE_WASHER, "bulkhead and eye bolt"),
        (TweakKind.ROOT, "fins"),
        (TweakKind.BATTERY, "battery A"),
    }
    for one in hardware_pulls(lighthouse.sheet):
        assert changed(lighthouse, one.changes(one.most)).sheet != lighthouse.sheet
        trial = Trial(
            lever=one.kind.value,
            name=one.name,
            was=one.now,
            size=one.most,
            dimension=one.dimension,
            turns=True,
            to=one.to,
        )
        assert one.name in change_words(trial, METRIC)


def test_bare_nuts_are_given_washers(lighthouse) -> None:
    (rod,) = lighthouse.sheet.rod
    bare = lighthouse.sheet.model_copy(update={"rod": (rod.model_copy(update={"washer": None}),)})
    (washer,) = (one for one in hardware_pulls(bare) if one.kind is TweakKind.WASHER)
    assert washer.is_whole
    assert washer.changes(1.0) == {("rod", 0, "washer"): "20 mm"}, "2.5 diameters of M8"


def a_doubt(times: float) -> Finding:
    """A wall that is not known to hold, and takes so many times its thickness."""
    return Finding(
        key="wall-crushed",
        stage="strength",
        subject=Subject(name="tower", case="max-thrust"),
        verdict=Verdict.NOT_KNOWN,
        value=exact(1.0),
        dimension=Dimension.RATIO,
        bound=Bound(sense=Sense.AT_LEAST, value=1.5),
        margin=-0.3,
        fixes=(Fix(key="change", facts={"times": Amount(value=times)}),),
    )


def test_no_finding_spends_the_looks_of_all(lighthouse, before, monkeypatch) -> None:
    """Two findings that only a long look answers are tried in turn, a change for each at a time."""
    asked: list[str] = []

    def noted(one, pull):
        asked.append(one.check.name)
        return pull.most, False

    monkeypatch.setattr(advice, "_long_search", noted)
    first = a_doubt(1.4)
    second = replace(first, subject=replace(first.subject, name="dome"))
    pulls = suiting(first, pulls_of(lighthouse))[:2]
    tried(lighthouse, before, [(first, pulls), (second, pulls)])
    assert asked == ["tower", "dome", "tower", "dome"]


def test_what_its_rule_came_to_is_not_told_a_second_time(lighthouse) -> None:
    """ "It takes 4 x M2 nylon. With that this goes" and "With 4 pins this goes" were told of one change."""
    bare = changed(lighthouse, {("recovery", "joint", 0, "pins"): {"screw": "M2 nylon", "count": 1}})
    quick = readiness(bare, depth=Depth.QUICK)
    found = next(one for one in quick.findings if one.key == "pins-straight")
    assert found.fails
    pins = tuple(one for one in pulls_of(bare) if one.kind is TweakKind.PINS)
    trials = tried(bare, quick, [(found, pins)])[check_of(found)]
    assert [(one.lever, one.turns) for one in trials] == [(advice.FIX, True)]


def test_the_size_that_a_rule_reckons_stands_first_and_the_most_last(lighthouse) -> None:
    (walls,) = (one for one in pulls_of(lighthouse) if one.kind is TweakKind.WALLS and not one.name)
    assert advice._rungs(walls, 1.4) == (1.5, walls.most)
    assert advice._rungs(walls, 50.0) == (walls.most,)
    assert len(advice._rungs(walls, 1.0)) == 3, "nothing reckoned: a ladder"


def test_what_is_not_tried_orders_nobody_to_do_anything() -> None:
    """A fix that asks for an entry or a test is a next step; all others state what is missing."""
    orders = [
        (key, fix, words)
        for key, wording in WORDINGS.items()
        for fix, words in wording.fixes.items()
        if fix not in wording.elsewhere and not _asks(fix) and words.split()[0] in ADVICE
    ]
    assert [one for one in orders if one[:2] not in MAY_ORDER] == []
