"""Fly once: inputs to trace."""

from collections.abc import Callable
from typing import Any

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import OutsideRange
from finial.flight.inputs import FlightInputs, Start
from finial.flight.kernel import layout
from finial.flight.packing.pack import Packed, Stepping, packed
from finial.flight.trace import GROUND, EventKind, FlightEvent, Trace

FINEST = 1e-12
COARSEST = 1e-2

ENDINGS = {
    layout.LANDED: GROUND,
    layout.NO_LIFT_OFF: "never left the pad: the thrust stayed below the weight",
    layout.STEP_TOO_SMALL: "the step shrank to nothing: the motion grows faster than it can be followed",
    layout.TOO_MANY_STEPS: "too many steps",
    layout.TOO_LONG: "still in the air when the time was up",
    layout.NOT_FINITE: "the numbers overflowed",
}
_EVENT_KINDS = {
    layout.LIFT_OFF: EventKind.LIFT_OFF,
    layout.FORE_LEAVES: EventKind.FORE_LEAVES,
    layout.AFT_LEAVES: EventKind.RAIL_EXIT,
    layout.BURNOUT: EventKind.BURNOUT,
    layout.APOGEE_PASSED: EventKind.APOGEE,
    layout.CANOPY_OUT: EventKind.OUT,
    layout.CANOPY_OPEN: EventKind.OPEN,
    layout.GROUND: EventKind.GROUND,
}
_FIRST_ROWS = 4096


def fly(inputs: FlightInputs, *, tolerance: float = 1e-5, start: Start | None = None) -> Trace:
    """Fly from the firing signal, or from a given state, to the ground.

    Six degrees of freedom with an explicit Runge-Kutta pair of orders 5 and 4; steps end on
    every known time and on every event. See the methods page for the equations.

    Parameters
    ----------
    inputs : FlightInputs
        The vehicle, the day and the rail.
    tolerance : float
        Error allowed in one step, relative [-]; 1e-5 for a report, 1e-4 for a campaign.
    start : Start, optional
        State to begin free flight from, instead of the rail.

    Returns
    -------
    trace : Trace
        Time history and events; ``ended`` says ``ground`` or why the flight stopped before.

    Raises
    ------
    OutsideRange
        If a number is not finite, a record cannot be flown, or the tolerance is not within
        1e-12 to 1e-2.

    Notes
    -----
    Flat earth that does not turn, same gravity at all heights; air to 20 km. Below Mach 1 only
    if the air table is. The first flight ever on a machine compiles for half a minute; ask
    :func:`is_ready` before.

    References
    ----------
    .. [1] Tsitouras, Runge-Kutta pairs of order 5(4), Computers and Mathematics with
       Applications 62 (2011) 770-775.

    Examples
    --------
    >>> from finial.flight.example import example_inputs
    >>> fly(example_inputs()).ended
    'ground'
    """
    if not FINEST <= tolerance <= COARSEST:
        raise OutsideRange(f"tolerance {tolerance}: accepted are {FINEST} to {COARSEST}")
    return fly_stepping(inputs, Stepping(tolerance=tolerance), start)


def fly_stepping(inputs: FlightInputs, stepping: Stepping, start: Start | None = None) -> Trace:
    """Fly once with every setting of the stepper given; otherwise as :func:`fly`.

    Parameters
    ----------
    inputs : FlightInputs
        The vehicle, the day and the rail.
    stepping : Stepping
        Tolerance, samples a step, most steps and longest time [s].
    start : Start, optional
        State to begin free flight from, instead of the rail.

    Returns
    -------
    trace : Trace
        As of :func:`fly`.

    Raises
    ------
    OutsideRange
        If a number is not finite or a record cannot be flown.

    Notes
    -----
    Range and error as of :func:`fly`; tolerances outside its own are not refused here.

    References
    ----------
    .. [1] As :func:`fly`.

    Examples
    --------
    >>> from finial.flight.example import example_inputs
    >>> fly_stepping(example_inputs(), Stepping(time_limit_s=1.0)).ended
    'still in the air when the time was up'
    """
    return traced(packed(inputs, stepping, start), [canopy.name for canopy in inputs.canopies])


def traced(flight: Packed, canopies: list[str]) -> Trace:
    """Fly what is packed, and keep every row.

    Parameters
    ----------
    flight : Packed
        One flight as the kernel takes it; its counters are overwritten.
    canopies : list of str
        Names of its canopies, for the events.

    Returns
    -------
    trace : Trace
        Time history and events.

    Notes
    -----
    Flown a second time where the trace has more than 4096 rows: the kernel counts before it writes.

    References
    ----------
    .. [1] As :func:`fly`.

    Examples
    --------
    >>> from finial.flight.example import example_inputs
    >>> traced(packed(example_inputs(), Stepping()), ["drogue", "main"]).ended
    'ground'
    """
    kernel = _kernel()
    work, rates = np.zeros(layout.N_WORK), np.zeros(layout.N_RATES)
    log = np.empty((layout.LOG_ROWS, layout.LOG_COLUMNS))
    rows = np.empty((_FIRST_ROWS, layout.ROW_COLUMNS))
    kernel(flight.ints, flight.pool, flight.table, work, rates, rows, log)
    needed = int(flight.ints[layout.ROWS])
    if needed > len(rows):
        rows = np.empty((needed, layout.ROW_COLUMNS))
        kernel(flight.ints, flight.pool, flight.table, work, rates, rows, log)
    events = _events(log[: flight.ints[layout.EVENTS]], canopies)
    # Every reader asks for whole columns: each stands in one piece.
    return _trace(np.asfortranarray(rows[:needed]), events, ENDINGS[int(flight.ints[layout.ENDED])])


def is_ready() -> bool:
    """Say whether the flight kernel is compiled already; if not, the first flight takes half a minute.

    Returns
    -------
    ready : bool
        True if its machine code lies in the cache folder.
    """
    from finial.flight.kernel.compiled import is_compiled

    return is_compiled()


def make_ready(on_compile: Callable[[], None] | None = None) -> bool:
    """Load the flight kernel, compiling it if this machine has not yet.

    Parameters
    ----------
    on_compile : callable, optional
        Called once before a compilation begins, so that the caller can say so.

    Returns
    -------
    compiled : bool
        True if it had to be compiled.

    Notes
    -----
    Half a minute the first time on a machine, a third of a second after that.

    References
    ----------
    .. [1] Definitions, no source.

    Examples
    --------
    >>> first = make_ready()
    >>> make_ready()
    False
    """
    if _is_loaded():
        return False
    compiling = not is_ready()
    if compiling and on_compile is not None:
        on_compile()
    from finial.flight.kernel.compiled import SIGNATURE

    _kernel().compile(SIGNATURE)
    return compiling


def _is_loaded() -> bool:
    """Say whether this process has the machine code already: a look at the folder reads every source."""
    return bool(_kernel().signatures)


def _kernel() -> Any:
    # The compiler's import costs a third of a second: only when a flight is asked for.
    from finial.flight.kernel.run import run

    return run


def _events(log: NDArray[np.float64], canopies: list[str]) -> tuple[FlightEvent, ...]:
    return tuple(
        FlightEvent(
            kind=_EVENT_KINDS[int(code)],
            canopy=canopies[int(canopy)] if canopy >= 0 else "",
            time_s=time,
            height_agl_m=height,
            speed_m_s=speed,
        )
        for code, canopy, time, height, speed in log.tolist()
    )


def _trace(rows: NDArray[np.float64], events: tuple[FlightEvent, ...], ended: str) -> Trace:
    rows.flags.writeable = False
    return Trace(
        times_s=rows[:, 0],
        positions_m=rows[:, 1:4],
        velocities_m_s=rows[:, 4:7],
        quaternions=rows[:, 7:11],
        rates_rad_s=rows[:, 11:14],
        masses_kg=rows[:, 14],
        thrusts_n=rows[:, 15],
        airspeeds_m_s=rows[:, 16],
        machs=rows[:, 17],
        dynamic_pressures_pa=rows[:, 18],
        alphas_rad=rows[:, 19],
        rolls_rad=rows[:, 20],
        accelerations_m_s2=rows[:, 21:24],
        events=events,
        ended=ended,
    )
