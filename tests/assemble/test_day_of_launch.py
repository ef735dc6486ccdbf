"""The day of the launch, against a worked value of hot and thin air."""

from dataclasses import replace
from pathlib import Path

import pytest

from finial.assemble.day import day_result, density_at
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.core.units import Dimension, parse_quantity
from finial.findings.check import load

BUOY = Path(__file__).parents[2] / "examples" / "buoy-tiers" / "buoy-tiers.toml"


@pytest.fixture(scope="module")
def moor() -> LoadedVehicle:
    """Return the buoy on a pad 1350 m up at 86 127 Pa and 33 degC."""
    vehicle = load(BUOY)
    launch = vehicle.sheet.launch.model_copy(
        update={
            "temperature": parse_quantity("33 degC", Dimension.TEMPERATURE),
            "pressure": parse_quantity("86127 Pa", Dimension.PRESSURE),
        }
    )
    site = vehicle.files.site.model_copy(update={"ground_asl": parse_quantity("1350 m", Dimension.LENGTH)})
    return replace(
        vehicle,
        sheet=vehicle.sheet.model_copy(update={"launch": launch}),
        files=replace(vehicle.files, site=site),
    )


def test_density_altitude_of_a_hot_pad(moor: LoadedVehicle) -> None:
    # ATM-04: ideal gas at 33 degC and the standard pressure of 1350 m; the standard atmosphere
    # (U.S. Standard Atmosphere, 1976, through a reference library) is as thin at 2264 m.
    assert density_at(moor, 0.0).value == pytest.approx(0.9800, rel=2e-3)
    assert day_result(moor).density_altitude_m == pytest.approx(2264.0, rel=5e-3)


def test_the_day_is_the_sheets_own(moor: LoadedVehicle) -> None:
    day, launch = day_result(moor), moor.sheet.launch
    assert day.ground_asl_m == 1350.0
    assert day.pressure_pa == 86127.0
    assert day.rail_length_m == launch.rail_length.value
    assert day.wind.high == launch.wind.value + launch.wind.tolerance
