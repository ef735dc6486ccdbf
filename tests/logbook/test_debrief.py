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
from finial.logbook.cord import CordThen
from finial.logbook.debrief import debrief
from finial.logbook.rehearsal import MAPPING, Sensors, rehearsed
from finial.logbook.unknowns import changed_inputs
from finial.report.log_text import debrief_lines, debrief_sections
from finial.report.pdf import debrief_pdf_bytes
from finial.report.pictures.axes import PAGE_MM
from finial.report.pictures.log_traces import log_pictures, name_places
from finial.report.refit_text import comparison_section, cords_section
from finial.report.shown import NOT_KNOWN, Shown

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
    assert "What the cord did then" in text
    assert "2.0 s late" in text
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


def test_the_zipper_is_told_beside_the_separation_that_made_it(found):
    told = [
        CordThen(cord="shock cord", late_s=1.8, pull_n=900.0, margin=-0.36, beyond=False),
        CordThen(cord="leader", late_s=-4.0, pull_n=500.0, margin=None, beyond=True),
    ]
    section = cords_section(tuple(told), Shown(us_units=False))
    assert section.tables[0].rows[0] == ("shock cord", "1.8 s late", "900 N", "-0.4")
    assert section.tables[0].rows[1][1:] == ("4.0 s early", "at least 500 N", NOT_KNOWN)
    assert any("cuts the tube" in note for note in section.notes)
    assert any("does not tell the lip" in note for note in section.notes)
    (cord,) = found.cords
    assert cord.late_s == pytest.approx(2.0, abs=0.05)
    assert cord.margin is None
    assert 100.0 < cord.pull_n < 5000.0


def test_names_of_what_happened_stand_on_no_other():
    """Five within three millimetres, and one at the far end, as in a flight of three minutes."""
    names = ["lift-off", "left the rail", "burnout", "apogee", "separation", "landing"]
    middles = [18.0, 18.3, 20.0, 24.0, 25.0, 139.0]
    places = name_places(list(zip(names, middles, strict=True)))
    boxes = [
        (x - 0.6 * len(name), x + 0.6 * len(name), y) for name, (x, y) in zip(names, places, strict=True)
    ]
    for index, (left, right, y) in enumerate(boxes):
        assert left >= 0.0
        assert right <= PAGE_MM
        for other_left, other_right, other_y in boxes[:index]:
            assert y != other_y or left >= other_right or right <= other_left
    assert max(abs(x - middle) for (x, _), middle in zip(places, middles, strict=True)) < 20.0


def test_a_difference_inside_the_band_is_explained_too_where_the_log_tells_it(found):
    section = comparison_section(found.comparison, found.refit, Shown(us_units=False))
    (apogee,) = [note for note in section.notes if note.startswith("apogee above the pad: ")]
    assert "within the band: drag 1.1" in apogee
    open_notes = [note for note in section.notes if note.endswith("no more than the log leaves open.")]
    assert open_notes
