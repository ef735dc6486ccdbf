"""Strength, first form: what walls, rods, joints, fins and bays have left in each load case."""

from collections.abc import Iterator, Sequence
from itertools import pairwise

import numpy as np

from finial.aero.fin import FinSet
from finial.assemble.air import AirLoads
from finial.assemble.cases import LoadCase
from finial.assemble.day import day_at_pad
from finial.assemble.loading import PlacedPart, Vehicle
from finial.assemble.masses import part_span
from finial.assemble.results import (
    HeatRow,
    LoadCaseResult,
    RecoveryResult,
    ReserveRow,
    StrengthResult,
)
from finial.assemble.strength_forces import fin_set_force
from finial.atmosphere.day import air_over_pad
from finial.atmosphere.standard import AirState
from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate, KnownBy, exact, spread
from finial.core.units import show
from finial.files.sheet_body import Rod
from finial.materials.material import Material, material
from finial.shape.measures import section_at
from finial.structure.bay_walls import BayWall, bay_wall_reserve
from finial.structure.body import body_reserves
from finial.structure.cuts import Rods, SectionSpec, Walls
from finial.structure.fin_outline import fin_plan
from finial.structure.fin_plate import fin_reserve
from finial.structure.flutter import flutter_screen
from finial.structure.heat import softening_margin, surface_temperature
from finial.structure.outline import wall_area
from finial.structure.reserves import Reserve, reserve_factor, worst_of_each
from finial.structure.section import rod_circle
from finial.structure.threads import stress_area, thread

SECTIONS = 20
GLUE_SHARE = (0.5, 1.0)
"""Strength of a glued joint over that of the layers beside it [-]; assumed."""
PRELOAD_SCATTER = 0.3
"""Scatter of a preload set by torque [-]."""
_UNITS = {"Pa": Dimension.PRESSURE, "N": Dimension.FORCE, "m/s": Dimension.SPEED, "K": Dimension.TEMPERATURE}


def strength_result(
    vehicle: Vehicle, air: AirLoads, cases: Sequence[LoadCase], recovery: RecoveryResult
) -> StrengthResult:
    """Reserves of every case, worst first."""
    specs = list(_sections(vehicle))
    rows = [row for case in cases for row in _body_rows(vehicle, specs, case)]
    rows += [row for case in cases if case.speed_m_s > 0 for row in _fin_rows(vehicle, air, case)]
    rows += list(_bay_rows(vehicle, recovery))
    rows.sort(key=lambda row: float("-inf") if row.reserve is None else row.reserve.low)
    return StrengthResult(
        cases=tuple(
            LoadCaseResult(
                case=case.name,
                stations_m=case.loads.stations_m,
                axial_n=case.loads.axial_n,
                shear_n=case.loads.shear_n,
                bending_n_m=case.loads.bending_n_m,
            )
            for case in cases
        ),
        reserves=tuple(rows),
        heat=tuple(_heat(vehicle)),
    )


def _row(entry: Reserve, case: str, us_units: bool) -> ReserveRow:
    dimension = _UNITS[entry.unit]
    load, strength = (show(value, dimension, us_units) for value in (entry.load.value, entry.strength.value))
    return ReserveRow(
        what=entry.what,
        case=case,
        station_m=entry.station_m,
        load=f"Loaded to {load}, holds {strength}",
        reserve=entry.reserve,
        rod_share=entry.rod_share,
        note=entry.note,
    )


def _body_rows(vehicle: Vehicle, specs: Sequence[SectionSpec], case: LoadCase) -> Iterator[ReserveRow]:
    fore, aft = float(case.loads.stations_m.min()), float(case.loads.stations_m.max())
    inside = [spec for spec in specs if fore < spec.station_m < aft]
    reserves = body_reserves(
        case.loads, inside, axial_factor=case.axial_factor, bending_factor=case.bending_factor
    )
    for entry in worst_of_each(reserves):
        yield _row(entry, case.name, vehicle.us_units)
    for station in _unheld(vehicle):
        if fore < station < aft:
            yield ReserveRow(
                what="joint between parts",
                case=case.name,
                station_m=station,
                load="Parts that only butt together, and no rod crosses",
                reserve=None,
                rod_share=None,
                note="Say glued = true on the part ahead of it, or run rods through.",
            )


def _sections(vehicle: Vehicle) -> Iterator[SectionSpec]:
    """Cuts inside the parts, and one at every joint between parts that rods or glue hold."""
    length = vehicle.skin.length_m
    for station in np.linspace(0.02, 0.98, SECTIONS) * length:
        part = _part_at(vehicle, float(station))
        if part is not None:
            yield _cut(vehicle, part, float(station), tension=_layer_strength(part, vehicle))
    for station, part in _joints(vehicle):
        rods = _rods_at(vehicle, station)
        if part.spec.glued:
            yield _cut(vehicle, part, station, tension=_glue(part, vehicle))
        elif rods is not None:
            yield _cut(vehicle, part, station, tension=None)


def _cut(vehicle: Vehicle, part: PlacedPart, station_m: float, *, tension: Estimate | None) -> SectionSpec:
    stuff = material(part.spec.material)
    wall_m = part.spec.print.wall.value if part.spec.print else None
    infill = part.spec.print.infill.value if part.spec.print else 0.0
    walls = Walls(
        area=wall_area(section_at(vehicle.skin, station_m).loops, wall_m, infill),
        modulus=stuff.modulus_pa,
        compression_strength=stuff.yield_pa,
        tension_strength=tension,
    )
    return SectionSpec(station_m=station_m, walls=walls, rods=_rods_at(vehicle, station_m))


def _part_at(vehicle: Vehicle, station_m: float) -> PlacedPart | None:
    """Outside part that a cut goes through; the largest where several overlap."""
    through = [
        part
        for part in vehicle.parts
        if part.spec.outside and part_span(part)[0] <= station_m <= part_span(part)[1]
    ]
    return max(through, key=lambda part: part.solid.volume_m3.value, default=None)


def _layer_strength(part: PlacedPart, vehicle: Vehicle) -> Estimate | None:
    """Strength in tension along the vehicle: across the layers when they are stacked along it."""
    stuff = material(part.spec.material)
    if part.spec.print is None:
        return stuff.ultimate_pa
    stacked = part.spec.print.layers_along == vehicle.sheet.vehicle.up[-1]
    return stuff.upright_pa if stacked else stuff.ultimate_pa


def _glue(part: PlacedPart, vehicle: Vehicle) -> Estimate | None:
    layers = _layer_strength(part, vehicle)
    if layers is None:
        return None
    low, high = GLUE_SHARE
    return Estimate(
        value=layers.value * (low + high) / 2,
        low=layers.low * low,
        high=layers.high * high,
        known_by=KnownBy.ASSUMED,
        method="glued joint, half to all of the strength across layers",
        source=layers.source,
    )


def _joints(vehicle: Vehicle) -> Iterator[tuple[float, PlacedPart]]:
    """Stations where one outside part ends on another, with the part ahead; separation joints left out."""
    apart = [joint.station.value for joint in vehicle.sheet.recovery.joint]
    outside = sorted((part for part in vehicle.parts if part.spec.outside), key=part_span)
    for ahead, behind in pairwise(outside):
        station = min(part_span(ahead)[1], part_span(behind)[0] + 1e-3)
        if all(abs(station - other) > 0.03 for other in apart):
            yield station, ahead


def _unheld(vehicle: Vehicle) -> list[float]:
    return [
        station
        for station, part in _joints(vehicle)
        if not part.spec.glued and _rods_at(vehicle, station) is None
    ]


def _rods_at(vehicle: Vehicle, station_m: float) -> Rods | None:
    """Rods that cross a station; the first set where there are several."""
    for rod in vehicle.sheet.rod:
        if rod.stations[0].value <= station_m <= rod.stations[1].value:
            return _rods(rod)
    return None


def _rods(rod: Rod) -> Rods:
    stuff = material(rod.material)
    preload = _preload(rod)
    return Rods(
        positions_m=rod_circle(rod.count, rod.on_circle.value, rod.first_at.value),
        stress_area_m2=stress_area(thread(rod.thread)),
        modulus=stuff.modulus_pa,
        strength=stuff.yield_pa,
        preload=preload,
    )


def _preload(rod: Rod) -> Estimate:
    """Tension from tightening; a torque that nobody measured scatters, and none entered is none."""
    if rod.preload is None:
        return exact(0.0, known_by=KnownBy.ASSUMED, method="no preload entered")
    if rod.preload.tolerance:
        return rod.preload.estimate(KnownBy.MEASURED)
    source = "Shigley, Mechanical Engineering Design, bolt preload by torque wrench; from memory, not re-read"
    return spread(
        rod.preload.value, PRELOAD_SCATTER, known_by=KnownBy.HANDBOOK, method="by torque", source=source
    )


def _fin_rows(vehicle: Vehicle, air: AirLoads, case: LoadCase) -> Iterator[ReserveRow]:
    state = air_over_pad(day_at_pad(vehicle), 0.0)
    # Fins of the meshes come after those of the sheet; no material is given for them.
    for fin, given in zip(air.fins, vehicle.sheet.fin, strict=False):
        stuff = material(given.material)
        pressure_area = case.dynamic_pressure_pa * vehicle.skin.reference_area_m2
        each = fin_set_force(fin.slope_per_rad, pressure_area, case.angle_rad) * 2 / max(fin.fins.count, 2)
        force = spread(each, 0.3, known_by=KnownBy.COMPUTED, method="one fin's share, gust across")
        thickness = given.thickness.estimate(KnownBy.MEASURED)
        entry = fin_reserve(
            fin.fins.outline_m, given.thickness.value, force, stuff.yield_pa, station_m=fin.fins.station_m
        )
        yield _row(entry, case.name, vehicle.us_units)
        yield _flutter_row(vehicle, fin.fins, (thickness, stuff), state, case)


def _flutter_row(
    vehicle: Vehicle, fins: FinSet, plate: tuple[Estimate, Material], state: AirState, case: LoadCase
) -> ReserveRow:
    thickness, stuff = plate
    flutter = flutter_screen(
        fin_plan(fins.outline_m),
        thickness,
        stuff.shear_modulus_pa,
        sound_m_s=float(state.sound_speed_m_s),
        pressure_pa=float(state.pressure_pa),
    )
    speed = exact(case.speed_m_s)
    entry = Reserve(
        what="fin flutters (screen)",
        station_m=fins.station_m,
        load=speed,
        strength=flutter,
        unit="m/s",
        reserve=reserve_factor(flutter, speed),
        note="A screen from 1958: its two readings of thickness to chord differ by half.",
    )
    return _row(entry, case.name, vehicle.us_units)


def _bay_rows(vehicle: Vehicle, recovery: RecoveryResult) -> Iterator[ReserveRow]:
    for bay in vehicle.sheet.recovery.bay:
        pressures = [
            charge.pressure for charge in recovery.charges if charge.bay == bay.name and charge.pressure
        ]
        if not pressures:
            continue
        pressure = max(pressures, key=lambda one: one.high)
        middle = (bay.stations[0].value + bay.stations[1].value) / 2
        if bay.wall is None or bay.material is None:
            yield ReserveRow(
                what="bay wall under the charge",
                case=bay.name,
                station_m=middle,
                load=f"Loaded to {show(pressure.value, Dimension.PRESSURE, vehicle.us_units)}",
                reserve=None,
                rod_share=None,
                note=f"Enter wall and material of {bay.name}.",
            )
            continue
        stuff = material(bay.material)
        wall = BayWall(
            station_m=middle,
            across_m=bay.diameter.value + 2 * bay.wall.value,
            wall_m=bay.wall.value,
            round_tube=bay.round_tube,
            modulus=stuff.modulus_pa,
            strength=stuff.yield_pa,
            poisson=stuff.poisson,
        )
        yield _row(bay_wall_reserve(wall, pressure), bay.name, vehicle.us_units)


def _heat(vehicle: Vehicle) -> Iterator[HeatRow]:
    """Sun on each printed part, in the colour of the outside."""
    colour = vehicle.sheet.vehicle.colour or "black"
    air = vehicle.sheet.launch.temperature.estimate(KnownBy.MEASURED)
    surface = surface_temperature(air, colour=colour)
    for part in vehicle.parts:
        softens = material(part.spec.material).softens_k
        if part.spec.outside and softens is not None:
            yield HeatRow(
                part=part.spec.name,
                surface_k=surface,
                softens_k=softens,
                margin_k=softening_margin(softens, surface),
            )
