"""Sheets with anything in them: answered, or refused with place and words."""

import shutil
from pathlib import Path

import pytest
from fuzz_trial import LONG, RUN
from hypothesis import given
from hypothesis import strategies as st
from odd_values import bitten, changed, toml_of

from finial.files.source import read_toml

EXAMPLES = Path(__file__).parents[2] / "examples"
LAMP = Path(__file__).parents[1] / "files" / "full_sheet" / "lamp.toml"
SHEETS = {name: EXAMPLES / name / f"{name}.toml" for name in ("buoy-tiers", "skerry-light")} | {"lamp": LAMP}


@pytest.fixture(scope="module")
def projects(tmp_path_factory):
    """A copy of each project, with the values of its sheet."""
    folder = tmp_path_factory.mktemp("projects")
    return {
        name: (Path(shutil.copytree(sheet.parent, folder / name)) / sheet.name, read_toml(sheet))
        for name, sheet in SHEETS.items()
    }


@RUN
@given(data=st.data())
def test_sheets_as_read(trial, projects, data):
    from finial.files.sheet import read_sheet

    sheet, source = projects[data.draw(st.sampled_from(sorted(SHEETS)))]
    sheet.write_text(toml_of(data.draw(changed(source.values))), encoding="utf-8")
    trial.call(read_sheet, sheet)


@RUN
@given(data=st.data())
def test_sheets_of_any_bytes(trial, projects, data):
    from finial.files.sheet import read_sheet

    sheet, source = projects[data.draw(st.sampled_from(sorted(SHEETS)))]
    sheet.write_bytes(data.draw(bitten(source.text.encode())))
    trial.call(read_sheet, sheet)


@LONG
@given(data=st.data())
def test_sheets_as_answered(trial, warmed_up, projects, data):
    sheet, source = projects["buoy-tiers"]
    sheet.write_text(toml_of(data.draw(changed(source.values, most=1))), encoding="utf-8")
    trial.command("check", str(sheet), "--quick", *data.draw(st.sampled_from([[], ["--json"]])))
