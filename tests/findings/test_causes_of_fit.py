"""One thing that stands wrongly is one finding, whatever it meets; two such things are two."""

import pytest

from finial.core.estimates import exact
from finial.findings.causes import gathered, groups_of
from finial.findings.finding import Bound, Fact, Finding, Sense, Subject, Verdict, worst_first
from finial.findings.rules.fit_rules import shape_and_things, with_fit_causes
from finial.inside.things import Kind, Thing
from finial.report.finding_words import what_to_change, why

MOTOR = Thing(name="motor", kind=Kind.MOTOR, middle_m=0.8, length_m=0.4, across_m=0.054)
TUBE = Thing(
    name="tube", kind=Kind.MOTOR_TUBE, middle_m=0.8, length_m=0.4, across_m=0.059, moves_with="motor"
)


def told(key: str, name: str, verdict: Verdict = Verdict.NO_GO, **facts: Fact) -> Finding:
    return Finding(
        key=key,
        stage="inside",
        subject=Subject(name=name),
        verdict=verdict,
        value=exact(-0.01),
        dimension=None,
        bound=Bound(sense=Sense.HOLDS),
        margin=None,
        facts=facts,
    )


def hit(name: str, other: str, key: str = "same-room") -> Finding:
    return told(key, name, other=other)


def grouped(*findings: Finding) -> list[list[str]]:
    caused = gathered(worst_first(with_fit_causes(findings, (MOTOR, TUBE))))
    return [
        [f"{one.subject.name}/{one.facts.get('other', one.key)}" for one in (group.leader, *group.followers)]
        for group in groups_of(caused)
    ]


def test_what_one_thing_meets_is_one_finding_led_by_the_deepest() -> None:
    found = grouped(hit("motor", "floor"), hit("motor", "bay"), hit("motor", "tower", "into-print"))
    assert found == [["motor/floor", "motor/bay", "motor/tower"]]


@pytest.mark.parametrize("other", [hit("sled", "battery"), hit("sled", "tower", "out-of-skin")])
def test_two_things_that_stand_wrongly_are_two(other: Finding) -> None:
    assert len(grouped(hit("motor", "floor"), hit("motor", "bay"), other)) == 2


def test_a_part_that_two_things_need_a_hole_in_ties_them_to_nothing() -> None:
    prints = [hit(name, "tower", "into-print") for name in ("sled", "ballast")]
    assert len(grouped(*prints)) == 2


def test_a_motor_and_its_tube_lean_as_one() -> None:
    assert len(grouped(hit("motor", "rods"), hit("tube", "plate"))) == 1


@pytest.mark.parametrize(
    ("after", "together"),
    [
        (told("gets-in", "motor", part="tower"), True),
        (told("motor-goes-in", "other", blocker="motor"), True),
        (told("bay-tube-covers", "cloth", bay="motor"), True),
        (told("gets-in", "sled", part="tower"), False),
        (told("motor-held", "motor", verdict=Verdict.GO), False),
    ],
)
def test_what_follows_from_it_stands_below_it_and_nothing_else(after: Finding, together: bool) -> None:
    caused = with_fit_causes([hit("motor", "bay"), after], ())
    assert (caused[1].cause == caused[0].cause) is together
    assert caused[0].cause


def test_without_a_collision_nothing_is_tied() -> None:
    loose = [told("gets-in", "sled"), told("motor-held", "motor")]
    assert with_fit_causes(loose, ()) == loose


def at_once(count: int, left_out: tuple[str, ...] = ()) -> Finding:
    hits = [hit(f"thing {number}", "tower", "into-print") for number in range(count)]
    return shape_and_things(with_fit_causes(hits, ()), left_out, "-z")[0]


def test_four_things_in_wrong_places_are_a_wrong_shape() -> None:
    # What meets its limit is said too: on the page, in the PDF and as data.
    assert (at_once(3).verdict, why(at_once(3))) == (Verdict.GO, "")
    found = at_once(4)
    assert why(found).startswith("4 things at once have no room")
    assert (found.verdict, found.urgent) == (Verdict.NO_GO, True)
    assert 'up = "-z"' in what_to_change(found)


def test_a_part_that_is_left_out_of_the_skin_is_named_before_the_axis() -> None:
    told = what_to_change(at_once(4, ("dome",)))
    assert "dome" in told
    assert "up =" not in told
