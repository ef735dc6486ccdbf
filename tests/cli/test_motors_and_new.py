"""``finial motors`` and ``finial new``: what is asked, what is said, what is left on the disk."""

import json
from dataclasses import replace

import pytest

from finial.files.examples import EXAMPLES, example_folder, project_files
from finial.findings.finding import Verdict
from finial.findings.motor_choice import CANNOT_FLY, MOST_G, MotorRow

from .conftest import BUOY

ROW = MotorRow(
    file="one.toml",
    name="Ünlü 100",
    designation="H100",
    impulse_n_s=200.0,
    thrust_to_weight=6.0,
    rail_exit_m_s=17.0,
    apogee_m=300.0,
    top_g=7.0,
    margin_m=0.2,
)
"""An invented motor that meets everything."""


TOO_HARD = CANNOT_FLY.holds(Verdict.NO_GO, facts={"error": "no thrust"})


@pytest.fixture
def tried(monkeypatch, buoy):
    """A folder's motors tried at once: the test says which of them meet everything."""
    noted = {"good": ()}

    def rows(_vehicle, files, most_g, told):
        told(len(files))
        noted["most_g"] = most_g
        return tuple(replace(ROW, reasons=() if good else (TOO_HARD,)) for good in files)

    monkeypatch.setattr("finial.findings.motor_choice.motor_rows", rows)
    monkeypatch.setattr("finial.findings.check.load", lambda _path, tell: buoy)
    monkeypatch.setattr("finial.files.motor_folder.read_motors", lambda _folder: noted["good"])
    return noted


@pytest.mark.parametrize(
    ("good", "code"),
    [((True, True), 0), ((True, False), 0), ((False, True), 0), ((False,), 3), ((), 3)],
)
def test_one_motor_that_meets_everything_is_enough(finial, tried, good, code):
    tried["good"] = good
    done = finial("motors", "folder", "--sheet", BUOY)
    assert done.code == code
    assert f"{sum(good)} of {len(good)} meet everything" in done.out
    assert f"... flying {len(good)} motors" in done.err


def test_fifteen_g_is_the_most_unless_told(finial, tried):
    """Common practice for printed vehicles."""
    finial("motors", "folder", "--sheet", BUOY)
    assert tried["most_g"] == MOST_G == 15.0
    finial("motors", "folder", "--sheet", BUOY, "--max-g", 9.5)
    assert tried["most_g"] == 9.5
    assert finial("motors", "folder", "--sheet", BUOY, "--max-g", 0).code == 2


def test_motors_as_json_keep_their_names_as_written(finial, tried):
    tried["good"] = (True, False)
    done = finial("motors", "folder", "--sheet", BUOY, "--json", "--quiet")
    rows = json.loads(done.out)
    assert [row["meets"] for row in rows] == [True, False]
    assert done.out == json.dumps(rows, indent=1, ensure_ascii=False) + "\n"
    assert "Ünlü 100" in done.out


def test_length_is_said_to_be_unchecked_only_where_the_sheet_gives_no_room(finial, tried, buoy, monkeypatch):
    assert buoy.sheet.motor.room is None
    unchecked = "Length is checked only where the sheet gives [motor] room"
    assert unchecked in finial("motors", "folder", "--sheet", BUOY).out
    motor = buoy.sheet.motor.model_copy(update={"room": buoy.sheet.launch.rail_length})
    roomy = replace(buoy, sheet=buoy.sheet.model_copy(update={"motor": motor}))
    monkeypatch.setattr("finial.findings.check.load", lambda _path, tell: roomy)
    assert unchecked not in finial("motors", "folder", "--sheet", BUOY).out


@pytest.mark.parametrize("example", EXAMPLES)
def test_new_writes_every_example_whole_into_an_empty_or_a_missing_folder(finial, tmp_path, example):
    (tmp_path / "empty").mkdir()
    for folder in (tmp_path / "empty", tmp_path / "deep" / "missing"):
        done = finial("new", folder, "--example", example)
        assert (done.code, done.err) == (0, "")
        assert f"wrote {example} to {folder}" in done.out
        written = {path.relative_to(folder) for path in folder.rglob("*") if path.is_file()}
        source = example_folder(example)
        assert {path.relative_to(source) for path in project_files(source)} <= written
        assert all((folder / path).stat().st_size for path in written)
        assert [path.name for path in folder.parent.iterdir() if ".finial-new" in path.name] == []


def test_new_beside_another_project_leaves_it_alone(finial, tmp_path):
    assert finial("new", tmp_path / "one").code == 0
    assert finial("new", tmp_path / "two", "--example", "pagoda").code == 0
    assert {path.name for path in tmp_path.iterdir()} == {"one", "two"}
