"""What a sheet that is only begun lacks, what caps a finding, and clocks beside kept tops; on paper."""

from types import SimpleNamespace

import pytest

from finial.assemble.electronics.results import BackupTimer
from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate, KnownBy, exact
from finial.findings import kept_tops
from finial.findings.finding import Amount, Subject, Verdict
from finial.findings.kept_tops import KeptTops
from finial.findings.rule import Rule, softened
from finial.findings.rules.entered_rules import _motor_fixes, entered_findings, guessed_findings
from finial.findings.rules.plausible_rules import usual_ranges

GO, CAUTION, NOT_KNOWN, NO_GO = Verdict.GO, Verdict.CAUTION, Verdict.NOT_KNOWN, Verdict.NO_GO


def begun(missing=(), canopies=("main",), igniters=("match",)):
    sheet = SimpleNamespace(
        recovery=SimpleNamespace(canopy=canopies), electronics=SimpleNamespace(igniter=igniters)
    )
    return SimpleNamespace(sheet=sheet, missing=missing)


@pytest.mark.parametrize(
    ("files", "weighed", "tables"),
    [
        (begun(), True, []),
        (begun(), False, ["material"]),
        (begun(("motor",)), True, ["motor"]),
        (begun(("launch",)), True, ["launch"]),
        (begun(canopies=()), True, ["recovery"]),
        (begun(igniters=()), True, ["electronics"]),
        (
            begun(("motor", "launch"), (), ()),
            False,
            ["material", "motor", "launch", "recovery", "electronics"],
        ),
    ],
)
def test_each_table_that_is_still_to_be_written_is_told(files, weighed, tables) -> None:
    found = entered_findings(files, weighed=weighed)
    assert [one.subject.name for one in found] == tables
    assert all(one.verdict is NOT_KNOWN and one.safety for one in found)
    assert [[fix.key for fix in one.fixes] for one in found] == [[table] for table in tables]


def fits(*, bore=True, known=4, fitting=("a", "b", "c", "d")):
    room = SimpleNamespace(across_m=0.06, is_bore=bore, depth_m=lambda across: 10.0 * across)
    return SimpleNamespace(room=room, known=known, fitting=fitting)


@pytest.mark.parametrize(("bore", "key", "thick_m"), [(True, "bore", 0.06), (False, "room", 0.03)])
def test_room_for_a_motor_is_told_with_those_that_go_in(bore, key, thick_m) -> None:
    room, fit = _motor_fixes(fits(bore=bore))
    assert (room.key, room.facts["across"].value, room.facts["deep"].value) == (key, thick_m, 10.0 * thick_m)
    # Three of them are named.
    assert (fit.key, fit.facts) == ("fit", {"known": 4, "count": 4, "named": "a, b, c"})
    assert [one.key for one in _motor_fixes(fits(fitting=()))] == ["bore", "none-fits"]
    assert [one.key for one in _motor_fixes(fits(known=0, fitting=()))] == ["bore", "no-motors"]
    assert [one.key for one in _motor_fixes(SimpleNamespace(room=None))] == ["no-room"]


def test_parts_that_are_still_guessed_are_named() -> None:
    def part(name, guessed):
        return SimpleNamespace(name=name, guessed=guessed)

    (found,) = guessed_findings([part("cap", True), part("tower", False), part("foot", True)])
    assert (found.verdict, found.subject.name) == (NOT_KNOWN, "cap, foot")
    assert guessed_findings([part("tower", False)]) == []


# ---------------------------------------------------------------------------------- rules


@pytest.mark.parametrize(
    ("verdict", "value", "cap", "softer"),
    [
        (NO_GO, None, CAUTION, CAUTION),
        (NO_GO, 1.0, NOT_KNOWN, NOT_KNOWN),
        (NOT_KNOWN, 1.0, CAUTION, CAUTION),
        (NOT_KNOWN, None, CAUTION, NOT_KNOWN),
        (GO, 1.0, CAUTION, GO),
    ],
)
def test_a_number_is_judged_no_worse_than_told_and_what_is_not_known_stays(
    verdict, value, cap, softer
) -> None:
    metres = Amount(value=0.1, dimension=Dimension.LENGTH)
    told = Rule(key="same-room", stage="inside").holds(
        verdict,
        value=None if value is None else exact(value),
        subject=Subject(name="it"),
        facts={"other": "tower", "deep": metres, "at": metres},
    )
    assert softened(told, cap).verdict is softer


def test_usual_ranges_are_read_from_the_table_low_end_first() -> None:
    ranges = usual_ranges()
    assert ranges
    assert all(one.low < one.high and one.source for one in ranges.values())


# ------------------------------------------------------------------------------------ clocks


def test_a_clock_from_lift_off_stands_beside_tops_from_ignition_whichever_way_is_worse() -> None:
    fires = Estimate(value=14.0, low=13.5, high=15.0, known_by=KnownBy.COMPUTED)
    timer = BackupTimer(
        igniter="i", set_s=14.0, fires=fires, after_top=exact(0.0), earliest_top_s=0.0, latest_top_s=0.0
    )
    tops = KeptTops(flights=200, earliest_s=11.0, middle_s=12.0, latest_s=13.0)
    found = kept_tops._beside(timer, tops, (0.2, 0.6))
    assert (found.earliest_top_s, found.latest_top_s, found.campaign) == pytest.approx((10.4, 12.8, 200))
    assert (found.after_top.low, found.after_top.value, found.after_top.high) == pytest.approx(
        (0.7, 2.4, 4.6)
    )
