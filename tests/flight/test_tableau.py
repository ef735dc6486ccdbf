"""The Runge-Kutta pair against the order conditions of the theory.

Order conditions: Hairer, Norsett, Wanner, Solving Ordinary Differential Equations I, section II.2,
table 2.2, from memory, not re-read.
"""

import numpy as np
import pytest

from finial.flight.kernel.tableau import tableau

T = tableau()
A, C = T.stages, T.times
ONE = np.ones(7)

CONDITIONS = [
    (1, ONE, 1),
    (2, C, 2),
    (3, C**2, 3),
    (3, A @ C, 6),
    (4, C**3, 4),
    (4, C * (A @ C), 8),
    (4, A @ C**2, 12),
    (4, A @ (A @ C), 24),
    (5, C**4, 5),
    (5, C**2 * (A @ C), 10),
    (5, C * (A @ C**2), 15),
    (5, C * (A @ (A @ C)), 30),
    (5, (A @ C) ** 2, 20),
    (5, A @ C**3, 20),
    (5, A @ (C * (A @ C)), 40),
    (5, A @ (A @ C**2), 60),
    (5, A @ (A @ (A @ C)), 120),
]


@pytest.mark.parametrize(("order", "tree", "density"), CONDITIONS)
def test_the_pair_is_of_order_five(order, tree, density):
    assert A[6] @ tree == pytest.approx(1.0 / density, abs=1e-14)


@pytest.mark.parametrize(("order", "tree", "density"), [row for row in CONDITIONS if row[0] <= 4])
def test_the_companion_is_of_order_four_and_the_curve_between_too(order, tree, density):
    assert (A[6] - T.errors) @ tree == pytest.approx(1.0 / density, abs=1e-14)
    for share in (0.25, 0.7, 1.0):
        weights = T.between @ share ** np.arange(1.0, 5.0)
        assert weights @ tree == pytest.approx(share**order / density, abs=1e-13)


def test_the_companion_is_not_of_order_five():
    misses = [(A[6] - T.errors) @ tree - 1.0 / density for order, tree, density in CONDITIONS if order == 5]
    assert max(map(abs, misses)) > 1e-4


def test_rows_add_up_to_their_times_and_the_last_stage_is_the_next_step():
    assert A.sum(axis=1) == pytest.approx(C, abs=1e-14)
    assert C[-1] == 1.0
    assert np.all(np.triu(A) == 0.0)
