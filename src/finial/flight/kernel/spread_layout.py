"""Where everything lies in the arrays that say how many flights differ.

``marks`` holds sizes and offsets, ``plan`` the numbers, both the same for all flights.
``slots`` are one flight's own numbers: what its draws have made of the plan's; ``sums`` the mass
moments of the vehicle while they are added up. ``results`` takes a row of answers a flight, ``drawn``
the numbers it drew.
"""

from typing import Final

# --- marks ---------------------------------------------------------------------------
SEED: Final = 0
N_DRAWS: Final = 1
AT_DRAWS: Final = 2
N_SLOTS: Final = 3
AT_SLOTS: Final = 4
"""The slots of a flight without any spread."""
N_ROWS: Final = 5
AT_ROWS: Final = 6
N_BURN: Final = 7
AT_MOTOR: Final = 8
AT_TIMES: Final = 9
AT_PROFILE: Final = 10
AT_GUSTS: Final = 11
HAS_GUSTS: Final = 12
DRAWN_HERE: Final = 13
"""1: plain random shares, drawn by the kernel; 0: shares come in from the design."""
AT_CONSTANTS: Final = 14
N_MARKS: Final = 16

# --- plan: rows of its tables --------------------------------------------------------
DRAW_COLUMNS: Final = 5
"""slot, shape, base, how far below, how far above."""
EVEN: Final = 0.0
BELL: Final = 1.0
ODDS: Final = 2.0
"""The slot is 1 with the probability that stands under how far above."""
MOMENTS: Final = 10
"""mass; first moments x y z; second moments xx yy zz xy xz yz, about the tip."""
PROFILE_COLUMNS: Final = 3
"""Height, wind to the east and to the north for a wind of 1 m/s at 10 m."""
GUST_COLUMNS: Final = 4
"""Share kept from the height below, along and vertical; intensity per m/s of wind at 20 ft, both."""
W20: Final = 0
"""Constants: wind at 20 ft for a wind of 1 m/s at 10 m, rail roll angle, stand station."""
RAIL_ROLL: Final = 1
TOP: Final = 2
"""Height above which a change of the wind's exponent no longer grows."""

# --- slots ---------------------------------------------------------------------------
THRUST_FACTOR: Final = 0
BURN_TIME_FACTOR: Final = 1
IGNITION_DELAY: Final = 2
MOTOR_MASS_FACTOR: Final = 3
LEAN: Final = 4
"""Thrust line leaning towards body y and z [rad]."""
NOZZLE_OFFSET: Final = 6
AXIAL_FACTOR: Final = 8
ACROSS_FACTOR: Final = 9
STATION_SHIFT: Final = 10
ROLL_MOMENT: Final = 11
SIDE: Final = 12
WIND_SPEED: Final = 14
"""At 10 m [m/s]."""
WIND_TURN: Final = 15
"""Clockwise, seen from above [rad]."""
EXPONENT_CHANGE: Final = 16
TEMPERATURE: Final = 17
PRESSURE_AT_PAD: Final = 18
RAIL_TILT: Final = 19
RAIL_BEARING: Final = 20
TUMBLING_FACTOR: Final = 21
GUST_FACTOR: Final = 22
RAIL_FRICTION: Final = 23
"""Of the buttons on the rail [-]."""
FIRST_ROW: Final = 24
ROW_SLOTS: Final = 4
"""Per row of the mass table: factor on its mass, shift along body x, y and z [m]."""
CANOPY_SLOTS: Final = 6
"""Per canopy, after the rows: drag factor, delay, threshold, filling factor, stays in, stays a bundle."""

# --- streams of random numbers -------------------------------------------------------
DRAWS_STREAM: Final = 0
GUSTS_STREAM: Final = 1
DESIGN_STREAM: Final = 2

# --- results of one flight -----------------------------------------------------------
RESULTS: Final = (
    "ended",
    "flight_time_s",
    "apogee_m",
    "apogee_time_s",
    "rail_exit_speed_m_s",
    "rail_exit_alpha_rad",
    "rail_exit_margin_m",
    "lift_off_mass_kg",
    "max_speed_m_s",
    "max_mach",
    "max_dynamic_pressure_pa",
    "max_acceleration_m_s2",
    "max_pressure_angle_pa_rad",
    "max_alpha_rad",
    "max_canopy_acceleration_m_s2",
    "landing_east_m",
    "landing_north_m",
    "landing_speed_m_s",
    "under_canopy",
    "loss",
    "steps",
)
N_RESULTS: Final = 21
