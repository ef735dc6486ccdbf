"""Counters that wrap, recorders that begin anew, rows that are missing or come twice."""

import numpy as np
import pytest

from finial.core.errors import OutsideRange
from finial.flown.clock import gaps, pieces, unwrapped, without_repeats


def test_a_counter_of_sixteen_bits_wraps_three_times():
    true = np.arange(0.0, 200.0, 0.5)
    assert np.allclose(unwrapped(true % 65.536, 65.536), true, atol=1e-9)


def test_a_small_step_back_is_no_wrap():
    assert unwrapped(np.array([10.0, 9.0, 11.0]), 65.536).tolist() == [10.0, 9.0, 11.0]


@pytest.mark.parametrize(("counts", "wraps"), [([0.0, 70.0], 65.0), ([-1.0, 2.0], 65.0), ([0.0, 1.0], 0.0)])
def test_counts_that_the_counter_cannot_show_are_refused(counts, wraps):
    with pytest.raises(OutsideRange):
        unwrapped(np.array(counts), wraps)


def test_pieces_and_repeats():
    times = np.array([0.0, 1.0, 1.0, 0.5, 2.0])
    assert pieces(times) == ((0, 3), (3, 5))
    assert without_repeats(times[:3]).tolist() == [True, True, False]


def test_a_gap_is_five_usual_steps():
    times = np.array([0.0, 0.1, 0.2, 0.3, 0.79, 0.89, 1.4, 1.5])
    assert gaps(times).tolist() == [5]
    with pytest.raises(OutsideRange):
        gaps(times[:2])
