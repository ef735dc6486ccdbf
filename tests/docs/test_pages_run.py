"""Every page in docs: its Python runs, its tables are read, its commands exist, its links lead somewhere."""

import importlib
import json
import re
import shlex
import tomllib
from pathlib import Path
from typing import Any

import click
import pytest
from code_blocks import bodies
from jsonschema import Draft202012Validator

from finial.cli.main import COMMANDS
from finial.files.editor_schemas import shipped_schema
from finial.files.flight_log.mapping import read_mapping
from finial.files.flight_log.video import read_video
from finial.files.sheet_rows import SHEET_FILES

ROOT = Path(__file__).resolve().parents[2]
PAGES = [*sorted((ROOT / "docs").glob("*.md")), ROOT / "CHANGELOG.md"]
WITH_PYTHON = [page for page in PAGES if "```python" in page.read_text(encoding="utf-8")]


WITH_TABLES = [page for page in PAGES if "```toml" in page.read_text(encoding="utf-8")]


def named(page):
    return page.name


@pytest.mark.parametrize("page", WITH_PYTHON, ids=named)
def test_python_on_the_page_runs(page, monkeypatch):
    monkeypatch.chdir(ROOT)
    names = {}
    for body in bodies(page, "python"):
        exec(compile(body, page.name, "exec"), names)


def without_needs(schema: Any) -> Any:
    """A schema of which a part may stand alone."""
    if isinstance(schema, dict):
        return {key: without_needs(inner) for key, inner in schema.items() if key != "required"}
    return [without_needs(inner) for inner in schema] if isinstance(schema, list) else schema


SCHEMAS = [Draft202012Validator(without_needs(json.loads(shipped_schema(file)))) for file in SHEET_FILES]


def read_as_a_log(body: str, path: Path) -> None:
    """Read columns or frames as `finial log` would; a part of a mapping gets the clock it lacks."""
    is_video = "frames_per_second" in body
    clock = "" if is_video or "[time]" in body else '\n[time]\ncolumn = "t"\nunit = "s"\n'
    path.write_text(body + clock, encoding="utf-8")
    (read_video if is_video else read_mapping)(path)


@pytest.mark.parametrize("page", WITH_TABLES, ids=named)
def test_tables_on_the_page_are_those_of_a_file(page, tmp_path):
    for body in bodies(page, "toml"):
        if re.search(r"^(column|latitude|frames_per_second) = ", body, flags=re.MULTILINE):
            read_as_a_log(body, tmp_path / "flight.toml")
        else:
            assert any(schema.is_valid(tomllib.loads(body)) for schema in SCHEMAS), body


@pytest.mark.parametrize("page", PAGES, ids=named)
def test_commands_on_the_page_exist_with_their_options(page):
    for line in "".join(bodies(page, "sh")).splitlines():
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
