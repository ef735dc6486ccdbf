"""From files to a vehicle: meshes placed, mended and sliced; the slow part, done once."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from finial.aero.body import BodyAir, body_air
from finial.assemble.vehicle.known_names import Named, unknown_names
from finial.assemble.vehicle.mesh_fins import Parted, parted
from finial.assemble.vehicle.misfits import refuse_misfits
from finial.assemble.vehicle.names_written import LookUps, in_full
from finial.assemble.vehicle.scattered import refuse_all_inside, refuse_scattered
from finial.core.errors import BuildSheetError, Fault, MeshError
from finial.core.kept_parts import kept
from finial.files.meshes import read_mesh
from finial.files.motor_data import MotorData
from finial.files.sheet import LoadedSheet, Sheet, sheet_from
from finial.files.sheet_body import FinEntry, PartEntry, TierEntry
from finial.files.source import read_toml
from finial.mass.solids import Solid, solid_of
from finial.motors.cluster import clustered
from finial.motors.motor import Motor
from finial.shape.fin_set import FinSet
from finial.shape.mesh import Mesh
from finial.shape.placing import to_body
from finial.shape.repair import Repaired, repaired
from finial.shape.sections import slice_skin
from finial.shape.skin import Skin
from finial.shape.tiers import Tier, tiers_mesh

Tell = Callable[[str], None]
"""Receives progress notes in words."""
NamesAbove = Callable[[Sheet], Iterable[Named]]
Done = TypeVar("Done")
NO_LOOK_UPS: LookUps = {}
USABLE = "a mesh of closed bodies, in the unit that mesh_unit says"


def _no_names(_sheet: Sheet) -> Iterable[Named]:
    """No later stage looks anything up."""
    return ()


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PlacedPart:
    """A part of the sheet, mended and in body axes; equal only to itself."""

    spec: PartEntry
    mended: Repaired
    solid: Solid

    @property
    def span_m(self) -> tuple[float, float]:
        """Stations the part reaches from and to [m]."""
        return _span_m(self)


# Many looks ask where a part begins and ends.
@kept(64)
def _span_m(part: PlacedPart) -> tuple[float, float]:
    stations = -part.mended.mesh.vertices_m[:, 0]
    return float(stations.min()), float(stations.max())


@dataclass(frozen=True, slots=True, kw_only=True)
class ThickBody:
    """The other opinion on plates that are too thick to be surely fins: that they are body."""

    body: BodyAir
    fins: tuple[FinSet, ...]
    share: float
    """How far that opinion counts [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadedVehicle:
    """The sheet with everything that takes time to find from its meshes.

    What the builder moves on the page (ballast, fin span) changes only ``sheet``.
    """

    files: LoadedSheet
    sheet: Sheet
    motor: Motor
    """All motors as one: summed thrust and masses."""
    motors: tuple[Motor, ...]
    """Each by itself, in the order of the sheet."""
    parts: tuple[PlacedPart, ...]
    skin: Skin
    body: BodyAir
    mesh_fins: tuple[FinSet, ...] = ()
    """Fins found in the meshes: off the skin, and lifting beside those of the sheet."""
    thick: ThickBody | None = None
    """Set where some of them may be body."""
    on_the_scale: "LoadedVehicle | None" = None
    """The vehicle that was weighed, where this one is a change to it."""

    @property
    def us_units(self) -> bool:
        """True when the builder reads inches and pounds."""
        return self.sheet.vehicle.us_units


def load_vehicle(
    path: Path, tell: Tell, names_above: NamesAbove = _no_names, look_ups_above: LookUps = NO_LOOK_UPS
) -> LoadedVehicle:
    """Read a sheet and its meshes, mend and slice them, and solve the sections.

    Parameters
    ----------
    path : Path
        The build sheet.
    tell : callable
        Receives progress notes.
    names_above : callable
        Names in the sheet that only later stages can look up, refused with the others.
    look_ups_above : mapping
        The same, by what they are names of, for a sheet that cannot be read.

    Raises
    ------
    BuildSheetError
        With all faults in the sheet, its files, its meshes and how they fit together.
    """
    source = read_toml(path)
    try:
        files = sheet_from(source)
    except BuildSheetError as error:
        raise BuildSheetError(in_full(source, error.faults, look_ups_above)) from error
    return built(files, tell, names_above)


def built(files: LoadedSheet, tell: Tell, names_above: NamesAbove = _no_names) -> LoadedVehicle:
    """Build the vehicle of a sheet that was read.

    Raises
    ------
    BuildSheetError
        With all faults in its meshes and how they fit together.
    """
    unknown = unknown_names(files, names_above(files.sheet))
    try:
        parts, skin, split = _fitted(files, tell)
    except BuildSheetError as error:
        raise BuildSheetError([*unknown, *error.faults]) from error
    if unknown:
        raise BuildSheetError(unknown)
    motors = motors_of(files)
    tell("solving the sections for air loads")
    return LoadedVehicle(
        files=files,
        sheet=files.sheet,
        motor=as_one(motors),
        motors=motors,
        parts=parts,
        skin=skin,
        body=_air(skin),
        mesh_fins=split.fins,
        thick=split.thick
        and ThickBody(body=_air(split.thick.body), fins=split.thick.fins, share=split.thick.share),
    )


def _fitted(files: LoadedSheet, tell: Tell) -> tuple[tuple[PlacedPart, ...], Skin, Parted]:
    """Place the parts, slice the skin, take fins of the meshes off it, and refuse what does not fit it."""
    tell("reading and mending meshes")
    refuse_all_inside(files)
    parts, moved = _placed(files)
    refuse_scattered(files, [(part.spec.outside, part.span_m) for part in parts])
    tell("slicing the skin")
    outside = tuple(part.mended for part in parts if part.spec.outside)
    split = _parted(_skin(files, outside), outside, files.sheet.fin)
    refuse_misfits(files, split.body, [part.span_m for part in parts])
    return parts, _noted(split.body, moved), split


# A sheet that is saved or read again is of the same meshes: what was found of them stands. They are
# told apart by their numbers, what follows from them by being the very same.
@kept(16)
def _mended(vertices_m: NDArray[np.float64], faces: NDArray[np.int64]) -> Repaired:
    return repaired(Mesh(vertices_m=vertices_m, faces=faces))


@kept(16)
def _solid(mended: Repaired) -> Solid:
    return solid_of(mended)


# Tables are equal where a key left out has its usual value in the other: which were written counts too.
@kept(16)
def _part_of(spec: PartEntry, _written: str, mended: Repaired) -> PlacedPart:
    return PlacedPart(spec=spec, mended=mended, solid=_solid(mended))


@kept(4)
def _sliced(outside: tuple[Repaired, ...]) -> Skin:
    return slice_skin(outside)


@kept(4)
def _parted(skin: Skin, outside: tuple[Repaired, ...], fins: tuple[FinEntry, ...]) -> Parted:
    return parted(skin, outside, fins)


@kept(4)
def _noted(skin: Skin, notes: tuple[str, ...]) -> Skin:
    return replace(skin, notes=(*skin.notes, *notes))


@kept(8)
def _air(skin: Skin) -> BodyAir:
    return body_air(skin)


def _placed(files: LoadedSheet) -> tuple[tuple[PlacedPart, ...], tuple[str, ...]]:
    """Parts in body axes, and a note if their axis was moved.

    Meshes share one origin; tiers stand at their own tip station.
    """
    sheet = files.sheet
    drawn = [part for part in sheet.part if part.mesh]
    meshes = _of_every(files, drawn, lambda part: _mesh(files, part))
    placed: dict[str, Mesh] = {}
    moved: tuple[str, ...] = ()
    if drawn:
        turned, offset = to_body(meshes, sheet.vehicle.up, outside=[part.outside for part in drawn])
        placed = {part.name: mesh for part, mesh in zip(drawn, turned, strict=True)}
        moved = _moved(offset[1:])
    for part in sheet.part:
        if part.tiers:
            placed[part.name] = tiers_mesh(_tiers(part.tiers), tip_station_m=part.tip_station.value)
    return tuple(_of_every(files, sheet.part, lambda part: _part(part, placed[part.name]))), moved


def _moved(across_m: NDArray[np.float64]) -> tuple[str, ...]:
    """Say that the axis is no longer the meshes' own: offsets in the sheet count from the new one."""
    if not across_m.any():
        return ()
    sideways = " and ".join(f"{1e3 * abs(step):.1f} mm" for step in across_m)
    return (
        f"the meshes' own axis ran along the rim of the shape or beside it, so the axis was put through the "
        f"middle, {sideways} across: every offset in the sheet counts from there",
    )


def _of_every(
    files: LoadedSheet, parts: Sequence[PartEntry], work: Callable[[PartEntry], Done]
) -> list[Done]:
    """Do the work on every part; all meshes that cannot be used are refused at once."""
    done: list[Done] = []
    faults: list[Fault] = []
    for part in parts:
        try:
            done.append(work(part))
        except MeshError as error:
            faults.append(_fault(files, part, error))
    if faults:
        raise BuildSheetError(faults)
    return done


def _fault(files: LoadedSheet, part: PartEntry, error: MeshError) -> Fault:
    where = ("part", files.sheet.part.index(part), "mesh" if part.mesh else "tiers")
    return files.source.fault(where, given=str(error), accepted=USABLE)


def _skin(files: LoadedSheet, outside: tuple[Repaired, ...]) -> Skin:
    try:
        return _sliced(outside)
    except MeshError as error:
        fault = files.source.fault(("part",), given=str(error), accepted=USABLE)
        raise BuildSheetError([fault]) from error


def _mesh(files: LoadedSheet, part: PartEntry) -> Mesh:
    path = files.mesh_path(part)
    assert path is not None
    raw = read_mesh(path, part.mesh_unit)
    return Mesh(vertices_m=raw.vertices_m, faces=raw.faces)


def _part(spec: PartEntry, mesh: Mesh) -> PlacedPart:
    return _part_of(spec, spec.model_dump_json(exclude_unset=True), _mended(mesh.vertices_m, mesh.faces))


def _tiers(tiers: Sequence[TierEntry]) -> list[Tier]:
    return [
        Tier(
            sides=tier.sides,
            across_m=tier.across.value,
            across_top_m=tier.across.value if tier.across_top is None else tier.across_top.value,
            height_m=tier.height.value,
            is_dome=tier.roof == "dome",
        )
        for tier in tiers
    ]


def motors_of(files: LoadedSheet) -> tuple[Motor, ...]:
    """Every motor of a sheet, the first one first."""
    return tuple(motor_of(data) for data in (files.motor, *files.more_motors))


def as_one(motors: Sequence[Motor]) -> Motor:
    """Return several motors as one: summed thrust and masses."""
    return clustered(motors) if len(motors) > 1 else motors[0]


def with_motor(vehicle: LoadedVehicle, data: MotorData) -> LoadedVehicle:
    """Return the vehicle with another motor in every mount, the nozzles where they were."""
    motors = (motor_of(data),) * len(vehicle.motors)
    return replace(
        vehicle,
        motor=as_one(motors),
        motors=motors,
        files=replace(vehicle.files, motor=data, more_motors=(data,) * (len(motors) - 1)),
        # What was weighed had the motor of before.
        on_the_scale=vehicle.on_the_scale or (vehicle if vehicle.sheet.weighing else None),
    )


def motor_of(data: MotorData) -> Motor:
    """Motor of a data sheet, as the physics takes it."""
    spread = {"thrust_spread": data.thrust_spread.value} if data.thrust_spread else {}
    return Motor(
        name=data.name,
        diameter_m=data.diameter.value,
        length_m=data.length.value,
        loaded_mass_kg=data.loaded_mass.value,
        propellant_mass_kg=data.propellant_mass.value,
        times_s=data.times_s,
        thrusts_n=data.thrusts_n,
        ignition_delay_s=data.ignition_delay.value if data.ignition_delay else 0.0,
        **spread,
    )
