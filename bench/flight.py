"""How fast is one flight against SciPy's RK45 and LSODA on the same physics, at the same landing error?

Run ``python bench/flight.py`` (``--small`` for a quick look that still asserts agreement). Prints
one JSON record: median and spread of each way, ratios from the same run, and the error beside
each time. Absolute times mean little on a shared machine; compare the ratios.
"""

import importlib.util
import json
import math
import platform
import statistics
import sys
import time
from dataclasses import replace
from pathlib import Path

import numba
import numpy as np
import scipy
from goals import judged, options, ratio, steady

from finial.flight.example import example_air, example_inputs
from finial.flight.fly import fly_stepping, make_ready
from finial.flight.kernel import layout
from finial.flight.kernel.motion import slopes
from finial.flight.kernel.run import run
from finial.flight.packing.pack import Stepping, packed

_spec = importlib.util.spec_from_file_location("plain_flight", Path(__file__).parent / "plain_flight.py")
plain_flight = importlib.util.module_from_spec(_spec)
_spec.loader.exec_module(plain_flight)

TOLERANCES = (1e-4, 1e-5)
SCIPY_TOLERANCES = (1e-3, 1e-4, 1e-5, 1e-6, 1e-7)
SCIPY_METHODS = ("RK45", "LSODA")
TIMES_FASTER_GOAL, TIMES_FASTER_WHEN_SMALL = 100.0, 25.0
AGREEMENT_GOAL_M = 1e-5
LANDING_GOALS_M = {"0.0001": 0.03, "1e-05": 0.01}
"""As docs/methods-flight.md tells: in 1 to 8 m/s of wind, against the core at 1e-11."""


def cases(count):
    """Flights of the invented vehicle in winds and tilts that differ."""
    base = example_inputs()
    return [
        replace(
            base,
            air=example_air(1.0 + 7.0 * index / max(count - 1, 1)),
            rail=replace(base.rail, tilt_rad=math.radians(1.0 + index), bearing_rad=0.7 * index),
        )
        for index in range(count)
    ]


class Compiled:
    """The core's own right-hand side behind SciPy's calls."""

    def __init__(self, flight):
        self.flight = flight
        self.record = packed(flight.inputs, Stepping())
        self.work = np.zeros(layout.N_WORK)
        ints, pool = self.record.ints, self.record.pool
        self.knots = pool[ints[layout.AT_BURN] :: layout.BURN_COLUMNS][: ints[layout.N_KNOTS]]

    def __call__(self, when, state, phase):
        """Rates of the state."""
        self.flight.evaluations += 1
        ints, work = self.record.ints, self.work
        ints[layout.PHASE] = phase
        ints[layout.SEGMENT] = np.searchsorted(self.knots, when, side="right") - 1
        for canopy, out, full in self.flight.filling:
            at = layout.CANOPY_TIMES + 3 * self.flight.inputs.canopies.index(canopy)
            work[at : at + 3] = out, full, 2.0 if when < full else 3.0
        return np.concatenate(slopes(when, tuple(state), ints, self.record.pool, self.record.table, work))


def timed(function, runs):
    """Median and spread of several runs [s], after one that does not count."""
    function()
    spans = []
    for _ in range(runs):
        begin = time.perf_counter()
        function()
        spans.append(time.perf_counter() - begin)
    return {"median_ms": 1e3 * statistics.median(spans), "spread_ms": 1e3 * (max(spans) - min(spans))}


def kernel_alone(inputs, tolerance):
    """The core without packing and unpacking, as a campaign runs it."""
    record = packed(inputs, Stepping(tolerance=tolerance, samples=2))
    work, rates = np.zeros(layout.N_WORK), np.zeros(layout.N_RATES)
    rows = np.empty((0, layout.ROW_COLUMNS))
    log = np.empty((layout.LOG_ROWS, layout.LOG_COLUMNS))
    return lambda: run(record.ints, record.pool, record.table, work, rates, rows, log)


def landing_errors(flights, landings, fly):
    """Largest distance between the landing points and those of the reference [m]."""
    return max(float(np.hypot(*(fly(one) - there))) for one, there in zip(flights, landings, strict=True))


def scipy_landing(inputs, rtol, method, rates=None):
    """Landing point by one of SciPy's methods."""
    result = plain_flight.fly_plainly(inputs, rtol=rtol, method=method, rates=rates)
    return result.events["ground"][1][:2]


def our_landing(inputs, tolerance, samples=4):
    """Landing point by the core."""
    return fly_stepping(inputs, Stepping(tolerance=tolerance, samples=samples)).positions_m[-1, :2]


def scipy_rows(method, flights, landings, enough, runs):
    """Error and time of one of SciPy's methods, from loose to tight until it lands well enough."""
    rows = {}
    for rtol in SCIPY_TOLERANCES:
        error = landing_errors(
            flights, landings, lambda one, at=rtol: scipy_landing(one, at, method, Compiled)
        )
        rows[f"{rtol:g}"] = {
            "landing_error_m": error,
            "plain": timed(lambda at=rtol: scipy_landing(flights[0], at, method), runs),
            "compiled": timed(lambda at=rtol: scipy_landing(flights[0], at, method, Compiled), runs),
        }
        if error <= enough:
            break
    return rows


def measure(count, runs):
    """Fill the record."""
    make_ready()
    flights = cases(count)
    landings = [our_landing(one, 1e-11) for one in flights]
    agreement = landing_errors(
        flights[:1], landings[:1], lambda one: plain_flight.fly_plainly(one).events["ground"][1][:2]
    )
    ours = {}
    for tolerance in TOLERANCES:
        error = landing_errors(flights, landings, lambda one, at=tolerance: our_landing(one, at, 2))
        ours[f"{tolerance:g}"] = {
            "landing_error_m": error,
            "kernel": timed(kernel_alone(flights[0], tolerance), 10 * runs),
            "with_trace": timed(lambda at=tolerance: our_landing(flights[0], at), 10 * runs),
        }
    enough = min(row["landing_error_m"] for row in ours.values())
    scipys = {method: scipy_rows(method, flights, landings, enough, runs) for method in SCIPY_METHODS}
    return {
        "question": "one flight and two canopies against SciPy's RK45 and LSODA at the same landing error",
        "machine": platform.processor() or platform.machine(),
        "python": platform.python_version(),
        "numpy": np.__version__,
        "scipy": scipy.__version__,
        "numba": numba.__version__,
        "flights_for_error": count,
        "plain_python_agrees_within_m": agreement,
        "ours": ours,
        "scipy_runs": scipys,
        "ratios": {method: ratios(ours, rows) for method, rows in scipys.items()},
    }


def ratios(ours, scipys):
    """How many times faster the core is than the loosest SciPy run that lands as well as it does."""
    answer = {}
    for tolerance, row in ours.items():
        good = [other for other in scipys.values() if other["landing_error_m"] <= row["landing_error_m"]]
        other = good[0] if good else list(scipys.values())[-1]
        answer[tolerance] = {
            "plain_over_kernel": other["plain"]["median_ms"] / row["kernel"]["median_ms"],
            "compiled_over_kernel": other["compiled"]["median_ms"] / row["kernel"]["median_ms"],
            "plain_over_with_trace": other["plain"]["median_ms"] / row["with_trace"]["median_ms"],
            "scipy_lands_as_well": bool(good),
        }
    return answer


def goals(record):
    """Agreement of two flights written apart, landing errors, and the ratio to RK45 in Python."""
    agreement = record["plain_python_agrees_within_m"]
    found = [steady("plain flight and core land apart by", agreement, "at most", AGREEMENT_GOAL_M, " m")]
    for at, row in record["ours"].items():
        error, limit = row["landing_error_m"], LANDING_GOALS_M[at]
        found.append(steady(f"landing error at {at}", error, "at most", limit, " m"))
    for at, row in record["ratios"]["RK45"].items():
        what = f"RK45 in plain Python over the kernel at {at}, same landing error"
        faster = row["plain_over_kernel"]
        found.append(ratio(what, faster, "at least", TIMES_FASTER_GOAL, TIMES_FASTER_WHEN_SMALL))
    return found


def main():
    given = options(__doc__).parse_args()
    record = measure(2, 2) if given.small else measure(8, 7)
    print(json.dumps(record, indent=2))
    return judged(goals(record), given)


if __name__ == "__main__":
    sys.exit(main())
