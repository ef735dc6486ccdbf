"""What the range stage looks up: distances together, bystanders, the field's least side, the airspace."""

import math
from dataclasses import replace

import numpy as np
import pytest

from finial.core.errors import BuildSheetError
from finial.core.local_map import to_degrees
from finial.core.units import Quantity
from finial.files.geojson import Mark, MarkKind
from finial.files.site import Field
from finial.findings.range_result import RangeResult
from finial.findings.range_stage import crowd_clear_m, nearest_people, range_result
from finial.motors.curve import total_impulse

FOOT_M = 0.3048


def looked_up(answered, **launch) -> RangeResult:
    vehicle = answered.vehicle
    sheet = vehicle.sheet.model_copy(update={"launch": vehicle.sheet.launch.model_copy(update=launch)})
    changed = replace(vehicle, sheet=sheet)
    return range_result(replace(answered, basis=replace(answered.basis, vehicle=changed)))


def test_one_rocket_keeps_the_code_s_distance(answered):
    found = looked_up(answered)
    assert (found.at_once, found.together) == (1, ())
    assert found.minimum_distance_m == pytest.approx(200 * FOOT_M)


def test_three_at_once_keep_the_larger_reading_for_all_their_impulse(answered):
    found = looked_up(answered, at_once=3)
    # Three times 1500 N s: 500 ft for a complex rocket, twice that as printed, no more than 610 m.
    assert [one.distance_m for one in found.together] == pytest.approx([1000 * FOOT_M, 500 * FOOT_M])
    assert found.minimum_distance_m == found.together[0].distance_m


def test_two_at_once_have_no_rule_and_the_code_s_own_distance(answered):
    found = looked_up(answered, at_once=2)
    assert found.together == ()
    assert found.minimum_distance_m == pytest.approx(200 * FOOT_M)


def test_more_at_once_than_the_table_reaches_is_a_fault_of_the_sheet(answered):
    with pytest.raises(BuildSheetError, match="at_once = 100"):
        looked_up(answered, at_once=100)


def test_bystanders_stand_no_nearer_than_the_edge_of_the_field(answered):
    found = looked_up(answered)
    assert found.bystander_distance.value == 900.0
    # A quarter of 655 m is less than 457 m: 14 CFR 101.25 (g).
    assert found.bystander_minimum_m == 457.0


def test_bystanders_stand_where_they_were_measured(answered):
    found = looked_up(
        answered, bystander_distance=Quantity(value=300.0, tolerance=10.0, text="300 m +- 10 m")
    )
    assert (found.bystander_distance.low, found.bystander_distance.value) == (290.0, 300.0)


def test_the_field_s_least_side_and_the_airspace(answered):
    found = looked_up(answered)
    assert found.field_side_m == 1800.0
    assert found.field_minimum_m == pytest.approx(1500 * FOOT_M)
    assert found.airspace == "G"
    assert {"cloud", "airport", "fire"} <= {rule.rule for rule in found.airspace_rules}


def test_the_misfire_wait_is_told(answered):
    assert looked_up(answered).limits.misfire_wait_s == 60.0


def as_if(answered, **flown) -> RangeResult:
    vehicle = answered.vehicle
    motor = replace(vehicle.motor, **flown)
    changed = replace(vehicle, motor=motor, motors=(motor,))
    flight = replace(
        answered.flight, impulse_n_s=total_impulse(motor), lift_off_mass_kg=1.4, average_thrust_n=0.0
    )
    return range_result(replace(answered, flight=flight, basis=replace(answered.basis, vehicle=changed)))


def test_its_flyer_is_certified_beyond_160_newton_seconds_of_one_motor_or_80_newtons(answered):
    """NFPA 1125, from memory: either makes it high power, the thrust of the motor itself being looked at."""
    assert looked_up(answered).is_high_power
    gentle = {"times_s": np.array([0.0, 1.0, 2.0]), "thrusts_n": np.array([0.0, 79.0, 0.0])}
    assert not as_if(answered, **gentle, propellant_mass_kg=0.12).is_high_power
    strong = {"times_s": np.array([0.0, 0.5, 1.0]), "thrusts_n": np.array([0.0, 170.0, 0.0])}
    assert as_if(answered, **strong, propellant_mass_kg=0.12).is_high_power


def bearing(degrees: float) -> Quantity:
    return Quantity(value=float(np.radians(degrees)), text=f"{degrees} deg")


def test_the_track_passes_over_who_stands_upwind_and_downwind_and_nobody_beside(answered):
    """The rail leans into a wind from 250 degrees, and the canopy comes back over the pad to 70 degrees."""
    sides = {
        degrees: looked_up(answered, crowd_bearing=bearing(degrees)).crowd_clear_m
        for degrees in (250, 70, 160, 340)
    }
    assert sides[250] <= 0.0
    assert sides[70] <= 0.0
    # 120 m to the side, less 3 m that a vehicle reaches; the track itself leaves the wind by little.
    assert sides[160] == pytest.approx(117.0, abs=5.0)
    assert sides[340] == pytest.approx(117.0, abs=5.0)


@pytest.mark.parametrize(("loose", "passes"), [(5.0, False), (110.0, True), (180.0, True)])
def test_people_whose_side_is_told_loosely_may_stand_anywhere_within(answered, loose, passes) -> None:
    """Told beside the wind: a quarter of a turn off lies its path, and half a turn off is beside it again."""
    told = Quantity(value=float(np.radians(160)), tolerance=float(np.radians(loose)), text="160 deg")
    assert (looked_up(answered, crowd_bearing=told).crowd_clear_m <= 0.0) == passes


def test_people_whose_side_nobody_told_are_not_passed_by(answered):
    assert looked_up(answered, crowd_bearing=None).crowd_clear_m is None
    assert looked_up(answered, crowd_across=None).crowd_clear_m is None


def with_people(answered, east_m: float, north_m: float):
    """The vehicle's answer with a square of people on the map, its middle so far from the pad."""
    side = 10.0
    corners = [(-side, -side), (side, -side), (side, side), (-side, side), (-side, -side)]
    pad = math.radians(48.0), math.radians(-20.0)
    place = [(east_m + east, north_m + north) for east, north in corners]
    mark = Mark(kind=MarkKind.PEOPLE, name="", rings_deg=(to_degrees(place, *pad),), is_area=True)
    field = Field(rings_deg=(), pad_latitude_rad=pad[0], pad_longitude_rad=pad[1], marks=(mark,))
    vehicle = answered.vehicle
    files = replace(vehicle.files, field=field)
    return replace(answered, basis=replace(answered.basis, vehicle=replace(vehicle, files=files)))


def test_people_on_the_map_are_people(answered):
    given = answered.vehicle.sheet.launch.crowd_distance
    assert nearest_people(answered).value == given.value == 120.0
    near = nearest_people(with_people(answered, 0.0, -60.0))
    assert near.value == pytest.approx(50.0, abs=0.05)
    assert nearest_people(with_people(answered, 0.0, -500.0)).value == 120.0


def test_tracks_over_people_on_the_map_are_over_people(answered):
    # Wind and rail at 250 deg: it comes down to the east-north-east, some 430 m away.
    track = answered.flights.nominal.positions_m
    east, north = track[len(track) // 2, :2].tolist()
    clear = crowd_clear_m(with_people(answered, east, north))
    assert clear == pytest.approx(-3.0)
    assert crowd_clear_m(with_people(answered, -2000.0, 0.0)) == crowd_clear_m(answered) > 0.0
