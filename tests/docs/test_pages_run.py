"""Every page in docs: its Python runs, its commands exist, its links lead somewhere."""

import importlib
import re
import shlex
from pathlib import Path

import click
import pytest

from finial.cli.main import COMMANDS

ROOT = Path(__file__).resolve().parents[2]
PAGES = [*sorted((ROOT / "docs").glob("*.md")), ROOT / "CHANGELOG.md"]
BLOCK = re.compile(r"^```(\w*)\n(.*?)^```$", flags=re.MULTILINE | re.DOTALL)
WITH_PYTHON = [page for page in PAGES if "```python" in page.read_text(encoding="utf-8")]


def blocks(page, language):
    return [body for kind, body in BLOCK.findall(page.read_text(encoding="utf-8")) if kind == language]


def named(page):
    return page.name


@pytest.mark.parametrize("page", WITH_PYTHON, ids=named)
def test_python_on_the_page_runs(page, monkeypatch):
    monkeypatch.chdir(ROOT)
    names = {}
    for body in blocks(page, "python"):
        exec(compile(body, page.name, "exec"), names)


@pytest.mark.parametrize("page", PAGES, ids=named)
def test_commands_on_the_page_exist_with_their_options(page):
    for line in "".join(blocks(page, "sh")).splitlines():
        if not line.startswith("finial "):
            continue
        _, command, *rest = shlex.split(line, comments=True)
        assert command in COMMANDS, line
        made = importlib.import_module(f"finial.cli.{command}_command").command
        if isinstance(made, click.Group):
            made = made.commands[rest.pop(0)]
        known = {name for option in made.params if isinstance(option, click.Option) for name in option.opts}
        assert {word for word in rest if word.startswith("--")} <= known, line


@pytest.mark.parametrize("page", PAGES, ids=named)
def test_links_lead_to_files(page):
    for target in re.findall(r"\]\(([^)#]+)[^)]*\)", page.read_text(encoding="utf-8")):
        assert target.startswith("http") or (page.parent / target).is_file(), f"{page.name}: {target}"


def test_the_changelog_opens_with_numbers_that_changed():
    headings = re.findall(
        r"^#+ (.+)$", (ROOT / "CHANGELOG.md").read_text(encoding="utf-8"), flags=re.MULTILINE
    )
    assert headings[0] == "Changelog"
    assert headings[2] == "Numbers that changed"
