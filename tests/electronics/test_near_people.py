"""What fires among people, against simulated hands and against every state of every part."""

from dataclasses import replace
from itertools import product

import numpy as np
import pytest

from finial.core.errors import MissingData
from finial.core.estimates import exact
from finial.electronics.example import one_of_everything
from finial.electronics.near_people import odds_of_firing, ways_to_fire
from finial.electronics.rates import PartKind, Rest, has_rest, rates_of, switch_kinds
from finial.electronics.wiring import FailingPart, Wiring

ALONE = exact(0.0)


def part(kind: PartKind, name: str) -> FailingPart:
    return FailingPart(kind=kind, name=name)


def wired(*arming: tuple[str, ...]) -> Wiring:
    """One computer behind a network of switches, and its igniter."""
    usual = one_of_everything()
    names = sorted({name for group in arming for name in group})
    return replace(
        usual,
        switches=tuple(replace(usual.switches[0], name=name) for name in names),
        computers=(replace(usual.computers[0], arming=arming),),
    )


def odds(wiring: Wiring, closes: float, fires: float, goes_off: float, share=ALONE) -> float:
    given = {
        part(PartKind.COMPUTER, "computer"): exact(fires),
        part(PartKind.IGNITER, "igniter"): exact(goes_off),
        **{part(PartKind.SWITCH, switch.name): exact(closes) for switch in wiring.switches},
    }
    ways = ways_to_fire(wiring, ["charge"])
    return odds_of_firing(ways, {one: given[one] for way in ways for one in way}, share).value


@pytest.mark.parametrize(
    ("arming", "live"),
    [([("A",)], 0.005), ([("A", "B")], 0.009975), ([("A",), ("B",)], 0.000025), ([], 1.0)],
)
def test_a_live_computer_fires_only_if_it_fires_unasked_too(arming, live: float) -> None:
    """Odds of being live are those of the two pull pins of the task's own table; by hand from there on."""
    found = odds(wired(*arming), closes=0.005, fires=0.01, goes_off=0.0001)
    assert found == pytest.approx(1 - (1 - live * 0.01) * (1 - 0.0001), rel=1e-9)


def test_an_igniter_of_another_charge_counts_not() -> None:
    assert ways_to_fire(wired(("A",)), ["another"]) == frozenset()


def test_odds_among_people_agree_with_simulated_mornings() -> None:
    """Two computers, a pin in a row with a screw each; hands that leave all pins out at once, drawn apart."""
    usual = one_of_everything()
    names = ("A", "B")
    wiring = replace(
        usual,
        switches=tuple(
            replace(usual.switches[0], name=f"{kind} {name}") for name in names for kind in ("pin", "key")
        ),
        computers=tuple(
            replace(usual.computers[0], name=name, arming=((f"pin {name}",), (f"key {name}",)))
            for name in names
        ),
        igniters=tuple(replace(usual.igniters[0], name=name, computer=name) for name in names),
    )
    closes, fires, goes_off, share = 0.3, 0.4, 0.05, 0.25
    ways = ways_to_fire(wiring, ["charge"])
    kinds = {PartKind.SWITCH: closes, PartKind.COMPUTER: fires, PartKind.IGNITER: goes_off}
    exactly = odds_of_firing(
        ways, {one: exact(kinds[one.kind]) for way in ways for one in way}, exact(share)
    ).value

    rng, mornings = np.random.default_rng(11), 400_000

    def acts(chance: float, how_many: int) -> np.ndarray:
        own = rng.random((how_many, mornings)) < (1 - share) * chance
        return own | (rng.random(mornings) < share * chance)

    switches, computers, igniters = acts(closes, 4), acts(fires, 2), acts(goes_off, 2)
    live = switches[0:4:2] & switches[1:4:2]
    fired = ((live & computers) | igniters).any(axis=0).mean()
    assert exactly == pytest.approx(fired, abs=4 * np.sqrt(fired * (1 - fired) / mornings))


def test_odds_among_people_are_those_of_every_state() -> None:
    wiring = wired(("A", "B"), ("C",))
    given = {"A": 0.1, "B": 0.2, "C": 0.3, "computer": 0.4, "igniter": 0.05}
    ways = ways_to_fire(wiring, ["charge"])
    found = odds_of_firing(ways, {one: exact(given[one.name]) for way in ways for one in way}, ALONE)
    fired = 0.0
    for state in product((True, False), repeat=len(given)):
        on = dict(zip(given, state, strict=True))
        if on["igniter"] or (on["computer"] and (on["A"] or on["B"]) and on["C"]):
            fired += float(np.prod([given[name] if acts else 1 - given[name] for name, acts in on.items()]))
    assert found.value == pytest.approx(fired, abs=1e-12)


def test_what_hands_share_takes_most_of_what_a_second_pin_in_a_row_buys() -> None:
    row = wired(("A",), ("B",))
    apart, together = (odds(row, 0.005, 1.0, 0.0, exact(share)) for share in (0.0, 0.1))
    assert apart == pytest.approx(0.000025)
    # By hand: all at once 0.0005, or each by itself at 0.0045.
    assert together == pytest.approx(1 - (1 - 0.0005) * (1 - 0.0045**2), rel=1e-9)


def test_a_part_without_odds_is_told() -> None:
    with pytest.raises(MissingData, match="no unasked odds for computer 'computer'"):
        odds_of_firing(ways_to_fire(wired(("A",)), ["charge"]), {part(PartKind.SWITCH, "A"): exact(0.1)})


@pytest.mark.parametrize("kind", ["pull pin", "magnetic switch"])
def test_what_slips_goes_the_way_of_the_rest(kind: str) -> None:
    """A pin that must stay in to keep a computer awake puts it to sleep as it slips."""
    opens, closes = rates_of(kind, Rest.OPEN), rates_of(kind, Rest.CLOSED)
    for end in ("low", "value", "high"):
        slept = getattr(opens.fails, end) - getattr(closes.fails, end)
        woke = getattr(closes.unasked, end) - getattr(opens.unasked, end)
        assert slept == pytest.approx(woke)
        assert slept > 0
        assert 0 <= getattr(opens.unasked, end)


def test_the_usual_pull_pin_closes_as_its_pin_leaves() -> None:
    assert rates_of("pull pin") == rates_of("pull pin", Rest.CLOSED)


def test_what_stays_where_it_is_put_has_no_rest() -> None:
    assert [kind for kind in switch_kinds() if has_rest(kind)] == ["pull pin", "magnetic switch"]
    with pytest.raises(MissingData, match="screw switch: it stays where it is put"):
        rates_of("screw switch", Rest.OPEN)
