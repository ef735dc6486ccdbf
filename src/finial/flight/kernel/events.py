# pyright: basic
# Compiled: the compiler finds the types from the arguments, and its own types say nothing about them.
"""What may happen at a state, and what changes when it does."""

import math

from finial.flight.kernel.burn import burn_state
from finial.flight.kernel.compiled import inner
from finial.flight.kernel.layout import (
    AFT,
    AFT_LEAVES,
    AIRSPEED,
    ALONG_RAIL,
    ALTITUDE_PASSED,
    APOGEE_PASSED,
    AT_BURN,
    AT_CANOPIES,
    BURN_COLUMNS,
    BURNOUT,
    CANOPY,
    CANOPY_COLUMNS,
    CANOPY_OPEN,
    CANOPY_OUT,
    CANOPY_TIMES,
    CANOPY_UNDER_THRUST,
    CENTRE,
    ENDED,
    EVENTS,
    FORE,
    FORE_LEAVES,
    FREE,
    FRESH,
    GRAVITY,
    GROUND,
    GROUND_UNDER_THRUST,
    HOLD,
    LANDED,
    LAST_KNOT,
    LIFT_OFF,
    LIFTED,
    LOSS,
    N_CANOPIES,
    NO_LIFT_OFF,
    NOW,
    ON_ALTITUDE,
    ON_APOGEE,
    ON_TIME,
    PAST_APOGEE,
    PHASE,
    RAIL,
    RAIL_LENGTH,
    RELEASE,
    SEGMENT,
    SLID_BACK,
    STAND,
    TIME,
    TIP_OFF,
    WANTED,
)
from finial.flight.kernel.loads import attitude
from finial.flight.kernel.step import state_at
from finial.flight.kernel.vectors import plus_dot, three, turned

_RESTART_S = 1e-3
"""Step taken first after something changed [s]."""

_PLAY_M = 1e-6
"""How far below its stand a vehicle on the rail must be to count as slid back [m]."""


@inner
def event_at(time, state, ints, pool, work):
    """First event whose condition holds at a state, or -1; events that are over no longer count.

    Parameters
    ----------
    time : float
        From the firing signal [s].
    state : tuple of float
        Position [m], velocity [m/s], quaternion [-], body rates [rad/s].

    Returns
    -------
    event : int
        Its number in ``layout``.

    References
    ----------
    .. [1] Definitions of the phases of a flight; the rail ends where a button's travel reaches its length
       [m].
    """
    phase = ints[PHASE]
    if phase == HOLD:
        return LIFT_OFF if work[RELEASE] > 0.0 else -1
    if phase <= TIP_OFF:
        travel = button_travel(time, state, FORE if phase == RAIL else AFT, ints, pool, work)
        if travel >= pool[RAIL_LENGTH]:
            return FORE_LEAVES if phase == RAIL else AFT_LEAVES
        if phase == RAIL:
            return SLID_BACK if travel < pool[STAND] - pool[FORE] - _PLAY_M else -1
    return flight_event(state, ints, pool, work)


@inner
def flight_event(state, ints, pool, work):
    """Apogee, ground, or a canopy's altitude.

    Parameters
    ----------
    state : tuple of float
        Position [m], velocity [m/s], quaternion [-], body rates [rad/s].

    Returns
    -------
    event : int
        Its number in ``layout``, or -1.

    References
    ----------
    .. [1] Definitions: the climb [m/s] ends, the height [m] is zero or below a threshold.
    """
    height, climb = state[2], state[5]
    # A flight that begins from exactly rest has not passed its apogee yet.
    if ints[PAST_APOGEE] == 0 and ints[PHASE] >= FREE and climb < 0.0:
        return APOGEE_PASSED
    if height <= 0.0 and climb < 0.0:
        return GROUND
    if ints[PAST_APOGEE] == 1:
        for canopy in range(ints[N_CANOPIES]):
            row = ints[AT_CANOPIES] + canopy * CANOPY_COLUMNS
            waits = work[CANOPY_TIMES + 3 * canopy + 2] == 0.0 and pool[row] == ON_ALTITUDE
            if waits and height <= pool[row + 1]:
                return ALTITUDE_PASSED + canopy
    return -1


@inner
def button_travel(time, state, button, ints, pool, work):
    """Distance of a button from the foot of the rail, along the rail.

    Parameters
    ----------
    time : float
        From the firing signal [s].
    state : tuple of float
        Position [m], velocity [m/s], quaternion [-], body rates [rad/s].
    button : int
        Where its station stands in ``pool``.

    Returns
    -------
    travel : float
        Distance [m].

    References
    ----------
    .. [1] Definition: place of a point of the body, projected on the rail.
    """
    burn_state(time, ints, pool, work)
    turn = attitude(state)
    arm = -pool[button] - work[CENTRE], -work[CENTRE + 1], -work[CENTRE + 2]
    place = (
        plus_dot(state[0], turn[0], arm),
        plus_dot(state[1], turn[1], arm),
        plus_dot(state[2], turn[2], arm),
    )
    return plus_dot(0.0, place, three(pool, ALONG_RAIL))


@inner
def log_event(event, canopy, ints, work, log):
    """Write an event with time [s], height [m] and speed [m/s], if the log has room.

    Parameters
    ----------
    event, canopy : int
        Numbers of the event and of the canopy, -1 for none.

    References
    ----------
    .. [1] Bookkeeping; no formula.
    """
    index = ints[EVENTS]
    if index < log.shape[0]:
        log[index, 0] = event
        log[index, 1] = canopy
        log[index, 2] = work[TIME]
        log[index, 3] = work[NOW + 2]
        log[index, 4] = math.sqrt(work[NOW + 3] ** 2 + work[NOW + 4] ** 2 + work[NOW + 5] ** 2)
        ints[EVENTS] = index + 1


@inner
def start_afresh(ints, work):
    """Forget the last slope and the step size [s], because the right-hand side has jumped.

    References
    ----------
    .. [1] Common practice of integrating across a jump.
    """
    ints[FRESH] = 1
    work[WANTED] = min(work[WANTED], _RESTART_S)


@inner
def happen(event, ints, pool, work, log):
    """Change the phase or the canopies' timetable as an event demands.

    Parameters
    ----------
    event : int
        Its number in ``layout``.

    References
    ----------
    .. [1] Bookkeeping; no formula.
    """
    if event >= ALTITUDE_PASSED:
        make_due(event - ALTITUDE_PASSED, ints, pool, work)
        return
    if event == SLID_BACK:
        settle_on_pad(ints, pool, work)
    elif event != LIFT_OFF or ints[LIFTED] == 0:
        log_event(event, -1, ints, work, log)
    if event == APOGEE_PASSED:
        ints[PAST_APOGEE] = 1
        make_all_due(ON_APOGEE, ints, pool, work)
    elif event == GROUND:
        ints[ENDED] = LANDED
        lose_under_thrust(GROUND_UNDER_THRUST, ints)
    else:
        change_phase(event, ints, pool, work)
        start_afresh(ints, work)


@inner
def lose_under_thrust(loss, ints):
    """Note a loss if the motor still pushes.

    Parameters
    ----------
    loss : int
        Its number in ``layout``.

    References
    ----------
    .. [1] Definition.
    """
    if ints[SEGMENT] < ints[LAST_KNOT]:
        ints[LOSS] |= loss


@inner
def change_phase(event, ints, pool, work):
    """Let go, leave the rail with the fore button, leave it with both.

    Parameters
    ----------
    event : int
        Its number in ``layout``.

    References
    ----------
    .. [1] Bookkeeping; no formula.
    """
    if event == LIFT_OFF:
        ints[PHASE] = RAIL
        if ints[LIFTED] == 0:
            ints[LIFTED] = 1
            make_all_due(ON_TIME, ints, pool, work)
    elif event == FORE_LEAVES:
        ints[PHASE] = TIP_OFF
    elif event == AFT_LEAVES:
        ints[PHASE] = FREE


@inner
def settle_on_pad(ints, pool, work):
    """Put a vehicle that slid back onto its stand again [m]; give up if there is no more thrust.

    References
    ----------
    .. [1] Definition: the stand station stands at the foot of the rail.
    """
    ints[PHASE] = HOLD
    burn_state(work[TIME], ints, pool, work)
    standing = work[CENTRE] + pool[STAND], work[CENTRE + 1], work[CENTRE + 2]
    place = turned(attitude(state_at(work, NOW)), standing)
    for axis in range(3):
        work[NOW + 3 + axis] = 0.0
    work[NOW], work[NOW + 1], work[NOW + 2] = place
    if ints[SEGMENT] >= ints[LAST_KNOT]:
        ints[ENDED] = NO_LIFT_OFF


@inner
def make_all_due(trigger, ints, pool, work):
    """Set the time out of every canopy that waits for this trigger.

    Parameters
    ----------
    trigger : int
        Number of the trigger in ``layout``.

    References
    ----------
    .. [1] Bookkeeping; no formula.
    """
    for canopy in range(ints[N_CANOPIES]):
        row = ints[AT_CANOPIES] + canopy * CANOPY_COLUMNS
        if pool[row] == trigger and work[CANOPY_TIMES + 3 * canopy + 2] == 0.0:
            make_due(canopy, ints, pool, work)


@inner
def make_due(canopy, ints, pool, work):
    """Set a canopy's time out [s]: now, plus its delay, plus its threshold where that is a time.

    Parameters
    ----------
    canopy : int
        Its number.

    References
    ----------
    .. [1] Definition of ``CanopyEvent``.
    """
    row = ints[AT_CANOPIES] + canopy * CANOPY_COLUMNS
    times = CANOPY_TIMES + 3 * canopy
    wait = pool[row + 1] if pool[row] == ON_TIME else 0.0
    works = pool[row + 5] > 0.0
    work[times] = work[TIME] + wait + pool[row + 2] if works else math.inf
    work[times + 2] = 1.0


@inner
def next_known_time(ints, pool, work):
    """Nearest time ahead at which a step must end.

    Returns
    -------
    ahead : float
        From the firing signal [s].

    References
    ----------
    .. [1] Bookkeeping; no formula.
    """
    ahead = pool[ints[AT_BURN] + (ints[SEGMENT] + 1) * BURN_COLUMNS]
    if ints[PHASE] >= FREE:
        for canopy in range(ints[N_CANOPIES]):
            times = CANOPY_TIMES + 3 * canopy
            if work[times + 2] == 1.0:
                ahead = min(ahead, work[times])
            elif work[times + 2] == 2.0:
                ahead = min(ahead, work[times + 1])
    return ahead


@inner
def known_times_passed(ints, pool, work, log):
    """Move to the next line of the burn and bring out or open the canopies whose time [s] has come.

    References
    ----------
    .. [1] Bookkeeping; no formula.
    """
    row = ints[AT_BURN] + (ints[SEGMENT] + 1) * BURN_COLUMNS
    while pool[row] <= work[TIME]:
        ints[SEGMENT] += 1
        ints[FRESH] = 1
        row += BURN_COLUMNS
        if ints[SEGMENT] == ints[LAST_KNOT]:
            # A vehicle without any thrust has no burnout to speak of.
            if pool[row - 2 * BURN_COLUMNS + 1] > 0.0:
                log_event(BURNOUT, -1, ints, work, log)
            start_afresh(ints, work)
            if ints[PHASE] == HOLD:
                ints[ENDED] = NO_LIFT_OFF
    if ints[PHASE] < FREE:
        return
    for canopy in range(ints[N_CANOPIES]):
        times = CANOPY_TIMES + 3 * canopy
        if work[times + 2] == 1.0 and work[times] <= work[TIME]:
            bring_out(canopy, ints, pool, work, log)
        if work[times + 2] == 2.0 and work[times + 1] <= work[TIME]:
            work[times + 2] = 3.0
            log_event(CANOPY_OPEN, canopy, ints, work, log)
            start_afresh(ints, work)


@inner
def bring_out(canopy, ints, pool, work, log):
    r"""Begin to fill a canopy, over the time its filling distance takes.

    The first canopy leaves a vehicle that falls freely, often from almost no speed at apogee,
    so its filling time is that of a falling body; later ones come out at a steady speed.

    .. math::  t_f = n D_0 / v, \qquad \text{first:} \; v t_f + g t_f^2 / 2 = n D_0

    Parameters
    ----------
    canopy : int
        Its number; its filling distance is in [m].

    References
    ----------
    .. [1] Filling distance in diameters: Knacke, NWC TP 6575, 1991, chapter 5, fill constants; from memory,
       not re-read. Its use for a body that falls from rest is ours.
    """
    row = ints[AT_CANOPIES] + canopy * CANOPY_COLUMNS
    times = CANOPY_TIMES + 3 * canopy
    speed = max(work[AIRSPEED], 0.1)
    distance = pool[row + 4]
    if ints[PHASE] == FREE:
        gravity = pool[GRAVITY]
        filling = (math.sqrt(speed * speed + 2.0 * gravity * distance) - speed) / gravity
    else:
        filling = distance / speed
    work[times] = work[TIME]
    work[times + 1] = work[TIME] + filling
    work[times + 2] = 2.0
    ints[PHASE] = CANOPY
    lose_under_thrust(CANOPY_UNDER_THRUST, ints)
    log_event(CANOPY_OUT, canopy, ints, work, log)
    start_afresh(ints, work)
