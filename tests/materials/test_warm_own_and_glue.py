"""Plastics in the heat, the builder's own bars, and glue."""

import math
from dataclasses import replace
from itertools import pairwise

import pytest

from finial.core.errors import MissingData, OutsideRange
from finial.core.estimates import KnownBy, exact, spread
from finial.materials.glue import Glue, glue
from finial.materials.material import material
from finial.materials.own import TestBars, from_test_bars
from finial.materials.warmth import ROOM_K, creep_growth, share_left, warmed


def test_at_room_temperature_nothing_is_lost():
    for name in ("PLA", "PETG", "acrylic", "polycarbonate"):
        assert share_left(material(name).softens_k.value, ROOM_K) == 1.0


@pytest.mark.parametrize("quantity", ["stiffness", "strength"])
def test_heat_takes_ever_more(quantity):
    shares = [share_left(333.15, celsius + 273.15, quantity) for celsius in range(0, 80, 5)]
    assert all(a >= b for a, b in pairwise(shares))
    assert shares[0] > 1.0
    # At the glass transition a tenth to a half is left: the middle of its fall (makers' curves, from memory).
    assert 0.1 < share_left(333.15, 333.15, quantity) < 0.5


def test_pla_in_a_hot_car_is_lost_and_polycarbonate_is_not():
    # Air of a closed car in the sun reaches 60 to 70 degC; common practice, many published measurements.
    hot = exact(338.15)
    assert warmed(material("PLA"), hot).ultimate_pa.value < 0.3 * material("PLA").ultimate_pa.value
    assert warmed(material("PC"), hot).ultimate_pa.value > 0.85 * material("PC").ultimate_pa.value


def test_metal_does_not_mind():
    steel = material("steel")
    assert warmed(steel, exact(360.0)) == steel


def test_a_wider_temperature_is_a_wider_strength():
    narrow = warmed(material("PETG"), exact(320.0)).ultimate_pa
    wide = warmed(material("PETG"), spread(320.0, 0.04, known_by=KnownBy.HANDBOOK)).ultimate_pa
    assert wide.low < narrow.low < narrow.high < wide.high


def test_creep_grows_with_heat_and_time():
    assert creep_growth(333.15, 323.15, 3600.0) > 3 * creep_growth(333.15, 296.15, 3600.0)
    assert creep_growth(333.15, 300.0, 86400.0) > creep_growth(333.15, 300.0, 60.0) > 0.0
    assert creep_growth(333.15, 300.0, 0.0) == 0.0


def test_own_bars_override_and_the_rest_stays():
    bars = TestBars(
        along_pa=spread(41e6, 0.05, known_by=KnownBy.MEASURED),
        across_pa=spread(18e6, 0.2, known_by=KnownBy.MEASURED),
    )
    own = from_test_bars("PETG", material("PETG"), bars)
    assert own.ultimate_pa.value == own.yield_pa.value == 41e6
    assert own.upright_pa is not None
    assert own.upright_pa.value == 18e6
    assert own.modulus_pa == material("PETG").modulus_pa
    assert own.source.startswith("own test bars (strength along, strength across)")


def test_bars_along_alone_leave_the_strength_across_unknown():
    bars = TestBars(along_pa=exact(41e6, known_by=KnownBy.MEASURED))
    assert from_test_bars("PETG", material("PETG"), bars).upright_pa is None
    only_stiffness = TestBars(modulus_pa=exact(2.1e9, known_by=KnownBy.MEASURED))
    assert from_test_bars("PETG", material("PETG"), only_stiffness).upright_pa == material("PETG").upright_pa


def test_a_sheet_yields_in_proportion():
    bars = TestBars(along_pa=exact(60e6, known_by=KnownBy.MEASURED))
    own = from_test_bars("clear sheet", material("polycarbonate"), bars)
    assert own.yield_pa.value == pytest.approx(60e6 * 62 / 65)
    assert own.upright_pa is None


def test_glue_on_print_is_weaker_than_on_metal():
    assert glue("epoxy on print").shear_pa.high <= glue("epoxy").shear_pa.low
    with pytest.raises(MissingData, match="epoxy on print"):
        glue("spit")


@pytest.mark.parametrize(
    "call", [lambda: share_left(60.0, 40.0), lambda: creep_growth(333.0, 300.0, math.nan)]
)
def test_bad_numbers_are_refused(call):
    with pytest.raises(OutsideRange):
        call()


@pytest.mark.parametrize(
    ("name", "megapascals", "celsius"),
    [
        # Retyped from glues.csv: makers' data and lap tests, from memory.
        ("epoxy", (18.0, 10.0, 25.0), 55.0),
        ("CA", (5.0, 2.0, 9.0), 80.0),
        ("solvent weld", (15.0, 8.0, 25.0), 80.0),
    ],
)
def test_a_glue_holds_in_shear_until_it_softens(name, megapascals, celsius) -> None:
    found = glue(name)
    shear = found.shear_pa
    assert (shear.value, shear.low, shear.high) == pytest.approx(tuple(1e6 * one for one in megapascals))
    assert found.softens_k == pytest.approx(celsius + 273.15)


def test_a_glue_of_which_nothing_more_is_said_joins_any_two_stuffs() -> None:
    plain = Glue(name="plain", shear_pa=exact(1e7), softens_k=330.0)
    assert plain.takes([material("PETG"), material("steel")])
    assert plain.shock
    assert not plain.takes([material("PETG"), material("HDPE")])
    assert not replace(plain, same=True).takes([material("PETG"), material("steel")])
    assert replace(plain, same=True).takes([material("PETG"), material("PETG")])
    assert not replace(plain, sticks_to=("PETG",)).takes([material("PETG"), material("steel")])
