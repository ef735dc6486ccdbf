"""Recovery rules: every verdict they can give is reached by one changed number."""

from dataclasses import replace

import pytest

from finial.assemble.recovery.results import EarlyOpening, OtherOpening
from finial.core.estimates import Estimate, KnownBy, exact
from finial.findings.finding import Finding, Verdict
from finial.findings.limits import Limits
from finial.findings.rules.recovery_parts_rules import recovery_parts_findings
from finial.findings.rules.recovery_rules import USUAL_SCREW, recovery_findings
from finial.recovery.packs.packing import Fit
from finial.report.finding_words import title, what_to_change, why

LIMITS = Limits(own={})
GO, CAUTION, NOT_KNOWN, NO_GO = Verdict.GO, Verdict.CAUTION, Verdict.NOT_KNOWN, Verdict.NO_GO


def between(low: float, high: float, known_by: KnownBy = KnownBy.COMPUTED) -> Estimate:
    return Estimate(value=(low + high) / 2, low=low, high=high, known_by=known_by)


def named(findings: list[Finding], words: str) -> Finding:
    (found,) = [finding for finding in findings if words in title(finding)]
    return found


@pytest.mark.parametrize(
    ("name", "change", "verdict"),
    [
        ("landing speed", {"landing_speed": between(5.0, 6.0)}, GO),
        ("landing speed", {"landing_speed": between(5.0, 7.0)}, NO_GO),
        ("landing speed", {"landing_speed": between(5.0, 7.0, KnownBy.ASSUMED)}, NOT_KNOWN),
        ("landing speed", {"landing_speed": None}, NOT_KNOWN),
    ],
)
def test_landing(answered, name: str, change: dict, verdict: Verdict) -> None:
    found = recovery_findings(replace(answered.recovery, **change), LIMITS)
    assert named(found, name).verdict is verdict


@pytest.mark.parametrize(
    ("energy", "verdict"), [(between(50.0, 100.0), GO), (between(50.0, 120.0), CAUTION), (None, NOT_KNOWN)]
)
def test_landing_energy_alone_is_at_most_a_caution(
    answered, energy: Estimate | None, verdict: Verdict
) -> None:
    recovery = replace(answered.recovery, landing_energy=energy, landings=())
    assert named(recovery_findings(recovery, LIMITS), "landing energy").verdict is verdict


@pytest.mark.parametrize(
    ("energy", "verdict"),
    [
        (between(50.0, 95.0), GO),
        (between(50.0, 105.0), CAUTION),
        (between(500.0, 900.0), CAUTION),
        (between(50.0, 105.0, KnownBy.ASSUMED), CAUTION),
    ],
)
def test_what_the_wind_adds_to_the_landing_is_at_most_a_caution(answered, energy, verdict: Verdict) -> None:
    """The usual limit is 100 J; the rule that it comes from counts the fall alone."""
    last = replace(answered.recovery.landings[-1], with_wind=energy)
    recovery = replace(answered.recovery, landings=(*answered.recovery.landings[:-1], last))
    (found,) = [one for one in recovery_findings(recovery, LIMITS) if one.key == "landing-energy-in-wind"]
    assert found.verdict is verdict


@pytest.mark.parametrize(
    ("change", "verdict"),
    [
        ({"force_on_joint": between(700.0, 800.0)}, GO),
        ({"force_on_joint": between(200.0, 220.0)}, NO_GO),
        ({"force_on_joint": between(200.0, 900.0, KnownBy.ASSUMED)}, NOT_KNOWN),
        ({"powder": None}, NOT_KNOWN),
    ],
)
def test_a_charge(answered, change: dict, verdict: Verdict) -> None:
    # The joint of Skerry Light resists 268 N at most; a quarter over that is 335 N.
    charge = replace(answered.recovery.charges[0], resistance=between(153.0, 268.0), **change)
    found = recovery_findings(replace(answered.recovery, charges=(charge,)), LIMITS)
    assert named(found, "opens lantern bay").verdict is verdict
    assert "ground-test" in why(named(found, "opens lantern bay"))


@pytest.mark.parametrize(("hold", "verdict"), [(between(140.0, 240.0), GO), (between(60.0, 80.0), NO_GO)])
def test_pins_hold_until_the_charge(answered, hold: Estimate, verdict: Verdict) -> None:
    # Half again over an early pull of 60 N is 90 N.
    charge = replace(answered.recovery.charges[0], pins_hold=hold, early_load=between(40.0, 60.0))
    found = recovery_findings(replace(answered.recovery, charges=(charge,)), LIMITS)
    assert named(found, "pins of lantern bay").verdict is verdict


@pytest.mark.parametrize(("peak", "verdict"), [(between(200.0, 1000.0), GO), (between(200.0, 2000.0), NO_GO)])
def test_a_cord(answered, peak: Estimate, verdict: Verdict) -> None:
    cord = replace(answered.recovery.cords[0], peak_load=peak, strength=exact(2669.0))
    found = recovery_findings(replace(answered.recovery, cords=(cord,)), LIMITS)
    assert named(found, "against the separation").verdict is verdict


@pytest.mark.parametrize(
    ("change", "verdict"),
    [
        ({"comes_out": True}, GO),
        ({"comes_out": False, "fit": Fit.PRESSED}, CAUTION),
        ({"comes_out": False, "fit": Fit.TOO_MUCH}, NO_GO),
        ({"comes_out": False, "mouth_share": 0.99}, NOT_KNOWN),
        ({"comes_out": False, "mouth_share": 0.51}, NOT_KNOWN),
        ({"comes_out": False, "mouth_share": 0.49}, NO_GO),
    ],
)
def test_a_pack(answered, change: dict, verdict: Verdict) -> None:
    packs = (replace(answered.recovery.packs[0], **change),)
    found = recovery_findings(replace(answered.recovery, packs=packs), LIMITS)
    assert named(found, "canopy can leave lantern bay").verdict is verdict


def test_a_height_above_the_top_is_a_caution(answered) -> None:
    early = (EarlyOpening(canopy="main", height_m=600.0, top_m=between(480.0, 520.0)),)
    found = recovery_findings(replace(answered.recovery, early=early), LIMITS)
    assert named(found, "main waits for its height").verdict is CAUTION


def test_an_opening_without_any_cord_is_not_known(answered) -> None:
    found = recovery_findings(replace(answered.recovery, cords=()), LIMITS)
    assert named(found, "opening load of main").verdict is NOT_KNOWN


@pytest.mark.parametrize(("load", "verdict"), [(between(100.0, 500.0), GO), (between(1000.0, 2500.0), NO_GO)])
def test_an_opening_load(answered, load: Estimate, verdict: Verdict) -> None:
    canopy = replace(answered.recovery.canopies[0], opening_load=load)
    found = recovery_findings(replace(answered.recovery, canopies=(canopy,)), LIMITS)
    assert named(found, "opening load of main").verdict is verdict


def test_a_backup_no_larger_than_the_first_charge_is_a_caution(answered) -> None:
    first, backup = answered.recovery.charges
    equal = replace(answered.recovery, charges=(first, replace(backup, powder=first.powder)))
    assert named(recovery_findings(equal, LIMITS), "is larger than").verdict is CAUTION


def other_charge(answered, **change) -> Finding:
    usual = OtherOpening(
        canopy="main",
        charge="lantern backup charge",
        after=between(1.0, 2.0),
        height_agl=between(400.0, 450.0),
        opening_load=between(100.0, 500.0),
    )
    others = (replace(usual, **change),)
    cord = replace(answered.recovery.cords[0], strength=exact(1500.0))
    found = recovery_findings(replace(answered.recovery, others=others, cords=(cord,)), LIMITS)
    return next(one for one in found if one.key == "charge-in-time")


@pytest.mark.parametrize(
    ("change", "verdict", "words"),
    [
        ({}, GO, "must do it alone"),
        ({"opening_load": between(100.0, 990.0)}, GO, "this is the load"),
        ({"opening_load": between(100.0, 1010.0)}, NO_GO, "this is the load"),
        ({"height_agl": None}, NO_GO, "not open before the ground"),
        ({"after": between(-0.9, -0.9)}, GO, "must do it alone"),
        ({"after": between(-1.1, -1.1)}, NO_GO, "before main is due"),
        ({"after": None}, NOT_KNOWN, ""),
    ],
)
def test_a_charge_at_another_moment_than_its_canopy(answered, change, verdict, words) -> None:
    """A cord of 1500 N takes 1000 N with half again in reserve."""
    found = other_charge(answered, **change)
    assert found.verdict is verdict
    assert words in why(found)


def test_charges_at_the_canopies_own_moments_are_in_time(answered) -> None:
    found = recovery_findings(answered.recovery, LIMITS)
    assert [one.verdict for one in found if one.key == "charge-in-time"] == [GO]


def test_the_cord_that_is_asked_for_holds_the_load_with_its_reserve(answered) -> None:
    """Half again over 2500 N are 3750 N."""
    canopy = replace(answered.recovery.canopies[0], opening_load=between(1000.0, 2500.0))
    found = recovery_findings(replace(answered.recovery, canopies=(canopy,)), LIMITS)
    assert "3750 N" in what_to_change(named(found, "opening load of main"))


def test_a_landing_limit_of_nothing_is_told_as_such(answered) -> None:
    found = recovery_findings(answered.recovery, Limits(own={"landing_speed": 0.0}))
    assert "nothing lands at rest" in what_to_change(named(found, "landing speed"))
    fast = replace(answered.recovery, landing_speed=between(9.0, 10.0))
    assert "drag area" in what_to_change(named(recovery_findings(fast, LIMITS), "landing speed"))


def test_what_brings_it_down_and_when_concerns_people(answered, lighthouse) -> None:
    found = [*recovery_findings(answered.recovery, LIMITS), *recovery_parts_findings(lighthouse.sheet)]
    flags = {one.key: (one.safety, one.urgent) for one in found}
    assert flags["charge-in-time"] == (True, False)
    assert flags["brought-down"] == (True, True)


def test_a_cord_that_is_too_weak_is_told_how_strong_it_must_be(answered) -> None:
    """Twice the most that it feels, as the limit's table says."""
    cord = replace(answered.recovery.cords[0], peak_load=between(200.0, 2000.0), strength=exact(2669.0))
    found = recovery_findings(replace(answered.recovery, cords=(cord,)), LIMITS)
    (judged,) = [one for one in found if one.key == "cord-separation"]
    assert judged.bound.value == pytest.approx(2000.0 * LIMITS["cord_reserve"].value)
    assert judged.fixes[0].facts["held"].value == judged.bound.value


@pytest.mark.parametrize(("screw", "wanted"), [("", USUAL_SCREW), ("M3 nylon", "M3 nylon")])
def test_pins_that_are_wanted_are_the_joints_own_or_the_usual_ones(answered, screw: str, wanted: str) -> None:
    charge = replace(
        answered.recovery.charges[0],
        pins_hold=between(60.0, 80.0),
        early_load=between(40.0, 60.0),
        screw=screw,
    )
    found = recovery_findings(replace(answered.recovery, charges=(charge,)), LIMITS)
    (fix,) = named(found, "pins of lantern bay").fixes
    assert fix.facts["screw"] == wanted
    assert fix.facts["count"] >= 2
    (change,) = fix.changes.values()
    assert change["screw"] == fix.facts["screw"]
