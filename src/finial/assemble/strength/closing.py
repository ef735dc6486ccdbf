"""Plates that close the bays, under their charges and under the cords tied to them."""

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from finial.assemble.inside.results import BayEnd
from finial.assemble.inside.things import THRUST_PLATE
from finial.assemble.strength.lets_go import (
    CLEARANCE_HOLE,
    LetsGo,
    bearing_strength,
    bending_strength,
    punching_strength,
    unknown_row,
)
from finial.assemble.strength.pulls import CordPull, HalfPull
from finial.assemble.strength.retainer import retainer_holds
from finial.assemble.vehicle.bays import bay_of_joint
from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate, KnownBy
from finial.core.units import Quantity
from finial.files.sheet import Sheet
from finial.files.sheet_body import EyeEntry
from finial.files.sheet_recovery import CordEntry
from finial.materials.glue import glue
from finial.materials.material import PRINTED, Material
from finial.structure.loads.case import Case, Half, Load
from finial.structure.reserves import Because, FailureMode, Reserve
from finial.structure.rods.fastening import pull_through_stress, washer_bearing_stress
from finial.structure.rods.threads import stress_area, thread
from finial.structure.walls.closing_plates import (
    Bent,
    ClosingPlate,
    bent_by_charge,
    bent_by_pull,
    rim_shear_of_charge,
    rim_shear_of_pull,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlateScene:
    """The sheet, what closes its bays, and what loads that."""

    sheet: Sheet
    ends: Sequence[BayEnd]
    pressures: Mapping[str, Estimate]
    """Hardest gauge pressure in each bay, of its charges together [Pa], by name."""
    pulls: Sequence[CordPull]
    stuff: Callable[[str], Material]
    """Material by its name, as warm as it is judged."""
    left: Callable[[str], float]
    """Share of its strength that warmth leaves a material [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Closer:
    """One plate as the sheet has it."""

    name: str
    station_m: float
    sides: tuple[Quantity, ...]
    """Diameter, or two sides; none where the sheet does not say."""
    thickness: Quantity | None
    material: str | None
    holed: bool
    glue: str | None
    holds: Quantity | None
    eye: EyeEntry | None


def plate_rows(scene: PlateScene) -> Iterator[Reserve]:
    """Judge every plate that takes the push of a charge, and every one that a cord is tied to."""
    for end in scene.ends:
        closer, pressure = _closer(scene.sheet, end.plate), scene.pressures.get(end.bay)
        case = Case(load=Load.CHARGE_FIRES, subject=end.bay)
        if closer is not None and pressure is not None:
            yield from _charged(scene, closer, pressure, case)
        elif end.motor and pressure is not None:
            yield _motor_pushed(scene, end, pressure, case)
    cords = {cord.name: cord for cord in scene.sheet.recovery.cord}
    for pull in scene.pulls:
        for half in Half:
            case = Case(load=pull.load, subject=pull.subject, half=half)
            yield from _tied(scene, _tie(scene, cords[pull.subject], half), (pull, case))


def _motor_pushed(scene: PlateScene, end: BayEnd, pressure: Estimate, case: Case) -> Reserve:
    """Judge a motor that closes a bay: its retainer holds what the charge pushes its fore end by."""
    keep = scene.sheet.motor.retainer
    if keep is None:
        return unknown_row(FailureMode.MOTOR_LEAVES, end.station_m, Because.RETAINER_UNSAID, end.motor, case)
    pushed = pressure.scaled(math.pi / 4 * end.motor_across_m**2)
    return LetsGo(
        mode=FailureMode.MOTOR_LEAVES,
        station_m=end.station_m,
        case=case,
        subject=end.motor,
        dimension=Dimension.FORCE,
    ).judged(pushed, retainer_holds(keep, scene.stuff))


def _closer(sheet: Sheet, name: str) -> _Closer | None:
    """Return the plate of a name; none for the motor, and for print alone, which the inside tells."""
    for item in sheet.item:
        if item.name == name:
            return _Closer(
                name=name,
                station_m=item.station.value,
                sides=item.sides or ((item.across,) if item.across else ()),
                thickness=item.length,
                material=item.material,
                holed=item.bore is not None,
                glue=item.glue,
                holds=item.holds,
                eye=item.eye,
            )
    plate = sheet.motor.thrust_plate
    if name != THRUST_PLATE or plate is None:
        return None
    return _Closer(
        name=name,
        station_m=plate.station.value if plate.station else sheet.motor.nozzle_station.value,
        sides=(plate.held_at,),
        thickness=plate.thickness,
        material=plate.material,
        holed=plate.hole.value > 0.0,
        glue=None,
        holds=None,
        eye=None,
    )


def _tie(scene: PlateScene, cord: CordEntry, half: Half) -> _Closer | None:
    """Return what a cord's end is tied to: as the sheet says, else the plate at that end of its bay."""
    place = 0 if half is Half.FORE else 1
    if cord.tied_to is not None:
        return _closer(scene.sheet, cord.tied_to[place])
    bay = bay_of_joint(scene.sheet, cord.joint)
    if bay is None:
        return None
    station = bay.stations[place].value
    return next(
        (
            _closer(scene.sheet, end.plate)
            for end in scene.ends
            if end.bay == bay.name and end.station_m == station
        ),
        None,
    )


def _charged(scene: PlateScene, closer: _Closer, pressure: Estimate, case: Case) -> Iterator[Reserve]:
    plate = _plate(scene, closer)
    if isinstance(plate, Because):
        yield unknown_row(FailureMode.PLATE_BREAKS, closer.station_m, plate, closer.name, case)
        return
    yield _bends(scene, closer, case, bent_by_charge(plate, pressure))
    if closer.name != THRUST_PLATE:  # the sheet says what that is held at, and thrust is judged by it
        yield _rim(
            scene, closer, case, (pressure.scaled(plate.area_m2), rim_shear_of_charge(plate, pressure))
        )


def _tied(scene: PlateScene, closer: _Closer | None, pulled: tuple[CordPull, Case]) -> Iterator[Reserve]:
    pull, case = pulled
    station = closer.station_m if closer else pull.station_m
    if closer is None or closer.eye is None:
        because = Because.TIE_UNSAID if closer is None else None
        yield unknown_row(FailureMode.EYE_UNSAID, station, because, pull.subject, case)
        return
    assert case.half is not None
    force, plate = _tension(pull.on[case.half]), _plate(scene, closer)
    yield from _eye(scene, closer, (force, case))
    if isinstance(plate, Because):
        yield unknown_row(FailureMode.PLATE_BREAKS, station, plate, closer.name, case)
        return
    yield _bends(scene, closer, case, bent_by_pull(plate, force, closer.eye.washer.value))
    yield _rim(scene, closer, case, (force, rim_shear_of_pull(plate, force)))


def _tension(pull: HalfPull) -> Estimate:
    """Pull of the cord itself [N]: the largest along and across, as if at once."""
    along, across = pull.along, pull.across
    return Estimate(
        value=math.hypot(along.value, across.value),
        low=math.hypot(along.low, across.low),
        high=math.hypot(along.high, across.high),
        known_by=max(KnownBy.COMPUTED, along.known_by, across.known_by),
        method="pull along and across together",
        source=along.source,
    )


def _plate(scene: PlateScene, closer: _Closer) -> ClosingPlate | Because:
    """Return the plate as it bends, or why nobody knows."""
    if closer.material is None or closer.thickness is None or not closer.sides:
        return Because.PLATE_UNSAID
    stuff = scene.stuff(closer.material)
    if stuff.kind == PRINTED and stuff.upright_pa is None:
        return Because.LAYERS_UNKNOWN
    least, most = (pick(side.value for side in closer.sides) for pick in (min, max))
    return ClosingPlate(
        thickness_m=closer.thickness.value,
        across_m=least,
        longer_m=most if len(closer.sides) > 1 else 0.0,
        modulus=stuff.modulus_pa,
        poisson=stuff.poisson,
        holed=closer.holed,
    )


def _bends(scene: PlateScene, closer: _Closer, case: Case, bent: Bent) -> Reserve:
    assert closer.material is not None
    return LetsGo(
        mode=FailureMode.PLATE_BREAKS,
        station_m=closer.station_m,
        case=case,
        subject=closer.name,
        warmth_left=scene.left(closer.material),
        because=Because.SAGS,
        numbers={"sag": bent.sag.high, **_thick(closer)},
    ).judged(bent.stress, bending_strength(scene.stuff(closer.material)))


def _thick(closer: _Closer) -> dict[str, float]:
    """Return the thickness that more of would help [m], of a plate among the items."""
    if closer.thickness is None or closer.name == THRUST_PLATE:
        return {}
    return {"thick": closer.thickness.value}


def _rim(scene: PlateScene, closer: _Closer, case: Case, loads: tuple[Estimate, Estimate]) -> Reserve:
    """Judge what holds a rim: by test against the force [N], else glue and plate against shear [Pa]."""
    (force, shear), mode = loads, FailureMode.PLATE_LETS_GO
    assert closer.material is not None
    if closer.holds is not None:
        return LetsGo(
            mode=mode, station_m=closer.station_m, case=case, subject=closer.name, dimension=Dimension.FORCE
        ).judged(force, closer.holds.estimate(KnownBy.MEASURED))
    if closer.glue is None:
        return unknown_row(mode, closer.station_m, Because.RIM_UNSAID, closer.name, case)
    holds = (glue(closer.glue).shear_pa, punching_strength(scene.stuff(closer.material)))
    return LetsGo(
        mode=mode,
        station_m=closer.station_m,
        case=case,
        subject=closer.name,
        warmth_left=scene.left(closer.material),
        numbers=_thick(closer),
    ).judged(shear, min(holds, key=lambda one: one.low))


def _eye(scene: PlateScene, closer: _Closer, pulled: tuple[Estimate, Case]) -> Iterator[Reserve]:
    """Judge an eye's thread, and its washer against the plate."""
    (force, case), eye = pulled, closer.eye
    assert eye is not None
    screw, each = thread(eye.thread), force.scaled(1 / eye.legs)
    gives = LetsGo(
        mode=FailureMode.EYE_BREAKS,
        station_m=closer.station_m,
        case=case,
        subject=closer.name,
        dimension=Dimension.FORCE,
    )
    yield gives.judged(each, scene.stuff(eye.material).yield_pa.scaled(stress_area(screw)))
    if closer.material is None or closer.thickness is None:
        return
    stuff, hole = scene.stuff(closer.material), CLEARANCE_HOLE * screw.diameter_m
    under = washer_bearing_stress(1.0, max(eye.washer.value, 1.05 * hole), hole)
    punched = pull_through_stress(1.0, eye.washer.value, closer.thickness.value)
    plate = replace(gives, dimension=Dimension.PRESSURE, warmth_left=scene.left(closer.material))
    sinks, pulls_through = (
        replace(plate, mode=mode) for mode in (FailureMode.EYE_SINKS, FailureMode.EYE_PULLS_THROUGH)
    )
    yield sinks.judged(each.scaled(under), bearing_strength(stuff))
    yield replace(pulls_through, numbers=_thick(closer)).judged(
        each.scaled(punched), punching_strength(stuff)
    )
