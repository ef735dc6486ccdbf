# pyright: basic
# Compiled: the compiler finds the types from the arguments, and its own types say nothing about them.
"""Cases stepped through time, compiled: each by itself, so that threads may share them."""

import math

import numpy as np

from finial.recovery.tether.compiled import inner, outer
from finial.recovery.tether.layout import ANGLE, FASTEST, SHOWN, SLACK, STRETCHING, TENSION
from finial.recovery.tether.motion import path, rates_of_change

SLOW_M_S = 1.0
"""Pulls slower than this lose less than their share [m/s]; keeps a pull from rest smooth."""


@outer
def run_cases(cases, states, step_s, keep_every, told, kept):
    """Step every case from its state, and keep what its lines do and where its pieces are.

    Parameters
    ----------
    cases : float64[:, :, ::1], float64[:, :, ::1], int64[:, ::1], int64[::1]
        Rows of the pieces of every case (c, b, 10), rows of its lines (c, k, 10), pieces that each line ties
        (k, 2), line that starts a piece's filling or -1 (b,).
    states : float64[:, :, ::1], shape (c, 7, b)
        How each case begins; it ends there too.
    step_s : float64
        Step [s].
    keep_every : int64
        Keep the pieces at every so many steps.
    told : float32[:, :, :, ::1], shape (c, n, k, 3)
        Pull [N], bend [rad] and side of the lip at every step.
    kept : float64[:, :, :, ::1], shape (c, m, 7, b)
        State at every few steps and at the end.

    References
    ----------
    .. [1] Classical Runge-Kutta method; any text on numerical integration.
    """
    pieces, lines, ends, pulls = cases
    bodies = pieces.shape[1]
    lies = np.zeros((3, bodies))
    lately = np.zeros((2, lines.shape[1], 5))
    slopes = np.zeros((4, 7, bodies))
    tried = np.zeros((7, bodies))
    for case in range(pieces.shape[0]):
        build, state = (pieces[case], lines[case], ends, lies), states[case]
        work = (state.reshape(-1), tried.reshape(-1), slopes.reshape(4, -1), tried, slopes, lately)
        lies[2] = 0.0
        lately[:, :, FASTEST] = SLOW_M_S
        for index in range(told.shape[1]):
            if index % keep_every == 0:
                kept[case, index // keep_every] = state
            _step(build, step_s, work)
            for line in range(lines.shape[1]):
                for shown in range(SHOWN):
                    told[case, index, line, shown] = lately[0, line, shown]
            _remember(lately)
            for piece in range(bodies):
                if pulls[piece] >= 0 and lately[0, pulls[piece], TENSION] > 0.0:
                    lies[2, piece] = 1.0
        kept[case, kept.shape[1] - 1] = state


@inner
def _remember(lately):
    """Keep how fast each line has stretched since it came taut."""
    for line in range(lately.shape[1]):
        stretching = lately[0, line, STRETCHING]
        fastest = SLOW_M_S if stretching == SLACK else max(lately[0, line, FASTEST], stretching)
        lately[:, line, FASTEST] = fastest


@inner
def _step(build, step, work):
    """One step; the first of ``lately`` tells of the lines at its beginning. One loop: compiled once.

    The state, its trials and its slopes come as they are and as flat arrays, which are added faster.
    """
    state, flat, along, tried, slopes, lately = work
    for stage in range(4):
        if stage == 0:
            for part in range(len(state)):
                flat[part] = state[part]
        else:
            ahead = step if stage == 3 else step / 2.0
            for part in range(len(state)):
                flat[part] = state[part] + ahead * along[stage - 1, part]
        rates_of_change(build, tried, slopes, stage, lately)
    sixth = step / 6.0
    for part in range(len(state)):
        both = along[1, part] + along[2, part]
        state[part] += sixth * (along[0, part] + 2.0 * both + along[3, part])


@outer
def path_lengths(lines, ends, states, lengths_m):
    """Fill the length of every line's way, inside a tube and out.

    Parameters
    ----------
    lines : float64[:, :, ::1], shape (c, k, 10)
        Rows of the lines.
    ends : int64[:, ::1], shape (k, 2)
        Pieces that each line ties.
    states : float64[:, :, ::1], shape (c, 7, b)
        States.
    lengths_m : float64[:, ::1], shape (c, k)
        Lengths [m].

    References
    ----------
    .. [1] Shortest path past two points, plain geometry.
    """
    lies = np.empty((2, states.shape[2]))
    unused = np.empty((0, 0))
    for case in range(states.shape[0]):
        for piece in range(states.shape[2]):
            angle = states[case, ANGLE, piece]
            lies[0, piece], lies[1, piece] = math.cos(angle), math.sin(angle)
        for line in range(lines.shape[1]):
            lengths_m[case, line] = path((unused, lines[case], ends, lies), line, states[case])[6]
