"""A spread of flights to the flat arrays of the kernel that flies them."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from finial.atmosphere.turbulence import gust_shares
from finial.core.errors import OutsideRange
from finial.flight.inputs import Air, FlightInputs
from finial.flight.kernel import layout
from finial.flight.kernel import spread_layout as slots
from finial.flight.packing.pack import Stepping, packed
from finial.flight.spread import MassParts, Spread, shape_code

CAMPAIGN_STEPPING = Stepping(tolerance=1e-4, samples=2, most_steps=20_000, time_limit_s=3600.0)
"""Steps for many flights: landing points within 0.1 m of those at 1e-11."""
_FOOT_M = 0.3048
_W20_M = 20.0 * _FOOT_M
_PROFILE_TOP_M = 400.0
_LONGEST_STEP_M = 0.25
"""Rows of the mean wind closer together than this get no gust row of their own."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ManyPacked:
    """A campaign's flights as the kernel takes them: the same arrays for all of them."""

    marks: NDArray[np.int64]
    plan: NDArray[np.float64]
    ints: NDArray[np.int64]
    pool: NDArray[np.float64]
    table: NDArray[np.float64]

    @property
    def draws(self) -> int:
        """Number of draws of one flight."""
        return int(self.marks[slots.N_DRAWS])


def packed_many(
    inputs: FlightInputs,
    spread: Spread,
    *,
    seed: int,
    drawn_here: bool = True,
    stepping: Stepping = CAMPAIGN_STEPPING,
) -> ManyPacked:
    """Lay out many flights that differ from one.

    Parameters
    ----------
    inputs : FlightInputs
        The nominal flight.
    spread : Spread
        What differs, and how.
    seed : int
        Of all random numbers, 0 to 2^63 - 1.
    drawn_here : bool
        True: the kernel draws plain random shares itself; False: they come with each call.
    stepping : Stepping
        How the kernel steps.

    Returns
    -------
    flights : ManyPacked
        The same arrays for all flights of the campaign.

    Raises
    ------
    OutsideRange
        If the inputs cannot be flown or a draw makes no sense; the message says which.

    Notes
    -----
    Gust rows stand at the heights of the spread and at those of the mean wind.

    References
    ----------
    .. [1] Definitions, no source.

    Examples
    --------
    >>> from finial.flight.example import example_inputs
    >>> from finial.flight.spread import whole_mass
    >>> nominal = example_inputs()
    >>> spread = Spread(draws=(), masses=whole_mass(nominal), wind_speed_m_s=4.0)
    >>> packed_many(nominal, spread, seed=1).draws
    0
    """
    if not 0 <= seed < 2**63:
        raise OutsideRange(f"seed {seed}: accepted are 0 to 2^63 - 1")
    inputs = replace(inputs, air=_on_gust_heights(inputs.air, spread))
    one = packed(inputs, stepping)
    plan = _Plan(seed, drawn_here)
    plan.add(slots.AT_DRAWS, _draw_rows(spread), slots.N_DRAWS)
    plan.add(slots.AT_SLOTS, _nominal_slots(inputs, spread), slots.N_SLOTS)
    plan.add(slots.AT_ROWS, spread.masses.rows, slots.N_ROWS)
    times = _burn_times(one.ints, one.pool) - inputs.thrust.ignition_delay_s
    plan.add(slots.AT_MOTOR, _motor_rows(spread.masses, times), slots.N_BURN)
    plan.add(slots.AT_TIMES, times)
    profile = _profile(inputs.air, spread.wind_speed_m_s)
    plan.add(slots.AT_PROFILE, profile)
    plan.add(slots.AT_GUSTS, gust_shares(profile[:, 0]))
    plan.marks[slots.HAS_GUSTS] = int(spread.gust_heights_m.size > 0)
    east, north = (float(np.interp(_W20_M, profile[:, 0], profile[:, 1 + part])) for part in range(2))
    constants = np.array([np.hypot(east, north), inputs.rail.roll_rad, _PROFILE_TOP_M])
    plan.add(slots.AT_CONSTANTS, constants)
    return ManyPacked(
        marks=plan.marks,
        plan=np.concatenate(plan.parts),
        ints=one.ints,
        pool=one.pool,
        table=one.table,
    )


class _Plan:
    """The plan's tables laid end to end, and the marks that say where each begins."""

    def __init__(self, seed: int, drawn_here: bool) -> None:
        self.marks = np.zeros(slots.N_MARKS, dtype=np.int64)
        self.marks[slots.SEED], self.marks[slots.DRAWN_HERE] = seed, int(drawn_here)
        self.parts: list[NDArray[np.float64]] = []
        self._end = 0

    def add(self, mark: int, values: NDArray[np.float64], count: int | None = None) -> None:
        """Append a table, note where it begins, and how many rows it has where that is wanted."""
        self.marks[mark] = self._end
        if count is not None:
            self.marks[count] = len(values)
        self.parts.append(np.ascontiguousarray(values, dtype=float).ravel())
        self._end += values.size


def _draw_rows(spread: Spread) -> NDArray[np.float64]:
    rows = [(draw.slot, shape_code(draw), draw.base, draw.below, draw.above) for draw in spread.draws]
    return np.array(rows, dtype=float).reshape(-1, slots.DRAW_COLUMNS)


def _nominal_slots(inputs: FlightInputs, spread: Spread) -> NDArray[np.float64]:
    rows, thrust, trim = len(spread.masses.rows), inputs.thrust, inputs.trim
    after_rows = slots.FIRST_ROW + slots.ROW_SLOTS * rows
    values = np.zeros(after_rows + slots.CANOPY_SLOTS * len(inputs.canopies))
    known = {
        slots.THRUST_FACTOR: 1.0,
        slots.BURN_TIME_FACTOR: 1.0,
        slots.IGNITION_DELAY: thrust.ignition_delay_s,
        slots.MOTOR_MASS_FACTOR: 1.0,
        slots.LEAN: thrust.tilt_rad,
        slots.NOZZLE_OFFSET: thrust.offset_m,
        slots.AXIAL_FACTOR: trim.axial_factor,
        slots.ACROSS_FACTOR: trim.across_factor,
        slots.STATION_SHIFT: trim.station_shift_m,
        slots.ROLL_MOMENT: trim.roll_moment,
        slots.SIDE: trim.side,
        slots.WIND_SPEED: spread.wind_speed_m_s,
        slots.TEMPERATURE: inputs.air.temperature_k,
        slots.PRESSURE_AT_PAD: inputs.air.pressure_pa,
        slots.RAIL_TILT: inputs.rail.tilt_rad,
        slots.RAIL_BEARING: inputs.rail.bearing_rad,
        slots.TUMBLING_FACTOR: 1.0,
        slots.GUST_FACTOR: 1.0,
        slots.RAIL_FRICTION: inputs.rail.friction,
    }
    for at, value in known.items():
        values[at : at + np.size(value)] = value
    values[slots.FIRST_ROW : after_rows : slots.ROW_SLOTS] = 1.0
    for index, canopy in enumerate(inputs.canopies):
        at = after_rows + slots.CANOPY_SLOTS * index
        values[at : at + 4] = 1.0, canopy.delay_s, canopy.threshold, 1.0
    _refuse_unknown_slots(spread, values.size)
    return values


def _refuse_unknown_slots(spread: Spread, count: int) -> None:
    for draw in spread.draws:
        if not 0 <= draw.slot < count:
            raise OutsideRange(f"{draw.name}: slot {draw.slot} of {count}")


def _burn_times(ints: NDArray[np.int64], pool: NDArray[np.float64]) -> NDArray[np.float64]:
    at, count = int(ints[layout.AT_BURN]), int(ints[layout.N_KNOTS])
    return pool[at : at + count * layout.BURN_COLUMNS : layout.BURN_COLUMNS]


def _motor_rows(masses: MassParts, times_s: NDArray[np.float64]) -> NDArray[np.float64]:
    columns: list[NDArray[np.float64]] = [
        np.interp(times_s, masses.motor_times_s, column) for column in masses.motor.T
    ]
    return np.column_stack(columns)


def _on_gust_heights(air: Air, spread: Spread) -> Air:
    """Mean wind on its own heights and those of the gusts."""
    if not spread.gust_heights_m.size:
        return air
    own = air.wind_heights_m
    extra = spread.gust_heights_m[np.abs(spread.gust_heights_m[:, None] - own).min(axis=1) > _LONGEST_STEP_M]
    heights = np.union1d(own, extra)
    up = air.wind_up_m_s
    return replace(
        air,
        wind_heights_m=heights,
        wind_east_m_s=np.interp(heights, own, air.wind_east_m_s),
        wind_north_m_s=np.interp(heights, own, air.wind_north_m_s),
        wind_up_m_s=None if up is None else np.interp(heights, own, up),
    )


def _profile(air: Air, speed_m_s: float) -> NDArray[np.float64]:
    if not speed_m_s > 0.0:
        raise OutsideRange("the wind that the column belongs to must be above 0 m/s; draw the speed instead")
    rows = np.column_stack([air.wind_heights_m, air.wind_east_m_s, air.wind_north_m_s])
    if len(rows) == 1:
        rows = np.vstack([rows, rows + np.array([1.0, 0.0, 0.0])])
    rows[:, 1:] /= speed_m_s
    return rows
