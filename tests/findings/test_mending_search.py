"""The search for a set of changes, on answers made up by a line of arithmetic each."""

from dataclasses import dataclass, field, replace
from types import SimpleNamespace
from typing import Any

import pytest

from finial.assemble.vehicle.tweak import Tweak, TweakKind
from finial.core.dimensions import Dimension
from finial.core.estimates import exact
from finial.findings import mending
from finial.findings.finding import Amount, Bound, Finding, Fix, Sense, Subject, Verdict, overall, worst_first
from finial.findings.mending import MOST_LONG_LOOKS, Mend, _Search, in_its_room
from finial.findings.readiness import Depth
from finial.findings.same_check import Check, check_of, worst_of
from finial.findings.tries import moved, suiting, turned


def finding(
    key: str, value: float | None, limit: float | None, *, name: str = "", stage: str = "flight"
) -> Finding:
    """At least so much: no-go below the limit, go from it on, not known without a value."""
    if value is None:
        verdict, margin = Verdict.NOT_KNOWN, None
    else:
        assert limit is not None
        margin = (value - limit) / limit
        verdict = Verdict.GO if margin >= -1e-12 else Verdict.NO_GO
    return Finding(
        key=key,
        stage=stage,
        subject=Subject(name=name),
        verdict=verdict,
        value=None if value is None else exact(value),
        dimension=Dimension.LENGTH,
        bound=Bound(sense=Sense.AT_LEAST, value=limit, source="made up"),
        margin=margin,
    )


def pull(kind: TweakKind, now: float, most: float, step: float = 0.01) -> Tweak:
    return Tweak(
        kind=kind,
        name=kind.value,
        now=now,
        most=most,
        step=step,
        dimension=Dimension.MASS,
        changes=lambda value, kind=kind: {(kind.value,): value},
    )


BALLAST = pull(TweakKind.BALLAST, 1.0, 3.0)
CANOPY = pull(TweakKind.CANOPY, 1.0, 2.0)
THICKNESS = replace(pull(TweakKind.THICKNESS, 5.0, 10.0, 0.1), name="fins")


@dataclass
class Made:
    """Answers by a rule from values to findings; counts the long looks like the real one."""

    rule: Any
    long_looks: int = 0
    asked: list[tuple[dict, Depth]] = field(default_factory=list)
    told: dict | None = None
    """What was answered in full in the end."""

    def answer(self, changes, depth: Depth):
        if not self.known(changes, depth):
            self.long_looks += depth is Depth.WHOLE
            self.asked.append((dict(changes), depth))
        values = {"ballast": 1.0, "canopy": 1.0, "thickness": 5.0} | {
            key[0]: value for key, value in changes.items()
        }
        found = worst_first(self.rule(depth=depth, **values))
        mass = 4.0 + values["ballast"] + 0.1 * values["thickness"]
        return SimpleNamespace(
            findings=found,
            depth=depth,
            verdict=overall(found),
            flight=SimpleNamespace(lift_off_mass_kg=mass),
        )

    def shown(self, changes):
        self.told = dict(changes)
        return self.answer(changes, Depth.WHOLE)

    def affords(self, changes) -> bool:
        return self.known(changes, Depth.WHOLE) or self.long_looks < MOST_LONG_LOOKS

    def known(self, changes, depth: Depth) -> bool:
        return (dict(changes), depth) in self.asked


def mended(rule, *pulls: Tweak) -> tuple[Mend, Made]:
    made = Made(rule=rule)
    search = _Search(tries=made, before=made.answer({}, Depth.QUICK), pulls=pulls, told=lambda _note: None)
    return search.mended(search.found()), made


def sizes(mend: Mend) -> dict[str, float]:
    return {one.lever: one.size for one in mend.told}


def test_one_change_is_found_and_made_as_small_as_its_halvings_allow() -> None:
    """The margin needs 1.7: half of what is tried is 2, and four halvings come within 1/16 of it."""
    found, made = mended(lambda ballast, **_: [finding("margin", ballast, 1.7)], BALLAST, CANOPY)
    assert made.told == found.changes
    assert set(sizes(found)) == {"ballast"}
    assert 1.7 <= sizes(found)["ballast"] <= 1.7 + 1.0 / 16 + 0.01
    assert found.verdict is Verdict.GO
    assert [check_of(one) for one in found.mended] == [Check("margin", "")]
    assert (found.stops, found.to_enter) == ((), ())
    assert found.added_kg == pytest.approx(sizes(found)["ballast"] - 1.0)
    assert found.changes == {("ballast",): sizes(found)["ballast"]}
    assert found.told[0].was == 1.0


def test_a_change_that_spoils_another_check_takes_what_mends_that() -> None:
    """Ballast for the margin makes it fall faster: a larger canopy beside it, and both as small as may be."""

    def rule(ballast: float, canopy: float, **_: Any) -> list[Finding]:
        return [finding("margin", ballast, 2.0), finding("landing-speed", canopy / ballast, 0.9)]

    found, _ = mended(rule, BALLAST, CANOPY)
    assert set(sizes(found)) == {"ballast", "canopy"}
    assert found.verdict is Verdict.GO
    assert 2.0 <= sizes(found)["ballast"] <= 2.2
    assert sizes(found)["canopy"] >= 0.9 * sizes(found)["ballast"] - 1e-9


def test_what_no_change_reaches_is_told_as_what_stops_it() -> None:
    found, _ = mended(
        lambda ballast, **_: [finding("margin", ballast, 5.0), finding("apogee", 1.0, 2.0)], BALLAST
    )
    assert {one.key for one in found.stops} == {"margin", "apogee"}
    assert found.verdict is Verdict.NO_GO
    assert sizes(found)["ballast"] == pytest.approx(3.0), "as much as is tried: nearest to the limit"


def test_what_must_be_entered_is_not_pulled_at() -> None:
    found, made = mended(lambda **_: [finding("margin", None, 2.0)], BALLAST)
    assert found.told == ()
    assert [one.key for one in found.to_enter] == ["margin"]
    assert found.stops == ()
    assert all(changes == {} for changes, _ in made.asked)


def test_what_meets_its_limit_and_lacks_a_test_is_not_pulled_at() -> None:
    """A lip that would hold at its bad end is not known until somebody has pulled at it."""
    untested = replace(finding("margin", 3.0, 2.0), verdict=Verdict.NOT_KNOWN)
    found, made = mended(lambda **_: [untested], BALLAST)
    assert (found.told, found.stops) == ((), ())
    assert [one.key for one in found.to_enter] == ["margin"]
    assert all(changes == {} for changes, _ in made.asked)


def test_ballast_grows_no_further_than_its_room() -> None:
    """From 2.0 on it stands in the print: six halvings come within 1/64 of the way to the most."""

    def rule(ballast: float, **_: Any) -> list[Finding]:
        return [finding("into-print", 3.0 - ballast, 1.0, stage="inside")]

    roomy = in_its_room(Made(rule=rule), BALLAST)
    assert 2.0 - 2.0 / 64 - 0.01 <= roomy.most <= 2.0
    assert (roomy.now, roomy.kind) == (BALLAST.now, BALLAST.kind)
    free = Made(rule=lambda **_: [finding("into-print", 9.0, 1.0, stage="inside")])
    assert in_its_room(free, BALLAST) is BALLAST
    assert in_its_room(Made(rule=rule), CANOPY) is CANOPY


@pytest.mark.parametrize(
    ("others", "crowds"), [(("margin",), False), (("margin", "off-axis", "steady-angle"), True)]
)
def test_what_the_changes_bring_about_is_told_apart_from_what_the_sheet_lacks(others, crowds: bool) -> None:
    """Ballast of more than 1.5 has no room: that costs as much as one no-go, and less than three."""

    def rule(ballast: float, **_: Any) -> list[Finding]:
        room = replace(finding("same-room", 1.0, 0.5), bound=Bound(sense=Sense.HOLDS), margin=None)
        crowded = replace(room, verdict=Verdict.NO_GO) if ballast > 1.5 else room
        return [*(finding(key, ballast, 2.0) for key in others), finding("apogee", None, 2.0), crowded]

    found, _ = mended(rule, BALLAST)
    assert [one.key for one in found.to_enter] == ["apogee"]
    assert [one.key for one in found.brought] == (["same-room"] if crowds else [])
    assert (sizes(found).get("ballast", 1.0) > 1.5) is crowds
    assert found.verdict is Verdict.NO_GO


def test_strength_is_left_to_the_long_look() -> None:
    """The quick look says nothing on it: fins as thick as the long look needs, within a halving."""

    def rule(thickness: float, depth: Depth, **_: Any) -> list[Finding]:
        told = thickness if depth is Depth.WHOLE else 9.9
        return [finding("fin-breaks", told, 7.0, stage="strength", name="fins")]

    found, made = mended(rule, THICKNESS, BALLAST)
    assert set(sizes(found)) == {"thickness"}
    assert 7.0 <= sizes(found)["thickness"] <= 7.6
    assert found.verdict is Verdict.GO
    assert made.long_looks <= MOST_LONG_LOOKS


def test_a_change_that_turns_out_not_to_be_needed_is_left_out() -> None:
    """The quick look asks for ballast; the long one does with fins alone, which mend both."""

    def rule(ballast: float, thickness: float, depth: Depth, **_: Any) -> list[Finding]:
        held = ballast + (thickness - 5.0)
        whole = (
            [finding("fin-breaks", thickness, 6.0, stage="strength", name="fins")]
            if depth is Depth.WHOLE
            else []
        )
        return [finding("margin", held, 1.5), *whole]

    found, _ = mended(rule, BALLAST, THICKNESS)
    assert set(sizes(found)) == {"thickness"}
    assert found.verdict is Verdict.GO


def test_two_changes_that_write_to_one_place_do_not_stand_beside_one_another() -> None:
    span = Tweak(
        kind=TweakKind.SPAN,
        name="span",
        now=1.0,
        most=1.4,
        step=0.01,
        dimension=Dimension.RATIO,
        changes=lambda value: {("ballast",): 1.0 + (value - 1.0) / 2},
    )
    found, _ = mended(lambda ballast, **_: [finding("margin", ballast, 1.8)], span, BALLAST)
    assert set(sizes(found)) == {"ballast"}
    assert found.verdict is Verdict.GO


def test_a_step_is_only_taken_where_it_leaves_less_missing() -> None:
    """More ballast makes this worse: it is left alone, and what fails is told."""
    found, _ = mended(lambda ballast, **_: [finding("margin", 1.5 / ballast, 2.0)], BALLAST)
    assert found.told == ()
    assert [one.key for one in found.stops] == ["margin"]
    assert found.added_kg == 0.0


def test_the_worst_of_a_kind_speaks_for_its_check() -> None:
    told = [finding("margin", 1.0, 2.0), finding("margin", 0.5, 2.0), finding("apogee", 3.0, 2.0)]
    answer = Made(rule=lambda **_: told).answer({}, Depth.QUICK)
    worst = worst_of(answer.findings)
    assert worst[Check("margin", "")].value == exact(0.5), "the worst of its kind speaks for the check"
    assert not turned(answer, Check("margin", ""))
    assert turned(answer, Check("apogee", ""))
    assert turned(answer, Check("never-heard-of", ""))
    assert not turned(None, Check("apogee", ""))


def test_pulls_suit_a_finding_in_their_order_and_not_one_without_a_value() -> None:
    pulls = (pull(TweakKind.SPAN, 1.0, 1.4), CANOPY, BALLAST)
    assert [one.kind for one in suiting(finding("margin", 1.0, 2.0), pulls)] == [
        TweakKind.BALLAST,
        TweakKind.SPAN,
    ]
    assert suiting(finding("margin", None, 2.0), pulls) == ()
    assert suiting(finding("apogee", 1.0, 2.0), pulls) == ()
    windy = finding("wind", 3.0, 2.0)
    calmer = (pull(TweakKind.CALMER, 1.0, 3.0),)
    assert suiting(windy, calmer) == calmer
    assert suiting(replace(windy, reasons=("unread",)), calmer) == (), "a limit nobody read is asked for"


def test_what_else_moved_is_told_if_its_verdict_turned_or_the_margin_paid() -> None:
    def answer(*findings: Finding):
        return SimpleNamespace(findings=worst_first(findings))

    before = answer(finding("margin", 3.0, 2.0), finding("drift", 3.0, 2.0), finding("apogee", 1.0, 2.0))
    after = answer(
        finding("margin", 2.4, 2.0),
        finding("drift", 1.0, 2.0),
        finding("apogee", 2.5, 2.0),
        finding("rod-pulled", 0.5, 1.5),
    )
    told = {one.key: one for one in moved(before, after, Check("landing-speed", ""))}
    assert set(told) == {"rod-pulled", "drift", "apogee", "margin"}
    assert set(list(told)[:2]) == {"rod-pulled", "drift"}, "what newly fails comes first"
    assert told["margin"].less == pytest.approx(0.6)
    assert (told["drift"].was, told["drift"].now) == (Verdict.GO, Verdict.NO_GO)
    assert (told["rod-pulled"].was, told["rod-pulled"].less) == (Verdict.GO, None)
    assert "drift" not in [one.key for one in moved(before, after, Check("drift", ""))]
    same = answer(finding("margin", 2.99, 2.0), finding("drift", 3.1, 2.0), finding("apogee", 1.0, 2.0))
    assert moved(before, same, Check("landing-speed", "")) == (), "a hundredth of the limit is not told"


def test_a_clock_over_a_campaign_and_one_over_corners_are_not_compared() -> None:
    clock = replace(finding("timer-after-top", 1.0, 2.0), reasons=("campaign",))
    over_corners = replace(finding("timer-after-top", 3.0, 2.0), reasons=("corners",))
    before, after, same = (
        SimpleNamespace(findings=(one,))
        for one in (clock, over_corners, replace(over_corners, reasons=("campaign",)))
    )
    assert clock.verdict is not over_corners.verdict
    assert moved(before, after, Check("margin", "")) == ()
    assert [one.key for one in moved(before, same, Check("margin", ""))] == ["timer-after-top"]


def test_the_size_that_a_rule_reckons_is_tried_before_shares_of_the_way() -> None:
    """A wall that takes 1.37 times its thickness was tried at 1.3 and at 1.6 times: too little, too heavy."""
    walls = pull(TweakKind.WALLS, 1.0, 3.0, 0.05)
    short = replace(
        finding("wall-wrinkles", 1.0, 1.5, stage="strength"),
        fixes=(Fix(key="change", facts={"times": Amount(value=1.37)}),),
    )
    assert list(mending._sizes(walls, short, (0.15, 0.3))) == pytest.approx([1.4, 1.3, 1.6])
    unreckoned = replace(short, fixes=())
    assert list(mending._sizes(walls, unreckoned, (0.15, 0.3))) == pytest.approx([1.3, 1.6])
