"""Cuts through the vehicle as warm as it is: what walls, rods and joints offer at each station."""

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from finial.assemble.strength.build import (
    Build,
    WallCut,
    build_of,
    part_joints,
    print_seams,
    wall_cuts,
)
from finial.assemble.vehicle.loading import LoadedVehicle, PlacedPart
from finial.assemble.vehicle.materials import sheet_material
from finial.assemble.vehicle.rods import crossing, rod_count, rod_places
from finial.assemble.vehicle.usual import usual_share
from finial.core.estimates import Estimate, KnownBy, exact
from finial.core.kept_parts import kept
from finial.core.units import Quantity
from finial.files.sheet_body import CutEntry, DowelsEntry, RodEntry
from finial.materials.glue import glue
from finial.materials.material import PRINTED, Material
from finial.materials.warmth import warmed
from finial.structure.reserves import Because
from finial.structure.rods.preload import PreloadChange
from finial.structure.rods.threads import minor_diameter, stress_area, thread
from finial.structure.walls.cuts import Rods, SectionSpec, WallSection
from finial.structure.walls.stack import CutStack, cut_stack

GLUE_SHARE = (0.5, 1.0)
"""Strength of a glued joint over that of the layers beside it [-]; assumed."""
DOWEL_GLUE = "epoxy on print"
SHEAR_OF_TENSION = 1 / math.sqrt(3)
"""Shear strength over tensile strength [-], von Mises."""


def _unchanged(_rod: RodEntry) -> PreloadChange | None:
    """Leave a preload as it was tightened."""
    return None


@dataclass(frozen=True, slots=True, kw_only=True)
class Warmth:
    """How warm the vehicle is when it is cut, and what that did to the rods' preload."""

    walls: Estimate | None = None
    """Temperature of the walls [K]; ``None`` for the room's, as the tables hold."""
    change: Callable[[RodEntry], PreloadChange | None] = _unchanged
    """What the day does to the preload of a set of rods; nothing where nothing changed it."""
    with_rods: bool = True

    def of(self, stuff: Material) -> Material:
        """Material as warm as the walls."""
        return stuff if self.walls is None else warmed(stuff, self.walls)


ROOM = Warmth()


@dataclass(frozen=True, slots=True, kw_only=True)
class UnknownWall:
    """A wall that cannot be judged: nobody broke bars of its material, or its print is not told."""

    station_m: float
    subject: str
    """The material, or the part."""
    because: Because


@dataclass(frozen=True, slots=True, kw_only=True)
class Cuts:
    """Every cut that can be judged, and what cannot be."""

    stack: CutStack
    unknown: tuple[UnknownWall, ...] = ()
    unheld: tuple[tuple[float, str], ...] = ()
    """Station of joints between parts that nothing holds, and the part ahead."""


def cuts_as_built(vehicle: LoadedVehicle) -> Cuts:
    """Cuts of the vehicle at room temperature, found once however often its ballast or fins change."""
    return _as_built(build_of(vehicle))


@kept(8)
def _as_built(build: Build) -> Cuts:
    return cuts_through(build.vehicle, ROOM)


def cuts_through(vehicle: LoadedVehicle, warmth: Warmth) -> Cuts:
    """Cuts inside the parts, and one at every joint between parts that rods, glue or dowels hold."""
    specs: list[SectionSpec] = []
    unknown: list[UnknownWall] = []
    for cut in wall_cuts(build_of(vehicle)):
        if cut.joint:
            specs += _joint(vehicle, cut, warmth)
            continue
        layers = layer_strength(vehicle, cut.part, warmth)
        if layers is None:
            unknown.append(_unknown(cut, vehicle))
            continue
        shear = layers.scaled(SHEAR_OF_TENSION)
        specs.append(_spec(vehicle, cut, (layers, shear), warmth))
    return Cuts(stack=cut_stack(specs), unknown=tuple(unknown), unheld=tuple(unheld(vehicle)))


def _unknown(cut: WallCut, vehicle: LoadedVehicle) -> UnknownWall:
    part = cut.part.spec
    if _told(vehicle, cut.part):
        return UnknownWall(station_m=cut.station_m, subject=part.material, because=Because.LAYERS_UNKNOWN)
    return UnknownWall(station_m=cut.station_m, subject=part.name, because=Because.PRINT_UNSAID)


def _told(vehicle: LoadedVehicle, part: PlacedPart) -> bool:
    """Whether the sheet says how a part is printed, or it is of no printed stuff."""
    return part.spec.print is not None or sheet_material(vehicle.sheet, part.spec.material).kind != PRINTED


def _joint(vehicle: LoadedVehicle, cut: WallCut, warmth: Warmth) -> Iterator[SectionSpec]:
    if cut.seam is not None:
        yield from _seam(vehicle, cut, cut.seam, warmth)
        return
    layers, part = layer_strength(vehicle, cut.part, warmth), cut.part.spec
    if part.glued and layers is not None:
        yield _spec(vehicle, cut, (_glued(layers), None), warmth)
    elif part.dowels is not None:
        yield _spec(vehicle, cut, (_bond(cut, part.dowels), None), warmth)
    elif rods_at(vehicle, cut.station_m, warmth) is not None:
        yield _spec(vehicle, cut, (None, None), warmth)


def _seam(vehicle: LoadedVehicle, cut: WallCut, seam: CutEntry, warmth: Warmth) -> Iterator[SectionSpec]:
    """Join pieces of one part: glue holds, dowels and lips only place it; or rods clamp it dry."""
    layers = layer_strength(vehicle, cut.part, warmth)
    if seam.held_by != "rods":
        if seam.holds is not None:
            yield _spec(vehicle, cut, (_tested(seam.holds, cut), None), warmth)
        elif layers is not None:
            yield _spec(vehicle, cut, (_glued(layers), None), warmth)
    elif rods_at(vehicle, cut.station_m, warmth) is not None:
        yield _spec(vehicle, cut, (None, None), warmth)


def _spec(
    vehicle: LoadedVehicle, cut: WallCut, holds: tuple[Estimate | None, Estimate | None], warmth: Warmth
) -> SectionSpec:
    cold, printed = sheet_material(vehicle.sheet, cut.part.spec.material), cut.part.spec.print
    stuff, (pulled, sheared) = warmth.of(cold), holds
    wall = usual_share(printed.wall, "wall_thickness") if printed else exact(1.0)
    walls = WallSection(
        area=cut.area,
        modulus=stuff.modulus_pa,
        compression_strength=stuff.yield_pa,
        tension_strength=pulled,
        tube=cut.tube if sheared else None,
        shear_strength=sheared,
        flat_length_m=cut.flat_length_m,
        infill=cut.infill,
        infill_depth_m=cut.infill_depth_m,
        sandwich=cut.sandwich,
        wall_scatter=min(wall.half_width / wall.value, 0.5),
    )
    return SectionSpec(
        station_m=cut.station_m,
        walls=walls,
        rods=rods_at(vehicle, cut.station_m, warmth),
        part=cut.part.spec.name,
        warmth_left=warmth_left(cold, stuff),
    )


def warmth_left(cold: Material, warm: Material) -> float:
    """Share of a strength, at its low end, that warmth leaves [-]."""
    return min(warm.ultimate_pa.low / cold.ultimate_pa.low, 1.0)


def _bond(cut: WallCut, dowels: DowelsEntry) -> Estimate:
    """Strength of a wall that pulls apart where the glue of its dowels does [Pa]."""
    held = dowels.count * math.pi * dowels.diameter.value * dowels.depth.value
    return glue(DOWEL_GLUE).shear_pa.scaled(held / cut.area.area_m2)


def layer_strength(vehicle: LoadedVehicle, part: PlacedPart, warmth: Warmth) -> Estimate | None:
    """Strength in tension along the vehicle [Pa]: across the layers when they are stacked along it.

    ``None`` where nobody knows it across the layers, or how it is printed.
    """
    if not _told(vehicle, part):
        return None
    stuff = warmth.of(sheet_material(vehicle.sheet, part.spec.material))
    if part.spec.print is None or stuff.kind != PRINTED:
        return stuff.ultimate_pa
    return stuff.upright_pa if stacked(vehicle, part) else stuff.ultimate_pa


def stacked(vehicle: LoadedVehicle, part: PlacedPart) -> bool:
    """Whether the layers of a print are stacked along the vehicle."""
    return part.spec.print is not None and part.spec.print.layers_along == vehicle.sheet.vehicle.up[-1]


def _glued(layers: Estimate) -> Estimate:
    low, high = GLUE_SHARE
    return Estimate(
        value=layers.value * (low + high) / 2,
        low=layers.low * low,
        high=layers.high * high,
        known_by=KnownBy.ASSUMED,
        method="glued joint, half to all of the strength across layers",
        source=layers.source,
    )


def _tested(holds: Quantity, cut: WallCut) -> Estimate:
    """Strength of a seam by what it holds as a whole [Pa]."""
    force = holds.estimate(KnownBy.MEASURED, method="by test of a sample")
    return force.scaled(1.0 / cut.area.area_m2)


def unheld(vehicle: LoadedVehicle) -> Iterator[tuple[float, str]]:
    """Joints between parts that nothing holds [m], with the part ahead."""
    for station, part in part_joints(vehicle):
        held = part.spec.glued or part.spec.dowels is not None or rods_at(vehicle, station, ROOM) is not None
        if not held:
            yield station, part.spec.name
    for part, seam in print_seams(vehicle):
        if seam.held_by == "rods" and rods_at(vehicle, seam.station.value, ROOM) is None:
            yield seam.station.value, part.spec.name


def rods_at(vehicle: LoadedVehicle, station_m: float, warmth: Warmth) -> Rods | None:
    """Rods that cross a station; of sets that do not work as one, the stiffest alone."""
    if not warmth.with_rods:
        return None
    tight = (rod for rod in crossing(vehicle.sheet, station_m) if not loose(rod))
    stiffest = max(tight, key=lambda rod: _stiffness(vehicle, rod), default=None)
    return None if stiffest is None else _rods(vehicle, stiffest, station_m, warmth.change(stiffest))


def _stiffness(vehicle: LoadedVehicle, rod: RodEntry) -> float:
    """Return what all rods of a set pull with per strain [N]."""
    modulus = sheet_material(vehicle.sheet, rod.material).modulus_pa.value
    return rod_count(rod) * stress_area(thread(rod.thread)) * modulus


def loose(rod: RodEntry) -> bool:
    """Whether rods have play and no preload: they take nothing until the play is used up."""
    return rod.preload is None and rod.slip is not None and rod.slip.value > 0.0


def _rods(vehicle: LoadedVehicle, rod: RodEntry, station_m: float, change: PreloadChange | None) -> Rods:
    stuff = sheet_material(vehicle.sheet, rod.material)
    free = _free_length(rod, station_m)
    tight = tightened(rod)
    return Rods(
        positions_m=rod_places(rod),
        stress_area_m2=stress_area(thread(rod.thread)),
        modulus=stuff.modulus_pa,
        strength=stuff.yield_pa,
        preload=change.each_rod(tight) if change else tight,
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


def tightened(rod: RodEntry) -> Estimate:
    """Tension in each rod from tightening [N]: scattered where not measured, none where none is entered."""
    if rod.preload is None:
        return exact(0.0, known_by=KnownBy.ASSUMED, method="no preload entered")
    return replace(usual_share(rod.preload, "rod_preload"), method="tightened")
