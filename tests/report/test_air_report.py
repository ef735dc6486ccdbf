"""Air loads as text, JSON and pictures, read back from what was written."""

import json
import math
from dataclasses import replace
from xml.etree import ElementTree

import numpy as np
import pytest

from finial.assemble.air.results import FinRow, Straightness
from finial.report.air_tables import load_table, roll_table
from finial.report.air_text import air_lines
from finial.report.json_records import to_json
from finial.report.pictures.air_margin_map import margin_map
from finial.report.pictures.air_pictures import air_pictures
from finial.report.sections.air import air_section
from finial.report.shown import Shown


def with_fins(readiness):
    rows = tuple(FinRow(name=fin.name, slope_per_rad=9.0, sheltered=0.0) for fin in readiness.shape.fins)
    return replace(readiness, air=replace(readiness.air, fin_rows=rows))


def straightness(**changed):
    usual = {
        "trim_rad": 0.02,
        "holds_rad": 0.0,
        "trim_roll_rad": -math.pi / 2,
        "turns_per_m": 0.05,
        "side_force": (0.0, 0.0),
        "drag_line_m": (0.0, 0.0),
    }
    return Straightness(**{**usual, **changed})


def test_stretches_add_up_to_the_whole_slope(readiness):
    table = load_table(with_fins(readiness), Shown(us_units=False))
    air = readiness.air
    whole = np.trapezoid(air.load_per_m, air.load_stations_m)
    stretches = [row for row in table.rows if row[2]]
    assert float(stretches[-1][2]) == pytest.approx(whole, abs=0.01)
    assert sum(float(row[1]) for row in stretches) == pytest.approx(whole, abs=0.06)
    assert table.rows[-1][1] == "+9.00"


def test_it_says_what_an_end_off_the_body_stands_for_where_the_force_may_vanish(readiness):
    air = readiness.air

    def notes(bare: float, finned: float) -> tuple[str, ...]:
        slopes = {
            "bare_slope_per_rad": replace(air.bare_slope_per_rad, low=bare),
            "slope_per_rad": replace(air.slope_per_rad, low=finned),
        }
        return air_section(replace(readiness, air=replace(air, **slopes))).notes

    assert notes(0.5, 0.5) == ()
    (alone,), (whole,) = notes(0.49, 0.5), notes(0.49, 0.49)
    assert alone.startswith("Without its fins the force on this shape may nearly vanish")
    assert whole.startswith("The force on this shape may nearly vanish")
    assert "moment about the balance point, over a force slope of 0.5" in whole


def test_band_round_the_vehicle_is_that_of_the_record(readiness):
    table = roll_table(readiness, Shown(us_units=False))
    air = readiness.air
    row = int(np.abs(np.degrees(air.angles_rad) - 10.0).argmin())
    assert table.rows[0][1] == Shown(us_units=False).length(float(air.pressure_forward_m[row, 0]))
    assert len(table.rows) == len({each[0] for each in table.rows})


def test_lines_name_trim_and_turn(readiness):
    crooked = replace(readiness, air=replace(readiness.air, straightness=straightness()))
    facts = dict(air_section(crooked).facts)
    assert facts["coasts off straight by"] == "1.1 deg, cross wind towards roll 270 deg"
    assert facts["one turn about the axis in"] == Shown(us_units=False).length(20.0)
    none = replace(
        readiness, air=replace(readiness.air, straightness=straightness(trim_rad=None, turns_per_m=0))
    )
    facts = dict(air_section(none).facts)
    assert facts["coasts off straight by"] == "it may hold at 0 deg: it does not straighten itself"
    lost = replace(
        readiness, air=replace(readiness.air, straightness=straightness(trim_rad=None, holds_rad=math.pi))
    )
    assert dict(air_section(lost).facts)["coasts off straight by"].startswith("no angle holds")
    assert facts["one turn about the axis in"] == "hardly"
    text = "\n".join(line.text for line in air_lines(crooked))
    for words in ("Pressure band", "Why the band has width", "Force slope along the stations", "Caution"):
        assert words in text


def test_json_holds_table_band_and_margins(readiness):
    told = json.loads(to_json(readiness, view="air", full=True))
    assert set(told) >= {"schema_version", "units", "caution", "air", "stability"}
    assert np.array(told["air"]["pressure_forward_m"]) == pytest.approx(readiness.air.pressure_forward_m)
    assert len(told["air"]["table"]["along"]) == len(readiness.air.table.alpha_rad)


@pytest.mark.parametrize("us_units", [False, True])
def test_pictures_are_xml_with_words(readiness, us_units):
    drawn = air_pictures(replace(with_fins(readiness), us_units=us_units))
    assert set(drawn) == {"air-load.svg", "pressure-by-roll.svg", "margin-by-angle.svg", "margin-map.svg"}
    for svg in drawn.values():
        root = ElementTree.fromstring(svg)
        assert root.findtext("{http://www.w3.org/2000/svg}title")
        assert root.findtext("{http://www.w3.org/2000/svg}desc")


def test_map_shades_follow_the_margin(readiness):
    point = readiness.stability[0]
    stable, flipping = (
        margin_map(
            replace(readiness.air, pressure_forward_m=0 * readiness.air.pressure_forward_m + at), point
        )
        for at in (point.balance.high + 3.0 * point.width_m, point.balance.high - 0.1)
    )
    assert stable.count("#3f7fb0") > 50
    assert "#7a2f05" not in stable.replace("margin at its bad end", "")[: stable.index("unstable") - 200]
    assert flipping.count("#7a2f05") > 50
