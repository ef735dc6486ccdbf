"""What is warmed is known no better than the worse of the stuff and of what warmth leaves of it."""

from dataclasses import replace

import pytest

from finial.core.estimates import KnownBy, exact
from finial.materials.material import material
from finial.materials.warmth import share_left, warmed


@pytest.mark.parametrize(
    ("known_by", "told"), [(KnownBy.MEASURED, KnownBy.HANDBOOK), (KnownBy.ASSUMED, KnownBy.ASSUMED)]
)
def test_a_measured_stuff_that_is_warm_is_known_by_the_handbook_alone(
    known_by: KnownBy, told: KnownBy
) -> None:
    cold = material("PETG")
    stuff = replace(cold, modulus_pa=exact(2e9, known_by=known_by))
    assert warmed(stuff, exact(313.15)).modulus_pa.known_by is told


def test_what_warmth_leaves_is_known_to_a_quarter_of_what_it_takes() -> None:
    """At the softening point a quarter is left: 0.25 * (1 - 0.25) less at the low end, assumed."""
    stuff = replace(material("PLA"), modulus_pa=exact(2e9), softens_k=exact(333.15))
    left = share_left(333.15, 333.15, "stiffness")
    warm = warmed(stuff, exact(333.15)).modulus_pa
    assert (warm.low, warm.value, warm.high) == pytest.approx(
        (2e9 * max(left - 0.25 * (1.0 - left), 0.02), 2e9 * left, 2e9 * left)
    )
    cooler = share_left(333.15, 313.15, "stiffness")
    found = warmed(stuff, exact(313.15)).modulus_pa
    assert found.low == pytest.approx(2e9 * (cooler - 0.25 * (1.0 - cooler)))
