"""The search for a set of changes, on answers made up by a line of arithmetic each."""

from dataclasses import dataclass, field
from types import SimpleNamespace
from typing import Any

import pytest

from finial.assemble.vehicle.pulls import Tweak, TweakKind
from finial.core.dimensions import Dimension
from finial.core.estimates import exact
from finial.findings.finding import Bound, Finding, Sense, Subject, Verdict, overall, worst_first
from finial.findings.mending import MOST_LONG_LOOKS, Mend, _Search
from finial.findings.readiness import Depth
from finial.findings.tries import Check, check_of, moved, suiting, turned, worst_of


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
THICKNESS = pull(TweakKind.THICKNESS, 5.0, 10.0, 0.1)


@dataclass
class Made:
    """Answers by a rule from values to findings; counts the long looks like the real one."""

    rule: Any
    long_looks: int = 0
    asked: list[tuple[dict, Depth]] = field(default_factory=list)

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
    found, _ = mended(lambda ballast, **_: [finding("margin", ballast, 1.7)], BALLAST, CANOPY)
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
        whole = [finding("fin-breaks", thickness, 6.0, stage="strength")] if depth is Depth.WHOLE else []
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
