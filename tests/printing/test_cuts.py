"""Where parts are cut: counted by hand, and against trying every choice."""

import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from finial.core.errors import OutsideRange
from finial.printing.cuts import Barred, Demand, ToCut, Why, barred_through, best_cuts, longest_gap


def root(fore_m: float, aft_m: float) -> Barred:
    return Barred(why=Why.FIN_ROOT, name="fins", fore_m=fore_m, aft_m=aft_m)


def test_a_part_that_fits_is_not_cut() -> None:
    assert best_cuts(ToCut(span_m=(0.2, 0.5), longest_m=0.3)) == ()


def test_equal_halves_where_nothing_tells_places_apart() -> None:
    assert best_cuts(ToCut(span_m=(0.0, 0.4), longest_m=0.3)) == pytest.approx((0.2,), abs=1e-3)


def test_a_ledge_draws_the_cut_and_a_load_drives_it_off() -> None:
    even = ToCut(span_m=(0.0, 0.4), longest_m=0.3, ledges_m=(0.1503,))
    assert best_cuts(even) == (0.1503,)
    hardest = Demand(stations_m=np.array([0.0, 0.15, 0.2, 0.25, 0.4]), shares=np.array([0, 0, 1.0, 0, 0]))
    (station,) = best_cuts(ToCut(span_m=(0.0, 0.4), longest_m=0.3, demand=hardest))
    assert abs(station - 0.2) >= 0.045


def test_no_cut_goes_through_a_root_and_as_few_as_can_be() -> None:
    # One cut leaves at most 0.3 m on both sides between 0.2 and 0.3 m.
    (station,) = best_cuts(ToCut(span_m=(0.0, 0.5), longest_m=0.3, barred=(root(0.19, 0.27),)))
    assert 0.27 <= station <= 0.3
    ahead, behind = best_cuts(ToCut(span_m=(0.0, 0.5), longest_m=0.3, barred=(root(0.19, 0.31),)))
    assert ahead <= 0.19
    assert behind >= 0.31


def test_a_root_longer_than_the_bed_leaves_no_cut() -> None:
    part = ToCut(span_m=(0.0, 0.5), longest_m=0.2, barred=(root(0.1, 0.35), root(0.4, 0.42)))
    assert best_cuts(part) is None
    assert [bar.fore_m for bar in longest_gap(part)] == [0.1, 0.4]


@settings(max_examples=12, deadline=None)
@given(
    loads=st.lists(st.floats(0.0, 1.0), min_size=7, max_size=7),
    ledge=st.integers(2, 10),
    bar=st.integers(1, 9),
)
def test_no_other_choice_of_the_same_places_costs_less(loads, ledge: int, bar: int) -> None:
    """Against every choice of millimetres in a part of 120 mm: R. Bellman's principle, by brute force."""
    stations = np.linspace(0.0, 0.12, 7)
    part = ToCut(
        span_m=(0.0, 0.12),
        longest_m=0.05,
        barred=(root(0.01 * bar - 0.004, 0.01 * bar + 0.004),),
        ledges_m=(0.01 * ledge,),
        demand=Demand(stations_m=stations, shares=np.array(loads)),
    )
    found = best_cuts(part)
    places = [p / 1e3 for p in range(15, 106) if not part.barred[0].holds(p / 1e3)]

    def cost(cuts) -> float:
        ends = (0.0, *cuts, 0.12)
        lengths = np.diff(ends)
        if lengths.max() > 0.05 + 1e-6 or lengths.min() < 0.015:
            return np.inf
        own = sum(float(np.interp(c, stations, loads)) - 0.5 * (abs(c - 0.01 * ledge) < 1e-6) for c in cuts)
        return own + 0.2 * float(((lengths / 0.05 - 1.0) ** 2).sum())

    best = min((cost(cuts) for cuts in itertools.combinations(places, 2)), default=np.inf)
    assert found is not None
    assert len(found) == 2
    assert cost(found) == pytest.approx(best, abs=1e-9)


def test_cuts_of_ones_own_are_told_what_they_go_through() -> None:
    assert barred_through([0.2, 0.4], [root(0.3, 0.5)]) == ((0.4, root(0.3, 0.5)),)


def test_a_bed_of_no_height_is_refused() -> None:
    with pytest.raises(OutsideRange, match="longest_m"):
        best_cuts(ToCut(span_m=(0.0, 0.5), longest_m=0.0))
    with pytest.raises(OutsideRange, match="nothing is barred"):
        longest_gap(ToCut(span_m=(0.0, 0.5), longest_m=0.1))


def test_a_seam_goes_amid_a_motor_tube_only_where_it_must() -> None:
    """A tube from 0.14 m on moves a seam at an even 0.2 m ahead of it; one all through leaves it there."""
    tube = Barred(why=Why.MOTOR_TUBE, name="motor tube", fore_m=0.14, aft_m=0.4)
    (station,) = best_cuts(ToCut(span_m=(0.0, 0.4), longest_m=0.3, amid=(tube,)))
    assert station == pytest.approx(0.14, abs=1e-3)
    whole = Barred(why=Why.MOTOR_TUBE, name="motor tube", fore_m=-0.1, aft_m=0.5)
    assert best_cuts(ToCut(span_m=(0.0, 0.4), longest_m=0.3, amid=(whole,))) == pytest.approx(
        (0.2,), abs=1e-3
    )
