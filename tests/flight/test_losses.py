"""What the kernel notes of a flight that goes wrong, against what its own trace tells."""

import math
from dataclasses import replace

import numpy as np
import pytest

from finial.flight.example import example_inputs, example_table
from finial.flight.inputs import AFTER_LIFT_OFF, FlightInputs
from finial.flight.kernel import layout
from finial.flight.kernel import spread_layout as slots
from finial.flight.many import fly_many, trace_of
from finial.flight.packing.many import packed_many
from finial.flight.spread import Draw, Spread, canopy_slot, either_way, whole_mass
from finial.flight.trace import EventKind
from finial.flight.uncertain import Drawn, Uncertain
from finial.flight.under_thrust import thrust_ends, turned_over

CANOPIES = ("drogue", "main")


def packed(inputs: FlightInputs, *draws: Draw):
    spread = Spread(draws=draws, masses=whole_mass(inputs), wind_speed_m_s=4.0)
    return packed_many(inputs, spread, seed=5)


def even(slot: int, base: float, reach: float) -> Draw:
    return either_way(Uncertain(kind=Drawn.OTHER, of=f"slot {slot}"), slot, reach, base=base)


def odds(canopy: int, part: str, share: float) -> Draw:
    return Draw(
        number=Uncertain(kind=Drawn.OTHER, of=part),
        slot=canopy_slot(0, canopy, part),
        shape="odds",
        base=0.0,
        above=share,
    )


def test_turning_over_under_thrust_is_noted_as_the_trace_tells_it():
    many = packed(example_inputs(), even(slots.NOZZLE_OFFSET, 0.035, 0.035))
    loss = fly_many(many, 0, 60).column("loss").astype(int)
    told = []
    for number in range(60):
        trace = trace_of(many, number, CANOPIES)
        over = turned_over(trace)
        told.append(over is not None and over < thrust_ends(trace))
    assert (loss & layout.TURNED_UNDER_THRUST > 0).tolist() == told
    assert 10 < sum(told) < 50


def test_turning_over_without_thrust_is_noted_apart():
    inputs = example_inputs()
    short = replace(
        inputs.thrust,
        times_s=np.array([0.0, 0.01, 0.35, 0.36]),
        thrusts_n=np.array([0.0, 1900.0, 1900.0, 0.0]),
    )
    unstable = replace(inputs, thrust=short, air_table=example_table(pressure_station_m=0.5), canopies=())
    assert fly_many(packed(unstable), 0, 1).column("loss") == [layout.TURNED_COASTING]


def test_a_canopy_under_thrust_is_noted():
    inputs = example_inputs()
    main = replace(inputs.canopies[1], trigger=AFTER_LIFT_OFF, threshold=1.5, delay_s=0.0)
    many = packed(replace(inputs, canopies=(main,)), even(canopy_slot(0, 0, "threshold"), 1.9, 0.9))
    found = fly_many(many, 0, 40)
    early = [
        (trace := trace_of(many, number, ("main",))).event(EventKind.OUT, "main").time_s < thrust_ends(trace)
        for number in range(40)
    ]
    assert (found.column("loss") == layout.CANOPY_UNDER_THRUST).tolist() == early
    assert 5 < sum(early) < 35


def test_the_ground_under_thrust_is_noted():
    inputs = example_inputs()
    long = replace(inputs.thrust, times_s=np.array([0.0, 0.05, 30.0, 30.1]), offset_m=(0.06, 0.0))
    loss = int(fly_many(packed(replace(inputs, thrust=long, canopies=())), 0, 1).column("loss")[0])
    assert loss & layout.GROUND_UNDER_THRUST
    assert loss & layout.TURNED_UNDER_THRUST


def test_a_sound_flight_is_under_its_canopy_and_nothing_is_lost():
    found = fly_many(packed(example_inputs()), 0, 1)
    assert (found.column("loss")[0], found.column("under_canopy")[0]) == (0.0, 1.0)


@pytest.mark.parametrize("part", ["stays_in", "stays_bundle"])
@pytest.mark.parametrize(("canopy", "stands"), [(0, 1.0), (1, 0.0)])
def test_only_the_largest_canopy_counts_as_the_one_to_land_under(part, canopy, stands):
    found = fly_many(packed(example_inputs(), odds(canopy, part, 1.0)), 0, 1)
    assert found.column("under_canopy")[0] == stands
    assert bool(found.column("landing_speed_m_s")[0] < 9.0) is bool(stands)


def test_a_canopy_still_filling_at_the_ground_is_not_open():
    inputs = example_inputs()
    slow = replace(inputs.canopies[1], threshold=12.0, delay_s=0.0, fill_constant=60.0)
    assert fly_many(packed(replace(inputs, canopies=(slow,))), 0, 1).column("under_canopy") == [0.0]


def test_what_never_landed_is_under_nothing():
    inputs = example_inputs()
    weak = replace(inputs, thrust=replace(inputs.thrust, thrusts_n=0.01 * inputs.thrust.thrusts_n))
    assert math.isnan(fly_many(packed(weak), 0, 1).column("under_canopy")[0])
    bare = replace(inputs, canopies=())
    assert fly_many(packed(bare), 0, 1).column("under_canopy") == [0.0]
