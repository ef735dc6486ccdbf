"""What a sheet says of its recovery that cannot be, each let go once at either side of its limit."""

import pytest

from finial.core.units import Dimension, Quantity, parse_quantity
from finial.files.sheet_recovery import BayEntry, CordEntry, DropTestEntry, PowderChargeEntry
from finial.files.sheet_scatter import ScatterEntry
from finial.findings.finding import Finding, Verdict
from finial.findings.rules.recovery_doubts_rules import recovery_doubts_findings
from finial.report.finding_words import what_to_change

GO, CAUTION, NOT_KNOWN, NO_GO = Verdict.GO, Verdict.CAUTION, Verdict.NOT_KNOWN, Verdict.NO_GO


def with_entry(sheet, table: str, index: int, **change):
    entries = list(getattr(sheet.recovery, table))
    entries[index] = entries[index].model_copy(update=change)
    recovery = sheet.recovery.model_copy(update={table: tuple(entries)})
    return sheet.model_copy(update={"recovery": recovery})


def length(text: str) -> Quantity:
    return parse_quantity(text, Dimension.LENGTH)


def mass(text: str) -> Quantity:
    return parse_quantity(text, Dimension.MASS)


def judged(sheet, key: str) -> Finding:
    (found,) = [one for one in recovery_doubts_findings(sheet) if one.key == key]
    return found


def test_the_lighthouse_leaves_no_doubt(lighthouse) -> None:
    assert {one.verdict for one in recovery_doubts_findings(lighthouse.sheet)} == {GO}


@pytest.mark.parametrize(
    ("packed", "verdict"), [("261 mm", GO), ("258 mm", NOT_KNOWN), ("128 mm", NOT_KNOWN), ("126 mm", NO_GO)]
)
def test_a_pack_has_a_density(lighthouse, packed: str, verdict: Verdict) -> None:
    """415 g in 76 mm: 352 kg/m3 in 260 mm, 720 in 127 mm, by hand."""
    sheet = with_entry(lighthouse.sheet, "canopy", 0, packed_length=length(packed))
    found = judged(sheet, "pack-size")
    assert found.verdict is verdict
    # What is to spare of the densest pack by hand.
    assert found.margin == pytest.approx(1.0 - found.value.high / found.facts["most"].value)
    assert (found.margin >= 0.0) is (verdict is GO)


def test_a_pack_is_as_wide_as_it_says(lighthouse) -> None:
    sheet = with_entry(lighthouse.sheet, "canopy", 0, packed_across=length("70 mm"))
    assert judged(sheet, "pack-size").value.value == pytest.approx(0.415 / (3.14159265 / 4 * 0.07**2 * 0.27))
    assert judged(sheet, "pack-size").verdict is NOT_KNOWN


@pytest.mark.parametrize(
    ("weighs", "grams", "verdict"),
    [("267 g", 21, GO), ("262 g", 21, NOT_KNOWN), ("7.5 kg", 597, GO), ("7.6 kg", 605, NOT_KNOWN)],
)
def test_cloth_has_a_mass(lighthouse, weighs: str, grams: int, verdict: Verdict) -> None:
    """A flat circle of 4 m has 12.57 m2: 21 g/m2 are 264 g, 600 are 7.54 kg."""
    sheet = with_entry(lighthouse.sheet, "canopy", 0, mass=mass(weighs))
    found = judged(sheet, "canopy-cloth")
    assert (found.verdict, found.facts["grams"]) == (verdict, grams)


def test_two_first_charges_of_a_moment_are_not_known(lighthouse) -> None:
    both = with_entry(lighthouse.sheet, "charge", 1, backup_of=None)
    found = judged(both, "charge-roles")
    assert found.verdict is NOT_KNOWN
    assert "lantern charge, lantern backup charge" in what_to_change(found)
    later = PowderChargeEntry.model_validate(
        {"name": "later", "bay": "lantern bay", "powder": "0.7 g", "event": {"after_lift_off": "14 s"}}
    )
    charges = (lighthouse.sheet.recovery.charge[0], later)
    recovery = lighthouse.sheet.recovery.model_copy(update={"charge": charges})
    told = recovery_doubts_findings(lighthouse.sheet.model_copy(update={"recovery": recovery}))
    assert {one.verdict for one in told if one.key == "charge-roles"} == {GO}


@pytest.mark.parametrize(
    ("overlap", "verdict"), [("38 mm", GO), ("37 mm", CAUTION), ("19.1 mm", CAUTION), ("18.9 mm", NO_GO)]
)
def test_a_joint_overlaps_by_half_its_bay(lighthouse, overlap: str, verdict: Verdict) -> None:
    found = judged(with_entry(lighthouse.sheet, "joint", 0, shoulder=length(overlap)), "shoulder")
    assert found.verdict is verdict
    changes = [dict(fix.changes) for fix in found.fixes]
    assert changes == ([] if verdict is GO else [{"recovery.joint.lantern joint.shoulder": "38 mm"}])


def test_the_widest_bay_of_a_joint_says_how_far_it_overlaps(lighthouse) -> None:
    bay = lighthouse.sheet.recovery.bay[0]
    narrow = bay.model_copy(update={"name": "narrow", "diameter": length("40 mm")})
    wide = bay.model_copy(update={"name": "wide", "joint": "another joint", "diameter": length("200 mm")})
    slim = bay.model_copy(update={"diameter": length("40 mm")})
    for bays, verdict in (((bay, narrow, wide), CAUTION), ((slim, wide), GO)):
        recovery = lighthouse.sheet.recovery.model_copy(update={"bay": bays})
        sheet = with_entry(
            lighthouse.sheet.model_copy(update={"recovery": recovery}), "joint", 0, shoulder=length("37 mm")
        )
        assert judged(sheet, "shoulder").verdict is verdict


def test_an_overlap_that_nobody_measured_is_not_known(lighthouse) -> None:
    found = judged(with_entry(lighthouse.sheet, "joint", 0, shoulder=None), "shoulder")
    assert found.verdict is NOT_KNOWN
    assert "Measure" in what_to_change(found)


@pytest.mark.parametrize(
    ("given", "verdict"),
    [
        ({}, GO),
        ({"canopy_stays_in": "4 %", "canopy_stays_bundled": "1 %"}, GO),
        ({"canopy_stays_in": "4 %", "canopy_stays_bundled": "2 %"}, NO_GO),
        ({"canopy_stays_in": "3 % +- 3 %"}, NO_GO),
    ],
)
def test_the_builder_s_own_odds_count(lighthouse, given: dict[str, str], verdict: Verdict) -> None:
    sheet = lighthouse.sheet.model_copy(update={"scatter": ScatterEntry.model_validate(given)})
    assert judged(sheet, "own-odds").verdict is verdict


@pytest.mark.parametrize(
    ("tension", "verdict"), [("4448 N", GO), ("4500 N", NOT_KNOWN), ("24 kN", NOT_KNOWN)]
)
def test_no_cord_tears_a_lip_that_outlasts_it(lighthouse, tension: str, verdict: Verdict) -> None:
    given = {"pull_test": {"tension": tension, "bend": "90 deg"}}
    lip = BayEntry.model_fields["lip"].annotation.__args__[0].model_validate(given)
    found = judged(with_entry(lighthouse.sheet, "bay", 0, lip=lip), "pull-test-cord")
    assert found.verdict is verdict
    assert ("shock cord" in what_to_change(found)) == (verdict is not GO)


@pytest.mark.parametrize(
    ("grams", "verdict"), [(12.0, GO), (2.1, GO), (2.0, NOT_KNOWN), (440.0, GO), (450.0, NOT_KNOWN)]
)
def test_no_fibre_holds_more_than_two_newtons_a_tex(lighthouse, grams: float, verdict: Verdict) -> None:
    """1000 lbf are 4448 N: 2.2 N/tex at 2.02 g/m, 0.01 N/tex at 445 g/m."""
    heavy = Quantity(value=grams / 1000, text=f"{grams} g/m")
    found = judged(with_entry(lighthouse.sheet, "cord", 0, mass_per_length=heavy), "cord-mass")
    assert found.verdict is verdict


def test_a_cord_that_nobody_weighed_is_a_caution(lighthouse) -> None:
    cord = CordEntry.model_validate(
        {"name": "c", "joint": "lantern joint", "material": "nylon webbing 1000 lbf", "length": "10 m"}
    )
    recovery = lighthouse.sheet.recovery.model_copy(update={"cord": (cord,)})
    found = judged(lighthouse.sheet.model_copy(update={"recovery": recovery}), "cord-mass")
    assert found.verdict is CAUTION


@pytest.mark.parametrize(
    ("weighs", "verdict"), [("6.95 g", GO), ("6.85 g", NOT_KNOWN), ("3.6 g", NOT_KNOWN), ("3.3 g", NO_GO)]
)
def test_a_protector_wraps_its_pack(lighthouse, weighs: str, verdict: Verdict) -> None:
    """76 mm by 270 mm: pi 0.076 (0.27 + 0.019) = 0.069 m2, 6.9 g of a cloth of 100 g/m2; half is 3.45 g."""
    sheet = with_entry(lighthouse.sheet, "canopy", 0, protector=mass(weighs))
    assert judged(sheet, "protector-covers").verdict is verdict


def test_without_a_protector_nothing_is_said_of_its_size(lighthouse) -> None:
    sheet = with_entry(lighthouse.sheet, "canopy", 0, protector=None)
    assert "protector-covers" not in {one.key for one in recovery_doubts_findings(sheet)}


@pytest.mark.parametrize(
    ("coefficient", "verdict"), [("0.95", GO), ("0.97", NOT_KNOWN), ("2.85", NOT_KNOWN), ("2.91", NO_GO)]
)
def test_a_canopy_drags_like_its_kind(lighthouse, coefficient: str, verdict: Verdict) -> None:
    """Flat circular: 0.80 at most (Knacke, table 5-1, from memory); 0.96 with a fifth, 2.88 thrice."""
    number = parse_quantity(coefficient, Dimension.RATIO)
    sheet = with_entry(lighthouse.sheet, "canopy", 0, drag_coefficient=number)
    assert judged(sheet, "canopy-drag").verdict is verdict


@pytest.mark.parametrize(
    ("speed", "verdict"),
    [("3.3 m/s", GO), ("2.88 m/s", GO), ("2.84 m/s", NOT_KNOWN), ("2.2 m/s", NOT_KNOWN)],
)
def test_a_drop_says_more_than_a_table_but_not_everything(lighthouse, speed: str, verdict: Verdict) -> None:
    """8.2 kg under 12.57 m2: 2 m g / (rho v2 S) is 0.96 at 3.3 m/s and 2.16 at 2.2 m/s; 1.28 is believed."""
    drop = DropTestEntry.model_validate({"mass": "8.2 kg", "speed": speed})
    sheet = with_entry(lighthouse.sheet, "canopy", 0, drop_test=drop)
    assert judged(sheet, "canopy-drag").verdict is verdict


@pytest.mark.parametrize(
    ("count", "odds", "verdict"),
    [
        ("fails_open", "5 %", GO),
        ("fails_open", "6 %", NO_GO),
        ("fails_open", "4 % +- 2 %", NO_GO),
        ("fails_closed", "2 %", GO),
        ("fails_closed", "2.1 %", NO_GO),
        ("fails_closed", "1 % +- 1.1 %", NO_GO),
    ],
)
def test_own_counts_of_a_switch_are_believed(lighthouse, count: str, odds: str, verdict: Verdict) -> None:
    first, *others = lighthouse.sheet.electronics.switch
    counted = first.model_copy(update={count: parse_quantity(odds, Dimension.RATIO)})
    electronics = lighthouse.sheet.electronics.model_copy(update={"switch": (counted, *others)})
    found = judged(lighthouse.sheet.model_copy(update={"electronics": electronics}), "switch-odds")
    assert (found.verdict, found.subject.name) == (verdict, "switch A")


def test_the_worst_count_of_all_switches_is_judged(lighthouse) -> None:
    switches = [
        one.model_copy(update={"fails_open": parse_quantity(odds, Dimension.RATIO)})
        for one, odds in zip(lighthouse.sheet.electronics.switch[:2], ("2 %", "6 %"), strict=True)
    ]
    electronics = lighthouse.sheet.electronics.model_copy(update={"switch": tuple(switches)})
    found = judged(lighthouse.sheet.model_copy(update={"electronics": electronics}), "switch-odds")
    assert (found.verdict, found.subject.name) == (NO_GO, switches[1].name)


def test_a_cord_of_another_joint_pulls_at_no_lip(lighthouse) -> None:
    given = {"pull_test": {"tension": "4500 N", "bend": "90 deg"}}
    lip = BayEntry.model_fields["lip"].annotation.__args__[0].model_validate(given)
    sheet = with_entry(lighthouse.sheet, "bay", 0, lip=lip)
    cord = sheet.recovery.cord[0].model_copy(update={"name": "other", "joint": "another joint"})
    recovery = sheet.recovery.model_copy(update={"cord": (*sheet.recovery.cord, cord)})
    found = judged(sheet.model_copy(update={"recovery": recovery}), "pull-test-cord")
    assert found.facts["cord"] == "shock cord"


@pytest.mark.parametrize(
    ("stuff", "shot", "verdict"),
    [
        ("G10", False, Verdict.GO),
        ("PLA", True, Verdict.CAUTION),
        ("PLA", False, Verdict.NOT_KNOWN),
        ("PETG", False, Verdict.NOT_KNOWN),
        ("acrylic", True, Verdict.NOT_KNOWN),
        ("steel", False, Verdict.GO),
    ],
)
def test_a_charge_burns_against_no_plastic_that_nobody_tried(
    lighthouse, stuff: str, shot: bool, verdict: Verdict
) -> None:
    recovery = lighthouse.sheet.recovery
    bay = recovery.bay[0].model_copy(update={"material": stuff})
    tests = () if not shot else recovery.charge[0].ground_test
    charges = tuple(one.model_copy(update={"ground_test": tests}) for one in recovery.charge)
    changed = recovery.model_copy(update={"bay": (bay,), "charge": charges})
    found = recovery_doubts_findings(lighthouse.sheet.model_copy(update={"recovery": changed}))
    assert [one.verdict for one in found if one.key == "bay-wall-stuff"] == [verdict]


def test_a_wall_that_is_not_told_is_asked_for_elsewhere_and_no_go_here(lighthouse) -> None:
    recovery = lighthouse.sheet.recovery
    untold = recovery.model_copy(update={"bay": (recovery.bay[0].model_copy(update={"material": None}),)})
    found = recovery_doubts_findings(lighthouse.sheet.model_copy(update={"recovery": untold}))
    assert [one for one in found if one.key == "bay-wall-stuff"] == []
