"""Printed bars that were broken: what their lots say of the next one."""

import math

import numpy as np
import pytest
from scipy import stats

from finial.core.errors import MissingData, OutsideRange
from finial.core.estimates import Estimate, KnownBy, exact, spread
from finial.core.tables import table_rows
from finial.materials.bars import (
    BarPull,
    Lot,
    best_sheet,
    lots_of,
    measured_strength,
    next_bar,
    own_bars,
    scatter_of,
    share_across,
    strength_from_share,
    widened_along,
)
from finial.materials.material import makers_strength, material, material_names


def lot(name: str, *logs: float) -> Lot:
    return Lot(name=name, filled=False, damp=False, strengths_pa=np.exp(np.array(logs)))


THREE = (lot("a", 1.0, 1.4), lot("b", 2.0, 2.2), lot("c", 3.0, 3.6))
"""Worked by hand: means 1.2, 2.1, 3.3; squares .08 + .02 + .18 over 3 degrees of freedom."""


def test_scatter_by_hand():
    found = scatter_of(THREE)
    assert (found.lots, found.bars, found.per_lot) == (3, 6, pytest.approx(2.0))
    assert found.middle == pytest.approx(2.2)
    assert found.within**2 == pytest.approx(0.28 / 3)
    assert found.of_means**2 == pytest.approx((1.0 + 0.01 + 1.21) / 2)
    assert found.between**2 == pytest.approx(1.11 - 0.28 / 6)


def test_next_bar_by_hand_with_students_factor_of_the_printed_table():
    # Student's t of two degrees of freedom, one-sided 0.05: 2.920 (any printed table).
    width = math.sqrt(1.11 * (1 + 1 / 3) + 0.28 / 3 / 2)
    found = next_bar(scatter_of(THREE))
    assert math.log(found.low) == pytest.approx(2.2 - 2.920 * width, abs=1e-3)
    assert math.log(found.high) == pytest.approx(2.2 + 2.920 * width, abs=1e-3)
    assert found.value == pytest.approx(math.exp(2.2))


def test_next_bar_holds_nine_bars_in_ten_of_lots_it_never_saw():
    # Lots and bars drawn from known scatters; Hahn and Meeker's prediction is exact for equal lots.
    generator = np.random.default_rng(7)
    inside = 0
    for _ in range(600):
        means = generator.normal(16.0, 0.4, 7)
        lots = [lot(str(i), *generator.normal(mean, 0.25, 5)) for i, mean in enumerate(means[:6])]
        fresh = generator.normal(means[6], 0.25)
        guess = next_bar(scatter_of(lots))
        inside += guess.low <= math.exp(fresh) <= guess.high
    assert 0.87 <= inside / 600 <= 0.93


def test_lots_of_the_bench_are_read_whole():
    # Counts and means of the published file, worked out apart from this code by awk over its columns.
    petg = lots_of("PETG", pull=BarPull.ACROSS)
    bars = np.concatenate([one.strengths_pa for one in petg])
    assert bars.size == 47
    assert bars.mean() == pytest.approx(17.018e6, rel=1e-3)
    pla = np.concatenate([one.strengths_pa for one in lots_of("PLA", pull=BarPull.ALONG)])
    assert pla.size == 39


@pytest.mark.parametrize(
    ("plastic", "fifth_pa", "mean_pa"), [("PLA", 7e6, 18.7e6), ("PETG", 6e6, 17.0e6), ("PA-CF", 6.6e6, 8.7e6)]
)
def test_the_low_end_stands_where_the_weakest_bars_do(plastic, fifth_pa, mean_pa):
    found = measured_strength(plastic, BarPull.ACROSS)
    assert found.low == pytest.approx(fifth_pa, rel=0.2)
    assert found.value == pytest.approx(mean_pa, rel=0.12)


@pytest.mark.parametrize("plastic", ["PLA", "PETG", "PA-CF"])
@pytest.mark.parametrize("pull", list(BarPull))
def test_one_lot_kept_aside_lies_inside_what_the_others_say(plastic, pull):
    """Leave one lot out at a time: four bars in five lie inside, and the interval is no barn door."""
    lots = lots_of(plastic, pull=pull)
    inside = []
    for number, kept in enumerate(lots):
        guess = next_bar(scatter_of([one for other, one in enumerate(lots) if other != number]))
        inside += [guess.low <= bar <= guess.high for bar in kept.strengths_pa]
        assert guess.high / guess.low < 15
    assert np.mean(inside) >= 0.8


def test_damp_lots_of_pla_are_no_weaker_than_the_others():
    """Why damp has no row of its own: the bench's damp lots of PLA mean 16 MPa, the others 22."""
    lots = lots_of("PLA", pull=BarPull.ACROSS)
    damp = [one.logs.mean() for one in lots if one.damp]
    dry = [one.logs.mean() for one in lots if not one.damp]
    assert (len(damp), len(dry)) == (4, 3)
    assert stats.ttest_ind(damp, dry).pvalue > 0.3


def test_fibres_halve_what_reaches_across():
    plain, filled = share_across(filled=False), share_across(filled=True)
    assert math.exp(plain.middle) == pytest.approx(0.39, abs=0.01)
    assert math.exp(filled.middle) == pytest.approx(0.21, abs=0.01)
    assert filled.middle < plain.middle - math.log(1.5)


def test_few_lots_take_the_share_of_their_kin():
    assert measured_strength("PETG-CF", BarPull.ACROSS) is None
    along = spread(50e6, 0.1, known_by=KnownBy.HANDBOOK)
    found = strength_from_share(along, filled=True)
    assert found.value == pytest.approx(50e6 * math.exp(share_across(filled=True).middle))
    narrow = strength_from_share(exact(50e6), filled=True)
    assert found.low < narrow.low < narrow.high < found.high
    assert narrow.low == pytest.approx(
        narrow.value
        * math.exp(
            -stats.t.ppf(0.95, 11) * math.sqrt(0.535256**2 * 13 / 12 + 0.277655**2 * (1 - 1 / 5.901639))
        ),
        rel=1e-3,
    )


def test_memory_is_widened_by_what_lots_show():
    found = widened_along(spread(36e6, 0.1, known_by=KnownBy.HANDBOOK), filled=False)
    assert found.value == 36e6
    assert 22e6 < found.low < 27e6
    assert widened_along(spread(36e6, 0.9, known_by=KnownBy.HANDBOOK), filled=False).low == pytest.approx(
        3.6e6
    )


def test_more_own_bars_are_narrower_and_the_first_five_matter_most():
    widths = [own_bars(17e6, n, pull=BarPull.ACROSS).low for n in (1, 5, 50)]
    assert widths == sorted(widths)
    assert widths[1] - widths[0] > widths[2] - widths[1]
    # By hand: scatter of bars within a plain lot 0.310, Student's 1.667 at 71 degrees of freedom, five bars.
    assert widths[1] == pytest.approx(17e6 * math.exp(-1.667 * 0.31023 * math.sqrt(1.2)), rel=1e-3)
    assert own_bars(17e6, 5, pull=BarPull.ALONG).low > widths[1]
    assert own_bars(17e6, 5, pull=BarPull.ACROSS).known_by is KnownBy.MEASURED


@pytest.mark.parametrize(("mean_pa", "count"), [(0.0, 5), (math.nan, 5), (17e6, 0)])
def test_own_bars_refuse_what_is_no_bar(mean_pa, count):
    with pytest.raises(OutsideRange):
        own_bars(mean_pa, count, pull=BarPull.ACROSS)


def test_one_lot_has_no_scatter():
    with pytest.raises(MissingData, match="two lots"):
        scatter_of(THREE[:1])
    with pytest.raises(MissingData, match="two bars"):
        scatter_of((lot("a", 1.0), lot("b", 2.0)))


@pytest.mark.parametrize("name", ["PLA", "PETG", "ABS", "ASA", "PC", "PA", "PA-CF", "PETG-CF", "TPU"])
def test_sheets_count_at_the_high_end_alone(name):
    found = material(name)
    assert found.upright_pa.high >= max(
        best_sheet(name, BarPull.ACROSS), makers_strength(name, BarPull.ACROSS).high
    )
    assert found.upright_pa.low < 0.55 * makers_strength(name, BarPull.ACROSS).low
    assert found.upright_pa.value < found.ultimate_pa.value


def test_material_says_how_many_lots_speak_for_it():
    assert material("PETG").lots_across == 8
    assert material("PC").lots_across == 0
    assert (material("PA-CF").filled, material("PLA").filled) == (True, False)


@pytest.mark.parametrize("filled", [False, True])
def test_lots_differ_in_their_share_by_what_their_own_bars_do_not_explain(filled):
    along = {one.name: one for one in lots_of(pull=BarPull.ALONG, filled=filled)}
    across = lots_of(pull=BarPull.ACROSS, filled=filled)
    shares = [math.log(one.strengths_pa.mean() / along[one.name].strengths_pa.mean()) for one in across]
    logs = [np.log(one.strengths_pa) for one in across]
    squares = sum(float(((one - one.mean()) ** 2).sum()) for one in logs)
    bars = sum(len(one) for one in logs)
    within = squares / (bars - len(logs))
    # Means of lots count alike, so their scatter holds that of one bar over the harmonic mean of the lots'
    # sizes: unweighted analysis of variance, any text on it (from memory).
    per_lot = len(logs) / sum(1 / len(one) for one in logs)
    found = share_across(filled)
    assert found.per_lot == pytest.approx(per_lot)
    assert found.between**2 == pytest.approx(max(np.var(shares, ddof=1) - within / per_lot, 0.0))
    assert found.middle == pytest.approx(np.mean(shares))


@pytest.mark.parametrize("name", ["ABS", "ASA", "PC", "PA", "PETG-CF", "TPU"])
def test_a_plastic_without_broken_bars_is_as_strong_as_its_makers_say_and_no_stronger(name):
    rows = {row["name"]: row for row in table_rows("finial.materials", "printed.csv")}
    row = rows[name]
    told = {end: 1e6 * float(row[f"flat{end}"]) for end in ("", "_low", "_high")}
    found = material(name).ultimate_pa
    told_by_makers = makers_strength(name, BarPull.ALONG)
    assert (told_by_makers.value, told_by_makers.high) == pytest.approx((told[""], told["_high"]))
    expected = widened_along(
        Estimate(value=told[""], low=told["_low"], high=told["_high"], known_by=KnownBy.HANDBOOK),
        filled=row["filled"] == "yes",
    )
    assert (found.value, found.low) == pytest.approx((expected.value, expected.low))


def test_a_plastic_without_broken_bars_across_has_no_lots_to_speak_for_it():
    for name in material_names():
        stuff = material(name)
        if stuff.lots_across:
            assert len(lots_of(stuff.name, pull=BarPull.ACROSS)) == stuff.lots_across
        else:
            assert measured_strength(stuff.name, BarPull.ACROSS) is None
    assert {material(name).lots_across for name in material_names()} > {0}


def test_two_lots_are_the_fewest_that_have_a_scatter():
    assert scatter_of(THREE[:2]).lots == 2
    assert scatter_of((lot("a", 1.0), lot("b", 2.0, 2.2))).bars == 3
    with pytest.raises(MissingData, match="two lots or more"):
        scatter_of(THREE[:1])
    with pytest.raises(MissingData, match="two bars or more"):
        scatter_of((lot("a", 1.0), lot("b", 2.0), lot("c", 3.0)))
