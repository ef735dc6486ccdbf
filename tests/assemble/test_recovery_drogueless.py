"""Drogue-less: the lighthouse parts at the top, falls tumbling, and its main opens at a height."""

import math
from dataclasses import replace
from pathlib import Path

import pytest

import finial.assemble.recovery.pulls as pulls
import finial.assemble.recovery.study as study_module
import finial.assemble.recovery.zipper as zipper
from finial.assemble.flights.parted import parted_area, parts_bare
from finial.assemble.looks.answer import StageResults, answer
from finial.assemble.recovery.records import Happening, RecoveryStudy
from finial.assemble.recovery.study import recovery_study
from finial.assemble.vehicle.loading import load_vehicle
from finial.files.sheet_recovery import EventEntry
from finial.findings.finding import Verdict
from finial.findings.limits import Limits
from finial.findings.rules.recovery_rules import recovery_findings
from finial.flight.fly import make_ready
from finial.flight.trace import EventKind
from finial.report.finding_words import METRIC
from finial.report.recovery_words import kind_words, order_notes

SKERRY = Path(__file__).parents[2] / "examples" / "skerry-light" / "skerry-light.toml"
HEIGHT_M = 150.0


@pytest.fixture(scope="module")
def found() -> StageResults:
    make_ready()
    vehicle = load_vehicle(SKERRY, lambda _note: None)
    recovery = vehicle.sheet.recovery
    late = EventEntry.model_validate({"falling_through": f"{HEIGHT_M} m"})
    main = recovery.canopy[0].model_copy(update={"event": late})
    given = recovery.model_copy(update={"canopy": (main,)})
    assert parts_bare(given)
    assert not parts_bare(recovery)
    return answer(replace(vehicle, sheet=vehicle.sheet.model_copy(update={"recovery": given})))


@pytest.fixture(scope="module")
def study(found) -> RecoveryStudy:
    patch = pytest.MonkeyPatch()
    patch.setattr(study_module, "OFFSETS_S", (0.0, 2.0))
    patch.setattr(zipper, "TRIED_S", (0.0, 2.0))
    patch.setattr(pulls, "FOLLOWED_S", 2.5)
    made = recovery_study(found.basis, found.recovery, lambda _note: None)
    patch.undo()
    return made


def test_it_falls_at_the_speed_at_which_drag_is_weight(found) -> None:
    """Steady fall of a mass on a drag area; air of the day at the height of the main, about 1.14 kg/m3."""
    trace = found.flights.nominal
    out = trace.event(EventKind.OUT, "main")
    assert out is not None
    fall = -float(trace.velocities_m_s[trace.times_s <= out.time_s][-1, 2])
    area, mass = parted_area(found.vehicle).value, found.recovery.descent_mass_kg
    assert fall == pytest.approx(math.sqrt(2 * mass * 9.80665 / (1.14 * area)), rel=0.03)
    assert out.height_agl_m == pytest.approx(HEIGHT_M, abs=0.6 * fall)


def test_the_main_opens_at_that_speed_and_over_the_doubt_of_the_drag(found) -> None:
    (main,) = found.recovery.canopies
    fall = found.recovery.tumbling_speed
    assert fall is not None
    assert main.opening_speed_m_s == pytest.approx(fall.value, rel=0.1)
    assert main.opening_load.value > 250.0
    assert fall.low < fall.value < fall.high
    assert main.descent_speed.value < 4.5


def test_the_opening_is_judged_against_the_cord(found) -> None:
    judged = recovery_findings(found.recovery, Limits(own={}))
    opening = next(one for one in judged if one.key == "opening-load" and one.subject.name == "main")
    assert opening.value is not None
    assert opening.value.value == found.recovery.canopies[0].opening_load.value
    assert opening.verdict is not Verdict.GO or opening.value.high < 1779.0


def test_the_time_line_names_it(study) -> None:
    kinds = [row.kind for row in study.order.rows]
    assert kinds.index(EventKind.APOGEE) < kinds.index(Happening.TUMBLES) < kinds.index(EventKind.OUT)
    assert kinds.index(EventKind.OUT) < kinds.index(EventKind.GROUND)
    assert {row.name for row in study.order.rows if row.kind is EventKind.OUT} == {"main"}
    assert study.order.parts_bare
    assert "drogue-less" in kind_words(study.order)


def test_its_notes_tell_the_fall_and_the_opening_out_of_it(study, found) -> None:
    notes = " ".join(order_notes(study.order, found.recovery, METRIC))
    assert "falls tumbling at" in notes
    assert "main opens out of that fall" in notes


def test_the_cord_is_followed_from_the_top_where_the_joint_opens(study) -> None:
    (tether,) = study.tethers
    assert {case.offset_s for case in tether.cases} == {0.0, 2.0}
