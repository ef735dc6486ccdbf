"""Rules on records of a few numbers each: what makes one speak, and what keeps it still."""

import math
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest

from finial.core.errors import OutsideRange
from finial.core.estimates import KnownBy, exact, spread
from finial.core.units import Quantity
from finial.findings import ends, mending, range_stage
from finial.findings.finding import Finding, Subject, Verdict
from finial.findings.limits import Limits
from finial.findings.rules import build_rules, range_rules, shape_rules
from finial.findings.rules.recovery_parts_rules import LINES
from finial.findings.rules.stability_rules import stability_findings
from finial.shape.turned import Turn


def point(moment: str, margin_m: float) -> Any:
    return SimpleNamespace(
        moment=moment,
        margin=spread(margin_m, 0.01, known_by=KnownBy.COMPUTED),
        width_m=0.2,
        length_m=0.8,
        moment_slope=exact(1.0),
        by_moment=False,
    )


def test_the_moment_with_the_least_margin_says_that_the_shape_is_short() -> None:
    found = stability_findings((point("rail-exit", 0.05), point("burnout", 0.3)), Limits(own={}))
    assert [(one.subject.case, "short-and-fat" in one.reasons) for one in found] == [
        ("rail-exit", True),
        ("burnout", False),
    ]


@pytest.mark.parametrize(
    ("share", "steadiness", "verdict"),
    [(0.5, 0.9, Verdict.NOT_KNOWN), (0.1, 0.9, Verdict.GO), (0.5, 0.5, Verdict.GO)],
)
def test_a_screw_turns_one_way_along_a_good_part_of_the_body(
    monkeypatch: pytest.MonkeyPatch, share: float, steadiness: float, verdict: Verdict
) -> None:
    turn = Turn(angle_rad=math.radians(40.0), steadiness=steadiness, share=share)
    monkeypatch.setattr(shape_rules, "turn_of", lambda _skin: turn)
    shape: Any = SimpleNamespace(skin=SimpleNamespace(bridged_share=0.0), open_parts=(), mesh_notes=())
    monkeypatch.setattr(shape_rules, "_meshes", lambda _shape, _floating: [])
    (found,) = shape_rules.shape_findings(shape)
    assert found.verdict is verdict


@pytest.mark.parametrize("buttons_m", [(0.6, 1.1), (1.1, 0.6), (1.1, 0.8, 0.6)])
@pytest.mark.parametrize(("joint_m", "between"), [(0.5, False), (0.7, True), (1.0, True), (1.2, False)])
def test_a_joint_between_the_buttons_bends_on_the_rail(
    buttons_m: tuple[float, ...], joint_m: float, between: bool
) -> None:
    guide = SimpleNamespace(buttons=[SimpleNamespace(value=one) for one in buttons_m])
    joint = SimpleNamespace(name="waist", station=SimpleNamespace(value=joint_m))
    sheet: Any = SimpleNamespace(guide=guide, recovery=SimpleNamespace(joint=(joint,)))
    (found,) = build_rules._across_joint(sheet)
    assert (found.verdict is Verdict.CAUTION) == between
    assert found.facts["joints"] == ("waist" if between else "")
    nowhere: Any = SimpleNamespace(guide=None)
    assert build_rules._across_joint(nowhere) == []


@pytest.mark.parametrize(
    ("rules", "airspace", "by", "verdict"),
    [
        ((), None, "", Verdict.GO),
        ((), "E", "", Verdict.GO),
        (("cloud",), "G", "", Verdict.GO),
        (("cloud",), None, "", Verdict.NOT_KNOWN),
        (("cloud",), "E", "", Verdict.NO_GO),
        (("cloud",), "E", "the tower", Verdict.CAUTION),
    ],
)
def test_controlled_air_needs_whoever_allows_it_where_rules_are_known(
    rules: tuple[str, ...], airspace: str | None, by: str, verdict: Verdict
) -> None:
    place: Any = SimpleNamespace(airspace_rules=rules, airspace=airspace, authorised_by=by)
    assert range_rules._airspace(place).verdict is verdict


@pytest.mark.parametrize(("off_deg", "count"), [(0.0, 1), (4.0, 3), (5.0, 3), (6.0, 5), (180.0, 73)])
def test_bearings_of_people_stand_five_degrees_apart_at_most_with_the_told_one_amid(
    off_deg: float, count: int
) -> None:
    off, told = math.radians(off_deg), math.radians(90.0)
    found = range_stage._bearings_rad(Quantity(value=told, tolerance=off, text="90 deg"))
    assert (len(found), found[0], found[count // 2], found[-1]) == pytest.approx(
        (count, told - off, told, told + off)
    )


def test_an_end_at_which_nothing_can_be_computed_is_told_as_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    def never(_vehicle: object) -> list[Finding]:
        raise OutsideRange("no such vehicle")

    number: Any = SimpleNamespace(
        told=SimpleNamespace(
            number=SimpleNamespace(text="1 m +- 2 m"), owner="rail", key="length", place="rail"
        ),
        reach=2.0,
        as_usual=False,
    )
    monkeypatch.setattr(ends, "_with_ends", lambda vehicle, loose, sign: vehicle)
    monkeypatch.setattr(ends, "loose_numbers", lambda _sheet: [number])
    vehicle: Any = SimpleNamespace(sheet=None)
    (alone,) = ends.end_findings(vehicle, (), (), look=never, look_long=never)
    (together,) = ends.end_findings(vehicle, (), (), look=lambda _: [], look_long=lambda _: [])
    assert (alone.verdict, alone.facts["check"], alone.facts["end"]) == (
        Verdict.NOT_KNOWN,
        ends.REFUSED,
        "low",
    )
    assert (alone.reasons, together.verdict) == (("refused",), Verdict.GO)
    both = ends.end_findings(vehicle, (), (), look=lambda _: [], look_long=never)
    assert [(one.facts["check"], one.facts["end"]) for one in both] == [
        ("refused", "low"),
        ("refused", "high"),
    ]


@pytest.mark.parametrize(
    ("verdict", "margin", "short"),
    [
        (Verdict.NO_GO, -0.5, 1.6),
        (Verdict.NO_GO, -20.0, 11.1),
        # Forbidden though its number meets the limit, or has none: as much as a whole limit is missing.
        (Verdict.NO_GO, 0.0, 2.0),
        (Verdict.NO_GO, 0.5, 2.0),
        (Verdict.NO_GO, None, 2.0),
        (Verdict.NOT_KNOWN, -0.5, 0.6),
        # What lacks a test alone is nothing that a size would mend.
        (Verdict.NOT_KNOWN, 0.5, 0.0),
    ],
)
def test_how_far_a_finding_is_from_met(verdict: Verdict, margin: float | None, short: float) -> None:
    failed = LINES.at_least(exact(1.0), 2.0, subject=Subject(name="main"))
    assert mending._short(replace(failed, verdict=verdict, margin=margin)) == pytest.approx(short)
