"""Rules of the electronics: every verdict, and every build that leaves something out."""

from dataclasses import replace

import pytest

from finial.assemble.electronics.results import ContinuityCheck, ElectronicsResult
from finial.assemble.electronics.study import electronics_result
from finial.core.estimates import Estimate, KnownBy, exact
from finial.core.units import Quantity
from finial.findings.finding import FailsAlone, Finding, Verdict
from finial.findings.limits import Limits
from finial.findings.rules.electronics_rules import electronics_findings
from finial.report.finding_words import limit, title, what_to_change, why

LIMITS = Limits(own={})
GO, CAUTION, NOT_KNOWN, NO_GO = Verdict.GO, Verdict.CAUTION, Verdict.NOT_KNOWN, Verdict.NO_GO


def between(low: float, high: float, known_by: KnownBy = KnownBy.COMPUTED) -> Estimate:
    return Estimate(value=(low + high) / 2, low=low, high=high, known_by=known_by)


def named(findings: list[Finding], words: str) -> Finding:
    (found,) = [finding for finding in findings if words in title(finding)]
    return found


def keyed(electronics: ElectronicsResult) -> dict[str, Finding]:
    return {one.key: one for one in electronics_findings(electronics, LIMITS, wait=exact(3600.0))}


def rewired(vehicle, **tables) -> dict[str, Finding]:
    electronics = vehicle.sheet.electronics.model_copy(update=tables)
    return keyed(electronics_result(vehicle.sheet.model_copy(update={"electronics": electronics})))


@pytest.mark.parametrize(
    ("current", "all_fire_a", "verdict"),
    [
        (between(3.9, 4.1), 1.0, GO),
        (between(1.8, 4.1), 1.0, NO_GO),
        (between(1.8, 4.1, KnownBy.ASSUMED), 1.0, NOT_KNOWN),
        (between(3.9, 4.1), None, NOT_KNOWN),
        (between(3.01, 4.1), 1.5, GO),
        (between(2.99, 4.1), 1.5, NO_GO),
    ],
)
def test_firing_current(answered, current: Estimate, all_fire_a: float | None, verdict: Verdict) -> None:
    power = replace(answered.electronics.paths[0], current=current, all_fire_a=all_fire_a)
    electronics = replace(answered.electronics, paths=(power,))
    found = electronics_findings(electronics, LIMITS, wait=exact(3600.0))
    assert named(found, "firing current").verdict is verdict


def test_a_short_current_is_told_as_a_share_of_what_is_asked(answered) -> None:
    power = replace(answered.electronics.paths[0], current=between(2.985, 4.1), all_fire_a=1.5)
    found = electronics_findings(replace(answered.electronics, paths=(power,)), LIMITS, wait=exact(3600.0))
    # Twice 1.5 A is asked; 2.985 of 3 A are 99 % and a half.
    assert [fix.facts["share"] for fix in named(found, "firing current").fixes] == [99]


@pytest.mark.parametrize(
    ("current", "no_fire_a", "share", "verdict"),
    [
        (between(0.001, 0.003), 0.3, None, GO),
        (between(0.001, 0.030), 0.3, None, GO),
        (between(0.001, 0.031), 0.3, None, NO_GO),
        (between(0.001, 0.031, KnownBy.ASSUMED), 0.3, None, NOT_KNOWN),
        (between(0.001, 0.031), 0.3, 0.2, GO),
        (between(0.001, 0.060), 5.0, None, NO_GO),
        (None, 0.3, None, NOT_KNOWN),
        (between(0.001, 0.003), None, None, NOT_KNOWN),
    ],
)
def test_current_of_a_continuity_check(answered, current, no_fire_a, share, verdict: Verdict) -> None:
    check = ContinuityCheck(igniter="i", computer="k", current=current, no_fire_a=no_fire_a)
    electronics = replace(answered.electronics, checks=(check,))
    limits = Limits(own={} if share is None else {"continuity_over_no_fire": share})
    found = electronics_findings(electronics, limits, wait=exact(3600.0))
    assert named(found, "continuity current of i").verdict is verdict


@pytest.mark.parametrize(
    ("no_fire_a", "all_fire_a", "verdict", "words"),
    [
        (0.3, 1.0, GO, ""),
        (1.0, 1.0, GO, ""),
        (1.01, 1.0, NO_GO, "no_fire and all_fire"),
        (None, 1.0, NOT_KNOWN, "Enter no_fire"),
        (0.3, None, NOT_KNOWN, "Enter all_fire"),
    ],
)
def test_an_igniter_s_currents_must_not_contradict_each_other(
    answered, no_fire_a, all_fire_a, verdict: Verdict, words: str
) -> None:
    check = ContinuityCheck(
        igniter="i", computer="k", current=exact(0.001), no_fire_a=no_fire_a, all_fire_a=all_fire_a
    )
    found = keyed(replace(answered.electronics, checks=(check,)))["igniter-currents"]
    assert found.verdict is verdict
    assert words in what_to_change(found)


def test_what_a_continuity_check_lacks_is_named(answered) -> None:
    check = ContinuityCheck(igniter="igniter A", computer="computer A", current=None, no_fire_a=None)
    electronics = replace(answered.electronics, checks=(check,))
    found = electronics_findings(electronics, LIMITS, wait=exact(3600.0))
    finding = named(found, "continuity current")
    assert "Enter no_fire of igniter A" in what_to_change(finding)
    assert "Enter continuity_current of computer A" in what_to_change(finding)
    assert limit(finding) == "10 % of the no-fire current"


@pytest.mark.parametrize(
    ("lasting", "wait", "verdict"),
    [
        (between(7300.0, 9000.0), exact(3600.0), GO),
        (between(7000.0, 7100.0), exact(3600.0), NO_GO),
        (None, exact(3600.0), NOT_KNOWN),
        (between(7300.0, 9000.0), None, NOT_KNOWN),
    ],
)
def test_time_on_the_pad(answered, lasting: Estimate | None, wait: Estimate | None, verdict: Verdict) -> None:
    electronics = replace(answered.electronics, pad_times=(("b", lasting),))
    found = electronics_findings(electronics, LIMITS, wait=wait)
    assert named(found, "pad time").verdict is verdict


@pytest.mark.parametrize(
    ("lasting", "wait", "fix", "times"),
    [
        # Twice an hour is asked: 7200 s.
        (between(3600.0, 9000.0), exact(3600.0), "larger", 2.0),
        (between(1460.0, 9000.0), exact(3600.0), "larger", 4.9),
        (between(1000.0, 9000.0), exact(3600.0), "keep-warm", None),
        (between(0.0, 9000.0), exact(2.4), "larger", 4.8),
        (None, exact(3600.0), "enter-capacity", None),
        (between(3600.0, 9000.0), None, "enter-wait", None),
    ],
)
def test_a_battery_that_lasts_too_short_is_made_larger_or_kept_warm(
    answered, lasting, wait, fix, times
) -> None:
    electronics = replace(answered.electronics, pad_times=(("b", lasting),))
    (told,) = named(electronics_findings(electronics, LIMITS, wait=wait), "pad time").fixes
    assert told.key == fix
    assert (told.facts["times"].value if times else None) == times


@pytest.mark.parametrize(
    ("voltage", "least", "verdict"),
    [
        (between(6.4, 6.8), exact(5.0), GO),
        (between(4.9, 6.8), exact(5.0), NO_GO),
        (between(5.5, 6.8), between(3.3, 6.0, KnownBy.ASSUMED), NOT_KNOWN),
        (between(2.0, 3.0), between(3.3, 6.0, KnownBy.ASSUMED), NO_GO),
    ],
)
def test_a_computer_stays_up_while_it_fires(answered, voltage, least, verdict: Verdict) -> None:
    power = replace(answered.electronics.paths[0], voltage=voltage, least_v=least)
    found = keyed(replace(answered.electronics, paths=(power,)))["stays-up"]
    assert found.verdict is verdict
    assert found.value is not None
    assert (found.value.low, found.value.high) == (voltage.low - least.high, voltage.high - least.low)


def test_how_long_an_igniter_draws_is_told_where_its_kind_is_known(answered) -> None:
    untold = answered.electronics.paths[0]
    told = replace(untold, fires_in_s=(0.005, 0.020), energy_j=0.010)
    without, with_kind = (
        why(keyed(replace(answered.electronics, paths=(one,)))["stays-up"]) for one in (untold, told)
    )
    assert "It draws for" not in without
    assert "It draws for 5 ms to 20 ms, until it has taken about 0.01 J." in with_kind


def test_the_lighthouse_has_two_of_everything_and_shares_sled_and_ports(lighthouse, answered) -> None:
    found = rewired(lighthouse)
    assert found["single-points"].verdict is CAUTION
    told = what_to_change(found["single-points"])
    # The fault tree with a second part beside one: the same ratios as in the table of the report.
    (odds,) = answered.electronics.odds
    ports, sled = (
        next(one.ratio for one in odds.doublings if one.part.name == name)
        for name in ("static ports", "sled")
    )
    assert 0.5 < ports < sled < 1.0
    first = f"static ports (a second one leaves {ports:.2f} times today's odds of losing a canopy)"
    assert f"Alone: {first}, sled (a second one leaves {sled:.2f})." in told
    assert "main, shock cord, lantern joint" in why(found["single-points"])
    rest = {key: one.verdict for key, one in found.items() if key != "single-points"}
    assert set(rest.values()) == {GO}


def test_each_on_its_own_sled_and_ports_is_a_go(lighthouse) -> None:
    computers = tuple(
        one.model_copy(update={"sled": f"sled {one.name}", "port": f"port {one.name}"})
        for one in lighthouse.sheet.electronics.computer
    )
    assert rewired(lighthouse, computer=computers)["single-points"].verdict is GO


def test_one_battery_for_both_computers_is_a_no_go(lighthouse) -> None:
    computers = tuple(
        one.model_copy(update={"battery": "battery A"}) for one in lighthouse.sheet.electronics.computer
    )
    found = rewired(lighthouse, computer=computers)["single-points"]
    assert found.verdict is NO_GO
    assert "one battery or switch silences both" in why(found)
    assert "battery A" in what_to_change(found)


def test_one_switch_for_both_computers_is_a_no_go(lighthouse) -> None:
    computers = tuple(
        one.model_copy(update={"switch": "switch A"}) for one in lighthouse.sheet.electronics.computer
    )
    assert rewired(lighthouse, computer=computers)["single-points"].verdict is NO_GO


def test_both_igniters_in_one_charge_are_a_caution(lighthouse) -> None:
    igniters = tuple(
        one.model_copy(update={"fires": "lantern charge"}) for one in lighthouse.sheet.electronics.igniter
    )
    found = rewired(lighthouse, igniter=igniters)
    assert found["single-points"].verdict is CAUTION
    assert "lantern charge" in what_to_change(found["single-points"])


def test_one_computer_promises_nothing_and_is_a_caution(lighthouse) -> None:
    given = lighthouse.sheet.electronics
    found = rewired(lighthouse, computer=given.computer[:1], igniter=given.igniter[:1])
    assert found["single-points"].verdict is CAUTION
    assert "computer A" in what_to_change(found["single-points"])


def test_a_computer_that_fires_nothing_is_a_caution(lighthouse) -> None:
    found = rewired(lighthouse, igniter=lighthouse.sheet.electronics.igniter[:1])
    assert found["computers-fire"].verdict is CAUTION
    assert "computer B" in what_to_change(found["computers-fire"])
    assert found["canopies-fired"].verdict is GO


def test_a_battery_that_waited_or_came_half_empty_fires_with_less(lighthouse) -> None:
    given = lighthouse.sheet

    def current(hours: float, charged: float) -> Estimate:
        launch = given.launch.model_copy(update={"wait_on_pad": Quantity(value=3600.0 * hours, text="")})
        batteries = tuple(
            one.model_copy(update={"charged": Quantity(value=charged, text="")})
            for one in given.electronics.battery
        )
        electronics = given.electronics.model_copy(update={"battery": batteries})
        sheet = given.model_copy(update={"launch": launch, "electronics": electronics})
        return electronics_result(sheet).paths[0].current

    fresh = current(0.0, 1.0)
    # 25 mA for ten hours take half of 500 mAh: 0.89 to 1 of the voltage, by the table from 1 to 0.5.
    waited = current(10.0, 1.0)
    assert waited.low == pytest.approx(0.89 * fresh.low)
    assert waited.value == pytest.approx(0.915 * fresh.value)
    assert waited.high == fresh.high
    # From 0.7 to 0.2: 0.86 over what it was at 0.7, between 0.93 and 0.89.
    tired = current(10.0, 0.7)
    assert tired.low == pytest.approx(0.86 / (0.89 + 0.04 * 2 / 3) * fresh.low)
    assert current(0.0, 0.7) == fresh


def test_a_vehicle_without_electronics_is_a_no_go_and_names_its_canopies(lighthouse) -> None:
    found = rewired(lighthouse, battery=(), switch=(), computer=(), igniter=())
    assert found["canopies-fired"].verdict is NO_GO
    assert "main" in what_to_change(found["canopies-fired"])


def test_a_canopy_at_the_wrong_event_is_a_no_go(answered) -> None:
    found = keyed(replace(answered.electronics, off_event=("main",)))["own-event"]
    assert found.verdict is NO_GO
    assert "main" in what_to_change(found)


def test_the_same_rules_speak_of_every_vehicle(lighthouse) -> None:
    always = {"single-points", "own-event", "canopies-fired", "computers-fire"}
    for tables in ({}, {"igniter": ()}, {"battery": (), "switch": (), "computer": (), "igniter": ()}):
        assert always <= rewired(lighthouse, **tables).keys()


@pytest.mark.parametrize(
    ("celsius", "verdict"), [((20.0, 59.9), GO), ((20.0, 61.0), NOT_KNOWN), ((60.1, 80.0), NO_GO)]
)
def test_batteries_in_the_sun(answered, celsius: tuple[float, float], verdict: Verdict) -> None:
    warm = between(*(one + 273.15 for one in celsius), KnownBy.ASSUMED)
    found = keyed(replace(answered.electronics, cells_k=warm))["batteries-warm"]
    assert found.verdict is verdict
    assert ("battery A, battery B" in what_to_change(found)) == (verdict is not GO)


def test_no_battery_gets_no_warmer(answered) -> None:
    none = replace(answered.electronics, cells_k=between(340.0, 350.0), batteries=())
    assert keyed(none)["batteries-warm"].verdict is GO


def test_a_black_body_in_the_desert_warms_its_batteries(lighthouse) -> None:
    sheet = lighthouse.sheet
    hot = sheet.launch.model_copy(update={"temperature": Quantity(value=321.15, text="48 degC")})
    black = sheet.vehicle.model_copy(update={"colour": "black"})
    white = keyed(electronics_result(sheet.model_copy(update={"launch": hot})))["batteries-warm"]
    baked = keyed(electronics_result(sheet.model_copy(update={"launch": hot, "vehicle": black})))
    assert baked["batteries-warm"].verdict is NOT_KNOWN
    assert white.value is not None
    assert baked["batteries-warm"].value.high > white.value.high


def test_a_lead_and_its_igniter_are_told_apart(lighthouse) -> None:
    """Both have one name: "igniter A (0.92), igniter A (0.98)" was read as the same part twice."""
    alone = tuple(FailsAlone(name="igniter A", kind=kind, left=0.9) for kind in ("igniter", "lead"))
    found = rewired(lighthouse)["single-points"]
    told = what_to_change(replace(found, facts={**found.facts, "points": alone}))
    assert told == (
        "Alone: igniter A (a second one leaves 0.90 times today's odds of losing a canopy), igniter A"
        " (lead; a second one leaves 0.90)."
    )
