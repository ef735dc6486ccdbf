"""Own test bars reach the bay's wall and its lip wherever they are judged."""

from dataclasses import replace

import pytest

from finial.assemble.recovery.bursts import burst_study
from finial.assemble.recovery.lip import lip_of
from finial.assemble.recovery.moments import recovery_moments
from finial.assemble.strength.quick import bay_pressures, bay_rows
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.files.sheet_body import OwnMaterialEntry
from finial.files.sheet_recovery import LipEntry, RingEntry


def with_bars(vehicle: LoadedVehicle, along_pa: float) -> LoadedVehicle:
    own = OwnMaterialEntry.model_validate(
        {"name": "my print", "like": "PETG", "along": f"{along_pa / 1e6} MPa", "across": "9 MPa"}
    )
    bay = vehicle.sheet.recovery.bay[0].model_copy(update={"material": "my print"})
    recovery = vehicle.sheet.recovery.model_copy(update={"bay": (bay,)})
    return replace(vehicle, sheet=vehicle.sheet.model_copy(update={"material": (own,), "recovery": recovery}))


def held(answered, vehicle: LoadedVehicle) -> tuple[float, float, float]:
    """What the wall holds by the check, by the study, and the lip's strength [Pa]."""
    basis = answered.basis
    moments = recovery_moments(replace(basis, vehicle=vehicle))
    bay = vehicle.sheet.recovery.bay[0]
    burst = burst_study(vehicle, bay, moments)
    (row,) = bay_rows(vehicle, bay_pressures(vehicle, answered.recovery))
    lip = lip_of(vehicle.sheet, bay, 0.025)
    assert burst is not None
    assert burst.wall_holds_pa is not None
    assert row.reserve is not None
    assert lip is not None
    # The first charge and its backup may fire in the same instant.
    pressure = sum(charge.pressure.value for charge in answered.recovery.charges if charge.pressure)
    return row.reserve.value * pressure, burst.wall_holds_pa.value, lip.strength_pa.value


def test_weak_bars_weaken_wall_and_lip_alike(answered) -> None:
    strong, weak = (held(answered, with_bars(answered.vehicle, pa)) for pa in (40e6, 10e6))
    assert strong == pytest.approx([4 * one for one in weak])
    assert weak[0] == pytest.approx(weak[1])
    # Thin tube: p = 2 t sigma / (d - t), 76 mm inside and a wall of 1.5 mm.
    assert weak[1] == pytest.approx(2 * 1.5 * 10e6 / (79.0 - 1.5), rel=1e-6)
    assert weak[2] == pytest.approx(10e6)


def test_a_ring_of_own_print_is_as_strong_as_its_bars(answered) -> None:
    vehicle = with_bars(answered.vehicle, 10e6)
    ring = RingEntry.model_validate({"wall": "3 mm", "edge_radius": "5 mm", "material": "my print"})
    bay = vehicle.sheet.recovery.bay[0].model_copy(update={"lip": LipEntry(ring=ring), "material": "PETG"})
    lip = lip_of(vehicle.sheet, bay, 0.025)
    assert lip is not None
    assert lip.strength_pa.value == pytest.approx(10e6)
    assert lip.between_layers_pa is not None
    assert lip.between_layers_pa.value == pytest.approx(9e6)


def test_a_slit_between_layers_of_unknown_strength_is_not_known(answered) -> None:
    own = OwnMaterialEntry.model_validate({"name": "my print", "like": "PETG", "along": "40 MPa"})
    bay = answered.vehicle.sheet.recovery.bay[0].model_copy(
        update={"material": "my print", "lip": LipEntry(layers_stacked="across")}
    )
    sheet = answered.vehicle.sheet.model_copy(update={"material": (own,)})
    assert lip_of(sheet, bay, 0.025) is None
    along = bay.model_copy(update={"lip": LipEntry(layers_stacked="along")})
    assert lip_of(sheet, along, 0.025) is not None
