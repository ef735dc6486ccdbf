"""Ports, clocks and the top as computers sense them, from a few rows of a flight."""

import math
from types import SimpleNamespace

import numpy as np
import pytest
from made_by_hand import QUARTER, about, item, quantity

from finial.assemble.electronics import at_port, felt, sensing, tops
from finial.assemble.electronics.at_port import AtPort
from finial.core.estimates import exact
from finial.files.sheet_recovery import AccelerometerEntry, ComputerEntry
from finial.flight.trace import EventKind

G = 9.80665
DENSITY = 1.25


class Plain(SimpleNamespace):
    """A stand-in told apart by identity: what is kept between looks is kept by it."""

    __hash__ = object.__hash__
    __eq__ = object.__eq__


def trace(heights, *, times=None, left=0.0, climbs=None, speeds=None, felts=None, pressures=None):
    """Rows of a flight; it leaves the pad at ``left``."""
    heights = np.array(heights, dtype=float)
    rows = len(heights)
    zero = np.zeros(rows)
    climbs = zero if climbs is None else np.array(climbs, dtype=float)
    return Plain(
        times_s=np.arange(rows, dtype=float) if times is None else np.array(times, dtype=float),
        positions_m=np.column_stack([zero, zero, heights]),
        velocities_m_s=np.column_stack([zero, zero, climbs]),
        airspeeds_m_s=zero if speeds is None else np.array(speeds, dtype=float),
        accelerations_m_s2=np.zeros((rows, 3)) if felts is None else np.array(felts, dtype=float),
        dynamic_pressures_pa=zero if pressures is None else np.array(pressures, dtype=float),
        alphas_rad=zero,
        machs=zero,
        event=lambda kind: SimpleNamespace(time_s=left) if kind is EventKind.LIFT_OFF else None,
    )


def flights(*every):
    return SimpleNamespace(every=every, nominal=every[0])


def computer(**given):
    return ComputerEntry.model_validate({"name": "A", "battery": "cell", "current_on_pad": "20 mA", **given})


@pytest.fixture
def even_air(monkeypatch):
    """The same density at every height."""
    monkeypatch.setattr(at_port, "_densities", lambda _day, heights: np.full(len(heights), DENSITY))


def port_air(**changed):
    usual = {"day": None, "clear": 2.0, "coefficient": exact(0.0), "from_tunnel": False, "uneven": 0.0}
    return AtPort(**(usual | {"across": (-1.0, -0.4), "lag_at_one": 0.0} | changed))


# ------------------------------------------------------------------- the air at a port


def test_holes_add_up_at_each_end_of_their_tolerance():
    port = SimpleNamespace(holes=[quantity(0.004, 0.001), quantity(0.002)])
    area = at_port.holes_area(port)
    assert area.value == pytest.approx(QUARTER * (16e-6 + 4e-6))
    assert (area.low, area.high) == pytest.approx((QUARTER * (9e-6 + 4e-6), QUARTER * (25e-6 + 4e-6)))


def test_the_middle_goes_before_both_ends_of_what_flows():
    flows = port_air(coefficient=about(-0.1, -0.3, 0.2)).flows
    assert flows == ((-0.1, pytest.approx(-0.7)), (-0.3, -1.0), (0.2, -0.4))


def test_a_lag_counts_at_the_fastest_climb(even_air):
    # Pressure by density and speed squared: the density drops out of the height.
    air = port_air(lag_at_one=0.02)
    flown = trace([0.0, 50.0, 80.0], climbs=[10.0, 40.0, 5.0])
    assert air.lag_m(flown) == pytest.approx(0.02 * 40.0**2 / G)
    assert air.lag_m(trace([0.0], climbs=[-3.0])) == 0.0


def test_what_a_barometer_shows_ends_at_the_top_and_suction_shows_too_high(even_air):
    flown = trace(
        [0.0, 60.0, 100.0, 50.0], climbs=[0.0, 40.0, 0.0, -20.0], pressures=[0.0, 900.0, 0.0, 300.0]
    )
    sucked, pushed = port_air().shown_m(flown, [(-0.5, 0.0), (0.5, 0.0)])
    assert sucked == pytest.approx([0.0, 60.0 + 450.0 / (DENSITY * G), 100.0])
    assert pushed == pytest.approx([0.0, 60.0 - 450.0 / (DENSITY * G), 100.0])
    (late,) = port_air(lag_at_one=0.02).shown_m(flown, [(0.0, 0.0)])
    assert late[1] == pytest.approx(60.0 - 0.02 * 40.0**2 / G)


def test_wind_across_counts_by_the_square_of_the_sine(even_air):
    flown = trace([0.0, 60.0, 100.0], pressures=[0.0, 900.0, 0.0])
    flown.alphas_rad = np.array([0.0, math.radians(30.0), 0.0])
    (shown,) = port_air().shown_m(flown, [(0.2, -1.0)])
    assert shown[1] == pytest.approx(60.0 - 900.0 * (0.2 * 0.75 - 1.0 * 0.25) / (DENSITY * G))


@pytest.mark.parametrize(
    ("found", "clear", "low", "high"),
    [(0.2, 2.0, 0.05, 0.35), (-0.2, 1.0, -0.35, -0.05), (0.2, 0.99, -0.8, 0.4), (1.0, 0.5, -0.8, 1.55)],
)
def test_a_coefficient_is_doubted_by_half_and_a_twentieth_and_near_a_ledge_wholly(found, clear, low, high):
    doubted = at_port._doubted(found, clear)
    assert (doubted.low, doubted.value, doubted.high) == pytest.approx((low, found, high))
    assert doubted.inside_range is (clear >= 1.0)


def test_holes_without_angles_stand_evenly_round():
    even = at_port._angles(SimpleNamespace(at=None, holes=[quantity(0.003)] * 4))
    assert np.diff(even) == pytest.approx([math.pi / 2] * 3)
    assert at_port._angles(SimpleNamespace(at=[quantity(0.1), quantity(2.0)], holes=())) == [0.1, 2.0]


@pytest.mark.parametrize(
    ("station_m", "value", "low", "high"),
    [
        (0.15, -0.2, -0.4, 0.1),
        (-0.1, -0.2, -0.4, 0.1),
        (0.25, 0.0, -0.4, 0.16),
        (0.9, 0.15, -0.1, 0.2),
    ],
)
def test_a_surface_in_the_tunnel_is_read_with_both_neighbours(station_m, value, low, high):
    surface = [(-0.2, -0.4, -0.1), (0.0, -0.1, 0.1), (0.15, 0.12, 0.16)]
    run = SimpleNamespace(stations_m=(0.1, 0.2, 0.3, 0.4), surface=surface)
    found = at_port._round_at(run, station_m)
    # A twentieth at least to either side.
    assert (found.low, found.value, found.high) == pytest.approx((low, value, high))
    gone = SimpleNamespace(stations_m=(0.1, 0.2, 0.3, 0.4), surface=[surface[0], None, surface[2]])
    assert at_port._round_at(gone, 0.25) is None


# ------------------------------------------------------------------------------ clocks


def test_lift_off_is_seen_where_it_has_climbed_so_high_or_never_before_its_top():
    late = trace([0.0, 20.0, 30.0, 90.0, 20.0], left=0.5)
    low = trace([0.0, 10.0, 25.0, 5.0, 29.0 - 5.0], left=0.25)
    assert sensing._seen_s([late, low], 30.0) == pytest.approx([1.5, 1.75])
    assert sensing._top_s(late) == pytest.approx(2.5)
    # Nothing that comes later in the fall counts.
    assert sensing._seen_s([trace([0.0, 20.0, 10.0, 20.0])], 20.0) == [1.0]


def test_a_flight_that_never_leaves_begins_at_ignition():
    flown = trace([0.0, 1.0])
    flown.event = lambda _kind: None
    assert sensing._left_s(flown) == 0.0
    assert felt.felt_up(flown)[0].tolist() == [0.0, 1.0]


def test_the_first_of_both_senses_begins_a_flight(monkeypatch):
    seen_by_felt = {"low": [0.2, None], "value": [5.0, 0.4], "high": [None, None]}
    monkeypatch.setattr(sensing, "seen_by_felt", lambda _flights, _computer, end: seen_by_felt[end])
    both = flights(trace([0.0, 10.0, 30.0, 60.0, 90.0]), trace([0.0, 60.0, 90.0]))
    seen = sensing._seen(both, computer(lift_off_height="30 m +- 20 m"))
    assert seen == {"low": [0.2, 1.0], "value": [2.0, 0.4], "high": [3.0, 1.0]}


def test_a_clock_runs_from_the_soonest_to_the_latest_and_beside_each_flight_s_own_top():
    igniters = [
        SimpleNamespace(
            name="i", computer="A", event=SimpleNamespace(after_lift_off=quantity(10.0, 1.0), apogee=False)
        ),
        SimpleNamespace(name="top", computer="A", event=SimpleNamespace(after_lift_off=None)),
    ]
    electronics = SimpleNamespace(computer=[computer(lift_off_height="30 m +- 20 m")], igniter=igniters)
    vehicle = SimpleNamespace(sheet=SimpleNamespace(electronics=electronics))
    slow = trace([0.0, 10.0, 30.0, 60.0, 90.0])
    quick = trace([0.0, 60.0, 90.0], left=0.5)
    (timer,) = sensing._timers(vehicle, flights(slow, quick))
    # Slow: seen at 1, 2 and 3 s, top at 4 s; quick: always at 0.5 s, top at 1.5 s.
    assert (timer.igniter, timer.set_s, timer.earliest_top_s, timer.latest_top_s) == ("i", 10.0, 1.5, 4.0)
    assert (timer.fires.low, timer.fires.value, timer.fires.high) == (9.5, 12.0, 14.0)
    assert (timer.after_top.low, timer.after_top.value, timer.after_top.high) == (6.0, 8.0, 10.0)


def test_first_motion_is_above_gusts_and_below_the_lowest_top():
    launch = SimpleNamespace(wind=quantity(4.0, 2.0))
    vehicle = SimpleNamespace(sheet=SimpleNamespace(launch=launch))
    both = flights(trace([0.0, 90.0, 0.0]), trace([0.0, 70.0, 0.0]))
    told = {"range": "30 g", "offset": "0 g", "tilt": "0 deg", "finds_top": False}
    deaf = sensing._first_motion(vehicle, both, computer(accelerometer=told))
    # A gust half as strong again as 6 m/s, in the worst hole of a crosswind.
    assert deaf.gust_m == pytest.approx(1.6 * 9.0**2 / (2 * G))
    assert (deaf.lowest_top_m, deaf.felt, deaf.height) == (70.0, False, sensing.LIFT_OFF_M)
    feels = computer(accelerometer={**told, "lift_off": {"over": "3 g", "held": "0.2 s"}})
    assert sensing._first_motion(vehicle, both, feels).felt
    assert not sensing._first_motion(vehicle, both, computer()).felt
    assert (sensing.LIFT_OFF_M.low, sensing.LIFT_OFF_M.value, sensing.LIFT_OFF_M.high) == (10.0, 30.0, 60.0)


# ------------------------------------------------------------------ falling through a height


@pytest.mark.parametrize(
    ("height_m", "speed"),
    [(50.0, 20.0), (80.0, 3.0), (79.0, 20.0), (0.0, 25.0), (100.0, None), (100.1, None)],
)
def test_the_speed_of_a_fall_is_that_just_above_the_height(height_m, speed):
    flown = trace([0.0, 50.0, 100.0, 80.0, 50.0, 0.0], speeds=[9.0, 30.0, 3.0, 20.0, 25.0, 1.0])
    assert sensing._falling(flown, height_m) == speed


def test_a_flight_that_is_not_followed_down_falls_through_nothing():
    assert sensing._falling(trace([0.0, 100.0, 60.0]), 50.0) is None


def test_a_reading_falls_before_the_top_by_its_flows(even_air):
    air = port_air(coefficient=about(-0.5, -0.6, 0.0), across=(0.0, 0.0))
    rises = trace([0.0, 60.0, 62.0, 63.0], pressures=[0.0, 900.0, 0.0, 0.0])
    calm = trace([0.0, 60.0, 62.0, 63.0])
    fall = sensing._early_fall(air, flights(rises, calm))
    assert fall.value == pytest.approx(450.0 / (DENSITY * G) - 2.0)
    assert (fall.low, fall.high) == pytest.approx((0.0, 540.0 / (DENSITY * G) - 2.0))
    assert fall.inside_range


# ---------------------------------------------------------------------- room behind a port


def room(areas=(0.01, 0.01, 0.01, 0.01, 0.01)):
    stations = np.linspace(0.0, 1.0, len(areas))
    free = [SimpleNamespace(area=one) for one in areas]
    return Plain(stations_m=stations, length_m=1.0, free=free)


def plate(station, across="100 mm", kind="bulkhead"):
    return Plain(**vars(item(kind=kind, station=station, across=across)))


@pytest.mark.parametrize(
    ("items", "cubic_metres"),
    [
        ((), 0.01),
        ((plate("300 mm"), plate("800 mm")), 0.005),
        ((plate("300 mm"), plate("400 mm"), plate("800 mm"), plate("700 mm")), 0.003),
        # Half of the open room is a disk of 79.8 mm.
        ((plate("300 mm", "79 mm"),), 0.01),
        ((plate("300 mm", "81 mm"),), 0.007),
        ((plate("300 mm", kind="sled"), plate("300 mm", across=None)), 0.01),
        ((plate("500 mm"),), 0.005),
    ],
)
def test_room_behind_a_port_ends_at_the_nearest_plates_that_take_half_of_it(items, cubic_metres):
    plates = tuple(sensing._plates(SimpleNamespace(item=items)))
    assert sensing._room_m3(plates, room(), 0.5) == pytest.approx(cubic_metres)


def test_room_is_added_up_along_its_sections():
    assert sensing._room_m3((), room((0.0, 0.02, 0.0)), 0.5) == pytest.approx(0.01)


@pytest.mark.parametrize(
    ("at_m", "sleds", "into"),
    [
        (0.2, (), "bay"),
        (0.5, (), "bay"),
        (0.199, (), ""),
        (0.501, (), ""),
        (0.3, (item(kind="sled", station="360 mm", length="120 mm"),), ""),
        (0.3, (item(kind="sled", station="361 mm", length="120 mm"),), "bay"),
        (0.42, (item(kind="sled", station="361 mm", length="120 mm"),), ""),
        (0.3, (item(kind="sled", station="300 mm"),), ""),
        (0.3, (item(kind="sled", station="301 mm"),), "bay"),
    ],
)
def test_holes_open_into_the_bay_behind_them_unless_a_sled_stands_there(at_m, sleds, into):
    bays = [SimpleNamespace(name="bay", stations=(quantity(0.2), quantity(0.5)))]
    sheet = SimpleNamespace(item=sleds, recovery=SimpleNamespace(bay=bays))
    assert sensing._opens_into(sheet, SimpleNamespace(station=quantity(at_m))) == into


@pytest.mark.parametrize(
    ("station_m", "wide_m", "offset_m", "goes_on"),
    [
        # A tube of 60 mm stands from 0.6 to 0.9 m; 2 mm more lets the air through.
        (0.7, 0.0619, (0.0, 0.0), False),
        (0.7, 0.0621, (0.0, 0.0), True),
        (0.6, 0.0619, (0.0, 0.0), False),
        (0.9, 0.0619, (0.0, 0.0), False),
        (0.91, 0.0021, (0.0, 0.0), True),
        (0.91, 0.0019, (0.0, 0.0), False),
        (0.59, 0.0021, (0.0, 0.0), True),
        (0.7, 0.0021, (0.0301, 0.0), True),
        (0.7, 0.0021, (0.0299, 0.0), False),
    ],
)
def test_air_goes_on_beside_a_motor_s_tube_where_a_gap_is_left(
    monkeypatch, station_m, wide_m, offset_m, goes_on
):
    mount = SimpleNamespace(across=quantity(0.06), stations=(quantity(0.6), quantity(0.9)))
    places = [
        SimpleNamespace(mount=mount, offset_m=(0.0, 0.0)),
        SimpleNamespace(mount=None, offset_m=(0.0, 0.0)),
    ]
    monkeypatch.setattr(sensing, "motor_places", lambda _vehicle: places)
    monkeypatch.setattr(sensing, "widest_at", lambda _room, _station, _offset: wide_m)
    assert sensing._goes_on(None, None, offset_m, station_m) is goes_on


def test_a_port_is_shut_off_only_from_sleds_and_from_all_of_them(monkeypatch):
    monkeypatch.setattr(sensing, "_goes_on", lambda _vehicle, _room, offset, _at: offset[0] > 0.02)

    def shut(*sleds):
        return sensing._is_shut(SimpleNamespace(sheet=SimpleNamespace(item=sleds)), None, 0.8)

    sled = item(kind="sled", station="300 mm", length="100 mm")
    aside = item(kind="sled", station="300 mm", offset=["30 mm", "0 mm"])
    assert shut(sled)
    assert not shut()
    assert not shut(sled, aside)
    assert not shut(sled, item(kind="sled", station="800 mm"))


# ------------------------------------------------------------------------------ the top


def test_a_top_is_found_once_the_reading_has_fallen_or_freely_after_it():
    flown = trace([0.0, 50.0, 98.0, 100.0, 40.0])
    shown = tops._drop_m(np.array([0.0, 60.0, 55.0, 50.0]))
    assert shown.tolist() == [0.0, 0.0, 5.0, 10.0]
    assert tops._fallen(flown, shown, 5.0) == -1.0
    assert tops._fallen(flown, shown, 5.1) == 0.0
    assert tops._fallen(flown, shown, 10.1) == pytest.approx(math.sqrt(2 * 10.1 / G))


def test_a_barometer_s_top_spans_flights_flows_and_falls(even_air):
    air = port_air(coefficient=about(0.0, -0.5, 0.0), across=(0.0, 0.0))
    rises = trace([0.0, 60.0, 62.0, 63.0], pressures=[0.0, 900.0, 0.0, 0.0])
    found = tops._by_barometer(air, (trace([0.0, 60.0, 62.0, 63.0]), rises))
    # The last 450 Pa of suction are 36.7 m: gone a second before the top.
    assert (found.low, found.value, found.high) == pytest.approx((-1.0, math.sqrt(4 / G), math.sqrt(10 / G)))


def test_who_fires_at_the_top_brings_out_what_lies_in_the_bay_of_its_charge():
    def igniter(fires, computer="A", **event):
        usual = {"falling_through": None, "after_lift_off": None}
        return SimpleNamespace(fires=fires, computer=computer, event=SimpleNamespace(**(usual | event)))

    sheet = SimpleNamespace(
        electronics=SimpleNamespace(
            igniter=[
                igniter("at top"),
                igniter("low", falling_through=quantity(200.0)),
                igniter("late", after_lift_off=quantity(10.0)),
                igniter("other", computer="B"),
            ]
        ),
        recovery=SimpleNamespace(
            charge=[
                SimpleNamespace(name=name, bay=f"{name} bay") for name in ("at top", "low", "late", "other")
            ],
            canopy=[
                SimpleNamespace(name=name, bay=f"{name} bay") for name in ("at top", "low", "late", "other")
            ],
        ),
    )
    vehicle = SimpleNamespace(sheet=sheet)
    assert list(tops._brought_out(vehicle, SimpleNamespace(name="A"))) == ["at top"]
    assert list(tops._brought_out(vehicle, SimpleNamespace(name="B"))) == ["other"]
    assert list(tops._brought_out(vehicle, SimpleNamespace(name="C"))) == []


# ---------------------------------------------------------------------------- what is felt


def told(**given):
    usual = {"range": "50 m/s^2 +- 2 m/s^2", "offset": "0.1 m/s^2 +- 0.2 m/s^2", "tilt": "1 deg +- 1 deg"}
    return AccelerometerEntry.model_validate({**usual, "finds_top": True, **given})


def test_an_accelerometer_at_its_worst_has_all_that_the_sheet_allows_it():
    perfect, worst = felt.perfect_and_worst(told())
    assert (perfect.range_m_s2, perfect.offset_m_s2, perfect.tilt_rad) == (48.0, 0.0, 0.0)
    assert (worst.range_m_s2, worst.offset_m_s2, worst.tilt_rad) == pytest.approx(
        (48.0, 0.3, math.radians(2))
    )


def test_what_is_felt_counts_from_lift_off_to_the_top():
    pushes = [[9.0, 0, 0], [40.0, 0, 0], [20.0, 0, 0], [-5.0, 0, 0], [90.0, 0, 0]]
    flown = trace([0.0, 10.0, 30.0, 60.0, 20.0], left=1.0, felts=pushes)
    times, felts = felt.felt_up(flown)
    assert times.tolist() == [1.0, 2.0, 3.0]
    assert felts[:, 0].tolist() == [40.0, 20.0, -5.0]
    stronger = trace([0.0, 10.0, 30.0], left=1.0, felts=[[0.0, 0, 0], [60.0, 0, 0], [0.0, 0, 0]])
    sheet = SimpleNamespace(
        electronics=SimpleNamespace(computer=[computer(), computer(accelerometer=told(tilt="0 deg"))])
    )
    (found,) = felt.felt_ranges(SimpleNamespace(sheet=sheet), flights(flown, stronger))
    assert (found.felt.value, found.felt.low, found.felt.high) == (40.0, 40.0, 60.0)
    assert (found.range_m_s2, found.decides) == (48.0, True)


def test_lift_off_that_is_felt_widens_by_the_offset_and_a_knock_is_a_tenth_of_a_second():
    entry = told(lift_off={"over": "30 m/s^2 +- 1 m/s^2", "held": "0.5 s +- 0.1 s"}, tilt="0 deg")
    sheet = SimpleNamespace(electronics=SimpleNamespace(computer=[computer(), computer(accelerometer=entry)]))
    steady = trace([0.0, 10.0, 30.0, 60.0], felts=[[40.0, 0, 0]] * 4)
    weaker = trace([0.0, 10.0, 30.0, 60.0], felts=[[35.0, 0, 0]] * 4)
    (found,) = felt.felt_lift_offs(SimpleNamespace(sheet=sheet), flights(steady, weaker))
    assert (found.over.low, found.over.value, found.over.high) == pytest.approx((28.7, 30.0, 31.3))
    assert found.asked_m_s2 == pytest.approx(31.0)
    assert (found.held_level.low, found.held_level.value, found.held_level.high) == pytest.approx(
        (34.7, 40.0, 40.0)
    )
    # A drop of 0.2 m stops within 2 sqrt(2 g h) / (28.7 - g) = 0.21 s: longer than one knock lasts.
    assert found.longest_knock_s == 0.1
    hard = told(lift_off={"over": "200 m/s^2", "held": "0.5 s"}, offset="0 m/s^2")
    sheet.electronics.computer = [computer(accelerometer=hard)]
    (found,) = felt.felt_lift_offs(SimpleNamespace(sheet=sheet), flights(steady))
    assert found.longest_knock_s == pytest.approx(2 * math.sqrt(2 * G * 0.2) / (200.0 - G))
    assert found.longest_knock_s < 0.1


def test_each_flight_is_seen_by_what_is_felt_or_never():
    entry = told(lift_off={"over": "30 m/s^2 +- 5 m/s^2", "held": "0.5 s"}, offset="0 m/s^2", tilt="0 deg")
    steady = trace([0.0, 10.0, 30.0, 60.0], felts=[[32.0, 0, 0]] * 4)
    both = flights(steady, trace([0.0, 10.0], felts=[[20.0, 0, 0]] * 2))
    found = {
        end: felt.seen_by_felt(both, computer(accelerometer=entry), end) for end in ("low", "value", "high")
    }
    assert found == {
        "low": [pytest.approx(0.5), None],
        "value": [pytest.approx(0.5), None],
        "high": [None, None],
    }
    assert felt.seen_by_felt(both, computer(), "value") == [None, None]
    assert felt.seen_by_felt(both, computer(accelerometer=told()), "value") == [None, None]
