"""Air loads of the vehicle: the pressure band, the drag build-up and the table a flight looks up."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from finial.aero.band.band import PressureBand, band_with, pressure_band
from finial.aero.band.load_parts import DoubtfulForce
from finial.aero.blend import blended_parts, blended_table
from finial.aero.body import BodyAir
from finial.aero.crooked import trim_of
from finial.aero.drag.build_up import DragDetails, SmallPart
from finial.aero.drag.friction import Surface
from finial.aero.drag.sources import DragBuildUp
from finial.aero.fins.on_body import FinAir, fin_air
from finial.aero.given import read_along
from finial.aero.sections.symmetry import round_the_turn
from finial.aero.table.build import TableInputs, air_table, drag_at
from finial.aero.table.holding import holding_angle
from finial.aero.table.record import AirTable
from finial.assemble.air.results import AirResult, FinRow, Straightness
from finial.assemble.air.wires import wire_parts
from finial.assemble.day import day_at_pad
from finial.assemble.vehicle.bed import USUAL_LAYER_M
from finial.assemble.vehicle.fins import all_fins
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.atmosphere.day import air_over_pad
from finial.core.kept_parts import kept
from finial.shape.fin_set import FinSet

ANGLES_RAD = np.radians(np.arange(0.0, 31.0, 2.5))
ROLLS_RAD = np.radians(np.arange(0.0, 360.0, 15.0))
DRAG_MACH = 0.3


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class BodyLoad:
    """Force across along the whole vehicle, fins where they stand, as the tunnel read it."""

    edges_m: NDArray[np.float64]
    """Ends of its slices [m], shape (s + 1,)."""
    angles_rad: NDArray[np.float64]
    """Rising, above 0, shape (a,)."""
    per_sine: NDArray[np.float64]
    """Force coefficient of each slice over sin(angle), at the roll where all is largest, shape (a, s)."""

    def slope_at(self, angle_rad: float) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Stations [m], and force over sin(angle) per length in flat steps, linear between angles [1/m]."""
        found = read_along(self.per_sine, 0, self.angles_rad, np.array([abs(angle_rad)]))[0]
        return np.repeat(self.edges_m, 2)[1:-1], np.repeat(found / np.diff(self.edges_m), 2)


@dataclass(frozen=True, slots=True, kw_only=True)
class TunnelSwing:
    """Strongest clear swing of the force across the wind, of the whole shape in the tunnel."""

    strouhal: tuple[float, float, float]
    """Least, usual and most, on the width [-]."""
    force: float
    """Root mean square about the mean, on the vehicle's area [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AirLoads:
    """Fins on the body, and what they and the body do in the air."""

    fins: tuple[FinAir, ...]
    inputs: TableInputs
    drag: DragBuildUp
    band: PressureBand
    result: AirResult
    along: BodyLoad | None = None
    """Set where the sheet flies with a study of the tunnel: in place of sections and fins."""
    swing: TunnelSwing | None = None
    """Set where that study shows a clear one."""


@kept(8)
def _fins_on(body: BodyAir, sets: tuple[FinSet, ...]) -> tuple[FinAir, ...]:
    return fin_air(body, sets)


def section_loads(vehicle: LoadedVehicle, balance_m: float, across_m: tuple[float, float]) -> AirLoads:
    """Solve the fins on the body and fill band, drag and table from the sections.

    Damping and trim are about the balance point at lift-off: its station, and its place across. Plates
    that are neither surely fins nor surely body count as both, by their thickness.
    """
    own = _loads_of(vehicle, balance_m, across_m)
    thick = vehicle.thick
    if thick is None or thick.share == 0.0:
        return own
    other = _loads_of(
        replace(vehicle, body=thick.body, mesh_fins=thick.fins, thick=None), balance_m, across_m
    )
    ratio = thick.body.reference_area_m2 / vehicle.body.reference_area_m2
    parts = blended_parts(_whole_turn(own.band), _whole_turn(other.band), thick.share, ratio)
    width = (1.0 - thick.share) * own.band.width_m + thick.share * other.band.width_m
    between = replace(own.band, width_m=width)
    return with_loads(
        own,
        band=band_with(between, parts, balance_m, "slender body plus fins, plates as both"),
        table=blended_table(own.result.table, other.result.table, thick.share),
        balance_m=balance_m,
    )


def _whole_turn(band: PressureBand) -> list[DoubtfulForce]:
    """Parts of a band over all its rolls."""
    count = len(band.rolls_rad)

    def turned(value: NDArray[np.float64] | float) -> NDArray[np.float64] | float:
        array = np.atleast_2d(value)
        return round_the_turn(array, count) if array.shape[1] > 1 else value

    return [
        replace(
            part,
            force=round_the_turn(part.force, count),
            moment=round_the_turn(part.moment, count),
            low=turned(part.low),
            central=turned(part.central),
            high=turned(part.high),
        )
        for part in band.finned
    ]


def with_loads(
    loads: AirLoads, *, band: PressureBand, table: AirTable, balance_m: float, source: str = ""
) -> AirLoads:
    """Air loads with another band and table; drag rows, damping and the bare body stay."""
    straight = loads.result.straightness
    result = replace(
        loads.result,
        table=table,
        source=source,
        pressure_central_m=band.central_m,
        pressure_forward_m=band.forward_m,
        pressure_aft_m=band.aft_m,
        contributions=band.contributions,
        slope_per_rad=band.slope,
        straightness=straight and replace(straight, holds_rad=holding_angle(table, balance_m)),
    )
    return replace(loads, band=band, result=result)


def _loads_of(vehicle: LoadedVehicle, balance_m: float, across_m: tuple[float, float]) -> AirLoads:
    """Solve one body with its fins."""
    fins = _fins_on(vehicle.body, all_fins(vehicle))
    inputs = _inputs(vehicle, balance_m)
    band = pressure_band(vehicle.body, fins, ANGLES_RAD, ROLLS_RAD, about_m=balance_m)
    drag = drag_at(vehicle.body, fins, inputs, DRAG_MACH)
    table = air_table(vehicle.body, fins, inputs)
    result = AirResult(
        table=table,
        angles_rad=band.angles_rad,
        rolls_rad=band.rolls_rad,
        pressure_central_m=band.central_m,
        pressure_forward_m=band.forward_m,
        pressure_aft_m=band.aft_m,
        bare_central_m=band.bare_central_m,
        bare_forward_m=band.bare_forward_m,
        bare_aft_m=band.bare_aft_m,
        contributions=band.contributions,
        slope_per_rad=band.slope,
        bare_slope_per_rad=band.bare_slope,
        load_stations_m=band.load_stations_m,
        load_per_m=band.load_per_m,
        drag_rows=drag.sources(burning=False),
        base_burning=drag.base_power_on.coefficient,
        drag_mach=drag.mach,
        drag_reynolds_per_m=drag.reynolds_per_m,
        pitch_damping_per_rad=float(np.interp(DRAG_MACH, table.mach, table.pitch_damping)),
        fin_rows=tuple(
            FinRow(
                name=fin.fins.name,
                slope_per_rad=float(np.linalg.eigvalsh(fin.slope_per_rad)[-1]),
                sheltered=fin.sheltered,
            )
            for fin in fins
        ),
        fins_slope_per_rad=_weakest_plane(fins),
        straightness=_straightness(vehicle, fins, table, (balance_m, *across_m), drag),
    )
    return AirLoads(fins=fins, inputs=inputs, drag=drag, band=band, result=result)


def _weakest_plane(fins: Sequence[FinAir]) -> float:
    """Slope of all fins together in the plane where they hold least [1/rad]."""
    together = sum((fin.slope_per_rad for fin in fins), np.zeros((2, 2)))
    return float(np.linalg.eigvalsh(together)[0])


def _straightness(
    vehicle: LoadedVehicle,
    fins: Sequence[FinAir],
    table: AirTable,
    balance_m: tuple[float, float, float],
    drag: DragBuildUp,
) -> Straightness:
    trim = trim_of(vehicle.body, fins, balance_m, (drag.power_off.value, table.drag_line_m))
    return Straightness(
        trim_rad=trim.angle_rad,
        holds_rad=holding_angle(table, balance_m[0]),
        trim_roll_rad=trim.roll_rad,
        turns_per_m=trim.turns_per_m,
        side_force=table.side_force,
        drag_line_m=table.drag_line_m,
    )


def _inputs(vehicle: LoadedVehicle, balance_m: float) -> TableInputs:
    air = air_over_pad(day_at_pad(vehicle), 0.0)
    per_mach = float(air.sound_speed_m_s * air.density_kg_m3 / air.viscosity_pa_s)
    guide = vehicle.sheet.guide
    small = [*wire_parts(vehicle)]
    if guide and guide.frontal_area:
        small.append(
            SmallPart(
                name="rail buttons",
                stations_m=tuple(button.value for button in guide.buttons),
                frontal_area_m2=guide.frontal_area.value,
            )
        )
    details = DragDetails(
        surface=Surface(layer_height_m=_layer_height(vehicle)),
        small_parts=tuple(small),
        exhaust_area_m2=np.pi / 4 * vehicle.motor.diameter_m**2,
    )
    return TableInputs(damping_centre_m=balance_m, reynolds_per_m_per_mach=per_mach, details=details)


def _layer_height(vehicle: LoadedVehicle) -> float:
    """Coarsest layer of the outside parts [m]; the usual one where the sheet does not say."""
    heights = [
        part.print.layer_height.value
        for part in vehicle.sheet.part
        if part.outside and part.print and part.print.layer_height
    ]
    return max(heights, default=USUAL_LAYER_M)
