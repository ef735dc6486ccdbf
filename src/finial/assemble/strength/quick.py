"""Strength, first form: what walls, rods, joints, fins and bays have left in each load case."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np

from finial.aero.fins.fin_set import FinSet
from finial.assemble.air.sections import AirLoads
from finial.assemble.day import day_at_pad
from finial.assemble.recovery.results import RecoveryResult
from finial.assemble.strength.cases import LoadCase
from finial.assemble.strength.cuts import Cuts, cuts_as_built
from finial.assemble.strength.forces import fin_set_force
from finial.assemble.strength.results import HeatRow, LoadCaseResult, ReserveRow, StrengthResult
from finial.assemble.strength.stations import StationReserves
from finial.assemble.vehicle.bay_walls import sheet_bay_wall
from finial.assemble.vehicle.loading import Vehicle
from finial.assemble.vehicle.materials import sheet_material
from finial.atmosphere.day import air_over_pad
from finial.atmosphere.standard import AirState
from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate, KnownBy, exact, spread
from finial.core.units import show
from finial.materials.material import Material
from finial.structure.fins.outline import fin_plan
from finial.structure.fins.quick_plate import fin_reserve
from finial.structure.fins.screen import flutter_screen
from finial.structure.heat import softening_margin, surface_temperature
from finial.structure.reserves import Reserve, reserve_factor, worst_of_each
from finial.structure.walls.bay_walls import bay_wall_reserve
from finial.structure.walls.body import body_reserves

_UNITS = {"Pa": Dimension.PRESSURE, "N": Dimension.FORCE, "m/s": Dimension.SPEED, "K": Dimension.TEMPERATURE}


def strength_result(
    vehicle: Vehicle, air: AirLoads, cases: Sequence[LoadCase], recovery: RecoveryResult
) -> StrengthResult:
    """Reserves of every case, worst first."""
    cuts = cuts_as_built(vehicle)
    entries = [(case, body_reserves_of(cuts, case)) for case in cases]
    rows = [row for case, reserves in entries for row in body_rows(vehicle, cuts, reserves, case)]
    rows += list(unknown_layers(cuts))
    rows += [row for case in cases if case.speed_m_s > 0 for row in _fin_rows(vehicle, air, case)]
    rows += list(bay_rows(vehicle, recovery))
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
        by_station=by_station(cuts, entries),
    )


def reserve_row(entry: Reserve, case: str, us_units: bool) -> ReserveRow:
    """Say a reserve in words and the builder's units."""
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


def body_reserves_of(cuts: Cuts, case: LoadCase) -> tuple[Reserve, ...]:
    """Every way to fail at every cut that lies inside the loaded body."""
    fore, aft = case.ends_m
    inside = [spec for spec in cuts.specs if fore < spec.station_m < aft]
    return body_reserves(
        case.loads, inside, axial_factor=case.axial_factor, bending_factor=case.bending_factor
    )


def by_station(cuts: Cuts, entries: Sequence[tuple[LoadCase, Sequence[Reserve]]]) -> StationReserves:
    """Worst reserve of walls, rods and joints at every station that was cut, over all cases."""
    worst: dict[float, tuple[float, str, str]] = {
        station: (float("nan"), "not known", "") for station, _ in cuts.unknown
    }
    for case, reserves in entries:
        for entry in reserves:
            if entry.reserve is None:
                continue
            held = worst.get(entry.station_m)
            if held is None or entry.reserve.low < held[0]:
                worst[entry.station_m] = (entry.reserve.low, entry.what, case.name)
    stations = sorted(worst)
    return StationReserves(
        stations_m=np.array(stations),
        reserves=np.array([worst[station][0] for station in stations]),
        what=tuple(worst[station][1] for station in stations),
        cases=tuple(worst[station][2] for station in stations),
    )


def body_rows(
    vehicle: Vehicle, cuts: Cuts, reserves: Sequence[Reserve], case: LoadCase
) -> Iterator[ReserveRow]:
    """Worst of each way to fail in one case, and joints that nothing holds."""
    for entry in worst_of_each(reserves):
        yield reserve_row(entry, case.name, vehicle.us_units)
    fore, aft = case.ends_m
    for station in cuts.unheld:
        if fore < station < aft:
            yield ReserveRow(
                what="joint between parts",
                case=case.name,
                station_m=station,
                load="Parts that only butt together, and no rod crosses",
                reserve=None,
                rod_share=None,
                note="Say glued = true on the part ahead of it, give dowels, or run rods through.",
            )


def unknown_layers(cuts: Cuts) -> Iterator[ReserveRow]:
    """One row for each print whose strength across the layers nobody knows."""
    first: dict[str, float] = {}
    for station, name in cuts.unknown:
        first.setdefault(name, station)
    for name, station in first.items():
        yield ReserveRow(
            what=f"layers of {name} pull apart",
            case="every case",
            station_m=station,
            load="Strength across the layers is not known",
            reserve=None,
            rod_share=None,
            note=f'Break bars of {name} printed upright and enter across = "..." under [[material]].',
        )


def _fin_rows(vehicle: Vehicle, air: AirLoads, case: LoadCase) -> Iterator[ReserveRow]:
    state = air_over_pad(day_at_pad(vehicle), 0.0)
    # Fins of the meshes come after those of the sheet; no material is given for them.
    for fin, given in zip(air.fins, vehicle.sheet.fin, strict=False):
        stuff = sheet_material(vehicle.sheet, given.material)
        pressure_area = case.dynamic_pressure_pa * vehicle.skin.reference_area_m2
        each = fin_set_force(fin.slope_per_rad, pressure_area, case.angle_rad) * 2 / max(fin.fins.count, 2)
        force = spread(each, 0.3, known_by=KnownBy.COMPUTED, method="one fin's share, gust across")
        thickness = given.thickness.estimate(KnownBy.MEASURED)
        entry = fin_reserve(
            fin.fins.outline_m, given.thickness.value, force, stuff.yield_pa, station_m=fin.fins.station_m
        )
        yield reserve_row(entry, case.name, vehicle.us_units)
        screened = _flutter_row(vehicle, fin.fins, (thickness, stuff), state, case)
        yield _with_stays(screened) if given.stays else screened


def _with_stays(row: ReserveRow) -> ReserveRow:
    """Leave the screen's answer open for fins with stays, which it knows nothing of."""
    note = "The screen knows no stays: finial strength works them out with plate elements."
    return replace(row, reserve=None, note=note)


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
    return reserve_row(entry, case.name, vehicle.us_units)


def bay_rows(vehicle: Vehicle, recovery: RecoveryResult) -> Iterator[ReserveRow]:
    """Judge the wall of every bay under its charge."""
    for bay in vehicle.sheet.recovery.bay:
        pressures = [
            charge.pressure for charge in recovery.charges if charge.bay == bay.name and charge.pressure
        ]
        if not pressures:
            continue
        pressure = max(pressures, key=lambda one: one.high)
        middle = (bay.stations[0].value + bay.stations[1].value) / 2
        wall = sheet_bay_wall(vehicle.sheet, bay)
        if wall is None:
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
        yield reserve_row(bay_wall_reserve(wall, pressure), bay.name, vehicle.us_units)


def _heat(vehicle: Vehicle) -> Iterator[HeatRow]:
    """Sun on each printed part, in the colour of the outside."""
    colour = vehicle.sheet.vehicle.colour or "black"
    air = vehicle.sheet.launch.temperature.estimate(KnownBy.MEASURED)
    surface = surface_temperature(air, colour=colour)
    for part in vehicle.parts:
        softens = sheet_material(vehicle.sheet, part.spec.material).softens_k
        if part.spec.outside and softens is not None:
            yield HeatRow(
                part=part.spec.name,
                surface_k=surface,
                softens_k=softens,
                margin_k=softening_margin(softens, surface),
            )
