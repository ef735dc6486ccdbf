"""One number out of range among good ones is refused wherever many are taken at once; the ends are taken."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import pytest

from finial.aero.band.load_parts import directions
from finial.aero.crooked import trim_of
from finial.aero.drag.friction import laminar_friction, rough_friction, turbulent_friction
from finial.aero.drag.sources import Acting
from finial.aero.plates.plate_lift import diederich_slope, subsonic_beta
from finial.aero.sections.crossflow import finite_length_factor, smooth_reynolds_factor
from finial.atmosphere.day import air_over_pad, standard_day
from finial.atmosphere.pressure_height import pressure_height
from finial.atmosphere.standard import air_state, standard_air_geopotential
from finial.atmosphere.turbulence import low_level_turbulence
from finial.atmosphere.wind import measured_profile, power_law_wind, terrain_named
from finial.core.errors import OutsideRange
from finial.flight.example import PRESSURE_STATION_M, example_table
from finial.flight.steadiness import righting_m3
from finial.flown.clock import unwrapped
from finial.mass.lumps import Lumps
from finial.motors.curve import checked_curve
from finial.motors.motor import Motor
from finial.structure.loads.forces import LineForce
from finial.structure.walls.torsion import RollLumps

NONE, ENDLESS = math.nan, math.inf
TABLE = example_table()


@dataclass(frozen=True, slots=True, kw_only=True)
class Door:
    """What takes four numbers at once; some it takes, both ends among them, and some it does not."""

    takes: Callable[[Any], object]
    good: Sequence[float]
    bad: Sequence[float]


def winds(speeds: Any, bearings: Any = (0.0, 1.0, 2.0, 3.0)) -> object:
    return measured_profile([5.0, 10.0, 20.0, 40.0], speeds, bearings, terrain_named("level open"))


def burning(times_s: Any = (0.0, 1.0, 2.0, 3.0), thrusts_n: Any = (1.0, 1.0, 1.0, 1.0)) -> object:
    return checked_curve(
        Motor(
            name="made up",
            diameter_m=0.05,
            length_m=0.3,
            loaded_mass_kg=0.8,
            propellant_mass_kg=0.3,
            times_s=np.array(times_s),
            thrusts_n=np.array(thrusts_n),
        )
    )


def lumps(name: str) -> Callable[[Any], object]:
    names = ("stations_m", "masses_kg", "rotary_kg_m2", "offsets_m", "cells_m")
    return lambda given: Lumps(**{**{each: np.ones(4) for each in names}, name: np.array(given)})


def line(name: str) -> Callable[[Any], object]:
    plain = {"stations_m": np.arange(4.0), "aft_n_per_m": np.ones(4), "cross_n_per_m": np.ones(4)}
    return lambda given: LineForce(**{**plain, name: np.array(given)})


DOORS = {
    "laminar friction": Door(takes=laminar_friction, good=(1e3, 1e5), bad=(999.0, NONE, ENDLESS)),
    "turbulent friction": Door(takes=turbulent_friction, good=(1e3, 1e7), bad=(999.0, NONE, ENDLESS)),
    "rough friction": Door(takes=rough_friction, good=(100.0, 1e4), bad=(99.0, NONE, ENDLESS)),
    "compressibility": Door(takes=subsonic_beta, good=(0.0, 0.9), bad=(-0.01, 0.91, NONE)),
    "plate": Door(takes=lambda given: diederich_slope(given, 0.0), good=(1e-3, 4.0), bad=(0.0, NONE)),
    "length over width": Door(takes=finite_length_factor, good=(1e-3, 40.0), bad=(0.0, NONE)),
    "crossflow": Door(takes=smooth_reynolds_factor, good=(0.0, 1e7), bad=(-1.0, NONE, ENDLESS)),
    "angles": Door(
        takes=lambda given: directions(given, 0.0), good=(0.0, math.pi / 2), bad=(-0.01, 1.58, NONE)
    ),
    "rolls": Door(takes=lambda given: directions(0.1, given), good=(-9.0, 9.0), bad=(NONE, ENDLESS)),
    "heights": Door(takes=standard_air_geopotential, good=(-610.0, 20_000.0), bad=(-610.1, 20_000.1, NONE)),
    "heights over the pad": Door(
        takes=lambda given: air_over_pad(standard_day(0.0), given),
        good=(-609.0, 20_000.0),
        bad=(-611.0, 20_100.0),
    ),
    "pressures": Door(takes=lambda given: air_state(given, 288.15), good=(0.0, 1e5), bad=(-1.0, NONE)),
    "temperatures": Door(takes=lambda given: air_state(1e5, given), good=(1.0, 300.0), bad=(0.0, NONE)),
    "barometer": Door(takes=pressure_height, good=(22_632.0, 110_000.0), bad=(22_631.0, 110_001.0, NONE)),
    "heights of a wind": Door(
        takes=lambda given: power_law_wind(given, 5.0, 0.15), good=(0.0, 90.0), bad=(-1.0, NONE, ENDLESS)
    ),
    "gusts": Door(
        takes=lambda given: low_level_turbulence(given, 5.0), good=(0.0, 90.0), bad=(-1.0, NONE, ENDLESS)
    ),
    "measured winds": Door(takes=winds, good=(0.0, 9.0), bad=(-1.0, NONE, ENDLESS)),
    "bearings": Door(takes=lambda given: winds((1.0,) * 4, given), good=(-9.0, 9.0), bad=(NONE, ENDLESS)),
    "clock": Door(
        takes=lambda given: unwrapped(np.array(given), 65.0), good=(0.0, 65.0), bad=(-0.1, 65.1, NONE)
    ),
    "angle of attack": Door(
        takes=lambda given: righting_m3(TABLE, given, 0.1, PRESSURE_STATION_M),
        good=(0.0, math.pi),
        bad=(-0.01, 3.15, NONE),
    ),
    "mach": Door(
        takes=lambda given: righting_m3(TABLE, 0.1, given, PRESSURE_STATION_M),
        good=(0.0, 2.0),
        bad=(-0.01, NONE),
    ),
    "thrusts": Door(takes=lambda given: burning(thrusts_n=given), good=(0.0, 9.0), bad=(-1.0, NONE, ENDLESS)),
    "stations of lumps": Door(takes=lumps("stations_m"), good=(-9.0, 9.0), bad=(NONE, ENDLESS)),
    "masses of lumps": Door(takes=lumps("masses_kg"), good=(0.0, 9.0), bad=(-1e-3, NONE, ENDLESS)),
    "inertias of lumps": Door(takes=lumps("rotary_kg_m2"), good=(0.0, 9.0), bad=(-1e-3, NONE)),
    "cells of lumps": Door(takes=lumps("cells_m"), good=(0.0, 9.0), bad=(-1e-3, NONE)),
    "forces along": Door(takes=line("aft_n_per_m"), good=(-9.0, 9.0), bad=(NONE, ENDLESS)),
    "forces across": Door(takes=line("cross_n_per_m"), good=(-9.0, 9.0), bad=(NONE, ENDLESS)),
    "roll inertias": Door(
        takes=lambda given: RollLumps(stations_m=np.arange(4.0), inertias_kg_m2=np.array(given)),
        good=(0.0, 9.0),
        bad=(-1e-3,),
    ),
}


@pytest.mark.parametrize("door", DOORS.values(), ids=DOORS)
def test_one_bad_number_among_good_ones_is_refused(door: Door) -> None:
    good = [door.good[0], door.good[1], door.good[1], door.good[0]]
    door.takes(good)
    for bad in door.bad:
        for place in range(4):
            with pytest.raises(OutsideRange):
                door.takes([*good[:place], bad, *good[place + 1 :]])


RISING: dict[str, tuple[Callable[[Any], object], bool]] = {
    "times of a thrust": (lambda given: burning(times_s=given), True),
    "heights of a wind": (
        lambda given: measured_profile(given, [1.0] * 4, [0.0] * 4, terrain_named("level open")),
        True,
    ),
    "stations of a line force": (line("stations_m"), False),
    "stations of drag": (
        lambda given: Acting(stations_m=np.array(given), ahead=np.array([0.0, 0.5, 0.5, 1.0])),
        False,
    ),
}
"""What takes a rising row, and whether it must rise at every step or may stand still."""


@pytest.mark.parametrize(("takes", "strictly"), RISING.values(), ids=RISING)
def test_a_row_that_falls_once_is_refused(takes: Callable[[Any], object], strictly: bool) -> None:
    takes([0.0, 1.0, 2.0, 3.0])
    for falls in ([0.5, 0.4, 2.0, 3.0], [0.0, 1.0, 0.9, 3.0], [0.0, 1.0, 2.0, 1.9]):
        with pytest.raises(OutsideRange):
            takes(falls)
    still = [0.0, 1.0, 1.0, 3.0]
    if not strictly:
        takes(still)
        return
    with pytest.raises(OutsideRange):
        takes(still)


@pytest.mark.parametrize("place", range(3))
def test_one_bad_part_of_a_balance_point_is_refused(place: int) -> None:
    """Where it is looked at first: before the body is."""
    nowhere: Any = None
    with pytest.raises(OutsideRange, match="balance point"):
        trim_of(nowhere, (), tuple(NONE if part == place else 0.0 for part in range(3)), (0.3, (0.0, 0.0)))
