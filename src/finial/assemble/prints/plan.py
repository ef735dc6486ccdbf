"""From a vehicle to pieces on the bed: where to cut, what joins, which way up, what it takes."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from finial.assemble.inside.cavity import room_inside
from finial.assemble.inside.things import placed_things
from finial.assemble.prints.barred import barred_stretches, lines_beside, motor_tubes
from finial.assemble.prints.holes import PrintedHole, cutters, hole_things
from finial.assemble.prints.learning import as_learned, learned_from
from finial.assemble.prints.results import DrawnThin, PlannedJoint, PlannedPiece, PrintPlan, Turned
from finial.assemble.prints.settings import PrintSettings, settings_of
from finial.assemble.prints.turning import Direction, Ways, best_ways, rolls_to_cut
from finial.assemble.vehicle.bed import is_printed
from finial.assemble.vehicle.fins import fin_sets
from finial.assemble.vehicle.loading import LoadedVehicle, PlacedPart
from finial.assemble.vehicle.materials import sheet_material, walls_of
from finial.core.errors import BuildSheetError, Fault
from finial.core.showing import show_lengths
from finial.inside.cavity import Printed
from finial.inside.things import Thing
from finial.mass.thin_walls import wall_share
from finial.printing.cuts import (
    LEAST_PIECE_M,
    NO_DEMAND,
    Barred,
    Demand,
    ToCut,
    barred_through,
    best_cuts,
    longest_gap,
)
from finial.printing.effort import NOTHING_LEARNED, effort
from finial.printing.frames import Plane, cornered
from finial.printing.joints import JointKind, PrintedJoint
from finial.printing.numbers import Marking, place_for, sunk
from finial.printing.sound import sound
from finial.printing.splitting import BedCut, SplitPart, lengthwise_cut, split
from finial.printing.thin_places import thin_share
from finial.printing.turns import Bed, best_lying, fits_flat
from finial.printing.walls import plastic_in
from finial.shape.stations import steps
from finial.shape.united import Body, loose_bodies, mesh_of, united, why_no_solid

Tell = Callable[[str], None]
_LOOKS, _THIN_SHARE = 12, 0.2
"""Cuts looked at for thin walls, and the share of one that may be thin [-]; chosen."""
MOST_PIECES = 40
"""A part in more pieces along its length is in another unit [-]; chosen."""


@dataclass(frozen=True, slots=True, kw_only=True)
class KnownLoads:
    """What a plan minds of the loads."""

    demand: Demand = NO_DEMAND
    """How hard the body is loaded along it [-]."""
    weak: tuple[str, ...] = ()
    """Parts that pull apart across their layers too soon, stacked along the body."""


NO_LOADS = KnownLoads()


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Scene:
    """What every part's plan needs."""

    vehicle: LoadedVehicle
    settings: PrintSettings
    barred: tuple[Barred, ...]
    amid: tuple[Barred, ...]
    holes: tuple[Thing, ...]
    loads: KnownLoads

    @property
    def demand(self) -> Demand:
        return self.loads.demand

    def fits(self, body: Body, way: Direction) -> bool:
        """Whether a body lies on the bed, or stands on it, without a cut along it."""
        return abs(way[0]) != 1.0 or fits_flat(mesh_of(body).vertices_m[:, 1:], self.settings.bed_m)

    def ways(self, part: PlacedPart, solid: Body) -> Ways:
        """Both ways that a part, its holes taken out, may stand on the bed."""
        weak = part.spec.name in self.loads.weak
        return best_ways(part, mesh_of(solid), (self.vehicle.sheet.vehicle.up, self.settings.bed_m), weak)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Parted:
    """One part in pieces."""

    part: PlacedPart
    ways: Ways
    split: SplitPart
    ledges_m: tuple[float, ...]
    drawn: Body
    """As drawn, before its holes are taken out [m]."""


def print_plan(vehicle: LoadedVehicle, tell: Tell, loads: KnownLoads = NO_LOADS) -> PrintPlan:
    """Plan the print of every printed part.

    Parameters
    ----------
    vehicle : LoadedVehicle
        The vehicle; its sheet names the printer's bed.
    tell : callable
        Receives progress notes.
    loads : KnownLoads
        Where it is loaded hardest, and what is weak.

    Raises
    ------
    BuildSheetError
        If the sheet names no bed, or a part cannot be cut so that it fits.
    MeshError
        If a piece is no sound body once it is rounded as a file rounds it.
    """
    settings = settings_of(vehicle)
    cavity = room_inside(vehicle)
    placed = placed_things(vehicle, fin_sets(vehicle), cavity)
    scene = _Scene(
        vehicle=vehicle,
        settings=settings,
        barred=barred_stretches(vehicle, placed),
        amid=motor_tubes(placed),
        holes=hole_things(placed, settings.play.across_m),
        loads=loads,
    )
    printed = [
        (part, drawn)
        for part, drawn in zip(vehicle.parts, cavity.parts, strict=True)
        if is_printed(vehicle, part)
    ]
    tell("cutting the parts to the bed")
    parted, holes = _all_parted(scene, printed)
    tell("laying the pieces on the bed")
    drafts = tuple(_pieces(scene, parted))
    factors = learned_from(vehicle, drafts)
    return PrintPlan(
        name=vehicle.sheet.vehicle.name,
        us_units=vehicle.us_units,
        bed_m=settings.bed_m,
        clearance_m=settings.play.across_m,
        clearance_measured=settings.clearance_measured,
        printer=settings.printer,
        learned=factors,
        pieces=tuple(as_learned(vehicle, drafts, factors)),
        joints=tuple(joint for one in parted for joint in _joints(scene, one)),
        holes=holes,
        left_out=tuple(part.spec.name for part in vehicle.parts if not is_printed(vehicle, part)),
        nozzle_m=settings.nozzle_m,
        speed_told=settings.speed_told,
        drawn_thin=tuple(_drawn_thin(parted, 2 * settings.printer.line_width_m)),
        thin=tuple(
            part.spec.name
            for part, _ in printed
            if part.spec.print and part.spec.print.wall.value < 2 * settings.printer.line_width_m
        ),
    )


def _all_parted(
    scene: _Scene, printed: Sequence[tuple[PlacedPart, Printed]]
) -> tuple[list[_Parted], tuple[PrintedHole, ...]]:
    """Cut every part; all that cannot be cut are refused at once."""
    faults: list[Fault] = []
    parted: list[_Parted] = []
    holes: dict[tuple[str, str], PrintedHole] = {}
    for part, drawn in printed:
        try:
            whole = _whole(scene, part)
            solid, through = _bored(scene, part, whole, drawn)
            for thing in through:
                holes.setdefault(
                    (thing.kind.value, thing.name),
                    PrintedHole(kind=thing.kind, name=thing.name, across_m=_narrow(thing)),
                )
            parted.append(_cut_part(scene, part, whole, solid))
        except BuildSheetError as error:
            faults += error.faults
    if faults:
        raise BuildSheetError(faults)
    return sorted(parted, key=lambda one: one.part.span_m), tuple(holes.values())


def _drawn_thin(parted: Sequence[_Parted], thin_m: float) -> Iterator[DrawnThin]:
    """Find parts that are drawn too thin for two lines: each cut across in a dozen places."""
    for one in parted:
        fore, aft = one.part.span_m
        stations = np.linspace(fore, aft, _LOOKS + 2)[1:-1].tolist()
        found = [(thin_share(one.drawn, station, thin_m), station) for station in stations]
        share, station = max(found)
        if share > _THIN_SHARE:
            yield DrawnThin(part=one.part.spec.name, station_m=station, share=share)


def _narrow(thing: Thing) -> float:
    return thing.across_m if thing.is_round else min(thing.across_m, thing.depth_m)


def _whole(scene: _Scene, part: PlacedPart) -> Body:
    """Return a part as one solid."""
    solid = united(part.mended)
    if solid is None:
        raise _refused(
            scene.vehicle,
            part,
            given=why_no_solid(part.mended),
            accepted="closed bodies: a scan is closed and mended in CAD before it can be cut",
        )
    return solid


def _bored(scene: _Scene, part: PlacedPart, solid: Body, drawn: Printed) -> tuple[Body, list[Thing]]:
    """Return a solid with the holes of its part taken out, and what goes through it."""
    through: list[Thing] = []
    for thing, cutter in cutters(scene.holes, drawn):
        if not (solid ^ cutter).is_empty():
            solid = solid - cutter
            through.append(thing)
    if solid.is_empty():
        raise _refused(
            scene.vehicle, part, given="holes that leave nothing of it", accepted="holes within the part"
        )
    return solid, through


def _refused(
    vehicle: LoadedVehicle, part: PlacedPart, *, given: str, accepted: str, slip: str = ""
) -> BuildSheetError:
    where = ("part", vehicle.sheet.part.index(part.spec))
    fault = vehicle.files.source.fault(
        where, given=f"{part.spec.name}: {given}", accepted=accepted, likely_slip=slip
    )
    return BuildSheetError([fault])


def _lengths(scene: _Scene, *values_m: float, between: str = " to ") -> str:
    """Write lengths in the builder's unit, the unit once."""
    return show_lengths(values_m, us_units=scene.vehicle.us_units, between=between)


def _cut_part(scene: _Scene, part: PlacedPart, drawn: Body, solid: Body) -> _Parted:
    ledges = _ledges(part)
    ways = scene.ways(part, solid)
    across = _across(scene, part, ledges, ways[0])
    parted = split(solid, across, scene.settings.play)
    wide = [body for body in parted.pieces if not scene.fits(body, ways[0])]
    if wide:
        cuts = (*across, *_along(scene, part, wide))
        parted = split(solid, cuts, scene.settings.play, lambda body: scene.fits(body, ways[0]))
    return _Parted(
        part=part,
        ways=ways,
        split=parted,
        ledges_m=ledges,
        drawn=drawn,
    )


def _ledges(part: PlacedPart) -> tuple[float, ...]:
    mesh = part.mended.mesh
    extents: NDArray[np.float64] = np.ptp(mesh.vertices_m[:, 1:], axis=0)
    across = float(np.prod(extents))
    fore, aft = part.span_m
    found = (step.fore_m for step in steps([mesh], across))
    return tuple(station for station in found if fore + 1e-3 < station < aft - 1e-3)


def _across(
    scene: _Scene, part: PlacedPart, ledges_m: tuple[float, ...], way: Direction
) -> tuple[BedCut, ...]:
    if part.spec.cuts:
        return _own_cuts(scene, part, _longest(way, scene.settings.bed_m))
    wanted = ToCut(
        span_m=part.span_m,
        longest_m=_longest(way, scene.settings.bed_m),
        barred=scene.barred,
        amid=scene.amid,
        ledges_m=ledges_m,
        demand=scene.demand,
    )
    fore, aft = part.span_m
    too_many = aft - fore > MOST_PIECES * wanted.longest_m
    if too_many or wanted.longest_m < min(2 * LEAST_PIECE_M, aft - fore):
        raise _refused(
            scene.vehicle,
            part,
            given=f"{_lengths(scene, aft - fore)} long, and pieces of at most "
            f"{_lengths(scene, wanted.longest_m)}",
            accepted=f"a part of at most {MOST_PIECES} pieces along its length",
            slip="the mesh's unit is wrong, or the bed's",
        )
    stations = best_cuts(wanted)
    if stations is None:
        blocking = longest_gap(wanted)[:3]
        told = ", ".join(
            f"{bar.why.value} of {bar.name!r} from {_lengths(scene, bar.fore_m, bar.aft_m)}"
            for bar in blocking
        )
        raise _refused(
            scene.vehicle,
            part,
            given=f"no cut into pieces of at most {_lengths(scene, wanted.longest_m)} that leaves alone "
            f"{told}",
            accepted="a bed that takes longer pieces, or cuts of your own under [[part.cuts]]",
            slip="what must not be cut is longer than the bed",
        )
    return tuple(scene.settings.joint_at(part, station) for station in stations)


def _own_cuts(scene: _Scene, part: PlacedPart, longest_m: float) -> tuple[BedCut, ...]:
    """Cut where the sheet says, whatever stands there: that is told beside each joint."""
    ends = (part.span_m[0], *(cut.station.value for cut in part.spec.cuts), part.span_m[1])
    for fore, aft in pairwise(ends):
        if aft - fore > longest_m + 1e-6:
            raise _refused(
                scene.vehicle,
                part,
                given=f"a piece from {_lengths(scene, fore, aft)} by its own cuts",
                accepted=f"pieces of at most {_lengths(scene, longest_m)}: the printer takes no longer ones",
                slip="one more cut under [[part.cuts]], or none at all: then the plan finds them",
            )
    return tuple(
        scene.settings.joint_of(part, cut.station.value, JointKind(cut.held_by)) for cut in part.spec.cuts
    )


def _longest(way: Direction, bed_m: Bed) -> float:
    """Longest piece along the body that the printer takes [m]: its height, or as long as it lies."""
    return bed_m[2] if abs(way[0]) == 1.0 else max(bed_m[0], bed_m[1])


def _along(scene: _Scene, part: PlacedPart, wide: Sequence[Body]) -> tuple[BedCut, ...]:
    """Find cuts along the axis for those bodies that do not fit as they are."""
    flat = np.concatenate([mesh_of(body).vertices_m[:, 1:] for body in wide])
    rolls = rolls_to_cut(part, flat, scene.settings.bed_m, lines_beside(scene.vehicle))
    if rolls is None:
        sides = np.ptp(flat, axis=0).tolist()
        across = _lengths(scene, *sides, between=" x ")
        bed = _lengths(scene, *scene.settings.bed_m, between=" x ")
        raise _refused(
            scene.vehicle,
            part,
            given=f"{across} across, a bed of {bed}",
            accepted="a part that fits in quarters, cut along clear of fins and rods; or a larger bed",
            slip="the bed is too small for it, or the mesh's unit is wrong",
        )
    kind, dowels = scene.settings.kind, scene.settings.dowels_of(part)
    kind = kind if kind is not JointKind.RODS and kind is not JointKind.LIP else JointKind.DOWELS
    return tuple(lengthwise_cut(roll, kind, dowels) for roll in rolls)


def _pieces(scene: _Scene, parted: Sequence[_Parted]) -> Iterator[PlannedPiece]:
    number = 0
    for one in parted:
        bodies = one.split.pieces
        for within, body in enumerate(bodies, start=1):
            number += 1
            yield _piece(scene, one, body, (number, within, len(bodies)))


def _piece(scene: _Scene, one: _Parted, body: Body, numbers: tuple[int, int, int]) -> PlannedPiece:
    number, within, count = numbers
    part, settings = one.part, scene.settings
    body, mark = _numbered(scene, one, body, number)
    mesh = mesh_of(body)
    lying = best_lying(mesh, one.ways, settings.bed_m)
    placed, corner = _on_bed(body, lying.matrix)
    name = f"{part.spec.name}, piece {within} of {count}"
    plastic = _plastic(part, body)
    density = sheet_material(scene.vehicle.sheet, part.spec.material).density_kg_m3.value
    stations = -mesh.vertices_m[:, 0]
    return PlannedPiece(
        number=number,
        part=part.spec.name,
        within=(within, count),
        material=part.spec.material,
        span_m=(float(stations.min()), float(stations.max())),
        lying=lying,
        along_body=abs(one.ways[0][0]) == 1.0,
        sound=sound(placed, name),
        corner_m=corner,
        mesh=mesh,
        plastic_m3=plastic,
        effort=effort(plastic, density, settings.printer_for(part), NOTHING_LEARNED),
        mark=mark,
    )


def _numbered(scene: _Scene, one: _Parted, body: Body, number: int) -> tuple[Body, Marking | None]:
    """Sink the number into the first face that has room: of a cut, then of a joint to the next part.

    Digits on any of them go before notches.
    """
    notched: Body | None = None
    for plane in _faces(scene, one, body):
        place = place_for(body, plane, number, scene.settings.play.wall_m)
        if place is None or (place.mark is Marking.NOTCHES and notched is not None):
            continue
        marked = sunk(body, place, number)
        if len(loose_bodies(marked)) > 1:
            continue
        if place.mark is Marking.DIGITS:
            return marked, Marking.DIGITS
        notched = marked
    return (body, None) if notched is None else (notched, Marking.NOTCHES)


def _faces(scene: _Scene, one: _Parted, body: Body) -> Iterator[Plane]:
    """Flat ends of a piece that end up inside: what the air or the eye sees is left alone."""
    low_x, _, _, high_x, _, _ = body.bounding_box()
    ends = [Plane(normal=(1.0, 0.0, 0.0), offset_m=high_x), Plane(normal=(-1.0, 0.0, 0.0), offset_m=-low_x)]
    length = scene.vehicle.skin.length_m
    stations = (-high_x, -low_x)
    inner = [
        plane
        for plane, station in zip(ends, stations, strict=True)
        if 1e-3 < station < length - 1e-3 or not one.part.spec.outside
    ]
    cut = [end for end in inner if any(_same(end, other.plane) for other in one.split.cuts)]
    yield from cut
    for other in one.split.cuts:
        if abs(other.plane.normal[0]) < 0.5:
            yield from _sides(other.plane)
    yield from (end for end in inner if end not in cut)


def _same(end: Plane, cut: Plane) -> bool:
    return abs(cut.normal[0]) > 0.5 and abs(end.offset_m * end.normal[0] - cut.offset_m) < 1e-6


def _sides(plane: Plane) -> Iterator[Plane]:
    yield replace(
        plane, normal=(-plane.normal[0], -plane.normal[1], -plane.normal[2]), offset_m=-plane.offset_m
    )
    yield plane


def _on_bed(body: Body, matrix: NDArray[np.float64]) -> tuple[Body, tuple[float, float, float]]:
    """Turn a piece onto the bed, in millimetres, its corner at the origin; and where that corner was [m]."""
    turned = body.transform(np.hstack([1e3 * matrix, np.zeros((3, 1))]))
    low = turned.bounding_box()[:3]
    corner = (1e-3 * low[0], 1e-3 * low[1], 1e-3 * low[2])
    return cornered(turned), corner


def _plastic(part: PlacedPart, body: Body) -> float:
    walls = walls_of(part.spec)
    if walls is None:
        return float(body.volume())
    share = wall_share(part.mended, walls.wall_m)
    return plastic_in(float(body.volume()), share * float(body.surface_area()), walls).total_m3


def _joints(scene: _Scene, one: _Parted) -> Iterator[PlannedJoint]:
    for cut, joint in zip(one.split.cuts, one.split.joints, strict=True):
        yield _joint(scene, one, cut, joint)


def _joint(scene: _Scene, one: _Parted, cut: BedCut, joint: PrintedJoint) -> PlannedJoint:
    across = abs(cut.plane.normal[0]) > 0.5
    station = -cut.plane.offset_m if across else None
    roll = None if across else float(np.arctan2(cut.plane.normal[2], cut.plane.normal[1]))
    known = len(scene.demand.stations_m) > 0 and station is not None
    return PlannedJoint(
        part=one.part.spec.name,
        turned=Turned.ACROSS if across else Turned.ALONG,
        station_m=station,
        roll_rad=roll,
        kind=joint.kind,
        wanted=cut.kind,
        glue_area_m2=joint.glue_area_m2,
        dowels=len(joint.places_m),
        dowel_diameter_m=joint.dowels.diameter_m if joint.dowels else 0.0,
        dowel_depth_m=joint.dowels.depth_m if joint.dowels else 0.0,
        at_ledge=station is not None and any(abs(station - ledge) < 1e-6 for ledge in one.ledges_m),
        demand=float(scene.demand.at(np.array([station]))[0]) if known else None,
        through=tuple(bar for _, bar in barred_through([station], (*scene.barred, *scene.amid)))
        if station is not None
        else (),
    )
