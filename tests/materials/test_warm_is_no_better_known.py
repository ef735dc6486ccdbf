"""What is warmed is known no better than the worse of the stuff and of what warmth leaves of it."""

from dataclasses import replace

import pytest

from finial.core.estimates import KnownBy, exact
from finial.materials.material import material
from finial.materials.warmth import warmed


@pytest.mark.parametrize(
    ("known_by", "told"), [(KnownBy.MEASURED, KnownBy.HANDBOOK), (KnownBy.ASSUMED, KnownBy.ASSUMED)]
)
def test_a_measured_stuff_that_is_warm_is_known_by_the_handbook_alone(
    known_by: KnownBy, told: KnownBy
) -> None:
    cold = material("PETG")
    stuff = replace(cold, modulus_pa=exact(2e9, known_by=known_by))
    assert warmed(stuff, exact(313.15)).modulus_pa.known_by is told
