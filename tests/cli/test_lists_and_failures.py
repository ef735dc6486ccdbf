"""What is known, listed; and what a failure says, with which code."""

import importlib
import json
import runpy
import sys
import traceback

import click
import pytest

from finial.cli import main as entry
from finial.cli.options import EXIT_CODES, exit_code, teller
from finial.core.errors import MissingData
from finial.core.version import __version__
from finial.findings.finding import Verdict
from finial.materials.material import material, material_names
from finial.recovery.canopies.kinds import canopy_kinds

from .conftest import BUOY


@pytest.mark.parametrize(
    ("command", "names"),
    [
        ("materials", [material(name).name for name in material_names()]),
        ("canopies", [kind.name for kind in canopy_kinds()]),
    ],
)
def test_lists_name_everything_known(finial, command, names):
    plain, listed = finial(command), finial(command, "--json")
    rows = json.loads(listed.out)
    assert (plain.code, listed.code, plain.err, listed.err) == (0, 0, "", "")
    assert len(rows) == len(names)
    for name in names:
        assert name in plain.out
        assert name in listed.out
    assert listed.out == json.dumps(rows, indent=1) + "\n"


def test_the_codes_are_those_that_the_help_says():
    """0 go, 3 no-go, 4 not known; a caution is a go, and with --strict not known."""
    assert EXIT_CODES == {Verdict.GO: 0, Verdict.CAUTION: 0, Verdict.NO_GO: 3, Verdict.NOT_KNOWN: 4}
    strict = {verdict: exit_code(verdict, strict=True) for verdict in Verdict}
    assert strict == EXIT_CODES | {Verdict.CAUTION: 4}
    for code, words in ((0, "go"), (3, "no-go"), (4, "not known"), (2, "wrong input"), (1, "a fault")):
        assert f"{code} {words}" in entry.finial.help


@pytest.mark.parametrize(
    ("failure", "code", "words"),
    [
        (MissingData("no such canopy"), 2, "no such canopy"),
        (click.UsageError("give one"), 2, "give one"),
        (click.exceptions.Abort(), 130, "interrupted"),
        (PermissionError(13, "Permission denied", "there.svg"), 2, "there.svg: "),
        (OSError("a disk that is full"), 2, "what was to be written: "),
        (ZeroDivisionError("by nothing"), 1, "ZeroDivisionError: by nothing"),
    ],
)
def test_every_failure_is_one_message_on_stderr_and_its_code(finial, monkeypatch, failure, code, words):
    def fails(**_how):
        raise failure

    monkeypatch.delenv("FINIAL_DEBUG", raising=False)
    monkeypatch.setattr(entry.finial, "main", fails)
    done = finial()
    assert (done.code, done.out) == (code, "")
    assert words in done.err
    assert "Traceback" not in done.err


def test_where_a_fault_lies_is_shown_when_asked(finial, monkeypatch):
    shown = []
    monkeypatch.setenv("FINIAL_DEBUG", "1")
    monkeypatch.setattr(traceback, "print_exc", lambda: shown.append(sys.exception()))
    monkeypatch.setattr(entry.finial, "main", lambda **_how: 1 / 0)
    assert finial().code == 1
    assert isinstance(shown[0], ZeroDivisionError)


def test_version_and_help_end_well_and_list_every_command(finial):
    version, told = finial("--version"), finial("--help")
    assert (version.code, told.code) == (0, 0)
    assert __version__ in version.out
    listed = [line.split()[0] for line in told.out.partition("Commands:")[2].splitlines() if line.strip()]
    assert [word for word in listed if word in entry.COMMANDS] == list(entry.COMMANDS)
    assert entry.finial.list_commands(click.Context(entry.finial)) == list(entry.COMMANDS)


def test_notes_go_to_stderr_or_nowhere(capsys):
    teller(quiet=False)("slicing")
    teller(quiet=True)("never")
    told = capsys.readouterr()
    assert (told.out, told.err) == ("", "... slicing\n")


@pytest.mark.parametrize(("words", "opened"), [((), True), (("--no-browser",), False)])
def test_open_serves_the_loaded_sheet_and_opens_a_browser_unless_told(finial, monkeypatch, words, opened):
    served = []
    monkeypatch.setattr("finial.findings.check.load_begun", lambda path, tell: ("loaded", path, tell("read")))
    monkeypatch.setattr("finial.web.serve.serve", lambda loaded, **how: served.append((loaded, how)))
    done = finial("open", BUOY, "--port", 8123, *words)
    assert (done.code, done.err) == (0, "... read\n")
    ((loaded, how),) = served
    assert loaded == ("loaded", BUOY, None)
    assert (how["port"], how["open_browser"]) == (8123, opened)


def test_the_module_is_the_command_and_importing_it_runs_nothing(monkeypatch, capsys):
    """``python -m finial`` runs it; what only imports it, such as a process of a pool, does not."""
    monkeypatch.setattr(sys, "argv", ["finial", "--version"])
    with pytest.raises(SystemExit) as ended:
        runpy.run_module("finial", run_name="__main__")
    assert ended.value.code == 0
    assert __version__ in capsys.readouterr().out
    sys.modules.pop("finial.__main__", None)
    importlib.import_module("finial.__main__")
    assert capsys.readouterr().out == ""


def test_the_package_gives_the_face_by_its_names_and_nothing_else():
    import finial
    import finial.face

    for name in finial.__all__:
        given = getattr(finial, name)
        assert given is (__version__ if name == "__version__" else getattr(finial.face, name))
    with pytest.raises(AttributeError, match="has no attribute 'numpy'"):
        finial.numpy  # noqa: B018 - the asking is what is tested
