"""The angle at which flats across the wind feed a swing faster than body and fins end it."""

import math

import numpy as np
from numpy.typing import NDArray

from finial.aero.galloping import Galloping
from finial.aero.table.record import AirTable
from finial.flight.inputs import MassHistory
from finial.flight.steadiness import way_up
from finial.flight.swing import fadings_m2_kg
from finial.flight.trace import Trace

NEVER_RAD = math.pi / 2.0
"""Stands for the angle of a vehicle that gallops at none."""


def galloping_angles(
    trace: Trace,
    table: AirTable,
    mass: MassHistory,
    driving: tuple[Galloping, Galloping, Galloping],
    ignition_delay_s: float = 0.0,
) -> tuple[float, float, float] | None:
    r"""Angle of attack from which a swing across the wind grows.

    .. math::  \sin\alpha_g = \min_{t, \phi} \frac{S \left( d^2 D / (2 I) + C_{N\alpha} / m \right)}
               {G_J / I + G_0 / m}, \qquad G_J = G_2 - 2 x_c G_1 + x_c^2 G_0

    Parameters
    ----------
    trace : Trace
        One flight.
    table : AirTable
        Air loads, for what ends a swing, see ``fadings_m2_kg``.
    mass : MassHistory
        Mass :math:`m` [kg], balance point :math:`x_c` [m], inertia across :math:`I`.
    driving : tuple of Galloping
        With the least, the usual and the most slope of the side force, :math:`G_0` to :math:`G_2`.
    ignition_delay_s : float
        From the firing signal to ignition [s].

    Returns
    -------
    low, usual, high : tuple of float or None
        With the most drive and the low end of the damping, with the central guesses, and with the least drive
        [rad]; a right angle where nothing drives. ``None`` where the low end of the damping is not known, or
        for a flight that never left the rail.

    Raises
    ------
    OutsideRange
        If the table cannot be asked for the flight's Mach numbers.

    Notes
    -----
    Speed and density drop out. The pitch plane stands in for the one across: both loads are those of
    small angles. Crossflow over the fins is left out: it damps.

    References
    ----------
    .. [1] J. P. den Hartog, Mechanical Vibrations, 1956, section 7.5 (from memory): drive over damping.

    Examples
    --------
    A width of 0.05 m2 about the balance point drives; one that damps does not.

    >>> from dataclasses import replace
    >>> from finial.flight.example import example_inputs
    >>> from finial.flight.fly import fly
    >>> inputs, one = example_inputs(), np.ones(1)
    >>> table = replace(inputs.air_table, least_damping=inputs.air_table.pitch_damping)
    >>> boxes = [Galloping(areas_m2=a * one, moments_m3=0.7 * a * one, inertias_m4=0.6 * a * one)
    ...          for a in (-0.1, 0.5, 0.8)]
    >>> low, usual, high = galloping_angles(fly(inputs), table, inputs.mass, tuple(boxes))
    >>> 0.0 < low < usual < high == NEVER_RAD
    True
    """
    # The compiler's import costs a third of a second: only where something flew.
    from finial.flight.readout.kernel import least_sine

    up = way_up(trace, table, mass, ignition_delay_s)
    if up is None:
        return None
    usual, weak = fadings_m2_kg(trace, table, up)
    if weak is None:
        return None
    times = trace.times_s[up.rows] - ignition_delay_s
    # Burnt out it drives as it does then, to the end: of all those rows the one that fades least counts.
    last = min(int(np.searchsorted(times, float(mass.times_s[-1]))), len(times) - 1)
    usual, weak = (np.append(fading[:last], fading[last:].min()) for fading in (usual, weak))
    centres = -np.interp(times[: last + 1], mass.times_s, mass.centres_m[:, 0])
    flown = np.stack([centres, up.across_kg_m2[: last + 1], trace.masses_kg[up.rows[: last + 1]]])

    def angle(one: Galloping, fading: NDArray[np.float64]) -> float:
        sine = least_sine(flown, fading, one.areas_m2, one.moments_m3, one.inertias_m4)
        # A swing that grows by itself does so at no angle too; what no sine can reach never gallops.
        return math.asin(min(max(sine, 0.0), 1.0))

    low, central, high = angle(driving[2], weak), angle(driving[1], usual), angle(driving[0], usual)
    return min(low, central), central, max(central, high)
