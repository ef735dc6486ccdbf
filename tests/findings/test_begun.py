"""A sheet that is only begun answers what it can, names each next step, and is never go."""

import json
import shutil
import tomllib
from pathlib import Path

import pytest
from click.testing import CliRunner

from finial.cli.main import finial
from finial.core.errors import BuildSheetError
from finial.findings.begun import begun
from finial.findings.check import check, load, load_begun
from finial.findings.finding import Verdict
from finial.findings.readiness import Depth

EXAMPLES = Path(__file__).parents[2] / "examples"
SKERRY = EXAMPLES / "skerry-light"
ONE_MESH = """
[vehicle]
name = "Dome"
[[part]]
name = "dome"
mesh = "dome.stl"
mesh_unit = "mm"
material = "PETG"
weighed = "412 g +- 2 g"
"""


@pytest.fixture
def one_mesh(tmp_path: Path) -> Path:
    shutil.copy(SKERRY / "meshes" / "dome.stl", tmp_path)
    sheet = tmp_path / "dome.toml"
    sheet.write_text(ONE_MESH)
    return sheet


def without(tmp_path: Path, *tables: str) -> Path:
    """The lighthouse's sheet without some of its tables."""
    folder = tmp_path / "light"
    shutil.copytree(SKERRY, folder)
    sheet, kept, lines = folder / "skerry-light.toml", True, []
    for line in sheet.read_text().splitlines():
        if line.startswith("["):
            name = line.split("]")[0].strip("[")
            kept = not any(name == one or name.startswith(f"{one}.") for one in tables)
        lines += [line] if kept else []
    sheet.write_text("\n".join(lines))
    assert tomllib.loads(sheet.read_text())
    return sheet


def test_one_mesh_answers_shape_mass_and_air(one_mesh: Path) -> None:
    found = begun(load_begun(one_mesh))
    assert found.verdict is Verdict.NOT_KNOWN
    assert found.mass is not None
    assert found.mass.mass.value == pytest.approx(0.412)
    assert found.air.slope_per_rad.value > 0.0
    open_tables = [one.subject.name for one in found.findings if one.key == "entered"]
    assert open_tables == ["motor", "launch", "recovery", "electronics"]
    assert all(one.fixes for one in found.findings if one.key == "entered")


@pytest.mark.parametrize("command", ["check", "air", "fly", "strength", "recovery"])
def test_every_command_answers_one_mesh_with_the_next_steps(one_mesh: Path, command: str) -> None:
    done = CliRunner().invoke(finial, [command, str(one_mesh), "--quiet"], standalone_mode=False)
    assert done.return_value == 4, done.output
    assert done.output.startswith("Not known:")
    for table in ("[motor]", "[launch]", "[recovery]", "[[electronics.battery]]"):
        assert f"Write {table}" in done.output
    assert "Air loads" in done.output


def test_the_report_of_one_mesh_is_a_pdf_and_not_known(one_mesh: Path) -> None:
    done = CliRunner().invoke(finial, ["report", str(one_mesh), "--quiet"], standalone_mode=False)
    assert done.return_value == 4, done.output
    assert one_mesh.with_suffix(".pdf").read_bytes().startswith(b"%PDF")


def test_a_mesh_needs_no_sheet_for_its_air(one_mesh: Path) -> None:
    mesh = one_mesh.with_name("dome.stl")
    done = CliRunner().invoke(finial, ["air", str(mesh), "--unit", "mm", "--quiet", "--json"])
    told = json.loads(done.output)
    assert told["verdict"] == "not known"
    assert told["mass"] is None  # nobody said what it is made of
    of_sheet = begun(load_begun(one_mesh)).air
    # The band's ends are those about a balance point, which no bare mesh has; the force hangs on none.
    assert told["air"]["slope_per_rad"]["value"] == pytest.approx(of_sheet.slope_per_rad.value)


def test_a_mesh_that_carries_no_unit_is_asked_for_it(one_mesh: Path) -> None:
    done = CliRunner().invoke(finial, ["air", str(one_mesh.with_name("dome.stl"))], standalone_mode=False)
    assert isinstance(done.exception, BuildSheetError)
    assert "mesh_unit" in str(done.exception)


def test_what_cannot_be_flown_is_refused_where_a_flight_is_needed(one_mesh: Path) -> None:
    with pytest.raises(BuildSheetError) as refused:
        load(one_mesh)
    assert [fault.field for fault in refused.value.faults] == ["motor", "launch"]


@pytest.mark.parametrize(
    "left_out",
    [
        ("recovery", "electronics"),
        ("electronics",),
        ("recovery.charge", "electronics"),
        ("recovery.canopy", "electronics"),
        ("electronics.igniter",),
    ],
)
def test_a_sheet_without_recovery_or_electronics_is_never_go(tmp_path: Path, left_out) -> None:
    found = check(without(tmp_path, *left_out), depth=Depth.QUICK)
    assert found.verdict in (Verdict.NOT_KNOWN, Verdict.NO_GO)
    wanted = {"brought-down"} if {"recovery", "recovery.canopy"} & set(left_out) else {"canopies-fired"}
    assert wanted & {one.key for one in found.findings if one.fails}


def test_faults_of_all_tables_are_told_at_once_with_their_lists(tmp_path: Path) -> None:
    folder = tmp_path / "light"
    shutil.copytree(SKERRY, folder)
    sheet = folder / "skerry-light.toml"
    text = sheet.read_text()
    for old, new in (
        ('terrain = "level open"', ""),
        ('kind = "flat circular"', 'kind = "flt circular"'),
        ('wind = "3 m/s', 'wind = "3 apples'),
        ('code = "NFPA 1127"', 'code = "XYZ"'),
    ):
        assert old in text, old
        text = text.replace(old, new)
    sheet.write_text(text)
    with pytest.raises(BuildSheetError) as refused:
        load(sheet)
    told = {fault.field: fault.accepted for fault in refused.value.faults}
    assert set(told) == {"launch.terrain", "launch.wind", "launch.code", "recovery.canopy[1].kind"}
    assert '"level open", "crops"' in told["launch.terrain"]
    assert "ringsail" in told["recovery.canopy[1].kind"]
    assert "NFPA 1127" in told["launch.code"]
