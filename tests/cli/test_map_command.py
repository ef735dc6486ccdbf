"""``finial map``: one answer for the field of the day, as text, JSON, SVG, GeoJSON and KML."""

import json
import shutil
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest
from click.testing import CliRunner
from untried import untried

from finial.cli.map_command import command
from finial.findings.check import load, readiness
from finial.findings.finding import Verdict
from finial.findings.long_looks import left_open
from finial.findings.readiness import Depth

EXAMPLES = Path(__file__).parents[2] / "examples"
KML = "{http://www.opengis.net/kml/2.2}"


@pytest.fixture(scope="module", autouse=True)
def no_advice():
    """No test here reads any."""
    with untried():
        yield


@pytest.fixture(scope="module")
def project(tmp_path_factory):
    """Skerry Light on the field of the example with every key."""
    folder = tmp_path_factory.mktemp("map") / "it"
    shutil.copytree(EXAMPLES / "skerry-light", folder)
    shutil.copy(EXAMPLES / "every-key" / "field.geojson", folder)
    site = (folder / "site.toml").read_text(encoding="utf-8")
    place = 'field = "field.geojson"\nlatitude = "48 deg"\nlongitude = "-20 deg"\n'
    (folder / "site.toml").write_text(site + place, encoding="utf-8")
    return folder / "skerry-light.toml"


@pytest.fixture(scope="module")
def told(project):
    words = [str(project), "--flights", "100", "--quiet", "--json"]
    done = CliRunner().invoke(command, words, standalone_mode=False)
    assert done.return_value == 0, done.output
    return json.loads(done.stdout)


def test_the_answer_and_its_files_say_the_same(told, project):
    found = told["map"]
    assert told["verdict"] == "caution"
    assert found["flights"] == 100
    assert {(one["kind"], one["name"]) for one in found["on_marks"]} == {
        ("road", "lane"),
        ("people", "car park"),
        ("building", "barn"),
        ("water", "pond"),
        ("trees", "copse"),
    }
    features = json.loads((project.parent / "skerry-light-map" / "map.geojson").read_text())["features"]
    named = {one["properties"]["name"]: one["geometry"] for one in features}
    assert {"pad", "field", "people car park", "without a canopy, the farthest flight"} <= named.keys()
    landings = np.array(named["Skerry Light: landing points"]["coordinates"])
    # One degree of latitude is 111.2 km at 48 deg, of longitude 74.6 km (WGS 84, any table).
    east, north = ((landings - [-20.0, 48.0]) * [74_628.0, 111_200.0]).mean(axis=0)
    assert np.hypot(east, north) == pytest.approx(found["walk_m"], rel=2e-3)
    assert np.arctan2(east, north) % (2 * np.pi) == pytest.approx(found["walk_bearing_rad"], abs=2e-3)
    circle = np.array(named["without a canopy, the farthest flight"]["coordinates"][0])
    reach = np.hypot(*((circle - [-20.0, 48.0]) * [74_628.0, 111_200.0]).T)
    assert reach == pytest.approx(found["without_canopy_farthest_m"], rel=2e-3)


def test_outer_edges_run_anticlockwise_as_the_standard_wants(told, project):
    features = json.loads((project.parent / "skerry-light-map" / "map.geojson").read_text())["features"]
    rings = [one["geometry"]["coordinates"][0] for one in features if one["geometry"]["type"] == "Polygon"]
    assert len(rings) >= 6
    for ring in map(np.array, rings[2:]):  # ellipse and field before them are tested with campaigns
        (x, y), (further_x, further_y) = ring[:-1].T, ring[1:].T
        assert np.sum(x * further_y - further_x * y) > 0.0


def test_kml_holds_every_outline(told, project):
    tree = ElementTree.parse(project.parent / "skerry-light-map" / "map.kml")
    names = {one.findtext(f"{KML}name") for one in tree.iter(f"{KML}Placemark")}
    assert {"pad", "field", "landing points", "least distance of people by the code"} <= names


def test_the_picture_is_to_scale(told, project):
    tree = ElementTree.parse(project.parent / "skerry-light-map" / "map.svg").getroot()
    at = {one.get("id"): one for one in tree.iter() if one.get("id")}
    ballistic, minimum = (float(at[f"fieldmap-{name}"].get("r")) for name in ("ballistic", "minimum"))
    found = told["map"]
    wanted = found["without_canopy_farthest_m"] / found["people_minimum_m"]
    assert ballistic / minimum == pytest.approx(wanted, rel=1e-3)
    walk = at["fieldmap-walk"]
    along = float(walk.get("x2")) - float(walk.get("x1"))
    assert along * ballistic > 0.0  # to the east, as the wind from the west carries it
    length = np.hypot(along, float(walk.get("y2")) - float(walk.get("y1")))
    assert length / ballistic == pytest.approx(found["walk_m"] / found["without_canopy_farthest_m"], rel=1e-3)


def test_the_latest_wind_is_the_last_in_which_nothing_fails(told, project):
    wind = told["map"]["wind"]
    vehicle = load(project)

    def fails(speed: float) -> set[str]:
        given = {("launch", "wind"): f"{speed} m/s +- {wind['tolerance_m_s']} m/s"}
        found = readiness(vehicle, given, depth=Depth.QUICK).findings
        return {one.key for one in found if one.verdict >= Verdict.NOT_KNOWN and not left_open(one)}

    assert wind["fails_in_a_calm"] == []
    assert fails(wind["latest_m_s"]) == set()
    assert fails(wind["latest_m_s"] + 0.5) == set(wind["then_fails"]) != set()


def test_text_says_where_to_walk_and_what_lean(finial, project):
    done = finial("map", project, "--flights", "50", "--quiet")
    assert done.code == 0
    for said in ("walk from the pad", "without a canopy", "road lane", "Which way to lean", "go up to"):
        assert said in done.out


def test_without_a_place_there_is_only_the_picture(finial, tmp_path):
    shutil.copytree(EXAMPLES / "skerry-light", tmp_path / "it")
    done = finial("map", tmp_path / "it" / "skerry-light.toml", "--flights", "50", "--folder", tmp_path / "m")
    assert done.code == 0
    assert [one.name for one in (tmp_path / "m").iterdir()] == ["map.svg"]
    assert "tells of no people, roads or buildings" in done.out
