"""Firing chains, cut sets and single points, against every state of every part."""

from itertools import combinations, product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from finial.core.errors import MissingData, OutsideRange
from finial.core.estimates import KnownBy, exact, spread
from finial.electronics.paths import (
    Chain,
    FailingPart,
    canopies_off_event,
    canopies_without_chain,
    firing_chains,
    loss_probability,
    minimal_cut_sets,
    single_points,
)
from finial.electronics.reliability import parallel_reliability, series_reliability
from finial.electronics.supply import battery_pad_hours, chain_current
from finial.electronics.wiring import Battery, Canopy, Charge, Computer, Igniter, Switch, Wiring


def battery(name: str) -> Battery:
    return Battery(name=name, voltage_v=exact(7.4), internal_ohm=exact(0.5), capacity_a_h=exact(0.5))


def switch(name: str) -> Switch:
    return Switch(name=name, resistance_ohm=exact(0.02))


def computer(name: str, supply: str, arming: str | None) -> Computer:
    return Computer(name=name, battery=supply, switch=arming, pad_current_a=exact(0.025))


def igniter(name: str, charge: str, by: str, event: str = "apogee") -> Igniter:
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
    computers = {brain: computer(brain, supply, arming)}
    computers["computer A"] = computer("computer A", "battery A", "switch A")
    return Wiring(
        batteries=tuple(battery(name) for name in sorted({"battery A", supply})),
        switches=tuple(switch(name) for name in sorted({"switch A", arming})),
        computers=tuple(computers.values()),
        igniters=(igniter("igniter A", "charge A", "computer A"), igniter("igniter B", powder, brain)),
        charges=tuple(Charge(name=name, bay="bay") for name in sorted({"charge A", powder})),
        canopies=(Canopy(name="main", bay="bay", event="apogee"),),
    )


def test_two_of_everything_has_no_single_point() -> None:
    assert single_points(two_of_everything()) == ()


@pytest.mark.parametrize("kind", ["battery", "switch", "charge"])
def test_one_shared_part_is_the_single_point(kind: str) -> None:
    points = single_points(two_of_everything(**{kind: f"{kind} A"}))
    assert [point.part for point in points] == [FailingPart(kind=kind, name=f"{kind} A")]
    assert points[0].canopies == ("main",)
    assert str(points[0]) == f"{kind} '{kind} A' alone keeps in: main"


def test_two_igniters_on_one_computer_hang_on_it_and_all_behind_it() -> None:
    points = single_points(two_of_everything(computer="computer A"))
    assert {point.part.kind for point in points} == {"battery", "computer", "switch"}


def test_one_chain_makes_every_part_a_single_point() -> None:
    whole = two_of_everything()
    lone = Wiring(
        batteries=whole.batteries,
        switches=whole.switches,
        computers=whole.computers,
        igniters=whole.igniters[:1],
        charges=whole.charges,
        canopies=whole.canopies,
    )
    assert {point.part.kind for point in single_points(lone)} == {
        "battery",
        "switch",
        "computer",
        "igniter",
        "charge",
    }


def test_one_battery_may_lose_two_canopies() -> None:
    wiring = Wiring(
        batteries=(battery("battery A"),),
        switches=(),
        computers=(computer("computer A", "battery A", None),),
        igniters=(igniter("i1", "c1", "computer A"), igniter("i2", "c2", "computer A")),
        charges=(Charge(name="c1", bay="fore"), Charge(name="c2", bay="aft")),
        canopies=(Canopy(name="main", bay="fore"), Canopy(name="drogue", bay="aft")),
    )
    both = {point.part.name for point in single_points(wiring) if point.canopies == ("main", "drogue")}
    assert both == {"battery A", "computer A"}


def test_a_canopy_nothing_fires_has_no_chain_and_no_single_point() -> None:
    wiring = two_of_everything()
    lost = Wiring(
        batteries=wiring.batteries,
        switches=wiring.switches,
        computers=wiring.computers,
        igniters=wiring.igniters,
        charges=wiring.charges,
        canopies=(*wiring.canopies, Canopy(name="drogue", bay="other bay")),
    )
    assert canopies_without_chain(lost) == ("drogue",)
    assert single_points(lost) == ()
    assert loss_probability((), {}) == 1.0


def test_a_canopy_fired_only_at_another_event_is_told() -> None:
    wiring = two_of_everything()
    late = Wiring(
        batteries=wiring.batteries,
        switches=wiring.switches,
        computers=wiring.computers,
        igniters=wiring.igniters,
        charges=wiring.charges,
        canopies=(Canopy(name="main", bay="bay", event="falling through 200 m"),),
    )
    assert canopies_off_event(late) == ("main",)
    assert canopies_off_event(wiring) == ()


def brute_force_cuts(chains: tuple[Chain, ...], largest: int) -> set[frozenset[FailingPart]]:
    """Minimal cut sets by asking every subset, and every subset of it."""
    parts = sorted({part for chain in chains for part in chain.parts})

    def cuts(failed: frozenset[FailingPart]) -> bool:
        return not any(chain.parts.isdisjoint(failed) for chain in chains)

    found = set()
    for size in range(1, largest + 1):
        for chosen in map(frozenset, combinations(parts, size)):
            smaller = (frozenset(subset) for k in range(size) for subset in combinations(chosen, k))
            if cuts(chosen) and not any(cuts(subset) for subset in smaller):
                found.add(chosen)
    return found


chain_lists = st.lists(
    st.builds(
        Chain,
        canopy=st.just("main"),
        charge=st.sampled_from(["c1", "c2"]),
        igniter=st.sampled_from(["i1", "i2", "i3"]),
        computer=st.sampled_from(["k1", "k2"]),
        battery=st.sampled_from(["b1", "b2"]),
        switch=st.sampled_from(["s1", None]),
        event=st.just("apogee"),
    ),
    min_size=1,
    max_size=4,
).map(tuple)


@settings(max_examples=30, deadline=None)
@given(chain_lists)
def test_cut_sets_are_those_of_brute_force(chains: tuple[Chain, ...]) -> None:
    assert set(minimal_cut_sets(chains, largest=3)) == brute_force_cuts(chains, 3)


@settings(max_examples=20, deadline=None)
@given(chain_lists, st.floats(0.01, 0.5))
def test_loss_probability_is_one_less_the_works_of_every_state(
    chains: tuple[Chain, ...], failure: float
) -> None:
    parts = sorted({part for chain in chains for part in chain.parts})
    works = 0.0
    for state in product((True, False), repeat=len(parts)):
        good = {part for part, ok in zip(parts, state, strict=True) if ok}
        if any(chain.parts <= good for chain in chains):
            works += (1 - failure) ** len(good) * failure ** (len(parts) - len(good))
    assert loss_probability(chains, dict.fromkeys(parts, failure)) == pytest.approx(1 - works, abs=1e-12)


def test_loss_of_two_chains_is_the_block_diagram() -> None:
    chains = firing_chains(two_of_everything())
    failure = {"battery": 0.005, "switch": 0.002, "computer": 0.005, "igniter": 0.005, "charge": 0.0}
    chance = {part: failure[part.kind] for chain in chains for part in chain.parts}
    one = series_reliability([0.995, 0.998, 0.995, 0.995])
    assert 1 - loss_probability(chains, chance) == pytest.approx(parallel_reliability([one, one]), rel=1e-12)


def test_chains_of_two_canopies_are_not_mixed() -> None:
    first = firing_chains(two_of_everything())[0]
    other = Chain(
        canopy="drogue", charge="c", igniter="i", computer="k", battery="b", switch=None, event="apogee"
    )
    with pytest.raises(OutsideRange, match="one at a time"):
        minimal_cut_sets((first, other))


def test_more_parts_than_can_be_enumerated_are_refused() -> None:
    chains = tuple(
        Chain(
            canopy="main",
            charge=f"c{i}",
            igniter=f"i{i}",
            computer=f"k{i}",
            battery=f"b{i}",
            switch=f"s{i}",
            event="",
        )
        for i in range(5)
    )
    chance = {part: 0.01 for chain in chains for part in chain.parts}
    with pytest.raises(OutsideRange, match="too many states"):
        loss_probability(chains, chance)


@pytest.mark.parametrize("probability", [-0.1, 1.1, float("nan")])
def test_what_is_no_probability_is_refused(probability: float) -> None:
    chains = firing_chains(two_of_everything())
    chance = {part: probability for chain in chains for part in chain.parts}
    with pytest.raises(OutsideRange):
        loss_probability(chains, chance)


def test_a_part_without_probability_is_told() -> None:
    with pytest.raises(MissingData, match="no failure probability for battery"):
        loss_probability(firing_chains(two_of_everything()), {})


def test_names_that_lead_nowhere_are_refused() -> None:
    with pytest.raises(MissingData, match=r"computer A names battery 'battery Z': known are battery A"):
        Wiring(
            batteries=(battery("battery A"),),
            switches=(),
            computers=(computer("computer A", "battery Z", None),),
            igniters=(),
            charges=(),
            canopies=(),
        )


def test_double_names_are_refused() -> None:
    with pytest.raises(OutsideRange, match="two things of kind battery"):
        Wiring(
            batteries=(battery("b"), battery("b")),
            switches=(),
            computers=(),
            igniters=(),
            charges=(),
            canopies=(),
        )


def test_igniters_fired_at_once_share_the_battery() -> None:
    shared = two_of_everything(battery="battery A", switch="switch A")
    alone = two_of_everything()
    apart = chain_current(alone, firing_chains(alone)[0])
    together = chain_current(shared, firing_chains(shared)[0])
    assert together.high == apart.value == apart.low
    # Two branches of 1.7 ohm behind 0.52 ohm: 7.4 / (0.52 + 0.85) split in two.
    assert together.low == pytest.approx(7.4 / (0.52 + 0.85) / 2)


def test_igniters_of_different_events_do_not_share_their_moment() -> None:
    whole = two_of_everything(battery="battery A", switch="switch A")
    later = Wiring(
        batteries=whole.batteries,
        switches=whole.switches,
        computers=whole.computers,
        igniters=(whole.igniters[0], igniter("igniter B", "charge B", "computer B", "falling through 200 m")),
        charges=whole.charges,
        canopies=whole.canopies,
    )
    current = chain_current(later, firing_chains(later)[0])
    assert current.low == current.high


def test_a_battery_feeds_all_its_computers() -> None:
    warm = exact(300.15)
    one = battery_pad_hours(two_of_everything(), "battery A", warm)
    two = battery_pad_hours(two_of_everything(battery="battery A"), "battery A", warm)
    assert one is not None
    assert two is not None
    assert two.value == pytest.approx(one.value / 2)


def test_a_spare_battery_has_no_hours() -> None:
    wiring = Wiring(
        batteries=(battery("spare"),), switches=(), computers=(), igniters=(), charges=(), canopies=()
    )
    assert battery_pad_hours(wiring, "spare", exact(300.0)) is None


def test_an_unknown_battery_lists_the_known_ones() -> None:
    with pytest.raises(MissingData, match="battery A, battery B"):
        battery_pad_hours(two_of_everything(), "battery C", spread(300.0, 0.01, known_by=KnownBy.MEASURED))
