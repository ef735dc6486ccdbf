"""A cluster of which one motor does not light, on paper: what is left, how fast it leaves, what holds it."""

import math
from dataclasses import dataclass, replace
from types import SimpleNamespace

import numpy as np
import pytest
from made_by_hand import MOTOR

from finial.assemble.flights import one_unlit as module
from finial.assemble.flights.results import UNHELD_RAD
from finial.flight.trace import EventKind

WEAK = replace(MOTOR, name="K2", thrusts_n=np.array([0.0, 250.0, 0.0]))
"""Half the impulse of the other: without it two thirds of the thrust are left, without the other a third."""


@dataclass(frozen=True)
class Thrust:
    nozzle_station_m: float = 1.0
    offset_m: tuple[float, float] = (0.0, 0.0)
    tilt_rad: tuple[float, float] = (0.0, 0.0)


def flown(name, kilograms, leaves=True):
    event = SimpleNamespace(time_s=0.4) if leaves else None
    trace = SimpleNamespace(
        event=lambda kind: event if kind is EventKind.RAIL_EXIT else None,
        times_s=np.array([0.0, 0.4, 0.8]),
        thrusts_n=np.array([1.0, 600.0, 2.0]),
        machs=np.array([0.0, 0.06, 0.5]),
        dynamic_pressures_pa=np.array([0.0, 240.0, 9e9]),
    )
    mass = SimpleNamespace(
        masses_kg=np.array([kilograms, 1.0]), centres_m=np.array([[-0.7, 0, 0], [9, 9, 9]])
    )
    return name, trace, SimpleNamespace(thrust=Thrust(), mass=mass, air_table=name)


def flights(*every):
    return SimpleNamespace(
        every=[trace for _, trace, _ in every],
        named={name: trace for name, trace, _ in every},
        inputs={name: given for name, _, given in every},
    )


@pytest.fixture
def asked(monkeypatch):
    """What the air was asked; the thrust that is left acts 20 mm beside the balance point."""
    asked = []
    monkeypatch.setattr(
        module,
        "line_without",
        lambda vehicle, number: SimpleNamespace(
            nozzle_station_m=1.1, offset_m=(number, 0.0), tilt_rad=(0.0, 0.0)
        ),
    )
    monkeypatch.setattr(
        module, "thrust_arm", lambda thrust, centre: 0.02 if thrust.nozzle_station_m == 1.1 else 9.0
    )

    def held(table, mach, stations, moments, pressure):
        asked.append((table, mach, stations, moments, pressure))
        return [None if table == "tumbling" else moments[0] * mach]

    monkeypatch.setattr(module, "held_angles", held)
    return asked


def test_the_motor_whose_loss_turns_it_most_is_told_over_all_flights(asked):
    found = module.one_unlit(
        SimpleNamespace(motors=(MOTOR, WEAK)), flights(flown("usual", 10.0), flown("heavy", 30.0))
    )
    assert (found.motor, found.number, found.count, found.arm_m) == ("K2", 2, 2, 0.02)
    light, heavy = 10.0 * 9.80665, 30.0 * 9.80665
    # Without the strong one 200 N are left: the heavy flight does not lift off, and turns nothing over.
    assert [one[0] for one in asked] == ["usual", "usual", "heavy"]
    for given, kept, weight in zip(asked, (1 / 3, 2 / 3, 2 / 3), (light, light, heavy), strict=True):
        slower = (kept * 600.0 - weight) / (600.0 - weight)
        assert given[1] == pytest.approx(0.06 * math.sqrt(slower))
        assert given[2:4] == ([0.7], [pytest.approx(kept * 600.0 * 0.02)])
        assert given[4] == pytest.approx(240.0 * slower)
    # The heavy one leaves more slowly: 8 N m at a lower speed.
    angles = [8.0 * asked[number][1] for number in (1, 2)]
    held = found.held_angle
    assert (held.value, held.low, held.high) == pytest.approx((angles[0], angles[1], angles[0]))


def test_what_the_air_does_not_hold_turns_over(asked):
    found = module.one_unlit(
        SimpleNamespace(motors=(MOTOR, MOTOR)), flights(flown("usual", 10.0), flown("tumbling", 10.0))
    )
    assert found.held_angle.value < found.held_angle.high == UNHELD_RAD


@pytest.mark.parametrize(
    ("motors", "leaves"),
    [((MOTOR,), True), ((MOTOR, WEAK), False)],
    ids=["one motor", "a flight that stays on the rail"],
)
def test_nothing_is_told_of(asked, motors, leaves):
    every = flights(flown("usual", 10.0), flown("heavy", 10.0, leaves))
    assert module.one_unlit(SimpleNamespace(motors=motors), every) is None
    assert asked == []
