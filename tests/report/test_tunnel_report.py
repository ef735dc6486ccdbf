"""Tunnel and sections side by side: what stands in the tables, the notes and the pictures."""

import math
from dataclasses import replace
from xml.etree import ElementTree

import pytest

from finial.assemble.air.results import StudyState, TunnelBeside, TunnelRow
from finial.core.estimates import Estimate, KnownBy
from finial.findings.finding import Verdict
from finial.findings.limits import Limits
from finial.findings.rules.air_rules import air_findings
from finial.report.contents import contents
from finial.report.finding_words import why
from finial.report.pictures.tunnel_places import has_places, tunnel_places
from finial.report.sections.tunnel import tunnel_section
from finial.report.sections.tunnel_ranking import ranking_section
from finial.report.shown import Shown
from finial.report.stages import stage_sections
from finial.report.tunnel_text import duration

METRIC, LIMITS = Shown(us_units=False), Limits(own={})


def about(value: float, half: float) -> Estimate:
    return Estimate(value=value, low=value - half, high=value + half, known_by=KnownBy.COMPUTED)


def row(angle_deg: float = 10.0, place_m: float | None = 0.70, **other) -> TunnelRow:
    told = {
        "angle_rad": math.radians(angle_deg),
        "roll_rad": 0.0,
        "force": about(0.5, 0.05),
        "place": None if place_m is None else about(place_m, 0.01),
        "axial": about(0.8, 0.04),
        "aside": about(0.001, 0.01),
        "pressure_axial": 0.6,
        "force_read": 0.52,
        "section_share": 0.012,
        "reynolds": 8000.0,
        "cells": 16.0,
        "coarse_cells": 16.0 / 1.5,
        "restarts": 0,
        "sections_force": 0.55,
        "sections_axial": 0.9,
        "sections_place_m": (0.75, 0.80, 0.90),
        "parts_most_m": (0.12, 0.24),
    }
    return TunnelRow(**{**told, **other})


def beside(*rows: TunnelRow, state: StudyState = StudyState.HOLDS) -> TunnelBeside:
    return TunnelBeside(state=state, rows=rows, friction=about(0.15, 0.03), flight_reynolds=1e6)


def test_a_row_meets_the_band_where_the_intervals_have_a_place_in_common() -> None:
    assert not row().meets
    assert row(place_m=0.745).meets
    assert row(place_m=0.905).meets
    assert not row(place_m=0.915).meets
    assert row(place_m=None).meets


def test_the_tables_say_both_and_how_far_they_are_apart() -> None:
    section = tunnel_section(beside(row(), row(15.0, 0.95), row(20.0, 0.8), row(25.0, None)), METRIC)
    places = section.tables[0]
    assert [each[-1] for each in places.rows] == [
        "part: tunnel 40 mm ahead",
        "part: tunnel 40 mm behind",
        "meet",
        "not known",
    ]
    assert places.rows[3][2] == "no clear force"
    assert places.rows[0][3] == "750 mm to 900 mm"
    forces = section.tables[1].rows[0]
    assert forces[2:] == ("0.500 (0.450 to 0.550)", "0.520", "0.550", "0.001 (-0.009 to 0.011)")
    assert section.tables[2].rows[0][2:] == ("0.800 (0.760 to 0.840)", "0.600", "0.900")


def test_reynolds_number_and_what_it_is_good_for_are_said() -> None:
    section = tunnel_section(beside(row()), METRIC)
    assert ("Reynolds number on the width", "on the lattice 8e+03, of the flight 1e+06") in section.facts
    assert any("0.8 % of the flight's Reynolds number" in note for note in section.notes)
    assert any("between stations 120 mm and 240 mm" in note for note in section.notes)
    fast = tunnel_section(beside(row(place_m=0.8, reynolds=9e5)), METRIC)
    assert len(fast.notes) == 1


def test_a_study_that_does_not_hold_is_one_line() -> None:
    section = tunnel_section(TunnelBeside(state=StudyState.OTHER_SHAPE), METRIC)
    assert section.facts == (("study", "of another shape: not used"),)
    assert section.tables == ()


def test_the_section_stands_after_the_air_and_in_the_report(readiness) -> None:
    flown = replace(readiness, air=replace(readiness.air, tunnel=beside(row())))
    keys = [section.key for section in stage_sections(flown)]
    assert keys.index("tunnel") == keys.index("air") + 1
    whole = contents(flown)
    inner = next(inner for outer, inner in whole.sections if outer.key == "air")
    assert [section.key for section in inner] == ["tunnel"]
    assert "tunnel_places" in whole.pictures
    assert "tunnel" not in [section.key for section in stage_sections(readiness)]


@pytest.mark.parametrize(
    ("state", "limit"), [(StudyState.OTHER_SHAPE, "this-shape"), (StudyState.TOO_FEW, "enough")]
)
def test_a_study_that_does_not_hold_is_not_known(readiness, state, limit) -> None:
    found = air_findings(replace(readiness.air, tunnel=TunnelBeside(state=state)), LIMITS)
    (finding,) = [one for one in found if one.key == "tunnel-study"]
    assert (finding.verdict, finding.bound.key) == (Verdict.NOT_KNOWN, limit)
    assert not [one for one in found if one.key == "tunnel-agrees"]


def test_two_ways_that_part_are_a_caution_at_the_worst_of_them(readiness) -> None:
    told = beside(row(), row(15.0, 0.60), row(20.0, 0.8))
    found = air_findings(replace(readiness.air, tunnel=told), LIMITS)
    held, apart = (next(one for one in found if one.key == key) for key in ("tunnel-study", "tunnel-agrees"))
    assert held.verdict is Verdict.GO
    assert apart.verdict is Verdict.CAUTION
    assert "They part by 140 mm at 15 deg, with the wind to roll 0 deg." in why(apart, METRIC)
    met = air_findings(replace(readiness.air, tunnel=beside(row(place_m=0.8))), LIMITS)
    assert next(one for one in met if one.key == "tunnel-agrees").verdict is Verdict.GO


def test_a_sheet_without_a_study_says_nothing_of_it(readiness) -> None:
    assert not [one for one in air_findings(readiness.air, LIMITS) if one.key.startswith("tunnel")]


def test_bars_and_band_are_drawn_where_they_lie() -> None:
    told = beside(row(5.0), row(10.0), row(10.0, None, roll_rad=math.radians(45.0)))
    assert has_places(told)
    assert not has_places(beside(row(place_m=None)))
    picture = tunnel_places(told.rows)
    root = ElementTree.fromstring(picture)
    dots = [one for one in root.iter() if one.tag.endswith("circle")]
    assert len(dots) == 2
    assert "Tunnel and sections part at 2 of 3 angles and rolls." in picture


def test_durations_are_told_as_people_do() -> None:
    assert [duration(seconds) for seconds in (5.0, 119.0, 121.0, 7300.0)] == ["5 s", "119 s", "2 min", "2 h"]


def ranked(first: TunnelRow, second: TunnelRow) -> list[tuple[str, ...]]:
    """What is said of the centres and of the forces of two variants: apart by how much, and who agrees."""
    found = ranking_section({"as written": beside(first), "variant small": beside(second)}, METRIC)
    assert found is not None
    (table,) = found.tables
    return [each[4:] for each in table.rows]


def test_variants_are_ranked_as_the_tunnel_and_as_the_sections_have_them() -> None:
    ahead = {"sections_place_m": (0.65, 0.70, 0.80)}
    # Intervals of the places reach 10 mm to either side, those of the forces 0.05.
    told = ranked(row(), row(place_m=0.67, force=about(0.35, 0.05), sections_force=0.40, **ahead))
    assert told[0] == ("centre", "30 mm forward", "100 mm forward", "agree")
    assert told[1] == ("force", "-0.150", "-0.150", "agree")


def test_where_errors_meet_variants_are_not_told_apart() -> None:
    ahead = {"sections_place_m": (0.65, 0.70, 0.80)}
    same_way, other_way = (ranked(row(), row(place_m=place, **ahead))[0][-1] for place in (0.685, 0.715))
    assert same_way == "agree, but the tunnel's errors meet: not told apart"
    assert other_way == "the tunnel's errors meet: not told apart"


def test_a_tunnel_that_ranks_them_the_other_way_says_so() -> None:
    ahead = {"sections_place_m": (0.65, 0.70, 0.80)}
    assert ranked(row(), row(place_m=0.73, **ahead))[0][-1] == "rank them the other way"


def test_variants_without_a_wind_in_common_or_a_place_are_not_ranked() -> None:
    assert ranking_section({"as written": beside(row())}, METRIC) is None
    assert ranking_section({"one": beside(row(5.0)), "two": beside(row(10.0))}, METRIC) is None
    assert ranking_section({"one": beside(row(0.0)), "two": beside(row(0.0))}, METRIC) is None
    assert ranked(row(), row(place_m=None))[0] == ("centre", "not known", "0 mm aft", "not known")
