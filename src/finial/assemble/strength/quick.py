"""Strength, first form: what walls, rods, joints, fins and bays have left in each load case."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from functools import partial

import numpy as np

from finial.assemble.air.sections import AirLoads
from finial.assemble.flights.corners import Flights
from finial.assemble.inside.results import BayEnd
from finial.assemble.recovery.results import RecoveryResult
from finial.assemble.strength.cases import LoadCase
from finial.assemble.strength.closing import PlateScene, plate_rows
from finial.assemble.strength.cuts import Cuts, UnknownWall, cuts_as_built
from finial.assemble.strength.fins.quick import quick_fin_rows, top_speed
from finial.assemble.strength.further_cases import all_together
from finial.assemble.strength.heat import sun_cases, wall_warmth
from finial.assemble.strength.pulls import quick_pulls
from finial.assemble.strength.results import CaseLoads, StationReserves, StrengthResult
from finial.assemble.vehicle.bay_walls import sheet_bay_wall
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.assemble.vehicle.materials import sheet_material
from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate
from finial.structure.loads.case import Case, Load
from finial.structure.reserves import Because, FailureMode, Reserve, badness
from finial.structure.walls.bay_walls import bay_wall_reserve
from finial.structure.walls.body import MODES, ReserveGrid, body_reserves


def strength_result(
    vehicle: LoadedVehicle,
    air: AirLoads,
    cases: Sequence[LoadCase],
    flown: tuple[Flights, RecoveryResult],
    ends: Sequence[BayEnd],
) -> StrengthResult:
    """Reserves of every case, worst first; ``ends`` of the bays tell which plates close them."""
    flights, recovery = flown
    pressures = bay_pressures(vehicle, recovery)
    plates = PlateScene(
        sheet=vehicle.sheet,
        ends=ends,
        pressures=pressures,
        pulls=quick_pulls(vehicle.sheet, recovery),
        stuff=partial(sheet_material, vehicle.sheet),
        left=lambda _name: 1.0,
    )
    cuts = cuts_as_built(vehicle)
    grid = body_reserves(cuts.stack, [case.body for case in cases])
    fastest = max(cases, key=lambda case: case.dynamic_pressure_pa)
    rows = [
        *grid.worst_of_each(),
        *unheld_rows(cuts),
        *unknown_layers(cuts),
        *quick_fin_rows(vehicle, air, (fastest, top_speed(flights.every))),
        *bay_rows(vehicle, pressures),
        *plate_rows(plates),
    ]
    surface = wall_warmth(vehicle)
    return StrengthResult(
        cases=tuple(shown(case) for case in cases),
        reserves=tuple(sorted(rows, key=badness)),
        heat=tuple(sun_cases(vehicle, surface)),
        by_station=by_station(cuts, grid, range(len(cases))),
    )


def shown(case: LoadCase) -> CaseLoads:
    """Take the loads of a case for the report."""
    loads, torsion = case.body.loads, case.body.torsion_n_m
    return CaseLoads(
        case=case.case,
        stations_m=loads.stations_m,
        axial_n=loads.axial_n,
        shear_n=loads.shear_n,
        bending_n_m=loads.bending_n_m,
        torsion_n_m=np.zeros_like(loads.stations_m) if torsion is None else torsion,
    )


def by_station(cuts: Cuts, grid: ReserveGrid, cases: Sequence[int]) -> StationReserves:
    """Worst reserve of walls, rods and joints at every station that was cut, over some of the cases."""
    chosen, stations = list(cases), grid.stack.stations_m
    lows = np.moveaxis(grid.lows[:, chosen], 2, 0).reshape(stations.size, -1)
    filled = np.where(np.isnan(lows), np.inf, lows)
    worst = filled.argmin(axis=1) if filled.size else np.zeros(0, dtype=int)
    rows: dict[float, tuple[float, FailureMode | None, Case | None]] = {
        wall.station_m: (float("nan"), None, None) for wall in cuts.unknown
    }
    for station, row, place in zip(stations.tolist(), filled, worst.tolist(), strict=True):
        low = float(row[place])
        if low < rows.get(station, (np.inf,))[0] or (np.isfinite(low) and rows[station][1] is None):
            mode, case = divmod(int(place), len(chosen))
            rows[station] = (low, MODES[mode], grid.cases[chosen[case]].case)
    every = sorted(rows.items())
    return StationReserves(
        stations_m=np.array([station for station, _ in every]),
        reserves=np.array([row[0] for _, row in every]),
        modes=tuple(row[1] for _, row in every),
        cases=tuple(row[2] for _, row in every),
    )


def unheld_rows(cuts: Cuts) -> Iterator[Reserve]:
    """Yield joints that nothing holds."""
    for station, part in cuts.unheld:
        yield Reserve(
            mode=FailureMode.JOINT_UNHELD,
            station_m=station,
            dimension=Dimension.PRESSURE,
            subject=part,
            because=Because.NOTHING_HOLDS,
        )


def unknown_layers(cuts: Cuts) -> Iterator[Reserve]:
    """One row for each print whose strength across the layers nobody knows, or that is not told."""
    first: dict[str, UnknownWall] = {}
    for wall in cuts.unknown:
        first.setdefault(wall.subject, wall)
    for wall in first.values():
        yield Reserve(
            mode=FailureMode.WALL_PULLED,
            station_m=wall.station_m,
            dimension=Dimension.PRESSURE,
            subject=wall.subject,
            because=wall.because,
        )


def bay_pressures(
    vehicle: LoadedVehicle, recovery: RecoveryResult, followed: dict[str, Estimate] | None = None
) -> dict[str, Estimate]:
    """Hardest pressure in each bay [Pa], a first charge and its backups together; as followed, where it was.

    Parameters
    ----------
    vehicle : LoadedVehicle
        The vehicle.
    recovery : RecoveryResult
        Pressures of its charges.
    followed : dict of Estimate, optional
        Pressures of charges followed in time, by bay [Pa].
    """
    found = {
        bay.name: (followed or {}).get(bay.name) or all_together(recovery.charges, bay.name, "pressure")
        for bay in vehicle.sheet.recovery.bay
    }
    return {name: pressure for name, pressure in found.items() if pressure is not None}


def bay_rows(vehicle: LoadedVehicle, pressures: Mapping[str, Estimate]) -> Iterator[Reserve]:
    """Judge the wall of every bay under the pressure of its charges.

    Parameters
    ----------
    vehicle : LoadedVehicle
        The vehicle.
    pressures : mapping of Estimate
        Hardest pressure in each bay, by its name [Pa].
    """
    for bay in vehicle.sheet.recovery.bay:
        if bay.name not in pressures:
            continue
        pressure = pressures[bay.name]
        case, wall = Case(load=Load.CHARGE_FIRES, subject=bay.name), sheet_bay_wall(vehicle.sheet, bay)
        if wall is None:
            yield Reserve(
                mode=FailureMode.BAY_BURSTS,
                station_m=(bay.stations[0].value + bay.stations[1].value) / 2,
                dimension=Dimension.PRESSURE,
                load=pressure,
                subject=bay.name,
                case=case,
                because=Because.BAY_UNSAID,
            )
            continue
        yield replace(bay_wall_reserve(wall, pressure), subject=bay.name, case=case)
