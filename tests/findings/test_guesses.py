"""Guesses that matter most: ranked, and with advice that settles them."""

import re
from dataclasses import replace

import pytest

from finial.core.estimates import Estimate, KnownBy, exact
from finial.findings.guess import GuessKind
from finial.findings.guesses import guesses
from finial.findings.limits import Limits
from finial.report.guess_words import guess_words
from finial.report.shown import Shown

LIMITS = Limits(own={})


def with_mass(answered, name: str, mass: Estimate):
    rows = tuple(
        replace(row, mass=mass, station=exact(row.station.value)) if row.name == name else row
        for row in answered.rows
    )
    return replace(answered, basis=replace(answered.basis, rows=rows))


def test_the_guess_that_moves_the_margin_most_comes_first(answered) -> None:
    weights = [guess.weight for guess in guesses(answered, LIMITS)]
    assert weights == sorted(weights, reverse=True)


def test_a_heavy_thing_that_nobody_weighed_is_told_to_be_weighed(answered) -> None:
    wide = Estimate(value=1.8, low=1.2, high=2.4, known_by=KnownBy.ASSUMED)
    # The wind has its own yardstick, the room in the field; among what moves the margin this comes first.
    found = guesses(with_mass(answered, "steel ballast", wide), LIMITS)
    first = next(guess for guess in found if guess.kind is GuessKind.MASS)
    words = guess_words(first, Shown(us_units=False))
    assert words.what == "steel ballast (assumed)"
    assert words.advice == "weigh steel ballast"
    # 0.6 kg at 104 mm against the balance point, over the vehicle's mass.
    moved = 0.6 * (answered.mass.lift_off.station_m - 0.104) / answered.mass.lift_off.mass_kg
    said = float(re.search(r"by ([\d.]+) mm", words.effect)[1])
    assert said == pytest.approx(1e3 * moved, rel=2e-3)


def test_what_is_weighed_and_measured_is_no_guess(answered) -> None:
    weighed = Estimate(value=1.8, low=1.2, high=2.4, known_by=KnownBy.WEIGHED)
    found = guesses(with_mass(answered, "steel ballast", weighed), LIMITS)
    assert not any("ballast" in guess.name for guess in found)


def test_a_step_of_the_outline_is_told_apart_from_the_rest_of_the_air(answered) -> None:
    # The lighthouse's steps widen its band aft alone: here they reach ahead as well.
    parts = tuple(
        replace(part, forward_m=0.1) if part.step_m is not None else part
        for part in answered.air.contributions
    )
    ahead = replace(answered, air=replace(answered.air, contributions=parts))
    found = [one for one in guesses(ahead, LIMITS) if one.kind in (GuessKind.AIR, GuessKind.STEP)]
    assert {one.kind for one in found} == {GuessKind.AIR, GuessKind.STEP}
    assert all((one.step_m is not None) == (one.kind is GuessKind.STEP) for one in found)
    assert not any(one.kind is GuessKind.STEP for one in guesses(answered, LIMITS))
