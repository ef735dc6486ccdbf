"""Parts on the printer's bed, counted by hand."""

import itertools
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from finial.core.errors import OutsideRange
from finial.printing.bed import pieces_on_bed

BED = (0.300, 0.200, 0.340)


@pytest.mark.parametrize(
    ("size_m", "upright", "pieces"),
    [
        ((0.2, 0.2, 0.34), 2, 1),
        ((0.2, 0.3, 0.34), 2, 1),  # turned on the bed
        ((0.2, 0.301, 0.34), 2, 2),
        ((0.2, 0.2, 0.341), 2, 2),
        ((0.2, 0.2, 0.341), None, 2),  # no way to lay it down: 341 mm on a side of 300
        ((0.34, 0.2, 0.2), None, 1),  # stood up
        ((0.34, 0.2, 0.2), 2, 2),  # lying, as its layers are
        ((0.34, 0.2, 0.2), 0, 1),
        ((0.6, 0.4, 0.68), 2, 8),
        ((0.15, 0.15, 1.0), 2, 3),
        ((0.2, 0.2, 0.34 + 1e-9), 2, 1),  # a mesh's rounding is worth no cut
    ],
)
def test_pieces_counted_by_hand(size_m, upright, pieces) -> None:
    assert pieces_on_bed(size_m, BED, upright) == pieces


SIDE = st.floats(0.01, 2.0)
SIDES = st.tuples(SIDE, SIDE, SIDE)


@given(size=SIDES, bed=SIDES, upright=st.sampled_from([None, 0, 1, 2]))
def test_pieces_hold_the_whole_part_and_a_larger_bed_needs_no_more(size, bed, upright) -> None:
    pieces = pieces_on_bed(size, bed, upright)
    assert pieces * math.prod(bed) >= 0.999 * math.prod(size)
    assert pieces_on_bed(size, tuple(2 * side for side in bed), upright) <= pieces
    assert (pieces == 1) >= all(side <= min(bed) for side in size)


@given(size=SIDES, bed=SIDES)
def test_the_way_it_is_drawn_does_not_matter_where_any_axis_may_stand_up(size, bed) -> None:
    found = {pieces_on_bed(turned, bed) for turned in itertools.permutations(size)}
    assert len(found) == 1
    assert found == {min(pieces_on_bed(size, bed, upright) for upright in range(3))}


@pytest.mark.parametrize("size_m", [(0.0, 0.1, 0.1), (0.1, float("nan"), 0.1), (0.1, 0.1, -0.1)])
def test_a_part_without_size_is_refused(size_m) -> None:
    with pytest.raises(OutsideRange):
        pieces_on_bed(size_m, BED)
    with pytest.raises(OutsideRange):
        pieces_on_bed(BED, size_m)
