"""The tables of a flight, laid out row by row for the kernel."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.aero.table.record import AirTable
from finial.core.kept_parts import kept
from finial.flight.inputs import Air, FlightInputs, MassHistory, Thrust

_FOREVER_S = 1e12
_TENSOR_PARTS = ((0, 1, 2, 0, 0, 1), (0, 1, 2, 1, 2, 2))
"""Rows and columns of xx, yy, zz, xy, xz, yz."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TableRows:
    """The air table as the kernel walks it: every axis has two nodes or more."""

    alpha: NDArray[np.float64]
    roll: NDArray[np.float64]
    mach: NDArray[np.float64]
    coefficients: NDArray[np.float64]
    """(alpha, roll, mach, 7)."""
    damping: NDArray[np.float64]
    """(mach, 4): pitch, yaw, yaw by pitch, roll."""


def burn_rows(inputs: FlightInputs, start_s: float) -> tuple[NDArray[np.float64], int]:
    """Rows of the burn at all knots of thrust and mass.

    A time may stand twice: thrust may jump at ignition and at the end of its curve.

    Parameters
    ----------
    inputs : FlightInputs
        Thrust [N] and masses [kg] over time from ignition [s], and the delay of the ignition [s].
    start_s : float
        Time the flight begins at, if that is before the firing signal [s].

    Returns
    -------
    rows : ndarray, shape (n, 12)
        Time [s], thrust [N], mass [kg], centre [m], inertia xx yy zz xy xz yz [kg m^2].
    last_knot : int
        Row from which on there is no more thrust.

    Notes
    -----
    Straight lines are carried over exactly; before the first and after the last knot masses stay, thrust is
    zero.

    References
    ----------
    .. [1] Linear interpolation; definition.

    Examples
    --------
    >>> from finial.flight.example import example_inputs
    >>> rows, last = burn_rows(example_inputs(), 0.0)
    >>> rows[last, :2].round(3).tolist(), rows[-1, 2].round(3).item()
    ([2.1, 0.0], 8.0)
    """
    return _burn_rows(inputs.thrust, inputs.mass, start_s)


# Two corners burn hard and light, two feebly and heavy.
@kept(16)
def _burn_rows(thrust: Thrust, mass: MassHistory, start_s: float) -> tuple[NDArray[np.float64], int]:
    thrust_times = thrust.times_s + thrust.ignition_delay_s
    mass_times = mass.times_s + thrust.ignition_delay_s
    first, last = thrust_times[0], thrust_times[-1]
    times = _knots(thrust_times, mass_times, min(start_s, 0.0))
    pushes = np.interp(times, thrust_times, thrust.thrusts_n, left=0.0, right=0.0)
    pushes[np.searchsorted(times, first, side="left")] = 0.0
    pushes[np.searchsorted(times, last, side="right") - 1] = 0.0
    tensors = mass.inertias_kg_m2[:, _TENSOR_PARTS[0], _TENSOR_PARTS[1]]
    columns = [mass.masses_kg, *mass.centres_m.T, *tensors.T]
    rows = np.column_stack([times, pushes, *(np.interp(times, mass_times, column) for column in columns)])
    return rows, int(np.flatnonzero(pushes > 0.0)[-1]) + 1 if np.any(pushes > 0.0) else 1


# All corners burn at the same times.
@kept(16)
def _knots(
    thrust_times_s: NDArray[np.float64], mass_times_s: NDArray[np.float64], start_s: float
) -> NDArray[np.float64]:
    """Every time at which thrust or mass has a knot, the first and the last of thrust twice [s]."""
    times = np.unique(np.concatenate([[start_s], thrust_times_s, mass_times_s]))
    return np.sort(np.concatenate([times, thrust_times_s[[0, -1]], [_FOREVER_S]]))


def air_table_rows(table: AirTable) -> TableRows:
    """Lay out the air table node by node; axes with a single node get a second one like it.

    Parameters
    ----------
    table : AirTable
        Coefficients [-] over angle of attack, roll angle [rad] and Mach number [-].

    Returns
    -------
    rows : TableRows
        The same numbers, the coefficients of a node side by side.

    Notes
    -----
    Nothing is interpolated. Without its own yaw damping the body damps in yaw as in pitch, and the two are
    not coupled.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> from finial.flight.example import plain_table
    >>> air_table_rows(plain_table(drag_area_m2=0.01)).coefficients.shape
    (2, 2, 2, 7)
    """
    return _table_rows(table)


# Corners with the same drag fly in the same table.
@kept(8)
def _table_rows(table: AirTable) -> TableRows:
    coefficients = np.stack(
        [
            table.along,
            table.across,
            table.along_moment,
            table.across_moment,
            table.roll_moment,
            table.axial_power_on,
            table.axial_power_off,
        ],
        axis=-1,
    )
    pitch, zero = table.pitch_damping, np.zeros_like(table.pitch_damping)
    yaw = pitch if table.yaw_damping is None else table.yaw_damping
    both = zero if table.yaw_by_pitch is None else table.yaw_by_pitch
    damping = np.column_stack([pitch, yaw, both, table.roll_damping])
    mach, roll = table.mach, table.roll_rad
    if mach.size == 1:
        mach = np.array([mach[0], mach[0] + 1.0])
        coefficients, damping = np.repeat(coefficients, 2, axis=2), np.repeat(damping, 2, axis=0)
    if roll.size == 1:
        roll = np.array([0.0, 2.0 * np.pi])
        coefficients = np.repeat(coefficients, 2, axis=1)
    return TableRows(alpha=table.alpha_rad, roll=roll, mach=mach, coefficients=coefficients, damping=damping)


def wind_rows(air: Air) -> NDArray[np.float64]:
    """Rows of height and wind vector; a single height gets a second one with the same wind.

    Parameters
    ----------
    air : Air
        The day's air.

    Returns
    -------
    rows : ndarray, shape (n, 4)
        Height above ground [m], wind to the east, to the north and up [m/s].

    Notes
    -----
    Numbers are carried over as they are; no updraught counts as none.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> from finial.flight.example import example_air
    >>> wind_rows(example_air()).shape
    (10, 4)
    """
    return _wind_rows(air)


# Many corners fly in one wind, and no slider moves it.
@kept(16)
def _wind_rows(air: Air) -> NDArray[np.float64]:
    up = np.zeros_like(air.wind_heights_m) if air.wind_up_m_s is None else air.wind_up_m_s
    rows = np.column_stack([air.wind_heights_m, air.wind_east_m_s, air.wind_north_m_s, up])
    if len(rows) == 1:
        rows = np.vstack([rows, rows + np.array([1.0, 0.0, 0.0, 0.0])])
    return rows
