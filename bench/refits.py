"""Does a refit know how well it knows? Hundreds of rehearsed logs, each of a flight whose truth is known.

Drag, thrust, burn time, wind, canopies, delays and heights of an invented vehicle are drawn as widely as
they were known before, and so is what each recorder is off by: lag, drift, port, offsets and scales; some
logs have rows missing. Each log is refitted, and it is counted how often the stated intervals hold the
truth: the calibration curve, one row a level. An interval that is always right because it is wide is no
use: beside it stands how much of the doubt the log took.

Run ``python bench/refits.py`` (some minutes) or ``python bench/refits.py --small`` (a tenth of the flights).
"""

import json
import platform
import statistics
import sys
import time
from dataclasses import dataclass
from importlib.metadata import version

import numpy as np
from goals import Goal, absolute_time, judged, options, steady
from scipy.stats import norm

from finial.core.errors import FinialError
from finial.files.flight_log.read import FlightLog
from finial.flight.example import example_inputs
from finial.flight.fly import fly
from finial.flight.inputs import FlightInputs
from finial.flight.kernel import spread_layout as slots
from finial.flight.spread import BELL, Spread, either_way, whole_mass
from finial.flight.uncertain import Drawn, Uncertain
from finial.logbook.prediction import day_of
from finial.logbook.reading import reading
from finial.logbook.refit import OF_SENSORS, Refit, refit
from finial.logbook.rehearsal import RehearsedLog, Sensors, rehearsed
from finial.logbook.story import story
from finial.logbook.unknowns import Unknown, UnknownKind, changed_inputs, unknown_of, unknowns_of

FLIGHTS = 200
LEVELS = (0.5, 0.8, 0.9, 0.95, 0.99)
JUDGED = 0.9
WIND_M_S = 4.0
LEAST_HELD, MOST_HELD = 0.87, 0.97
"""Nine in ten, give or take what chance does to 1800 of them and a fit that is not quite linear."""
LEAST_FIXED = 0.6
REFIT_S = 2.0
DRAWS = (
    either_way(Uncertain(kind=Drawn.AXIAL_FORCE), slots.AXIAL_FACTOR, 0.2, base=1.0),
    either_way(Uncertain(kind=Drawn.IMPULSE), slots.THRUST_FACTOR, 0.08, base=1.0, shape=BELL),
    either_way(Uncertain(kind=Drawn.WIND), slots.WIND_SPEED, 2.0, base=WIND_M_S, shape=BELL),
    either_way(Uncertain(kind=Drawn.PRESSURE_CENTRE), slots.STATION_SHIFT, 0.02, base=0.0),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Tried:
    """One refit against its truth."""

    refit: Refit
    scores: dict[str, float]
    """Distance of the truth from what was found, in stated deviations."""
    seconds: float


def main(arguments: list[str]) -> int:
    asked = options(__doc__).parse_args(arguments)
    inputs = example_inputs()
    spread = Spread(draws=DRAWS, masses=whole_mass(inputs), wind_speed_m_s=WIND_M_S)
    unknowns = (*unknowns_of(inputs, spread), unknown_of(UnknownKind.CENTRE, 0.0, DRAWS[-1]))
    tried = [
        one_flight(seed, inputs, spread, unknowns)
        for seed in range(FLIGHTS // 10 if asked.small else FLIGHTS)
    ]
    record = counted(tried, unknowns)
    machine = {"python": platform.python_version(), "processor": platform.machine()}
    versions = {name: version(name) for name in ("numpy", "numba")}
    print(json.dumps({"machine": {**machine, **versions}, **record}, indent=1))
    return judged(goals(record, small=asked.small), asked)


def one_flight(
    seed: int, inputs: FlightInputs, spread: Spread, unknowns: tuple[Unknown, ...]
) -> Tried | None:
    """Draw a truth, fly it, let a recorder keep it, refit; ``None`` where that is refused."""
    chance = np.random.default_rng(seed)
    truth = {
        one.key: float(np.clip(chance.normal(one.value, one.sigma), one.low, one.high)) for one in unknowns
    }
    trace = fly(changed_inputs(inputs, truth, WIND_M_S))
    log = kept_by(
        rehearsed(trace, day_of(inputs), sensors(chance), seed),
        float(chance.normal(0.0, OF_SENSORS["rising air"])),
    )
    start = time.perf_counter()
    try:
        told = story(reading(log, day_of(inputs)), tilt_rad=inputs.rail.tilt_rad)
        found = refit((told,), inputs, spread)
    except FinialError as error:
        print(f"flight {seed}: {error}", file=sys.stderr)
        return None
    scores = {
        one.unknown.key: (truth[one.unknown.key] - one.after.value) / (one.sigma) for one in found.learnt
    }
    return Tried(refit=found, scores=scores, seconds=time.perf_counter() - start)


def sensors(chance: np.random.Generator) -> Sensors:
    """Draw a recorder as bad as the refit takes one to be; its drift is in pressure: 12 Pa are a metre."""
    return Sensors(
        pressure_noise_pa=float(chance.uniform(3.0, 15.0)),
        lag_s=abs(float(chance.normal(0.0, OF_SENSORS["lag"]))),
        drift_pa_s=12.0 * float(chance.normal(0.0, OF_SENSORS["drift"])),
        port_coefficient=float(chance.normal(0.0, OF_SENSORS["port"])),
        felt_noise_m_s2=float(chance.uniform(0.1, 0.6)),
        felt_offset_m_s2=float(chance.normal(0.0, OF_SENSORS["zero of the pushes"])),
        felt_scale=1.0 + float(chance.normal(0.0, OF_SENSORS["scale of the pushes"])),
        gap_s=(float(chance.uniform(0.5, 20.0)), 0.6) if chance.random() < 0.5 else None,
    )


def kept_by(log: RehearsedLog, rises_m_s: float) -> FlightLog:
    """The log as it would be read from its file; air that rises keeps it up on the way down."""
    count = len(log.times_s)
    top = int(np.argmin(log.pressures_pa))
    later = np.maximum(log.times_s - log.times_s[top], 0.0)
    falling = np.minimum(later, log.times_s[-1] - log.times_s[top] - 12.0)
    return FlightLog(
        file="rehearsed",
        lines=np.arange(2, count + 2),
        counts=log.times_s,
        wraps_at_s=None,
        pressure_pa=log.pressures_pa - 12.0 * rises_m_s * falling,
        height_m=None,
        felt_m_s2=log.felt_m_s2,
        felt_range_m_s2=500.0,
        turning_rad_s=log.turning_rad_s,
    )


def counted(tried: list[Tried | None], unknowns: tuple[Unknown, ...]) -> dict:
    """Count how often each level holds, over all numbers and for each."""
    done = [one for one in tried if one is not None]
    # A flight whose swings do not stand clear tells nothing of the centre.
    scores = [[one.scores.get(each.key, np.nan) for each in unknowns] for one in done]
    every = np.abs(np.array(scores))
    told = np.isfinite(every)
    reach = {level: float(norm.ppf(0.5 + 0.5 * level)) for level in LEVELS}
    fixed = {
        one.key: statistics.median(
            learnt.fixed for found in done if (learnt := found.refit.of(one.kind, one.canopy)) is not None
        )
        for one in unknowns
    }
    return {
        "flights": len(tried),
        "refused": len(tried) - len(done),
        "curve": {str(level): float((every < reach[level])[told].mean()) for level in LEVELS},
        "at_nine_in_ten": {
            one.key: float((every[:, index] < reach[JUDGED])[told[:, index]].mean())
            for index, one in enumerate(unknowns)
        },
        "doubt_taken": fixed,
        "misfit": statistics.median(one.refit.misfit for one in done),
        "seconds": statistics.median(one.seconds for one in done),
    }


def goals(record: dict, *, small: bool) -> list[Goal]:
    held = record["curve"][str(JUDGED)]
    # A tenth of the flights leaves chance more room.
    room = 0.05 if small else 0.0
    return [
        steady("truths inside intervals of 90 %", held, "at least", LEAST_HELD - room),
        steady("truths inside intervals of 90 %, not by being wide", held, "at most", MOST_HELD + 0.5 * room),
        steady(
            "doubt about the drag that a log takes", record["doubt_taken"]["drag"], "at least", LEAST_FIXED
        ),
        steady("logs refused", record["refused"], "at most", 0.02 * record["flights"]),
        absolute_time("a log told and refitted", record["seconds"], REFIT_S, " s"),
    ]


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
