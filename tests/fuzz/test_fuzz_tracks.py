"""Tracks, frames of videos and logbooks with anything in them: read, or refused in clear words."""

import numpy as np
import pytest
from fuzz_trial import RUN
from hypothesis import given
from hypothesis import strategies as st
from odd_values import bitten, changed, toml_of

from finial.atmosphere.day import standard_day
from finial.files.flight_log.curves import read_curves
from finial.files.flight_log.kept import kept_flights
from finial.files.flight_log.tracks import read_track
from finial.files.flight_log.video import read_video
from finial.files.source import read_toml
from finial.logbook.reading import reading
from finial.logbook.several import joint, numbers_of
from finial.logbook.story import story
from finial.logbook.watched import watched

DAY = standard_day(200.0, 288.15)
SECONDS = np.arange(60)
HEIGHTS = 200.0 + np.clip(SECONDS - 20, 0, 10) * 30.0 - np.clip(SECONDS - 30, 0, 30) * 10.0


def gpx() -> bytes:
    points = "".join(
        f'<trkpt lat="48.1" lon="{11.5 + 1e-5 * second}"><ele>{high:.1f}</ele>'
        f"<time>2031-05-04T10:00:{second:02d}Z</time></trkpt>\n"
        for second, high in zip(SECONDS.tolist(), HEIGHTS.tolist(), strict=True)
    )
    return f"<gpx><trk><trkseg>{points}</trkseg></trk></gpx>".encode()


def kml() -> bytes:
    whens = "".join(f"<when>2031-05-04T10:00:{second:02d}Z</when>" for second in SECONDS.tolist())
    coords = "".join(f"<coord>11.5 48.1 {high:.1f}</coord>\n" for high in HEIGHTS.tolist())
    return f"<kml><Placemark><Track>{whens}{coords}</Track></Placemark></kml>".encode()


def nmea() -> bytes:
    lines = [
        f"$GPGGA,1000{second:02d},4807.038,N,01131.000,E,1,08,0.9,{high:.1f},M,46.9,M,,"
        for second, high in zip(SECONDS.tolist(), HEIGHTS.tolist(), strict=True)
    ]
    return "\n".join(lines).encode()


TRACKS = {"a.gpx": gpx(), "a.kml": kml(), "a.nmea": nmea()}
VIDEO = "frames_per_second = 30\n[frame]\nlift_off = 10\nburnout = 40\napogee = 400\nlanding = 4000\n"
KEPT = (
    'vehicle = "Channel Buoy"\nlogs = ["a.csv"]\nno_longer = ["drag"]\napogee = "700 m"\n'
    'drag = "1.1 +- 0.1"\n[[canopy]]\nname = "main"\ndelay = "2 s +- 0.1 s"\ndrag_area = "1 m2 +- 0.1 m2"\n'
)
CURVES = (
    b'{"times_s": [0, 1], "log": {"height_m": [0, null], "climb_m_s": [0, 1], "push_m_s2": [1, 2]}, '
    b'"predicted": {"height_m": [0, 1], "climb_m_s": [0, 1], "push_m_s2": [1, 2]}, '
    b'"corrected": {"height_m": [0, 1], "climb_m_s": [0, 1], "push_m_s2": [1, 2]}, '
    b'"events": [{"kind": "lift-off", "time_s": 0}]}'
)


def told(path):
    return story(reading(read_track(path), DAY), tilt_rad=0.05, rail_m=2.0)


@pytest.mark.parametrize("name", TRACKS)
def test_the_small_tracks_are_told_untouched(tmp_path, name):
    (tmp_path / name).write_bytes(TRACKS[name])
    assert told(tmp_path / name).happenings


@pytest.mark.parametrize("name", TRACKS)
@RUN
@given(data=st.data())
def test_tracks(trial, tmp_path, name, data):
    path = tmp_path / name
    path.write_bytes(data.draw(bitten(TRACKS[name])))
    trial.call(told, path)


@RUN
@given(data=st.data())
def test_curves_of_kept_flights(trial, tmp_path, data):
    path = tmp_path / "a.curves.json"
    path.write_bytes(data.draw(bitten(CURVES)))
    trial.call(read_curves, path)


@pytest.mark.parametrize("kind", ["video", "kept"])
@RUN
@given(data=st.data())
def test_frames_and_kept_flights(trial, tmp_path, kind, data):
    (tmp_path / "logbook").mkdir(exist_ok=True)
    path = tmp_path / "logbook" / "a.toml"
    path.write_text(VIDEO if kind == "video" else KEPT, encoding="utf-8")
    values = data.draw(changed(read_toml(path).values))
    path.write_text(toml_of(values), encoding="utf-8")

    def read():
        if kind == "video":
            return watched(read_video(path), "a.toml")
        flights = kept_flights(tmp_path / "sheet.toml")
        return [list(numbers_of(flight)) for _, flight in flights], joint(flights)

    trial.call(read)
