"""Parts that stand together or do not, by the stations they reach from and to."""

from types import SimpleNamespace

import pytest

from finial.assemble.vehicle.scattered import scattered_parts

SHEET = SimpleNamespace(part=[SimpleNamespace(name=name) for name in ("dome", "tower", "sled")])
OUTSIDE, INNER = True, False


def told(*spans):
    return [(index, given) for index, given, _, _ in scattered_parts(SHEET, spans, lambda m: f"{m:.4f}")]


@pytest.mark.parametrize(
    ("spans", "index", "given"),
    [
        # A tip at 0 within a twentieth of a millimetre.
        ([(OUTSIDE, (40e-6, 1.0))], None, ""),
        ([(OUTSIDE, (60e-6, 1.0))], 0, "begins at station 0.0001"),
        # A gap of a twentieth of the length of 2 m, behind whichever part reaches farthest aft.
        ([(OUTSIDE, (1.05, 2.0)), (OUTSIDE, (0.0, 0.96))], None, ""),
        ([(OUTSIDE, (1.05, 2.0)), (OUTSIDE, (0.0, 0.94))], 0, "gap of 0.1100 between tower and this part"),
        ([(OUTSIDE, (0.0, 1.5)), (OUTSIDE, (0.2, 0.3)), (OUTSIDE, (1.55, 2.0))], None, ""),
        ([(OUTSIDE, (0.0, 1.5)), (OUTSIDE, (0.2, 0.3)), (OUTSIDE, (1.65, 2.0))], 2, "between dome and this"),
        # An inner part may stick out of 1 m by as much again, at either end.
        ([(OUTSIDE, (0.0, 1.0)), (INNER, (-0.95, 1.95))], None, ""),
        ([(OUTSIDE, (0.0, 1.0)), (INNER, (0.5, 2.05))], 1, "tower has outside = false, and sticks 1.0500"),
        ([(OUTSIDE, (0.0, 1.0)), (INNER, (-1.05, 0.5))], 1, "sticks 1.0500 out"),
        ([(OUTSIDE, (0.0, 1.0)), (OUTSIDE, (1.0, 1.2)), (INNER, (1.5, 1.8))], None, ""),
    ],
)  # fmt: skip
def test_what_does_not_stand_with_the_others_is_told(spans, index, given):
    found = told(*spans)
    assert [one for one, _ in found] == ([] if index is None else [index])
    assert all(given in words for _, words in found)
