"""Ports, heights, clocks and lift-off of a whole sheet, beside its flights by hand."""

import math

import numpy as np
import pytest
from sensed import at_least_felt, metres, sensed, spread_of, with_accelerometer, with_ports

from finial.assemble.basis import basis_of
from finial.assemble.electronics import sensing as joined
from finial.assemble.electronics.at_port import AtPort
from finial.assemble.electronics.results import FiredHeight
from finial.core.estimates import Estimate
from finial.core.units import Quantity
from finial.electronics.accelerometer import Accelerometer, longest_held, top_by_felt
from finial.files.sheet_recovery import AccelerometerEntry, EventEntry
from finial.flight.trace import EventKind


@pytest.fixture(scope="module")
def basis(lighthouse):
    return basis_of(lighthouse)


def test_ports_beyond_the_body_are_not_known(basis) -> None:
    length = basis.vehicle.skin.length_m
    for station, known in ((length - 1e-3, True), (length + 1e-3, False)):
        assert (with_ports(basis, station=metres(station)).ports[0].area is not None) is known


def test_the_lowest_top_is_that_of_the_flights(basis) -> None:
    tops = [float(one.positions_m[:, 2].max()) for one in basis.flights.every]
    assert sensed(basis).lowest_top_m == pytest.approx(min(tops))
    assert sensed(basis, computer=()).lowest_top_m is None


def test_a_bay_that_breathes_through_a_pinhole_lags_by_the_orifice_equation(basis) -> None:
    pinhole = with_ports(basis, holes=(metres(0.0004),) * 4).ports[0]
    fastest = max(basis.flights.every, key=lambda one: one.velocities_m_s[:, 2].max())
    climb = float(fastest.velocities_m_s[:, 2].max())
    kelvin = basis.vehicle.sheet.launch.temperature.value
    # Outflow V g w / (R T) through 0.6 A: density drops out of the height.
    speed = 0.7e-3 * 9.80665 * climb / (287.05287 * kelvin) / (0.6 * math.pi / 4 * 4 * 0.0004**2)
    assert pinhole.lag_m == pytest.approx(speed**2 / (2 * 9.80665), rel=1e-6)
    assert pinhole.lag_m > 10.0


def test_a_reading_in_strong_suction_falls_while_it_still_climbs(basis) -> None:
    # Height shown is h + C v^2 / 2 g: it falls where |C| times the braking goes beyond one g.
    trace = basis.flights.nominal
    up = slice(0, int(np.argmax(trace.positions_m[:, 2])) + 1)
    shown = trace.positions_m[up, 2] + 0.8 * trace.airspeeds_m_s[up] ** 2 / (2 * 9.80665)
    by_hand = float((np.maximum.accumulate(shown) - shown).max())
    found = with_ports(basis, station=metres(0.26)).ports[0].early_fall
    assert found is not None
    assert by_hand > 20.0
    # The bad end is that of the worst corner, which brakes somewhat harder.
    assert by_hand < found.high < 2.0 * by_hand


def test_going_up_a_bay_that_lags_reads_low(basis) -> None:
    vehicle, trace = basis.vehicle, basis.flights.nominal
    (port,) = vehicle.sheet.electronics.port
    slow = port.model_copy(update={"holes": (metres(0.0004),) * 4})
    at = AtPort.of(vehicle, slow)
    (shown,) = at.shown_m(trace, [(0.0, 0.0)])
    fastest = int(np.argmax(trace.velocities_m_s[:, 2]))
    assert shown[fastest] == pytest.approx(trace.positions_m[fastest, 2] - at.lag_m(trace), abs=0.01)
    assert at.lag_m(trace) > 10.0


def fired_at(basis, set_m: float, **tables) -> FiredHeight:
    first, *others = basis.vehicle.sheet.electronics.igniter
    falling = first.model_copy(update={"event": EventEntry(falling_through=metres(set_m))})
    (fired,) = sensed(basis, igniter=(falling, *others), **tables).fired
    return fired


def test_on_a_cold_day_it_fires_lower_in_the_ratio_of_the_temperatures(basis) -> None:
    ground = basis.vehicle.files.site.ground_asl.value
    # ISO 2533: a column of air is as high as it is warm; the standard day has 288.15 K less 6.5 K/km.
    for celsius in (-10.0, 40.0):
        kelvin = 273.15 + celsius
        warmth = Quantity(value=kelvin, text=f"{celsius} degC")
        fired = fired_at(basis, 200.0, launch={"temperature": warmth, "pressure": None})
        standard = 288.15 - 0.0065 * (ground + 100.0)
        assert fired.true.value == pytest.approx(200.0 * (kelvin - 0.65) / standard, rel=3e-3)


def test_coming_down_a_bay_that_lags_fires_low(basis) -> None:
    (port,) = basis.vehicle.sheet.electronics.port
    slow = port.model_copy(update={"holes": (metres(0.0004),) * 4})
    quick, late = (fired_at(basis, 200.0, port=(one,)).true.low for one in (port, slow))
    falls = [joined._falling(one, 200.0) for one in basis.flights.every]
    kelvin = basis.vehicle.sheet.launch.temperature.value
    # The orifice equation at the fastest fall; holes of 3 mm lag by nothing beside it.
    speed = 0.7e-3 * 9.80665 * max(falls) / (287.05287 * kelvin) / (0.6 * math.pi / 4 * 4 * 0.0004**2)
    assert quick - late == pytest.approx(speed**2 / (2 * 9.80665), rel=1e-3)


def test_a_height_without_ports_or_above_the_top_is_not_known(basis) -> None:
    assert fired_at(basis, 200.0, port=()).true is None
    assert fired_at(basis, 2000.0).true is None


def test_a_gust_is_half_as_strong_again_as_the_day_s_wind(basis) -> None:
    wind = basis.vehicle.sheet.launch.wind
    expected = 1.6 * (1.5 * wind.high) ** 2 / (2 * 9.80665)
    assert sensed(basis).first_motion[0].gust_m == pytest.approx(expected)


def test_a_clock_counts_from_where_its_computer_sees_lift_off(basis) -> None:
    first, *others = basis.vehicle.sheet.electronics.igniter
    clock = Quantity(value=14.0, tolerance=0.5, text="14 s +- 0.5 s")
    timed = first.model_copy(update={"event": EventEntry(after_lift_off=clock)})
    computers = tuple(
        one.model_copy(update={"lift_off_height": metres(30.0)})
        for one in basis.vehicle.sheet.electronics.computer
    )
    (timer,) = sensed(basis, igniter=(timed, *others), computer=computers).timers
    tops, seen = [], []
    for trace in basis.flights.every:
        left = trace.event(EventKind.LIFT_OFF).time_s
        tops.append(trace.event(EventKind.APOGEE).time_s - left)
        seen.append(float(trace.times_s[np.argmax(trace.positions_m[:, 2] >= 30.0)]) - left)
    late = [began - top for began, top in zip(seen, tops, strict=True)]
    assert timer.after_top.value == pytest.approx(14.0 + late[0], abs=0.05)
    assert timer.after_top.low == pytest.approx(13.5 + min(late), abs=0.05)
    assert timer.after_top.high == pytest.approx(14.5 + max(late), abs=0.05)
    assert timer.earliest_top_s == pytest.approx(min(tops), abs=0.05)
    assert timer.latest_top_s == pytest.approx(max(tops), abs=0.05)


def test_an_accelerometer_that_decides_finds_the_top_by_what_it_feels(basis) -> None:
    found = with_accelerometer(basis)
    first, second = found.tops
    assert (first.port, second.port) == ("", "static ports")
    by_hand = [
        top_by_felt(
            trace.times_s[up],
            trace.accelerations_m_s2[up],
            Accelerometer(range_m_s2=500.0, offset_m_s2=0.2, tilt_rad=0.01),
        )
        for trace in basis.flights.every
        for up in [
            slice(
                int(np.searchsorted(trace.times_s, trace.event(EventKind.LIFT_OFF).time_s)),
                int(np.argmax(trace.positions_m[:, 2])) + 1,
            )
        ]
    ]
    assert first.after_top.low == pytest.approx(min(low for low, _ in by_hand))
    assert first.after_top.high == pytest.approx(max(high for _, high in by_hand))


def test_a_barometer_finds_the_top_after_it_has_fallen(basis) -> None:
    """Free fall of 1 to 5 m: 0.45 to 1.01 s, as no reading of the example falls before the top."""
    top = sensed(basis).tops[0]
    assert top.after_top.low == pytest.approx(math.sqrt(2 * 1.0 / 9.80665))
    assert top.after_top.high == pytest.approx(math.sqrt(2 * 5.0 / 9.80665))
    assert top.canopies == ("main",)


def test_a_barometer_behind_a_ledge_may_fire_on_the_way_up(basis) -> None:
    """A hole on a ledge, in any pressure that such places have, falls by more than a metre before the top."""
    found = with_ports(basis, station=metres(0.19))
    assert found.ports[0].clear < 1.0
    assert found.tops[0].after_top.low < 0.0


def test_lift_off_is_felt_over_flights_and_errors_of_the_accelerometer(basis) -> None:
    found = with_accelerometer(basis, lift_off=at_least_felt(3.0, 0.25))
    (felt,) = found.felt_lift_off
    worst = Accelerometer(range_m_s2=500.0, offset_m_s2=0.2, tilt_rad=0.01)
    levels = []
    for trace in basis.flights.every:
        up = slice(
            int(np.searchsorted(trace.times_s, trace.event(EventKind.LIFT_OFF).time_s)),
            int(np.argmax(trace.positions_m[:, 2])) + 1,
        )
        levels.append(longest_held(trace.times_s[up], trace.accelerations_m_s2[up], worst, 0.25))
    assert felt.held_level.low == pytest.approx(min(levels))
    assert felt.held_level.low < felt.held_level.value
    assert (felt.over.low, felt.over.high) == pytest.approx((3 * 9.80665 - 0.2, 3 * 9.80665 + 0.2))
    assert felt.longest_knock_s == 0.1
    rest = with_accelerometer(basis, lift_off=at_least_felt(1.01, 0.25))
    assert math.isinf(rest.felt_lift_off[0].longest_knock_s)
    assert rest.first_motion[0].felt
    assert not rest.first_motion[1].felt


def test_a_clock_starts_by_whichever_sense_is_first(basis) -> None:
    first, *others = basis.vehicle.sheet.electronics.igniter
    clock = Quantity(value=14.0, text="14 s")
    timed = first.model_copy(update={"event": EventEntry(after_lift_off=clock)})
    changes = {"igniter": (timed, *others)}
    usual = basis.vehicle.sheet.electronics.computer

    def fires(**told) -> Estimate:
        fitted = AccelerometerEntry(
            range=spread_of(500.0), offset=spread_of(0.0), tilt=spread_of(0.0), finds_top=True, **told
        )
        computers = tuple(one.model_copy(update={"accelerometer": fitted}) for one in usual)
        return sensed(basis, computer=computers, **changes).timers[0].fires

    by_height = fires()
    assert fires(lift_off=at_least_felt(2.0, 0.25)).value == pytest.approx(14.25, abs=0.05)
    assert fires(lift_off=at_least_felt(40.0, 0.25)) == by_height
    assert by_height.value > 14.5
