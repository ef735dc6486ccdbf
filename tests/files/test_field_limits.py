"""What a field takes and where it stops: each bound from both sides, with the reason it stands there."""

import pytest
from pydantic import TypeAdapter, ValidationError

from finial.core.estimates import KnownBy
from finial.core.units import Quantity
from finial.files import fields

# field, taken at the bound, refused just beyond it
BOUNDS = [
    (fields.Length, "0 mm", "-0.001 mm"),
    (fields.SomeLength, "0.001 mm", "0 mm"),
    (fields.Station, "0 mm", "-1 mm"),
    (fields.SomeStation, "0.001 mm", "0 mm"),
    (fields.FieldLength, "0 m", "-1 m"),
    (fields.FieldLength, "100 km", "100.1 km"),
    (fields.SmallLength, "2 mm", "2.01 mm"),
    (fields.SmallLength, "0 mm", "-0.01 mm"),
    (fields.Area, "0 mm2", "-1 mm2"),
    (fields.SomeArea, "1 mm2", "0 mm2"),
    (fields.Volume, "1 mm3", "0 mm3"),
    (fields.Mass, "0 g", "-1 g"),
    (fields.SomeMass, "0.001 g", "0 g"),
    (fields.WallThickness, "0.1 mm", "0.099 mm"),
    (fields.WallThickness, "20 mm", "20.1 mm"),
    (fields.LayerHeight, "0.02 mm", "0.019 mm"),
    (fields.LayerHeight, "1 mm", "1.01 mm"),
    (fields.Time, "0 s", "-0.1 s"),
    (fields.Speed, "0 m/s", "-0.1 m/s"),
    (fields.SomeSpeed, "0.1 m/s", "0 m/s"),
    (fields.Angle, "360 deg", "360.1 deg"),
    (fields.Angle, "-360 deg", "-360.1 deg"),
    (fields.Lean, "60 deg", "61 deg"),
    (fields.Lean, "0 deg", "-1 deg"),
    (fields.ReachAngle, "180 deg", "180.1 deg"),
    (fields.ReachAngle, "0 deg", "-0.1 deg"),
    (fields.Tilt, "90 deg", "90.1 deg"),
    (fields.Tilt, "0 deg", "-0.1 deg"),
    (fields.Temperature, "-100 degC", "-101 degC"),
    (fields.Temperature, "100 degC", "101 degC"),
    (fields.SofteningTemperature, "0 degC", "-1 degC"),
    (fields.SofteningTemperature, "426 degC", "427 degC"),
    (fields.Pressure, "200 hPa", "199 hPa"),
    (fields.Pressure, "1100 hPa", "1101 hPa"),
    (fields.Stress, "1 Pa", "0 Pa"),
    (fields.Density, "1 kg/m3", "0 kg/m3"),
    (fields.Force, "0 N", "-1 N"),
    (fields.SomeForce, "0.1 N", "0 N"),
    (fields.Impulse, "0.1 N s", "0 N s"),
    (fields.Voltage, "100 V", "100.1 V"),
    (fields.Voltage, "0.1 V", "0 V"),
    (fields.Current, "0 A", "-0.1 A"),
    (fields.SomeCurrent, "0.1 A", "0 A"),
    (fields.Resistance, "0 ohm", "-0.1 ohm"),
    (fields.SomeResistance, "0.1 ohm", "0 ohm"),
    (fields.Charge, "50 Ah", "50.1 Ah"),
    (fields.Charge, "1 mAh", "0 mAh"),
    (fields.LinearMass, "0.1 g/m", "0 g/m"),
    (fields.Share, 1, 1.01),
    (fields.Share, 0, -0.01),
    (fields.SomeShare, 0.01, 0),
    (fields.SomeShare, 1, 1.01),
    (fields.Ratio, 0, -0.1),
    (fields.SomeRatio, 0.1, 0),
]


def read(field, given) -> Quantity:
    return TypeAdapter(field).validate_python(given)


def refused(field, given) -> dict[str, str]:
    with pytest.raises(ValidationError) as caught:
        read(field, given)
    return caught.value.errors()[0]["ctx"]


@pytest.mark.parametrize(("field", "taken", "beyond"), BOUNDS)
def test_a_field_is_taken_up_to_its_bound_and_not_beyond(field, taken, beyond) -> None:
    assert isinstance(read(field, taken), Quantity)
    assert refused(field, beyond)["accepted"]


@pytest.mark.parametrize(
    ("field", "taken", "beyond"),
    [
        # What may not fall below nothing: the tolerance reaches it at most.
        (fields.Mass, "10 g +- 10 g", "10 g +- 10.1 g"),
        (fields.WallThickness, "1 mm +- 1 mm", "1 mm +- 1.1 mm"),
        (fields.Resistance, "1 ohm +- 1 ohm", "1 ohm +- 1.1 ohm"),
        # What must stay above nothing: not even that.
        (fields.SomeMass, "10 g +- 9.9 g", "10 g +- 10 g"),
        (fields.SomeLength, "10 mm +- 9.9 mm", "10 mm +- 10 mm"),
    ],
)
def test_a_tolerance_keeps_the_low_end_where_it_makes_sense(field, taken, beyond) -> None:
    assert read(field, taken).tolerance > 0.0
    told = refused(field, beyond)
    assert told["accepted"] == "a tolerance smaller than the number itself"
    assert told["given"] == f'"{beyond}"'


def test_a_plain_length_may_be_less_known_than_it_is_long() -> None:
    assert read(fields.Length, "1 mm +- 5 mm").tolerance == pytest.approx(0.005)


def test_a_quantity_already_read_passes() -> None:
    once = read(fields.Mass, "10 g")
    assert read(fields.Mass, once) is once


@pytest.mark.parametrize(
    ("given", "known"), [("weighed", KnownBy.WEIGHED), (KnownBy.ASSUMED, KnownBy.ASSUMED)]
)
def test_a_pedigree_is_one_of_its_words(given, known) -> None:
    assert TypeAdapter(fields.Pedigree).validate_python(given) is known
    assert refused(fields.Pedigree, "guessed")["accepted"].startswith("one of ")


@pytest.mark.parametrize(
    ("field", "given"), [(fields.YesNo, "true"), (fields.YesNo, 1), (fields.WholeNumber, True)]
)
def test_true_and_false_and_whole_numbers_are_not_mixed(field, given) -> None:
    assert "without quotes" in refused(field, given)["accepted"]


def test_true_false_and_whole_numbers_are_taken_as_they_are() -> None:
    assert TypeAdapter(fields.YesNo).validate_python(False) is False
    assert TypeAdapter(fields.WholeNumber).validate_python(3) == 3
    assert "without quotes" in refused(fields.WholeNumber, 3.0)["accepted"]


@pytest.mark.parametrize("name", ["tower\x1b[2J", "to\u202ewer", "to\nwer"])
def test_names_that_would_leave_their_line_are_refused(name) -> None:
    assert "nothing that is not printed" in refused(fields.Name, name)["accepted"]
    assert TypeAdapter(fields.Name).validate_python(" Türmchen 2 ") == "Türmchen 2"


def test_texts_may_have_lines_and_tabs_but_no_more() -> None:
    assert TypeAdapter(fields.Text).validate_python("two\r\nlines\tand a\nthird") is not None
    assert "not printed" in refused(fields.Text, "bell\x07")["accepted"]


def test_what_was_given_is_shown_as_written_and_cut_when_long() -> None:
    assert fields.as_written("z" * 200).startswith('"zzz')
    assert fields.as_written("z" * 200).count("z") == 79  # eighty with the quote
    assert fields.as_written(False) == "false"
