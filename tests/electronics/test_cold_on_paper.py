"""Cells in the cold beyond the ends of their tables."""

import pytest

from finial.core.constants import ZERO_CELSIUS_K
from finial.core.estimates import Estimate, KnownBy, exact
from finial.core.tables import table_rows
from finial.electronics import batteries
from finial.electronics.batteries import COLD_SCATTER, cold_share, voltage_after

ROWS = sorted(
    (ZERO_CELSIUS_K + float(row["celsius"]), float(row["keeps"]))
    for row in table_rows("finial.electronics", "cold.csv")
)


def test_below_its_table_a_cell_may_keep_nothing_and_is_told_so():
    coldest, keeps = ROWS[0]
    at_end = cold_share(exact(coldest))
    assert (at_end.low, at_end.value, at_end.inside_range) == (
        pytest.approx(keeps - COLD_SCATTER),
        keeps,
        True,
    )
    beyond = cold_share(exact(coldest - 0.1))
    assert (beyond.low, beyond.value, beyond.inside_range) == (0.0, keeps, False)


def test_warm_it_keeps_all_and_nothing_is_doubted():
    warm, keeps = ROWS[-1]
    assert cold_share(exact(warm)).low == keeps
    just_below = Estimate(value=warm, low=warm - 1e-9, high=warm, known_by=KnownBy.MEASURED)
    assert cold_share(just_below).low == pytest.approx(keeps - COLD_SCATTER)
    assert cold_share(exact(warm)).high == 1.0


def test_below_the_first_knot_the_first_slope_of_the_logarithms_runs_on():
    """Half for every ten kelvin: 4 at 250 K is 8 at 240 K; between the knots by the logarithm too."""
    knots, times = [250.0, 260.0, 280.0], [4.0, 2.0, 1.0]
    told = [batteries._through(kelvin, knots, times) for kelvin in (240.0, 250.0, 255.0, 270.0, 290.0)]
    assert told == pytest.approx([8.0, 4.0, 8.0**0.5, 2.0**0.5, 1.0])


def test_a_cell_that_gave_nothing_has_its_voltage_and_an_empty_one_is_out_of_range():
    fresh = voltage_after(0.8, 0.8)
    assert (fresh.low, fresh.value, fresh.high) == (1.0, 1.0, 1.0)
    assert voltage_after(0.8, 0.9).low == 1.0
    used = voltage_after(0.8, 0.4)
    assert used.low < used.value < 1.0
    assert used.inside_range
    assert not voltage_after(0.8, 0.0).inside_range
