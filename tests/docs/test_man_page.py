"""The manual page: what the commands say now, with every option, in roff that groff does not complain of."""

import importlib.util
import re
import shutil
import subprocess
import tomllib
from pathlib import Path

import click
import pytest

from finial.cli.main import COMMANDS, finial

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def maker():
    spec = importlib.util.spec_from_file_location("make_man", ROOT / "docs" / "make_man.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_the_committed_page_is_what_the_commands_say(maker):
    assert maker.PAGE.read_text(encoding="utf-8") == maker.page(), "run: python docs/make_man.py"


def test_every_command_and_every_option_stands_in_it(maker):
    page = maker.PAGE.read_text(encoding="utf-8").replace("\\-", "-")
    with click.Context(finial, info_name="finial", **finial.context_settings) as above:
        for name in COMMANDS:
            assert f".SS finial {name} " in page, name
            command = finial.get_command(above, name)
            for option in command.params:
                if isinstance(option, click.Option):
                    assert all(spelled in page for spelled in option.opts), (name, option.opts)


def test_no_line_is_taken_for_a_request_by_mistake(maker):
    page = maker.PAGE.read_text(encoding="utf-8")
    requests = {line.split()[0] for line in page.splitlines() if line.startswith((".", "'"))}
    assert requests <= {'.\\"', ".TH", ".SH", ".SS", ".PP", ".TP", ".B", ".I", ".RI"}
    assert maker._escaped(".hidden -x \\") == "\\&.hidden \\-x \\e"


@pytest.mark.skipif(shutil.which("groff") is None, reason="no groff on this machine")
def test_groff_has_nothing_to_say_against_it(maker):
    done = subprocess.run(
        ["groff", "-man", "-Tutf8", "-ww", str(maker.PAGE)], capture_output=True, text=True, check=True
    )
    assert done.stderr == ""
    # Bold is a letter struck twice, or a colour's code.
    assert "EXIT STATUS" in re.sub(r".\x08|\x1b\[[0-9;]*m", "", done.stdout)


def test_the_wheel_puts_it_where_man_looks():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    shared = project["tool"]["hatch"]["build"]["targets"]["wheel"]["shared-data"]
    assert shared == {"docs/finial.1": "share/man/man1/finial.1"}
    assert (ROOT / "docs" / "finial.1").is_file()
