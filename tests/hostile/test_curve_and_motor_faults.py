"""Damaged thrust curves, motors and sites: each refused with file, line and words."""

import shutil
from pathlib import Path

import numpy as np
import pytest

from finial.core.errors import BuildSheetError
from finial.files.motor_data import read_motor
from finial.files.site import read_site
from finial.files.thrust_curve import impulse_n_s, read_thrust_curve

EXAMPLE = Path(__file__).parents[1] / "files" / "full_sheet"

# content, line, words
DAMAGED = [
    ("0,0\n1,400\n0.5,400\n2,0\n", 3, "times that rise from line to line"),
    ("0,0\n1,400\n1,300\n2,0\n", 3, "1 s after 1 s"),
    ("0,0\n1,400\n2,400\n", 3, "the curve ends at 400 N"),
    ("-1,0\n1,400\n2,0\n", 1, "time and thrust that are not negative"),
    ("0,0\n1,-400\n2,0\n", 2, "time and thrust that are not negative"),
    ("0,0\n1,nan\n2,0\n", 2, "two finite numbers"),
    ("0,0\ninf,400\n2,0\n", 2, "two finite numbers"),
    ("0,0\n1,400 N\n2,0\n", 2, "two columns"),
    ("0,0\n1,x\n2,0\n", 2, "two finite numbers"),
    ("0\n1\n2\n", 1, "two columns"),
    ("0 0 1\n1 400 2\n2 0 3\n", 1, "two columns"),
    ("0,05;400,0\n1,0;400,0\n", 1, "decimals are written with a point"),
    ("0,0\n2,0\n", 2, "at least 3 points"),
    ("0,0\n1,0\n2,0\n", 3, "no thrust at all"),
    ("", None, "at least 3 points"),
    ("# only words\n", None, "at least 3 points"),
    ("time (s), thrust (lbf)\n0,0\n1,90\n2,0\n", 1, "unit lbf"),
    ("time (ms)\tthrust (N)\n0\t0\n1\t90\n2\t0\n", 1, "unit ms"),
    ("<!DOCTYPE html>\n<html>\n</html>\n", 2, "two columns"),
]


def fault_of(path):
    with pytest.raises(BuildSheetError) as caught:
        read_thrust_curve(path)
    return caught.value.faults[0]


@pytest.mark.parametrize(("content", "line", "words"), DAMAGED)
def test_a_damaged_curve_is_refused_with_its_line(tmp_path, content, line, words):
    path = tmp_path / "curve.csv"
    path.write_text(content)
    fault = fault_of(path)
    assert (fault.line, fault.file) == (line, str(path))
    assert words in str(fault)


def test_each_kind_of_fault_is_said_once(tmp_path):
    path = tmp_path / "curve.csv"
    path.write_text("0,0\n" + "1,-5\n" * 100 + "2\n" * 100)
    with pytest.raises(BuildSheetError) as caught:
        read_thrust_curve(path)
    assert [fault.line for fault in caught.value.faults] == [2, 102]


@pytest.mark.parametrize("separator", [",", ";", "\t", " ", "   ", " , ", ";\t"])
@pytest.mark.parametrize(
    "heading", ["", "time,thrust\n", "# Time [s]; thrust [lbf] in a comment\n", "t (s) F (N)\n"]
)
def test_any_separator_comment_and_heading_is_read(tmp_path, separator, heading):
    # Trapezoid curve whose impulse is 690 N s by plain arithmetic: 0.5 (1.45 + 2.0) 400.
    path = tmp_path / "curve.txt"
    points = [("0", "0"), ("0.05", "400"), ("1.5", "4e2"), ("2", "0")]
    rows = [separator.join(point) + "  # note" for point in points]
    path.write_text(heading + "\r\n".join(rows) + "\r\n\r\n")
    times, thrusts = curve = read_thrust_curve(path)
    assert impulse_n_s(curve) == pytest.approx(690.0, rel=1e-12)
    assert not times.flags.writeable
    assert not thrusts.flags.writeable


def test_a_curve_that_begins_late_gets_its_point_at_zero(tmp_path):
    path = tmp_path / "curve.csv"
    path.write_text("0.1 400\n1.5 400\n2.0 0.5\n")
    times, thrusts = read_thrust_curve(path)
    np.testing.assert_array_equal(times, [0.0, 0.1, 1.5, 2.0])
    np.testing.assert_array_equal(thrusts, [0.0, 400.0, 400.0, 0.0])


@pytest.fixture
def motor(tmp_path):
    shutil.copytree(EXAMPLE / "motors", tmp_path / "motors")
    return tmp_path / "motors" / "demo-k500.toml"


def motor_fault(motor, old, new):
    text = motor.read_text()
    assert old in text
    motor.write_text(text.replace(old, new))
    with pytest.raises(BuildSheetError) as caught:
        read_motor(motor, motor.parent.parent)
    (fault,) = caught.value.faults
    return fault


def test_the_example_motor_reads(motor):
    data = read_motor(motor, motor.parent.parent)
    assert data.name == "Demo K500"
    assert data.loaded_mass.value == 1.48
    assert data.impulse_n_s == pytest.approx(1500, rel=0.05)
    assert (data.times_s[0], data.thrusts_n[-1]) == (0.0, 0.0)
    assert data.curve_path.name == "demo-k500.csv"


def test_a_claim_within_five_per_cent_passes_and_beyond_does_not(motor):
    # The example's curve holds 1501.3 N s; 1425 and 1435 lie on either side of 5 %.
    text = motor.read_text()
    motor.write_text(text.replace("1500 N s", "1435 N s"))
    assert read_motor(motor, motor.parent.parent).claimed_impulse is not None
    fault = motor_fault(motor, "1435 N s", "1425 N s")
    assert (fault.field, fault.line) == ("claimed_impulse", 8)
    assert "the area under the curve is 1501 N s" in fault.given


@pytest.mark.parametrize(
    ("old", "new", "field", "words"),
    [
        ('"0.76 kg"', '"1.76 kg"', "propellant_mass", "less propellant than the whole loaded motor"),
        ('"0.76 kg"', '"-0.76 kg"', "propellant_mass", "above zero"),
        ('"54 mm"', '"54 s"', "diameter", "'s' is a time, a length is wanted"),
        ('"54 mm"', '"0 mm"', "diameter", "above zero"),
        ("claimed_impulse", "claimed_impuls", "claimed_impuls", "did you mean claimed_impulse?"),
        ('"demo-k500.csv"', '"/etc/passwd"', "curve", "it is an absolute path"),
        ('"demo-k500.csv"', '"demo-k500.toml"', "curve", "a file ending in .csv"),
        ('"demo-k500.csv"', '"demo-k50.csv"', "curve", 'did you mean "motors/demo-k500.csv"?'),
        ('"demo-k500.csv"', "5", "curve", "text in quotes"),
        ('"5 %"', '"500 %"', "thrust_spread", "at most 1"),
    ],
)
def test_a_motor_fault_names_its_field_and_line(motor, old, new, field, words):
    fault = motor_fault(motor, old, new)
    assert fault.field == field
    assert new.strip('"') in motor.read_text().splitlines()[fault.line - 1]
    assert words in str(fault)


@pytest.mark.parametrize(
    ("row", "words"),
    [
        ('ground_asl = "240"', 'write "240 mm"'),
        ('ground_asl = "24 km"', "at most 9000 m"),
        ('ground_asl = "-600 m"', "at least -500 m"),
        ('ground_asl = "240 m"\nlatitude = "91 deg"', "at most 90 deg"),
        ('ground_asl = "240 m"\nfield_radius = "0 m"', "above zero"),
        ('ground_asl = "240 m"\nceiling = "900 m"', "did you mean ceiling_agl?"),
        ("", "the key ground_asl is required"),
    ],
)
def test_site_faults(tmp_path, row, words):
    path = tmp_path / "site.toml"
    path.write_text(f'name = "Field"\n{row}\n')
    with pytest.raises(BuildSheetError) as caught:
        read_site(path)
    assert words in str(caught.value)


def test_a_site_below_the_sea_is_a_site(tmp_path):
    path = tmp_path / "site.toml"
    path.write_text('name = "Basin"\nground_asl = "-40 m"\nlatitude = "12.5 deg"\nlongitude = "40.5 deg"\n')
    site = read_site(path)
    assert site.ground_asl.value == -40.0
    assert site.ceiling_agl is None
