"""Things with a station may stand elsewhere: what moves with them, how far, and that it is tried."""

from dataclasses import replace
from pathlib import Path

import pytest

from finial.assemble.vehicle.changes import changed
from finial.assemble.vehicle.move_pulls import BUTTONS, move_pulls
from finial.assemble.vehicle.tweak import TweakKind
from finial.findings.advice import tried
from finial.findings.check import load, readiness
from finial.findings.readiness import Depth
from finial.findings.same_check import check_of
from finial.findings.tries import suiting
from finial.report.finding_words import what_to_change

SLED = "electronics sled"
SKERRY = Path(__file__).parents[2] / "examples" / "skerry-light" / "skerry-light.toml"


@pytest.fixture(scope="module")
def lighthouse():
    return load(SKERRY)


@pytest.fixture(scope="module")
def pulls(lighthouse):
    return {(one.kind, one.name): one for one in move_pulls(lighthouse)}


def test_a_thing_moves_a_fifth_of_the_length_and_not_out_of_the_vehicle(lighthouse, pulls) -> None:
    fifth = 0.2 * lighthouse.skin.length_m
    sled = "electronics sled"
    assert pulls[TweakKind.FORWARD, sled].most == pytest.approx(0.720 - fifth)
    assert pulls[TweakKind.AFT, sled].most == pytest.approx(0.720 + fifth)
    assert pulls[TweakKind.FORWARD, "steel ballast"].most == pytest.approx(0.0)
    last = max(button.value for button in lighthouse.sheet.guide.buttons)
    room = lighthouse.skin.length_m - last
    assert pulls[TweakKind.AFT, BUTTONS].most == pytest.approx(0.620 + room)


def test_what_takes_the_room_of_another_or_has_none_is_not_moved(pulls) -> None:
    names = {name for _, name in pulls}
    assert {"motor tube and retainer", "nuts, washers and glue"}.isdisjoint(names)
    assert {"main", "lantern bay", "Demo K500", BUTTONS, "steel ballast"} <= names


def test_a_motor_takes_its_tube_and_its_plate_along(lighthouse, pulls) -> None:
    one = pulls[TweakKind.FORWARD, "Demo K500"]
    motor = changed(lighthouse, one.changes(one.now - 0.010)).sheet.motor
    assert motor.nozzle_station.value == pytest.approx(1.195)
    assert [end.value for end in motor.mount.stations] == pytest.approx([0.780, 1.182])
    assert motor.thrust_plate.station.value == pytest.approx(1.186)


def test_buttons_and_bays_keep_their_lengths_and_items_their_tolerance(lighthouse, pulls) -> None:
    def after(kind: TweakKind, name: str, by_m: float):
        one = pulls[kind, name]
        return changed(lighthouse, one.changes(one.now + by_m)).sheet

    buttons = after(TweakKind.AFT, BUTTONS, 0.01).guide.buttons
    assert [one.value for one in buttons] == pytest.approx([0.630, 1.180])
    bay = after(TweakKind.AFT, "lantern bay", 0.01).recovery.bay[0]
    assert [one.value for one in bay.stations] == pytest.approx([0.314, 0.670])
    ballast = after(TweakKind.FORWARD, "steel ballast", -0.01).item[0]
    assert (ballast.station.value, ballast.station.tolerance) == pytest.approx((0.094, 0.001))


def in_the_floor(lighthouse):
    """The sled, 80 mm long, stands from 650 mm in the floor of the bay, which ends at 669 mm."""
    wrong = changed(lighthouse, {("item", 4, "station"): "690 mm +- 5 mm"})
    before = readiness(wrong, depth=Depth.QUICK)
    hits = [one for one in before.findings if one.key == "same-room" and one.fails]
    hit = next(one for one in hits if {one.subject.name, one.facts["other"]} == {SLED, "floor of the bay"})
    return wrong, before, hit


def test_a_thing_in_the_way_is_moved_until_it_is_not_and_told_where(lighthouse) -> None:
    wrong, before, hit = in_the_floor(lighthouse)
    found = suiting(hit, tuple(move_pulls(wrong)))
    assert {(one.kind, one.name) for one in found} == {
        (kind, name) for kind in (TweakKind.FORWARD, TweakKind.AFT) for name in (SLED, "floor of the bay")
    }
    trials = tried(wrong, before, [(hit, found)])[check_of(hit)]
    (aft,) = (one for one in trials if (one.lever, one.name) == ("aft", SLED))
    assert aft.turns
    assert 0.690 < aft.size < 0.7305
    told = what_to_change(replace(hit, trials=(aft,)))
    assert "electronics sled at 7" in told
    assert "(690 mm now) this goes" in told
