"""The logbook's files: written, read back, mended by hand, and refused with their line."""

import numpy as np
import pytest

from finial.core.errors import LogError
from finial.files.flight_log.curves import (
    FlightCurves,
    KeptCurves,
    KeptEvent,
    curves_bytes,
    read_curves,
)
from finial.files.flight_log.kept import KeptFlight, curves_of, keep, kept_flights

FLIGHT = KeptFlight.model_validate(
    {
        "vehicle": "Channel Buoy",
        "logs": ("flight.csv",),
        "repaired": 'mouth of the mast, "glued"',
        "no_longer": ("drag",),
        "apogee": "710.2 m",
        "misfit": "1.02",
        "drag": "1.139 +- 0.008",
        "canopy": ({"name": "main", "delay": "2.3 s +- 0.04 s", "drag_area": "1.2 m2 +- 0.1 m2"},),
    }
)


ONE = FlightCurves(
    height_m=np.array([0.0, 10.25, 3.0]),
    climb_m_s=np.array([0.0, 1.0, -2.0]),
    push_m_s2=np.array([9.8, np.nan, 0.0]),
)
CURVES = KeptCurves(
    times_s=np.array([0.0, 1.5, 3.0]),
    log=ONE,
    predicted=ONE,
    corrected=ONE,
    events=(KeptEvent(kind="lift-off", time_s=0.0),),
)


def test_what_is_kept_is_read_back(tmp_path):
    sheet = tmp_path / "buoy.toml"
    path = keep(sheet, "2024-05-04 first", FLIGHT, CURVES)
    assert path == tmp_path / "logbook" / "2024-05-04 first.toml"
    back = read_curves(curves_of(sheet, "2024-05-04 first"))
    assert back.times_s.tolist() == [0.0, 1.5, 3.0]
    assert back.predicted.height_m.tolist() == [0.0, 10.25, 3.0]
    assert np.isnan(back.log.push_m_s2).tolist() == [False, True, False]
    assert back.events == CURVES.events
    ((name, found),) = kept_flights(sheet)
    assert (name, found) == ("2024-05-04 first", FLIGHT)
    assert path.read_text(encoding="utf-8").startswith("# One flight.")


def test_flights_stand_in_the_order_of_their_names_and_a_hand_may_leave_one_out(tmp_path):
    sheet = tmp_path / "buoy.toml"
    for name in ("b", "a"):
        keep(sheet, name, FLIGHT, CURVES)
    path = tmp_path / "logbook" / "a.toml"
    path.write_text(path.read_text().replace("left_out = false", "left_out = true"))
    assert [(name, flight.left_out) for name, flight in kept_flights(sheet)] == [("a", True), ("b", False)]


def test_without_a_logbook_there_is_none(tmp_path):
    assert kept_flights(tmp_path / "buoy.toml") == ()


def test_no_flight_is_overwritten_and_no_name_leaves_the_folder(tmp_path):
    sheet = tmp_path / "buoy.toml"
    keep(sheet, "one", FLIGHT, CURVES)
    refused = {"one": "no flight is overwritten", "../one": "letters", "": "letters", "a.": "letters"}
    for name, words in refused.items():
        with pytest.raises(LogError, match=words):
            keep(sheet, name, FLIGHT, CURVES)
    assert sorted(path.name for path in tmp_path.rglob("*.toml")) == ["one.toml"]


@pytest.mark.parametrize(
    ("was", "written", "words"),
    [
        ('drag = "1.139', 'thrust = "1.139', "unknown key thrust"),
        ("+- 0.008", "+- 3", "tolerance smaller"),
        ('"2.3 s', '"2.3 m', "time"),
        ("left_out", "left", "unknown key left"),
        ('vehicle = "Channel Buoy"', "", "vehicle"),
        ("misfit = ", "misfit = = ", "a.toml:"),
    ],
)
def test_a_damaged_entry_is_refused_with_its_place(tmp_path, was, written, words):
    sheet = tmp_path / "buoy.toml"
    path = keep(sheet, "a", FLIGHT, CURVES)
    text = path.read_text()
    assert was in text
    path.write_text(text.replace(was, written))
    with pytest.raises(LogError) as caught:
        kept_flights(sheet)
    assert words in str(caught.value)


@pytest.mark.parametrize(
    ("was", "written", "words"),
    [
        ('"times_s"', '"time"', "times_s of another length"),
        ("10.25", '"high"', "something that is no number"),
        ("[0.0, 1.5, 3.0]", "[0.0, 1.5, 1.0]", "do not rise"),
        ("[0.0, 1.0, -2.0]", "[0.0, 1.0]", "climb_m_s of another length"),
        ('"kind"', '"name"', "an event without kind"),
        ('"log"', '"logged"', "no table"),
        ("}", "", "no JSON"),
    ],
)
def test_damaged_curves_are_refused(tmp_path, was, written, words):
    path = tmp_path / "a.curves.json"
    text = curves_bytes(CURVES).decode()
    assert was in text
    path.write_text(text.replace(was, written), encoding="utf-8")
    with pytest.raises(LogError, match=words):
        read_curves(path)


def test_curves_that_are_not_there_are_refused(tmp_path):
    with pytest.raises(LogError, match="keep the flight anew"):
        read_curves(tmp_path / "none.curves.json")
