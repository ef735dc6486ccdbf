"""Nuts, washers, threads, thrust plate, glue, retention, dowels, thin walls: the small things that let go."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from finial.assemble.mass.rows import motor_row
from finial.assemble.strength.build import WallCut, build_of, part_at, part_joints, wall_cuts
from finial.assemble.strength.cases import LoadCase
from finial.assemble.strength.cuts import ROOM, Cuts, Warmth, loose, stacked, warmth_left
from finial.assemble.strength.fins.build import FinBuild
from finial.assemble.strength.lets_go import (
    ACROSS_NUT,
    CLEARANCE_HOLE,
    LetsGo,
    bearing_strength,
    bending_strength,
    layers_of,
    punching_strength,
    unknown_row,
)
from finial.assemble.strength.retainer import retainer_holds
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.assemble.vehicle.materials import sheet_material
from finial.assemble.vehicle.motors import thrust_spread
from finial.assemble.vehicle.nozzle import nozzle_m, nozzle_told
from finial.assemble.vehicle.rods import rods_of
from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate, KnownBy, exact, spread
from finial.files.sheet_body import RodEntry
from finial.materials.glue import glue
from finial.materials.material import PRINTED, Material
from finial.structure.loads.case import Case, Load, Occasion
from finial.structure.reserves import Because, FailureMode, Reserve, badness
from finial.structure.rods.fastening import (
    NUT_HEIGHT,
    SHEAR_OF_TENSION,
    dowel_strength,
    glued_tube_stress,
    pull_through_stress,
    ring_plate_stress,
    washer_bearing_stress,
)
from finial.structure.rods.threads import strip_area, thread
from finial.structure.walls.body import ReserveGrid
from finial.structure.walls.buckling import INFILL_STIFFNESS, infill_support
from finial.structure.walls.plates import Plate, backed_wall_stress, rectangular_plate, round_plate

PRESSED = spread(
    0.65, 0.35 / 0.65, known_by=KnownBy.ASSUMED, method="pressure or suction over dynamic pressure"
)
"""Pressure or suction on a flat side over the dynamic pressure [-]: 0.3 to 1."""
CASE_K = 473.0
"""How hot the end of a spent motor's case may be [K]: some 200 degC; assumed."""
ENDS_AT_A_PART_M = 0.005
"""How far beside a part a rod may end and still press on it [m]; chosen."""
THRUST = Case(load=Load.MAX_THRUST)


@dataclass(frozen=True, slots=True, kw_only=True)
class DetailScene:
    """The vehicle, its cuts as warm as they get, and every load case with its reserves."""

    vehicle: LoadedVehicle
    cuts: Cuts
    warmth: Warmth
    cases: Sequence[LoadCase]
    grid: ReserveGrid
    fins: tuple[FinBuild, ...]

    def stuff(self, name: str) -> Material:
        """Material as warm as the walls get."""
        return self.warmth.of(sheet_material(self.vehicle.sheet, name))

    def left(self, name: str) -> float:
        """Share of its strength, at the low end, that warmth leaves a material [-]."""
        return warmth_left(ROOM.of(sheet_material(self.vehicle.sheet, name)), self.stuff(name))


def detail_rows(scene: DetailScene) -> Iterator[Reserve]:
    """Reserve of every small thing the sheet says enough of, and what it does not say."""
    for rod in rods_of(scene.vehicle.sheet):
        yield from _rod_rows(scene, rod)
    yield from _dowel_rows(scene)
    yield from _thrust_rows(scene)
    yield from _retention_rows(scene)
    yield from _thin_prints(scene)
    yield from _pressed_walls(scene)


def _rod_rows(scene: DetailScene, rod: RodEntry) -> Iterator[Reserve]:
    yield from _loose_ends(scene, rod)
    if loose(rod):
        middle = (rod.stations[0].value + rod.stations[1].value) / 2
        yield unknown_row(FailureMode.ROD_LOOSE, middle, Because.PLAY, rod.thread)
        return
    for pulled in _hardest_pulls(scene, rod):
        assert pulled.load is not None
        yield from _pulled_rod(scene, rod, (pulled.load, pulled.case))


def _pulled_rod(scene: DetailScene, rod: RodEntry, pulled: tuple[Estimate, Case | None]) -> Iterator[Reserve]:
    """Yield nut, washer and plate of one rod under its hardest pull [N] on one occasion."""
    (pull, case), aft = pulled, rod.stations[1].value
    screw, stuff = thread(rod.thread), scene.stuff(rod.material)
    strips = stuff.ultimate_pa.scaled(SHEAR_OF_TENSION * strip_area(screw, NUT_HEIGHT * screw.diameter_m))
    force = Dimension.FORCE
    yield LetsGo(
        mode=FailureMode.ROD_STRIPS, station_m=aft, case=case, subject=rod.thread, dimension=force
    ).judged(pull, strips)
    if rod.bears_on is None:
        return
    plate = scene.stuff(rod.bears_on.material)
    left = scene.left(rod.bears_on.material)
    washer = rod.washer.value if rod.washer else ACROSS_NUT * screw.diameter_m
    hole = CLEARANCE_HOLE * screw.diameter_m
    under = washer_bearing_stress(1.0, max(washer, 1.05 * hole), hole)
    sinks = FailureMode.WASHER_SINKS if rod.washer else FailureMode.NUT_SINKS
    yield LetsGo(mode=sinks, station_m=aft, case=case, subject=rod.thread, warmth_left=left).judged(
        pull.scaled(under), bearing_strength(plate)
    )
    punched = pull_through_stress(1.0, washer, rod.bears_on.thickness.value)
    yield LetsGo(
        mode=FailureMode.NUT_PULLS_THROUGH, station_m=aft, case=case, subject=rod.thread, warmth_left=left
    ).judged(pull.scaled(punched), punching_strength(plate))


def _hardest_pulls(scene: DetailScene, rod: RodEntry) -> Iterator[Reserve]:
    """Cut and case with the largest pull on one rod of a set, one for each occasion."""
    fore, aft = (end.value for end in rod.stations)
    for cases in _occasions(scene):
        found = [
            entry
            for case in cases
            for entry in scene.grid.all_of(FailureMode.ROD_PULLED, case)
            if fore <= entry.station_m <= aft
        ]
        if found:
            yield max(found, key=lambda entry: entry.load.high if entry.load else 0.0)


def _occasions(scene: DetailScene) -> Iterator[list[int]]:
    """Cases in flight, off their time and on the ground, by their place among all."""
    for occasion in Occasion:
        yield [place for place, one in enumerate(scene.cases) if one.case.occasion is occasion]


def _loose_ends(scene: DetailScene, rod: RodEntry) -> Iterator[Reserve]:
    """Yield the ends of rods that bear on nothing the sheet knows of."""
    spans = [part.span_m for part in scene.vehicle.parts]
    # Its nut is flush with its end, and stands on the plate.
    off = ENDS_AT_A_PART_M + NUT_HEIGHT * thread(rod.thread).diameter_m
    off += rod.bears_on.thickness.value if rod.bears_on else 0.0
    for station in (one.value for one in rod.stations):
        if not any(low - off <= station <= high + off for low, high in spans):
            yield unknown_row(FailureMode.ROD_ENDS_NOWHERE, station, Because.NO_PART_THERE, rod.thread)
        elif rod.bears_on is None:
            yield unknown_row(FailureMode.ROD_END_UNSAID, station, None, rod.thread)


def _dowel_rows(scene: DetailScene) -> Iterator[Reserve]:
    for station, part in part_joints(scene.vehicle):
        dowels = part.spec.dowels
        if dowels is None:
            continue
        pin, wall = scene.stuff(dowels.material), scene.stuff(part.spec.material)
        strength = dowel_strength(
            dowels.count, (dowels.diameter.value, dowels.depth.value), pin.ultimate_pa, wall.yield_pa
        )
        for places in _occasions(scene):
            shears = [
                (float(np.abs(case.body.loads.at(station).shear_n).max()), case)
                for case in (scene.cases[place] for place in places)
                if case.body.ends_m[0] < station < case.body.ends_m[1]
            ]
            if not shears:
                continue
            shear, case = max(shears, key=lambda pair: pair[0] * pair[1].body.bending_factor.high)
            load = case.body.bending_factor.scaled(max(shear, 1e-9))
            yield LetsGo(
                mode=FailureMode.DOWELS_SHEAR,
                station_m=station,
                case=case.case,
                subject=part.spec.name,
                dimension=Dimension.FORCE,
                warmth_left=scene.left(part.spec.material),
            ).judged(load, strength)


def _thrust_rows(scene: DetailScene) -> Iterator[Reserve]:
    """Thrust from the motor into plate and tube."""
    vehicle, mount = scene.vehicle, scene.vehicle.sheet.motor
    nozzle = mount.nozzle_station.value
    thrust = spread(
        float(vehicle.motor.thrusts_n.max()),
        thrust_spread(vehicle),
        known_by=KnownBy.HANDBOOK,
        method="peak thrust",
    )
    if mount.thrust_plate is None and mount.tube is None:
        yield unknown_row(FailureMode.THRUST_UNSAID, nozzle, None)
    if mount.thrust_plate is not None:
        plate = mount.thrust_plate
        stuff = scene.stuff(plate.material)
        pushed = min(max(vehicle.motor.diameter_m, plate.hole.value), 0.98 * plate.held_at.value)
        per_newton = ring_plate_stress(
            1.0, plate.held_at.value, pushed, plate.thickness.value, poisson=stuff.poisson
        )
        # A hole inside the pushed circle up to doubles the stress.
        hole = 1.0 + min(plate.hole.value / plate.held_at.value, 1.0)
        yield LetsGo(
            mode=FailureMode.THRUST_PLATE_BREAKS,
            station_m=nozzle,
            case=THRUST,
            warmth_left=scene.left(plate.material),
        ).judged(thrust.scaled(per_newton * hole), bending_strength(stuff))
    if mount.tube is not None:
        stress = glued_tube_stress(1.0, mount.tube.diameter.value, mount.tube.length.value)
        yield LetsGo(mode=FailureMode.MOTOR_TUBE_LETS_GO, station_m=nozzle, case=THRUST).judged(
            thrust.scaled(stress), glue(mount.tube.glue).shear_pa
        )


def _retention_rows(scene: DetailScene) -> Iterator[Reserve]:
    """Judge what pulls the motor aft out of the body: a cord that stops the half it sits in."""
    nozzle, keep = scene.vehicle.sheet.motor.nozzle_station.value, scene.vehicle.sheet.motor.retainer
    if keep is None:
        yield unknown_row(FailureMode.MOTOR_LEAVES, nozzle, Because.RETAINER_UNSAID)
        return
    if _softens(sheet_material(scene.vehicle.sheet, keep.material)):
        yield unknown_row(FailureMode.MOTOR_LEAVES, nozzle, Because.RETAINER_SOFTENS)
        return
    strength = retainer_holds(keep, scene.stuff)
    for places in _occasions(scene):
        found = _left_behind(scene, [scene.cases[place] for place in places])
        if found is not None:
            load, case = found
            yield LetsGo(
                mode=FailureMode.MOTOR_LEAVES, station_m=nozzle, case=case, dimension=Dimension.FORCE
            ).judged(load, strength)


def _softens(material: Material) -> bool:
    """Whether screws of it give way beside a motor that has burned."""
    return material.softens_k is not None and material.softens_k.low < CASE_K


_PUSHED_BY_MOTOR = (Load.MAX_THRUST, Load.MAX_SPEED, Load.RAIL_WIND, Load.THRUST_STOPS, Load.LIFTING)


def _left_behind(scene: DetailScene, cases: Sequence[LoadCase]) -> tuple[Estimate, Case] | None:
    """Hardest pull of the motor's own inertia aft [N], and its case."""
    motor_kg, nozzle_m = motor_row(scene.vehicle, 0.0).body.mass_kg, scene.vehicle.sheet.motor.nozzle_station
    found: list[tuple[Estimate, Case]] = []
    for case in cases:
        loads = case.body.loads
        if case.case.load in _PUSHED_BY_MOTOR or not _reaches(loads.stations_m, nozzle_m.value):
            continue
        # Positive acceleration is aft; a body that is pulled forward leaves its motor behind.
        pull = -loads.motion.aft_m_s2 * motor_kg
        if pull > 0.0:
            found.append((case.body.axial_factor.scaled(pull), case.case))
    return max(found, key=lambda pair: pair[0].high, default=None)


def _reaches(stations_m: np.ndarray, nozzle_m: float) -> bool:
    """Whether loads run over the motor, whose nozzle may stand a little behind the body."""
    return bool(stations_m.min() <= nozzle_m <= stations_m.max() + 0.05)


def _pressed_walls(scene: DetailScene) -> Iterator[Reserve]:
    """Flat walls bent between their corners and ledges by the air at top speed."""
    fastest = max(scene.cases, key=lambda case: case.dynamic_pressure_pa)
    if fastest.dynamic_pressure_pa <= 0.0:
        return
    rows = list(_flat_front(scene, fastest))
    for cut in wall_cuts(build_of(scene.vehicle)):
        if cut.joint or cut.part.spec.print is None:
            continue
        stuff = scene.stuff(cut.part.spec.material)
        stress = _pressed_stress(cut, stuff, fastest.dynamic_pressure_pa)
        rows.append(
            LetsGo(
                mode=FailureMode.WALL_PRESSED,
                station_m=cut.station_m,
                case=fastest.case,
                subject=cut.part.spec.name,
                warmth_left=scene.left(cut.part.spec.material),
            ).judged(PRESSED.scaled(stress), _bent_strength(cut, stuff))
        )
    rows.sort(key=badness)
    yield from {row.subject: row for row in reversed(rows)}.values()


def _flat_front(scene: DetailScene, fastest: LoadCase) -> Iterator[Reserve]:
    """Yield the lid of a body that begins flat, held all round by the wall behind it."""
    front = scene.vehicle.skin.sections[0]
    part = part_at(scene.vehicle, front.station_m)
    if part is None or part.spec.print is None or front.area_m2 <= 0.0:
        return
    stuff, printed = scene.stuff(part.spec.material), part.spec.print
    plate = Plate(thickness_m=printed.wall.value, modulus_pa=stuff.modulus_pa.value, poisson=stuff.poisson)
    radius = math.sqrt(front.area_m2 / math.pi)
    pressure = fastest.dynamic_pressure_pa
    free = round_plate(plate, radius, pressure, edge="clamped").stress_pa
    strength = stuff.yield_pa if stacked(scene.vehicle, part) else layers_of(stuff)
    yield LetsGo(
        mode=FailureMode.WALL_PRESSED,
        station_m=front.station_m,
        case=fastest.case,
        subject=part.spec.name,
        warmth_left=scene.left(part.spec.material),
    ).judged(PRESSED.scaled(_on_infill(free, (plate, pressure), (printed.infill.value, radius))), strength)


def _pressed_stress(cut: WallCut, stuff: Material, pressure_pa: float) -> float:
    """Bending of a flat between corners and ledges, or at its edge where infill stands behind it [Pa]."""
    sandwich, width, length = cut.sandwich, cut.area.flat_width_m, cut.flat_length_m

    def plate(thickness_m: float) -> Plate:
        return Plate(thickness_m=thickness_m, modulus_pa=stuff.modulus_pa.value, poisson=stuff.poisson)

    def free(wall: Plate) -> float:
        return rectangular_plate(wall, width, length, pressure_pa, edge="clamped").stress_pa

    wall = plate(sandwich.skin_m if sandwich else cut.area.wall_m)
    found = _on_infill(free(wall), (wall, pressure_pa), (cut.infill, cut.infill_depth_m))
    if sandwich is None or sandwich.infill == 0.0:
        return found
    # The skin bends on its core, and both skins bend with it between corners and ledges.
    return min(found + free(plate(sandwich.bent_like_m)), free(wall))


def _on_infill(free_pa: float, pressed: tuple[Plate, float], infill: tuple[float, float]) -> float:
    """Bending of a wall [Pa], which infill of a share [-] and a depth [m] may take from it."""
    (plate, pressure_pa), (share, depth_m) = pressed, infill
    if share <= 0.0:
        return free_pa
    soft = infill_support(plate.modulus_pa, share, depth_m, INFILL_STIFFNESS.low)
    return min(free_pa, backed_wall_stress(plate, pressure_pa, soft))


def _bent_strength(cut: WallCut, stuff: Material) -> Estimate:
    """Strength of a wall that bends: across its layers where it spans from ledge to ledge."""
    return layers_of(stuff) if cut.flat_length_m < cut.area.flat_width_m else stuff.yield_pa


def _thin_prints(scene: DetailScene) -> Iterator[Reserve]:
    """Walls and printed fins thinner than what the printer can lay down."""
    nozzle = nozzle_m(scene.vehicle)
    known_by = KnownBy.MEASURED if nozzle_told(scene.vehicle) else KnownBy.ASSUMED
    thin = [
        (part.spec.name, part.spec.print.wall.value, nozzle, part.span_m[0])
        for part in scene.vehicle.parts
        if part.spec.print and part.spec.print.wall.value < nozzle
    ]
    thin += [
        (fin.fins.name, fin.thickness.value, 2 * nozzle, fin.fins.station_m)
        for fin in scene.fins
        if fin.stuff is not None and fin.stuff.kind == PRINTED and fin.thickness.value < 2 * nozzle
    ]
    for name, thickness, least, station in thin:
        yield Reserve(
            mode=FailureMode.PRINT_TOO_THIN,
            station_m=station,
            dimension=Dimension.LENGTH,
            load=exact(least, known_by=known_by),
            strength=exact(thickness),
            reserve=exact(thickness / nozzle, known_by=known_by),
            subject=name,
            case=Case(load=Load.PRINTING),
            because=Because.NOZZLE,
            numbers={"nozzle": nozzle},
        )
