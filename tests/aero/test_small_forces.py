"""Where the force is small the moment is judged, not a ratio that runs off."""

from collections.abc import Callable
from itertools import product

import numpy as np
import pytest
from drawn_bodies import dome_profile
from hypothesis import given, settings
from hypothesis import strategies as st

from finial.aero.band.band import PressureBand, pressure_band
from finial.aero.band.extremes import LEAST_FORCE, least_force, moment_ends, place_ends
from finial.aero.band.load_parts import DoubtfulForce
from finial.aero.body import BodyAir, body_air
from finial.aero.sections.outlines import ellipse, regular_polygon, tapered_skin
from finial.aero.steps.double_body import moment_relief

ANGLES, ROLLS = np.radians([0.0, 5.0, 10.0, 20.0]), np.radians(np.arange(0.0, 360.0, 45.0))
NUMBERS = st.floats(-3.0, 3.0).map(lambda x: round(x, 3))


def part(force: float, moment: float, low: float, high: float) -> DoubtfulForce:
    one = np.ones((1, 1))
    return DoubtfulForce(
        name="part", force=force * one, moment=moment * one, low=low, central=(low + high) / 2, high=high
    )


@settings(max_examples=200, deadline=None)
@given(
    rows=st.lists(st.tuples(NUMBERS, NUMBERS, NUMBERS, st.floats(0.0, 2.0)), min_size=1, max_size=4),
    about=NUMBERS,
)
def test_ends_enclose_every_mixture_and_are_met(
    place_of: Callable[..., np.ndarray], rows: list[tuple[float, ...]], about: float
) -> None:
    parts = [part(force, moment, low, low + more) for force, moment, low, more in rows]
    central, least, greatest = (end.item() for end in place_ends(parts, about))
    grid = np.linspace(0.0, 1.0, 9)
    places = np.array(
        [
            place_of(
                parts, [p.low + s * (p.high - p.low) for p, s in zip(parts, shares, strict=True)], about
            ).item()
            for shares in product(grid, repeat=len(parts))
        ]
    )
    assert places.min() >= least - 1e-9
    assert places.max() <= greatest + 1e-9
    assert least - 1e-9 <= central <= greatest + 1e-9
    # Met: the finest of these mixtures come near both ends.
    assert places.min() - least < 0.35 * (greatest - least) + 1e-9
    assert greatest - places.max() < 0.35 * (greatest - least) + 1e-9


def test_a_force_that_is_large_enough_has_its_centre() -> None:
    parts = [part(1.0, 2.0, 0.9, 1.1), part(0.5, 3.0, 0.5, 1.5)]
    assert np.array(place_ends(parts, 0.0)) == pytest.approx(np.array(place_ends(parts, 7.0)))
    corners = [(1.0 * a * 2.0 + b * 3.0) / (a + 0.5 * b) for a in (0.9, 1.1) for b in (0.5, 1.5)]
    assert [end.item() for end in place_ends(parts, 0.0)[1:]] == pytest.approx([min(corners), max(corners)])


def test_a_couple_alone_is_its_moment_over_the_least_force() -> None:
    couple = [part(0.0, 0.3, 0.5, 1.5)]
    central, least, greatest = (end.item() for end in place_ends(couple, 2.0))
    assert (central, least, greatest) == pytest.approx((2.0 + 0.3 / 0.5, 2.0 + 0.15 / 0.5, 2.0 + 0.45 / 0.5))
    assert LEAST_FORCE == 0.5


def test_sign_of_the_margin_is_that_of_the_moment() -> None:
    for couple in (-0.2, 0.2):
        mixed = [part(0.1, 0.1 * 1.0 + couple, 0.9, 1.1), part(0.2, 0.2, -1.0, 1.0)]
        _, least, greatest = place_ends(mixed, 1.0)
        _, low, high = moment_ends(mixed, 1.0)
        assert np.sign(least - 1.0) == np.sign(low)
        assert np.sign(greatest - 1.0) == np.sign(high)
    assert least_force(mixed).item() == pytest.approx(0.09 - 0.2)


def ball() -> BodyAir:
    front = dome_profile(0.2)
    whole = [*front, *((0.2 - x, across) for x, across in front[-2::-1])]
    return body_air(tapered_skin(lambda d: ellipse(d / 2, d / 2), whole, per_tier=1))


def teapot() -> BodyAir:
    """A round pot on a narrow foot, lid and knob."""
    profile = [
        (0.0, 0.01),
        (0.01, 0.03),
        (0.03, 0.02),
        (0.05, 0.09),
        (0.11, 0.16),
        (0.17, 0.15),
        (0.22, 0.07),
    ]
    return body_air(tapered_skin(lambda d: ellipse(d / 2, d / 2), profile))


def statue() -> BodyAir:
    """Head, neck, shoulders, waist, cloak, a small plinth."""
    profile = [
        (0.0, 0.02),
        (0.05, 0.1),
        (0.12, 0.06),
        (0.14, 0.2),
        (0.3, 0.14),
        (0.5, 0.22),
        (0.6, 0.22),
        (0.6, 0.16),
        (0.64, 0.16),
    ]
    return body_air(tapered_skin(lambda d: ellipse(d / 2, d / 3), profile))


def cube() -> BodyAir:
    return body_air(tapered_skin(lambda s: regular_polygon(4, s), [(0.0, 0.2), (0.2, 0.2)]))


@pytest.mark.parametrize("shape", [ball, teapot, statue, cube])
def test_a_band_is_no_longer_than_three_bodies(shape) -> None:
    body = shape()
    band = pressure_band(body, (), ANGLES, ROLLS)
    assert np.isfinite(band.forward_m).all()
    assert (band.aft_m - band.forward_m).max() < 3.0 * body.length_m
    assert band.forward_m.min() > -2.5 * body.length_m


def egg(fineness: float) -> BodyAir:
    front = dome_profile(0.2)
    half = fineness * 0.1
    profile = [(fineness * x, d) for x, d in front] + [(2 * half - fineness * x, d) for x, d in front[-2::-1]]
    return body_air(tapered_skin(lambda d: ellipse(d / 2, d / 2), profile, per_tier=1))


@pytest.mark.parametrize(
    ("fineness", "k1", "k2"), [(1.0, 0.5, 0.5), (2.0, 0.209, 0.702), (4.0, 0.082, 0.860)]
)
def test_a_closed_body_has_munks_moment(fineness: float, k1: float, k2: float) -> None:
    # 2 (k2 - k1) V nose-up; k from Lamb, Hydrodynamics, article 114 (from memory).
    turn = np.linspace(0.0, np.pi, 120)
    relief = moment_relief(fineness * (1 - np.cos(turn)), np.sin(turn))
    volume = 4 / 3 * np.pi * fineness
    assert (2.0 * volume - relief) / volume == pytest.approx(2 * (k2 - k1), abs=0.03)


def test_a_slender_closed_body_may_turn_broadside_and_its_band_says_so() -> None:
    body = egg(6.0)
    band = pressure_band(body, (), ANGLES[:1], ROLLS[:1], about_m=0.6)
    assert least_force(band.bare).min() < LEAST_FORCE
    # Attached: nose-up by nearly 2 V, as a margin of a force of a half.
    munk = -2.0 * (0.918 - 0.045) * body.skin.volume_m3 / body.reference_area_m2 / LEAST_FORCE
    assert band.forward_m[0, 0] - 0.6 == pytest.approx(munk, rel=0.35)


def test_about_where_moves_only_what_has_no_force(cone_cylinder: BodyAir) -> None:
    near, far = (pressure_band(cone_cylinder, (), ANGLES, ROLLS, about_m=x) for x in (0.2, 0.7))
    assert near.forward_m == pytest.approx(far.forward_m)
    near, far = (pressure_band(egg(6.0), (), ANGLES[:1], ROLLS[:1], about_m=x) for x in (0.5, 0.7))
    # A couple is a margin wherever the balance point is: the place goes with it.
    assert far.forward_m[0, 0] - near.forward_m[0, 0] > 0.1
    again = near.about(0.7)
    assert again.forward_m == pytest.approx(far.forward_m)
    assert near.about(0.7, bare=True).aft_m == pytest.approx(far.bare_aft_m)
    # Moment and place agree where a force of a half stands in.
    moments = near.moments_about(0.7)
    assert moments.forward_m / LEAST_FORCE == pytest.approx(again.forward_m - 0.7, abs=0.5 * body_width(near))


def body_width(band: PressureBand) -> float:
    return band.width_m
