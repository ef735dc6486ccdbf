"""Test pieces for this build: for each, the number that it measures and the place of the sheet for it."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from enum import StrEnum

from finial.assemble.prints.settings import USUAL_DOWELS, PrintSettings, settings_of
from finial.assemble.vehicle.bed import is_printed, parts_on_bed
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.core.showing import show_lengths
from finial.printing.frames import cornered
from finial.printing.joints import JointKind
from finial.printing.samples import clearance_gauge, cube, joint_halves, pull_bar, strip_holder
from finial.printing.sound import Sound, sound
from finial.shape.united import Body
from finial.structure.rods.threads import thread


class SampleKind(StrEnum):
    """What a test piece is."""

    CUBE = "cube"
    BAR_ALONG = "bar-along"
    BAR_ACROSS = "bar-across"
    JOINT = "joint"
    GAUGE = "gauge"
    STRIP = "strip"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sample:
    """One test piece as it lies on the bed."""

    kind: SampleKind
    subject: str
    """Material, part, rod or fins that it is for."""
    place: str
    """Key of the sheet that takes its result."""
    count: int
    sound: Sound
    numbers: dict[str, float] = field(default_factory=dict[str, float])
    """What its words need [SI]."""


def samples(vehicle: LoadedVehicle) -> Iterator[Sample]:
    """Yield the test pieces that a sheet with a bed wants.

    Raises
    ------
    BuildSheetError
        If the sheet names no bed.
    """
    settings = settings_of(vehicle)
    printed = [part.spec for part in vehicle.parts if is_printed(vehicle, part)]
    for material in dict.fromkeys(part.material for part in printed):
        yield _sample(SampleKind.CUBE, material, "material.density", cube())
        yield _sample(SampleKind.BAR_ALONG, material, "material.along", pull_bar(), count=5)
        # Standing on its end, its layers are stacked along it.
        standing = pull_bar().rotate((0.0, -90.0, 0.0))
        yield _sample(SampleKind.BAR_ACROSS, material, "material.across", standing, count=5)
    yield from _joints(vehicle, settings)
    rods = sorted({thread(rod.thread).diameter_m for rod in vehicle.sheet.rod})
    for across in rods or (USUAL_DOWELS.diameter_m,):
        name = f"{'rod' if rods else 'dowel'} of {show_lengths((across,), vehicle.us_units)}"
        yield _sample(SampleKind.GAUGE, name, "print.clearance", clearance_gauge(across))
    for fin in vehicle.sheet.fin:
        held = strip_holder(fin.thickness.value, settings.play.across_m)
        numbers = {"thickness": fin.thickness.value}
        yield _sample(SampleKind.STRIP, fin.material, "material.modulus", held, numbers=numbers)


def _joints(vehicle: LoadedVehicle, settings: PrintSettings) -> Iterator[Sample]:
    """One for each part that is cut, by its own cuts or the plan: glued faces, its dowels where they fit."""
    in_pieces = {one.part for one in parts_on_bed(vehicle) if one.pieces > 1}
    for part in vehicle.parts:
        if not is_printed(vehicle, part):
            continue
        kinds = {cut.held_by for cut in part.spec.cuts} - {JointKind.RODS.value}
        if not part.spec.cuts and part.spec.name in in_pieces:
            kinds = {settings.kind.value}
        if not kinds:
            continue
        dowels = settings.dowels_of(part) if JointKind.DOWELS.value in kinds else None
        half, _ = joint_halves(dowels, settings.play.wall_m, settings.play.across_m)
        yield _sample(SampleKind.JOINT, part.spec.name, "part.cuts.holds", half, count=2)


def _sample(
    kind: SampleKind,
    subject: str,
    place: str,
    body: Body,
    *,
    count: int = 1,
    numbers: dict[str, float] | None = None,
) -> Sample:
    return Sample(
        kind=kind,
        subject=subject,
        place=place,
        count=count,
        sound=sound(cornered(body.scale((1e3, 1e3, 1e3))), f"{kind.value} of {subject}"),
        numbers=numbers or {},
    )
