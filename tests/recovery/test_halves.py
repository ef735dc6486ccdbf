"""A side of a joint as a piece: its numbers by hand."""

import math

import pytest

from finial.core.errors import OutsideRange
from finial.mass.lumps import even_bar, lumps
from finial.recovery.tether.halves import half_piece
from finial.shape.measures import Stretch

POST = Stretch(radius_m=0.05, planform_m2=0.05, largest_m2=math.pi * 0.05**2)


def test_a_solid_post_turns_as_the_handbook_says() -> None:
    """Solid cylinder across its axis, m (3 r^2 + L^2) / 12: Meriam and Kraige, table D/4."""
    piece = half_piece("fore", even_bar(4.0, 0.2, 0.7), (0.2, 0.7), POST)
    assert piece.inertia_kg_m2 == pytest.approx(4.0 * (3 * 0.05**2 + 0.5**2) / 12)
    assert (piece.fore_m, piece.aft_m) == pytest.approx((0.25, 0.25))
    assert piece.end_on_area_m2 == pytest.approx(0.9 * math.pi * 0.05**2)
    assert piece.side_on_area_m2 == pytest.approx(0.9 * 0.05)


def test_fore_is_towards_the_tip() -> None:
    piece = half_piece("aft", lumps([0.3], [1.0]), (0.2, 0.7), POST)
    assert (piece.fore_m, piece.aft_m) == pytest.approx((0.1, 0.4))


def test_a_piece_that_balances_outside_itself_is_refused() -> None:
    with pytest.raises(OutsideRange, match="outside its span"):
        half_piece("aft", lumps([0.9], [1.0]), (0.2, 0.7), POST)
