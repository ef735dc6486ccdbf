"""How late an event may come: a second at least, more where the sheet says so, and what that does."""

import math
from dataclasses import replace

import numpy as np
import pytest

from finial.assemble.looks.answer import answer
from finial.assemble.recovery.moments import late_s, recovery_moments
from finial.core.units import Dimension, Quantity, parse_quantity
from finial.files.sheet_scatter import ScatterEntry
from finial.findings.limits import Limits
from finial.findings.rules.recovery_study_rules import study_findings


def scattered(vehicle, **scatter):
    sheet = vehicle.sheet.model_copy(update={"scatter": ScatterEntry.model_validate(scatter)})
    return replace(vehicle, sheet=sheet)


def delayed(vehicle, text: str):
    delay = parse_quantity(text, Dimension.TIME)
    canopies = (vehicle.sheet.recovery.canopy[0].model_copy(update={"delay": delay}),)
    recovery = vehicle.sheet.recovery.model_copy(update={"canopy": canopies})
    return replace(vehicle, sheet=vehicle.sheet.model_copy(update={"recovery": recovery}))


@pytest.mark.parametrize(
    ("given", "late"), [({}, 1.0), ({"event_delay": "0.5 s"}, 1.0), ({"event_delay": "3 s +- 1 s"}, 4.0)]
)
def test_the_sheet_s_own_lateness_counts_and_a_second_at_least(lighthouse, given, late: float) -> None:
    assert late_s(scattered(lighthouse, **given).sheet) == late


def test_so_does_the_tolerance_of_a_canopy_s_delay(lighthouse) -> None:
    vehicle = delayed(scattered(lighthouse), "0.5 s +- 2 s")
    assert isinstance(vehicle.sheet.recovery.canopy[0].delay, Quantity)
    assert late_s(vehicle.sheet) == 2.0


@pytest.mark.parametrize("late", [1.0, 5.0])
def test_free_fall_adds_to_the_speed_at_which_a_canopy_opens(lighthouse, late: float) -> None:
    vehicle = scattered(lighthouse, event_delay=f"{late} s")
    speed = recovery_moments(answer(vehicle).basis).out_speed_m_s["main"]
    across = math.sqrt(speed.high**2 - (9.80665 * late) ** 2)
    # What is left without the fall is the flight's own speed, in the day's wind or the strongest.
    assert speed.value <= across * 1.0001 <= max(20.0, 3 * speed.value)
    slow = recovery_moments(answer(scattered(lighthouse)).basis).out_speed_m_s["main"]
    assert speed.high**2 - slow.high**2 == pytest.approx(9.80665**2 * (late**2 - 1.0), abs=1e-6)


def test_a_study_counts_later_cases_as_on_time_where_the_sheet_does(lighthouse) -> None:
    from finial.findings.check import readiness

    study = readiness(lighthouse).recovery_study
    assert study is not None
    assert study.late_s == 1.0
    (tether,) = study.tethers
    (burst,) = study.bursts
    assert tether.parting_m_s.high == max(shot.speed.high for shot in burst.shots)
    assert tether.parting_m_s.value == burst.shots[0].speed.value

    def on_time(late: float) -> float:
        found = study_findings(replace(study, late_s=late), Limits(own={}))
        lips = [one for one in found if one.key == "lip-holds" and one.subject.case == "on-time"]
        return lips[0].value.low

    every = 1 + min(case.margin_low for case in (*tether.cases, *tether.spread))
    assert on_time(5.0) == pytest.approx(every)
    assert on_time(1.0) > on_time(5.0)
    followed = tether.followed
    assert followed is not None
    on_time, worst = followed.cases
    assert (on_time.offset_s, on_time.wind) == (0.0, "day")
    assert worst.offset_s == min(tether.cases, key=lambda case: case.margin_low).offset_s
    for case in followed.cases:
        for number, line in enumerate(followed.lines):
            assert slack_where_short(case, number, line)


def slack_where_short(case, number: int, line) -> bool:
    """A cord that is tied outside pulls only while its ends are farther apart than it is long."""
    if line.mouth is not None:
        return True
    ends = []
    for tie in (line.first, line.second):
        angle = case.angles_rad[:, tie.piece]
        along = np.column_stack([np.cos(angle), np.sin(angle)]) * tie.along_m
        ends.append(case.places_m[:, tie.piece] + along)
    apart = np.linalg.norm(ends[0] - ends[1], axis=1)
    pulls = case.tensions_n[:, number] > 0.0
    clear = np.abs(apart - line.length_m) > 1e-3
    return bool(pulls.any() and (pulls[clear] == (apart[clear] > line.length_m)).mean() > 0.99)
