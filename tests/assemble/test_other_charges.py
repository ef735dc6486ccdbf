"""Charges at another moment than the canopy's own: followed as if they were the only ones."""

from dataclasses import replace
from pathlib import Path

import pytest

from finial.assemble.basis import Basis, basis_of
from finial.assemble.recovery.other_charges import other_openings
from finial.assemble.recovery.results import OtherOpening
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.files.sheet_recovery import EventEntry
from finial.findings.check import load
from finial.flight.trace import EventKind

SKERRY = Path(__file__).parents[2] / "examples" / "skerry-light" / "skerry-light.toml"
GRAVITY_M_S2 = 9.80665


@pytest.fixture(scope="module")
def basis() -> Basis:
    return basis_of(load(SKERRY))


def backup_at(vehicle: LoadedVehicle, event: object) -> LoadedVehicle:
    recovery = vehicle.sheet.recovery
    first, backup = recovery.charge
    moved = backup.model_copy(update={"event": EventEntry.model_validate(event)})
    changed = recovery.model_copy(update={"charge": (first, moved)})
    return replace(vehicle, sheet=vehicle.sheet.model_copy(update={"recovery": changed}))


def opened(basis: Basis, event: object) -> OtherOpening:
    (found,) = other_openings(replace(basis, vehicle=backup_at(basis.vehicle, event)))
    assert (found.canopy, found.charge) == ("main", "lantern backup charge")
    return found


def apogee_s(basis: Basis) -> float:
    """From lift-off to the top of the nominal flight [s]."""
    trace = basis.flights.nominal
    return trace.event(EventKind.APOGEE).time_s - trace.event(EventKind.LIFT_OFF).time_s


def test_a_backup_at_the_same_moment_is_no_other(basis: Basis) -> None:
    assert other_openings(basis) == ()


def test_a_backup_by_the_clock_comes_as_much_later_as_the_clock_says(basis: Basis) -> None:
    found = opened(basis, {"after_lift_off": f"{apogee_s(basis) + 3.0:.3f} s"})
    assert found.after.value == pytest.approx(3.0, abs=2e-3)
    assert found.after.low < 3.0 < found.after.high


def test_alone_it_lets_the_vehicle_fall_until_then(basis: Basis) -> None:
    """Free fall for so long, and the half second of the canopy: a load as the square of the speed, about."""
    loads = {
        late: opened(basis, {"after_lift_off": f"{apogee_s(basis) + late:.3f} s"}) for late in (2.0, 6.0)
    }
    top = basis.flights.nominal.positions_m[:, 2].max()
    fallen = {late: top - one.height_agl.value for late, one in loads.items()}
    for late, metres in fallen.items():
        assert metres == pytest.approx(GRAVITY_M_S2 * (late + 0.5) ** 2 / 2, rel=0.6)
    assert loads[6.0].opening_load.high > 3.0 * loads[2.0].opening_load.high


def test_before_the_top_is_less_than_nothing(basis: Basis) -> None:
    assert opened(basis, {"after_lift_off": "6 s"}).after.value == pytest.approx(
        6.0 - apogee_s(basis), abs=2e-3
    )


def test_after_the_ground_nothing_opens(basis: Basis) -> None:
    assert opened(basis, {"after_lift_off": "60 s"}).height_agl is None


def test_a_charge_of_another_joint_is_not_asked(basis: Basis) -> None:
    recovery = basis.vehicle.sheet.recovery
    bay = recovery.bay[0].model_copy(update={"name": "tail bay", "joint": "tail joint"})
    joint = recovery.joint[0].model_copy(update={"name": "tail joint"})
    vehicle = backup_at(basis.vehicle, {"after_lift_off": "20 s"})
    charges = vehicle.sheet.recovery.charge
    elsewhere = vehicle.sheet.recovery.model_copy(
        update={
            "joint": (*recovery.joint, joint),
            "bay": (*recovery.bay, bay),
            "charge": (charges[0], charges[1].model_copy(update={"bay": "tail bay"})),
        }
    )
    moved = replace(vehicle, sheet=vehicle.sheet.model_copy(update={"recovery": elsewhere}))
    assert other_openings(replace(basis, vehicle=moved)) == ()
