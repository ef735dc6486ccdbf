"""Quantities as written, read into SI, and every refusal's words."""

import math

import pytest

from finial.core.errors import FinialError, UnitError
from finial.core.estimates import KnownBy
from finial.core.units import Dimension, Quantity, parse_quantity, wanted

# Values worked by hand from the definitions of the units.
READ = [
    ("412 g +- 2 g", "mass", 0.412, 0.002),
    ("412 g ± 2 g", "mass", 0.412, 0.002),
    ("412g+/-2g", "mass", 0.412, 0.002),
    ("100 +- 2 mm", "length", 0.1, 0.002),
    ("412 g +- 2 %", "mass", 0.412, 0.00824),
    ("7 ft 10.5 in", "length", 2.4003, 0.0),
    ("-7 ft 10.5 in", "length", -2.4003, 0.0),
    ("1 lb 4 oz +- 0.5 oz", "mass", 20 * 0.45359237 / 16, 0.5 * 0.45359237 / 16),
    ("1 h 30 min", "time", 5400.0, 0.0),
    ("22 degC +- 5 degC", "temperature", 295.15, 5.0),
    ("22 °C ± 5 K", "temperature", 295.15, 5.0),
    ("70 degF +- 9 degF", "temperature", (70 - 32) / 1.8 + 273.15, 5.0),
    ("1.2 cm²", "area", 1.2e-4, 0.0),
    ("1.2 l +- 0.1 l", "volume", 1.2e-3, 1e-4),
    ("690 N·s", "impulse", 690.0, 0.0),
    ("100 mΩ", "resistance", 0.1, 0.0),
    ("500 mAh", "charge", 1800.0, 0.0),
    ("38 g/m", "mass_per_length", 0.038, 0.0),
    ("12 µm", "length", 1.2e-5, 0.0),
    ("1e-3 m", "length", 1e-3, 0.0),
    (".5 s", "time", 0.5, 0.0),
    ("12 % +- 2 %", "ratio", 0.12, 0.02),
    ("0.75 +- 0.08", "ratio", 0.75, 0.08),
    (0.75, "ratio", 0.75, 0.0),
    (1, "ratio", 1.0, 0.0),
]

REFUSED = [
    ("412 mm", "mass", "'mm' is a length, a mass is wanted"),
    ("12 lb", "force", "'lb' is a mass, a force is wanted; did you mean 'lbf'?"),
    ("22 C", "temperature", "did you mean 'degC'?"),
    ("1.6 MM", "length", "did you mean 'mm'?"),
    ("5 gr", "mass", "did you mean 'g'?"),
    ("5 foo", "mass", "'foo' is not a unit known here"),
    ("412", "mass", 'write "412 g"'),
    (1.6, "length", 'write "1.6 mm"'),
    (4, "voltage", 'write "4 V"'),
    ("412 g +- 2", "mass", 'give the tolerance its unit: "+- 2 g"'),
    ("412 g +- -2 g", "mass", "a tolerance is not negative"),
    ("412 g +- 2 g +- 1 g", "mass", "more than one tolerance"),
    ("412 g +- 1 g 2 g", "mass", "one number with one unit"),
    ("1.5 to 2 mm", "length", 'a span is written "1.75 mm +- 0.25 mm"'),
    ("1,5 mm", "length", "decimals are written with a point"),
    ("10 mm 20 mm", "length", "more than one number"),
    ("3 in 2 ft", "length", "more than one number"),
    ("20 degC 3 K", "temperature", "more than one number"),
    ("22 degC +- 5 %", "temperature", "means nothing for a temperature"),
    ("0.75 +- 10 %", "ratio", "write both the same way"),
    ("nan g", "mass", "not a finite number"),
    ("-inf g", "mass", "not a finite number"),
    (math.nan, "ratio", "not a finite number"),
    ("1e999 g", "mass", "too large to be a number"),
    ("", "mass", "nothing is written here"),
    ("heavy", "mass", "start with a number"),
    ("SW", "angle", '"225 deg +- 12 deg"'),
    ("n", "angle", '"0 deg +- 12 deg"'),
    ("unknown", "angle", '"180 deg +- 180 deg"'),
    (True, "ratio", "a ratio: a plain number or per cent"),
    (None, "mass", "a mass with its unit"),
]


@pytest.mark.parametrize(("text", "dimension", "value", "tolerance"), READ)
def test_reads_value_and_tolerance(text, dimension, value, tolerance):
    read = parse_quantity(text, Dimension(dimension))
    assert read.value == pytest.approx(value, rel=1e-15)
    assert read.tolerance == pytest.approx(tolerance, rel=1e-14)
    assert read.text == str(text)


@pytest.mark.parametrize(("text", "dimension", "words"), REFUSED)
def test_refuses_and_says_the_likely_slip(text, dimension, words):
    with pytest.raises(UnitError) as caught:
        parse_quantity(text, Dimension(dimension))
    assert words in str(caught.value)
    assert isinstance(caught.value, FinialError)
    assert caught.value.accepted == wanted(Dimension(dimension))


@pytest.mark.parametrize(
    ("text", "bounds", "words"),
    [
        ("-1 g", {"minimum": 0}, "a mass that is not negative"),
        ("1 g", {"minimum": 0.002}, "a mass that is at least 2 g"),
        ("0 g", {"above": 0}, "a mass that is above zero"),
        ("3 g", {"maximum": 0.002}, "a mass that is at most 2 g"),
    ],
)
def test_bounds_are_kept_and_said(text, bounds, words):
    with pytest.raises(UnitError, match=words):
        parse_quantity(text, Dimension.MASS, **bounds)


def test_values_on_the_bounds_are_taken():
    assert parse_quantity("0 g", Dimension.MASS, minimum=0, maximum=0).value == 0


def test_below_absolute_zero_is_refused():
    with pytest.raises(UnitError, match="above absolute zero"):
        parse_quantity("-300 degC", Dimension.TEMPERATURE)


def test_estimate_takes_the_tolerance_as_its_interval():
    estimate = Quantity(value=10.0, tolerance=2.0).estimate(KnownBy.MEASURED, source="ruler")
    assert (estimate.low, estimate.value, estimate.high) == (8.0, 10.0, 12.0)
    assert estimate.known_by is KnownBy.MEASURED
    assert estimate.source == "ruler"


@pytest.mark.parametrize("dimension", Dimension)
def test_each_dimension_says_what_it_wants_and_reads_its_own_example(dimension):
    words = wanted(dimension)
    assert words.startswith(dimension.words)
    example = words.split('"')[1]
    assert parse_quantity(example, dimension).value > 0
