"""Nuts, washers, threads, thrust plate, glue, retention, dowels, thin walls: the small things that let go."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from finial.assemble.mass.rows import Row, motor_row, part_span
from finial.assemble.strength.cases import LoadCase
from finial.assemble.strength.cuts import Cuts, State, joints, loose, part_at
from finial.assemble.strength.quick import body_reserves_of, reserve_row
from finial.assemble.strength.results import ReserveRow
from finial.assemble.vehicle.loading import Vehicle
from finial.assemble.vehicle.materials import sheet_material
from finial.assemble.vehicle.rods import rods_of
from finial.core.estimates import Estimate, KnownBy, exact
from finial.core.units import Dimension, show
from finial.files.sheet_body import RodEntry
from finial.materials.glue import glue
from finial.materials.material import PRINTED, Material
from finial.structure.reserves import Reserve, Unit, reserve_factor
from finial.structure.rods.fastening import (
    BEARING_OF_TENSION,
    NUT_HEIGHT,
    SHEAR_OF_TENSION,
    dowel_load,
    glued_tube_stress,
    pull_through_stress,
    ring_plate_stress,
    washer_bearing_stress,
)
from finial.structure.rods.threads import stress_area, strip_area, thread
from finial.structure.walls.body import ROD_PULLED
from finial.structure.walls.plates import Plate, long_wall
from finial.structure.walls.torsion import wall_shear_stress

PRESSED = 0.6
"""Pressure or suction on a flat side over the dynamic pressure [-]; assumed, 0.3 to 1."""
USUAL_NOZZLE_M = 0.0004
"""Bore of most printers' nozzles [m]; common practice."""
ACROSS_NUT = 1.7
"""Width of a nut over its thread's diameter [-], ISO 4032 within a tenth."""
CLEARANCE_HOLE = 1.1
"""Hole for a rod over its diameter [-], ISO 273 medium."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DetailScene:
    """The vehicle, its cuts as warm as they get, and every load case."""

    vehicle: Vehicle
    rows: tuple[Row, ...]
    cuts: Cuts
    state: State
    cases: Sequence[LoadCase]

    def stuff(self, name: str) -> Material:
        """Material as warm as the walls get."""
        return self.state.of_plastic(sheet_material(self.vehicle.sheet, name))


def detail_rows(scene: DetailScene) -> Iterator[ReserveRow]:
    """Reserve of every small thing the sheet says enough of, and what it does not say."""
    yield from _shear_rows(scene)
    for rod in rods_of(scene.vehicle.sheet):
        yield from _rod_rows(scene, rod)
    yield from _dowel_rows(scene)
    yield from _thrust_rows(scene)
    yield from _retention_rows(scene)
    yield from _thin_walls(scene)
    yield from _pressed_walls(scene)


def _shear_rows(scene: DetailScene) -> Iterator[ReserveRow]:
    """Torsion and cross force in the closed walls, against the layers."""
    for case in scene.cases:
        loads = case.loads
        fore, aft = case.ends_m
        worst: Reserve | None = None
        for station, (tube, strength) in scene.cuts.tubes.items():
            if not fore < station < aft:
                continue
            shear = float(np.interp(station, loads.stations_m, np.abs(loads.shear_n)))
            torsion = 0.0
            if case.torsion_n_m is not None:
                torsion = float(np.interp(station, loads.stations_m, case.torsion_n_m))
            value = wall_shear_stress(tube, torsion, shear)
            load = _scattered(value, case.bending_factor, "torsion and cross force in a closed wall")
            entry = Reserve(
                what="wall sheared along its layers",
                station_m=station,
                load=load,
                strength=strength,
                unit="Pa",
                reserve=reserve_factor(strength, load),
            )
            if entry.reserve and (
                worst is None or worst.reserve is None or entry.reserve.low < worst.reserve.low
            ):
                worst = entry
        if worst is not None:
            yield reserve_row(worst, case.name, scene.vehicle.us_units)


def _scattered(value: float, factor: Estimate, method: str) -> Estimate:
    return Estimate(
        value=value,
        low=value * min(factor.low, 1.0),
        high=value * max(factor.high, 1.0),
        known_by=max(KnownBy.COMPUTED, factor.known_by),
        method=method,
        source="Bredt 1896; Gere and Timoshenko, Mechanics of Materials",
    )


def _rod_rows(scene: DetailScene, rod: RodEntry) -> Iterator[ReserveRow]:
    yield from _loose_ends(scene, rod)
    if loose(rod):
        middle = (rod.stations[0].value + rod.stations[1].value) / 2
        yield _unknown(
            f"{rod.thread} rods with play",
            middle,
            "Rods that are not tightened take nothing until their play is used up",
            "Tighten them and enter the preload; until then the walls are judged alone.",
        )
        return
    pull, case = _rod_pull(scene, rod)
    if pull is None:
        return
    aft = rod.stations[1].value
    screw, stuff = thread(rod.thread), scene.stuff(rod.material)
    strips = stuff.ultimate_pa.scaled(SHEAR_OF_TENSION * strip_area(screw, NUT_HEIGHT * screw.diameter_m))
    yield _row(scene, ("thread of a rod strips in its nut", case, aft), pull, strips, "N")
    if rod.bears_on is None:
        return
    plate = scene.stuff(rod.bears_on.material)
    washer = rod.washer.value if rod.washer else ACROSS_NUT * screw.diameter_m
    hole = CLEARANCE_HOLE * screw.diameter_m
    under = washer_bearing_stress(1.0, max(washer, 1.05 * hole), hole)
    bearing = plate.yield_pa.scaled(BEARING_OF_TENSION)
    named = "washer sinks in" if rod.washer else "nut without washer sinks in"
    yield _row(scene, (named, case, aft), pull.scaled(under), bearing, "Pa")
    punched = pull_through_stress(1.0, washer, rod.bears_on.thickness.value)
    shear = _layers(plate).scaled(SHEAR_OF_TENSION)
    yield _row(scene, ("nut pulls through its plate", case, aft), pull.scaled(punched), shear, "Pa")


def _layers(stuff: Material) -> Estimate:
    """Strength that lets go first: across the layers of a print."""
    return stuff.upright_pa if stuff.kind == PRINTED and stuff.upright_pa else stuff.ultimate_pa


def _row(
    scene: DetailScene, named: tuple[str, str, float], load: Estimate, strength: Estimate, unit: Unit
) -> ReserveRow:
    what, case, station = named
    entry = Reserve(
        what=what,
        station_m=station,
        load=load,
        strength=strength,
        unit=unit,
        reserve=reserve_factor(strength, load),
    )
    return reserve_row(entry, case, scene.vehicle.us_units)


def _rod_pull(scene: DetailScene, rod: RodEntry) -> tuple[Estimate | None, str]:
    """Largest pull on one rod of a set over all cases [N], and the case."""
    fore, aft = (end.value for end in rod.stations)
    best, named = None, ""
    for case in scene.cases:
        for entry in body_reserves_of(scene.cuts, case):
            inside = fore <= entry.station_m <= aft
            if entry.what == ROD_PULLED and inside and (best is None or entry.load.high > best.high):
                best, named = entry.load, case.name
    return best, named


def _loose_ends(scene: DetailScene, rod: RodEntry) -> Iterator[ReserveRow]:
    """Yield the ends of rods that bear on nothing the sheet knows of."""
    vehicle = scene.vehicle
    spans = [part_span(part) for part in vehicle.parts]
    for end, station in zip(("fore", "aft"), (one.value for one in rod.stations), strict=True):
        inside = any(low - 0.005 <= station <= high + 0.005 for low, high in spans)
        name = f"{end} end of the {rod.thread} rods"
        if not inside:
            yield _unknown(
                name, station, "The rods end where there is no part", "End them at a part or plate."
            )
        elif rod.bears_on is None:
            yield _unknown(
                name,
                station,
                "What nuts and washers press on is not said",
                'Enter bears_on = { thickness = "...", material = "..." } and washer under [[rod]].',
            )


def _unknown(what: str, station_m: float, load: str, note: str) -> ReserveRow:
    return ReserveRow(
        what=what,
        case="every case",
        station_m=station_m,
        load=load,
        reserve=None,
        rod_share=None,
        note=note,
    )


def _dowel_rows(scene: DetailScene) -> Iterator[ReserveRow]:
    for station, part in joints(scene.vehicle):
        dowels = part.spec.dowels
        if dowels is None:
            continue
        pin, wall = scene.stuff(dowels.material), scene.stuff(part.spec.material)
        held = [
            dowel_load(dowels.count, dowels.diameter.value, shear, bearing, dowels.depth.value)
            for shear, bearing in (
                (SHEAR_OF_TENSION * one, BEARING_OF_TENSION * two)
                for one, two in (
                    (pin.ultimate_pa.low, wall.yield_pa.low),
                    (pin.ultimate_pa.value, wall.yield_pa.value),
                    (pin.ultimate_pa.high, wall.yield_pa.high),
                )
            )
        ]
        strength = Estimate(
            value=held[1],
            low=held[0],
            high=held[2],
            known_by=KnownBy.HANDBOOK,
            method="dowels across a joint",
        )
        shears = [
            (float(np.interp(station, case.loads.stations_m, np.abs(case.loads.shear_n))), case)
            for case in scene.cases
            if case.loads.stations_m.min() < station < case.loads.stations_m.max()
        ]
        if shears:
            shear, case = max(shears, key=lambda pair: pair[0] * pair[1].bending_factor.high)
            load = _scattered(max(shear, 1e-9), case.bending_factor, "cross force at the joint")
            yield _row(scene, ("dowels of a joint shear", case.name, station), load, strength, "N")


def _thrust_rows(scene: DetailScene) -> Iterator[ReserveRow]:
    """Thrust from the motor into plate and tube."""
    vehicle, mount = scene.vehicle, scene.vehicle.sheet.motor
    nozzle = mount.nozzle_station.value
    peak, scatter = float(vehicle.motor.thrusts_n.max()), vehicle.motor.thrust_spread
    thrust = Estimate(
        value=peak,
        low=peak * (1 - scatter),
        high=peak * (1 + scatter),
        known_by=KnownBy.HANDBOOK,
        method="peak thrust",
    )
    if mount.thrust_plate is None and mount.tube is None:
        yield _unknown(
            "thrust reaches the body",
            nozzle,
            "How the motor's thrust reaches the walls is not said",
            "Enter thrust_plate or tube under [motor].",
        )
    if mount.thrust_plate is not None:
        plate = mount.thrust_plate
        stuff = scene.stuff(plate.material)
        pushed = min(max(vehicle.motor.diameter_m, plate.hole.value), 0.98 * plate.held_at.value)
        per_newton = ring_plate_stress(
            1.0, plate.held_at.value, pushed, plate.thickness.value, poisson=stuff.poisson
        )
        # A hole inside the pushed circle up to doubles the stress.
        hole = 1.0 + min(plate.hole.value / plate.held_at.value, 1.0)
        yield _row(
            scene,
            ("thrust plate breaks", "max thrust", nozzle),
            thrust.scaled(per_newton * hole),
            _layers(stuff) if stuff.kind == PRINTED else stuff.yield_pa,
            "Pa",
        )
    if mount.tube is not None:
        bond = glue(mount.tube.glue)
        stress = glued_tube_stress(1.0, mount.tube.diameter.value, mount.tube.length.value)
        yield _row(
            scene,
            ("glue of the motor tube shears", "max thrust", nozzle),
            thrust.scaled(stress),
            bond.shear_pa,
            "Pa",
        )


def _retention_rows(scene: DetailScene) -> Iterator[ReserveRow]:
    """Judge what pulls the motor aft out of the body: a cord that stops the half it sits in."""
    vehicle, mount = scene.vehicle, scene.vehicle.sheet.motor
    nozzle = mount.nozzle_station.value
    motor_kg = motor_row(vehicle, 0.0).body.mass_kg
    worst, named = exact(0.0), ""
    for case in scene.cases:
        loads = case.loads
        if not loads.stations_m.min() <= nozzle <= loads.stations_m.max() + 0.05:
            continue
        # Positive acceleration is aft; a body that is pulled forward leaves its motor behind.
        pull = -loads.motion.aft_m_s2 * motor_kg
        forward = case.dynamic_pressure_pa == 0.0 and "thrust" not in case.name
        if forward and pull * case.axial_factor.high > worst.high:
            worst, named = _scattered(pull, case.axial_factor, "motor's own inertia"), case.name
    if worst.high <= 0:
        return
    if mount.retainer is None:
        yield _unknown(
            "motor stays in",
            nozzle,
            f"{named}: {show(worst.value, Dimension.FORCE, vehicle.us_units)} aft; what holds it is not said",
            "Enter retainer = { screw = ..., count = ... } under [motor].",
        )
        return
    keep = mount.retainer
    screw, stuff = thread(keep.screw), scene.stuff(keep.material)
    strength = stuff.yield_pa.scaled(keep.count * stress_area(screw))
    if keep.holds_in:
        deep = keep.engagement.value if keep.engagement else screw.diameter_m
        cut = math.pi * screw.diameter_m * deep / 2
        strips = _layers(scene.stuff(keep.holds_in)).scaled(SHEAR_OF_TENSION * keep.count * cut)
        strength = min(strength, strips, key=lambda one: one.low)
    yield _row(scene, ("motor retainer lets go", named, nozzle), worst, strength, "N")


def _pressed_walls(scene: DetailScene) -> Iterator[ReserveRow]:
    """Flat walls bent between their corners by the air at top speed."""
    fastest = max(scene.cases, key=lambda case: case.dynamic_pressure_pa)
    if fastest.dynamic_pressure_pa <= 0.0:
        return
    worst: tuple[Reserve, float] | None = None
    for spec in scene.cuts.specs:
        part = part_at(scene.vehicle, spec.station_m)
        if spec.walls is None or part is None or part.spec.print is None:
            continue
        area, stuff = spec.walls.area, scene.stuff(part.spec.material)
        plate = Plate(thickness_m=area.wall_m, modulus_pa=stuff.modulus_pa.value, poisson=stuff.poisson)
        stress = long_wall(plate, area.flat_width_m, fastest.dynamic_pressure_pa, edge="clamped").stress_pa
        load = Estimate(
            value=PRESSED * stress,
            low=0.3 * stress,
            high=stress,
            known_by=KnownBy.ASSUMED,
            method="pressure or suction on a flat side over the dynamic pressure",
            source="Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells; coefficient assumed",
        )
        entry = Reserve(
            what="flat wall bends under the air",
            station_m=spec.station_m,
            load=load,
            strength=stuff.yield_pa,
            unit="Pa",
            reserve=reserve_factor(stuff.yield_pa, load),
        )
        if entry.reserve and (worst is None or entry.reserve.low < worst[1]):
            worst = entry, entry.reserve.low
    if worst is not None:
        yield reserve_row(worst[0], fastest.name, scene.vehicle.us_units)


def _thin_walls(scene: DetailScene) -> Iterator[ReserveRow]:
    """Walls and printed fins thinner than what the printer can lay down."""
    sheet = scene.vehicle.sheet
    given = sheet.print.nozzle.value if sheet.print and sheet.print.nozzle else None
    nozzle = given or USUAL_NOZZLE_M
    thin = [
        (f"wall of {part.spec.name}", part.spec.print.wall.value, part_span(part)[0])
        for part in scene.vehicle.parts
        if part.spec.print and part.spec.print.wall.value < nozzle
    ]
    thin += [
        (f"thickness of {fin.name}", fin.thickness.value, fin.station.value)
        for fin in sheet.fin
        if sheet_material(sheet, fin.material).kind == PRINTED and fin.thickness.value < 2 * nozzle
    ]
    for name, thickness, station in thin:
        wide = show(nozzle, Dimension.LENGTH, scene.vehicle.us_units)
        entry = exact(thickness / nozzle, known_by=KnownBy.MEASURED if given else KnownBy.ASSUMED)
        yield ReserveRow(
            what=f"{name} thinner than the nozzle",
            case="printing",
            station_m=station,
            load=f"{show(thickness, Dimension.LENGTH, scene.vehicle.us_units)} with a nozzle of {wide}",
            reserve=entry,
            rod_share=None,
            note="Slicers leave such walls out: the part is weaker than it looks.",
        )
