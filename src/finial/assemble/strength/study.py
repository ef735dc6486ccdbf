"""The long look at strength: every load case, warm walls, small things, fins in the wind."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from finial.assemble.basis import Basis
from finial.assemble.day import day_at_pad, wind_at_ten_metres
from finial.assemble.inside.results import BayEnd
from finial.assemble.recovery.records import RecoveryStudy
from finial.assemble.recovery.results import RecoveryResult
from finial.assemble.stability.points import fastest_moment
from finial.assemble.stability.results import MomentName
from finial.assemble.strength.cases import FlightLoads, LoadCase, Masses, load_cases
from finial.assemble.strength.closing import PlateScene, plate_rows
from finial.assemble.strength.cuts import Warmth, cuts_through, stacked
from finial.assemble.strength.details import DetailScene, detail_rows
from finial.assemble.strength.fins.build import FinBuild, fin_builds
from finial.assemble.strength.fins.quick import top_speed, unknown_fins
from finial.assemble.strength.fins.records import FinStudy
from finial.assemble.strength.fins.rows import fin_rows
from finial.assemble.strength.fins.study import FinScene, fin_study
from finial.assemble.strength.forces import AirForces
from finial.assemble.strength.further_cases import CaseInputs, further_cases
from finial.assemble.strength.heat import heat_cases, preload_rows, sunlit, wall_warmth
from finial.assemble.strength.pulls import CordPull, followed_pulls, quick_pulls
from finial.assemble.strength.quick import (
    bay_pressures,
    bay_rows,
    by_station,
    shown,
    unheld_rows,
    unknown_layers,
)
from finial.assemble.strength.records import BarsWorth, ShareRow, StrengthStudy
from finial.assemble.strength.shedding import ShedScene, in_step
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.assemble.vehicle.materials import sheet_material
from finial.atmosphere.day import air_over_pad
from finial.core.estimates import Estimate
from finial.flight.trace import Trace
from finial.materials.bars import BarPull, own_bars
from finial.materials.material import PRINTED
from finial.structure.loads.case import Load, Occasion
from finial.structure.reserves import FailureMode, Reserve, badness
from finial.structure.walls.body import MODES, ReserveGrid, body_reserves
from finial.structure.walls.stack import CutStack

Tell = Callable[[str], None]
OWN_BARS = 5
"""Bars that a builder is told to break [-]; common practice of test houses."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StrengthInputs:
    """What the long look stands on beside the basis."""

    recovery: RecoveryResult
    followed: RecoveryStudy | None
    """The recovery followed in time; ``None`` where it was not."""
    ends: tuple[BayEnd, ...]
    """Ends of the bays, with the plates that close them."""
    wanted_ratio: float
    """Flutter speed over the top speed that stays are designed for [-]; 0 where none are wanted."""
    flown: tuple[Trace, ...] = ()
    """Further flights that may load it harder."""


def strength_study(basis: Basis, given: StrengthInputs, tell: Tell) -> StrengthStudy:
    """Look long at a vehicle that has been answered: a second for each set of fins."""
    vehicle = basis.vehicle
    surface = wall_warmth(vehicle)
    warmth = sunlit(vehicle, surface)
    tell("warming the walls and cutting the body")
    cuts = cuts_through(vehicle, warmth)
    traces = (*basis.flights.every, *given.flown)
    cases = all_cases(basis, given, cuts.stack)
    grid = body_reserves(cuts.stack, [case.body for case in cases])
    builds = fin_builds(vehicle, basis.air.fins)
    scene = DetailScene(vehicle=vehicle, cuts=cuts, warmth=warmth, cases=cases, grid=grid, fins=builds)
    pressures = bay_pressures(vehicle, given.recovery, _followed_pressures(given.followed))
    plates = PlateScene(
        sheet=vehicle.sheet,
        ends=given.ends,
        pressures=pressures,
        pulls=_pulls(basis, given),
        stuff=scene.stuff,
        left=scene.left,
    )
    fins = tuple(_fins(basis, (builds, cases, traces), given.wanted_ratio, tell))
    rows: list[Reserve] = [
        *grid.worst_of_each(),
        *unheld_rows(cuts),
        *unknown_layers(cuts),
        *bay_rows(vehicle, pressures),
        *plate_rows(plates),
        *detail_rows(scene),
        *(row for fin in fins for row in fin_rows(fin)),
        *(row for build in builds if build.stuff is None for row in unknown_fins(build)),
    ]
    tell("sharing the load between rods and walls")
    ground = [index for index, case in enumerate(cases) if case.case.occasion is Occasion.GROUND]
    flight = [index for index in range(len(cases)) if index not in ground]
    return StrengthStudy(
        cases=tuple(shown(case) for case in cases),
        reserves=tuple(sorted(rows, key=badness)),
        by_station=by_station(cuts, grid, flight),
        ground_by_station=by_station(cuts, grid, ground),
        shares=tuple(_shares(vehicle, warmth, (grid, cases))),
        preloads=tuple(preload_rows(vehicle, surface)),
        heat=tuple(heat_cases(vehicle, surface)),
        fins=fins,
        layers=tuple(_worth_of_bars(vehicle, warmth)),
        wall_temperature=surface,
        in_step=in_step(
            ShedScene(
                vehicle=vehicle,
                fins=fins,
                rows=rows,
                top_speed=top_speed(traces),
                pressure_pa=max(case.dynamic_pressure_pa for case in cases),
                density_kg_m3=float(air_over_pad(day_at_pad(vehicle), 0.0).density_kg_m3),
                swing=basis.air.swing,
            )
        ),
        recovery_followed=given.followed is not None,
    )


def _followed_pressures(study: RecoveryStudy | None) -> dict[str, Estimate]:
    """Hardest shot of every bay that was followed in time [Pa]."""
    if study is None:
        return {}
    return {
        burst.bay: max((shot.peak for shot in burst.shots), key=lambda peak: peak.high)
        for burst in study.bursts
        if burst.shots
    }


def all_cases(basis: Basis, given: StrengthInputs, stack: CutStack) -> tuple[LoadCase, ...]:
    """Cases of every check and the further ones, of the flight that meets the highest dynamic pressure."""
    vehicle, flights = basis.vehicle, basis.flights
    wind = wind_at_ten_metres(vehicle)
    traces = (*flights.every, *given.flown)
    hardest = max(traces, key=lambda trace: float(trace.dynamic_pressures_pa.max()))
    masses = Masses(vehicle=vehicle, rows=basis.rows)
    air = AirForces(vehicle=vehicle, air=basis.air)
    loads = FlightLoads(
        masses=masses,
        air=air,
        trace=hardest,
        fastest=fastest_moment(hardest, wind.high),
    )
    further = CaseInputs(
        masses=masses,
        air=air,
        trace=hardest,
        rail_exit=next((point for point in basis.stability if point.moment is MomentName.RAIL_EXIT), None),
        recovery=given.recovery,
        study=given.followed,
        axial_stiffness_n=_mean_stiffness(stack),
    )
    return (*load_cases(loads, _pulls(basis, given)), *further_cases(further))


def _pulls(basis: Basis, given: StrengthInputs) -> tuple[CordPull, ...]:
    """Return the pulls of the cords, as they were followed; by closed form where they were not."""
    sheet = basis.vehicle.sheet
    if given.followed is None:
        return quick_pulls(sheet, given.recovery)
    return followed_pulls(sheet, given.recovery, given.followed)


def _mean_stiffness(stack: CutStack) -> float:
    """Axial stiffness of springs in a row, one for each cut [N]."""
    ea = stack.ea[:, 0]
    return float(ea.size / np.sum(1 / ea)) if ea.size else 1e6


def _shares(
    vehicle: LoadedVehicle, warmth: Warmth, judged: tuple[ReserveGrid, Sequence[LoadCase]]
) -> Iterator[ShareRow]:
    """Walls with the rods and without, in each case, where the rods run."""
    if not vehicle.sheet.rod:
        return
    tight, cases = judged
    bare = body_reserves(
        cuts_through(vehicle, replace(warmth, with_rods=False)).stack, [case.body for case in cases]
    )
    along = _along_rods(vehicle, tight.stack), _along_rods(vehicle, bare.stack)
    row = MODES.index(FailureMode.WALL_PULLED)
    for index, case in enumerate(cases):
        held, alone = (
            np.where(inside, grid.lows[row, index], np.nan)
            for grid, inside in zip((tight, bare), along, strict=True)
        )
        inside = along[0] & np.isfinite(tight.loads[row, index, :, 0])
        if not inside.any():
            continue
        where = _worst_station(bare.stack, alone, tight.stack.stations_m[inside][0])
        cut = int(np.abs(tight.stack.stations_m - where).argmin())
        yield ShareRow(
            case=case.case,
            station_m=where,
            axial_n=float(np.interp(where, case.body.loads.stations_m, case.body.loads.axial_n)),
            rod_share=float(tight.stack.rod_ea[cut, 0] / tight.stack.ea[cut, 0]),
            pulled_with=_least(tight, (row, index), held),
            pulled_without=_least(bare, (row, index), alone),
        )


def _along_rods(vehicle: LoadedVehicle, stack: CutStack) -> np.ndarray:
    spans = [(rod.stations[0].value, rod.stations[1].value) for rod in vehicle.sheet.rod]
    inside = [(fore < stack.stations_m) & (stack.stations_m < aft) for fore, aft in spans]
    return np.any(inside, axis=0) if inside else np.zeros(stack.stations_m.size, dtype=bool)


def _worst_station(stack: CutStack, lows: np.ndarray, otherwise: float) -> float:
    return float(stack.stations_m[int(np.nanargmin(lows))]) if np.isfinite(lows).any() else float(otherwise)


def _least(grid: ReserveGrid, where: tuple[int, int], lows: np.ndarray) -> Estimate | None:
    if not np.isfinite(lows).any():
        return None
    return grid.entry(*where, int(np.nanargmin(lows))).reserve


def _worth_of_bars(vehicle: LoadedVehicle, warmth: Warmth) -> Iterator[BarsWorth]:
    """Yield what own bars would settle about each print pulled across its layers that rests on tables."""
    seen: set[str] = set()
    for part in vehicle.parts:
        stuff = sheet_material(vehicle.sheet, part.spec.material)
        own = any(
            one.name.casefold() == part.spec.material.casefold() and one.across
            for one in vehicle.sheet.material
        )
        if (
            stuff.kind != PRINTED
            or not stacked(vehicle, part)
            or own
            or stuff.name in seen
            or stuff.upright_pa is None
        ):
            continue
        seen.add(stuff.name)
        yield BarsWorth(
            material=part.spec.material,
            now=stuff.upright_pa,
            lots=stuff.lots_across,
            bars=OWN_BARS,
            with_bars=own_bars(stuff.upright_pa.value, OWN_BARS, pull=BarPull.ACROSS, filled=stuff.filled),
        )


def _fins(
    basis: Basis,
    given: tuple[tuple[FinBuild, ...], Sequence[LoadCase], tuple[Trace, ...]],
    wanted_ratio: float,
    tell: Tell,
) -> Iterator[FinStudy]:
    builds, cases, traces = given
    fastest = next(case for case in cases if case.case.load is Load.MAX_SPEED)
    for fin, build in zip(basis.air.fins, builds, strict=True):
        if build.stuff is None or fastest.dynamic_pressure_pa <= 0:
            continue
        tell(f"bending and swinging {fin.fins.name}")
        yield fin_study(
            FinScene(
                vehicle=basis.vehicle,
                fin=fin,
                build=build,
                case=fastest,
                trace=traces[0],
                top_speed=top_speed(traces),
                wanted_ratio=wanted_ratio,
            )
        )
