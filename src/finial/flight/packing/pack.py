"""Flight inputs to the flat arrays of the kernel."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.atmosphere.standard import geopotential_height
from finial.core.frames import east_north_from_bearing
from finial.core.kept_parts import kept
from finial.flight.inputs import (
    AFTER_APOGEE_ALTITUDE,
    AFTER_LIFT_OFF,
    APOGEE,
    FlightInputs,
    Rail,
    Start,
)
from finial.flight.kernel import layout
from finial.flight.packing.accepted import refuse_bad_inputs, refuse_bad_start
from finial.flight.packing.tables import air_table_rows, burn_rows, wind_rows

_TRIGGERS = {
    APOGEE: layout.ON_APOGEE,
    AFTER_APOGEE_ALTITUDE: layout.ON_ALTITUDE,
    AFTER_LIFT_OFF: layout.ON_TIME,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Packed:
    """One flight as the kernel takes it; ``ints`` changes while it flies, ``pool`` does not."""

    ints: NDArray[np.int64]
    pool: NDArray[np.float64]
    table: NDArray[np.float64]
    """The air table."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stepping:
    """How the kernel steps."""

    tolerance: float = 1e-5
    """Error allowed in one step, as a share of the size of position, velocity, attitude, rates [-]."""
    samples: int = 4
    """Rows of the trace per step; events are looked for at each."""
    most_steps: int = 200_000
    time_limit_s: float = 7200.0


def packed(inputs: FlightInputs, stepping: Stepping, start: Start | None = None) -> Packed:
    """Lay out one flight for the kernel.

    Parameters
    ----------
    inputs : FlightInputs
        The vehicle, the day and the rail.
    stepping : Stepping
        How the kernel steps.
    start : Start, optional
        State to begin free flight from, instead of the rail.

    Returns
    -------
    flight : Packed
        The flat arrays of ``kernel.layout``.

    Raises
    ------
    OutsideRange
        If a number is not finite or a record cannot be flown; the message says which.

    Notes
    -----
    Numbers are carried over as they are. The given quaternion is brought to length one, and the vehicle
    stands at rest on its stand unless a start is given.

    References
    ----------
    .. [1] ``kernel.layout``; definitions.

    Examples
    --------
    >>> from finial.flight.example import example_inputs
    >>> flight = packed(example_inputs(), Stepping())
    >>> int(flight.ints[layout.N_CANOPIES]), round(float(flight.pool[layout.RAIL_LENGTH]), 2)
    (2, 3.6)
    """
    refuse_bad_inputs(inputs)
    pool, air = _Pool(layout.N_SCALARS), _Pool(0)
    ints = np.zeros(layout.N_INTS, dtype=np.int64)
    burn, last_knot = burn_rows(inputs, 0.0 if start is None else start.time_s)
    ints[[layout.N_KNOTS, layout.LAST_KNOT]] = len(burn), last_knot
    ints[layout.AT_BURN] = pool.add(burn)
    table = air_table_rows(inputs.air_table)
    ints[[layout.N_ALPHA, layout.N_ROLL, layout.N_MACH]] = table.coefficients.shape[:3]
    ints[layout.AT_ALPHA], ints[layout.AT_ROLL] = air.add(table.alpha), air.add(table.roll)
    ints[layout.AT_MACH], ints[layout.AT_DAMPING] = air.add(table.mach), air.add(table.damping)
    ints[layout.AT_COEFFICIENTS] = air.add(table.coefficients)
    wind = wind_rows(inputs.air)
    ints[layout.N_WIND], ints[layout.AT_WIND] = len(wind), pool.add(wind)
    ints[layout.N_CANOPIES], ints[layout.AT_CANOPIES] = len(inputs.canopies), pool.add(_canopy_rows(inputs))
    ints[layout.SAMPLES], ints[layout.MAX_STEPS] = stepping.samples, stepping.most_steps
    ints[layout.RATED] = -1
    ints[layout.START_PHASE] = layout.HOLD if start is None else layout.FREE
    scalars = _scalars(inputs, stepping)
    scalars[layout.START : layout.START + 14] = _on_rail(inputs) if start is None else _given(start)
    return Packed(ints=ints, pool=np.concatenate([scalars, *pool.parts]), table=np.concatenate(air.parts))


class _Pool:
    """Arrays laid end to end, behind so many scalars."""

    def __init__(self, scalars: int) -> None:
        self.parts: list[NDArray[np.float64]] = []
        self._end = scalars

    def add(self, values: NDArray[np.float64]) -> int:
        """Append an array and return where it begins."""
        at = self._end
        self.parts.append(np.ascontiguousarray(values, dtype=float).ravel())
        self._end += values.size
        return at


def rail_turn(rail: Rail) -> NDArray[np.float64]:
    r"""Rotation, body to earth, of a vehicle on the rail.

    .. math::
        e = (\sin\theta \sin\psi, \; \sin\theta \cos\psi, \; \cos\theta), \qquad
        y_0 = (\cos\theta \sin\psi, \; \cos\theta \cos\psi, \; -\sin\theta)

    Body x lies along the rail, :math:`e`; the side with the buttons, at roll angle :math:`\phi`, faces the
    bearing the rail leans to, :math:`y_0`.

    Parameters
    ----------
    rail : Rail
        Tilt :math:`\theta` from vertical, bearing :math:`\psi` and roll angle :math:`\phi` [rad].

    Returns
    -------
    turn : ndarray, shape (3, 3)
        Columns are body x, y and z in east, north, up [-].

    Notes
    -----
    Exact, at any tilt. A vertical rail still has a bearing: it says which way the buttons look.

    References
    ----------
    .. [1] The page on conventions.

    Examples
    --------
    >>> flat = {"tilt_rad": math.pi / 2, "bearing_rad": math.pi / 2}
    >>> rail = Rail(length_m=2.0, fore_button_m=0.5, aft_button_m=1.0, **flat)
    >>> (rail_turn(rail).round(9) + 0.0).T.tolist()
    [[1.0, 0.0, 0.0], [0.0, 0.0, -1.0], [0.0, 1.0, 0.0]]
    """
    return _rail_turn(rail)


# All corners of a vehicle leave one rail.
@kept(16)
def _rail_turn(rail: Rail) -> NDArray[np.float64]:
    east, north = east_north_from_bearing(rail.bearing_rad)
    sine, cosine = math.sin(rail.tilt_rad), math.cos(rail.tilt_rad)
    along = np.array([sine * east, sine * north, cosine])
    button_side = np.array([cosine * east, cosine * north, -sine])
    beside = np.cross(along, button_side)
    sine, cosine = math.sin(rail.roll_rad), math.cos(rail.roll_rad)
    return np.column_stack(
        [along, cosine * button_side - sine * beside, sine * button_side + cosine * beside]
    )


def quaternion_from_rotation(turn: NDArray[np.float64]) -> NDArray[np.float64]:
    r"""Scalar-first unit quaternion of a rotation matrix, body to earth.

    Each row of the symmetric matrix below is the quaternion times four of its own parts; the longest is the
    best known.

    .. math::  4 q q^T = \begin{pmatrix} 1 + a + e + i & h - f & c - g & d - b \\ \cdot & 1 + a - e - i & b +
    d & c + g \\ \cdot & \cdot & 1 - a + e - i & f + h \\ \cdot & \cdot & \cdot & 1 - a - e + i \end{pmatrix}

    Parameters
    ----------
    turn : ndarray, shape (3, 3)
        Rotation matrix with rows :math:`(a, b, c), (d, e, f), (g, h, i)` [-].

    Returns
    -------
    quaternion : ndarray, shape (4,)
        Of length one [-]; its sign is free.

    Notes
    -----
    Exact for a rotation; a matrix that is none is not refused.

    References
    ----------
    .. [1] S. W. Shepperd, Quaternion from rotation matrix, J. Guidance and Control 1 (1978) 223; from memory,
       not re-read.

    Examples
    --------
    >>> quaternion_from_rotation(np.eye(3)).tolist()
    [1.0, 0.0, 0.0, 0.0]
    """
    (a, b, c), (d, e, f), (g, h, i) = turn
    # Each row is the quaternion times four of its own parts; the longest is the best known.
    rows = np.array(
        [
            [1 + a + e + i, h - f, c - g, d - b],
            [h - f, 1 + a - e - i, b + d, c + g],
            [c - g, b + d, 1 - a + e - i, f + h],
            [d - b, c + g, f + h, 1 - a - e + i],
        ]
    )
    best = rows[np.argmax(np.diagonal(rows))]
    return best / np.linalg.norm(best)


def _scalars(inputs: FlightInputs, stepping: Stepping) -> NDArray[np.float64]:
    scalars = np.zeros(layout.N_SCALARS)
    rail, air, thrust = inputs.rail, inputs.air, inputs.thrust
    turn = rail_turn(rail)
    lean_y, lean_z = math.sin(thrust.tilt_rad[0]), math.sin(thrust.tilt_rad[1])
    values = {
        layout.AREA: inputs.air_table.reference_area_m2,
        layout.WIDTH: inputs.air_table.width_m,
        layout.NOZZLE: (-thrust.nozzle_station_m, *thrust.offset_m),
        layout.PUSH: (math.sqrt(1.0 - lean_y**2 - lean_z**2), lean_y, lean_z),
        layout.RAIL_LENGTH: rail.length_m,
        layout.ALONG_RAIL: turn[:, 0],
        layout.RAIL_SIDE: turn[:, 1],
        layout.RAIL_OVER: turn[:, 2],
        layout.STAND: stand_station(inputs),
        layout.FORE: rail.fore_button_m,
        layout.AFT: rail.aft_button_m,
        layout.FRICTION: rail.friction,
        layout.GROUND_ASL: air.ground_asl_m,
        layout.PAD_PRESSURE: air.pressure_pa,
        layout.PAD_TEMPERATURE: air.temperature_k,
        layout.LAPSE: air.lapse_k_m,
        layout.PAD_GEOPOTENTIAL: float(geopotential_height(air.ground_asl_m)),
        layout.GRAVITY: inputs.gravity_m_s2,
        layout.TUMBLING: inputs.tumbling_drag_area_m2,
        layout.TIME_LIMIT: stepping.time_limit_s,
        layout.TOLERANCE: stepping.tolerance,
        layout.TRIM_AXIAL: inputs.trim.axial_factor,
        layout.TRIM_ACROSS: inputs.trim.across_factor,
        layout.TRIM_STATION: inputs.trim.station_shift_m,
        layout.TRIM_SIDE: (*inputs.trim.side, inputs.trim.side_station_m),
        layout.TRIM_ROLL: inputs.trim.roll_moment,
        layout.CROOKED: (*inputs.air_table.side_force, *inputs.air_table.side_moment),
        layout.DRAG_LINE: inputs.air_table.drag_line_m,
    }
    for at, value in values.items():
        scalars[at if isinstance(value, float | int) else slice(at, at + len(value))] = value
    return scalars


def stand_station(inputs: FlightInputs) -> float:
    """Station that stands at the foot of the rail.

    Parameters
    ----------
    inputs : FlightInputs
        One flight.

    Returns
    -------
    station_m : float
        The rail's stand, or the nozzle where none is given [m].

    Notes
    -----
    A vehicle on its motor's nozzle is the common case; a stand-off under the buttons moves it.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> from finial.flight.example import example_inputs
    >>> stand_station(example_inputs())
    1.205
    """
    stand = inputs.rail.stand_m
    return inputs.thrust.nozzle_station_m if stand is None else stand


def _on_rail(inputs: FlightInputs) -> NDArray[np.float64]:
    turn = rail_turn(inputs.rail)
    centre = inputs.mass.centres_m[0] + np.array([stand_station(inputs), 0.0, 0.0])
    return np.concatenate([[0.0], turn @ centre, np.zeros(3), quaternion_from_rotation(turn), np.zeros(3)])


def _given(start: Start) -> NDArray[np.float64]:
    refuse_bad_start(start)
    attitude = start.quaternion / np.linalg.norm(start.quaternion)
    parts = [[start.time_s], start.position_m, start.velocity_m_s, attitude, start.rates_rad_s]
    return np.concatenate(parts)


def _canopy_rows(inputs: FlightInputs) -> NDArray[np.float64]:
    rows = [
        (
            _TRIGGERS[canopy.trigger],
            canopy.threshold,
            canopy.delay_s,
            canopy.drag_area_m2,
            canopy.fill_constant * canopy.diameter_m,
            float(canopy.works),
            float(canopy.fills),
        )
        for canopy in inputs.canopies
    ]
    return np.array(rows, dtype=float).reshape(-1, layout.CANOPY_COLUMNS)
