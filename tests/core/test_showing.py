"""Values shown in the builder's units, and read back."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from finial.core.dimensions import units_of
from finial.core.errors import OutsideRange
from finial.core.estimates import Estimate, KnownBy
from finial.core.units import Dimension, parse_quantity, show, show_estimate


@pytest.mark.parametrize(
    ("value", "dimension", "metric", "us"),
    [
        (0.0016, "length", "1.6 mm", "0.063 in"),
        (1.205, "length", "1205 mm", "47.4 in"),
        (1234.0, "length", "1234 m", "4049 ft"),
        (0.412, "mass", "412 g", "14.5 oz"),
        (6.834, "mass", "6.83 kg", "15.1 lb"),
        (0.0009, "mass", "0.9 g", "0.9 g"),  # charges are weighed in grams everywhere
        (13.0, "speed", "13 m/s", "42.7 ft/s"),
        (17_800.0, "force", "17.8 kN", "4002 lbf"),
        (98_500.0, "pressure", "98.5 kPa", "14.3 psi"),
        (math.radians(3), "angle", "3 deg", "3 deg"),
        (295.15, "temperature", "22 degC", "71.6 degF"),
        (45.5, "energy", "45.5 J", "33.6 ft lbf"),
        (0.75, "ratio", "0.75", "0.75"),
        (0.0, "force", "0 N", "0 lbf"),
    ],
)
def test_shown_in_both_systems(value, dimension, metric, us):
    assert show(value, Dimension(dimension)) == metric
    assert show(value, Dimension(dimension), us_units=True) == us


@pytest.mark.parametrize(
    ("numbers", "dimension", "shown"),
    [
        ((0.412, 0.410, 0.414), "mass", "412 g (410 to 414)"),
        ((1.36, 1.35, 1.37), "mass", "1.36 kg (1.35 to 1.37)"),
        ((1.36, 1.358, 1.362), "mass", "1.360 kg (1.358 to 1.362)"),
        ((0.75, 0.67, 0.83), "ratio", "0.75 (0.67 to 0.83)"),
        ((1.0034, 0.8834, 1.1234), "ratio", "1.00 (0.88 to 1.12)"),  # two digits of 0.12 either way
        ((45.0, 40.0, 50.0), "speed", "45 m/s (40 to 50)"),
        ((295.15, 290.15, 300.15), "temperature", "22 degC (17 to 27)"),
        ((0.05, -0.3, 0.4), "length", "50 mm (-300 to 400)"),
        ((2.0, 2.0, 2.0), "mass", "2 kg"),
    ],
)
def test_estimates_keep_one_unit_and_equal_decimals(numbers, dimension, shown):
    value, low, high = numbers
    estimate = Estimate(value=value, low=low, high=high, known_by=KnownBy.WEIGHED)
    assert show_estimate(estimate, Dimension(dimension)) == shown


@pytest.mark.parametrize(
    ("numbers", "shown"),
    [
        ((0.026, -0.278, 3.076), "26 mm (-278 to over 720)"),
        ((0.026, -3.0, 0.5), "26 mm (below -720 to 500)"),
        ((0.719, -0.1, 0.72), "719 mm (-100 to 720)"),
        ((0.9, -0.1, 3.0), "over 720 mm (-100 to over 720)"),
        ((-0.9, -3.0, 0.1), "below -720 mm (below -720 to 100)"),
        ((0.02, 0.0, 3.0), "20 mm (anything, over 720 too)"),
    ],
)
def test_what_lies_far_off_is_only_said_to(numbers, shown):
    value, low, high = numbers
    estimate = Estimate(value=value, low=low, high=high, known_by=KnownBy.COMPUTED)
    assert show_estimate(estimate, Dimension.LENGTH, far=0.72) == shown


def test_a_value_that_is_nothing_is_shown_in_the_unit_of_its_interval():
    """0 mm (anything up to 356887) is 357 m to whoever reads it."""
    estimate = Estimate(value=0.0, low=0.0, high=356.887, known_by=KnownBy.ASSUMED)
    assert show_estimate(estimate, Dimension.LENGTH) == "0 m (anything up to 357)"
    small = Estimate(value=0.5, low=0.0, high=356.0, known_by=KnownBy.ASSUMED)
    assert show_estimate(small, Dimension.LENGTH) == "500 mm (anything up to 356000)"


@settings(max_examples=30, deadline=None)
@given(
    dimension=st.sampled_from(sorted(set(Dimension) - {Dimension.TEMPERATURE})),
    size=st.floats(1e-4, 1e5),
    sign=st.sampled_from([-1, 1]),
    us_units=st.booleans(),
)
def test_what_is_shown_reads_back_to_three_digits(dimension, size, sign, us_units):
    shown = show(sign * size, Dimension(dimension), us_units)
    assert parse_quantity(shown, Dimension(dimension)).value == pytest.approx(sign * size, rel=0.005)


@settings(max_examples=30, deadline=None)
@given(kelvin=st.floats(200, 400), us_units=st.booleans())
def test_temperatures_read_back_within_their_last_digit(kelvin, us_units):
    shown = show(kelvin, Dimension.TEMPERATURE, us_units)
    assert parse_quantity(shown, Dimension.TEMPERATURE).value == pytest.approx(kelvin, abs=0.5)


@settings(max_examples=30, deadline=None)
@given(data=st.data(), number=st.decimals(-10_000, 10_000, places=3), half=st.decimals(0, 100, places=3))
def test_every_unit_and_spelling_reads_number_and_tolerance(data, number, half):
    dimension = data.draw(st.sampled_from(sorted(set(Dimension) - {Dimension.TEMPERATURE})))
    unit = data.draw(st.sampled_from(units_of(Dimension(dimension))))
    spelling = data.draw(st.sampled_from(unit.spellings))
    read = parse_quantity(f"{number} {spelling} +- {half} {spelling}", Dimension(dimension))
    assert read.value == pytest.approx(float(number) * float(unit.factor), rel=1e-14, abs=1e-300)
    assert read.tolerance == pytest.approx(float(half) * float(unit.factor), rel=1e-14, abs=1e-300)


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_only_finite_numbers_are_shown(value):
    with pytest.raises(OutsideRange, match="only finite numbers can be shown as a length"):
        show(value, Dimension.LENGTH)


@pytest.mark.parametrize("dimension", sorted(set(Dimension) - {Dimension.RATIO}))
def test_every_dimension_has_a_unit_to_show_in_both_systems(dimension):
    for us_units in (False, True):
        assert show(1.0, Dimension(dimension), us_units).split(" ", 1)[1] in {
            unit.symbol for unit in units_of(Dimension(dimension))
        }
