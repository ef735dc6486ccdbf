"""Wind columns and field outlines: read as written, and every slip refused in words."""

import json
import math
import shutil
from pathlib import Path

import numpy as np
import pytest

from finial.core.errors import BuildSheetError, OutsideRange
from finial.core.local_map import metres_per_radian, to_degrees, to_local
from finial.files.geojson import MarkKind, read_field, read_marks
from finial.files.sheet import read_sheet
from finial.files.wind_column import read_wind_column

FULL = Path(__file__).with_name("full_sheet")
SQUARE = [[-1.01, 51.0], [-0.99, 51.0], [-0.99, 51.02], [-1.01, 51.02], [-1.01, 51.0]]


def _written(folder, text, name="wind.csv"):
    path = folder / name
    path.write_text(text)
    return path


def _geojson(folder, geometry):
    return _written(folder, json.dumps(geometry), "field.geojson")


def test_wind_column_is_read_in_si(tmp_path):
    column = read_wind_column(
        _written(
            tmp_path, "# invented\nheight (m); speed (m/s); from (deg)\n10; 4; 270\n300\t9 , 300 # aloft\n"
        )
    )
    assert column.heights_m.tolist() == [10.0, 300.0]
    assert column.speeds_m_s.tolist() == [4.0, 9.0]
    assert column.from_rad == pytest.approx(np.radians([270.0, 300.0]))


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("10 4 270\n300 9 300\n100 6 280\n", "rise from line to line"),
        ("10 4 270\n10 5 270\n", "rise from line to line"),
        ("10 4 270\n", "two rows or more"),
        ("", "two rows or more"),
        ("10 4\n20 5\n", "three columns"),
        ("10 x 270\n20 5 270\n", "three columns"),
        ("10 nan 270\n20 5 270\n", "three columns"),
        ("-5 4 270\n20 5 270\n", "heights above ground"),
        ("10 4 270\n20 400 270\n", "speeds of 0 to 100"),
        ("10 4 270\n20 5 400\n", "bearings of 0 to 360"),
        ("height (ft), speed (kt), from (deg)\n10 4 270\n20 5 270\n", "units m, m/s, deg"),
    ],
)
def test_wind_columns_that_are_refused(tmp_path, text, words):
    with pytest.raises(BuildSheetError, match=words):
        read_wind_column(_written(tmp_path, text))


@pytest.mark.parametrize(
    "wrapped",
    [
        lambda polygon: polygon,
        lambda polygon: {"type": "Feature", "geometry": polygon, "properties": {}},
        lambda polygon: {
            "type": "FeatureCollection",
            "features": [
                {"type": "Feature", "geometry": {"type": "Point", "coordinates": [0, 0]}},
                {"type": "Feature", "geometry": polygon},
            ],
        },
    ],
)
def test_a_polygon_is_found_however_it_is_wrapped(tmp_path, wrapped):
    path = _geojson(tmp_path, wrapped({"type": "Polygon", "coordinates": [SQUARE]}))
    assert read_field(path)[0].tolist() == SQUARE


@pytest.mark.parametrize(
    ("geometry", "words"),
    [
        ({"type": "Point", "coordinates": [0, 0]}, "0 polygons"),
        ({"type": "MultiPolygon", "coordinates": [[SQUARE], [SQUARE]]}, "2 polygons"),
        ({"type": "Polygon", "coordinates": []}, "without an edge"),
        ({"type": "Polygon", "coordinates": [SQUARE[:-1]]}, "not closed"),
        ({"type": "Polygon", "coordinates": [[["a", 1]] * 5]}, "not two numbers"),
        (
            {"type": "Polygon", "coordinates": [[[51.0, -100.0], [51.0, -99.0], [52, -99], [51.0, -100.0]]]},
            "latitude before longitude",
        ),
        (
            {"type": "Polygon", "coordinates": [[SQUARE[0], SQUARE[2], SQUARE[1], SQUARE[3], SQUARE[0]]]},
            "self-intersection",
        ),
        ([1, 2], "0 polygons"),
    ],
)
def test_outlines_that_are_refused(tmp_path, geometry, words):
    with pytest.raises(BuildSheetError, match=words):
        read_field(_geojson(tmp_path, geometry))


def test_what_is_not_json_is_refused(tmp_path):
    with pytest.raises(BuildSheetError, match="not JSON"):
        read_field(_written(tmp_path, "{", "field.geojson"))


def _feature(kind, shape, coordinates, name=""):
    return {
        "type": "Feature",
        "properties": {"kind": kind, "name": name},
        "geometry": {"type": shape, "coordinates": coordinates},
    }


def _map(folder, *features):
    field = _feature("field", "Polygon", [SQUARE])
    return _geojson(folder, {"type": "FeatureCollection", "features": [field, *features]})


def test_people_roads_and_what_else_lies_there_are_read_by_kind(tmp_path):
    path = _map(
        tmp_path,
        _feature("people", "Polygon", [SQUARE], "car park"),
        _feature("road", "LineString", [[-1.0, 51.0], [-0.9, 51.0]]),
        _feature("building", "Point", [-1.0, 51.0], "barn"),
    )
    assert read_field(path)[0].tolist() == SQUARE
    people, road, barn = read_marks(path)
    assert (people.kind, people.name, people.is_area) == (MarkKind.PEOPLE, "car park", True)
    assert people.rings_deg[0].tolist() == SQUARE
    assert (road.kind, road.name, road.is_area) == (MarkKind.ROAD, "", False)
    assert barn.rings_deg[0].tolist() == [[-1.0, 51.0]]


@pytest.mark.parametrize(
    ("feature", "words"),
    [
        (_feature("crowd", "Point", [0, 0]), "field, pad, people, road"),
        (_feature("", "LineString", [[0, 0], [1, 1]]), "field, pad, people, road"),
        (_feature("road", "MultiPoint", [[0, 0]]), "a Polygon, a LineString or a Point"),
        (_feature("road", "LineString", []), "0 points"),
        (_feature("road", "LineString", [[0, 100]]), "beyond 180 or 90"),
        (_feature("people", "Polygon", [SQUARE[:-1]]), "not closed"),
        (
            _feature("people", "Polygon", [[SQUARE[0], SQUARE[2], SQUARE[1], SQUARE[3], SQUARE[0]]]),
            "self-intersection",
        ),
        ({"type": "Feature", "properties": {"kind": "road"}}, "a road that is a nothing"),
    ],
)
def test_what_is_no_thing_on_a_map_is_refused(tmp_path, feature, words):
    with pytest.raises(BuildSheetError, match=words):
        read_marks(_map(tmp_path, feature))


def test_a_bare_polygon_has_nothing_round_it(tmp_path):
    assert read_marks(_geojson(tmp_path, {"type": "Polygon", "coordinates": [SQUARE]})) == ()


def test_metres_per_degree_of_latitude():
    """111 132 m at 45 deg, 110 574 m at the equator: from memory of WGS 84 tables, not re-read."""
    per_degree = [metres_per_radian(math.radians(at))[1] * math.pi / 180 for at in (45.0, 0.0)]
    assert per_degree == pytest.approx([111_132.0, 110_574.0], abs=1.0)


def test_there_and_back_again():
    place = (math.radians(-35.0), math.radians(179.999))
    points = np.array([[179.99, -35.01], [-179.998, -34.99]])
    local = to_local(points, *place)
    assert np.hypot(*local.T).max() < 2000.0
    back = (to_degrees(local, *place) + 180.0) % 360.0 - 180.0
    assert back == pytest.approx(points, abs=1e-9)


def test_the_pole_has_no_east():
    with pytest.raises(OutsideRange, match="-89 to 89"):
        metres_per_radian(math.radians(89.5))


def _project(tmp_path, *changes, site="", extra=None):
    """Copy of the full sheet with words changed, and lines added to its site."""
    folder = tmp_path / "project"
    shutil.copytree(FULL, folder)
    for name, text in (extra or {}).items():
        (folder / name).write_text(text)
    with (folder / "site.toml").open("a") as file:
        file.write(site)
    sheet = folder / "lamp.toml"
    text = sheet.read_text()
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    sheet.write_text(text)
    return sheet


def test_a_sheet_brings_its_wind_its_field_and_its_scatter(tmp_path):
    sheet = _project(
        tmp_path,
        (
            "[launch]\n",
            '[scatter]\nfin_angle = "1 deg"\ncanopy_stays_in = "2 %"\n\n[launch]\nwind_column = "w.csv"\n',
        ),
        site='latitude = "51.01 deg"\nlongitude = "-1 deg"\nfield = "field.geojson"\n',
        extra={
            "w.csv": "10 4 270\n300 9 300\n",
            "field.geojson": json.dumps({"type": "Polygon", "coordinates": [SQUARE]}),
        },
    )
    loaded = read_sheet(sheet)
    assert loaded.wind_column.heights_m.tolist() == [10.0, 300.0]
    assert loaded.field.pad_latitude_rad == pytest.approx(math.radians(51.01))
    assert loaded.sheet.scatter.given("fin_angle").value == pytest.approx(math.radians(1.0))
    assert loaded.sheet.scatter.given("rail_tilt") is None
    assert loaded.sheet.scatter.gusts is True


@pytest.mark.parametrize(
    ("site", "words"),
    [
        ('field = "field.geojson"\n', "without the pad's latitude"),
        ('field = "nowhere.geojson"\n', "a file that is there"),
    ],
)
def test_a_field_that_cannot_be_placed_is_refused(tmp_path, site, words):
    square = json.dumps({"type": "Polygon", "coordinates": [SQUARE]})
    sheet = _project(tmp_path, site=site, extra={"field.geojson": square})
    with pytest.raises(BuildSheetError, match=words):
        read_sheet(sheet)


def test_a_ceiling_below_the_rail_is_refused(tmp_path):
    sheet = _project(tmp_path)
    path = sheet.parent / "site.toml"
    path.write_text(path.read_text().replace('ceiling_agl = "1500 m"', 'ceiling_agl = "3 m"'))
    with pytest.raises(BuildSheetError, match="a ceiling above the rail"):
        read_sheet(sheet)


def test_a_calm_day_with_a_wind_column_is_refused(tmp_path):
    sheet = _project(
        tmp_path,
        ("[launch]\n", '[launch]\nwind_column = "w.csv"\n'),
        extra={"w.csv": "10 4 270\n300 9 300\n"},
    )
    lines = [
        'wind = "0 m/s"' if line.startswith("wind = ") else line for line in sheet.read_text().splitlines()
    ]
    sheet.write_text("\n".join(lines))
    with pytest.raises(BuildSheetError, match="the column's own wind at 10 m"):
        read_sheet(sheet)


def test_a_fault_of_a_wind_column_names_its_line(tmp_path):
    for text, line in (
        ("# made up\nheight (ft), speed (m/s), from (deg)\n0, 3, 270\n10, 4, 270\n", 2),
        ("height (m), speed (m/s), from (deg)\n0, 3, 270\n10, 400, 270\n", 3),
        ("0, 3, 270\n10, 4, 270\n10, 4, 270\n", 3),
        ("0, 3, 270\n", 1),
    ):
        with pytest.raises(BuildSheetError) as caught:
            read_wind_column(_written(tmp_path, text))
        assert [fault.line for fault in caught.value.faults] == [line], text
