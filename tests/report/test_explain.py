"""Every check explained in general, and what it found on a vehicle."""

import re
from pathlib import Path

import pytest
from click.testing import CliRunner

from finial.cli.main import finial
from finial.core.errors import MissingData
from finial.report.explain import explain_lines, explained, found, here_lines, list_lines
from finial.report.wording import WORDINGS
from finial.report.wording.ways import WAYS, way_of

DOCS = Path(__file__).parents[2] / "docs"


@pytest.mark.parametrize("key", WORDINGS)
def test_every_check_is_explained_without_a_hole(key):
    told = explained(key)
    sentences = (told.title, told.why, told.way, *told.limits, *told.reasons, *told.fixes)
    assert told.title
    # Braces are left where a sentence writes TOML: an inline table holds more than a name.
    assert not any(re.search(r"\{\w+\}", one) for one in sentences)


@pytest.mark.parametrize("way", WAYS, ids=lambda way: way.keys[0])
def test_the_page_that_tells_more_has_that_heading(way):
    page = (DOCS / f"{way.page}.md").read_text(encoding="utf-8")
    assert re.search(rf"^#+ {re.escape(way.heading)}$", page, re.M)


def test_ways_name_checks_that_there_are_and_the_special_goes_first():
    assert {key for way in WAYS for key in way.keys} == set(WORDINGS)
    assert "m v^2 / 2" in way_of("landing-energy")
    assert way_of("landing-energy") != way_of("canopy-cloth")


def text(lines):
    return "\n".join(line.text for line in lines)


def test_an_explanation_says_why_how_and_what_to_change():
    told = text(explain_lines(explained("margin"), 90))
    assert told.startswith("margin at <case>  (margin)\n  If the air pushes ahead of the balance point")
    assert "forward end of the pressure band - aft end of the balance point" in told
    assert "Move the balance point <short> forward" in told
    assert max(map(len, told.splitlines())) <= 90


def test_an_unknown_word_lists_the_checks_that_have_it():
    with pytest.raises(MissingData, match=r"with that word: .*rail-exit-speed") as told:
        explained("rail")
    assert set(told.value.known) == set(found("rail"))
    with pytest.raises(MissingData, match=r"no check is called 'kettle'. `finial explain` lists them all"):
        explained("kettle")


def test_the_list_has_a_line_for_each():
    told = text(list_lines(200)).splitlines()
    assert [line.split()[0] for line in told] == list(WORDINGS)


def test_on_a_vehicle_it_gives_number_limit_source_and_caution(answered_lighthouse):
    told = text(here_lines("thrust-to-weight", answered_lighthouse, 90))
    finding = next(one for one in answered_lighthouse.findings if one.key == "thrust-to-weight")
    assert "On Skerry Light\ngo: thrust to weight\n  Found: " in told
    assert "computed" in told
    assert re.sub(r"\s+", " ", f"Source: {finding.bound.source}.") in re.sub(r"\s+", " ", told)
    assert "range safety officer" in told
    none = text(here_lines("cluster-lights", answered_lighthouse, 90))
    assert "nothing to look at on this vehicle" in none


@pytest.fixture(scope="module")
def answered_lighthouse(lighthouse):
    from finial.findings.check import readiness
    from finial.findings.readiness import Depth

    return readiness(lighthouse, depth=Depth.QUICK)


def test_the_command_lists_explains_and_refuses():
    run = CliRunner()
    assert run.invoke(finial, ["explain"]).output.startswith("entered ")
    assert "m v^2 / 2" in run.invoke(finial, ["explain", "landing-energy"]).output
    assert '"key": "margin"' in run.invoke(finial, ["explain", "margin", "--json"]).output
    assert isinstance(run.invoke(finial, ["explain", "kettle"]).exception, MissingData)
