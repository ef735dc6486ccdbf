"""A drogue at the top and a main further down, with everything a sheet can say of a recovery."""

from dataclasses import replace
from pathlib import Path

import pytest

import finial.assemble.recovery.pulls as pulls
import finial.assemble.recovery.study as study_module
import finial.assemble.recovery.zipper as zipper
from finial.assemble.recovery.records import RecoveryStudy, ShotPurpose, ShotSaid
from finial.assemble.recovery.results import PackDoubtKind, PullKind
from finial.assemble.vehicle.canopies import drag_area
from finial.assemble.vehicle.loading import load_vehicle
from finial.core.estimates import KnownBy
from finial.files.sheet_recovery import ElectronicsEntry, RecoveryEntry
from finial.findings.check import readiness
from finial.findings.readiness import Readiness
from finial.flight.fly import make_ready
from finial.report.cord_words import cord_notes
from finial.report.finding_words import METRIC
from finial.report.pictures.recovery_pictures import recovery_pictures
from finial.report.recovery_text import recovery_lines
from finial.report.recovery_words import event_words, kind_words

SKERRY = Path(__file__).parents[2] / "examples" / "skerry-light" / "skerry-light.toml"

TWO_EVENTS = RecoveryEntry.model_validate(
    {
        "joint": [
            {
                "name": "top joint",
                "station": "295 mm",
                "pins": {"screw": "M2 nylon", "count": 2},
                "shoulder": "40 mm",
            },
            {"name": "mid joint", "station": "700 mm"},
        ],
        "bay": [
            {
                "name": "top bay",
                "joint": "top joint",
                "stations": ["300 mm", "640 mm"],
                "diameter": "76 mm",
                "round_tube": True,
                "wall": "1.5 mm",
                "material": "G10",
                "vent_area": "12 mm2",
                "mouth": "60 mm",
                "lip": {
                    "edge_radius": "1 mm",
                    "ring": {"wall": "3 mm", "edge_radius": "5 mm", "material": "6061-T6"},
                    "pull_test": {"tension": "900 N +- 90 N", "bend": "90 deg"},
                },
            },
            {
                "name": "mid bay",
                "joint": "mid joint",
                "stations": ["705 mm", "850 mm"],
                "diameter": "70 mm",
                "round_tube": True,
            },
        ],
        "canopy": [
            {
                "name": "main",
                "bay": "top bay",
                "kind": "flat circular",
                "diameter": "3.5 m",
                "diameter_measures": "nominal",
                "event": {"falling_through": "200 m"},
                "mass": "300 g",
                "station": "400 mm",
                "reefing": "slider",
                "protector": "40 g",
                "line_length": "3.8 m",
                "drop_test": {"mass": "6 kg", "speed": "3.8 m/s +- 0.2 m/s", "temperature": "20 degC"},
            },
            {
                "name": "drogue",
                "bay": "mid bay",
                "kind": "cross",
                "diameter": "0.6 m",
                "diameter_measures": "nominal",
                "drag_area": "0.2 m2",
                "event": "apogee",
                "mass": "60 g",
                "station": "760 mm",
            },
        ],
        "cord": [
            {
                "name": "main cord",
                "joint": "top joint",
                "material": "nylon webbing 1000 lbf",
                "length": "10 m",
            },
            {"name": "drogue cord", "joint": "mid joint", "material": "tubular nylon 14 mm", "length": "5 m"},
        ],
        "charge": [
            {
                "name": "main charge",
                "bay": "top bay",
                "powder": "0.9 g",
                "event": {"falling_through": "200 m"},
                "ground_test": [
                    {"powder": "0.9 g", "parted": True, "speed": "4.2 m/s"},
                    {"powder": "0.5 g", "parted": False},
                ],
            },
            {"name": "drogue charge", "bay": "mid bay", "powder": "0.5 g", "event": "apogee"},
        ],
    }
)


@pytest.fixture(scope="module")
def look() -> Readiness:
    patch = pytest.MonkeyPatch()
    patch.setattr(study_module, "OFFSETS_S", (-2.0, 0.0, 2.0))
    patch.setattr(zipper, "TRIED_S", (0.0, 2.0))
    patch.setattr(pulls, "FOLLOWED_S", 2.5)
    make_ready()
    vehicle = load_vehicle(SKERRY, lambda _note: None)
    sheet = vehicle.sheet.model_copy(update={"recovery": TWO_EVENTS, "electronics": ElectronicsEntry()})
    found = readiness(replace(vehicle, sheet=sheet))
    patch.undo()
    return found


@pytest.fixture
def study(look: Readiness) -> RecoveryStudy:
    return look.recovery_study


def test_both_events_stand_in_the_order_and_the_joints_are_named_by_their_place(study) -> None:
    assert (study.order.events, study.order.parts_bare) == (2, False)
    assert kind_words(study.order) == "two events; top joint, head-end; mid joint, mid-body"
    names = [event_words(row, METRIC) for row in study.order.rows]
    assert names.index("drogue charge fires (apogee)") < names.index(
        "main charge fires (falling through 200 m)"
    )


def test_under_the_drogue_the_main_opens_at_the_drogues_speed_whatever_the_time(study) -> None:
    main = next(tether for tether in study.tethers if tether.cord == "main cord")
    drogue = next(canopy for canopy in study.canopies if canopy.name == "drogue")
    assert {case.offset_s for case in main.cases} == {0.0}
    assert all(case.speed_m_s == pytest.approx(drogue.descent_speed.value) for case in main.cases)
    assert main.hangs
    assert any("hangs under an earlier canopy" in note for note in cord_notes(main, METRIC))


def test_the_first_event_is_followed_early_and_late(study) -> None:
    drogue = next(tether for tether in study.tethers if tether.cord == "drogue cord")
    assert {case.offset_s for case in drogue.cases} == {-2.0, 0.0, 2.0}
    assert drogue.lip is None
    assert all(case.margin is None for case in drogue.cases)


def test_the_pull_test_stands_for_the_strength_of_the_ringed_lip(study) -> None:
    main = next(tether for tether in study.tethers if tether.cord == "main cord")
    assert main.lip.tested
    assert main.lip.holds_square.value == pytest.approx(900.0)
    assert main.lip.holds_square.known_by is KnownBy.MEASURED
    assert (main.lip.ring, main.lip.material, main.lip.edge_as_cut) == (True, "6061-T6", False)


def test_drop_test_and_makers_area_go_before_kind_and_diameter() -> None:
    main, drogue = TWO_EVENTS.canopy
    density = 101_325.0 / (287.05287 * 293.15)
    assert drag_area(main).value == pytest.approx(2 * 6.0 * 9.80665 / (density * 3.8**2))
    assert drag_area(main).known_by is KnownBy.MEASURED
    assert drag_area(drogue).value == pytest.approx(0.2)


def test_ground_tests_say_what_they_changed_and_set_the_speed(study) -> None:
    burst = next(one for one in study.bursts if one.bay == "top bay")
    assert burst.shots[0].speed.value == pytest.approx(4.2, rel=0.05)
    share, shut = burst.tested
    assert (share.said, share.powder_kg, share.speed_m_s) == (ShotSaid.POWDER_SHARE, 0.9e-3, 4.2)
    assert share.share is not None
    assert (shut.said, shut.powder_kg, shut.share) == (ShotSaid.HOLDS_AT_LEAST, 0.5e-3, None)
    planned = [(shot.purpose, shot.powder_kg / burst.plan[0].powder_kg) for shot in burst.plan]
    assert planned[:3] == [(ShotPurpose.AS_FLOWN, 1.0), (ShotPurpose.AGAIN, 1.0), (ShotPurpose.LESS, 0.8)]


def test_a_mouth_narrower_than_the_pack_is_doubted_and_a_protector_is_not_missed(study) -> None:
    pack = next(one for one in study.packs if one.bay == "top bay")
    assert not pack.comes_out
    doubts = {doubt.kind: doubt for doubt in pack.doubts}
    assert doubts[PackDoubtKind.NARROW_MOUTH].number == 0.06
    assert PackDoubtKind.NO_PROTECTOR not in doubts


def test_pins_of_the_later_bay_bear_the_drogues_opening(study) -> None:
    pins = next(one for one in study.pins if one.bay == "top bay")
    assert [(pull.kind, pull.canopy) for pull in pins.pulls] == [
        (PullKind.DRAG, ""),
        (PullKind.SPRINGBACK, ""),
        (PullKind.OPENING, "drogue"),
        (PullKind.TRAPPED_AIR, ""),
    ]
    holding = [other for other in pins.others if other.screw == "M2 nylon"]
    assert holding[0].count >= 2


def test_pins_are_judged_once_for_each_bay_and_their_absence_too(look) -> None:
    judged = {one.subject.name: one for one in look.findings if one.key == "pins-hold"}
    assert set(judged) == {"top bay", "mid bay"}
    assert "no-pins" in judged["mid bay"].reasons
    assert judged["mid bay"].fails


def test_text_and_pictures_stand_for_both_cords(look) -> None:
    text = "\n".join(line.text for line in recovery_lines(look))
    assert "Does main cord cut the tube" in text
    assert "Does drogue cord cut the tube" in text
    assert "a pull test" in text
    assert {"tension-1.svg", "tension-2.svg", "zipper-1.svg", "pressure-1.svg"} <= set(
        recovery_pictures(look)
    )
