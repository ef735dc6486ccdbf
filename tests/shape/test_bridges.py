import itertools

import numpy as np
import pytest

from finial.shape.bridges import bridges


def segments(*lines: list[list[float]]) -> np.ndarray:
    """Segments between neighbouring points of each line."""
    return np.array([[a, b] for line in lines for a, b in itertools.pairwise(line)], dtype=float)


def test_a_closed_outline_needs_no_bridge():
    assert len(bridges(segments([[0, 0], [1, 0], [1, 1], [0, 1], [0, 0]]))) == 0


def test_a_gap_in_one_side_is_bridged_along_the_side():
    (found,) = bridges(segments([[0.6, 0], [1, 0], [1, 1], [0, 1], [0, 0], [0.4, 0]]))
    assert sorted(found[:, 0]) == pytest.approx([0.4, 0.6])
    assert found[:, 1] == pytest.approx([0.0, 0.0])


def test_a_gap_in_a_thin_wall_is_not_bridged_across_the_wall():
    # A wall 0.01 thick with a gap of 0.2: the inner side is twenty times nearer.
    outer = [[0.6, 0], [1, 0], [1, 1], [0, 1], [0, 0], [0.4, 0]]
    inner = [[0.6, 0.01], [0.99, 0.01], [0.99, 0.99], [0.01, 0.99], [0.01, 0.01], [0.4, 0.01]]
    found = bridges(segments(outer, inner))
    assert len(found) == 2
    assert np.abs(np.diff(found[:, :, 1], axis=1)).max() == pytest.approx(0.0)


def test_one_loose_end_stays_loose():
    assert len(bridges(np.empty((0, 2, 2)))) == 0
