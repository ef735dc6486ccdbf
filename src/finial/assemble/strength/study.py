"""The long look at strength: every load case, warm walls, small things, fins in the wind."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace

import numpy as np

from finial.assemble.basis import Basis
from finial.assemble.day import wind_at_ten_metres
from finial.assemble.recovery.results import RecoveryResult
from finial.assemble.stability import MomentName, fastest_moment
from finial.assemble.strength.cases import MAX_SPEED, LoadCase, load_cases
from finial.assemble.strength.cuts import Cuts, State, cuts_through
from finial.assemble.strength.details import DetailScene, detail_rows
from finial.assemble.strength.fins.records import FinHeld, FinStudy, StayStudy
from finial.assemble.strength.fins.study import FinScene, fin_study
from finial.assemble.strength.further_cases import CaseInputs, further_cases
from finial.assemble.strength.heat import heat_cases, preload_rows, sunlit_state, wall_warmth
from finial.assemble.strength.quick import (
    bay_rows,
    body_reserves_of,
    body_rows,
    by_station,
    reserve_row,
    unknown_layers,
)
from finial.assemble.strength.records import CaseLoads, ShareRow, StrengthStudy
from finial.assemble.strength.results import ReserveRow
from finial.assemble.vehicle.loading import Vehicle
from finial.core.estimates import Estimate, KnownBy, exact
from finial.flight.trace import Trace
from finial.structure.reserves import Reserve, reserve_factor, worst_of_each
from finial.structure.walls.body import WALL_PULLED
from finial.structure.walls.collapse import collapse_reserves
from finial.structure.walls.cuts import SectionSpec
from finial.structure.walls.section import section_response

Tell = Callable[[str], None]
ON_THE_GROUND = ("lands on an edge", "lifted at one end")


def strength_study(
    basis: Basis,
    recovery: RecoveryResult,
    *,
    wanted_ratio: float,
    tell: Tell,
    flown: tuple[Trace, ...] = (),
) -> StrengthStudy:
    """Look long at a vehicle that has been answered: some seconds for each set of fins.

    Parameters
    ----------
    basis : Basis
        What every look stands on.
    recovery : RecoveryResult
        Forces of charges and canopies.
    wanted_ratio : float
        Flutter speed over the top speed that stays are designed for [-].
    tell : callable
        Told what is being looked at.
    flown : tuple of Trace
        Further flights that may load it harder.

    Returns
    -------
    study : StrengthStudy
        The answer.
    """
    vehicle = basis.vehicle
    surface = wall_warmth(vehicle)
    state = sunlit_state(vehicle, surface)
    tell("warming the walls and cutting the body")
    cuts = cuts_through(vehicle, state)
    traces = (*basis.flights.every, *flown)
    cases = all_cases(basis, recovery, cuts, traces)
    entries = [(case, body_reserves_of(cuts, case)) for case in cases]
    rows = [row for case, reserves in entries for row in body_rows(vehicle, cuts, reserves, case)]
    rows += [row for case, reserves in entries for row in _collapse_rows(vehicle, cuts, (case, reserves))]
    rows += unknown_layers(cuts)
    rows += bay_rows(vehicle, recovery)
    scene = DetailScene(vehicle=vehicle, rows=basis.rows, cuts=cuts, state=state, cases=cases)
    rows += detail_rows(scene)
    fins = tuple(_fins(basis, (cases, traces), wanted_ratio, tell))
    rows += [row for fin in fins for row in fin_rows(vehicle, fin)]
    tell("sharing the load between rods and walls")
    return StrengthStudy(
        cases=tuple(_shown(case) for case in cases),
        reserves=tuple(sorted(rows, key=_badness)),
        by_station=by_station(cuts, [one for one in entries if not on_the_ground(one[0].name)]),
        ground_by_station=by_station(cuts, [one for one in entries if on_the_ground(one[0].name)]),
        shares=tuple(_shares(vehicle, state, cases)),
        preloads=tuple(preload_rows(vehicle, surface)),
        heat=tuple(heat_cases(vehicle, surface)),
        fins=fins,
        wall_temperature=surface,
    )


def _collapse_rows(
    vehicle: Vehicle, cuts: Cuts, judged: tuple[LoadCase, Sequence[Reserve]]
) -> Iterator[ReserveRow]:
    case, reserves = judged
    for entry in worst_of_each(collapse_reserves(reserves, cuts.specs)):
        yield reserve_row(entry, case.name, vehicle.us_units)


def on_the_ground(case: str) -> bool:
    """Whether a case is landing or handling, where nobody flies any more.

    Examples
    --------
    >>> on_the_ground("lifted at one end"), on_the_ground("max thrust")
    (True, False)
    """
    return any(words in case for words in ON_THE_GROUND)


def all_cases(
    basis: Basis, recovery: RecoveryResult, cuts: Cuts, traces: tuple[Trace, ...] = ()
) -> tuple[LoadCase, ...]:
    """Cases of every check and the further ones, of the flight that meets the highest dynamic pressure."""
    vehicle, flights, air = basis.vehicle, basis.flights, basis.air
    wind = wind_at_ten_metres(vehicle)
    hardest = max(traces or flights.every, key=lambda trace: float(trace.dynamic_pressures_pa.max()))
    fastest = fastest_moment(hardest, wind.high)
    core = load_cases(vehicle, basis.rows, air, (hardest, fastest), recovery)
    rail = next((point for point in basis.stability if point.moment is MomentName.RAIL_EXIT), None)
    stiffness = [_axial_stiffness(spec) for spec in cuts.specs] or [1e6]
    further = further_cases(
        CaseInputs(
            vehicle=vehicle,
            rows=basis.rows,
            air=air,
            trace=hardest,
            rail_exit=rail,
            recovery=recovery,
            axial_stiffness_n=len(stiffness) / sum(1 / one for one in stiffness),
        )
    )
    return (*core, *further)


def _axial_stiffness(spec: SectionSpec) -> float:
    area = spec.walls.area if spec.walls else None
    modulus = spec.walls.modulus.value if spec.walls else 0.0
    if spec.rods is None:
        return section_response(area, modulus).ea_n
    return section_response(
        area, modulus, spec.rods.positions_m, spec.rods.stress_area_m2, spec.rods.modulus.value
    ).ea_n


def _badness(row: ReserveRow) -> float:
    return float("-inf") if row.reserve is None else row.reserve.low


def _shown(case: LoadCase) -> CaseLoads:
    loads = case.loads
    still = np.zeros_like(loads.stations_m)
    return CaseLoads(
        case=case.name,
        stations_m=loads.stations_m,
        axial_n=loads.axial_n,
        shear_n=loads.shear_n,
        bending_n_m=loads.bending_n_m,
        torsion_n_m=still if case.torsion_n_m is None else case.torsion_n_m,
    )


def _shares(vehicle: Vehicle, state: State, cases: Sequence[LoadCase]) -> Iterator[ShareRow]:
    """Walls with the rods and without, in each case, where the rods run."""
    if not vehicle.sheet.rod:
        return
    spans = [(rod.stations[0].value, rod.stations[1].value) for rod in vehicle.sheet.rod]

    def along_rods(cuts: Cuts) -> Cuts:
        inside = [spec for spec in cuts.specs if any(fore < spec.station_m < aft for fore, aft in spans)]
        return replace(cuts, specs=tuple(inside))

    tight, bare = (
        along_rods(cuts_through(vehicle, state)),
        along_rods(cuts_through(vehicle, replace(state, with_rods=False))),
    )
    for case in cases:
        with_rods = [entry for entry in body_reserves_of(tight, case) if entry.what == WALL_PULLED]
        without = [entry for entry in body_reserves_of(bare, case) if entry.what == WALL_PULLED]
        if not with_rods:
            continue
        where = min(without, key=_low) if without else with_rods[0]
        share = next((one.rod_share for one in with_rods if one.station_m == where.station_m), None)
        loads = case.loads
        yield ShareRow(
            case=case.name,
            station_m=where.station_m,
            axial_n=float(np.interp(where.station_m, loads.stations_m, loads.axial_n)),
            rod_share=share or 0.0,
            pulled_with=_worst_of(with_rods),
            pulled_without=_worst_of(without),
        )


def _low(entry: Reserve) -> float:
    return entry.reserve.low if entry.reserve else float("inf")


def _worst_of(entries: Sequence[Reserve]) -> Estimate | None:
    return min(entries, key=_low).reserve if entries else None


def _fins(
    basis: Basis,
    loads: tuple[Sequence[LoadCase], tuple[Trace, ...]],
    wanted_ratio: float,
    tell: Tell,
) -> Iterator[FinStudy]:
    cases, traces = loads
    given = {fin.name: fin for fin in basis.vehicle.sheet.fin}
    fastest = next(case for case in cases if case.name == MAX_SPEED)
    for fin in basis.air.fins:
        if fin.fins.name not in given or fastest.dynamic_pressure_pa <= 0:
            continue
        tell(f"bending and swinging {fin.fins.name}")
        yield fin_study(
            FinScene(
                vehicle=basis.vehicle,
                fin=fin,
                given=given[fin.fins.name],
                case=fastest,
                traces=traces,
                wanted_ratio=wanted_ratio,
            )
        )


def fin_rows(vehicle: Vehicle, fin: FinStudy) -> Iterator[ReserveRow]:
    """Reserves of a set of fins and of its stays."""
    us = vehicle.us_units
    held = fin.held
    if held.stress is not None:
        entry = Reserve(
            what=f"{fin.name} break",
            station_m=fin.station_m + held.stress_at_m[0],
            load=held.stress,
            strength=fin.strength,
            unit="Pa",
            reserve=reserve_factor(fin.strength, held.stress),
        )
        yield reserve_row(entry, MAX_SPEED, us)
    if fin.root_glue is not None:
        load, strength = fin.root_glue
        glued = Reserve(
            what=f"root glue of {fin.name} lets go",
            station_m=fin.station_m,
            load=load,
            strength=strength,
            unit="Pa",
            reserve=reserve_factor(strength, load),
        )
        yield reserve_row(glued, MAX_SPEED, us)
    yield _speed_row(vehicle, fin, f"{fin.name} flutter by modes", _lowest_flutter(held), held)
    for number, stay in enumerate(fin.stays, start=1):
        yield from _stay_rows(vehicle, fin, stay, f"stay {number} of {fin.name}")


def _lowest_flutter(held: FinHeld) -> Estimate | None:
    found = [one for one in (held.flutter, held.flutter_all_alike) if one is not None]
    return min(found, key=lambda one: one.low, default=None)


def _speed_row(
    vehicle: Vehicle, fin: FinStudy, what: str, speed: Estimate | None, held: FinHeld
) -> ReserveRow:
    if speed is None:
        return ReserveRow(
            what=what,
            case="whole flight",
            station_m=fin.station_m,
            load="No swing grows up to Mach 0.9",
            reserve=exact(1000.0, method="nothing grows below Mach 0.9"),
            rod_share=None,
        )
    alike = held.flutter_all_alike
    note = (
        f"It swings at {held.flutter_hz:.0f} Hz." if held.flutter_hz else "It twists away without swinging."
    )
    if alike is not None and (held.flutter is None or alike.low < held.flutter.low):
        note = (
            "When all fins swing the same way round, wires between them hold nothing: tie them to the body."
        )
    entry = Reserve(
        what=what,
        station_m=fin.station_m,
        load=fin.top_speed,
        strength=speed,
        unit="m/s",
        reserve=reserve_factor(speed, fin.top_speed),
        note=note,
    )
    return reserve_row(entry, "whole flight", vehicle.us_units)


def _stay_rows(vehicle: Vehicle, fin: FinStudy, stay: StayStudy, name: str) -> Iterator[ReserveRow]:
    station = fin.station_m + stay.pair.along_m

    def row(what: str, load: Estimate, strength: Estimate, note: str = "") -> ReserveRow:
        entry = Reserve(
            what=f"{name}: {what}",
            station_m=station,
            load=load,
            strength=strength,
            unit="N",
            reserve=reserve_factor(strength, load),
            note=note,
        )
        return reserve_row(entry, MAX_SPEED, vehicle.us_units)

    if stay.crosses_body_at_m is not None:
        yield ReserveRow(
            what=f"{name} passes through the body",
            case="every case",
            station_m=stay.crosses_body_at_m,
            load="The wire's straight run crosses the skin",
            reserve=exact(0.0),
            rod_share=None,
            note="Move the anchor or the point on the fin until the wire is clear.",
        )
    if stay.slack_reserve is not None:
        yield ReserveRow(
            what=f"{name} goes slack",
            case=MAX_SPEED,
            station_m=station,
            load=f"Moves by {1e3 * stay.shift_m:.2f} mm in the gust",
            reserve=stay.slack_reserve,
            rod_share=None,
            note="A slack wire lends no stiffness and jerks when it comes taut.",
        )
    yield row("wire breaks", stay.tight_n, stay.strength_n)
    inward = exact(max(stay.inward_n, 1e-6), known_by=KnownBy.COMPUTED)
    bows = Estimate(
        value=stay.bowing_n,
        low=0.7 * stay.bowing_n,
        high=1.3 * stay.bowing_n,
        known_by=KnownBy.COMPUTED,
        method="fin as a column",
    )
    yield row("its pull bows the fin out", inward, bows)
    if stay.anchor_holds_n is not None:
        yield row("anchor pulls out", stay.tight_n, stay.anchor_holds_n)
    elif stay.pair.to == "body":
        yield ReserveRow(
            what=f"{name}: anchor pulls out",
            case=MAX_SPEED,
            station_m=station,
            load="What an anchor in the body holds is not known",
            reserve=None,
            rod_share=None,
            note='Pull one anchor until it lets go and enter anchor_holds = "..." on the stay.',
        )
