"""Events of a recovery on paper: moments, halves, order and starts."""

import math
from types import SimpleNamespace

import numpy as np
import pytest
from made_by_hand import bay, charge, cord, joint, sheet

from finial.assemble.recovery import halves, lip, moments, order, start
from finial.assemble.recovery.inputs import Apart
from finial.assemble.recovery.records import Barometer
from finial.core.estimates import Estimate, KnownBy, exact
from finial.core.units import Quantity
from finial.files.sheet_recovery import (
    CanopyEntry,
    EventEntry,
)
from finial.flight.trace import EventKind
from finial.materials.material import material


def about(value, low, high):
    return Estimate(value=value, low=low, high=high, known_by=KnownBy.COMPUTED, method="")


def canopy(**given):
    usual = {"name": "main", "bay": "bay", "kind": "flat circular", "event": "apogee", "station": "350 mm"}
    usual |= {"diameter": "1.2 m", "diameter_measures": "nominal", "mass": "200 g", "protector": "50 g"}
    return CanopyEntry.model_validate({**usual, **given})


@pytest.fixture(autouse=True)
def stuffs(monkeypatch):
    monkeypatch.setattr(lip, "sheet_material", lambda sheet, name: material(name))


class Flown(SimpleNamespace):
    def event(self, kind, canopy=None):
        found = (one for one in self.events if one.kind is kind and canopy in (None, one.canopy))
        return next(found, None)


def flown(**changes):
    """Up at 100 m/s for ten seconds and down at 20 m/s; airspeed 12 m/s, dynamic pressure by the time."""
    times = np.arange(0.0, 61.0)
    heights = np.where(times <= 10.0, 100.0 * times, np.maximum(1000.0 - 20.0 * (times - 10.0), 0.0))
    rates = np.where(times <= 10.0, 100.0, -20.0)
    zero = np.zeros_like(times)
    turned = np.tile([1.0, 0.0, 0.0, 0.0], (len(times), 1))
    usual = {
        "times_s": times,
        "positions_m": np.column_stack([zero, zero, heights]),
        "velocities_m_s": np.column_stack([3.0 + zero, 4.0 + zero, rates]),
        "airspeeds_m_s": 12.0 + times,
        "machs": 0.01 * times,
        "dynamic_pressures_pa": 1000.0 * times,
        "accelerations_m_s2": np.column_stack([zero, zero, 2 * 9.80665 + zero]),
        "rates_rad_s": np.zeros((len(times), 3)),
        "quaternions": turned,
        "events": (
            SimpleNamespace(kind=EventKind.LIFT_OFF, canopy="", time_s=0.5, height_agl_m=0.0),
            SimpleNamespace(kind=EventKind.BURNOUT, canopy="", time_s=2.5, height_agl_m=250.0),
            SimpleNamespace(kind=EventKind.APOGEE, canopy="", time_s=10.0, height_agl_m=1000.0),
            SimpleNamespace(kind=EventKind.OUT, canopy="main", time_s=11.0, height_agl_m=980.0),
        ),
    }
    return Flown(**{**usual, **changes})


@pytest.mark.parametrize(
    ("event", "time_s"),
    [
        ("apogee", 10.0),
        ({"after_lift_off": "9 s"}, 9.5),
        ({"falling_through": "300 m"}, 45.0),  # 700 m at 20 m/s after the top
        ({"falling_through": "2000 m"}, 11.0),  # below it at once
    ],
)
def test_an_event_comes_when_the_sheet_says(event, time_s):
    assert start.event_time(flown(), EventEntry.model_validate(event)) == pytest.approx(time_s)


def test_an_event_that_never_comes_is_the_end_of_the_flight():
    high = flown(positions_m=np.column_stack([np.zeros(61), np.zeros(61), np.full(61, 500.0)]), events=())
    assert start.event_time(high, EventEntry.model_validate("apogee")) == 60.0
    assert start.event_time(high, EventEntry.model_validate({"falling_through": "300 m"})) == 60.0
    assert start.event_time(high, EventEntry.model_validate({"after_lift_off": "9 s"})) == 9.0


@pytest.mark.parametrize(
    ("time_s", "index"), [(-5.0, 0), (0.0, 0), (10.0, 10), (10.9, 10), (11.0, 11), (99.0, 59)]
)
def test_the_sample_before_a_time_is_taken_inside_the_flight(time_s, index):
    assert start._index(flown(), time_s) == index


def test_a_joint_opens_at_the_first_event_of_a_charge_in_its_bays():
    late = charge(name="late", event={"after_lift_off": "9 s"})
    vehicle = SimpleNamespace(
        sheet=sheet(bays=(bay(), bay(name="other", joint="second")), charges=(charge(bay="other"), late))
    )
    assert start.joint_event(vehicle, joint()).after_lift_off.value == 9.0
    assert start.joint_event(vehicle, joint(name="second")).apogee
    assert start.joint_event(vehicle, joint(name="third")) is None


def test_a_start_is_how_it_moves_through_the_air_and_lies(monkeypatch):
    monkeypatch.setattr(start, "density_at", lambda vehicle, height: exact(1.0 - 1e-4 * height))
    monkeypatch.setattr(start, "pressure_at", lambda vehicle, height: 100e3 - 10.0 * height)
    trace = flown(rates_rad_s=np.tile([0.0, -0.5, 0.0], (61, 1)))
    wind = SimpleNamespace(
        wind_heights_m=np.array([0.0, 2000.0]),
        wind_east_m_s=np.array([6.0, 6.0]),
        wind_north_m_s=np.array([0.0, 0.0]),
    )
    shut = start.ShutFlights(traces={"day": trace}, airs={"day": wind})
    early, late = start.openings(None, shut, EventEntry.model_validate("apogee"), (-2.0, 5.0), ("day",))
    assert (early.wind, early.offset_s, late.offset_s) == ("day", -2.0, 5.0)
    # 3 - 6 east and 4 north through the air: 5 m/s.
    assert (early.along_m_s, early.up_m_s, late.up_m_s) == pytest.approx((5.0, 100.0, -20.0))
    assert early.speed_m_s == pytest.approx(math.hypot(5.0, 100.0))
    assert (early.height_m, late.height_m) == pytest.approx((800.0, 900.0))
    assert early.density_kg_m3 == pytest.approx(0.92)
    assert late.pressure_pa == pytest.approx(91e3)
    # The axis points east, the heading is (-3, 4) / 5: nose level, and seen from there backwards.
    assert abs(early.angle_rad) == pytest.approx(math.pi)
    # Body y is north. Turning about heading x up, (0.8, 0.6): -0.5 about y is -0.3.
    assert early.rate_rad_s == pytest.approx(-0.3)


def test_where_it_comes_down_with_nothing_out_is_told_between_the_winds():
    def fallen(east, north, landed=True):
        return flown(positions_m=np.array([[0.0, 0.0, 0.0], [east, north, 0.0]]), landed=landed)

    traces = {"day": fallen(30.0, 40.0), "windy": fallen(0.0, -90.0), "calm": fallen(12.0, 5.0)}
    told = start.unopened_distance(start.ShutFlights(traces=traces, airs={}))
    assert (told.value, told.low, told.high) == (50.0, 13.0, 90.0)
    unfollowed = {**traces, "windy": fallen(0.0, 1.0, landed=False)}
    assert start.unopened_distance(start.ShutFlights(traces=unfollowed, airs={})) is None


def test_air_and_speed_at_an_event_are_read_off_the_flight():
    trace = flown()
    assert (moments._out_time(trace, "main"), moments._out_height(trace, "main")) == (11.0, 980.0)
    assert (moments._out_time(trace, "x"), moments._out_height(trace, "x")) == (math.inf, 0.0)
    assert moments._airspeed_at(trace, "main") == pytest.approx(23.0)
    assert moments._airspeed_at(trace, "x") == 0.0
    assert moments._at_burnout(trace) == pytest.approx(2500.0)
    assert moments._at_burnout(flown(events=())) == 0.0


def test_an_event_may_come_a_second_late_or_as_late_as_the_sheet_says():
    def late(event_delay=None, delay="0 s"):
        scatter = SimpleNamespace(event_delay=event_delay)
        return moments.late_s(
            SimpleNamespace(scatter=scatter, recovery=sheet(canopies=(canopy(delay=delay),)).recovery)
        )

    assert late() == 1.0
    assert late(Quantity(value=0.5, tolerance=0.2, text="")) == 1.0
    assert late(Quantity(value=1.0, tolerance=0.4, text="")) == pytest.approx(1.4)
    assert late(delay="2 s +- 1.5 s") == 1.5


def test_a_canopy_comes_out_as_fast_as_a_late_event_lets_it_fall(monkeypatch):
    monkeypatch.setattr(moments, "parts_bare", lambda recovery: False)
    vehicle = SimpleNamespace(
        sheet=SimpleNamespace(
            scatter=SimpleNamespace(event_delay=None), recovery=sheet(canopies=(canopy(),)).recovery
        )
    )
    flights = SimpleNamespace(nominal=flown(), windy=flown(airspeeds_m_s=np.full(61, 30.0)))
    found = moments._out_speed(vehicle, flights, canopy())
    assert (found.low, found.value, found.high) == pytest.approx((23.0, 23.0, math.hypot(30.0, 9.80665)))
    monkeypatch.setattr(moments, "parts_bare", lambda recovery: True)
    monkeypatch.setattr(moments, "parted_area", lambda vehicle: about(0.4, 0.1, 0.9))
    bare = moments._out_speed(vehicle, flights, canopy())
    # Steady speed goes with the inverse root of the area.
    assert (bare.low, bare.value, bare.high) == pytest.approx((23.0 * math.sqrt(4 / 9), 23.0, 60.0))


def test_the_push_at_burnout_and_the_top_are_taken_over_all_flights():
    flights = SimpleNamespace(
        every=(
            flown(),
            flown(dynamic_pressures_pa=np.full(61, 900.0)),
            flown(dynamic_pressures_pa=np.full(61, 4000.0)),
        )
    )
    air = SimpleNamespace(drag=SimpleNamespace(reference_area_m2=0.02))
    push = moments._burnout_push(air, flights)
    assert (push.low, push.value, push.high) == pytest.approx((18.0, 50.0, 80.0))
    drag = moments._times(push, about(0.5, 0.4, 0.6))
    assert (drag.low, drag.value, drag.high) == pytest.approx((7.2, 25.0, 48.0))
    top = moments._top(flights)
    assert (top.low, top.value, top.high) == (1000.0, 1000.0, 1000.0)


def test_thrust_that_stops_dead_swings_all_of_it_back_and_a_slow_end_next_to_nothing():
    dead = moments._rebound(0.0, 1.5)
    assert (dead.low, dead.high) == (0.0, 1.0)
    assert dead.value == pytest.approx(1.0)
    slow = moments._rebound(1.0, 1.5)
    # Twice the length at 300 m/s takes 10 ms: over a second at most 1 / (100 pi) of it is left.
    assert slow.high == pytest.approx(0.01 / math.pi)
    assert slow.value <= slow.high


def test_a_side_on_which_nothing_lies_weighs_as_a_bare_shell():
    assert moments._some(exact(0.3)).value == 0.3
    assert (moments._some(exact(0.0)).value, moments._some(exact(0.0)).known_by) == (0.05, KnownBy.ASSUMED)
    assert Apart(fore_kg=exact(2.0), aft_kg=exact(6.0)).moved_kg == pytest.approx(1.5)


def test_a_station_ahead_of_a_side_s_balance_lies_positive_on_its_piece():
    side = halves.Side(piece=None, station_m=0.7)
    assert side.along(0.4) == pytest.approx(0.3)
    vehicle = SimpleNamespace(
        sheet=sheet(
            canopies=(canopy(), canopy(name="x", bay="other")), cords=(cord(), cord(name="y", joint="second"))
        )
    )
    assert halves._let_out(vehicle, "joint") == {("canopy", "main"), ("cord", "cord")}


@pytest.mark.parametrize(
    ("climb", "mach", "sees"),
    [(100.0, 0.81, Barometer.SHOCKS), (100.0, 0.79, Barometer.RATE), (1.9, 0.1, Barometer.STEADY),
     (-1.9, 0.1, Barometer.STEADY), (2.1, 0.1, Barometer.RATE), (-2.1, 0.1, Barometer.RATE)],
)  # fmt: skip
def test_a_barometer_sees_shocks_steady_air_or_a_rate(climb, mach, sees):
    assert order._barometer(climb, mach) is sees


def test_pressure_falls_by_the_hydrostatic_balance(monkeypatch):
    """12 Pa for each metre at the ground: rho g, with rho by the ideal gas."""
    monkeypatch.setattr(order, "pressure_at", lambda vehicle, height: 100e3 - 10.0 * height)
    monkeypatch.setattr(order, "day_at_pad", lambda vehicle: SimpleNamespace(temperature_k=290.0))
    density = 100e3 / (287.05 * 290.0)
    assert order._pressure_rate(None, -5.0, 10.0) == pytest.approx(-density * 9.80665 * 10.0, rel=1e-4)
    assert order._pressure_rate(None, 1000.0, -10.0) == pytest.approx(
        0.9 * density * 9.80665 * 10.0, rel=1e-4
    )


def test_the_order_holds_flight_and_charges_with_what_each_sees(monkeypatch):
    monkeypatch.setattr(order, "_pressure_rate", lambda vehicle, height, climb: climb)
    monkeypatch.setattr(order, "parts_bare", lambda recovery: False)
    first = charge()
    backup = charge(name="backup", backup_of="charge", event={"after_lift_off": "12 s"})
    vehicle = SimpleNamespace(
        sheet=sheet(charges=(first, backup), canopies=(canopy(),)), skin=SimpleNamespace(length_m=1.6)
    )
    found = order.order_study(vehicle, flown(), 0.4)
    assert [(row.time_s, row.name) for row in found.rows] == [
        (0.5, ""), (2.5, ""), (10.0, ""), (10.0, "charge"), (11.0, "main"), (12.5, "backup"),
    ]  # fmt: skip
    assert (found.events, found.joints[0].share) == (1, pytest.approx(0.125))
    assert (found.burnout_s, found.apogee_s, found.top_mach) == (2.5, 10.0, pytest.approx(0.6))
    assert (found.backup_at_once, found.no_delay) == (False, True)
    burnout = found.rows[1]
    assert (burnout.height_m, burnout.speed_m_s) == pytest.approx((200.0, math.hypot(5.0, 100.0)))
    assert burnout.felt_g == pytest.approx(2.0)
    # A lag is worth a word on a fast climb alone, from a decimetre.
    assert [row.lag_m for row in found.rows] == [0.4, 0.4, 0.4, 0.4, 0.4, None]
    assert order.order_study(vehicle, flown(), 0.11).rows[0].lag_m == 0.11
    assert {row.lag_m for row in order.order_study(vehicle, flown(), 0.09).rows} == {None}
    assert {row.lag_m for row in order.order_study(vehicle, flown(), None).rows} == {None}
    at_once = charge(name="backup", backup_of="charge")
    vehicle.sheet = sheet(charges=(first, at_once), canopies=(canopy(delay="1 s"),))
    again = order.order_study(vehicle, flown(), None)
    assert (again.backup_at_once, again.no_delay) == (True, False)


def test_parting_without_a_canopy_is_told_once_as_tumbling(monkeypatch):
    """The bare opening stands among the flight's canopies: it comes out, and never opens."""

    def event(kind, canopy, at):
        return SimpleNamespace(kind=kind, canopy=canopy, time_s=at, height_agl_m=0.0)

    bare = order.PARTED
    flight = flown(events=(
        event(EventKind.OUT, bare, 10.0), event(EventKind.OPEN, bare, 10.1),
        event(EventKind.OUT, "main", 30.0), event(EventKind.OPEN, "main", 31.0),
    ))  # fmt: skip
    vehicle = SimpleNamespace(sheet=sheet(charges=()))
    assert [one[:3] for one in order._happened(vehicle, flight)] == [
        (10.0, order.Happening.TUMBLES, ""),
        (30.0, EventKind.OUT, "main"),
        (31.0, EventKind.OPEN, "main"),
    ]


def test_what_parts_weighs_without_its_propellant(lighthouse, answered):
    from finial.assemble.basis import basis_of

    found = moments.recovery_moments(basis_of(lighthouse))
    left = answered.mass.lift_off.mass_kg - lighthouse.motor.propellant_mass_kg
    assert sum(one.value for one in found.pieces_kg) == pytest.approx(left, rel=1e-6)
    for apart in found.apart.values():
        assert apart.fore_kg.value + apart.aft_kg.value == pytest.approx(left, rel=1e-6)
