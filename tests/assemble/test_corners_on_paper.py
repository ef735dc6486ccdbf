"""The corners of the flight on paper: who flies with what, which way the rail leans, which canopies open."""

import math
from dataclasses import asdict
from types import SimpleNamespace

import numpy as np
import pytest

from finial.assemble.flights import corners
from finial.assemble.flights.corners import Corner
from finial.files.fields import MOST_RAIL_TILT_RAD
from finial.flight.inputs import AFTER_APOGEE_ALTITUDE, AFTER_LIFT_OFF, APOGEE, AirDepartures


def known(value, low=None, high=None, tolerance=0.0):
    return SimpleNamespace(
        value=value,
        low=value if low is None else low,
        high=value if high is None else high,
        tolerance=tolerance,
    )


class Made:
    """A record that is equal only to itself: what is found of it is kept by it."""

    def __init__(self, **told: object) -> None:
        self.__dict__.update(told)


CORNERS = {
    "nominal": (1.0, 1.0, 1.0, 5.0, 1.0, 0.0, 0.0),
    "weak": (0.95, 1.1, 1.3, 5.0, 1.0, 0.02, 1.0),
    "strong": (1.05, 0.9, 0.8, 5.0, 1.0, -0.02, -1.0),
    "windy": (1.05, 0.9, 0.8, 8.0, 1.1, 0.02, -1.0),
    "calm": (0.95, 1.1, 1.3, 2.0, 0.9, -0.02, 1.0),
}
"""Thrust within 5 %, 9 to 11 kg of 10, drag of 0.8 to 1.3, wind of 2 to 8 m/s, a rail 0.02 off."""


def test_each_corner_flies_with_its_own_ends_and_one_with_fins_askew(monkeypatch):
    vehicle = SimpleNamespace(sheet=SimpleNamespace(launch=SimpleNamespace(tilt=known(0.1, tolerance=0.02))))
    flown = {}

    def inputs(_vehicle, rows, air, corner):
        assert (rows, air.fins) == ((), "fins")
        return corner

    def fly(given):
        flown[id(given)] = given
        return given

    monkeypatch.setattr(corners, "wind_at_ten_metres", lambda _vehicle: known(5.0, 2.0, 8.0))
    monkeypatch.setattr(corners, "thrust_spread", lambda _vehicle: 0.05)
    monkeypatch.setattr(corners, "flight_inputs", inputs)
    monkeypatch.setattr(corners, "replace", lambda one, **changed: (one, changed))
    monkeypatch.setattr(corners, "askew_trim", lambda _vehicle, air: f"{air.fins} askew")
    monkeypatch.setattr(corners, "fly", fly)
    mass = SimpleNamespace(lift_off_mass=known(10.0, 9.0, 11.0))
    air = SimpleNamespace(fins="fins", drag=SimpleNamespace(power_off=known(1.0, 0.8, 1.3)))
    landed = corners.fly_corners(vehicle, (), air, mass)
    assert list(landed.inputs) == list(CORNERS)
    for name, wanted in CORNERS.items():
        assert tuple(asdict(landed.inputs[name]).values()) == pytest.approx(wanted)
        assert landed.named[name] is landed.inputs[name]
    assert landed.every == tuple(landed.inputs.values())
    assert landed.askew_inputs == (landed.inputs["nominal"], {"trim": "fins askew"})
    assert landed.askew is landed.askew_inputs


def test_fins_stand_askew_as_far_as_each_may(monkeypatch):
    vehicle = SimpleNamespace(sheet=SimpleNamespace(scatter="scatter"))
    monkeypatch.setattr(corners, "reach", lambda scatter, name: (scatter, name))
    found = SimpleNamespace(station_m=0.9, side=0.3, roll=0.02)
    monkeypatch.setattr(
        corners, "askew_fins", lambda fins, off: found if (fins, off[1]) == ("f", "fin_angle") else None
    )
    trim = corners.askew_trim(vehicle, SimpleNamespace(fins="f"))
    assert trim == AirDepartures(side=(0.3, 0.0), side_station_m=0.9, roll_moment=0.02)
    found.station_m = None
    assert corners.askew_trim(vehicle, SimpleNamespace(fins="f")) == AirDepartures()


def test_a_corner_scales_thrust_and_drag_and_hands_on_the_rest(monkeypatch):
    motor = Made(times_s=np.array([0.0, 1.0]), thrusts_n=np.array([100.0, 50.0]), ignition_delay_s=0.2)
    vehicle = SimpleNamespace(motor=motor, sheet=SimpleNamespace(recovery="recovery"))
    line = Made(nozzle_station_m=1.2, offset_m=(0.001, 0.0), tilt_rad=(0.01, 0.0))
    handed = {
        "mass_history": lambda _vehicle, rows, factor: ("mass", rows, factor),
        "line_of_thrust": lambda _vehicle: line,
        "_scaled_drag": lambda table, factor: (table, factor),
        "rail_of": lambda _vehicle, corner: ("rail", corner.lean),
        "air_of_day": lambda _vehicle, wind: ("air", wind),
        "_canopies": lambda recovery, factor: (recovery, factor),
        "parted_area": lambda _vehicle: known(0.3),
    }
    for name, one in handed.items():
        monkeypatch.setattr(corners, name, one)
    monkeypatch.setattr(corners, "FlightInputs", SimpleNamespace)
    corner = Corner(thrust=0.9, mass=1.1, drag=1.2, wind_m_s=7.0, canopy=0.8, lean=0.03)
    air = SimpleNamespace(result=SimpleNamespace(table="table"))
    found = corners.flight_inputs(vehicle, ("row",), air, corner)
    assert found.thrust.thrusts_n.tolist() == [90.0, 45.0]
    assert (found.thrust.nozzle_station_m, found.thrust.offset_m, found.thrust.tilt_rad) == (
        1.2,
        (0.001, 0.0),
        (0.01, 0.0),
    )
    assert found.thrust.ignition_delay_s == 0.2
    assert (found.mass, found.air_table, found.rail) == (
        ("mass", ("row",), 1.1),
        ("table", 1.2),
        ("rail", 0.03),
    )
    assert (found.air, found.canopies, found.tumbling_drag_area_m2) == (("air", 7.0), ("recovery", 0.8), 0.3)


def on_rail(tilt, lean=0.0, *, guide=None, friction=0.0):
    launch = SimpleNamespace(tilt=known(tilt), rail_length=known(3.0), toward=known(1.0))
    vehicle = SimpleNamespace(
        sheet=SimpleNamespace(launch=launch, guide=guide), skin=SimpleNamespace(length_m=2.0)
    )
    return corners.rail_of(vehicle, Corner(wind_m_s=0.0, lean=lean, friction=friction))


@pytest.mark.parametrize(
    ("tilt", "lean", "leans", "toward"),
    [
        (0.1, 0.02, 0.12, 1.0),
        (0.1, -0.02, 0.08, 1.0),
        (0.0, 0.0, 0.0, 1.0),
        # By less than nothing: to the other side.
        (0.01, -0.03, 0.02, 1.0 + math.pi),
        (MOST_RAIL_TILT_RAD, 0.02, MOST_RAIL_TILT_RAD, 1.0),
    ],
)
def test_a_rail_leans_by_its_corner_more(tilt, lean, leans, toward):
    rail = on_rail(tilt, lean)
    assert (rail.tilt_rad, rail.bearing_rad) == (pytest.approx(leans), pytest.approx(toward))


def test_buttons_ride_where_the_sheet_has_them_or_at_half_and_near_the_end():
    """Of 2 m: at 1 m and at 1.9 m; friction of 0.2 give or take 0.05."""
    bare = on_rail(0.1, friction=1.0)
    assert (bare.length_m, bare.fore_button_m, bare.aft_button_m) == (3.0, 1.0, 1.9)
    assert (bare.friction, bare.roll_rad) == (0.0, 0.0)
    guide = SimpleNamespace(
        buttons=[known(1.7), known(0.9), known(1.2)], friction=known(0.2, tolerance=0.05), at=known(0.5)
    )
    told = on_rail(0.1, guide=guide, friction=-1.0)
    assert (told.fore_button_m, told.aft_button_m, told.roll_rad) == (0.9, 1.7, 0.5)
    assert told.friction == pytest.approx(0.15)
    assert on_rail(0.1, guide=guide).friction == pytest.approx(0.2)
    guide.friction = None
    assert on_rail(0.1, guide=guide, friction=1.0).friction == 0.0


def event(*, falling=None, clock=None):
    return SimpleNamespace(
        falling_through=None if falling is None else known(falling),
        after_lift_off=None if clock is None else known(clock),
    )


def test_an_event_is_a_height_a_time_or_the_top():
    assert corners.trigger_of(event(falling=150.0, clock=9.0)) == (AFTER_APOGEE_ALTITUDE, 150.0)
    assert corners.trigger_of(event(clock=9.0)) == (AFTER_LIFT_OFF, 9.0)
    assert corners.trigger_of(event()) == (APOGEE, 0.0)


def test_canopies_carry_as_their_corner_says_and_pieces_fall_bare_where_none_opens_at_the_top(monkeypatch):
    monkeypatch.setattr(corners, "drag_area", lambda _canopy: known(2.0))
    monkeypatch.setattr(corners, "nominal", lambda _canopy: known(1.5))
    monkeypatch.setattr(corners, "reefed_kind", lambda _canopy: SimpleNamespace(fill_constant=known(8.0)))
    main = SimpleNamespace(name="main", event=event(falling=150.0), delay=known(1.0), mass=known(0.3))
    found = corners._canopy(main, 1.1)
    assert (found.name, found.trigger, found.threshold, found.delay_s) == (
        "main",
        AFTER_APOGEE_ALTITUDE,
        150.0,
        1.0,
    )
    assert (found.drag_area_m2, found.fill_constant, found.diameter_m, found.mass_kg) == (
        pytest.approx(2.2),
        8.0,
        1.5,
        0.3,
    )
    bare = corners._BARE
    assert (bare.trigger, bare.threshold, bare.delay_s, bare.mass_kg) == (APOGEE, 0.0, 0.0, 0.0)
