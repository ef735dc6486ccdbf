"""What may be off in a flight, drawn anew for each: from entries of a sheet, on paper."""

from types import SimpleNamespace

import numpy as np
import pytest
from made_by_hand import about, quantity

from finial.assemble.spread import air, canopies, day, masses
from finial.assemble.spread import case as spread_case
from finial.assemble.vehicle import canopies as vehicle_canopies
from finial.core.estimates import exact
from finial.files.sheet_recovery import CanopyEntry

pytestmark = pytest.mark.usefixtures("usual_reach")


def drawn(found):
    return {one.name: (one.base, one.below, one.above) for one in found}


def launch(**changes):
    given = {
        "wind": quantity(4.0, 3.0), "wind_from": quantity(1.0), "terrain": "level open", "pressure": None,
        "temperature": quantity(295.0, 5.0), "tilt": quantity(0.05, 0.02), "toward": quantity(1.0),
    }  # fmt: skip
    return SimpleNamespace(**{**given, **changes})


def vehicle(**changes):
    sheet = SimpleNamespace(
        launch=launch(**changes.pop("launch", {})),
        scatter=None,
        **{"guide": None, **changes.pop("sheet", {})},
    )
    return SimpleNamespace(sheet=sheet, **changes)


@pytest.fixture
def pad(monkeypatch):
    monkeypatch.setattr(
        day, "day_at_pad", lambda vehicle: SimpleNamespace(temperature_k=295.0, pressure_pa=1e5)
    )
    monkeypatch.setattr(day, "terrain_named", lambda name: SimpleNamespace(exponent=0.04))


def test_the_wind_never_falls_below_half_of_what_is_entered_and_its_growth_never_below_none(pad):
    found = drawn(day.day_draws(vehicle()))
    assert found["wind of the day"] == (4.0, 2.0, 3.0)
    assert drawn(day.day_draws(vehicle(launch={"wind": quantity(4.0, 1.5)})))["wind of the day"] == (
        4.0,
        1.5,
        1.5,
    )
    assert found["wind direction"] == (0.0, 0.2, 0.2)
    assert found["growth of the wind with height"] == (0.0, 0.04, 0.05)
    assert found["temperature"] == (295.0, 5.0, 5.0)
    assert found["pressure at the pad"] == (
        1e5,
        pytest.approx(day.WEATHER_SPREAD * 1e5),
        pytest.approx(day.WEATHER_SPREAD * 1e5),
    )
    measured = drawn(day.day_draws(vehicle(launch={"pressure": quantity(1e5, 200.0)})))
    assert measured["pressure at the pad"] == (1e5, 200.0, 200.0)


def test_a_motor_s_draws_are_its_own_or_the_usual(monkeypatch):
    line = SimpleNamespace(tilt_rad=(0.01, 0.02), offset_m=(0.003, 0.004))
    monkeypatch.setattr(day, "line_of_thrust", lambda vehicle: line)
    own = vehicle(
        motor=SimpleNamespace(thrust_spread=0.05, ignition_delay_s=0.06),
        files=SimpleNamespace(motor=SimpleNamespace(ignition_delay=quantity(0.06, 0.2))),
        sheet={"motor": SimpleNamespace(offset=(quantity(0.0, 0.002), quantity(0.0)))},
    )
    found = drawn(day.motor_draws(own))
    assert found["impulse"] == (1.0, 0.05, 0.05)
    assert found["burn time"] == (1.0, 0.03, 0.03)
    assert found["ignition delay"] == (0.06, 0.06, 0.2)  # never before it is asked to
    assert found["thrust line leaning, y"] == (0.01, 0.004, 0.004)
    assert found["thrust line leaning, z"] == (0.02, 0.004, 0.004)
    assert found["thrust line off the axis, y"] == (0.003, 0.002, 0.002)
    assert found["thrust line off the axis, z"] == (0.004, 0.001, 0.001)
    slots = [one.slot for one in day.motor_draws(own)]
    assert len(set(slots)) == len(slots)


def test_a_rail_stands_as_entered_give_or_take_its_own_or_the_usual():
    assert drawn(day.rail_draws(vehicle())) == {
        "rail tilt": (0.05, 0.02, 0.02),
        "rail bearing": (1.0, 0.03, 0.03),
    }


def canopy(**given):
    base = {"name": "main", "bay": "bay", "kind": "flat circular", "event": "apogee", "station": "300 mm"}
    base |= {"diameter": "2 m", "diameter_measures": "nominal", "mass": "314.159 g"}
    return CanopyEntry.model_validate({**base, **given})


def test_a_canopy_may_be_late_stay_in_or_stay_a_bundle_and_opens_about_its_height():
    low = canopy(event={"falling_through": "200 m +- 20 m"}, delay="0.2 s")
    own = vehicle(sheet={"recovery": SimpleNamespace(canopy=(low,))})
    found = drawn(canopies.canopy_draws(own, 5))
    assert found["lateness of main"] == (pytest.approx(0.2), pytest.approx(0.2), 0.5)
    assert found["height of main"] == (200.0, 20.0, 20.0)
    assert (found["main stays in"], found["main stays a bundle"]) == ((0.0, 0.0, 0.01), (0.0, 0.0, 0.02))
    assert found["drag of the opened vehicle"] == (1.0, 0.4, 0.4)
    filling = vehicle_canopies.reefed_kind(low).fill_constant
    assert found["filling of main"] == (
        1.0, pytest.approx(1 - filling.low / filling.value), pytest.approx(filling.high / filling.value - 1),
    )  # fmt: skip
    own.sheet.recovery.canopy = (canopy(delay="2 s +- 1 s"),)
    at_the_top = drawn(canopies.canopy_draws(own, 5))
    assert at_the_top["lateness of main"] == (2.0, 1.0, 1.0)
    assert "height of main" not in at_the_top


def test_drag_and_pressure_are_drawn_between_the_ends_of_their_bands(monkeypatch):
    monkeypatch.setattr(
        air,
        "askew_fins",
        lambda body, fins, angle=None: SimpleNamespace(roll=0.1 * (angle or fins), side=0.2, station_m=0.9),
    )
    result = SimpleNamespace(
        slope_per_rad=about(10.0, 8.0, 13.0),
        pressure_central_m=np.array([[1.0, 1.2]]), pressure_forward_m=np.array([[0.9, 1.1]]),
        pressure_aft_m=np.array([[1.2, 1.4]]),
    )  # fmt: skip
    loads = SimpleNamespace(drag=SimpleNamespace(power_off=about(0.5, 0.4, 0.7)), result=result, fins=())
    found = drawn(air.air_draws(SimpleNamespace(sheet=SimpleNamespace(scatter=None), body=None), loads))
    assert found["drag"] == (1.0, pytest.approx(0.2), pytest.approx(0.4))
    assert found["normal force slope"] == (1.0, pytest.approx(0.2), pytest.approx(0.3))
    assert found["centre of pressure"] == (0.0, pytest.approx(0.1), pytest.approx(0.2))
    assert found["fins crooked, y"] == found["fins crooked, z"] == (0.0, 0.2, 0.2)


def test_every_row_s_mass_and_station_are_drawn_and_aft_is_backwards_in_body_axes():
    rows = (
        SimpleNamespace(name="tower", mass=about(2.0, 1.8, 2.4), station=about(0.5, 0.49, 0.53)),
        SimpleNamespace(name="nothing", mass=about(0.0, 0.0, 0.1), station=exact(0.5)),
    )
    found = drawn(masses.mass_draws(rows))
    assert found["mass of tower"] == (1.0, pytest.approx(0.1), pytest.approx(0.2))
    assert found["station of tower"] == (0.0, pytest.approx(0.03), pytest.approx(0.01))
    assert "mass of nothing" not in found
    spread = masses.MOTOR_MASS_SPREAD
    assert found["mass of the motor"] == (1.0, spread, spread)


def test_what_has_no_width_is_left_out_and_a_calm_day_has_a_breath():
    some = [
        SimpleNamespace(below=0.0, above=0.0),
        SimpleNamespace(below=0.1, above=0.0),
        SimpleNamespace(below=0.0, above=0.1),
    ]
    assert list(spread_case._with_width(iter(some))) == some[1:]
    calm = spread_case._calm(0.2)
    assert (calm.base, calm.below, calm.above) == (0.2, 0.0, 0.1)


def test_gusts_reach_four_tenths_higher_than_the_flight_and_never_less_than_a_hundred_metres(monkeypatch):
    tops = iter([500.0, 20.0])
    monkeypatch.setattr(
        spread_case,
        "fly",
        lambda inputs: SimpleNamespace(positions_m=np.array([[0, 0, 0.0], [0, 0, next(tops)]])),
    )
    high, low = spread_case._gust_heights(None), spread_case._gust_heights(None)
    assert (high[0], high[1], high[-1]) == (0.0, 10.0, 700.0)
    assert low[-1] == pytest.approx(140.0, abs=10.0)
