"""Firing paths, what they share, and what the battery gives them."""

from dataclasses import replace

import pytest

from finial.core.errors import MissingData, OutsideRange
from finial.core.estimates import KnownBy, exact, spread
from finial.electronics.paths import (
    canopies_off_event,
    canopies_without_path,
    charges_without_igniter,
    firing_paths,
    ways_out,
)
from finial.electronics.rates import PartKind, rates_of
from finial.electronics.reliability import minimal_cut_sets
from finial.electronics.supply import battery_pad_hours, path_current, path_voltage
from finial.electronics.wiring import (
    Battery,
    Canopy,
    Charge,
    Computer,
    FailingPart,
    Igniter,
    Moment,
    Switch,
    Trigger,
    Wiring,
)

TOP = Moment(trigger=Trigger.APOGEE)
LATER = Moment(trigger=Trigger.FALLING, value=200.0)


def battery(name: str) -> Battery:
    return Battery(name=name, voltage_v=exact(7.4), internal_ohm=exact(0.5), capacity_a_h=exact(0.5))


def switch(name: str) -> Switch:
    return Switch(name=name, resistance_ohm=exact(0.02), rates=rates_of("screw switch"))


def computer(name: str, supply: str, *arming: tuple[str, ...]) -> Computer:
    return Computer(name=name, battery=supply, arming=arming, pad_current_a=exact(0.025), least_v=exact(5.0))


def igniter(name: str, charge: str, by: str, event: Moment = TOP) -> Igniter:
    return Igniter(
        name=name,
        charge=charge,
        computer=by,
        resistance_ohm=exact(1.5),
        wiring_ohm=exact(0.2),
        all_fire_a=1.0,
        event=event,
    )


def two_of_everything(**shared: str) -> Wiring:
    """Two computers, batteries, switches, igniters and charges; ``shared`` merges one kind."""
    supply = shared.get("battery", "battery B")
    arming = shared.get("switch", "switch B")
    brain = shared.get("computer", "computer B")
    powder = shared.get("charge", "charge B")
    # In this order, so that sharing computer A leaves computer A as it is.
    computers = {brain: computer(brain, supply, (arming,))}
    computers["computer A"] = computer("computer A", "battery A", ("switch A",))
    return Wiring(
        batteries=tuple(battery(name) for name in sorted({"battery A", supply})),
        switches=tuple(switch(name) for name in sorted({"switch A", arming})),
        computers=tuple(computers.values()),
        igniters=(igniter("igniter A", "charge A", "computer A"), igniter("igniter B", powder, brain)),
        charges=tuple(Charge(name=name, bay="bay") for name in sorted({"charge A", powder})),
        canopies=(Canopy(name="main", bay="bay", event=TOP),),
    )


def alone(wiring: Wiring, canopy: str = "main") -> set[FailingPart]:
    cuts = minimal_cut_sets(ways_out(firing_paths(wiring), canopy))
    return {part for cut in cuts if len(cut) == 1 for part in cut}


def test_two_of_everything_has_no_single_point() -> None:
    assert alone(two_of_everything()) == set()


@pytest.mark.parametrize("kind", [PartKind.BATTERY, PartKind.SWITCH, PartKind.CHARGE])
def test_one_shared_part_is_the_single_point(kind: PartKind) -> None:
    found = alone(two_of_everything(**{kind: f"{kind} A"}))
    assert found == {FailingPart(kind=kind, name=f"{kind} A")}


def test_two_igniters_on_one_computer_hang_on_it_and_all_behind_it() -> None:
    found = alone(two_of_everything(computer="computer A"))
    assert {part.kind for part in found} == {"battery", "computer", "switch"}


def test_sled_port_joint_cord_and_canopy_stand_in_every_path_that_needs_them() -> None:
    sled = FailingPart(kind=PartKind.SLED, name="sled")
    cord = FailingPart(kind=PartKind.CORD, name="cord")
    whole = two_of_everything()
    one_sled = replace(
        whole,
        computers=tuple(replace(one, needs=(sled,)) for one in whole.computers),
        canopies=(replace(whole.canopies[0], needs=(cord,)),),
    )
    assert alone(one_sled) == {sled, cord}
    own = tuple(
        replace(one, needs=(FailingPart(kind=PartKind.SLED, name=one.name),)) for one in whole.computers
    )
    assert alone(replace(whole, computers=own)) == set()


def test_switches_in_series_and_in_parallel_make_paths() -> None:
    whole = two_of_everything()
    series = replace(
        whole,
        computers=(computer("computer A", "battery A", ("switch A",), ("switch B",)),),
        igniters=whole.igniters[:1],
    )
    (path,) = firing_paths(series)
    assert path.switches == ("switch A", "switch B")
    assert {part.name for part in alone(series) if part.kind is PartKind.SWITCH} == {"switch A", "switch B"}
    parallel = replace(series, computers=(computer("computer A", "battery A", ("switch A", "switch B")),))
    assert [path.switches for path in firing_paths(parallel)] == [("switch A",), ("switch B",)]
    assert not any(part.kind is PartKind.SWITCH for part in alone(parallel))


def test_a_computer_without_a_switch_still_fires() -> None:
    whole = two_of_everything()
    bare = replace(whole, computers=tuple(replace(one, arming=()) for one in whole.computers))
    assert [path.switches for path in firing_paths(bare)] == [(), ()]


def test_one_battery_may_lose_two_canopies() -> None:
    wiring = Wiring(
        batteries=(battery("battery A"),),
        computers=(computer("computer A", "battery A"),),
        igniters=(igniter("i1", "c1", "computer A"), igniter("i2", "c2", "computer A")),
        charges=(Charge(name="c1", bay="fore"), Charge(name="c2", bay="aft")),
        canopies=(
            Canopy(name="main", bay="fore", event=TOP),
            Canopy(name="drogue", bay="aft", event=TOP),
        ),
    )
    both = {part.name for part in alone(wiring, "main") & alone(wiring, "drogue")}
    assert both == {"battery A", "computer A"}


def test_a_canopy_nothing_fires_has_no_way_out() -> None:
    wiring = two_of_everything()
    lonely = Canopy(name="drogue", bay="other bay", event=TOP)
    lost = replace(wiring, canopies=(*wiring.canopies, lonely))
    assert canopies_without_path(lost) == ("drogue",)
    assert ways_out(firing_paths(lost), "drogue") == frozenset()


def test_a_charge_without_igniter_is_told() -> None:
    wiring = two_of_everything()
    assert charges_without_igniter(wiring) == ()
    assert charges_without_igniter(replace(wiring, igniters=wiring.igniters[:1])) == ("charge B",)


def test_a_canopy_fired_only_at_another_event_is_told() -> None:
    wiring = two_of_everything()
    late = replace(wiring, canopies=(Canopy(name="main", bay="bay", event=LATER),))
    assert canopies_off_event(late) == ("main",)
    assert canopies_off_event(wiring) == ()


def test_names_that_lead_nowhere_are_refused() -> None:
    with pytest.raises(MissingData, match=r"computer A names battery 'battery Z': known are battery A"):
        Wiring(batteries=(battery("battery A"),), computers=(computer("computer A", "battery Z"),))
    with pytest.raises(MissingData, match=r"names switch 'pin': known are none"):
        Wiring(batteries=(battery("battery A"),), computers=(computer("computer A", "battery A", ("pin",)),))


def test_double_names_are_refused() -> None:
    with pytest.raises(OutsideRange, match="two things of kind battery"):
        Wiring(batteries=(battery("b"), battery("b")))


def test_igniters_fired_at_once_share_the_battery() -> None:
    shared = two_of_everything(battery="battery A", switch="switch A")
    apart = two_of_everything()
    by_itself = path_current(apart, firing_paths(apart)[0])
    together = path_current(shared, firing_paths(shared)[0])
    assert together.high == by_itself.value == by_itself.low
    # Two branches of 1.7 ohm behind 0.52 ohm: 7.4 / (0.52 + 0.85) split in two.
    assert together.low == pytest.approx(7.4 / (0.52 + 0.85) / 2)
    voltage = path_voltage(shared, firing_paths(shared)[0])
    assert voltage.low == pytest.approx(7.4 * 0.85 / (0.52 + 0.85))
    assert voltage.value == pytest.approx(7.4 * 1.7 / (0.52 + 1.7))


def test_igniters_of_different_events_do_not_share_their_moment() -> None:
    whole = two_of_everything(battery="battery A", switch="switch A")
    later = replace(
        whole, igniters=(whole.igniters[0], igniter("igniter B", "charge B", "computer B", LATER))
    )
    current = path_current(later, firing_paths(later)[0])
    assert current.low == current.high


def test_switches_in_series_add_and_in_parallel_count_once() -> None:
    whole = two_of_everything()
    one, two, beside = (
        replace(whole, computers=(computer("computer A", "battery A", *groups),), igniters=whole.igniters[:1])
        for groups in ((("switch A",),), (("switch A",), ("switch B",)), (("switch A", "switch B"),))
    )
    currents = [path_current(wiring, firing_paths(wiring)[0]).value for wiring in (one, two, beside)]
    assert currents == pytest.approx([7.4 / 2.22, 7.4 / 2.24, 7.4 / 2.22])


def test_a_battery_feeds_all_its_computers() -> None:
    warm = exact(300.15)
    one = battery_pad_hours(two_of_everything(), "battery A", warm)
    two = battery_pad_hours(two_of_everything(battery="battery A"), "battery A", warm)
    assert one is not None
    assert two is not None
    assert two.value == pytest.approx(one.value / 2)


def test_a_spare_battery_has_no_hours() -> None:
    assert battery_pad_hours(Wiring(batteries=(battery("spare"),)), "spare", exact(300.0)) is None


def test_an_unknown_battery_lists_the_known_ones() -> None:
    with pytest.raises(MissingData, match="battery A, battery B"):
        battery_pad_hours(two_of_everything(), "battery C", spread(300.0, 0.01, known_by=KnownBy.MEASURED))
