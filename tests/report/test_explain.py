"""Every check explained in general, and what it found on a vehicle."""

import re
from pathlib import Path

import pytest
from click.testing import CliRunner

from finial.cli.main import finial
from finial.core.errors import MissingData
from finial.core.tables import table_rows
from finial.findings.limits import Limits
from finial.report.explain import explain_lines, explained, found, here_lines, list_lines
from finial.report.wording import WORDINGS
from finial.report.wording.ways import WAYS, way_of
from finial.report.wording.ways.limits import LIMITS

DOCS = Path(__file__).parents[2] / "docs"


@pytest.mark.parametrize("key", WORDINGS)
def test_every_check_is_explained_without_a_hole(key):
    told = explained(key)
    sentences = (told.title, told.why, told.way, *told.limits, *told.reasons, *told.fixes)
    assert told.title
    # Braces are left where a sentence writes TOML: an inline table holds more than a name.
    assert not any(re.search(r"\{\w+\}", one) for one in sentences)


@pytest.mark.parametrize("way", WAYS, ids=lambda way: f"{way.page}, {way.heading}")
def test_the_page_that_tells_more_has_that_heading(way):
    page = (DOCS / f"{way.page}.md").read_text(encoding="utf-8")
    assert re.search(rf"^#+ {re.escape(way.heading)}$", page, re.M)


def test_each_check_has_a_way_of_its_own():
    keys = [key for way in WAYS for key in way.told]
    told = [sentence for way in WAYS for sentence in way.told.values()]
    assert sorted(keys) == sorted(WORDINGS)
    assert len(set(told)) == len(told)
    assert way_of("landing-energy").startswith("E = m v^2 / 2")


@pytest.mark.parametrize("look", ["answered_lighthouse", "closely_answered"])
def test_a_check_names_the_usual_limits_whose_source_it_gives_and_no_other(look, request):
    readiness = request.getfixturevalue(look)
    usual, of_the_builder = Limits(own={}), Limits(own={"reserve": 1.0})["reserve"].source
    by_source = {}
    for name in usual_names():
        if usual[name].source != "common practice":  # which many others give as well
            by_source.setdefault(usual[name].source, set()).add(name)
    for finding in readiness.findings:
        said = {
            name for source, names in by_source.items() if source in finding.bound.source for name in names
        }
        named = set(LIMITS.get(finding.key, ()))
        # Two limits may give the same source in the same words.
        assert not said or said & named, finding.key
        own = finding.bound.source == of_the_builder
        if finding.key in LIMITS and not own:
            assert all(usual[name].source in finding.bound.source or len(named) > 1 for name in named), (
                finding.key
            )


def test_every_usual_limit_is_asked_by_some_check():
    assert {name for names in LIMITS.values() for name in names} == set(usual_names())
    assert set(LIMITS) <= set(WORDINGS)
    told = text(explain_lines(explained("landing-speed"), 200))
    assert "landing_speed = 6.1 m/s. common practice" in told


def usual_names():
    return [row["name"] for row in table_rows("finial.findings", "limits.csv")]


def text(lines):
    return "\n".join(line.text for line in lines)


def test_an_explanation_says_why_how_and_what_to_change():
    told = text(explain_lines(explained("margin"), 90))
    assert told.startswith("margin at <case>  (margin)\n  If the air pushes ahead of the balance point")
    assert "forward end of the pressure band - aft end of the balance point" in told
    assert "At the bad end the balance point is <short> too far aft" in told
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


@pytest.fixture(scope="module")
def closely_answered(lighthouse):
    from finial.findings.check import readiness
    from finial.findings.readiness import Depth

    return readiness(lighthouse, depth=Depth.WHOLE)


def test_the_command_lists_explains_and_refuses():
    run = CliRunner()
    assert run.invoke(finial, ["explain"]).output.startswith("entered ")
    assert "m v^2 / 2" in run.invoke(finial, ["explain", "landing-energy"]).output
    assert '"key": "margin"' in run.invoke(finial, ["explain", "margin", "--json"]).output
    assert isinstance(run.invoke(finial, ["explain", "kettle"]).exception, MissingData)


@pytest.mark.parametrize("look", ["answered_lighthouse", "closely_answered"])
def test_no_finding_says_what_its_check_is_explained_without(look, request):
    for finding in request.getfixturevalue(look).findings:
        said = {*finding.reasons, *(fix.key for fix in finding.fixes)}
        assert not said & WORDINGS[finding.key].elsewhere, finding.key


def test_a_wall_is_explained_without_the_reasons_of_fins_and_motors():
    told = " ".join((*explained("wall-sheared").reasons, *explained("wall-sheared").fixes))
    assert not any(words in told for words in ("screen from 1958", "motor", "drawn in"))
    assert "Loaded to <load>, holds <strength>." in told
    assert "screen from 1958" in " ".join(explained("fin-flutters").reasons)
    assert "times as thick" in told
