"""The pages of checks and commands say what the program says."""

import importlib.util
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
REMAKE = "run: python docs/make_reference.py"


@pytest.fixture(scope="module")
def maker():
    spec = importlib.util.spec_from_file_location("make_reference", ROOT / "docs" / "make_reference.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_the_page_of_checks_is_what_the_wording_gives(maker):
    assert maker.CHECKS.read_text(encoding="utf-8") == maker.checks_page(), REMAKE


def test_the_page_of_commands_is_what_help_prints(maker):
    assert maker.COMMAND_PAGE.read_text(encoding="utf-8") == maker.commands_page(), REMAKE
