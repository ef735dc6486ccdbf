"""Logs as good and as bad as real recorders keep them: what they resolve is told, and no more is made of it.

Ranges as data sheets of barometers and kept sets of readings have them, from memory: heights rated to 0.5 to
0.66 m and told in tenths, 20 rows a second that are 18 with gaps up to 0.6 s, tens of pascals of noise.
"""

import numpy as np
import pytest

from finial.logbook.notes import NoteKind
from finial.logbook.rehearsal import Sensors

RATED_M = 0.66
PASCAL_M = 0.083


def rises(trace):
    return trace.positions_m[:, 2].max() - trace.positions_m[0, 2]


def in_steps(log, step_pa):
    """The log's text with pressures that come in steps."""
    head, *lines = log.csv().splitlines()
    cells = [line.split(",") for line in lines]
    rows = [
        ",".join((one[0], f"{round(100.0 * float(one[1]) / step_pa) * step_pa / 100.0:.4f}", *one[2:]))
        for one in cells
    ]
    return "\n".join([head, *rows])


@pytest.mark.parametrize("rated_m", [0.5, RATED_M])
def test_heights_in_tenths_of_a_metre_tell_the_top_to_what_they_are_rated(told, rehearse, foreseen, rated_m):
    """Rated is taken for two deviations."""
    log = rehearse(Sensors(step_s=0.05, pressure_noise_pa=0.5 * rated_m / PASCAL_M, lag_s=0.0))
    found = told(in_steps(log, 0.1 / PASCAL_M))
    assert found.climb.heights_m.max() == pytest.approx(rises(foreseen.trace), abs=rated_m)


def test_readings_in_steps_are_never_known_better_than_their_step(told, rehearse):
    found = told(in_steps(rehearse(Sensors(pressure_noise_pa=0.01)), 10.0)).reading.sensed
    assert found.height_noise_m >= 10.0 * PASCAL_M / np.sqrt(12.0) * 0.98


@pytest.mark.parametrize("noise_pa", [10.0, 30.0, 60.0])
def test_tens_of_pascals_are_told_as_metres_of_noise(told, rehearse, noise_pa):
    found = told(rehearse(Sensors(pressure_noise_pa=noise_pa)).csv())
    assert found.reading.sensed.height_noise_m == pytest.approx(PASCAL_M * noise_pa, rel=0.15)


def test_twenty_rows_a_second_that_are_eighteen_with_a_gap_tell_the_same_flight(told, rehearse, foreseen):
    lines = rehearse(Sensors(step_s=0.05, pressure_noise_pa=8.0, gap_s=(7.0, 0.6))).csv().splitlines()
    kept = [lines[0], *(line for row, line in enumerate(lines[1:]) if row % 10 != 9)]
    found = told("\n".join(kept))
    assert found.reading.step_s == pytest.approx(0.05, abs=1e-6)
    assert len(kept) / len(lines) * 20.0 == pytest.approx(18.0, abs=0.1)
    (gap,) = [note for note in found.notes if note.kind is NoteKind.GAP]
    assert 0.55 <= gap.amount <= 0.75
    assert found.climb.heights_m.max() == pytest.approx(rises(foreseen.trace), abs=1.5)
