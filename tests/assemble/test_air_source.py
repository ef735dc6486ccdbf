"""The seam where air loads come in: sections, or the table that a sheet names."""

import shutil
from pathlib import Path

import numpy as np
import pytest

from finial.assemble.air.source import GivenTable, Sections, air_loads, air_source
from finial.assemble.vehicle.loading import LoadedVehicle, load_vehicle
from finial.core.errors import BuildSheetError

EXAMPLE = Path(__file__).resolve().parents[2] / "examples" / "skerry-light"
HEADING = "angle (deg), force (-), force_low (-), force_high (-), place (mm), place_low (mm), place_high (mm)"
ROWS = "5, 1.0, 0.8, 1.1, 900, 880, 930\n10, 2.1, 1.7, 2.2, 890, 870, 930\n"
BALANCE_M = 0.65


@pytest.fixture
def project(tmp_path: Path) -> Path:
    folder = tmp_path / "skerry-light"
    shutil.copytree(EXAMPLE, folder)
    sheet = folder / "skerry-light.toml"
    sheet.write_text(
        sheet.read_text(encoding="utf-8")
        + '\n[air]\ntable = "tunnel.csv"\narea = "233.8 cm2"\nsource = "an invented tunnel"\n',
        encoding="utf-8",
    )
    (folder / "tunnel.csv").write_text(f"{HEADING}\n{ROWS}", encoding="utf-8")
    return sheet


def test_without_a_table_the_sections_give_the_loads() -> None:
    vehicle = load_vehicle(EXAMPLE / "skerry-light.toml", str)
    assert isinstance(air_source(vehicle), Sections)
    assert air_loads(vehicle, BALANCE_M).result.source == ""


def test_a_table_named_by_the_sheet_stands_for_the_whole_vehicle(project: Path) -> None:
    vehicle: LoadedVehicle = load_vehicle(project, str)
    assert isinstance(air_source(vehicle), GivenTable)
    found = air_loads(vehicle, BALANCE_M)
    result, own = found.result, Sections().loads(vehicle, BALANCE_M, (0.0, 0.0)).result
    assert result.source == "an invented tunnel"
    at = int(np.argmin(np.abs(result.angles_rad - np.radians(10.0))))
    floor = 0.1 * vehicle.body.width_m
    assert result.pressure_central_m[at] == pytest.approx(0.89)
    # Place and force at their ends: 870 mm and no farther ahead by more than the force's own range allows.
    ahead = 0.89 - 0.02 * 2.1 / 1.7 - floor
    assert result.pressure_forward_m[at] == pytest.approx(ahead, abs=1e-3)
    scale = 0.02338 / vehicle.body.reference_area_m2
    assert result.slope_per_rad.value == pytest.approx(scale * 1.0 / np.sin(np.radians(5.0)), rel=1e-6)
    assert result.bare_forward_m == pytest.approx(own.bare_forward_m)
    assert result.table.pitch_damping == pytest.approx(own.table.pitch_damping)
    in_flight = int(np.argmin(np.abs(result.table.alpha_rad - np.radians(10.0))))
    force = result.table.along[in_flight] * np.sin(result.table.alpha_rad[in_flight])
    assert force == pytest.approx(2.1 * scale, rel=1e-6)
    assert found.band.forward_m == pytest.approx(result.pressure_forward_m)


def test_a_table_that_cannot_be_read_is_a_fault_of_the_sheet(project: Path) -> None:
    project.with_name("tunnel.csv").write_text("angle (deg), force (-)\n5, 1\n", encoding="utf-8")
    with pytest.raises(BuildSheetError, match=r"tunnel\.csv"):
        load_vehicle(project, str)
