"""Exact odds and cut sets against every state of every part, simulation and block diagrams."""

from itertools import combinations, product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from finial.core.errors import MissingData, OutsideRange
from finial.core.estimates import Estimate, KnownBy, exact
from finial.electronics.arming import odds_of_no_arming, odds_of_unasked_arming
from finial.electronics.common_cause import with_common_causes
from finial.electronics.rates import PartKind, rates_of, switch_kinds
from finial.electronics.reliability import doubled, loss_interval, loss_probability, minimal_cut_sets
from finial.electronics.wiring import FailingPart

ways_of_parts = st.lists(
    st.frozensets(st.sampled_from("abcdefg"), min_size=1, max_size=5), min_size=1, max_size=5
)
odds_of_parts = st.fixed_dictionaries({part: st.floats(0.0, 1.0) for part in "abcdefg"})


def every_state(ways: list[frozenset[str]], odds: dict[str, float]) -> float:
    lost = 0.0
    for state in product((True, False), repeat=len(odds)):
        good = {part for part, works in zip(odds, state, strict=True) if works}
        if not any(way <= good for way in ways):
            chances = (
                1 - odds[part] if works else odds[part] for part, works in zip(odds, state, strict=True)
            )
            lost += float(np.prod(list(chances)))
    return lost


@settings(max_examples=60, deadline=None)
@given(ways_of_parts, odds_of_parts)
def test_the_odds_are_those_of_every_state(ways: list[frozenset[str]], odds: dict[str, float]) -> None:
    assert loss_probability(ways, odds) == pytest.approx(every_state(ways, odds), abs=1e-12)


def test_the_odds_agree_with_a_simulation() -> None:
    """Two chains on one sled, 400 000 flights drawn."""
    ways = [frozenset({"sled", *(part + side for part in "bscig")}) for side in "AB"]
    odds = {part: 0.05 + 0.01 * index for index, part in enumerate(sorted(frozenset().union(*ways)))}
    rng = np.random.default_rng(7)
    names = list(odds)
    works = rng.random((400_000, len(names))) > np.array([odds[name] for name in names])
    column = {name: index for index, name in enumerate(names)}
    flown = np.any([works[:, [column[part] for part in way]].all(axis=1) for way in ways], axis=0)
    drawn = 1 - flown.mean()
    scatter = np.sqrt(drawn * (1 - drawn) / len(flown))
    assert loss_probability(ways, odds) == pytest.approx(drawn, abs=4 * scatter)


@settings(max_examples=60, deadline=None)
@given(ways_of_parts)
def test_cut_sets_are_those_of_brute_force(ways: list[frozenset[str]]) -> None:
    parts = sorted(frozenset().union(*ways))

    def cuts(failed: frozenset[str]) -> bool:
        return not any(way.isdisjoint(failed) for way in ways)

    found = {
        frozenset(chosen)
        for size in range(1, len(parts) + 1)
        for chosen in combinations(parts, size)
        if cuts(frozenset(chosen))
        and not any(cuts(frozenset(less)) for less in combinations(chosen, size - 1))
    }
    given_ = minimal_cut_sets(ways)
    assert set(given_) == found
    assert [len(cut) for cut in given_] == sorted(len(cut) for cut in given_)


def test_forty_parts_are_no_trouble() -> None:
    ways = [frozenset({"port", *(f"{kind}{side}" for kind in "abcdefghi")}) for side in range(4)]
    odds = dict.fromkeys(frozenset().union(*ways), 0.01)
    one = 1 - 0.99**9
    assert loss_probability(ways, odds) == pytest.approx(0.01 + 0.99 * one**4, rel=1e-12)
    assert len(minimal_cut_sets(ways)) == 1 + 9**4


def test_nothing_that_works_is_lost_for_sure() -> None:
    assert loss_probability((), {}) == 1.0
    assert minimal_cut_sets(()) == ()
    assert loss_probability([frozenset()], {}) == 0.0


@pytest.mark.parametrize("probability", [-0.1, 1.1, float("nan")])
def test_what_is_no_probability_is_refused(probability: float) -> None:
    with pytest.raises(OutsideRange):
        loss_probability([frozenset("ab")], {"a": 0.1, "b": probability})
    with pytest.raises(OutsideRange):
        odds_of_no_arming([[probability]])
    with pytest.raises(OutsideRange):
        odds_of_unasked_arming([[probability]])


def test_a_part_without_odds_is_told() -> None:
    with pytest.raises(MissingData, match="no failure probability for b"):
        loss_probability([frozenset("ab")], {"a": 0.1})
    with pytest.raises(MissingData, match="no odds for battery 'B'"):
        with_common_causes([frozenset({FailingPart(kind=PartKind.BATTERY, name="B")})], {})


def test_worse_parts_make_worse_odds() -> None:
    ways = [frozenset("sa"), frozenset("sb")]
    wide = {
        part: Estimate(value=0.02, low=0.01, high=0.1, known_by=KnownBy.ASSUMED) for part in ("s", "a", "b")
    }
    lost = loss_interval(ways, wide)
    assert lost.low == pytest.approx(0.01 + 0.99 * 0.01**2)
    assert lost.value == pytest.approx(0.02 + 0.98 * 0.02**2)
    assert lost.high == pytest.approx(0.1 + 0.9 * 0.1**2)
    assert lost.known_by is KnownBy.ASSUMED


def test_doubling_the_single_point_helps_most() -> None:
    ways, odds = [frozenset("sa"), frozenset("sb")], {"s": 0.02, "a": 0.02, "b": 0.02}
    shared, own = doubled(ways, odds, "sa")
    assert shared == pytest.approx((0.0004 + 0.9996 * 0.0004) / (0.02 + 0.98 * 0.0004))
    assert shared < 0.05 < 0.9 < own < 1.0
    assert doubled(ways, dict.fromkeys("sab", 0.0), "s") == (1.0,)


# Two pull pins, 3 % fails open and 0.5 % fails closed: plain arithmetic.
@pytest.mark.parametrize(
    ("groups", "no_arming", "unasked"),
    [
        ([1, 1], 1 - 0.97**2, 0.005**2),
        ([2], 0.03**2, 1 - 0.995**2),
        ([1], 0.03, 0.005),
        ([2, 1], 1 - (1 - 0.03**2) * 0.97, (1 - 0.995**2) * 0.005),
        ([], 0.0, 1.0),
    ],
)
def test_two_pull_pins_buy_one_thing_with_another(
    groups: list[int], no_arming: float, unasked: float
) -> None:
    assert odds_of_no_arming([[0.03] * size for size in groups]) == pytest.approx(no_arming)
    assert odds_of_unasked_arming([[0.005] * size for size in groups]) == pytest.approx(unasked)


def test_an_empty_group_is_refused() -> None:
    for odds in (odds_of_no_arming, odds_of_unasked_arming):
        with pytest.raises(OutsideRange, match="without a switch"):
            odds([[]])


def test_arming_is_the_same_as_its_ways() -> None:
    """Switches as parts of ways: series in one way, parallel in two."""
    odds = {"a": 0.03, "b": 0.04, "c": 0.05}
    ways = [frozenset("ac"), frozenset("bc")]
    assert odds_of_no_arming([[0.03, 0.04], [0.05]]) == pytest.approx(loss_probability(ways, odds))


def test_what_two_share_lies_above_what_they_do_not() -> None:
    """Beta factor, 2 % and a tenth: 0.002324 where the overlap is left out (IEC 61508-6 D, from memory)."""
    two = [FailingPart(kind=PartKind.COMPUTER, name=name) for name in "AB"]
    ways = [frozenset([part]) for part in two]
    shared, odds = with_common_causes(ways, dict.fromkeys(two, exact(0.02)), exact(0.1))
    lost = loss_interval(shared, odds)
    overlap = 0.002 * 0.018**2
    assert lost.value == pytest.approx(0.002324 - overlap, rel=1e-9)
    assert lost.value > loss_probability(ways, dict.fromkeys(two, 0.02)) == pytest.approx(0.0004)


def test_one_of_a_kind_shares_with_nobody() -> None:
    lone = FailingPart(kind=PartKind.COMPUTER, name="A")
    ways, odds = with_common_causes([frozenset([lone])], {lone: exact(0.02)})
    assert ways == {frozenset([lone])}
    assert odds == {lone: exact(0.02)}


def test_every_kind_of_part_and_switch_has_odds_with_a_range() -> None:
    for kind in (*PartKind, *switch_kinds()):
        fails, unasked = rates_of(kind).fails, rates_of(kind).unasked
        assert 0 < fails.low < fails.value < fails.high <= 0.1
        assert 0 <= unasked.low <= unasked.value <= unasked.high <= 0.1
        assert fails.known_by is KnownBy.ASSUMED
        assert "assumed" in fails.source
    with pytest.raises(MissingData, match="pull pin"):
        rates_of("wish")
