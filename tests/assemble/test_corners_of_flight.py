"""The flight's numbers stand between its corners, and the simple ones agree with sums done by hand."""

import math
from dataclasses import replace
from itertools import pairwise

import pytest

from finial.assemble.basis import basis_of
from finial.core.estimates import Estimate
from finial.core.units import Dimension, parse_quantity
from finial.flight.trace import EventKind

STANDARD_GRAVITY = 9.80665
"""ISO 80000-3."""
JUDGED = ("rail_exit_speed", "apogee_agl", "max_speed", "drift")


@pytest.mark.parametrize("name", JUDGED)
def test_the_nominal_flight_lies_between_the_corners(answered, name: str) -> None:
    judged: Estimate = getattr(answered.flight, name)
    assert judged.low < judged.value < judged.high


def test_thrust_to_weight_by_hand(answered) -> None:
    flight = answered.flight
    by_hand = flight.average_thrust_n / (flight.lift_off_mass_kg * STANDARD_GRAVITY)
    assert flight.thrust_to_weight.value == pytest.approx(by_hand)
    # The motor's sheet says 5 %, and the heaviest vehicle has the least of it.
    heaviest = answered.mass.lift_off_mass.high / answered.mass.lift_off_mass.value
    assert flight.thrust_to_weight.low == pytest.approx(0.95 * by_hand / heaviest)


def test_impulse_by_trapezoids_and_its_letter(answered) -> None:
    motor = answered.vehicle.motor
    points = list(zip(motor.times_s, motor.thrusts_n, strict=True))
    by_hand = sum((b[0] - a[0]) * (a[1] + b[1]) / 2 for a, b in pairwise(points))
    assert answered.flight.impulse_n_s == pytest.approx(by_hand)
    # 1280 to 2560 N s is K: NFPA 1125, classes double from letter to letter (from memory, not re-read).
    assert 1280.0 < by_hand <= 2560.0
    assert answered.flight.motor_letter == "K"


def test_a_weak_heavy_draggy_flight_stays_lower_and_slower(answered) -> None:
    flights = answered.flights
    tops = [float(trace.positions_m[:, 2].max()) for trace in (flights.weak, flights.nominal, flights.strong)]
    assert tops == sorted(tops)
    exits = [trace.event("rail exit").speed_m_s for trace in (flights.weak, flights.nominal, flights.strong)]
    assert exits == sorted(exits)


def test_more_wind_carries_it_farther(answered) -> None:
    from numpy import hypot

    far = [
        float(hypot(*trace.positions_m[-1, :2])) for trace in (answered.flights.calm, answered.flights.windy)
    ]
    assert far[0] < far[1]


def test_every_canopy_tells_how_high_it_opens(answered) -> None:
    (main,) = answered.flight.openings
    assert main.canopy == "main"
    nominal = answered.flights.nominal.event(EventKind.OPEN, "main")
    assert main.height_agl.low < nominal.height_agl_m < main.height_agl.high


def test_a_canopy_whose_clock_runs_past_the_ground_is_not_open(lighthouse) -> None:
    from dataclasses import replace

    from finial.assemble.looks.answer import answer
    from finial.core.units import Quantity
    from finial.files.sheet_recovery import EventEntry

    recovery = lighthouse.sheet.recovery
    late = EventEntry(after_lift_off=Quantity(value=90.0, text="90 s"))
    canopy = recovery.canopy[0].model_copy(update={"event": late})
    sheet = lighthouse.sheet.model_copy(
        update={"recovery": recovery.model_copy(update={"canopy": (canopy,)})}
    )
    (main,) = answer(replace(lighthouse, sheet=sheet)).flight.openings
    assert main.height_agl is None


@pytest.mark.parametrize(
    ("tilt", "leans_deg", "toward_deg"),
    [
        ("3 deg", (3, 3, 3, 3, 3), (250, 250, 250, 250, 250)),
        ("3 deg +- 5 deg", (3, 8, 2, 8, 2), (250, 250, 70, 250, 70)),
        ("88 deg +- 5 deg", (88, 89, 83, 89, 83), (250, 250, 250, 250, 250)),
    ],
)
def test_a_rail_that_may_lean_otherwise_does_in_the_corners(
    answered, tilt: str, leans_deg, toward_deg
) -> None:
    """Five degrees less than three are two to the other side, and none leans to the level."""
    vehicle = answered.vehicle
    launch = vehicle.sheet.launch.model_copy(update={"tilt": parse_quantity(tilt, Dimension.ANGLE)})
    changed = replace(vehicle, sheet=vehicle.sheet.model_copy(update={"launch": launch}))
    rails = [one.rail for one in basis_of(changed).flights.inputs.values()]
    assert [math.degrees(rail.tilt_rad) for rail in rails] == pytest.approx(leans_deg)
    assert [math.degrees(rail.bearing_rad) % 360 for rail in rails] == pytest.approx(toward_deg)
