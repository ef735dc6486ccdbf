"""The logbook in the report: a table of all flights, a debrief of the last with its picture."""

import xml.etree.ElementTree as ET
from dataclasses import replace

import numpy as np
import pytest

from finial.cli.report_command import logbook_beside
from finial.files.flight_log.curves import FlightCurves, KeptCurves, KeptEvent
from finial.files.flight_log.kept import KeptFlight, keep
from finial.report.annex import Annex, KeptEntry
from finial.report.contents import contents
from finial.report.sections.flights import flights_pictures, flights_sections
from finial.report.shown import Shown

SVG = "{http://www.w3.org/2000/svg}"
TIMES = np.linspace(-2.0, 60.0, 300)


def curves(size):
    one = FlightCurves(
        height_m=size * np.maximum(TIMES, 0.0) * (60.0 - TIMES),
        climb_m_s=size * (60.0 - 2.0 * TIMES),
        push_m_s2=np.where(TIMES < 3.0, 50.0, np.nan),
    )
    events = (KeptEvent(kind="lift-off", time_s=0.0), KeptEvent(kind="apogee", time_s=30.0))
    return KeptCurves(times_s=TIMES, log=one, predicted=one, corrected=one, events=events)


def flight(**more):
    told = {"vehicle": "Channel Buoy", "logs": ("one.csv",), "apogee": "710 m", "predicted": "774 m", **more}
    return KeptFlight.model_validate(told)


@pytest.fixture
def annex(lighthouse):
    first = flight(drag="1.14 +- 0.02", repaired="the mast")
    second = flight(
        drag="1.10 +- 0.02", changed="new fins", canopy=({"name": "main", "delay": "2.3 s +- 0.1 s"},)
    )
    entries = (
        KeptEntry(name="1 first", flight=first, curves=None),
        KeptEntry(name="2 second", flight=second, curves=curves(1.0)),
    )
    return Annex(sheet=lighthouse.sheet, flights=entries)


def test_every_flight_stands_in_the_table_and_the_last_is_debriefed(annex):
    table, debrief, together = flights_sections(annex, Shown(us_units=False))
    rows = table.tables[0].rows
    assert [row[0] for row in rows] == ["1 first", "2 second"]
    assert rows[0][1:5] == ("710 m", "774 m", "yes", "the mast")
    assert rows[1][5] == "new fins"
    assert debrief.title.endswith("2 second")
    facts = dict(debrief.facts)
    assert facts["apogee by the log"] == "710 m"
    assert facts["main: out after its event"].startswith("2.3")
    assert together.key == "logbook"
    us = flights_sections(annex, Shown(us_units=True))[0].tables[0].rows
    assert us[0][1].endswith("ft")


def test_one_left_out_is_said(annex):
    left = replace(annex.flights[0], flight=flight(left_out=True, drag="9 +- 1"))
    rows = flights_sections(replace(annex, flights=(left,)), Shown(us_units=False))[0].tables[0].rows
    assert rows[0][3] == "no"


def test_without_flights_nothing_stands_there(annex):
    none = replace(annex, flights=())
    assert flights_sections(none, Shown(us_units=False)) == ()
    assert flights_pictures(none, us_units=False) == flights_pictures(None, us_units=False) == {}


def test_the_picture_holds_log_prediction_and_correction(annex):
    (svg,) = flights_pictures(annex, us_units=False).values()
    tree = ET.fromstring(svg)
    assert len(tree.findall(f".//{SVG}polyline")) == 9
    assert "apogee at 30.0 s" in tree.findtext(f"{SVG}desc")
    gone = replace(annex, flights=annex.flights[:1])
    assert flights_pictures(gone, us_units=False) == {}
    assert "curves are gone" in flights_sections(gone, Shown(us_units=False))[1].notes[0]


def test_the_whole_report_takes_it_in(readiness, annex):
    whole = contents(readiness, annex)
    assert {"flights", "debrief", "logbook"} <= {section.key for section, _ in whole.sections}
    assert "last-flight.svg" in whole.pictures


def test_the_command_reads_the_logbook_beside_the_sheet(tmp_path):
    sheet = tmp_path / "buoy.toml"
    keep(sheet, "a", flight(), curves(1.0))
    keep(sheet, "b", flight(), curves(2.0))
    (tmp_path / "logbook" / "a.curves.json").unlink()
    first, second = logbook_beside(sheet)
    assert (first.name, first.curves) == ("a", None)
    assert second.curves.log.height_m.max() == pytest.approx(1800.0, rel=0.01)
