"""What each kind of quantity in a sheet takes at its ends, and what lies beyond: said here once more."""

from typing import Annotated, Any, get_args, get_origin

import pytest
from pydantic import TypeAdapter, ValidationError

from finial.core.units import Quantity
from finial.files import fields
from finial.files.fields import Measured

ENDS: dict[str, tuple[str, str]] = {
    "Length": ("0 mm, 9 km, 1 mm +- 2 mm", "-0.001 mm"),
    "SomeLength": ("0.001 mm, 9 km, 1 mm +- 0.9 mm", "0 mm, 1 mm +- 1 mm"),
    "FieldLength": ("0 m, 100 km", "-0.001 mm, 100.001 km"),
    "SignedLength": ("-9 km, 9 km, 1 mm +- 2 mm", ""),
    "Station": ("0 mm, 9 km, 1 mm +- 2 mm", "-0.001 mm"),
    "SomeStation": ("0.001 mm, 9 km, 1 mm +- 0.9 mm", "0 mm, 1 mm +- 1 mm"),
    "SmallLength": ("0 mm, 2 mm", "-0.001 mm, 2.001 mm"),
    "Area": ("0 mm2, 9 m2, 1 mm2 +- 2 mm2", "-1 mm2"),
    "SomeArea": ("1 mm2, 9 m2", "0 mm2, 1 mm2 +- 1 mm2"),
    "Volume": ("1 mm3, 9 m3", "0 mm3, 1 mm3 +- 1 mm3"),
    "Mass": ("0 g, 9 kg, 1 g +- 1 g", "-0.1 g, 1 g +- 1.1 g"),
    "SomeMass": ("0.1 g, 9 kg, 1 g +- 0.9 g", "0 g, 1 g +- 1 g"),
    "WallThickness": ("0.1 mm, 20 mm, 1 mm +- 1 mm", "0.09 mm, 20.1 mm, 1 mm +- 1.1 mm"),
    "LayerHeight": ("0.02 mm, 1 mm, 0.2 mm +- 0.2 mm", "0.019 mm, 1.01 mm, 0.2 mm +- 0.21 mm"),
    "Time": ("0 s, 900 s, 1 s +- 2 s", "-0.1 s"),
    "SomeTime": ("0.1 s, 900 s, 1 s +- 0.9 s", "0 s, 1 s +- 1 s"),
    "Speed": ("0 m/s, 900 m/s, 1 m/s +- 2 m/s", "-0.1 m/s"),
    "SomeSpeed": ("0.1 m/s, 900 m/s, 1 m/s +- 0.9 m/s", "0 m/s, 1 m/s +- 1 m/s"),
    "Angle": ("-360 deg, 360 deg", "-361 deg, 361 deg"),
    "Lean": ("0 deg, 60 deg", "-1 deg, 61 deg"),
    "HalfTurn": ("0.1 deg, 180 deg", "0 deg, 181 deg, 1 deg +- 1 deg"),
    "ReachAngle": ("0 deg, 180 deg, 1 deg +- 2 deg", "-1 deg, 181 deg"),
    "Tilt": ("0 deg, 90 deg", "-1 deg, 91 deg"),
    "RailTilt": ("0 deg, 89 deg", "-1 deg, 90 deg"),
    "Temperature": ("-100 degC, 100 degC", "-101 degC, 101 degC"),
    "AirTemperature": (
        "-45 degC, 65 degC, 60 degC +- 5 K",
        "-46 degC, 66 degC, 60 degC +- 6 K, -40 degC +- 6 K",
    ),
    "SofteningTemperature": ("0 degC, 426 degC", "-1 degC, 427 degC"),
    "Pressure": (
        "200 hPa, 1100 hPa, 1000 hPa +- 100 hPa",
        "199 hPa, 1101 hPa, 1000 hPa +- 101 hPa, 210 hPa +- 11 hPa",
    ),
    "Stress": ("0.1 MPa, 900 MPa", "0 MPa, 1 MPa +- 1 MPa"),
    "Density": ("0.1 kg/m3, 9000 kg/m3", "0 kg/m3, 1 kg/m3 +- 1 kg/m3"),
    "Force": ("0 N, 900 N, 1 N +- 1 N", "-0.1 N, 1 N +- 1.1 N"),
    "SomeForce": ("0.1 N, 900 N, 1 N +- 0.9 N", "0 N, 1 N +- 1 N"),
    "Impulse": ("0.1 N s, 900 N s", "0 N s, 1 N s +- 1 N s"),
    "Voltage": ("0.1 V, 100 V", "0 V, 101 V, 1 V +- 1 V"),
    "Current": ("0 A, 900 A, 1 A +- 1 A", "-0.1 A, 1 A +- 1.1 A"),
    "SomeAcceleration": ("0.1 m/s2, 900 m/s2", "0 m/s2, 1 m/s2 +- 1 m/s2"),
    "ZeroOffset": ("0 m/s2, 5 m/s2", "-0.1 m/s2, 5.1 m/s2"),
    "SomeResistance": ("0.1 ohm, 900 ohm", "0 ohm, 1 ohm +- 1 ohm"),
    "SomeCurrent": ("0.1 A, 900 A", "0 A, 1 A +- 1 A"),
    "Resistance": ("0 ohm, 900 ohm, 1 ohm +- 1 ohm", "-0.1 ohm, 1 ohm +- 1.1 ohm"),
    "Charge": ("0.1 mAh, 50000 mAh", "0 mAh, 50001 mAh, 1 mAh +- 1 mAh"),
    "LinearMass": ("0.1 g/m, 900 g/m", "0 g/m, 1 g/m +- 1 g/m"),
    "Share": ("0 %, 100 %", "-1 %, 101 %"),
    "SomeShare": ("1 %, 100 %", "0 %, 101 %, 1 % +- 1 %"),
    "Ratio": ("0, 900, 1 +- 1", "-0.1, 1 +- 1.1"),
    "SomeRatio": ("0.1, 900", "0, 1 +- 1"),
}
"""Kind: what it takes, its ends among them; what it does not take."""


def kinds() -> dict[str, Any]:
    return {
        name: kind
        for name, kind in vars(fields).items()
        if get_origin(kind) is Annotated and get_args(kind)[0] is Quantity
    }


def test_every_kind_is_asked() -> None:
    assert set(kinds()) == set(ENDS)


@pytest.mark.parametrize("name", ENDS)
def test_a_kind_takes_its_ends_and_nothing_beyond(name: str) -> None:
    door = TypeAdapter[Quantity](kinds()[name])
    taken, refused = ([text for text in texts.split(", ") if text] for texts in ENDS[name])
    for text in taken:
        assert door.validate_python(text).text == text
    for text in refused:
        with pytest.raises(ValidationError):
            door.validate_python(text)


def test_stations_alone_may_be_given_from_an_end_of_a_part() -> None:
    marks = {name: mark for name, kind in kinds().items() for mark in get_args(kind)[1:]}
    assert {name for name, mark in marks.items() if isinstance(mark, Measured) and mark.station} == {
        "Station",
        "SomeStation",
    }
