"""Whatever a builder reads is in the units that the sheet shows: every command, its pictures, PDF and page.

Left out: what is sold by a unit everywhere (powder by the gram, impulse in newton seconds), names of things
(a webbing of 1000 lbf), the laws' own words, and the list of sources, which quotes them.
"""

import json
import re
import shutil
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from finial.cli.main import main
from finial.findings.check import load
from finial.findings.kept_check import kept_check
from finial.findings.limits import Limits
from finial.findings.readiness import Depth, Readiness
from finial.findings.rules.plausible_rules import usual_ranges
from finial.report.pdf import report_data
from finial.web.payload import answer_text
from finial.web.serve import session_of

EXAMPLE = Path(__file__).parents[2] / "examples" / "buoy-tiers"
METRIC = r"mm2?|cm[23]?|km|m/s2?|m2|m3|m|kg/m3?|kg m2|kg|g/m|kN|N m|N(?! s)|[kMGh]?Pa|J|degC|K|L|ml"
US = r"in2?|in3|ft2?|ft3|ft/s|mph|lb/ft3|lb ft2|lb|oz|lbf ft|lbf|psi|ksi|degF|ft lbf"
OTHER = {"us": METRIC, "metric": US}
SOURCES = frozenset({"methods", "sources", "source", "limits_used", "methods_used"})
NAMED = re.compile(r"\d+ lbf(?= webbing)|webbing \d+ lbf|\b1 in [\d,]+|\d+ in all\b")
COMMANDS = {
    "check": (),
    "air": ("--plots", "PICTURES"),
    "strength": ("--plots", "PICTURES"),
    "recovery": ("--plots", "PICTURES"),
    "fly": ("--plots", "PICTURES"),
    "inside": ("--plots", "PICTURES"),
    "map": ("--flights", "50", "--folder", "PICTURES"),
    "campaign": ("--flights", "12", "--tracks", "1", "--folder", "PICTURES"),
}


def foreign(text: str, units: str) -> list[str]:
    """Lines with a number, an end of an interval or a heading in a unit of the other kind."""
    other = re.compile(rf"(?<![\w.])(?:\d[\d.,]*\)?|\)|,|\[) ?(?:{OTHER[units]})(?![\w/'-])")
    return [line for line in text.splitlines() if other.search(NAMED.sub("", line))]


def strings(value: object, key: str = "") -> Iterator[str]:
    if key in SOURCES:
        return
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for name, one in value.items():
            yield from strings(one, str(name))
    elif isinstance(value, list | tuple):
        for one in value:
            yield from strings(one, key)


@pytest.fixture(scope="module", params=["us", "metric"])
def units(request: pytest.FixtureRequest) -> str:
    return request.param


@pytest.fixture(scope="module")
def sheet(units: str, tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = Path(shutil.copytree(EXAMPLE, tmp_path_factory.mktemp(units) / "buoy"))
    path = folder / "buoy-tiers.toml"
    text = path.read_text(encoding="utf-8")
    assert "show_units" not in text
    # Metric is what is usual: as it is, the sheet finds the answer that other tests had.
    if units != "metric":
        written = text.replace("[vehicle]\n", f'[vehicle]\nshow_units = "{units}"\n', 1)
        path.write_text(written, encoding="utf-8")
    return path


def told_by(words: list[str], capsys: pytest.CaptureFixture[str]) -> str:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(sys, "argv", ["finial", *words, "--quiet"])
        with pytest.raises(SystemExit):
            main()
    return capsys.readouterr().out


@pytest.mark.parametrize("command", COMMANDS)
def test_no_command_prints_or_draws_the_other_units(
    command: str, sheet: Path, units: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    more = [str(tmp_path) if word == "PICTURES" else word for word in COMMANDS[command]]
    said = told_by([command, str(sheet), *more], capsys)
    assert len(said.splitlines()) > 20
    assert foreign(said, units) == []
    for picture in tmp_path.rglob("*.svg"):
        words = "\n".join(re.findall(r">([^<>]+)<", picture.read_text(encoding="utf-8")))
        assert foreign(words, units) == [], picture.name


@pytest.mark.parametrize(
    "words",
    [
        ("motors", "FOLDER", "--sheet", "SHEET"),
        ("size", "rail", "SHEET", "--wind", "5 m/s"),
        ("size", "canopy", "SHEET", "--canopy", "main", "--speed", "6 m/s"),
    ],
)
def test_no_sizing_says_the_other_units(
    words: tuple[str, ...], sheet: Path, units: str, capsys: pytest.CaptureFixture[str]
) -> None:
    places = {"SHEET": str(sheet), "FOLDER": str(sheet.parent / "motors")}
    said = told_by([places.get(word, word) for word in words], capsys)
    assert len(said.splitlines()) > 5
    assert foreign(said, units) == []


def test_neither_pdf_nor_page_says_the_other_units(sheet: Path, units: str) -> None:
    found = kept_check(sheet, Depth.WHOLE, lambda _note: None)
    assert isinstance(found, Readiness)
    printed = "\n".join(re.sub(r"<[^>]*>", " ", one) for one in strings(report_data(found)))
    assert foreign(printed, units) == []
    page = json.loads(answer_text(session_of(load(sheet)).as_written))
    assert foreign("\n".join(strings(page)), units) == []


def test_no_source_of_a_limit_names_an_amount_in_one_kind_of_unit() -> None:
    """They stand beside the limit's own number, which is shown in the sheet's units."""
    usual = Limits(own={})
    told = [one.source for one in usual_ranges().values()]
    told += [usual[name].source for name in ("rail_exit_speed", "landing_speed", "landing_energy", "reserve")]
    assert [one for one in told if foreign(one, "us") or foreign(one, "metric")] == []
