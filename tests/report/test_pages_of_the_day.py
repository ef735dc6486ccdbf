"""Whole pages of a day on the field and of flights kept, each read once against its scene."""

import json
import math
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from report import scenes_by_hand
from report import studies_by_hand as studies
from report.as_drawn import BOTH, page, same_as_told, text
from report.kit_by_hand import map_by_hand

from finial.assemble.mass.results import WholeWeighed
from finial.campaign.landing import Ellipse
from finial.core.dimensions import Dimension
from finial.core.together import PooledMean
from finial.files.geojson import MarkKind
from finial.findings.field_map import FieldMap
from finial.findings.finding import Finding, Moved, Verdict
from finial.findings.latest_wind import LatestWind
from finial.findings.readiness import Readiness
from finial.findings.today import Read, Today
from finial.logbook.several import Counted, NumberByAll, NumberByOne, NumberTold
from finial.range_safety.hazards import OnMark
from finial.range_safety.leaning import Lean
from finial.report.field_map_text import field_map_json, field_map_lines
from finial.report.logbook_text import logbook_section
from finial.report.shown import Shown
from finial.report.today_text import read_sections, today_section

scenes: Any = scenes_by_hand
HERE = Path(__file__).parent / "drawn"
METRIC, US = Shown(us_units=False), Shown(us_units=True)
guess = studies.guess


def map_of_day(us_units: bool, failing: Finding) -> tuple[FieldMap, FieldMap, FieldMap]:
    whole = map_by_hand("small field", us_units=us_units)
    ellipse = Ellipse(
        nominal=0.95,
        held=0.925,
        kurtosis=3.0,
        centre_m=(300.0, 400.0),
        half_axes_m=(60.0, 20.0),
        bearing_rad=math.pi / 6,
    )
    marks = (
        OnMark(kind=MarkKind.ROAD, name="", count=2, flights=400, low=0.001, high=0.018, bare=11),
        OnMark(kind=MarkKind.BUILDING, name="barn", count=0, flights=400, low=0.0, high=0.009, bare=0),
    )
    leans = (
        Lean(tilt_rad=0.1, toward_rad=3.9, clearance_m=300.0),
        Lean(tilt_rad=0.0, toward_rad=0.0, clearance_m=-20.0),
        Lean(tilt_rad=0.1, toward_rad=1.0, clearance_m=200.0),
        Lean(tilt_rad=0.05, toward_rad=2.0, clearance_m=-math.inf),
    )
    wind = LatestWind(
        wind_m_s=5.0, tolerance_m_s=0.0, in_a_calm=(failing,), then_fails=(failing, failing), most_m_s=8.94
    )
    other = replace(
        whole,
        drawn=replace(whole.drawn, ellipse=ellipse),
        on_marks=marks,
        leans=leans,
        own_clearance_m=45.0,
        tops=None,
        wind=wind,
    )
    bare = replace(whole, leans=(), on_marks=(), own_clearance_m=math.inf)
    return whole, other, bare


@BOTH
def test_a_map_of_the_day_says_where_to_walk_and_how_to_lean(
    us_units: bool, us: str, readiness: Readiness
) -> None:
    told = [text(field_map_lines(one)) for one in map_of_day(us_units, readiness.findings[0])]
    same_as_told("\n".join(told), HERE / f"map-of-day{us}.txt")


def test_a_map_of_the_day_is_plain_numbers_too(readiness: Readiness) -> None:
    whole, other, _ = map_of_day(False, readiness.findings[0])
    first, second = (json.loads(field_map_json(one, readiness))["map"] for one in (whole, other))
    assert (first["walk_m"], first["walk_bearing_rad"]) == pytest.approx(
        (math.hypot(*whole.drawn.landings_m.mean(axis=0)), math.atan2(300.0, 405.0)), rel=1e-2
    )
    assert (first["without_canopy_95_m"], first["tops_99_s"], second["tops_99_s"]) == (250.0, 10.0, None)
    assert [one["clearance_m"] for one in second["leans"]] == [300.0, -20.0, 200.0, None]
    assert (first["own_clearance_m"], first["flights"], first["people_minimum_m"]) == (-12.0, 4, 61.0)
    assert first["ellipse"] is None
    assert second["wind"] == {
        "latest_m_s": 5.0,
        "tolerance_m_s": 0.0,
        "fails_in_a_calm": [readiness.findings[0].key],
        "then_fails": [readiness.findings[0].key] * 2,
        "code_most_m_s": 8.94,
    }
    assert [(one["count"], one["bare"]) for one in second["on_marks"]] == [(2, 11), (0, 0)]


@BOTH
def test_today_stands_beside_the_sheet_with_what_was_read_and_weighed(
    us_units: bool, us: str, readiness: Readiness
) -> None:
    shown = Shown(us_units=us_units)
    finding = readiness.findings[0]
    moved: dict[str, Any] = {"key": finding.key, "subject": finding.subject, "facts": finding.facts}
    whole = WholeWeighed(
        mass=guess(3.7, 3.69, 3.71),
        table_mass=guess(3.69, 3.6, 3.8),
        balance=guess(0.5, 0.498, 0.502),
        table_balance=guess(0.48, 0.47, 0.49),
    )
    now = replace(
        readiness,
        mass=replace(readiness.mass, weighed=whole, lift_off_mass=guess(5.4, 5.3, 5.5)),
        stability=readiness.stability[:1],
    )
    found = Today(
        sheet=readiness,
        today=now,
        moved=(
            Moved(was=Verdict.GO, now=Verdict.NO_GO, dimension=None, less=None, **moved),
            Moved(was=Verdict.GO, now=Verdict.GO, dimension=Dimension.LENGTH, less=0.012, **moved),
            Moved(was=Verdict.GO, now=Verdict.GO, dimension=None, less=None, **moved),
        ),
        read=(
            Read(place=("launch", "wind"), by_sheet="3 m/s", today="5 m/s"),
            Read(place=("weighing", "scales"), by_sheet=None, today=[{"at": "0 mm", "mass": "2 kg"}, "x"]),
            Read(place=("launch", "other"), by_sheet=1, today=2),
        ),
    )
    hung = replace(now, mass=replace(now.mass, weighed=replace(whole, balance=None)), stability=())
    told = [
        page(today_section(found, shown), *read_sections(found, shown)),
        page(*read_sections(replace(found, today=hung), shown)),
        page(today_section(replace(found, today=hung, moved=()), shown)),
    ]
    assert len(list(read_sections(replace(found, today=readiness), shown))) == 1
    same_as_told("\n".join(told), HERE / f"today{us}.txt")


@BOTH
def test_kept_flights_stand_beside_their_mean_and_the_next(us_units: bool, us: str) -> None:
    told: dict[NumberTold, tuple[str, float, float]] = {
        "drag": ("", 1.1, 0.05),
        "canopy": ("main", 3.0, 0.2),
        "delay": ("main", 0.4, 0.1),
        "height": ("main", 150.0, 5.0),
        "centre": ("", -0.02, 0.005),
        "friction": ("", 0.2, 0.04),
    }
    joints = tuple(
        NumberByAll(
            what=what,
            canopy=canopy,
            flights=tuple(
                Counted(flight=flight, told=NumberByOne(what=what, value=by * value, sigma=sigma))
                for flight, by in (("first", 1.0), ("second", 1.05))
            ),
            together=PooledMean(mean=1.02 * value, mean_sigma=sigma / 2, scatter=sigma, next_sigma=2 * sigma),
        )
        for what, (canopy, value, sigma) in told.items()
    )
    same_as_told(page(logbook_section(joints, Shown(us_units=us_units))), HERE / f"logbook{us}.txt")
