"""Strength rules: every verdict, what shares a cause, fixes with their numbers, and words for everything."""

import re
from collections.abc import Mapping
from dataclasses import replace
from itertools import pairwise

import pytest

from finial.assemble.strength.results import HeatCase, Place
from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate, KnownBy, exact
from finial.findings.finding import Finding, Verdict
from finial.findings.limits import Limits
from finial.findings.rules.strength_fixes import reserve_fixes
from finial.findings.rules.strength_rules import (
    WARM_PLASTIC,
    heat_findings,
    reserve_finding,
    reserve_findings,
    worst_rows,
)
from finial.findings.same_check import check_of
from finial.report.finding_words import limit, title, what_to_change, why
from finial.structure.loads.case import Case, Half, Load
from finial.structure.reserves import Because, FailureMode, Reserve

LIMITS = Limits(own={})
GO, CAUTION, NOT_KNOWN, NO_GO = Verdict.GO, Verdict.CAUTION, Verdict.NOT_KNOWN, Verdict.NO_GO
THRUST, LANDING, LATE = (Case(load=load) for load in (Load.MAX_THRUST, Load.LANDING, Load.CORD_PULLS_LATE))
CRUSHED, WRINKLES = FailureMode.WALL_CRUSHED, FailureMode.WALL_WRINKLES


def between(low: float, high: float, known_by: KnownBy = KnownBy.COMPUTED) -> Estimate:
    return Estimate(value=(low + high) / 2, low=low, high=high, known_by=known_by)


def row(
    value: Estimate | None = None,
    mode: FailureMode = CRUSHED,
    case: Case | None = THRUST,
    *,
    left: float = 1.0,
    because: Because | None = None,
    numbers: Mapping[str, float] | None = None,
) -> Reserve:
    return Reserve(
        mode=mode,
        station_m=0.5,
        dimension=Dimension.PRESSURE,
        load=exact(1e6),
        strength=exact(2e6),
        reserve=value,
        subject="tower",
        case=case,
        because=because,
        numbers=numbers or {},
        warmth_left=left,
    )


def judged(*rows: Reserve) -> dict[str, Finding]:
    found = reserve_findings(rows, LIMITS)
    assert len({finding.key for finding in found}) == len(found)
    return {finding.key: finding for finding in found}


@pytest.mark.parametrize(
    ("low", "high", "told"),
    [(-5e6, 23e6, "Loaded to 1 MPa (anything up to 23)"), (0.7e6, 1.4e6, "Loaded to 1.0 MPa (0.7 to 1.4)")],
)
def test_a_load_of_the_other_sign_loads_by_nothing(low: float, high: float, told: str) -> None:
    load = Estimate(value=1e6, low=low, high=high, known_by=KnownBy.COMPUTED)
    loaded = replace(row(between(1.0, 2.0)), load=load)
    assert told in why(reserve_finding(loaded, [loaded], LIMITS))


@pytest.mark.parametrize(
    ("value", "verdict"),
    [
        (between(1.5, 2.0), GO),
        (between(1.4999, 2.0), NO_GO),
        (between(1.2, 1.6, KnownBy.ASSUMED), NOT_KNOWN),
        (between(1.2, 1.4, KnownBy.ASSUMED), NO_GO),
        (None, NOT_KNOWN),
    ],
)
def test_a_reserve_in_flight(value: Estimate | None, verdict: Verdict) -> None:
    found = judged(row(value))["wall-crushed"]
    assert found.verdict is verdict
    assert found.safety
    assert limit(found) == "at least 1.5"
    assert found.subject.name == "tower"
    assert found.subject.station_m == 0.5


def test_the_builders_own_limit_counts() -> None:
    limits = Limits(own={"reserve": 1.25, "flutter_ratio": 2.0})
    (found,) = reserve_findings([row(between(1.3, 1.4))], limits)
    assert found.verdict is GO
    (found,) = reserve_findings([row(between(1.9, 2.4), FailureMode.FIN_FLUTTERS_BY_MODES)], limits)
    assert found.verdict is NO_GO


def test_flutter_by_modes_is_judged_by_its_own_ratio() -> None:
    found = judged(
        row(between(1.3, 1.6), FailureMode.FIN_FLUTTERS_BY_MODES),
        row(between(1.3, 1.6), FailureMode.FIN_FLUTTERS),
    )
    assert found["fin-flutters-by-modes"].verdict is GO
    assert found["fin-flutters"].verdict is NO_GO
    assert "CS-25" in found["fin-flutters-by-modes"].bound.source


def test_the_worst_case_of_a_kind_is_the_one_that_is_judged() -> None:
    pull = Case(load=Load.CORD_PULLS, subject="shock cord", half=Half.AFT)
    found = judged(row(between(3.0, 4.0)), row(between(1.0, 1.2), case=pull))["wall-crushed"]
    assert found.verdict is NO_GO
    assert title(found) == "wall of tower crushed, shock cord pulls the aft half"


def test_what_is_not_known_does_not_hide_what_fails() -> None:
    found = reserve_findings([row(None), row(between(0.5, 0.8))], LIMITS)
    assert sorted(finding.verdict for finding in found) == [NOT_KNOWN, NO_GO]


@pytest.mark.parametrize(("case", "key"), [(LANDING, "holds-on-the-ground"), (LATE, "holds-off-time")])
def test_what_ends_no_flight_on_time_is_one_caution(case: Case, key: str) -> None:
    rows = (
        row(between(0.4, 0.6), case=case),
        row(between(0.2, 0.6), FailureMode.ROD_PULLED, case),
        row(between(0.3, 9.0, KnownBy.ASSUMED), WRINKLES, case),
        row(between(5.0, 6.0), FailureMode.WALL_SHEARED, case),
    )
    found = judged(*rows)
    assert list(found) == [key]
    assert found[key].verdict is CAUTION
    assert found[key].value == between(0.2, 0.6)
    assert "Worst: rods pulled." in why(found[key])
    assert "Also: wall of tower crushed; wall of tower wrinkles." in why(found[key])
    assert found[key].safety is (case is LATE)
    assert judged(row(between(1.5, 2.0), case=case))[key].verdict is GO


@pytest.mark.parametrize("case", [THRUST, LANDING, LATE])
@pytest.mark.parametrize("known_by", [KnownBy.COMPUTED, KnownBy.ASSUMED])
@pytest.mark.parametrize("mode", [CRUSHED, WRINKLES])
def test_a_worse_number_never_gets_a_milder_verdict(case: Case, known_by: KnownBy, mode: FailureMode) -> None:
    holds = row(between(2.0, 3.0), FailureMode.WALL_COLLAPSES, case)
    verdicts = []
    for low in (3.0, 1.6, 1.4, 1.1, 0.9, 0.5, 0.1, 0.0):
        (found,) = (
            one
            for one in reserve_findings(
                [row(between(low, 1.5 * low + 0.3, known_by), mode, case), holds], LIMITS
            )
            if one.key != "wall-collapses"
        )
        verdicts.append(found.verdict)
    assert all(worse >= better for better, worse in pairwise(verdicts))


@pytest.mark.parametrize(
    ("wrinkles", "collapses", "verdict"),
    [
        (between(1.0, 1.2), between(1.5, 2.0), CAUTION),
        (between(0.99, 1.2), between(1.5, 2.0), NO_GO),
        (between(1.0, 1.2), between(1.49, 2.0), NO_GO),
        (between(1.5, 2.0), between(1.4, 2.0), GO),
    ],
)
def test_a_wall_that_wrinkles_carries_on_where_it_collapses_late(wrinkles, collapses, verdict) -> None:
    found = judged(row(wrinkles, WRINKLES), row(collapses, FailureMode.WALL_COLLAPSES))["wall-wrinkles"]
    assert found.verdict is verdict
    assert ("carrying" in why(found)) is (verdict is CAUTION)


def test_the_collapse_must_be_of_the_same_case() -> None:
    other = row(between(2.0, 3.0), FailureMode.WALL_COLLAPSES, Case(load=Load.MAX_SPEED))
    assert judged(row(between(1.0, 1.2), WRINKLES), other)["wall-wrinkles"].verdict is NO_GO


def test_all_that_only_warmth_brings_about_is_one_finding() -> None:
    rows = [row(between(0.5, 0.9), mode, left=0.3) for mode in (CRUSHED, WRINKLES, FailureMode.WALL_SHEARED)]
    rows.append(row(between(0.4, 0.9), FailureMode.WALL_PULLED, left=0.25))
    found = judged(*rows)
    assert list(found) == ["holds-when-warm"]
    warm = found["holds-when-warm"]
    assert (warm.verdict, warm.cause) == (NO_GO, WARM_PLASTIC)
    assert warm.value == between(0.4, 0.9)
    assert "25 %" in why(warm)
    assert "1.6" in why(warm)
    for gives in ("crushed", "wrinkles", "sheared along its layers"):
        assert f"wall of tower {gives}" in why(warm).partition("Also: ")[2]
    assert why(judged(*rows[:2])["holds-when-warm"]).count("Also:") == 1
    assert "it would hold in a cool room" in what_to_change(warm)


@pytest.mark.parametrize(
    ("place", "low", "plastic"),
    [(Place.CAR, -7.0, "ABS"), (Place.MOTOR, -30.0, "PC"), (Place.MOTOR, -90.0, None)],
)
def test_a_plastic_that_is_still_hard_there_is_advised_as_a_change(place, low: float, plastic) -> None:
    """PETG softens at 75 to 85 degC, ABS at 102 to 112, ASA at 95 to 106, PC at 110 to 150: printed.csv."""
    softens = Estimate(value=353.0, low=348.15, high=358.0, known_by=KnownBy.HANDBOOK)
    left = Estimate(value=10.0, low=low, high=35.0, known_by=KnownBy.ASSUMED)
    case = HeatCase(part="tower", place=place, temperature=exact(330.0), softens=softens, margin=left)
    found = next(one for one in heat_findings([case]) if one.key == "warm-part")
    changes = [fix.changes for fix in found.fixes if fix.changes]
    assert changes == ([{"part.tower.material": plastic}] if plastic else [])
    assert (f"printed in {plastic}, tower stays hard." in what_to_change(found)) is (plastic is not None)


def test_what_would_fail_cold_too_stands_for_itself() -> None:
    found = judged(row(between(0.5, 0.9), left=0.34), row(between(0.5, 0.9), WRINKLES, left=0.33))
    assert set(found) == {"wall-crushed", "holds-when-warm"}
    assert judged(row(between(1.5, 2.0), left=0.3)).keys() == {"wall-crushed"}


def test_a_go_of_a_cool_part_is_not_shown_beside_a_warm_one_that_fails() -> None:
    found = judged(row(between(0.5, 0.9), left=0.3), row(between(1.8, 2.0)))
    assert list(found) == ["holds-when-warm"]
    failing = judged(row(between(0.5, 0.9), left=0.3), row(between(1.2, 1.3)))
    assert set(failing) == {"wall-crushed", "holds-when-warm"}


def test_a_thing_made_thicker_is_named_where_a_finding_is_of_more_than_that() -> None:
    """Advice that was worked out for the floor says so, and is one check with whatever gives next."""
    floor = row(between(0.9, 9.0), FailureMode.PLATE_BREAKS, LATE, numbers={"thick": 0.009})
    (found,) = judged(floor).values()
    assert [fix.key for fix in found.fixes] == ["thicker"]
    assert what_to_change(found) == "It takes tower 1.4 times as thick."
    (other,) = judged(replace(floor, subject="bulkhead")).values()
    assert found.subject != other.subject
    assert check_of(found) == check_of(other)
    crushed = (judged(replace(row(between(0.9, 9.0)), subject=name))["wall-crushed"] for name in ("a", "b"))
    assert check_of(next(crushed)) != check_of(next(crushed))


def test_worst_rows_keep_occasions_apart() -> None:
    rows = [row(between(low, 9.0), case=case) for low in (2.0, 1.0) for case in (THRUST, LANDING, LATE)]
    lows = [one.reserve.low for one in worst_rows(rows) if one.reserve]
    assert lows == [1.0, 1.0, 1.0]


def test_what_the_sheet_does_not_say_it_says_on_no_occasion() -> None:
    """What a cord is tied to is one question, on its time and off it."""
    unsaid = [row(None, FailureMode.EYE_UNSAID, case) for case in (LATE, THRUST, LANDING)]
    told = worst_rows(unsaid)
    assert [one.case for one in told] == [THRUST]
    assert [one.case for one in worst_rows(unsaid[::2])] == [LATE]


@pytest.mark.parametrize(
    ("mode", "low", "limit_is", "times"),
    [
        # Onset of wrinkling goes with the cube of the wall at one force: (2 x 1.05) ** (1 / 3).
        (WRINKLES, 0.75, 1.5, 1.3),
        (WRINKLES, 0.3, 1.5, 1.8),
        # Effective width, Euler between supports, bending of plates: the square root.
        (FailureMode.WALL_COLLAPSES, 0.75, 1.5, 1.5),
        (FailureMode.ROD_BUCKLES, 0.75, 1.5, 1.5),
        (FailureMode.FIN_BREAKS, 1.0, 1.5, 1.3),
        (FailureMode.WALL_PRESSED, 0.75, 1.5, 1.5),
        (FailureMode.WASHER_SINKS, 0.75, 1.5, 1.5),
        (FailureMode.THRUST_PLATE_BREAKS, 0.75, 1.5, 1.5),
        (FailureMode.STAY_BREAKS, 0.75, 1.5, 1.5),
        # Flutter speed goes with thickness to the power 3 / 2.
        (FailureMode.FIN_FLUTTERS_BY_MODES, 1.0, 1.25, 1.2),
        (FailureMode.FIN_FLUTTERS_BY_MODES, 0.4, 1.25, 2.3),
        (FailureMode.FIN_FLUTTERS, 0.75, 1.5, 1.7),
        (CRUSHED, 0.75, 1.5, 2.1),
        (FailureMode.WALL_PULLED, 0.75, 1.5, 2.1),
        (FailureMode.WALL_SHEARED, 0.75, 1.5, 2.1),
        (FailureMode.JOINT_OPENS, 0.75, 1.5, 2.1),
        (FailureMode.ROD_PULLED, 0.75, 1.5, 2.1),
        (FailureMode.ROD_STRIPS, 0.75, 1.5, 2.1),
        (FailureMode.NUT_PULLS_THROUGH, 0.75, 1.5, 2.1),
        (FailureMode.DOWELS_SHEAR, 0.75, 1.5, 2.1),
        (FailureMode.MOTOR_TUBE_LETS_GO, 0.75, 1.5, 2.1),
        (FailureMode.MOTOR_LEAVES, 0.75, 1.5, 2.1),
        (FailureMode.FIN_ROOT_LETS_GO, 0.75, 1.5, 2.1),
        (FailureMode.STAY_SLACKENS, 0.75, 1.5, 2.1),
        (FailureMode.PLATE_BREAKS, 0.75, 1.5, 1.5),
        (FailureMode.PLATE_LETS_GO, 0.75, 1.5, 2.1),
        (FailureMode.EYE_BREAKS, 0.75, 1.5, 2.1),
        (FailureMode.EYE_SINKS, 0.75, 1.5, 1.5),
        (FailureMode.EYE_PULLS_THROUGH, 0.75, 1.5, 2.1),
    ],
)
def test_fixes_carry_the_number_that_the_formula_of_each_gives(mode, low, limit_is, times) -> None:
    (fix,) = reserve_fixes(row(exact(low), mode), limit_is)
    assert fix.key == "change"
    assert fix.facts["times"].value == pytest.approx(times)
    finding = reserve_finding(
        row(exact(low), mode, numbers={"stay": 1.0}), [], Limits(own={"reserve": limit_is})
    )
    assert f"{times:g}" in what_to_change(finding)


def test_much_more_of_the_same_is_no_fix() -> None:
    just = 1.5 * 1.05 / 5.0
    assert reserve_fixes(row(exact(1.001 * just)), 1.5)[0].key == "change"
    assert reserve_fixes(row(exact(0.99 * just)), 1.5)[0].key == "too-much"
    assert reserve_fixes(row(exact(0.0)), 1.5)[0].key == "layout"
    # A low end of nothing under a value that holds is no layout: too little is known.
    assert reserve_fixes(row(between(0.0, 2.9)), 1.5)[0].key == "layout"
    assert reserve_fixes(row(between(0.0, 3.1)), 1.5)[0].key == "measure-first"
    assert reserve_fixes(row(exact(0.1), FailureMode.BAY_BURSTS), 1.5)[0].key == "change"


@pytest.mark.parametrize(
    ("low", "wanted"), [(0.75, "7 mm"), (0.09, "18 mm"), (0.0463, "25 mm"), (0.041, None)]
)
def test_a_plate_is_made_as_thick_as_its_formula_gives_in_whole_millimetres(low, wanted) -> None:
    # 4.2 mm by (1.5 / low x 1.05) ** 0.5, up to 25 mm: 6.1, 17.6, 24.5 and 26.0 mm.
    (fix,) = reserve_fixes(
        row(exact(low), FailureMode.PLATE_BREAKS, numbers={"thick": 0.0042, "sag": 0.0003}), 1.5
    )
    assert fix.changes == ({"item.tower.length": wanted} if wanted else {})
    assert fix.key == ("change" if wanted else "too-much")


def test_what_is_not_known_says_what_to_enter() -> None:
    layers = reserve_findings(
        [row(None, FailureMode.WALL_PULLED, None, because=Because.LAYERS_UNKNOWN)], LIMITS
    )
    assert "across" in what_to_change(layers[0])
    assert title(layers[0]).endswith("every case")
    drawn = reserve_findings(
        [row(None, FailureMode.FIN_FLUTTERS, None, because=Because.MATERIAL_UNSAID)], LIMITS
    )
    assert "made of" in what_to_change(drawn[0])
    stayed = reserve_findings(
        [row(None, FailureMode.FIN_FLUTTERS, None, because=Because.STAYS_UNSEEN)], LIMITS
    )
    assert "plate elements" in what_to_change(stayed[0])


NUMBERS = {"stay": 2.0, "hz": 81.6, "shift": 0.004, "nozzle": 0.0004, "sag": 0.0003}
NEVER_A_NUMBER = {
    FailureMode.JOINT_UNHELD,
    FailureMode.ROD_LOOSE,
    FailureMode.ROD_ENDS_NOWHERE,
    FailureMode.ROD_END_UNSAID,
    FailureMode.THRUST_UNSAID,
    FailureMode.EYE_UNSAID,
}
NEVER_UNKNOWN = set(FailureMode) - {
    *NEVER_A_NUMBER,
    FailureMode.WALL_PULLED,
    FailureMode.FIN_FLUTTERS,
    FailureMode.MOTOR_LEAVES,
    FailureMode.BAY_BURSTS,
    FailureMode.PLATE_BREAKS,
    FailureMode.PLATE_LETS_GO,
    FailureMode.STAY_ANCHOR_LETS_GO,
}


@pytest.mark.parametrize("mode", FailureMode)
@pytest.mark.parametrize("case", [None, *(Case(load=load, subject="it", half=Half.FORE) for load in Load)])
def test_every_way_to_fail_has_words_in_every_case(mode: FailureMode, case: Case | None) -> None:
    values = [] if mode in NEVER_A_NUMBER else [exact(0.0), exact(0.01), exact(1.0), exact(2.0)]
    values += [] if mode in NEVER_UNKNOWN else [None]
    for value in values:
        for because in (None, *Because):
            one = row(value, mode, case, because=because, numbers=NUMBERS)
            for found in (reserve_finding(one, [one], LIMITS), *reserve_findings([one], LIMITS)):
                told = (title(found), limit(found), why(found), what_to_change(found))
                assert not re.search(r"\{\w*\}", "".join(told))
                assert title(found)
                assert bool(what_to_change(found)) is (found.verdict is not GO)


def heat(
    low: float, high: float, place: Place = Place.SUN, part: str = "dome", white_k: float = 0.0
) -> HeatCase:
    return HeatCase(
        part=part,
        place=place,
        temperature=exact(320.0),
        softens=exact(350.0),
        margin=between(low, high),
        white_cools_k=white_k,
    )


@pytest.mark.parametrize(
    ("margin_k", "in_the_sun", "elsewhere"),
    [
        ((0.0, 25.0), GO, GO),
        ((-0.1, 25.0), CAUTION, CAUTION),
        ((-25.0, 25.0), CAUTION, CAUTION),
        ((-25.2, 25.0), NO_GO, CAUTION),
    ],
)
def test_heat(margin_k: tuple[float, float], in_the_sun: Verdict, elsewhere: Verdict) -> None:
    (found,) = heat_findings([heat(*margin_k)])
    assert (found.verdict, found.cause) == (in_the_sun, WARM_PLASTIC)
    for place in (Place.CAR, Place.MOTOR):
        _, warm = heat_findings([heat(*margin_k, place)])
        assert warm.verdict is elsewhere


def test_the_part_that_softens_first_is_the_one_that_is_told() -> None:
    (found,) = heat_findings([heat(5.0, 9.0), heat(-2.0, 4.0, part="tower"), heat(1.0, 9.0, part="tail")])
    assert title(found) == "tower in the sun, left to softening"
    assert "46.9 degC" in why(found)
    assert "76.9 degC" in why(found)


def test_white_paint_is_told_where_it_helps() -> None:
    assert "White paint keeps it about 12 K cooler" in what_to_change(
        heat_findings([heat(-2.0, 4.0, white_k=12.2)])[0]
    )
    assert "White paint" in what_to_change(heat_findings([heat(-2.0, 4.0, white_k=3.1)])[0])
    assert "White paint" not in what_to_change(heat_findings([heat(-2.0, 4.0, white_k=3.0)])[0])


def test_a_part_is_flagged_ten_kelvin_below_its_softening() -> None:
    assert {
        one.facts["below"].value for one in heat_findings([heat(1.0, 2.0), heat(1.0, 2.0, Place.CAR)])
    } == {10.0}


def test_a_vehicle_of_which_nothing_softens_is_told_so() -> None:
    (found,) = heat_findings([])
    assert found.verdict is GO
    assert "Nothing of the outside" in why(found)


def test_the_weakest_of_several_collapses_decides_whether_a_wrinkled_wall_carries_on() -> None:
    late, early = (row(one, FailureMode.WALL_COLLAPSES) for one in (between(2.0, 3.0), between(1.2, 3.0)))
    wrinkled = row(between(1.0, 1.2), WRINKLES)
    assert judged(wrinkled, late)["wall-wrinkles"].verdict is CAUTION
    assert judged(wrinkled, late, early)["wall-wrinkles"].verdict is NO_GO
