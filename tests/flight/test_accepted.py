"""What a flight refuses, and what it says."""

from dataclasses import replace

import numpy as np
import pytest

from finial.core.errors import OutsideRange
from finial.flight.example import example_inputs
from finial.flight.fly import fly
from finial.flight.inputs import Start
from finial.flight.packing.accepted import refuse_bad_inputs

BASE = example_inputs()


def _part(name, **changes):
    return replace(BASE, **{name: replace(getattr(BASE, name), **changes)})


def _canopy(**changes):
    return replace(BASE, canopies=(replace(BASE.canopies[0], **changes),))


REFUSED = {
    "a mass that is no number": (
        _part("mass", masses_kg=np.full(6, np.nan)),
        r"inputs\.mass\.masses_kg holds something that is not a finite number",
    ),
    "an infinite rail": (_part("rail", length_m=np.inf), r"inputs\.rail\.length_m"),
    "a canopy without a number": (_canopy(drag_area_m2=np.nan), r"inputs\.canopies\[0\]\.drag_area_m2"),
    "no mass": (_part("mass", masses_kg=np.zeros(6)), "every mass must be above 0"),
    "shapes that do not fit": (_part("mass", centres_m=np.zeros((5, 3))), r"accepted are \(n,\)"),
    "mass times that fall": (_part("mass", times_s=-BASE.mass.times_s), "must rise strictly"),
    "an impossible inertia": (
        _part("mass", inertias_kg_m2=-BASE.mass.inertias_kg_m2),
        "three principal values above 0",
    ),
    "negative thrust": (_part("thrust", thrusts_n=-BASE.thrust.thrusts_n), "no thrust may be below 0"),
    "one thrust point": (_part("thrust", times_s=np.zeros(1), thrusts_n=np.ones(1)), "two rows or more"),
    "ignition before the signal": (_part("thrust", ignition_delay_s=-1.0), "ignition delay -1.0 s"),
    "a thrust line in degrees": (_part("thrust", tilt_rad=(2.0, 0.0)), "degrees"),
    "angles in degrees": (
        _part("air_table", alpha_rad=np.degrees(BASE.air_table.alpha_rad)),
        "given in degrees",
    ),
    "half a turn of roll": (_part("air_table", roll_rad=BASE.air_table.roll_rad / 2.0), "2 pi"),
    "a column too short": (_part("air_table", along=BASE.air_table.along[:-1]), "air table: along has shape"),
    "damping too short": (_part("air_table", pitch_damping=np.zeros(1)), "pitch_damping has shape"),
    "yaw damping too short": (_part("air_table", yaw_damping=np.zeros(1)), "yaw_damping has shape"),
    "Mach numbers that fall": (_part("air_table", mach=-BASE.air_table.mach), "mach must rise strictly"),
    "no reference area": (_part("air_table", reference_area_m2=0.0), "must be above 0"),
    "buttons the wrong way round": (_part("rail", fore_button_m=1.2), "nearer to the tip"),
    "a rail below the button": (_part("rail", length_m=0.5), "ends below the fore button"),
    "a tilt in degrees": (_part("rail", tilt_rad=3.0), "degrees"),
    "negative friction": (_part("rail", friction=-0.1), "rail friction"),
    "wind columns that differ": (_part("air", wind_east_m_s=np.zeros(2)), "as long as the heights"),
    "wind heights that fall": (
        _part("air", wind_heights_m=-BASE.air.wind_heights_m),
        "heights must rise strictly",
    ),
    "a temperature in degC": (_part("air", temperature_k=-5.0), "degC"),
    "an unknown trigger": (_canopy(trigger="apogeee"), "accepted are 'apogee', 'altitude', 'time'"),
    "a negative delay": (_canopy(delay_s=-1.0), "times must be 0 s or more"),
    "a canopy without size": (_canopy(diameter_m=0.0), "must be above 0"),
    "too many canopies": (replace(BASE, canopies=BASE.canopies * 9), "18 canopies"),
    "negative tumbling drag": (replace(BASE, tumbling_drag_area_m2=-1.0), "tumbling drag area"),
    "negative gravity": (replace(BASE, gravity_m_s2=-9.8), "gravity"),
}


@pytest.mark.parametrize("what", REFUSED)
def test_bad_inputs_are_refused_with_the_slip(what):
    inputs, message = REFUSED[what]
    with pytest.raises(OutsideRange, match=message):
        fly(inputs)


@pytest.mark.parametrize("tolerance", [0.0, 1.0, np.nan])
def test_a_tolerance_out_of_range_is_refused(tolerance):
    with pytest.raises(OutsideRange, match="tolerance"):
        fly(BASE, tolerance=tolerance)


@pytest.mark.parametrize(
    ("field", "value", "message"),
    [
        ("quaternion", np.zeros(4), "no length"),
        ("position_m", np.zeros(2), "accepted are 3 numbers"),
        ("rates_rad_s", np.array([0.0, np.nan, 0.0]), "not a finite number"),
    ],
)
def test_a_start_that_is_no_state_is_refused(field, value, message):
    state = {
        "time_s": 0.0,
        "position_m": np.zeros(3),
        "velocity_m_s": np.zeros(3),
        "quaternion": np.array([1.0, 0.0, 0.0, 0.0]),
        "rates_rad_s": np.zeros(3),
    }
    with pytest.raises(OutsideRange, match=message):
        fly(BASE, start=Start(**(state | {field: value})))


def test_a_single_mach_number_and_roll_angle_are_enough():
    table = BASE.air_table
    one = {
        name: getattr(table, name)[:, :1, :1]
        for name in ("along", "across", "along_moment", "across_moment", "roll_moment")
    }
    axial = {name: getattr(table, name)[:, :1, :1] for name in ("axial_power_on", "axial_power_off")}
    damping = {name: getattr(table, name)[:1] for name in ("pitch_damping", "roll_damping")}
    small = replace(table, roll_rad=np.zeros(1), mach=np.zeros(1), **one, **axial, **damping)
    assert fly(replace(BASE, air_table=small)).ended == "ground"


STAND_M = BASE.thrust.nozzle_station_m if BASE.rail.stand_m is None else BASE.rail.stand_m
LEAST_RAIL_M = STAND_M - BASE.rail.fore_button_m
ROW = {"times_s": np.array([0.0, 1.0]), "thrusts_n": np.array([500.0, 0.0])}

# what lies on its bound is taken, what lies a hair beyond is not
BOUNDS = [
    (_part("thrust", **ROW), _part("thrust", times_s=np.zeros(1), thrusts_n=np.ones(1))),
    (_part("thrust", ignition_delay_s=0.0), _part("thrust", ignition_delay_s=-1e-6)),
    (_part("thrust", tilt_rad=(0.5, -0.5)), _part("thrust", tilt_rad=(0.0, -0.501))),
    (
        _part("thrust", thrusts_n=0.0 * BASE.thrust.thrusts_n),
        _part("thrust", thrusts_n=-1e-6 + 0.0 * BASE.thrust.thrusts_n),
    ),
    (_part("rail", tilt_rad=0.0), _part("rail", tilt_rad=-1e-6)),
    (_part("rail", tilt_rad=1.570), _part("rail", tilt_rad=1.5708)),
    (_part("rail", friction=0.0), _part("rail", friction=-1e-6)),
    (_part("rail", length_m=LEAST_RAIL_M + 1e-6), _part("rail", length_m=LEAST_RAIL_M)),
    (
        _part("rail", fore_button_m=BASE.rail.aft_button_m - 1e-6),
        _part("rail", fore_button_m=BASE.rail.aft_button_m),
    ),
    (_part("rail", stand_m=BASE.rail.fore_button_m), _part("rail", stand_m=BASE.rail.fore_button_m + 99.0)),
    (_part("air", pressure_pa=0.0), _part("air", pressure_pa=-1.0)),
    (_part("air", temperature_k=1e-6), _part("air", temperature_k=0.0)),
    (_part("trim", axial_factor=0.0), _part("trim", axial_factor=-1e-6)),
    (_part("trim", across_factor=0.0), _part("trim", across_factor=-1e-6)),
    (replace(BASE, gravity_m_s2=0.0), replace(BASE, gravity_m_s2=-1e-6)),
    (replace(BASE, tumbling_drag_area_m2=0.0), replace(BASE, tumbling_drag_area_m2=-1e-6)),
    (replace(BASE, canopies=BASE.canopies * 8), replace(BASE, canopies=(BASE.canopies * 9)[:17])),
    (_canopy(delay_s=0.0), _canopy(delay_s=-1e-6)),
    (_canopy(trigger="time", threshold=0.0), _canopy(trigger="time", threshold=-1e-6)),
    (_canopy(trigger="altitude", threshold=-5.0), _canopy(trigger="height", threshold=5.0)),
    (_canopy(drag_area_m2=1e-6), _canopy(drag_area_m2=0.0)),
    (_canopy(fill_constant=1e-6), _canopy(fill_constant=0.0)),
    (_part("air_table", width_m=1e-6), _part("air_table", width_m=0.0)),
    (_part("mass", masses_kg=np.full(6, 1e-6)), _part("mass", masses_kg=np.array([1.0] * 5 + [0.0]))),
]


@pytest.mark.parametrize("number", range(len(BOUNDS)))
def test_what_lies_on_a_bound_is_taken_and_what_lies_beyond_is_not(number):
    taken, beyond = BOUNDS[number]
    refuse_bad_inputs(taken)
    with pytest.raises(OutsideRange):
        refuse_bad_inputs(beyond)


@pytest.mark.parametrize(
    ("turn", "taken"),
    [
        ({"alpha_rad": BASE.air_table.alpha_rad * (1 - 1e-3)}, False),
        ({"alpha_rad": BASE.air_table.alpha_rad + 1e-3}, False),
        ({"roll_rad": BASE.air_table.roll_rad + 0.1}, False),
        ({"roll_rad": BASE.air_table.roll_rad * (1 - 1e-3)}, False),
        ({"yaw_damping": np.zeros(4), "yaw_by_pitch": np.zeros(4)}, True),
        ({"yaw_by_pitch": np.zeros(3)}, False),
        ({"mach": np.array([0.0, 0.3, 0.3, 0.9])}, False),
    ],
)
def test_a_table_runs_once_round_and_from_nose_to_base(turn, taken):
    inputs = _part("air_table", **turn)
    if taken:
        refuse_bad_inputs(inputs)
    else:
        with pytest.raises(OutsideRange, match="air table"):
            refuse_bad_inputs(inputs)


def test_a_wind_that_rises_has_a_column_of_its_own():
    heights = BASE.air.wind_heights_m
    refuse_bad_inputs(_part("air", wind_up_m_s=np.zeros(heights.size)))
    with pytest.raises(OutsideRange, match="as long as the heights"):
        refuse_bad_inputs(_part("air", wind_up_m_s=np.zeros(heights.size - 1)))
