"""The nominal flight in gusts: one frozen column of them laid over the day's wind."""

from dataclasses import replace

import numpy as np

from finial.assemble.flights.corners import Flights
from finial.atmosphere.turbulence import gust_column
from finial.flight.fly import fly
from finial.flight.gusty import with_gusts
from finial.flight.rail_exit import wind_at
from finial.flight.trace import Trace

STEP_M = 10.0
"""Heights between gusts [m], as in a campaign."""
_TWENTY_FEET_M = 6.096
_SPARE = 1.4
"""Gusts reach this much higher than the nominal apogee."""
_LEAST_TOP_M = 100.0


def gusty_flight(flights: Flights, number: int) -> Trace:
    """Fly the nominal vehicle in gusts; the same number, 0 or above, brings the same gusts."""
    inputs = flights.inputs["nominal"]
    top = _SPARE * max(float(flights.nominal.positions_m[:, 2].max()), _LEAST_TOP_M)
    heights = np.arange(0.0, top + STEP_M, STEP_M)
    column = gust_column(heights, wind_at(inputs.air, _TWENTY_FEET_M), np.random.default_rng(number))
    return fly(replace(inputs, air=with_gusts(inputs.air, column)))
