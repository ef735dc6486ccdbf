"""What the kernel is given of each piece of a scene: areas times half the density."""

import pytest

from finial.recovery.tether.batch import _piece_rows
from finial.recovery.tether.scene import Filling, Piece, Scene


def test_a_canopy_grows_by_what_its_bundle_lacks_of_it() -> None:
    """Half of 1.2 kg/m^3 times 0.1 m^2 in the bundle, and the 2.9 m^2 more that it has when full."""
    canopy = Filling(piece=1, line=0, bundle_area_m2=0.1, full_area_m2=3.0, distance_m=8.0)
    pieces = (Piece(name="half", mass_kg=2.0), Piece(name="main", mass_kg=0.5))
    half, main = _piece_rows(Scene(pieces=pieces, lines=(), fillings=(canopy,), density_kg_m3=1.2))
    assert main[5:9] == pytest.approx((0.06, 1.74, 8.0, 2.0))
    assert half[5:9] == (0.0, 0.0, 1.0, 1.0)
    assert (half[0], half[1], main[0]) == (2.0, 0.0, 0.5)


def test_a_canopy_smaller_than_its_bundle_does_not_grow() -> None:
    odd = Filling(piece=0, line=0, bundle_area_m2=0.5, full_area_m2=0.2, distance_m=8.0)
    (row,) = _piece_rows(
        Scene(pieces=(Piece(name="main", mass_kg=0.5),), lines=(), fillings=(odd,), density_kg_m3=1.2)
    )
    assert row[5:7] == (0.3, 0.0)
