"""What rail buttons must hold as the vehicle leaves, and what holds them."""

import math
from dataclasses import dataclass

from finial.assemble.basis import Basis
from finial.assemble.day import density_at
from finial.assemble.strength.build import part_at
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.assemble.vehicle.materials import sheet_material
from finial.core.constants import STANDARD_GRAVITY_M_S2
from finial.core.estimates import Estimate, KnownBy
from finial.files.sheet_body import GuideEntry
from finial.inside.rail import button_loads
from finial.materials.material import PRINTED, Material
from finial.structure.rods.fastening import SHEAR_OF_TENSION
from finial.structure.rods.threads import thread

STRONGEST_SCREW_PA = 800e6
"""Tensile strength of steel screws of class 8.8 [Pa], ISO 898-1; from memory, not re-read."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ButtonHold:
    """Pull on the harder pulled button, and what its screw holds."""

    station_m: float
    load: Estimate
    """Wind as the rail ends and the vehicle's weight on a leaning rail, both on one button [N]."""
    holds: Estimate | None
    """Pull-out of its screw [N]; ``None`` where the sheet does not say what holds it."""
    tested: Estimate | None = None
    """Pull-out by the builder's own test [N]."""
    by_thread_n: float | None = None
    """Most that screw and thread hold by the tables [N]; ``None`` without both in the sheet."""


def button_hold(basis: Basis) -> ButtonHold | None:
    """Judge the harder pulled button at rail exit in the strongest wind; ``None`` without two buttons."""
    vehicle = basis.vehicle
    guide = vehicle.sheet.guide
    if guide is None:
        return None
    buttons = sorted(button.value for button in guide.buttons)
    ends = (buttons[0], buttons[-1])
    if ends[0] == ends[1]:
        return None
    loads = {ends[0]: _load(basis, ends, fore=True), ends[1]: _load(basis, ends, fore=False)}
    station = max(loads, key=lambda one: loads[one].high)
    tested = guide.pull_out.estimate(KnownBy.MEASURED) if guide.pull_out else None
    by_thread = _by_thread(vehicle, guide, station)
    return ButtonHold(
        station_m=station,
        load=loads[station],
        holds=tested or by_thread,
        tested=tested,
        by_thread_n=None if by_thread is None else min(by_thread.high, _screw_n(guide)),
    )


def _load(basis: Basis, ends_m: tuple[float, float], *, fore: bool) -> Estimate:
    """Pull on one button: side force of the wind at its pressure band, and weight on a leaning rail."""
    vehicle, moment = basis.vehicle, basis.moments[0]
    pressure = next(iter(basis.stability)).pressure
    dynamic = density_at(vehicle, 0.0).value / 2 * moment.speed_m_s**2
    slope = basis.air.result.slope_per_rad
    side = dynamic * vehicle.skin.reference_area_m2 * math.sin(min(moment.alpha_rad, math.pi / 2))
    weight = basis.mass.lift_off.mass_kg * STANDARD_GRAVITY_M_S2
    leaning = weight * math.sin(vehicle.sheet.launch.tilt.value)
    held = _share(leaning, basis.mass.lift_off.station_m, ends_m, fore)
    pulls = [
        abs(_share(side * one, where, ends_m, fore)) + abs(held)
        for one in (slope.low, slope.high)
        for where in (pressure.low, pressure.high)
    ]
    middle = abs(_share(side * slope.value, pressure.value, ends_m, fore)) + abs(held)
    return Estimate(
        value=middle,
        low=min(*pulls, middle),
        high=max(*pulls, middle),
        known_by=KnownBy.COMPUTED,
        method="wind at rail exit and weight on the rail, shared between two buttons",
    )


def _share(force_n: float, at_m: float, ends_m: tuple[float, float], fore: bool) -> float:
    loads = button_loads(force_n, at_m, ends_m)
    return loads.fore_n if fore else loads.aft_n


def _screw_n(guide: GuideEntry) -> float:
    """Tension at which the strongest usual screw of that thread breaks [N]: ISO 898-1, class 8.8."""
    across = thread(guide.screw).pitch_diameter_min_m if guide.screw else math.inf
    return STRONGEST_SCREW_PA * math.pi / 4 * across**2


def _by_thread(vehicle: LoadedVehicle, guide: GuideEntry, station_m: float) -> Estimate | None:
    """Pull-out of a button's screw by its thread in what it is cut into."""
    if guide.screw is None or guide.engagement is None:
        return None
    part = part_at(vehicle, min(station_m, vehicle.skin.length_m))
    name = guide.holds_in or (part.spec.material if part else None)
    if name is None:
        return None
    cut = math.pi * thread(guide.screw).diameter_m * guide.engagement.value / 2
    return _weakest(sheet_material(vehicle.sheet, name)).scaled(SHEAR_OF_TENSION * cut)


def _weakest(stuff: Material) -> Estimate:
    """Strength that lets go first: a screw into the side of a print may part its layers."""
    return stuff.upright_pa if stuff.kind == PRINTED and stuff.upright_pa else stuff.ultimate_pa
