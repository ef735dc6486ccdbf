"""Loads measured on whole vehicles against the ranges that the method gives them."""

import csv
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from bench.load_range import load_range

from finial.aero.band.band import pressure_band
from finial.aero.band.load_parts import all_parts
from finial.aero.damping import roll_damping, turning_damping
from finial.aero.drag.build_up import DragDetails, drag_build_up
from finial.aero.drag.friction import Surface
from finial.aero.drag.sources import DragBuildUp, DragKind

TABLE = Path(__file__).with_name("measured_vehicles.csv")
KNOWN_MISSES: set[str] = set()
"""Measured outside the range: said on the accuracy page, not hidden by a wider range."""


def rows() -> list[dict[str, str]]:
    lines = TABLE.read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def drag(vehicle: Any, mach: float) -> DragBuildUp:
    return drag_build_up(
        vehicle.body.skin,
        vehicle.fin_loads,
        mach=mach,
        reynolds_per_m=vehicle.flow(mach).reynolds_per_m,
        details=DragDetails(surface=Surface(smooth=True)),
        outside=vehicle.body.outside,
    )


def loads(vehicle: Any, ask: str, angle_rad: float, mach: float) -> tuple[float, ...]:
    flow = vehicle.flow(mach)
    both = load_range(vehicle.body, vehicle.fin_loads, [angle_rad], [0.0], vehicle.centre, flow)
    ends = both.force if ask.startswith("force") else both.moment
    scale = np.sin(angle_rad) if ask.endswith("slope") else 1.0
    return tuple(float(end[0, 0] / scale) for end in ends)


def fins_alone(vehicle: Any, angle_rad: float, mach: float) -> tuple[float, ...]:
    """What fins add to the force: the parts of body and fins without those of the body."""
    bare, whole = all_parts(
        vehicle.body, vehicle.fin_loads, np.array([angle_rad]), np.zeros(1), vehicle.flow(mach)
    )
    added = whole[len(bare) :]
    sine = np.sin(angle_rad)
    low, central, high = (
        sum(float(np.squeeze(getattr(part, end) * part.force)) for part in added)
        for end in ("low", "central", "high")
    )
    return low * sine, central * sine, high * sine


def centre(vehicle: Any, angle_rad: float, mach: float) -> tuple[float, ...]:
    """Centre of pressure in diameters behind the tip."""
    band = pressure_band(vehicle.body, vehicle.fin_loads, [angle_rad], [0.0], vehicle.flow(mach))
    ends = band.forward_m, band.central_m, band.aft_m
    return tuple(float(end[0, 0]) / vehicle.body.width_m for end in ends)


def yaw_damping(vehicle: Any) -> tuple[float, ...]:
    """With a tail that the air follows not at all, as far as it is taken to, and wholly."""
    every = (
        turning_damping(vehicle.body, vehicle.fin_loads, vehicle.centre, 0.0, share)
        for share in (0.0, None, 1.0)
    )
    return tuple(float(each[1, 1]) for each in every)


def friction_damping(vehicle: Any, mach: float) -> tuple[float, ...]:
    """Roll damping with the ends that the drag build-up gives friction."""
    (skin,) = (row.coefficient for row in drag(vehicle, mach).rows if row.kind is DragKind.SKIN_FRICTION)
    scale = vehicle.body.reference_area_m2 / vehicle.body.skin.wetted_area_m2
    return tuple(
        float(roll_damping(vehicle.body, (), mach, end * scale)) for end in (skin.high, skin.value, skin.low)
    )


def method_range(inputs: str, vehicles: dict[str, Any]) -> tuple[float, ...]:
    """Low, central and high end of what the method says."""
    given = dict(part.strip().split("=", 1) for part in inputs.split(";"))
    vehicle, ask, mach = vehicles[given["vehicle"]], given["ask"], float(given.get("mach", 0.0))
    if ask == "drag":
        total = drag(vehicle, mach).power_off
        return total.low, total.value, total.high
    if ask == "centre":
        return centre(vehicle, np.radians(float(given["angle"])), mach)
    if ask == "fins":
        return fins_alone(vehicle, np.radians(float(given["angle"])), mach)
    if ask == "yaw damping":
        return yaw_damping(vehicle)
    if ask == "roll damping":
        return friction_damping(vehicle, mach)
    return loads(vehicle, ask, np.radians(float(given["angle"])), mach)


def inside(row: dict[str, str]) -> bool:
    measured, error = float(row["expected"]), float(row["tolerance"])
    return float(row["low"]) - error <= measured <= float(row["high"]) + error


@pytest.mark.parametrize("row", rows(), ids=lambda row: row["id"])
def test_the_range_on_the_page_is_the_one_the_method_gives_today(
    row: dict[str, str], vehicles: dict[str, Any]
) -> None:
    committed = [float(row[name]) for name in ("low", "central", "high")]
    assert list(method_range(row["inputs"], vehicles)) == pytest.approx(committed, abs=2e-3, rel=2e-3)


def test_measurements_lie_inside_but_for_the_misses_that_are_named() -> None:
    missed = {row["id"] for row in rows() if not inside(row)}
    assert missed == KNOWN_MISSES
    assert len(missed) <= 0.05 * len(rows())
