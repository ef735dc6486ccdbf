"""Currents and pad times of Skerry Light's wiring against Ohm's law."""

import math

import pytest

from finial.assemble.electronics.study import electronics_result
from finial.assemble.electronics.wiring import sheet_wiring
from finial.core.estimates import exact
from finial.core.units import Quantity
from finial.electronics.batteries import cold_resistance
from finial.electronics.rates import PartKind, rates_of
from finial.files.sheet_recovery import WireEntry


def with_electronics(vehicle, **tables):
    sheet = vehicle.sheet
    return sheet.model_copy(update={"electronics": sheet.electronics.model_copy(update=tables)})


def test_firing_current_by_ohms_law(answered) -> None:
    # 7.4 V through battery 0.1 as warm as the day, switch 0.02, igniter 1.5 and wires 0.2 ohm.
    times = cold_resistance(exact(273.15 + 22.0))
    by_hand = 7.4 / (0.1 * times.value + 0.02 + 1.5 + 0.2)
    # An hour at 25 and at 12 mA takes 5 and 2.4 % of 500 mAh: 4.5 % of the voltage go with the first fifth,
    # 7 % at worst.
    waited, at_worst = ([1 - lost * drawn / 0.2 for drawn in (0.05, 0.024)] for lost in (0.045, 0.07))
    volts = [by_hand * share * 1.7 for share in waited]
    found = answered.electronics.paths
    assert [power.current.value for power in found] == pytest.approx([by_hand * share for share in waited])
    assert [power.voltage.value for power in found] == pytest.approx(volts)
    cold = cold_resistance(exact(273.15 + 17.0)).high
    lowest = [7.4 * share / (0.1 * cold + 1.72) for share in at_worst]
    assert [power.current.low for power in found] == pytest.approx(lowest)


def test_pad_time_is_at_most_capacity_over_current(answered) -> None:
    times = dict(answered.electronics.pad_times)
    assert 0.6 * 20 * 3600 < times["battery A"].value <= 20 * 3600
    assert times["battery B"].value / times["battery A"].value == pytest.approx(25 / 12)


def test_every_igniter_is_checked_by_its_own_computer(lighthouse) -> None:
    given = lighthouse.sheet.electronics
    silent = given.computer[1].model_copy(update={"continuity_current": None})
    doubtful = given.igniter[0].model_copy(update={"no_fire": Quantity(value=0.3, tolerance=0.1, text="")})
    sheet = with_electronics(
        lighthouse, computer=(given.computer[0], silent), igniter=(doubtful, given.igniter[1])
    )
    first, second = electronics_result(sheet).checks
    assert (first.igniter, first.computer, first.current.value) == ("igniter A", "computer A", 0.002)
    assert first.no_fire_a == pytest.approx(0.2)
    assert (second.igniter, second.computer, second.current) == ("igniter B", "computer B", None)


def alone(electronics) -> set[tuple[str, str]]:
    return {(point.part.kind.value, point.part.name) for point in electronics.single_points}


ALONE_BY_NATURE = {("joint", "lantern joint"), ("cord", "shock cord"), ("canopy", "main")}
SHARED = {("sled", "sled"), ("port", "static ports")}


def test_two_of_everything_leave_only_what_is_alone_by_nature_and_what_nobody_said(answered) -> None:
    assert alone(answered.electronics) == ALONE_BY_NATURE | SHARED


def test_computers_on_their_own_sleds_and_ports_share_neither(lighthouse) -> None:
    computers = tuple(
        one.model_copy(update={"sled": f"sled of {one.name}", "port": f"port of {one.name}"})
        for one in lighthouse.sheet.electronics.computer
    )
    assert alone(electronics_result(with_electronics(lighthouse, computer=computers))) == ALONE_BY_NATURE


def test_both_igniters_on_one_computer_make_single_points(lighthouse) -> None:
    electronics = lighthouse.sheet.electronics
    igniters = tuple(one.model_copy(update={"computer": "computer A"}) for one in electronics.igniter)
    found = electronics_result(with_electronics(lighthouse, igniter=igniters))
    own = {("battery", "battery A"), ("switch", "switch A"), ("computer", "computer A")}
    assert alone(found) == own | ALONE_BY_NATURE | SHARED
    assert found.idle == ("computer B",)
    assert all(point.canopies == ("main",) for point in found.single_points)


def test_a_second_computer_on_the_same_battery_saves_less_than_one_on_its_own(lighthouse) -> None:
    given = lighthouse.sheet.electronics
    (own,) = electronics_result(lighthouse.sheet).odds
    one_battery = tuple(one.model_copy(update={"battery": "battery A"}) for one in given.computer)
    (shared,) = electronics_result(with_electronics(lighthouse, computer=one_battery)).odds
    assert shared.loss.value > own.loss.value + 0.004
    best = {doubling.part.kind: doubling.ratio for doubling in shared.doublings}
    assert best[PartKind.BATTERY] < best[PartKind.COMPUTER] <= 1.0
    assert shared.doublings == tuple(sorted(shared.doublings, key=lambda one: (one.ratio, one.part)))
    likeliest = [cut.odds.value for cut in shared.cuts]
    assert likeliest == sorted(likeliest, reverse=True)


def test_the_odds_of_the_lighthouse_by_hand(answered) -> None:
    """One of six that are alone, or both chains: their own failures, or one of all that they share."""
    usual = {kind: rates_of(kind).fails.value for kind in PartKind}
    single = [usual[kind] for kind in ("joint", "cord", "canopy", "sled", "port", "vibration")]
    chain = [usual[kind] for kind in ("battery", "switch", "computer", "igniter", "charge", "lead")]
    one = 1 - math.prod(1 - 0.9 * odds for odds in chain)
    kept = math.prod(1 - odds for odds in single) * math.prod(1 - 0.1 * odds for odds in chain) * (1 - one**2)
    (odds,) = answered.electronics.odds
    assert odds.loss.value == pytest.approx(1 - kept, rel=1e-9)
    assert odds.loss.low < odds.loss.value < odds.loss.high


def test_pins_in_series_guard_and_pins_in_parallel_arm(lighthouse) -> None:
    given = lighthouse.sheet.electronics
    pins = tuple(
        one.model_copy(update={"kind": "pull pin", "fails_open": None, "fails_closed": None})
        for one in given.switch
    )
    found, ways = {}, {"series": (("switch A",), ("switch B",)), "parallel": (("switch A", "switch B"),)}
    for name, groups in ways.items():
        lone = given.computer[0].model_copy(update={"switch": None, "switches": groups})
        sheet = with_electronics(lighthouse, switch=pins, computer=(lone, given.computer[1]))
        found[name] = electronics_result(sheet).arming[0]
    assert found["parallel"].no_arming.value == pytest.approx(0.0009)
    assert found["parallel"].unasked.value == pytest.approx(0.009975)
    assert found["series"].no_arming.value == pytest.approx(0.0591)
    assert found["series"].unasked.value == pytest.approx(0.000025)


def test_a_computer_without_a_switch_is_always_live(lighthouse) -> None:
    given = lighthouse.sheet.electronics
    bare = given.computer[0].model_copy(update={"switch": None})
    found = electronics_result(with_electronics(lighthouse, computer=(bare, given.computer[1])))
    assert (found.arming[0].unasked.value, found.arming[0].no_arming.value) == (1.0, 0.0)


def test_own_counts_beat_the_table(lighthouse) -> None:
    given = lighthouse.sheet.electronics
    counted = given.switch[0].model_copy(
        update={"fails_open": Quantity(value=0.04, tolerance=0.01, text=""), "kind": "pull pin"}
    )
    found = electronics_result(with_electronics(lighthouse, switch=(counted, given.switch[1])))
    odds = found.arming[0].no_arming
    assert (odds.low, odds.value, odds.high) == pytest.approx((0.03, 0.04, 0.05))


def test_wires_by_gauge_and_igniters_by_kind(lighthouse) -> None:
    given = lighthouse.sheet.electronics
    match = given.igniter[0].model_copy(
        update={
            "kind": "electric match",
            "resistance": None,
            "all_fire": None,
            "no_fire": None,
            "wiring_resistance": None,
            "wire": WireEntry.model_validate({"gauge": 24, "length": "1 m"}),
            "connectors": 2,
        }
    )
    power, other = electronics_result(with_electronics(lighthouse, igniter=(match, given.igniter[1]))).paths
    assert power.all_fire_a == 1.0
    assert (power.fires_in_s, power.energy_j) == ((0.005, 0.020), 0.010)
    assert (other.fires_in_s, other.energy_j) == (None, None)
    warm = 1 + 0.00393 * 2.0
    ohm = 0.1 * cold_resistance(exact(295.15)).value + 0.02 + 1.4 + 0.16845 * warm + 2 * 0.01
    waited = 1 - 0.045 * 0.05 / 0.2
    assert power.current.value == pytest.approx(7.4 * waited / ohm, rel=1e-4)


def test_a_charge_without_igniter_and_a_canopy_without_path_are_told(lighthouse) -> None:
    given = lighthouse.sheet.electronics
    found = electronics_result(with_electronics(lighthouse, igniter=given.igniter[:1]))
    assert found.unfired == ("lantern backup charge",)
    assert found.without_path == ()
    none = electronics_result(with_electronics(lighthouse, igniter=()))
    assert none.without_path == ("main",)
    assert none.odds[0].loss.value == 1.0
    assert none.single_points == ()


def test_an_igniter_set_to_another_event_is_told(lighthouse) -> None:
    from finial.files.sheet_recovery import EventEntry

    late = EventEntry(after_lift_off=Quantity(value=20.0, text="20 s"))
    igniters = tuple(one.model_copy(update={"event": late}) for one in lighthouse.sheet.electronics.igniter)
    assert electronics_result(with_electronics(lighthouse, igniter=igniters)).off_event == ("main",)


def test_wires_nobody_entered_widen_the_current(lighthouse) -> None:
    igniters = tuple(
        one.model_copy(update={"wiring_resistance": None}) for one in lighthouse.sheet.electronics.igniter
    )
    path = electronics_result(with_electronics(lighthouse, igniter=igniters)).paths[0]
    assert path.current.low < 7.4 / 1.85 < path.current.high


def test_a_gust_is_held_against_the_lowest_top_of_all_flights(answered) -> None:
    tops = [float(one.positions_m[:, 2].max()) for one in answered.flights.every]
    assert min(tops) < max(tops)
    (motion, *_) = answered.electronics.sensing.first_motion
    assert motion.lowest_top_m == min(tops)


def test_one_plug_that_feeds_both_computers_stands_alone_and_two_do_not(lighthouse) -> None:
    computers = lighthouse.sheet.electronics.computer
    one, two = (
        tuple(each.model_copy(update={"plugs": (plug,)}) for each, plug in zip(computers, names, strict=True))
        for names in (("plug", "plug"), ("plug A", "plug B"))
    )
    plug = {("connector", "plug")}
    shared = electronics_result(with_electronics(lighthouse, computer=one))
    assert alone(shared) == ALONE_BY_NATURE | SHARED | plug
    apart = electronics_result(with_electronics(lighthouse, computer=two))
    assert alone(apart) == ALONE_BY_NATURE | SHARED
    assert shared.odds[0].loss.value > apart.odds[0].loss.value


def test_the_shaking_of_the_vehicle_takes_every_chain_and_is_no_part(answered) -> None:
    """It stands in the sums, as one more thing that alone is enough; and nobody can fit a second one."""
    (odds,) = answered.electronics.odds
    shaking = rates_of(PartKind.VIBRATION).fails
    (cut,) = [cut for cut in odds.cuts if cut.parts[0].kind is PartKind.VIBRATION]
    assert len(cut.parts) == 1
    assert cut.odds.value == pytest.approx(shaking.value)
    assert not any(one.part.kind is PartKind.VIBRATION for one in odds.doublings)
    assert not any(kind == "vibration" for kind, _ in alone(answered.electronics))


def test_a_lead_fails_by_its_wire_or_by_any_connector_in_it(lighthouse) -> None:
    """One igniter alone: each connector counted in its lead adds its own odds, by hand."""
    electronics = lighthouse.sheet.electronics
    wire, each = rates_of(PartKind.LEAD).fails.value, rates_of(PartKind.CONNECTOR).fails.value

    def lead(connectors: int) -> float:
        igniter = electronics.igniter[0].model_copy(update={"connectors": connectors})
        found = electronics_result(with_electronics(lighthouse, igniter=(igniter,)))
        (cut,) = [one for one in found.odds[0].cuts if one.parts[0].kind is PartKind.LEAD]
        return cut.odds.value

    assert lead(0) == pytest.approx(wire)
    assert lead(4) == pytest.approx(1 - (1 - wire) * (1 - each) ** 4)


def test_named_plugs_add_two_contacts_each(lighthouse) -> None:
    """10 mohm a contact, in the lead and behind the battery; a measured lead has its own in it."""
    electronics = lighthouse.sheet.electronics
    fed = electronics.computer[0].model_copy(update={"plugs": ("power plug",)})
    measured = electronics.igniter[0].model_copy(update={"plugs": ("bay plug",)})
    wire = WireEntry(gauge=24, length=Quantity(value=1.0, text="1 m"))
    drawn = measured.model_copy(update={"wiring_resistance": None, "wire": wire})

    def ohms(computer, igniter) -> float:
        computers = (computer, electronics.computer[1])
        igniters = (igniter, electronics.igniter[1])
        sheet = with_electronics(lighthouse, computer=computers, igniter=igniters)
        return sheet_wiring(sheet.electronics, sheet.recovery, exact(293.15)).igniters[0].wiring_ohm.value

    bare = electronics.computer[0]
    assert ohms(fed, measured) - ohms(bare, measured) == pytest.approx(0.02)
    assert ohms(bare, measured) == pytest.approx(0.2)
    assert ohms(bare, drawn) == pytest.approx(0.1684 + 0.02, abs=1e-4)
    assert ohms(fed, drawn) == pytest.approx(0.1684 + 0.04, abs=1e-4)


def test_both_directions_of_an_event_stand_in_the_answer(answered) -> None:
    """By hand: an igniter off by itself, or computer and switch; beside the like in the other chain."""
    share = 0.1
    igniter, computer, switch = (
        rates_of(kind).unasked.value for kind in (PartKind.IGNITER, PartKind.COMPUTER, "switch")
    )
    own = 1 - share
    quiet = (1 - own * igniter) * (1 - share * igniter) ** 0.5
    both_igniters = 1 - quiet**2
    live = own * switch + share * switch
    rough = both_igniters + 2 * computer * live
    (odds,) = answered.electronics.odds
    assert odds.fires_near.value == pytest.approx(rough, rel=0.02)
    assert answered.electronics.fires_near == odds.fires_near
