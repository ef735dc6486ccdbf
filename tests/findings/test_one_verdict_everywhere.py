"""One sheet, one verdict: every command, the page, the PDF's words, JSON and library say the same of it."""

import io
import json
import shutil
from contextlib import nullcontext, redirect_stderr, redirect_stdout
from pathlib import Path

import pytest
from click.testing import CliRunner
from untried import untried

import finial as library
from finial.cli.main import finial
from finial.cli.options import EXIT_CODES
from finial.findings.kept_check import kept_check
from finial.findings.readiness import Depth
from finial.report.pdf import report_data
from finial.report.words import answer, headline_word
from finial.web.payload import answer_text

EXAMPLES = Path(__file__).parents[2] / "examples"
NAMES = ("skerry-light", "buoy-tiers", "pagoda", "phone-box")
TOLD = ("skerry-light", "buoy-tiers")
COMMANDS = ("check", "air", "fly", "strength", "recovery")
DEFECTS = {
    "no protector": ("skerry-light", 'protector = "', '# protector = "'),
    "few grams": ("skerry-light", 'powder = "0.62 g', 'powder = "0.1 g'),
    "a hot day": ("skerry-light", 'temperature = "22 degC', 'temperature = "48 degC'),
}


def silent(_note: str) -> None:
    """Pass over progress."""


@pytest.fixture(scope="module", params=[*NAMES, *DEFECTS])
def sheet(request, tmp_path_factory):
    """An example as it ships, or with one defect."""
    name, old, new = DEFECTS.get(request.param, (request.param, "", ""))
    folder = tmp_path_factory.mktemp("vehicle") / name
    shutil.copytree(EXAMPLES / name, folder)
    path = folder / f"{name}.toml"
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1) if old else text, encoding="utf-8")
    # Advice takes most of the time and is told for two examples; what the others add is their verdict.
    with nullcontext() if request.param in TOLD else untried():
        yield path


@pytest.fixture(scope="module")
def whole(sheet):
    return kept_check(sheet, Depth.WHOLE, silent)


def run(*arguments: str):
    done = CliRunner().invoke(finial, [*arguments, "--quiet"], standalone_mode=False)
    assert done.exception is None, done.exception
    return done


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_opens_with_the_sentence_and_ends_with_its_code(sheet, whole, command):
    done = run(command, str(sheet))
    said = " ".join(done.output.split())
    assert said.startswith(answer(whole))
    assert done.return_value == EXIT_CODES[whole.verdict]


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_says_it_in_json_too(sheet, whole, command):
    done = run(command, str(sheet), "--json")
    told = json.loads(done.output)
    assert (told["answer"], told["verdict"]) == (answer(whole), whole.verdict.words)
    assert [(one["key"], one["verdict"]) for one in told["findings"]] == [
        (one.key, one.verdict.words) for one in whole.findings
    ]
    assert done.return_value == EXIT_CODES[whole.verdict]


def test_the_report_shows_it_and_returns_its_code(sheet, whole):
    done = run("report", str(sheet))
    assert done.return_value == EXIT_CODES[whole.verdict]
    told = report_data(whole)
    assert (told["answer"], told["verdict"]) == (answer(whole), headline_word(whole.verdict))


def test_the_page_shows_it(whole):
    told = json.loads(answer_text(whole))
    assert (told["headline"], told["verdict"]) == (answer(whole), whole.verdict.words)


def test_the_library_says_it(sheet, whole):
    with redirect_stdout(io.StringIO()), redirect_stderr(io.StringIO()):
        found = library.load(sheet).check()
    assert (repr(found), found.verdict) == (answer(whole), whole.verdict)


def test_the_quick_look_is_never_milder(sheet, whole):
    """It may miss what only the long look finds, and says then that it is not known; never go."""
    quick = run("check", str(sheet), "--quick", "--json")
    assert json.loads(quick.output)["verdict"] in ("no-go", "not known")
    if whole.verdict.words == "go":
        assert quick.return_value == EXIT_CODES[whole.verdict] + 4
