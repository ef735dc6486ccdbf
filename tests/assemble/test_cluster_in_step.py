"""Where the thrust of a cluster pushes while it burns: by hand, for two motors either side of the axis."""

from dataclasses import replace
from pathlib import Path

import pytest

from finial.assemble.vehicle.loading import LoadedVehicle, as_one
from finial.assemble.vehicle.motors import thrust_wander_m
from finial.files.sheet_motor import MoreMotorEntry
from finial.findings.check import load

SKERRY = Path(__file__).parents[2] / "examples" / "skerry-light" / "skerry-light.toml"
ASIDE_M = 0.04


@pytest.fixture(scope="module")
def single() -> LoadedVehicle:
    return load(SKERRY)


def pair(single: LoadedVehicle, **second) -> LoadedVehicle:
    """Two motors 40 mm either side of the axis, the second changed."""
    mount = single.sheet.motor
    one = MoreMotorEntry.model_validate({"offset": ["0 mm", f"{-1e3 * ASIDE_M:.0f} mm"]})
    offset = MoreMotorEntry.model_validate({"offset": ["0 mm", f"{1e3 * ASIDE_M:.0f} mm"]}).offset
    sheet = single.sheet.model_copy(
        update={"motor": mount.model_copy(update={"offset": offset, "more": (one,)})}
    )
    motors = (single.motors[0], replace(single.motors[0], **second))
    return replace(single, sheet=sheet, motors=motors, motor=as_one(motors))


def test_a_single_motor_keeps_its_line(single: LoadedVehicle) -> None:
    assert thrust_wander_m(single) == 0.0


def test_equal_motors_keep_their_line(single: LoadedVehicle) -> None:
    assert thrust_wander_m(pair(single)) == pytest.approx(0.0, abs=1e-12)


def test_a_motor_that_lights_a_second_late_leaves_the_other_to_push_alone(single: LoadedVehicle) -> None:
    late = single.motors[0].ignition_delay_s + 1.0
    assert thrust_wander_m(pair(single, ignition_delay_s=late)) == pytest.approx(ASIDE_M)


def test_half_the_thrust_for_twice_as_long_strays_by_a_third_then_wholly(single: LoadedVehicle) -> None:
    """Equal impulses: the line lies on the axis; while both burn 2 to 1, afterwards one alone."""
    motor = single.motors[0]
    slow = pair(single, thrusts_n=motor.thrusts_n / 2, times_s=motor.times_s * 2)
    assert thrust_wander_m(slow) == pytest.approx(ASIDE_M)
