"""``finial strength``: text, JSON, pictures, exit codes."""

import json
import shutil
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest
from click.testing import CliRunner
from untried import untried

from finial.cli.strength_command import command

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    place = tmp_path_factory.mktemp("strength-command")
    shutil.copytree(EXAMPLES / "skerry-light", place, dirs_exist_ok=True)
    return place


@pytest.fixture(scope="module")
def tied(folder):
    """The example with thin clear fins and stays of wire rope."""
    text = (folder / "skerry-light.toml").read_text(encoding="utf-8")
    text = text.replace('thickness = "6.5 mm"', 'thickness = "3.5 mm"')
    stays = (
        '[[fin.stays]]\ndiameter = "1.5 mm"\nmaterial = "stainless wire rope"\nalong = "156 mm"\n'
        'outward = "114 mm"\npreload = "150 N +- 14 N"\n'
        'backing = { thickness = "6 mm", material = "birch plywood" }\n'
    )
    text = text.replace("[motor]\n", f"{stays}\n[motor]\n", 1)
    sheet = folder / "tied.toml"
    sheet.write_text(text, encoding="utf-8")
    words = [str(sheet), "--json", "--full", "--plots", str(folder / "tied")]
    with untried():
        return CliRunner().invoke(command, words, standalone_mode=False), folder / "tied"


@pytest.fixture(scope="module")
def told(folder):
    sheet = str(folder / "skerry-light.toml")
    return CliRunner().invoke(command, [sheet, "--plots", str(folder / "plots")], standalone_mode=False)


def test_text_opens_with_the_verdict_and_lists_the_fix(told):
    assert told.exception is None
    assert told.return_value == 0
    text = told.stdout
    assert text.startswith("Go, with")
    for wanted in (
        "What gives way first",
        "cheapest fix",
        "Load cases",
        "torsion",
        "Rods",
        "Fins: fins",
        "Across the layers",
        "bars of the same mean: at least",
        "Heat",
        "Caution",
    ):
        assert wanted in text
    assert max(len(line) for line in text.splitlines()) <= 100


def test_pictures_are_whole_and_say_what_they_show(told, folder):
    assert told.exception is None
    names = {path.name for path in (folder / "plots").iterdir()}
    assert names == {
        "loads.svg",
        "reserves.svg",
        "rods.svg",
        "fin-modes.svg",
        "fin-swings.svg",
        "fin-height.svg",
    }
    for path in (folder / "plots").iterdir():
        root = ET.parse(path).getroot()
        assert root.findtext("{http://www.w3.org/2000/svg}title")
        assert root.findtext("{http://www.w3.org/2000/svg}desc")


def test_json_has_everything_in_si(tied):
    result, plots = tied
    assert result.exception is None
    answer = json.loads(result.stdout)
    verdicts = {one["key"]: one["verdict"] for one in answer["findings"]}
    assert verdicts["stay-anchor-lets-go"] == "not known"
    assert result.return_value != 0
    fin = answer["strength_study"]["fins"][0]
    assert fin["bare"]["flutter"]["high"] < 0.7 * fin["held"]["flutter"]["low"]
    assert len(answer["strength_study"]["by_station"]["stations_m"]) == len(
        answer["strength_study"]["by_station"]["reserves"]
    )
    assert answer["strength_study"]["cases"][0]["torsion_n_m"]
    assert "fin-stays.svg" in {path.name for path in plots.iterdir()}


def test_a_campaign_adds_its_hardest_flights(folder, told):
    from finial.cli.campaign_command import command as campaign

    sheet, flights = str(folder / "skerry-light.toml"), str(folder / "flights")
    flown = CliRunner().invoke(
        campaign, [sheet, "--flights", "60", "--folder", flights, "--quiet"], standalone_mode=False
    )
    assert flown.exception is None
    harder = CliRunner().invoke(
        command,
        [sheet, "--campaign", flights, "--plots", str(folder / "harder"), "--quiet"],
        standalone_mode=False,
    )
    assert harder.exception is None
    assert "hardest of a campaign" in harder.stdout
    assert "hardest of a campaign" not in told.stdout
