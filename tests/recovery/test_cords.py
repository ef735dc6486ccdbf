"""Cord loads against two masses and a spring marched through time; knots and tables."""

from dataclasses import replace

import pytest

from finial.core.errors import MissingData, OutsideRange
from finial.core.estimates import KnownBy, exact, spread
from finial.core.tables import table_rows
from finial.recovery.cords.kinds import (
    Separation,
    cord_named,
    cord_peak_load,
    cord_strength,
    knot_keeps,
)

APART = Separation(
    fore_mass_kg=exact(2.0), aft_mass_kg=exact(6.0), speed_m_s=exact(15.0), length_m=exact(6.0)
)
NYLON = cord_named("tubular nylon 25 mm")


def marched_peak_n(apart: Separation, stiffness_n_m: float) -> float:
    """Peak pull of a spring between two free masses, marched by leapfrog."""
    fore, aft = apart.fore_mass_kg.value, apart.aft_mass_kg.value
    stretch, parting, peak, step = 0.0, apart.speed_m_s.value, 0.0, 2e-6
    while parting > 0:
        pull = stiffness_n_m * stretch
        parting -= pull * (1 / fore + 1 / aft) * step
        stretch += parting * step
        peak = max(peak, pull)
    return peak


def test_peak_load_is_that_of_a_march_through_time() -> None:
    stiffness = NYLON.breaking_load_n.value / (NYLON.stretch_at_break.value * 6.0)
    assert cord_peak_load(APART, NYLON).value == pytest.approx(marched_peak_n(APART, stiffness), rel=1e-3)


def test_worst_cord_is_the_stiffest_not_the_weakest() -> None:
    load = cord_peak_load(APART, NYLON)
    stiff = replace(NYLON, stretch_at_break=exact(NYLON.stretch_at_break.low))
    assert load.high == pytest.approx(cord_peak_load(APART, stiff).value)


def test_a_load_beyond_the_breaking_load_is_flagged() -> None:
    thin = cord_named("nylon cord type III")
    fast = replace(APART, speed_m_s=exact(60.0))
    assert cord_peak_load(APART, NYLON).inside_range
    assert not cord_peak_load(fast, thin).inside_range


def test_a_knot_nobody_named_keeps_half_and_is_assumed() -> None:
    keeps = knot_keeps()
    assert (keeps.low, keeps.value, keeps.high) == pytest.approx((0.4, 0.5, 0.6))
    assert keeps.known_by is KnownBy.ASSUMED


def test_no_knot_adds_strength() -> None:
    assert knot_keeps("eye splice").high <= 1.0


def test_strength_is_judged_at_the_worst_knot() -> None:
    strength = cord_strength(spread(1000.0, 0.1, known_by=KnownBy.HANDBOOK), knot_keeps())
    assert (strength.low, strength.high) == pytest.approx((360.0, 660.0))


def test_every_cord_in_the_table_reads() -> None:
    cords = [cord_named(row["name"]) for row in table_rows("finial.recovery", "cords.csv")]
    assert all(0 < cord.stretch_at_break.low < cord.stretch_at_break.high < 0.5 for cord in cords)
    assert all(cord.mass_kg_per_m is None or 0 < cord.mass_kg_per_m < 0.1 for cord in cords)
    assert all(cord.source for cord in cords)


@pytest.mark.parametrize("name", ["string", ""])
def test_an_unknown_cord_lists_the_known_ones(name: str) -> None:
    with pytest.raises(MissingData, match="tubular nylon 25 mm"):
        cord_named(name)


def test_an_unknown_knot_lists_the_known_ones() -> None:
    with pytest.raises(MissingData, match="bowline"):
        knot_keeps("granny")


def test_a_cord_without_length_is_refused() -> None:
    with pytest.raises(OutsideRange, match="length"):
        cord_peak_load(replace(APART, length_m=exact(0.0)), NYLON)


def test_a_negative_speed_is_refused() -> None:
    with pytest.raises(OutsideRange, match="speed_m_s"):
        cord_peak_load(replace(APART, speed_m_s=exact(-1.0)), NYLON)


def test_bodies_at_rest_pull_nothing() -> None:
    assert cord_peak_load(replace(APART, speed_m_s=exact(0.0)), NYLON).high == 0.0
