"""The debrief as a whole: its pictures, its page, its words."""

import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from pathlib import Path

import pytest

from finial.files.flight_log.mapping import read_mapping
from finial.files.flight_log.read import read_log
from finial.findings.check import load
from finial.flight.fly import fly
from finial.logbook.debrief import debrief
from finial.logbook.rehearsal import MAPPING, Sensors, rehearsed
from finial.logbook.unknowns import changed_inputs
from finial.report.log_text import debrief_lines, debrief_sections
from finial.report.pdf import debrief_pdf_bytes
from finial.report.pictures.log_traces import log_pictures
from finial.report.refit_text import comparison_section
from finial.report.shown import Shown

BUOY = Path(__file__).parents[2] / "examples" / "buoy-tiers" / "buoy-tiers.toml"
SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def found(tmp_path_factory, foreseen):
    """A flight whose canopy came two seconds late."""
    folder = tmp_path_factory.mktemp("debrief")
    inputs, wind = foreseen.case.inputs, foreseen.case.spread.wind_speed_m_s
    trace = fly(changed_inputs(inputs, {"drag": 1.14, "delay main": 2.5}, wind))
    (folder / "flight.csv").write_text(rehearsed(trace, foreseen.day, Sensors(kick_m_s2=250.0), 3).csv())
    (folder / "flight.toml").write_text(MAPPING)
    log = read_log(folder / "flight.csv", read_mapping(folder / "flight.toml"))
    return debrief(load(BUOY), [log])


def test_pictures_hold_every_curve_and_say_what_they_show(found):
    for name, svg in log_pictures(found).items():
        tree = ET.fromstring(svg)
        curves = tree.findall(f".//{SVG}polyline")
        # Heights have four curves, the climb three, the push three.
        assert len(curves) == 10, name
        assert "separation at 13." in tree.findtext(f"{SVG}desc")


def test_words_name_the_late_canopy_and_what_goes_into_the_sheet(found):
    text = "\n".join(line.text for line in debrief_lines(found, None, written=False))
    (late,) = [line for line in text.split("\n") if line.strip().startswith("climb rate at separation: ")]
    assert "outside the band" in " ".join(text.split())
    assert "less than predicted" in late
    assert "main 2.5" in " ".join(text.split())
    assert "recovery.canopy[1].delay" in text
    assert "flown" in text
    assert text.isprintable() or all(line.isprintable() for line in text.split("\n"))


def test_the_page_is_a_tagged_pdf_and_the_same_twice(found):
    sections = debrief_sections(found, None, Shown(us_units=True), written=True)
    pages = [debrief_pdf_bytes(found, sections, log_pictures(found)) for _ in range(2)]
    assert pages[0].startswith(b"%PDF-")
    assert pages[0] == pages[1]
    assert b"/StructTreeRoot" in pages[0] or b"/MarkInfo" in pages[0]


def test_no_metric_unit_is_told_to_who_asked_for_the_others(found):
    sections = debrief_sections(found, None, Shown(us_units=True), written=False)
    told = [value for section in sections if section.key != "changes" for _, value in section.facts]
    told += [cell for section in sections for table in section.tables for row in table.rows for cell in row]
    told += [note for section in sections for note in section.notes]
    metric = re.compile(r"\d (m|mm|m/s|m/s2|km)\b")
    assert [one for one in told if metric.search(one)] == []
    assert any("ft/s2" in one for one in told)


def test_doubts_about_the_log_and_the_model_are_said(found):
    plain = comparison_section(found.comparison, found.refit, Shown(us_units=False))
    assert not any("another flight" in note or "still misses" in note for note in plain.notes)
    other = replace(found.comparison, another=0.97)
    odd = comparison_section(other, replace(found.refit, misfit=4.2), Shown(us_units=False))
    assert any("Odds 0.97 that this log is of another flight" in note for note in odd.notes)
    assert any("misses the log by 4.2 times the sensors' noise" in note for note in odd.notes)
