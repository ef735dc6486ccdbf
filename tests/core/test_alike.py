"""What is alike among many numbers, against NumPy's own ways."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from finial.core.alike import alike, in_order

NUMBERS = st.lists(st.integers(0, 30), min_size=1, max_size=200)


@given(NUMBERS)
def test_first_and_which_are_those_of_numpys_unique(numbers):
    keys = np.array(numbers)
    _, first, which = np.unique(keys, return_index=True, return_inverse=True)
    found = alike(keys)
    assert found[0].tolist() == first.tolist()
    assert found[1].tolist() == which.tolist()


def test_keys_of_all_64_bits_keep_apart():
    keys = np.array([2**64 - 1, 0, 2**63, 2**64 - 1], dtype=np.uint64)
    first, which = alike(keys)
    assert (first.tolist(), which.tolist()) == ([1, 2, 0], [2, 0, 1, 2])


@pytest.mark.parametrize("more", [0, 2**62])
@given(numbers=NUMBERS)
def test_the_order_is_that_of_a_stable_sort_for_small_and_for_large_numbers(more, numbers):
    """With no room for the places the sort itself has to be stable."""
    assert in_order(np.array(numbers) + more).tolist() == np.argsort(numbers, kind="stable").tolist()


def test_numbers_near_the_end_of_the_range_do_not_run_over():
    keys = np.array([2**62, 5, 2**62, 2**63 - 1, 5])
    assert in_order(keys).tolist() == [1, 4, 0, 2, 3]
