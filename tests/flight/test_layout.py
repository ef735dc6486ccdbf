"""The kernel's flat arrays: every slot as wide as what lies in it, none on another, none to spare.

A slot that is a number too narrow would be written over by its neighbour, in machine code that no
type guards: a mass would become a centre of mass, and nothing would say so.
"""

import itertools

import pytest

from finial.flight.kernel import layout
from finial.flight.kernel import spread_layout as slots

VECTOR, TENSOR = 3, 6
STATE = 3 + 3 + 4 + 3
"""Position, velocity, quaternion, rates."""

POOL = {
    "AREA": 1,
    "WIDTH": 1,
    "NOZZLE": VECTOR,
    "PUSH": VECTOR,
    "RAIL_LENGTH": 1,
    "ALONG_RAIL": VECTOR,
    "RAIL_SIDE": VECTOR,
    "RAIL_OVER": VECTOR,
    **dict.fromkeys(("STAND", "FORE", "AFT", "FRICTION", "GROUND_ASL"), 1),
    **dict.fromkeys(("PAD_PRESSURE", "PAD_TEMPERATURE", "LAPSE", "PAD_GEOPOTENTIAL", "GRAVITY"), 1),
    **dict.fromkeys(("TUMBLING", "TIME_LIMIT", "TOLERANCE"), 1),
    "START": 1 + STATE,
    **dict.fromkeys(("TRIM_AXIAL", "TRIM_ACROSS", "TRIM_STATION"), 1),
    "TRIM_SIDE": 2 + 1,
    "TRIM_ROLL": 1,
    "CROOKED": 2 + 2,
    "DRAG_LINE": 2,
    "N_SCALARS": 0,
}
WORK = {
    "NOW": STATE,
    "TRIED": STATE,
    "THRUST": 1,
    "MASS": 1,
    "CENTRE": VECTOR,
    "INERTIA": TENSOR,
    "MASS_RATE": 1,
    "CENTRE_RATE": VECTOR,
    "INERTIA_RATE": TENSOR,
    "POWERED": 1,
    **dict.fromkeys(("AIRSPEED", "ALPHA", "ROLL", "MACH", "PRESSURE"), 1),
    "NORMAL": 2,
    "UPWARD": 1,
    "FELT": VECTOR,
    **dict.fromkeys(("RELEASE", "TIME", "STEP", "WANTED", "ERROR_BEFORE"), 1),
    "CANOPY_TIMES": 3 * 16,
    **dict.fromkeys(("SHARE", "BEFORE", "AFTER", "ERROR"), 1),
    "PEAKS": 5,
    **dict.fromkeys(("PEAK_ALPHA", "PEAK_CANOPY", "EXIT_ALPHA", "EXIT_MARGIN", "LIFT_OFF_MASS"), 1),
    "N_WORK": 0,
}
SLOTS = {
    **dict.fromkeys(("THRUST_FACTOR", "BURN_TIME_FACTOR", "IGNITION_DELAY", "MOTOR_MASS_FACTOR"), 1),
    "LEAN": 2,
    "NOZZLE_OFFSET": 2,
    **dict.fromkeys(("AXIAL_FACTOR", "ACROSS_FACTOR", "STATION_SHIFT", "ROLL_MOMENT"), 1),
    "SIDE": 2,
    **dict.fromkeys(("WIND_SPEED", "WIND_TURN", "EXPONENT_CHANGE", "TEMPERATURE", "PRESSURE_AT_PAD"), 1),
    **dict.fromkeys(("RAIL_TILT", "RAIL_BEARING", "TUMBLING_FACTOR", "GUST_FACTOR"), 1),
    "RAIL_FRICTION": 1,
    "FIRST_ROW": 0,
}
SIZES = (
    "N_KNOTS AT_BURN LAST_KNOT N_ALPHA N_ROLL N_MACH AT_ALPHA AT_ROLL AT_MACH AT_COEFFICIENTS AT_DAMPING "
    "N_WIND AT_WIND N_CANOPIES AT_CANOPIES SAMPLES MAX_STEPS START_PHASE"
).split()
COUNTERS = (
    "PHASE SEGMENT HINT_ALPHA HINT_ROLL HINT_MACH HINT_WIND ROWS EVENTS ENDED STEPS REJECTED FRESH "
    "PAST_APOGEE LIFTED LOCATING TASK COUNT RATED STILL LOSS"
).split()
MARKS = (
    "SEED N_DRAWS AT_DRAWS N_SLOTS AT_SLOTS N_ROWS AT_ROWS N_BURN AT_MOTOR AT_TIMES AT_PROFILE AT_GUSTS "
    "HAS_GUSTS DRAWN_HERE AT_CONSTANTS"
).split()


@pytest.mark.parametrize(("module", "widths"), [(layout, POOL), (layout, WORK), (slots, SLOTS)])
def test_each_slot_begins_where_the_one_before_ends(module, widths: dict[str, int]) -> None:
    starts = [getattr(module, name) for name in widths]
    assert starts == list(itertools.accumulate([0, *list(widths.values())[:-1]]))


@pytest.mark.parametrize(
    ("module", "names", "first"), [(layout, SIZES, 0), (layout, COUNTERS, 20), (slots, MARKS, 0)]
)
def test_whole_numbers_lie_one_after_another(module, names: list[str], first: int) -> None:
    assert [getattr(module, name) for name in names] == list(range(first, first + len(names)))


def test_arrays_are_as_long_as_what_lies_in_them() -> None:
    assert layout.N_INTS == layout.LOSS + 1
    assert layout.START_PHASE < layout.PHASE
    assert slots.N_MARKS > slots.AT_CONSTANTS
    assert layout.STATE == STATE
    assert layout.N_RATES == 7 * STATE, "one slope for each stage of the step"
    assert layout.ROW_COLUMNS == 1 + STATE + 7 + VECTOR
    assert layout.BURN_COLUMNS == 3 + VECTOR + TENSOR
    assert layout.WIND_COLUMNS == 1 + VECTOR
    assert (layout.COEFFICIENTS, layout.DAMPINGS, layout.CANOPY_COLUMNS, layout.LOG_COLUMNS) == (7, 4, 7, 5)
    # Eight events of the vehicle, and for each canopy its height passed, out and open.
    assert layout.LOG_ROWS == 8 + 3 * layout.MAX_CANOPIES
    assert layout.MAX_CANOPIES == 16
    assert slots.N_RESULTS == len(slots.RESULTS) == len(set(slots.RESULTS))
    assert slots.MOMENTS == 1 + VECTOR + TENSOR
    assert slots.ROW_SLOTS == 1 + VECTOR
    assert (slots.DRAW_COLUMNS, slots.PROFILE_COLUMNS, slots.GUST_COLUMNS, slots.CANOPY_SLOTS) == (5, 3, 4, 6)


@pytest.mark.parametrize(
    ("module", "names"),
    [
        (layout, ("DONE", "SETTLING", "STAGING", "SAMPLING", "NARROWING", "CLOSING")),
        (layout, ("HOLD", "RAIL", "TIP_OFF", "FREE", "CANOPY")),
        (
            layout,
            ("FLYING", "LANDED", "NO_LIFT_OFF", "STEP_TOO_SMALL", "TOO_MANY_STEPS", "TOO_LONG", "NOT_FINITE"),
        ),
        (layout, ("ON_APOGEE", "ON_ALTITUDE", "ON_TIME")),
        (slots, ("EVEN", "BELL", "ODDS")),
        (slots, ("W20", "RAIL_ROLL", "TOP")),
        (slots, ("DRAWS_STREAM", "GUSTS_STREAM", "DESIGN_STREAM")),
    ],
)
def test_states_are_told_apart_and_stand_in_their_order(module, names: tuple[str, ...]) -> None:
    values = [getattr(module, name) for name in names]
    assert values == list(range(int(values[0]), int(values[0]) + len(values)))


def test_consequences_of_a_turn_add_up_without_hiding_one_another() -> None:
    follows = (layout.TAKE, layout.KEEP, layout.CLOSE, layout.HAPPEN, layout.GO)
    assert sum(follows) == 31
    assert all(one & other == 0 for one, other in itertools.combinations(follows, 2))


def test_events_leave_room_for_one_height_of_each_canopy_at_their_end() -> None:
    names = "LIFT_OFF FORE_LEAVES AFT_LEAVES BURNOUT APOGEE_PASSED CANOPY_OUT CANOPY_OPEN GROUND SLID_BACK"
    assert [getattr(layout, name) for name in names.split()] == list(range(9))
    assert layout.ALTITUDE_PASSED == 9


def test_losses_add_up_without_hiding_one_another() -> None:
    losses = (
        layout.TURNED_UNDER_THRUST,
        layout.TURNED_COASTING,
        layout.CANOPY_UNDER_THRUST,
        layout.GROUND_UNDER_THRUST,
    )
    assert sum(losses) == 15
    assert all(one & other == 0 for one, other in itertools.combinations(losses, 2))


def test_places_are_counted_from_the_front() -> None:
    """Masked with it, any place up to a quarter of a thousand million stays itself."""
    assert layout.FORWARD == 2**28 - 1
    assert (layout.N_WORK & layout.FORWARD) == layout.N_WORK
