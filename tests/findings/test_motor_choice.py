"""Motors of a folder tried in the lighthouse: what each would do, what speaks against it, in which order."""

from dataclasses import replace
from pathlib import Path

import pytest

from finial.core.errors import Fault
from finial.core.units import Quantity
from finial.files.motor_folder import MotorFile, read_motors
from finial.findings.motor_choice import motor_rows

MOTORS = Path(__file__).parents[2] / "examples" / "skerry-light" / "motors"
BROKEN = Fault(file="torn.toml", line=3, field="length", given="long", accepted="a length")


@pytest.fixture(scope="module")
def own():
    (file,) = read_motors(MOTORS)
    return file


@pytest.fixture(scope="module")
def tried(lighthouse, own):
    """Unreadable, twice too thick, the vehicle's own, and the same with half the thrust."""
    thick = like(own, "thick", diameter=Quantity(value=0.075, tolerance=0.0, text="75 mm"))
    weak = like(own, "weak", thrusts_n=own.motor.thrusts_n * 0.5)
    torn = MotorFile(path=Path("torn.toml"), motor=None, faults=(BROKEN,))
    told = []
    rows = motor_rows(lighthouse, [torn, thick, weak, own], told=told.append)
    return rows, told


def like(file, name, **changed):
    return replace(file, path=Path(f"{name}.toml"), motor=replace(file.motor, name=name, **changed))


def keys(row):
    return {finding.key for finding in row.reasons}


def test_it_tells_how_many_are_flown(tried):
    assert tried[1] == [1, 2, 3, 4]


def test_those_that_meet_everything_stand_first_then_by_apogee(tried):
    rows, _ = tried
    assert rows[0].name == "Demo K500"
    assert [row.meets for row in rows] == [True, False, False, False]
    apogees = [row.apogee_m or 0.0 for row in rows[1:]]
    assert apogees == sorted(apogees, reverse=True)
    assert rows[-1].name == "torn"


def test_each_says_what_speaks_against_it(tried):
    by_name = {row.name: row for row in tried[0]}
    assert keys(by_name["torn"]) == {"motor-unreadable"}
    assert "motor-misfit" in keys(by_name["thick"])
    assert "thrust-to-weight" in keys(by_name["weak"])
    assert "motor-misfit" not in keys(by_name["weak"])


def test_the_vehicle_s_own_motor_does_what_the_check_says(tried, answered):
    row = tried[0][0]
    flight = answered.flight
    assert row.apogee_m == pytest.approx(flight.apogee_agl.value)
    assert row.rail_exit_m_s == pytest.approx(flight.rail_exit_speed.value)
    assert row.top_g == pytest.approx(flight.max_acceleration_m_s2 / 9.80665)
    assert row.margin_m == pytest.approx(min(point.margin.low for point in answered.stability))
    assert row.designation == "K497"


def test_more_than_was_asked_of_acceleration_speaks_against_it(lighthouse, own, tried):
    top_g = tried[0][0].top_g
    (milder,) = motor_rows(lighthouse, [own], top_g * 1.01)
    (harder,) = motor_rows(lighthouse, [own], top_g * 0.99)
    assert (keys(milder), keys(harder)) == (set(), {"motor-acceleration"})
