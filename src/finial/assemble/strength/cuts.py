"""Cuts through the vehicle: what walls, rods and joints offer at each station."""

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from functools import lru_cache
from itertools import pairwise

import numpy as np

from finial.assemble.mass.rows import part_span
from finial.assemble.vehicle.loading import PlacedPart, Vehicle
from finial.assemble.vehicle.materials import sheet_material
from finial.assemble.vehicle.rods import crossing, rod_count, rod_places
from finial.core.estimates import Estimate, KnownBy, exact, spread
from finial.files.sheet_body import DowelsEntry, OwnMaterialEntry, RodEntry
from finial.files.sheet_recovery import JointEntry
from finial.materials.glue import glue
from finial.materials.material import PRINTED, Material
from finial.shape.measures import section_at
from finial.shape.skin import Skin
from finial.structure.rods.threads import minor_diameter, stress_area, thread
from finial.structure.walls.cuts import Rods, SectionSpec, WallSection
from finial.structure.walls.outline import wall_area
from finial.structure.walls.torsion import WallTube, wall_tube

SECTIONS = 20
GLUE_SHARE = (0.5, 1.0)
"""Strength of a glued joint over that of the layers beside it [-]; assumed."""
PRELOAD_SCATTER = 0.3
"""Scatter of a preload set by torque [-]."""
DOWEL_GLUE = "epoxy on print"


def _as_tabled(stuff: Material) -> Material:
    return stuff


@dataclass(frozen=True, slots=True, kw_only=True)
class State:
    """How the vehicle is when it is cut: what heat did to its plastics and to the rods' preload."""

    of_plastic: Callable[[Material], Material] = _as_tabled
    preload_left: Callable[[RodEntry], float] | None = None
    """Least share of a preload that is left [-]."""
    preload_grown_n: Callable[[RodEntry], float] | None = None
    """What heat adds to the tension of each rod before the plastic creeps [N]."""
    with_rods: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Cuts:
    """Every cut that can be judged, and stations where the strength across the layers is not known."""

    specs: tuple[SectionSpec, ...]
    tubes: dict[float, tuple[WallTube, Estimate]] = field(
        default_factory=dict[float, tuple[WallTube, Estimate]]
    )
    """Closed wall and its shear strength across the layers [Pa], by station."""
    unknown: tuple[tuple[float, str], ...] = ()
    """Station and material."""
    unheld: tuple[float, ...] = ()
    """Joints between parts that nothing holds."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Build:
    """What the cuts of a vehicle depend on; ballast and fins are not among it."""

    skin: Skin
    parts: tuple[PlacedPart, ...]
    own_materials: tuple[OwnMaterialEntry, ...]
    rods: tuple[RodEntry, ...]
    joints: tuple[JointEntry, ...]
    up: str
    vehicle: Vehicle = field(compare=False)


def cuts_as_built(vehicle: Vehicle) -> Cuts:
    """Cuts of the cold, rodded vehicle, found once however often its ballast or fins change."""
    sheet = vehicle.sheet
    return _cuts_of(
        _Build(
            skin=vehicle.skin,
            parts=vehicle.parts,
            own_materials=sheet.material,
            rods=sheet.rod,
            joints=sheet.recovery.joint,
            up=sheet.vehicle.up,
            vehicle=vehicle,
        )
    )


@lru_cache(maxsize=8)
def _cuts_of(build: _Build) -> Cuts:
    return cuts_through(build.vehicle, State())


def cuts_through(vehicle: Vehicle, state: State) -> Cuts:
    """Cuts inside the parts, and one at every joint between parts that rods, glue or dowels hold."""
    length = vehicle.skin.length_m
    specs: list[SectionSpec] = []
    unknown: list[tuple[float, str]] = []
    tubes: dict[float, tuple[WallTube, Estimate]] = {}
    for station in np.linspace(0.02, 0.98, SECTIONS) * length:
        part = part_at(vehicle, float(station))
        if part is None:
            continue
        layers = layer_strength(vehicle, part, state)
        if layers is None:
            unknown.append((float(station), part.spec.material))
            continue
        spec = _cut(vehicle, part, float(station), layers, state)
        specs.append(spec)
        if spec.walls is not None:
            loops = section_at(vehicle.skin, float(station)).loops
            tube = wall_tube(loops, spec.walls.area.wall_m, spec.walls.area.area_m2)
            tubes[float(station)] = (tube, layers.scaled(1 / math.sqrt(3)))
    specs += _joint_cuts(vehicle, state)
    return Cuts(specs=tuple(specs), tubes=tubes, unknown=tuple(unknown), unheld=tuple(unheld(vehicle)))


def _joint_cuts(vehicle: Vehicle, state: State) -> Iterator[SectionSpec]:
    for station, part in joints(vehicle):
        layers = layer_strength(vehicle, part, state)
        if part.spec.glued and layers is not None:
            yield _cut(vehicle, part, station, _glue(layers), state)
        elif part.spec.dowels is not None:
            yield _dowelled(vehicle, part, (station, part.spec.dowels), state)
        elif rods_at(vehicle, station, state) is not None:
            yield _cut(vehicle, part, station, None, state)


def _cut(
    vehicle: Vehicle, part: PlacedPart, station_m: float, tension: Estimate | None, state: State
) -> SectionSpec:
    stuff = state.of_plastic(sheet_material(vehicle.sheet, part.spec.material))
    wall_m = part.spec.print.wall.value if part.spec.print else None
    infill = part.spec.print.infill.value if part.spec.print else 0.0
    walls = WallSection(
        area=wall_area(section_at(vehicle.skin, station_m).loops, wall_m, infill),
        modulus=stuff.modulus_pa,
        compression_strength=stuff.yield_pa,
        tension_strength=tension,
    )
    return SectionSpec(station_m=station_m, walls=walls, rods=rods_at(vehicle, station_m, state))


def _dowelled(vehicle: Vehicle, part: PlacedPart, at: tuple[float, DowelsEntry], state: State) -> SectionSpec:
    """Joint whose dowels hold by their glue: pulled apart as a wall of that strength."""
    station, dowels = at
    spec = _cut(vehicle, part, station, exact(0.0), state)
    assert spec.walls is not None
    held = dowels.count * math.pi * dowels.diameter.value * dowels.depth.value
    bond = glue(DOWEL_GLUE).shear_pa.scaled(held / spec.walls.area.area_m2)
    return SectionSpec(station_m=station, walls=replace(spec.walls, tension_strength=bond), rods=spec.rods)


def part_at(vehicle: Vehicle, station_m: float) -> PlacedPart | None:
    """Outside part that a cut goes through; the largest where several overlap."""
    through = [
        part
        for part in vehicle.parts
        if part.spec.outside and part_span(part)[0] <= station_m <= part_span(part)[1]
    ]
    return max(through, key=lambda part: part.solid.volume_m3.value, default=None)


def layer_strength(vehicle: Vehicle, part: PlacedPart, state: State) -> Estimate | None:
    """Strength in tension along the vehicle [Pa]: across the layers when they are stacked along it.

    ``None`` where nobody knows it across the layers.
    """
    stuff = state.of_plastic(sheet_material(vehicle.sheet, part.spec.material))
    if part.spec.print is None or stuff.kind != PRINTED:
        return stuff.ultimate_pa
    stacked = part.spec.print.layers_along == vehicle.sheet.vehicle.up[-1]
    return stuff.upright_pa if stacked else stuff.ultimate_pa


def _glue(layers: Estimate) -> Estimate:
    low, high = GLUE_SHARE
    return Estimate(
        value=layers.value * (low + high) / 2,
        low=layers.low * low,
        high=layers.high * high,
        known_by=KnownBy.ASSUMED,
        method="glued joint, half to all of the strength across layers",
        source=layers.source,
    )


def joints(vehicle: Vehicle) -> Iterator[tuple[float, PlacedPart]]:
    """Stations [m] where an outside part ends on another, with the part ahead; separation joints left out."""
    apart = [joint.station.value for joint in vehicle.sheet.recovery.joint]
    outside = sorted((part for part in vehicle.parts if part.spec.outside), key=part_span)
    for ahead, behind in pairwise(outside):
        station = min(part_span(ahead)[1], part_span(behind)[0] + 1e-3)
        if all(abs(station - other) > 0.03 for other in apart):
            yield station, ahead


def unheld(vehicle: Vehicle) -> list[float]:
    """Stations [m] of joints between parts that nothing holds."""
    return [
        station
        for station, part in joints(vehicle)
        if not part.spec.glued and part.spec.dowels is None and rods_at(vehicle, station, State()) is None
    ]


def rods_at(vehicle: Vehicle, station_m: float, state: State) -> Rods | None:
    """Rods that cross a station; of sets that do not work as one, the stiffest alone."""
    if not state.with_rods:
        return None
    tight = (rod for rod in crossing(vehicle.sheet, station_m) if not loose(rod))
    stiffest = max(tight, key=lambda rod: _stiffness(vehicle, rod), default=None)
    return None if stiffest is None else _rods(vehicle, stiffest, station_m, state)


def _stiffness(vehicle: Vehicle, rod: RodEntry) -> float:
    """Return what all rods of a set pull with per strain [N]."""
    modulus = sheet_material(vehicle.sheet, rod.material).modulus_pa.value
    return rod_count(rod) * stress_area(thread(rod.thread)) * modulus


def loose(rod: RodEntry) -> bool:
    """Whether rods have play and no preload: they take nothing until the play is used up."""
    return rod.preload is None and rod.slip is not None and rod.slip.value > 0.0


def _rods(vehicle: Vehicle, rod: RodEntry, station_m: float, state: State) -> Rods:
    stuff = sheet_material(vehicle.sheet, rod.material)
    free = _free_length(rod, station_m)
    return Rods(
        positions_m=rod_places(rod),
        stress_area_m2=stress_area(thread(rod.thread)),
        modulus=stuff.modulus_pa,
        strength=stuff.yield_pa,
        preload=preload_of(rod, state),
        free_length_m=free,
        root_diameter_m=minor_diameter(thread(rod.thread)) if free else 0.0,
    )


def _free_length(rod: RodEntry, station_m: float) -> float | None:
    """Length between the supports about a station; ``None`` where the rods are steadied all along."""
    if not rod.supports:
        return None
    places = sorted({*(end.value for end in rod.stations), *(one.value for one in rod.supports)})
    ahead = max((place for place in places if place <= station_m), default=places[0])
    behind = min((place for place in places if place > station_m), default=places[-1])
    return behind - ahead if behind > ahead else None


def preload_of(rod: RodEntry, state: State) -> Estimate:
    """Tension from tightening [N]; a torque that nobody measured scatters, and none entered is none."""
    tight = _tightened(rod)
    if state.preload_left is None or tight.value == 0.0:
        return tight
    left = state.preload_left(rod)
    grown = max(state.preload_grown_n(rod), 0.0) if state.preload_grown_n else 0.0
    return replace(tight, low=tight.low * left, value=tight.value * (1 + left) / 2, high=tight.high + grown)


def _tightened(rod: RodEntry) -> Estimate:
    if rod.preload is None:
        return exact(0.0, known_by=KnownBy.ASSUMED, method="no preload entered")
    if rod.preload.tolerance:
        return rod.preload.estimate(KnownBy.MEASURED)
    source = "Shigley, Mechanical Engineering Design, bolt preload by torque wrench; from memory, not re-read"
    return spread(
        rod.preload.value, PRELOAD_SCATTER, known_by=KnownBy.HANDBOOK, method="by torque", source=source
    )
