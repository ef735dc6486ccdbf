"""Where everything lies in the flat arrays that the flight kernel works on.

``ints`` holds sizes, offsets and the counters of a run; ``pool`` the numbers of a
flight, constant while it runs; ``table`` the air table, which many flights share;
``work`` the scratch; ``rates`` the rates of change at every stage of a step. ``rows`` takes the
trace, a row a time, and ``log`` the events. All numbers are in SI units and radians. Nothing about
a vehicle is in the types, so one compiled kernel serves all of them.
"""

from typing import Final

FORWARD: Final = 0xFFFFFFF
"""A place masked with it counts from the front: machine code need not ask for places from the end."""

# --- ints: sizes and offsets into the pool and the table -------------------------------------------
N_KNOTS: Final = 0
AT_BURN: Final = 1
LAST_KNOT: Final = 2
"""Burn row from which on there is no more thrust."""
N_ALPHA: Final = 3
N_ROLL: Final = 4
N_MACH: Final = 5
AT_ALPHA: Final = 6
AT_ROLL: Final = 7
AT_MACH: Final = 8
AT_COEFFICIENTS: Final = 9
AT_DAMPING: Final = 10
N_WIND: Final = 11
AT_WIND: Final = 12
N_CANOPIES: Final = 13
AT_CANOPIES: Final = 14
SAMPLES: Final = 15
MAX_STEPS: Final = 16
START_PHASE: Final = 17
# --- ints: counters and flags of the run ---------------------------------------------
PHASE: Final = 20
SEGMENT: Final = 21
HINT_ALPHA: Final = 22
HINT_ROLL: Final = 23
HINT_MACH: Final = 24
HINT_WIND: Final = 25
ROWS: Final = 26
EVENTS: Final = 27
ENDED: Final = 28
STEPS: Final = 29
REJECTED: Final = 30
FRESH: Final = 31
"""1 when the first slope of the next step must be computed anew."""
PAST_APOGEE: Final = 32
LIFTED: Final = 33
LOCATING: Final = 34
"""The event the next step ends at, or -1."""
TASK: Final = 35
"""What the loads are wanted for next."""
COUNT: Final = 36
"""Stage of a step, point inside it, or halvings left: how far the task has come."""
RATED: Final = 37
"""Segment of the burn whose rates stand in the work memory, or -1."""
STILL: Final = 38
"""1 where nothing changes along that segment."""
LOSS: Final = 39
"""What went wrong: a sum of the losses below."""
N_INTS: Final = 40

# --- tasks of the loop ---------------------------------------------------------------
DONE: Final = -1
SETTLING: Final = 0
"""After a jump: does anything happen at once?"""
STAGING: Final = 1
"""The stages of a step."""
SAMPLING: Final = 2
"""Points inside a step that was tried."""
NARROWING: Final = 3
"""The moment inside a step at which an event begins to hold."""
CLOSING: Final = 4
"""The end of a step that was taken up to an event."""

# --- what follows from a turn of the loop, a sum of these ----------------------------
TAKE: Final = 1
"""The step that was tried is taken."""
KEEP: Final = 2
"""A row is kept: alone, of a point inside a step."""
CLOSE: Final = 4
"""A step ends; the event that it was aimed at happens."""
HAPPEN: Final = 8
"""An event that holds at once happens."""
GO: Final = 16
"""The next step begins."""

# --- phases --------------------------------------------------------------------------
HOLD: Final = 0
RAIL: Final = 1
TIP_OFF: Final = 2
FREE: Final = 3
CANOPY: Final = 4

# --- how a run ended -----------------------------------------------------------------
FLYING: Final = 0
LANDED: Final = 1
NO_LIFT_OFF: Final = 2
STEP_TOO_SMALL: Final = 3
TOO_MANY_STEPS: Final = 4
TOO_LONG: Final = 5
NOT_FINITE: Final = 6

# --- what may go wrong in a flight ---------------------------------------------------
TURNED_UNDER_THRUST: Final = 1
TURNED_COASTING: Final = 2
CANOPY_UNDER_THRUST: Final = 4
GROUND_UNDER_THRUST: Final = 8

# --- events --------------------------------------------------------------------------
LIFT_OFF: Final = 0
FORE_LEAVES: Final = 1
AFT_LEAVES: Final = 2
BURNOUT: Final = 3
APOGEE_PASSED: Final = 4
CANOPY_OUT: Final = 5
CANOPY_OPEN: Final = 6
GROUND: Final = 7
SLID_BACK: Final = 8
ALTITUDE_PASSED: Final = 9
"""Plus the canopy's index."""

# --- pool: scalars at its head ------------------------------------------------------
AREA: Final = 0
WIDTH: Final = 1
NOZZLE: Final = 2
PUSH: Final = 5
"""Unit vector of the thrust, body axes."""
RAIL_LENGTH: Final = 8
ALONG_RAIL: Final = 9
RAIL_SIDE: Final = 12
RAIL_OVER: Final = 15
STAND: Final = 18
FORE: Final = 19
AFT: Final = 20
FRICTION: Final = 21
GROUND_ASL: Final = 22
PAD_PRESSURE: Final = 23
PAD_TEMPERATURE: Final = 24
LAPSE: Final = 25
PAD_GEOPOTENTIAL: Final = 26
GRAVITY: Final = 27
TUMBLING: Final = 28
TIME_LIMIT: Final = 29
TOLERANCE: Final = 30
START: Final = 31
"""Time, then the 13 numbers of the state."""
TRIM_AXIAL: Final = 45
"""Factor on the axial force of the table."""
TRIM_ACROSS: Final = TRIM_AXIAL + 1
"""Factor on the forces across the axis."""
TRIM_STATION: Final = TRIM_AXIAL + 2
"""How far aft of the table's the centre of pressure lies."""
TRIM_SIDE: Final = TRIM_AXIAL + 3
"""Coefficients of the force a crooked body feels at zero angle, along body y and z; then its station."""
TRIM_ROLL: Final = TRIM_AXIAL + 6
"""Roll moment coefficient on top of the table's."""
CROOKED: Final = TRIM_AXIAL + 7
"""Side force coefficients of the air table along y and z, then their moments about the tip per width."""
DRAG_LINE: Final = TRIM_AXIAL + 11
"""Where the axial force acts, off the axis along y and z."""
N_SCALARS: Final = TRIM_AXIAL + 13

# --- pool: rows of its tables --------------------------------------------------------
BURN_COLUMNS: Final = 12
"""time, thrust, mass, centre (3), inertia xx yy zz xy xz yz."""
WIND_COLUMNS: Final = 4
"""height above ground, east, north, up."""
COEFFICIENTS: Final = 7
"""along, across, along moment, across moment, roll moment, axial with power, without."""
DAMPINGS: Final = 4
"""pitch, yaw, yaw by pitch, roll."""
CANOPY_COLUMNS: Final = 7
"""trigger, threshold, delay, drag area, filling distance, works, fills."""
ON_APOGEE: Final = 0.0
ON_ALTITUDE: Final = 1.0
ON_TIME: Final = 2.0

# --- work ----------------------------------------------------------------------------
STATE: Final = 13
"""position, velocity, quaternion, body rates."""
N_STAGES: Final = 7
N_RATES: Final = N_STAGES * STATE
"""Rates of change at all stages of a step, in memory of their own: the nearest there is."""
NOW: Final = 0
TRIED: Final = 13
THRUST: Final = 26
MASS: Final = THRUST + 1
CENTRE: Final = THRUST + 2
INERTIA: Final = THRUST + 5
MASS_RATE: Final = THRUST + 11
CENTRE_RATE: Final = THRUST + 12
INERTIA_RATE: Final = THRUST + 15
POWERED: Final = THRUST + 21
AIRSPEED: Final = THRUST + 22
ALPHA: Final = THRUST + 23
ROLL: Final = THRUST + 24
MACH: Final = THRUST + 25
PRESSURE: Final = THRUST + 26
"""Dynamic pressure."""
NORMAL: Final = THRUST + 27
"""Coefficients of the force across the axis and of its moment about the tip, over the sine of the angle."""
UPWARD: Final = THRUST + 29
"""Vertical part of the body's axis."""
FELT: Final = THRUST + 30
RELEASE: Final = THRUST + 33
"""Acceleration the vehicle would have along the rail if let go."""
TIME: Final = THRUST + 34
STEP: Final = THRUST + 35
WANTED: Final = THRUST + 36
ERROR_BEFORE: Final = THRUST + 37
CANOPY_TIMES: Final = THRUST + 38
"""Per canopy: time out, time open, state (0 waiting, 1 due, 2 filling, 3 open)."""
MAX_CANOPIES: Final = 16
SHARE: Final = CANOPY_TIMES + 3 * MAX_CANOPIES
"""How far into the step the state stands, and between which shares an event begins to hold."""
BEFORE: Final = SHARE + 1
AFTER: Final = SHARE + 2
ERROR: Final = SHARE + 3
"""Of the step, over what is allowed."""
PEAKS: Final = SHARE + 4
"""Largest values so far: speed, Mach, dynamic pressure, felt, dynamic pressure times angle (all shut)."""
PEAK_ALPHA: Final = PEAKS + 5
"""From rail exit to burnout."""
PEAK_CANOPY: Final = PEAKS + 6
"""Felt under canopies."""
EXIT_ALPHA: Final = PEAKS + 7
"""Angle of attack at the first instant of free flight, or -1 before it."""
EXIT_MARGIN: Final = PEAKS + 8
"""Centre of pressure less balance point at that instant."""
LIFT_OFF_MASS: Final = PEAKS + 9
N_WORK: Final = PEAKS + 10

ROW_COLUMNS: Final = 24
"""time, state (13), mass, thrust, airspeed, mach, dynamic pressure, alpha, roll, felt (3)."""
LOG_COLUMNS: Final = 5
"""event, canopy, time, height, speed."""
LOG_ROWS: Final = 8 + 3 * MAX_CANOPIES
