"""``finial campaign`` as a builder runs it, and what it leaves behind."""

import io
import json
import shutil
import subprocess
import sys
import xml.etree.ElementTree as ElementTree
from contextlib import redirect_stderr, redirect_stdout
from pathlib import Path

import numpy as np
import pytest
from untried import untried

from finial.campaign.cluster import Cluster
from finial.campaign.landing import landing_ellipse
from finial.cli.main import main
from finial.flight.uncertain import Drawn, Uncertain
from finial.report.campaign_map import OnMap, geojson, kml
from finial.report.campaign_words import advice

EXITS = {"go": 0, "caution": 0, "no-go": 3, "not known": 4}
EXAMPLE = Path(__file__).parents[2] / "examples" / "buoy-tiers"
PAD = ["51.01 deg", "-1 deg"]
FIELD = [[-1.01, 51.0], [-0.99, 51.0], [-0.99, 51.02], [-1.01, 51.02], [-1.01, 51.0]]


def finial(*arguments):
    """Run the command here: a process of its own for each would spend most of its time on imports."""
    out, err = io.StringIO(), io.StringIO()
    with pytest.MonkeyPatch.context() as patch, redirect_stdout(out), redirect_stderr(err):
        patch.setattr(sys, "argv", ["finial", *map(str, arguments)])
        with pytest.raises(SystemExit) as ended:
            main()
    return subprocess.CompletedProcess(arguments, ended.value.code, out.getvalue(), err.getvalue())


@pytest.fixture(scope="module", autouse=True)
def no_advice():
    """No test here reads any."""
    with untried():
        yield


@pytest.fixture(scope="module")
def sheet(tmp_path_factory):
    """The drawn example with a field's outline, a wind measured aloft and odds of its own."""
    folder = tmp_path_factory.mktemp("project") / "buoy"
    shutil.copytree(EXAMPLE, folder)
    polygon = {"type": "Polygon", "coordinates": [FIELD]}
    (folder / "field.geojson").write_text(json.dumps(polygon))
    (folder / "aloft.csv").write_text("height (m), speed (m/s), from (deg)\n10, 3, 250\n300, 6, 280\n")
    with (folder / "site.toml").open("a") as site:
        site.write(f'latitude = "{PAD[0]}"\nlongitude = "{PAD[1]}"\nfield = "field.geojson"\n')
    path = folder / "buoy-tiers.toml"
    text = path.read_text().replace("[launch]\n", '[launch]\nwind_column = "aloft.csv"\n')
    path.write_text(text + '\n[scatter]\ncanopy_stays_in = "5 %"\nfin_angle = "1 deg"\n')
    return path


@pytest.fixture(scope="module")
def run(sheet, tmp_path_factory):
    folder = tmp_path_factory.mktemp("flown")
    done = finial(
        "campaign", sheet, "--flights", 300, "--seed", 7, "--folder", folder, "--tracks", 3, "--json"
    )
    told = json.loads(done.stdout)
    assert EXITS[told["verdict"]] == done.returncode, done.stderr
    return told["campaign"], folder


def test_answer_has_odds_scatter_and_what_decides(run):
    answer, _ = run
    odds = {one["asked"]: one for one in answer["odds"]}
    inside = odds["lands inside the field's outline"]
    assert inside["flights"] == 300
    assert inside["low"] < inside["count"] / 300 <= inside["high"]
    assert {one["key"] for one in answer["scatters"]} >= {"apogee_m", "rail_exit_margin_m", "drift_m"}
    assert answer["decided"]["apogee_m"]["causes"][0]["share"] > 0.1
    drawn = {one["draw"]["kind"]: one["draw"]["name"] for one in answer["decided"]["apogee_m"]["causes"]}
    assert drawn["axial_force"] == "drag"
    assert any(one["what"].endswith("stays in") and one["flights"] > 3 for one in answer["failures"])


def test_the_same_command_again_flies_nothing_and_says_the_same(run, sheet):
    answer, folder = run
    before = {path.name: path.stat().st_mtime_ns for path in folder.glob("flights-*")}
    again = finial("campaign", sheet, "--flights", 300, "--seed", 7, "--folder", folder, "--json", "--quiet")
    assert json.loads(again.stdout)["campaign"] == answer
    assert {path.name: path.stat().st_mtime_ns for path in folder.glob("flights-*")} == before
    assert again.stderr == ""


def test_pictures_and_maps_lie_beside_the_flights(run):
    _, folder = run
    names = {path.name for path in folder.iterdir()}
    assert {"landings.svg", "apogee.svg", "decides-apogee.svg", "answer.json", "landings.kml"} <= names
    assert len(list((folder / "tracks").glob("flight-*.csv"))) == 3
    assert "tracks.svg" in names
    for path in folder.glob("*.svg"):
        assert ElementTree.fromstring(path.read_text()).tag.endswith("svg")
    features = json.loads((folder / "landings.geojson").read_text())["features"]
    assert features[0]["geometry"]["coordinates"] == pytest.approx([-1.0, 51.01])
    points = np.array(features[1]["geometry"]["coordinates"])
    assert len(points) > 250
    assert np.abs(points - [-1.0, 51.01]).max() < 0.05


def test_another_seed_in_the_same_folder_is_refused(run, sheet):
    _, folder = run
    done = finial("campaign", sheet, "--flights", 300, "--seed", 8, "--folder", folder)
    assert done.returncode == 2
    assert "holds another campaign" in done.stderr


def test_text_says_odds_first_and_the_caution_last(run, sheet):
    _, folder = run
    done = finial("campaign", sheet, "--flights", 300, "--seed", 7, "--folder", folder)
    assert done.returncode in EXITS.values()
    assert done.stdout.startswith(("Go", "No-go", "Not known"))  # the one verdict stands above the odds
    assert done.stdout.index("Odds") < done.stdout.index("Scatter") < done.stdout.index("Caution")
    assert "to settle it" in done.stdout


@pytest.mark.filterwarnings("ignore::ResourceWarning", "ignore::DeprecationWarning")
def test_a_scheduler_that_does_not_answer_leaves_everything(sheet, tmp_path, monkeypatch):
    monkeypatch.setitem(Cluster.__init__.__kwdefaults__, "answer_s", 0.5)
    command = ("campaign", sheet, "--flights", "10", "--folder", tmp_path / "c")
    done = finial(*command, "--cluster", "tcp://127.0.0.1:9")
    assert done.returncode == 2
    assert "no scheduler answers" in done.stderr


def test_two_ways_to_fly_at_once_are_refused(sheet, tmp_path):
    done = finial("campaign", sheet, "--cluster", "tcp://127.0.0.1:9", "--processes", 2, "--folder", tmp_path)
    assert done.returncode == 2
    assert "give one of them" in done.stderr
    done = finial("campaign", sheet, "--gpu", "--processes", 2, "--folder", tmp_path)
    assert (done.returncode, "--processes and --gpu: give one" in done.stderr) == (2, True)


def test_without_a_card_it_flies_on_the_processor_and_says_so(sheet, tmp_path):
    from numba import cuda

    if cuda.is_available():
        pytest.skip("there is a card")
    done = finial("campaign", sheet, "--gpu", "--flights", 40, "--folder", tmp_path / "c", "--json")
    assert done.returncode in EXITS.values(), done.stderr
    assert "no graphics card" in done.stderr
    assert "flying on the processor instead" in done.stderr
    assert json.loads(done.stdout)["campaign"]["rounding"] == "processors"


def _drawn():
    points = np.random.default_rng(1).normal(size=(50, 2)) * [100.0, 40.0] + [200.0, 0.0]
    ring = np.array([[-500, -500], [500, -500], [500, 500], [-500, 500], [-500, -500.0]])
    return OnMap(
        name='A <b> & "c"',
        pad_rad=(0.9, -0.02),
        landings_m=points,
        ellipse=landing_ellipse(points),
        field_m=(ring, ring / 10.0),
    )


def test_kml_is_well_formed_and_names_are_escaped():
    root = ElementTree.fromstring(kml(_drawn()))
    space = {"k": "http://www.opengis.net/kml/2.2"}
    assert root.find("k:Document/k:name", space).text == 'A <b> & "c"'
    assert len(root.findall(".//k:MultiGeometry/k:Point", space)) == 50
    assert len(root.findall(".//k:innerBoundaryIs", space)) == 1


def test_outer_edges_on_the_map_run_anticlockwise():
    """RFC 7946 section 3.1.6."""
    ring = np.array(json.loads(geojson(_drawn()))["features"][2]["geometry"]["coordinates"][0])
    area = np.sum(ring[:-1, 0] * ring[1:, 1] - ring[1:, 0] * ring[:-1, 1])
    assert area > 0.0
    assert ring[0] == pytest.approx(ring[-1])


@pytest.mark.parametrize(
    ("draw", "words"),
    [
        (Uncertain(kind=Drawn.STATION, of="sled"), "measure where sled sits"),
        (Uncertain(kind=Drawn.STAYS_IN, of="main"), "ground-test"),
        (Uncertain(kind=Drawn.MOTOR_MASS), "maker"),
        (Uncertain(kind=Drawn.CANOPY_DRAG, of="main"), "drop-test main"),
        (Uncertain(kind=Drawn.OTHER, of="odd thing"), "measure it"),
    ],
)
def test_advice_fits_the_number(draw, words):
    assert words in advice(draw)


def test_a_thing_called_as_another_number_begins_keeps_its_own_advice():
    # By its name this row would be the motor's mass, and the drag of a canopy.
    assert advice(Uncertain(kind=Drawn.MASS, of="the motor")) == "weigh the motor"
    assert advice(Uncertain(kind=Drawn.STATION, of="drag of main")) == "measure where drag of main sits"


@pytest.mark.parametrize("kind", Drawn)
def test_every_kind_of_number_has_its_advice(kind):
    told = advice(Uncertain(kind=kind, of="sled", side="y"))
    assert told
    assert "{" not in told
