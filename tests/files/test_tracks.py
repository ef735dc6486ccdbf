"""Tracks of satellite receivers: one flight in four spellings, published sentences, hostile markup."""

import numpy as np
import pytest

from finial.core.errors import LogError
from finial.files.flight_log.guess import LogQuestion, LogTable, answered, guesses, mapping_text
from finial.files.flight_log.mapping import read_mapping
from finial.files.flight_log.nmea import nmea_fixes
from finial.files.flight_log.read import read_log
from finial.files.flight_log.rows import log_text
from finial.files.flight_log.tracks import is_track, read_track

SECONDS = np.arange(40)
LONGITUDES = 11.5 + 1e-5 * SECONDS
LATITUDES = 48.1 - 2e-5 * SECONDS
HEIGHTS = 500.0 + np.where(SECONDS < 15, 0.0, 30.0 * (SECONDS - 15))


def gpx():
    """Tags of the GPX 1.1 schema."""
    points = "\n".join(
        f'<trkpt lat="{lat:.7f}" lon="{lon:.7f}"><ele>{high:.1f}</ele>'
        f"<time>2024-05-04T10:00:{second:02d}.500Z</time></trkpt>"
        for second, lon, lat, high in zip(SECONDS, LONGITUDES, LATITUDES, HEIGHTS, strict=True)
    )
    return (
        '<?xml version="1.0"?><gpx xmlns="http://www.topografix.com/GPX/1/1" version="1.1">'
        f"<trk><name>up &amp; down</name><trkseg>\n{points}\n</trkseg></trk></gpx>"
    )


def kml():
    """Tags of KML 2.2 (OGC 07-147r2) and of its extension for tracks with times."""
    whens = "".join(f"<when>2024-05-04T12:00:{second:02d}+02:00</when>" for second in SECONDS)
    coords = "".join(
        f"<gx:coord>{lon:.7f} {lat:.7f} {high:.1f}</gx:coord>"
        for lon, lat, high in zip(LONGITUDES, LATITUDES, HEIGHTS, strict=True)
    )
    return (
        '<kml xmlns="http://www.opengis.net/kml/2.2" xmlns:gx="http://www.google.com/kml/ext/2.2">'
        f"<Placemark><gx:Track>{whens}{coords}</gx:Track></Placemark></kml>"
    )


def sentence(second, lon, lat, high, quality=1):
    """One GGA sentence with its checksum."""

    def angle(value, width):
        return f"{int(value):0{width}d}{60.0 * (value % 1.0):08.5f}"

    place = f"{angle(lat, 2)},N,{angle(lon, 3)},E"
    body = f"GNGGA,1000{second:02d}.00,{place},{quality},08,0.9,{high:.1f},M,46.9,M,,"
    total = 0
    for letter in body:
        total ^= ord(letter)
    return f"${body}*{total:02X}"


def nmea():
    lines = [sentence(*each) for each in zip(SECONDS.tolist(), LONGITUDES, LATITUDES, HEIGHTS, strict=True)]
    return "\n".join(f"{line}\n$GNRMC,other*00" for line in lines)


def write(tmp_path, name, text):
    path = tmp_path / name
    path.write_text(text, encoding="utf-8")
    return path


@pytest.mark.parametrize(("name", "text"), [("a.gpx", gpx()), ("a.KML", kml()), ("a.nmea", nmea())])
def test_one_flight_in_three_spellings(tmp_path, name, text):
    path = write(tmp_path, name, text)
    assert is_track(path)
    found = read_track(path)
    assert np.diff(found.counts) == pytest.approx(np.ones(39), abs=1e-6)
    assert found.position_deg == pytest.approx(np.column_stack([LONGITUDES, LATITUDES]), abs=2e-7)
    assert found.height_m == pytest.approx(HEIGHTS)
    assert found.height_is_true
    assert len(found.lines) == 40


def test_columns_of_places_are_the_same_track(tmp_path):
    rows = "\n".join(
        f"{second},{lat * 1e7:.0f},{lon * 1e7:.0f},{high}"
        for second, lon, lat, high in zip(SECONDS, LONGITUDES, LATITUDES, HEIGHTS, strict=True)
    )
    mapping = (
        '[time]\ncolumn = "t"\n[height]\ncolumn = "h"\nunit = "m"\nmeasured_by = "satellites"\n'
        '[position]\nlatitude = "lat"\nlongitude = "lon"\nper_unit = 10000000\n'
    )
    log = read_log(
        write(tmp_path, "a.csv", f"t,lat,lon,h\n{rows}\n"), read_mapping(write(tmp_path, "a.toml", mapping))
    )
    assert log.position_deg == pytest.approx(np.column_stack([LONGITUDES, LATITUDES]), abs=2e-7)
    assert log.height_is_true


def test_a_place_without_a_fix_is_no_place(tmp_path):
    rows = "\n".join(
        f"{second},{0 if second == 3 else 48.1},{0 if second == 3 else 11.5},{second}" for second in SECONDS
    )
    mapping = (
        '[time]\ncolumn = 1\n[height]\ncolumn = 4\nunit = "m"\n[position]\nlatitude = 2\nlongitude = 3\n'
    )
    log = read_log(write(tmp_path, "a.csv", rows + "\n"), read_mapping(write(tmp_path, "a.toml", mapping)))
    assert np.flatnonzero(np.isnan(log.position_deg[:, 0])).tolist() == [3]
    assert not log.height_is_true


def test_the_published_sentence(tmp_path):
    """Example of a GGA sentence that manuals of NMEA 0183 print: 48 deg 7.038' N, 11 deg 31' E, 545.4 m."""
    published = "$GPGGA,123519,4807.038,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,*47"
    (fix,) = nmea_fixes(tmp_path / "a.nmea", published).fixes
    assert fix.latitude_deg == pytest.approx(48.0 + 7.038 / 60.0)
    assert fix.longitude_deg == pytest.approx(11.0 + 31.0 / 60.0)
    assert (fix.height_asl_m, fix.time_s) == (545.4, 12 * 3600 + 35 * 60 + 19)
    south_west = published.replace(",N,", ",S,").replace(",E,", ",W,").partition("*")[0]
    (fix,) = nmea_fixes(tmp_path / "a.nmea", south_west).fixes
    assert (fix.latitude_deg < -48.0, fix.longitude_deg < -11.0) == (True, True)


def test_damaged_sentences_and_those_without_a_fix_are_left_out(tmp_path):
    lines = nmea().splitlines()
    lines[10] = lines[10].replace("500.0", "900.0")
    lines[20] = sentence(10, 0.0, 0.0, 0.0, quality=0)
    found = read_track(write(tmp_path, "a.nmea", "\n".join(lines)))
    assert len(found.lines) == 38
    assert found.odd == (11,)
    assert found.height_m.max() == HEIGHTS.max()


def test_midnight_is_no_jump(tmp_path):
    text = nmea().replace("GGA,1000", "GGA,2359").replace("*", "@")
    lines = [line.partition("@")[0] for line in text.splitlines()]
    lines[60:] = [line.replace("GGA,2359", "GGA,0000") for line in lines[60:]]
    found = read_track(write(tmp_path, "a.nmea", "\n".join(lines)))
    assert found.wraps_at_s == 86_400.0
    assert found.counts[30] < found.counts[29]


BOMB = (
    '<?xml version="1.0"?><!DOCTYPE gpx [<!ENTITY a "aaaaaaaaaa">'
    '<!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">]><gpx><trk>&b;</trk></gpx>'
)
LINE_ALONE = (
    "<kml><Placemark><LineString><coordinates>11.5,48.1,500 11.6,48.2,600</coordinates>"
    "</LineString></Placemark></kml>"
)
HOSTILE = [
    ("a.gpx", BOMB, "a document type"),
    ("a.gpx", "<gpx>" + "<a>" * 100, "tags 40 deep"),
    ("a.gpx", gpx()[:-40], "markup that ends or breaks"),
    ("a.gpx", "<html></html>", "<html>"),
    ("a.gpx", gpx().replace('lat="48.1', 'lat="148.1'), "latitude 148.1"),
    ("a.gpx", gpx().replace('lat="48.1', 'lat="north'), "could not convert"),
    ("a.gpx", gpx().replace("time>", "date>"), "40 places without a time"),
    ("a.gpx", gpx().replace("ele>", "high>"), "places without a height"),
    ("a.gpx", gpx().replace("2024-05-04T10", "yesterday"), "Invalid isoformat"),
    ("a.gpx", "<gpx></gpx>", "no place"),
    ("a.gpx", "", "no element found"),
    ("a.kml", LINE_ALONE, "2 places without a time"),
    ("a.kml", kml().replace("when>", "then>", 2), "40 places without a time"),
    ("a.nmea", "$GPGSV,1\n", "no GGA sentence with a place"),
    ("a.nmea", nmea().replace(",M,46.9", ",M,46.8"), "fail their checksum"),
    ("a.nmea", "\n".join(nmea().splitlines()[:20]), "10 places with a time"),
    ("a.nmea", nmea().replace(",N,", ",X,").replace("*", ",*"), "cut or fail"),
]  # fmt: skip


@pytest.mark.parametrize(("name", "text", "words"), HOSTILE)
def test_a_hostile_track_is_refused_with_words(tmp_path, name, text, words):
    path = write(tmp_path, name, text)
    with pytest.raises(LogError) as caught:
        read_track(path)
    assert words in str(caught.value)
    assert caught.value.faults[0].line is not None


def test_columns_of_places_are_guessed_and_what_told_the_height_is_asked(tmp_path):
    rows = "\n".join(f"{second},48.1,11.5,{500 + second}" for second in SECONDS)
    text = log_text(write(tmp_path, "a.csv", f"time_s,gps_lat,gps_lon,alt (m)\n{rows}\n"))
    found = guesses(text)
    (height,) = [guess for guess in found if guess.table is LogTable.HEIGHT]
    assert height.open == (LogQuestion.MEASURED_BY,)
    proposal = mapping_text(text, found)
    assert 'latitude = "gps_lat"\nlongitude = "gps_lon"' in proposal
    with pytest.raises(LogError, match="measured_by"):
        read_mapping(write(tmp_path, "b.toml", proposal))
    told = tuple(
        answered(guess, LogQuestion.MEASURED_BY, "satellites") if guess is height else guess
        for guess in found
    )
    mapping = read_mapping(write(tmp_path, "c.toml", mapping_text(text, told)))
    assert mapping.height.measured_by == "satellites"


def test_without_both_columns_no_place_is_guessed(tmp_path):
    rows = "\n".join(f"{second},48.1,{500 + second}" for second in SECONDS)
    text = log_text(write(tmp_path, "a.csv", f"time_s,lat,alt (m)\n{rows}\n"))
    assert "position" not in mapping_text(text, guesses(text))


def test_a_track_too_short_is_told_at_its_last_line(tmp_path):
    path = write(tmp_path, "short.nmea", "\n".join(nmea().splitlines()[:5]))
    with pytest.raises(LogError) as refused:
        read_track(path)
    # Places stand on every second line.
    assert refused.value.faults[0].line == 5
    with pytest.raises(LogError) as refused:
        read_track(write(tmp_path, "none.nmea", "$GNRMC,other*00"))
    assert refused.value.faults[0].line == 1
