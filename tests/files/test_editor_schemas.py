"""Schemas beside a project: where editors look, and nothing a reader minds."""

import json
import shutil
import tomllib
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from finial.core.errors import BuildSheetError
from finial.files.editor_schemas import DIRECTIVE, lay_schemas
from finial.files.examples import EXAMPLES, example_folder, project_files
from finial.files.sheet import read_sheet


@pytest.fixture(params=EXAMPLES)
def project(request, tmp_path) -> Path:
    """Sheet of a fresh copy of an example."""
    source = example_folder(request.param)
    for path in project_files(source):
        beside = tmp_path / path.relative_to(source)
        beside.parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(path, beside)
    return tmp_path / f"{request.param}.toml"


def named_schema(path: Path) -> Path:
    first = path.read_text(encoding="utf-8").splitlines()[0]
    assert first.startswith(DIRECTIVE)
    return path.parent / first.removeprefix(DIRECTIVE)


def test_every_file_names_the_schema_that_accepts_it(project):
    lay_schemas(project)
    files = [project, project.parent / "site.toml", *project.parent.glob("motors/*.toml")]
    assert len(files) == 3
    titles = []
    for path in files:
        schema = json.loads(named_schema(path).read_text(encoding="utf-8"))
        assert Draft202012Validator(schema).is_valid(tomllib.loads(path.read_text(encoding="utf-8")))
        titles.append(schema["title"])
    assert titles == ["The build sheet of Finial", "A site's file of Finial", "A motor's file of Finial"]


def test_the_sheet_reads_as_before_one_line_further_down(project):
    before = read_sheet(project)
    lay_schemas(project)
    after = read_sheet(project)
    assert after.sheet == before.sheet
    assert (after.motor.name, after.site) == (before.motor.name, before.site)
    project.write_text(project.read_text(encoding="utf-8").replace("[launch]", "[launhc]"), encoding="utf-8")
    with pytest.raises(BuildSheetError) as caught:
        read_sheet(project)
    lines = project.read_text(encoding="utf-8").splitlines()
    assert lines[caught.value.faults[-1].line - 1].startswith("[launhc]")


def test_laid_twice_is_laid_once(project):
    lay_schemas(project)
    once = {path: path.read_bytes() for path in project.parent.rglob("*") if path.is_file()}
    lay_schemas(project)
    assert {path: path.read_bytes() for path in project.parent.rglob("*") if path.is_file()} == once
