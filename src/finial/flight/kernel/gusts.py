# pyright: basic
# Compiled: the compiler finds the types from the arguments, and its own types say nothing about them.
"""One flight's wind: the day's mean, stronger or weaker, turned, and its own frozen gusts over it."""

import math

from finial.flight.kernel.compiled import inner
from finial.flight.kernel.layout import AT_WIND, N_WIND, WIND_COLUMNS
from finial.flight.kernel.random_numbers import four_words, unit_share
from finial.flight.kernel.spread_layout import (
    AT_CONSTANTS,
    AT_GUSTS,
    AT_PROFILE,
    EXPONENT_CHANGE,
    GUST_COLUMNS,
    GUST_FACTOR,
    GUSTS_STREAM,
    HAS_GUSTS,
    PROFILE_COLUMNS,
    SEED,
    TOP,
    W20,
    WIND_SPEED,
    WIND_TURN,
)

_REFERENCE_M = 10.0
_CALMEST_M = 0.5
"""Below this height a change of the exponent has no further say."""


@inner
def fill_wind(flight, marks, plan, slots, ints, pool):
    r"""Write the wind [m/s] at every height of the table.

    .. math::  u(z) = U \, \hat u(z) \left( \frac{z}{10\,\mathrm{m}} \right)^{\Delta\alpha}

    Parameters
    ----------
    flight : int
        Flight number.

    References
    ----------
    .. [1] Power law of the wind, its exponent changed: ``atmosphere.wind``; turned clockwise by the flight's
       own angle [rad].
    """
    speed = max(slots[WIND_SPEED], 0.0)
    constants = marks[AT_CONSTANTS]
    sine, cosine = math.sin(slots[WIND_TURN]), math.cos(slots[WIND_TURN])
    for index in range(ints[N_WIND]):
        row = ints[AT_WIND] + index * WIND_COLUMNS
        mean = marks[AT_PROFILE] + index * PROFILE_COLUMNS
        height = min(max(plan[mean], _CALMEST_M), plan[constants + TOP])
        there = speed * (height / _REFERENCE_M) ** slots[EXPONENT_CHANGE]
        east, north = there * plan[mean + 1], there * plan[mean + 2]
        pool[row + 1] = cosine * east + sine * north
        pool[row + 2] = cosine * north - sine * east
        pool[row + 3] = 0.0
    if marks[HAS_GUSTS] == 1:
        add_gusts(flight, slots[GUST_FACTOR] * speed * plan[constants + W20], marks, plan, ints, pool)


@inner
def add_gusts(flight, wind_20ft, marks, plan, ints, pool):
    r"""Lay chains of gusts over the wind, each height's a share of the one below plus something new.

    .. math::  g_i = k g_{i-1} + \sqrt{1 - k^2} \, n_i, \qquad k = e^{-\Delta z / L}

    Parameters
    ----------
    flight : int
        Flight number.
    wind_20ft : float
        Wind at 20 ft, which the gusts are measured by [m/s].

    References
    ----------
    .. [1] MIL-F-8785C, 1980, section 3.7.3.4, lengths and intensities: ``atmosphere.turbulence``.
    .. [2] Normal numbers: G. E. P. Box and M. E. Muller, Annals of Mathematical Statistics 29 (1958) 610.
    """
    east, north, up = 0.0, 0.0, 0.0
    for index in range(ints[N_WIND]):
        a, b, c, d = four_words(marks[SEED], flight, GUSTS_STREAM, index)
        # Two pairs of normal numbers from two lengths and two angles (Box and Muller, 1958).
        length, angle = math.sqrt(-2.0 * math.log(unit_share(a))), 2.0 * math.pi * unit_share(b)
        third = math.sqrt(-2.0 * math.log(unit_share(c))) * math.cos(2.0 * math.pi * unit_share(d))
        column = marks[AT_GUSTS] + index * GUST_COLUMNS
        keep, keep_up = plan[column], plan[column + 1]
        new, new_up = math.sqrt(1.0 - keep * keep), math.sqrt(1.0 - keep_up * keep_up)
        east = keep * east + new * length * math.cos(angle)
        north = keep * north + new * length * math.sin(angle)
        up = keep_up * up + new_up * third
        row = ints[AT_WIND] + index * WIND_COLUMNS
        pool[row + 1] += wind_20ft * plan[column + 2] * east
        pool[row + 2] += wind_20ft * plan[column + 2] * north
        pool[row + 3] += wind_20ft * plan[column + 3] * up
