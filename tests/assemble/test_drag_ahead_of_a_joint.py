"""Drag ahead of a joint is one number for pins and strength, and a name does not move it."""

from dataclasses import replace

import numpy as np
import pytest

from finial.aero.drag.sources import drag_ahead
from finial.assemble.basis import Basis
from finial.assemble.recovery.moments import recovery_moments
from finial.assemble.strength.forces import AirForces
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.findings.check import readiness
from finial.structure.loads.forces import Force, PointForce


@pytest.fixture(scope="module")
def basis(answered) -> Basis:
    return answered.basis


def ahead_n(forces: list[Force], station_m: float) -> float:
    whole = 0.0
    for force in forces:
        if isinstance(force, PointForce):
            whole += force.aft_n if force.station_m < station_m else 0.0
            continue
        fine = np.linspace(force.stations_m[0], min(station_m, force.stations_m[-1]), 20_001)
        whole += float(np.trapezoid(np.interp(fine, force.stations_m, force.aft_n_per_m), fine))
    return whole


@pytest.mark.parametrize("burning", [False, True])
@pytest.mark.parametrize("station_m", [0.1, 0.294, 0.7, 1.1, 1.19])
def test_strength_feels_what_the_rows_say(basis: Basis, station_m: float, burning: bool) -> None:
    forces = AirForces(vehicle=basis.vehicle, air=basis.air).drag(2000.0, burning=burning)
    drag = basis.air.drag
    said = 2000.0 * drag.reference_area_m2 * drag_ahead(drag, station_m, burning=burning).value
    assert ahead_n(forces, station_m) == pytest.approx(said, rel=2e-3)


def test_pins_feel_what_the_rows_say(basis: Basis) -> None:
    (joint,) = basis.vehicle.sheet.recovery.joint
    moments = recovery_moments(basis)
    trace = basis.flights.nominal
    burnout = trace.event("burnout")
    assert burnout is not None
    pressure = float(np.interp(burnout.time_s, trace.times_s, trace.dynamic_pressures_pa))
    drag = basis.air.drag
    said = drag_ahead(drag, joint.station.value, burning=False)
    found = moments.drag_ahead_n[joint.name]
    assert found.value == pytest.approx(pressure * drag.reference_area_m2 * said.value)
    assert found.high > found.value * said.high / said.value > found.value
    whole = found.value + moments.drag_behind_n[joint.name].value
    assert whole == pytest.approx(pressure * drag.reference_area_m2 * drag.power_off.value)
    # The gallery's front alone is more than a third of all drag, and it stands ahead of the joint.
    assert 0.4 < found.value / whole < 0.7


def test_renaming_a_fin_set_changes_nothing(lighthouse: LoadedVehicle) -> None:
    sheet = lighthouse.sheet
    (fin,) = sheet.fin
    found = []
    for name in ("fins", "vanes", "friction of the skin", "front of the tip"):
        renamed = sheet.model_copy(update={"fin": (fin.model_copy(update={"name": name}),)})
        answer = readiness(replace(lighthouse, sheet=renamed))
        found.append(
            (
                answer.recovery.charges[0].early_load,
                [row.coefficient.value for row in answer.air.drag_rows],
                [row.reserve for row in answer.strength.reserves],
                answer.flight.apogee_agl,
                [finding.verdict for finding in answer.findings],
            )
        )
    assert all(one == found[0] for one in found[1:])
