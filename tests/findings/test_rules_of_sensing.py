"""Rules on ports, heights, clocks and lift-off: every verdict, and joins of sheet and flights by hand."""

import math
from dataclasses import replace

import numpy as np
import pytest
from sensed import at_least_felt, metres, sensed, spread_of, with_accelerometer, with_ports

from finial.assemble.basis import basis_of
from finial.assemble.electronics.results import (
    BackupTimer,
    FeltLiftOff,
    FiredHeight,
    FirstMotion,
    NearMach,
    SensedTop,
    Sensing,
)
from finial.assemble.electronics.sensing import sensing
from finial.assemble.inside.cavity import room_inside
from finial.core.estimates import Estimate, KnownBy
from finial.core.units import Quantity
from finial.files.sheet_recovery import PortEntry
from finial.findings.finding import Finding, Verdict
from finial.findings.rules.sensing_rules import sensing_findings
from finial.report.finding_words import limit, title, what_to_change, why

ASSUMED = KnownBy.ASSUMED
GO, CAUTION, NOT_KNOWN, NO_GO = Verdict.GO, Verdict.CAUTION, Verdict.NOT_KNOWN, Verdict.NO_GO


def between(low: float, high: float, known_by: KnownBy = KnownBy.COMPUTED) -> Estimate:
    return Estimate(value=(low + high) / 2, low=low, high=high, known_by=known_by)


@pytest.fixture(scope="module")
def basis(lighthouse):
    return basis_of(lighthouse)


def only(found: Sensing, key: str, name: str = "") -> Finding:
    (one,) = [one for one in sensing_findings(found) if one.key == key and name in one.subject.name]
    return one


def test_ports_that_the_sheet_does_not_describe_are_not_known(basis) -> None:
    found = [one for one in sensing_findings(sensed(basis, port=())) if one.subject.name == "static ports"]
    assert {one.key for one in found} == {
        *("ports-size", "ports-large", "ports-room", "ports-even", "ports-smooth", "barometer-rises"),
    }
    for one in found:
        assert one.verdict is NOT_KNOWN
        assert "[[electronics.port]]" in what_to_change(one)
        assert limit(one) == "holes in the skin that the sheet describes"


def test_the_example_s_ports_hold(basis) -> None:
    found = [one for one in sensing_findings(sensed(basis)) if one.subject.name == "static ports"]
    assert [one.verdict for one in found] == [GO] * 7


def test_holes_open_beside_the_sled_and_never_into_a_bay(basis) -> None:
    """The bay reaches from 304 to 660 mm, and the sled stands behind it."""
    for station_m, verdict in ((0.303, GO), (0.305, NO_GO), (0.659, NO_GO), (0.661, GO), (0.72, GO)):
        found = only(with_ports(basis, station=metres(station_m)), "ports-behind")
        assert found.verdict is verdict
        assert ("lantern bay" in why(found)) is (verdict is NO_GO)
    (sled,) = [item for item in basis.vehicle.sheet.item if item.kind == "sled"]
    beside = sled.model_copy(update={"station": metres(0.5)})
    sheet = basis.vehicle.sheet.model_copy(update={"item": (beside,)})
    reach = sled.length.value / 2
    within, beyond = reach - 1e-3, reach + 1e-3
    for off_m, verdict in ((within, GO), (-within, GO), (beyond, NO_GO), (-beyond, NO_GO)):
        port = sheet.electronics.port[0].model_copy(update={"station": metres(0.5 + off_m)})
        electronics = sheet.electronics.model_copy(update={"port": (port,)})
        vehicle = replace(basis.vehicle, sheet=sheet.model_copy(update={"electronics": electronics}))
        assert only(sensing(vehicle, basis.flights, room_inside(vehicle)), "ports-behind").verdict is verdict


def test_holes_open_where_the_room_of_a_sled_goes_on(basis) -> None:
    """The motor's tube of 59 mm stands from 790 mm on, and fills the hole of 60 mm there."""
    for station_m, verdict in ((0.78, GO), (0.85, NO_GO), (1.0, NO_GO)):
        found = only(with_ports(basis, station=metres(station_m)), "ports-behind")
        assert found.verdict is verdict
        assert ("fills it" in why(found)) is (verdict is NO_GO)
    slim = basis.vehicle.sheet.motor.mount.model_copy(update={"across": metres(0.0575)})
    motor = basis.vehicle.sheet.motor.model_copy(update={"mount": slim})
    vehicle = replace(basis.vehicle, sheet=basis.vehicle.sheet.model_copy(update={"motor": motor}))
    port = vehicle.sheet.electronics.port[0].model_copy(update={"station": metres(0.85)})
    electronics = vehicle.sheet.electronics.model_copy(update={"port": (port,)})
    roomy = replace(vehicle, sheet=vehicle.sheet.model_copy(update={"electronics": electronics}))
    assert only(sensing(roomy, basis.flights, room_inside(roomy)), "ports-behind").verdict is GO
    sledless = replace(
        roomy, sheet=roomy.sheet.model_copy(update={"item": (), "motor": basis.vehicle.sheet.motor})
    )
    assert only(sensing(sledless, basis.flights, room_inside(sledless)), "ports-behind").verdict is GO


def test_holes_are_asked_for_by_the_bay_behind_them(basis) -> None:
    # The trade's rule: 1/4 in for 100 cubic inches. 0.7 l at the large end are 42.7 cubic inches, 13.5 mm2.
    asked = math.pi / 4 * 6.35**2 * 0.7e-3 / (100 * 0.0254**3)
    for area_mm2, verdict in ((1.02 * asked, GO), (0.98 * asked, CAUTION)):
        across = math.sqrt(4 / math.pi * area_mm2 / 4) * 1e-3
        found = only(with_ports(basis, holes=(metres(across),) * 4), "ports-size")
        assert found.verdict is verdict
        assert (verdict is GO) != ("4 x 2.08 mm" in what_to_change(found))


@pytest.mark.parametrize(("times", "verdict"), [(3.9, GO), (4.1, CAUTION), (9.9, CAUTION), (10.1, NOT_KNOWN)])
def test_holes_far_larger_than_their_bay_asks_for_read_the_wind(basis, times: float, verdict) -> None:
    asked_m2 = math.pi / 4 * 0.00635**2 * 0.7e-3 / (100 * 0.0254**3)
    across = math.sqrt(4 / math.pi * times * asked_m2 / 4)
    assert only(with_ports(basis, holes=(metres(across),) * 4), "ports-large").verdict is verdict


def test_air_behind_holes_is_no_more_than_the_room_that_is_drawn(basis) -> None:
    """From the floor of the bay at 664.5 mm to the base: nothing else closes the tower."""
    room = room_inside(basis.vehicle)
    inside = (room.stations_m >= 0.6645) & (room.stations_m <= room.length_m)
    areas = np.array([one.area for one in room.free])[inside]
    drawn = float(np.trapezoid(areas, room.stations_m[inside]))
    found = only(with_ports(basis, bay_volume=metres(1.1 * drawn)), "ports-room")
    assert found.verdict is NOT_KNOWN
    assert found.bound.value == pytest.approx(drawn, rel=0.02)
    assert only(with_ports(basis, bay_volume=metres(0.9 * drawn)), "ports-room").verdict is GO


@pytest.mark.parametrize(("share", "verdict"), [(0.21, GO), (0.19, CAUTION)])
def test_far_less_air_than_the_room_that_is_drawn_is_a_box_that_nobody_drew(basis, share, verdict) -> None:
    drawn = only(sensing(basis.vehicle, basis.flights, room_inside(basis.vehicle)), "ports-room").bound.value
    found = only(with_ports(basis, bay_volume=metres(share * drawn)), "ports-room")
    assert found.verdict is verdict
    assert ("1.82 L are drawn" in what_to_change(found)) == (verdict is CAUTION)


def test_a_plate_closes_the_room_behind_holes_where_it_takes_half_of_it(basis) -> None:
    sheet = basis.vehicle.sheet
    plate = next(item for item in sheet.item if item.name == "floor of the bay")
    room = room_inside(basis.vehicle)
    at = 0.80
    open_m2 = float(np.interp(at, room.stations_m, [one.area for one in room.free]))
    volumes = []
    for share in (0.45, 0.55):
        across = math.sqrt(share * open_m2 * 4 / math.pi)
        more = plate.model_copy(
            update={"name": "web", "station": metres(at), "across": metres(across), "eye": None}
        )
        vehicle = replace(basis.vehicle, sheet=sheet.model_copy(update={"item": (*sheet.item, more)}))
        found = sensing(vehicle, basis.flights, room_inside(vehicle))
        volumes.append(only(found, "ports-room").bound.value)
    assert volumes[1] < 0.6 * volumes[0]


def test_tolerance_of_a_hole_counts_at_its_small_end(basis) -> None:
    wide = metres(0.0021)
    assert only(with_ports(basis, holes=(wide,) * 4), "ports-size").verdict is GO
    found = only(with_ports(basis, holes=(metres(0.0021, 0.0002),) * 4), "ports-size")
    assert found.verdict is CAUTION


@pytest.mark.parametrize(
    ("holes", "at", "verdict"),
    [
        ((0.003,) * 3, None, GO),
        ((0.003,) * 2, None, NOT_KNOWN),
        ((0.005,), None, NOT_KNOWN),
        ((0.003, 0.003, 0.0035), None, GO),
        ((0.003, 0.003, 0.0045), None, CAUTION),
        ((0.003,) * 3, (0.0, 0.1, 0.2), NOT_KNOWN),
    ],
)
def test_unlike_holes_are_a_caution_and_one_or_two_do_not_fly(basis, holes, at, verdict: Verdict) -> None:
    angles = None if at is None else tuple(Quantity(value=one, text=f"{one} rad") for one in at)
    found = with_ports(basis, holes=tuple(metres(one) for one in holes), at=angles)
    assert only(found, "ports-even").verdict is verdict


def test_holes_on_the_gallery_are_a_caution_and_what_they_read_is_not_known(basis) -> None:
    # The lantern's roof ends at 128 mm, the gallery stands from 250 to 268 mm.
    found = with_ports(basis, station=metres(0.26))
    assert only(found, "ports-smooth").verdict is CAUTION
    rises = only(found, "barometer-rises")
    assert rises.verdict is NOT_KNOWN
    assert "Coefficient there -0.80 to 0.40" in why(rises)


def test_heights_fired_are_judged_at_their_low_end(basis) -> None:
    for low, verdict in ((161.0, GO), (159.0, NO_GO)):
        fired = FiredHeight(igniter="i", computer="k", set_m=200.0, true=between(low, 210.0))
        assert only(Sensing(fired=(fired,)), "height-fired").verdict is verdict
    unknown = only(
        Sensing(fired=(FiredHeight(igniter="i", computer="k", set_m=200.0, true=None),)), "height-fired"
    )
    assert unknown.verdict is NOT_KNOWN
    assert "Describe the port of k" in what_to_change(unknown)


@pytest.mark.parametrize(
    ("height", "gust_m", "verdict"),
    [
        (between(20.0, 40.0), 19.0, GO),
        (between(20.0, 40.0), 21.0, NO_GO),
        (between(20.0, 40.0, KnownBy.ASSUMED), 21.0, NOT_KNOWN),
        (between(20.0, 101.0), 3.0, NOT_KNOWN),
        (between(101.0, 110.0), 3.0, NO_GO),
    ],
)
def test_lift_off_is_above_a_gust_and_below_the_top(
    height: Estimate, gust_m: float, verdict: Verdict
) -> None:
    motion = FirstMotion(computer="k", height=height, gust_m=gust_m, lowest_top_m=100.0)
    found = only(Sensing(first_motion=(motion,)), "first-motion")
    assert found.verdict is verdict
    assert ("never" in why(found)) == (height.high > 100.0)


@pytest.mark.parametrize(("low", "verdict"), [(0.0, GO), (-0.1, NO_GO)])
def test_a_clock_fires_after_the_top(low: float, verdict: Verdict) -> None:
    timer = BackupTimer(
        igniter="i",
        set_s=14.0,
        fires=between(14.0, 15.0),
        after_top=between(low, 3.0),
        earliest_top_s=10.0,
        latest_top_s=12.0,
    )
    found = only(Sensing(timers=(timer,)), "timer-after-top")
    assert found.verdict is verdict
    assert "10 s to 12 s" in why(found)


@pytest.mark.parametrize(
    ("locked_out", "mach", "verdict"),
    [
        (None, 0.69, GO),
        (None, 0.71, NOT_KNOWN),
        (False, 0.71, NO_GO),
        (True, 0.71, GO),
        (True, 0.60, GO),
    ],
)
def test_near_the_speed_of_sound_a_barometer_is_left_aside(locked_out, mach: float, verdict: Verdict) -> None:
    near = NearMach(computer="k", locked_out=locked_out)
    found = only(Sensing(near_mach=(near,), fastest_mach=mach), "mach-lockout")
    assert found.verdict is verdict
    assert title(found) == "Mach number that k may trust its barometer at"


def test_as_many_angles_as_holes() -> None:
    with pytest.raises(ValueError, match="one roll angle for each hole"):
        PortEntry.model_validate(
            {"name": "p", "station": "1 m", "holes": ["3 mm"] * 3, "at": ["0 deg"], "bay_volume": "1 l"}
        )


def test_one_that_reads_too_little_fires_early_and_is_no_go(basis) -> None:
    found = with_accelerometer(basis, range=spread_of(30.0))
    assert only(found, "accelerometer-range").verdict is NO_GO
    early = only(found, "top-early", "computer A")
    assert early.verdict is NO_GO
    assert "finds the top" not in why(early)
    # Its charge has fired, whatever the barometer of the other says.
    disagree = only(found, "computers-disagree")
    assert disagree.verdict is NO_GO
    assert disagree.value == found.tops[0].after_top
    assert "computer A" in what_to_change(disagree)


def test_one_that_decides_nothing_but_reads_too_little_is_a_caution(basis) -> None:
    found = with_accelerometer(basis, range=spread_of(30.0), finds_top=False)
    assert only(found, "accelerometer-range").verdict is CAUTION
    assert [top.port for top in found.tops] == ["static ports", "static ports"]


def test_without_ports_the_top_and_who_is_first_are_not_known(basis) -> None:
    found = sensed(basis, port=())
    assert [top.after_top for top in found.tops] == [None, None]
    assert only(found, "computers-disagree").verdict is NOT_KNOWN
    assert "[[electronics.port]]" in what_to_change(only(found, "computers-disagree"))


def test_what_an_accelerometer_feels_is_judged_by_its_flights(basis) -> None:
    finds = with_accelerometer(basis)
    assert only(finds, "top-early", "computer A").verdict is GO
    assert only(finds, "top-late", "computer A").verdict is GO
    for over_g, verdict in ((3.0, GO), (40.0, NO_GO)):
        felt = with_accelerometer(basis, lift_off=at_least_felt(over_g, 0.25))
        assert only(felt, "lift-off-felt").verdict is verdict


def test_of_a_barometer_early_is_judged_by_its_reading_and_once(basis) -> None:
    keys = [one.key for one in sensing_findings(sensed(basis))]
    assert "barometer-rises" in keys
    assert not {"top-early", "top-late"} & set(keys)


def test_one_computer_disagrees_with_nobody(basis) -> None:
    found = sensed(basis, computer=basis.vehicle.sheet.electronics.computer[:1])
    one = only(replace(found, tops=found.tops[:1]), "computers-disagree")
    assert (one.verdict, limit(one)) == (GO, "no second computer that fires at the top")
    # What it says fits where there is nothing between a first and a last.
    assert why(one).endswith("find the bay open.")


@pytest.mark.parametrize(
    ("low", "high", "early", "late"),
    [(-2.9, 4.9, GO, GO), (-3.1, 0.0, NO_GO, GO), (0.0, 5.1, GO, NO_GO), (-9.0, -4.0, NO_GO, GO)],
)
def test_early_and_late_are_three_and_five_seconds(low, high, early, late) -> None:
    top = SensedTop(computer="A", port="", canopies=("main",), after_top=between(low, high))
    found = Sensing(tops=(top,))
    assert only(found, "top-early").verdict is early
    assert only(found, "top-late").verdict is late


def test_the_first_of_two_decides_and_one_pressure_for_both_is_told() -> None:
    tops = [
        SensedTop(computer=name, port=port, canopies=("main",), after_top=between(low, low + 1.0))
        for name, port, low in (("A", "holes", -5.0), ("B", "holes", 0.5))
    ]
    shared = only(Sensing(tops=tuple(tops)), "computers-disagree")
    assert shared.verdict is NO_GO
    assert "wrong together" in why(shared)
    apart = only(Sensing(tops=(tops[1], replace(tops[0], port="others"))), "computers-disagree")
    assert apart.verdict is NO_GO
    assert "wrong together" not in why(apart)
    assert "6.5 s" in why(apart)


def felt_lift_off(**changes) -> FeltLiftOff:
    usual = FeltLiftOff(
        computer="k",
        held_level=between(40.0, 60.0),
        asked_m_s2=30.0,
        over=between(29.0, 31.0),
        held=between(0.24, 0.26),
        longest_knock_s=0.1,
    )
    return replace(usual, **changes)


@pytest.mark.parametrize(
    ("key", "changes", "verdict"),
    [
        ("lift-off-felt", {}, GO),
        ("lift-off-felt", {"asked_m_s2": 41.0}, NO_GO),
        (
            "lift-off-felt",
            {"held_level": between(40.0, 60.0, KnownBy.ASSUMED), "asked_m_s2": 41.0},
            NOT_KNOWN,
        ),
        ("lift-off-knocked", {}, GO),
        ("lift-off-knocked", {"longest_knock_s": 0.25}, NO_GO),
        ("lift-off-knocked", {"longest_knock_s": math.inf}, NO_GO),
        ("lift-off-carried", {}, GO),
        ("lift-off-carried", {"over": between(19.5, 21.0)}, NO_GO),
        ("lift-off-carried", {"over": between(19.7, 21.0)}, GO),
    ],
)
def test_a_lift_off_that_is_felt_is_a_flight_and_neither_a_knock_nor_hands(
    key: str, changes: dict, verdict: Verdict
) -> None:
    assert only(Sensing(felt_lift_off=(felt_lift_off(**changes),)), key).verdict is verdict


def test_where_an_accelerometer_sees_the_flight_the_barometer_need_not() -> None:
    late = FirstMotion(computer="k", height=between(101.0, 110.0), gust_m=3.0, lowest_top_m=100.0)
    assert only(Sensing(first_motion=(late,)), "first-motion").verdict is NO_GO
    assert only(Sensing(first_motion=(replace(late, felt=True),)), "first-motion").verdict is GO
