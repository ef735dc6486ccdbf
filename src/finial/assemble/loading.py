"""From files to a vehicle: meshes placed, mended and sliced; the slow part, done once."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from finial.aero.body import BodyAir, body_air
from finial.assemble.accepted import refuse_misfits, refuse_unknown_names
from finial.core.errors import MeshError
from finial.files.meshes import read_mesh
from finial.files.sheet import LoadedSheet, Sheet, read_sheet
from finial.files.sheet_body import Part
from finial.files.sheet_body import Tier as SheetTier
from finial.mass.solids import Solid, solid_of
from finial.motors.motor import Motor
from finial.shape.mesh import Mesh
from finial.shape.placing import to_body
from finial.shape.repair import Repaired, repaired
from finial.shape.sections import slice_skin
from finial.shape.skin import Skin
from finial.shape.tiers import Tier, tiers_mesh

Tell = Callable[[str], None]
"""Receives progress notes in words."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedPart:
    """A part of the sheet, mended and in body axes."""

    spec: Part
    mended: Repaired
    solid: Solid


@dataclass(frozen=True, slots=True, kw_only=True)
class Vehicle:
    """The sheet with everything that takes time to find from its meshes.

    What the builder moves on the page (ballast, fin span) changes only ``sheet``.
    """

    files: LoadedSheet
    sheet: Sheet
    motor: Motor
    parts: tuple[PlacedPart, ...]
    skin: Skin
    body: BodyAir

    @property
    def us_units(self) -> bool:
        """True when the builder reads inches and pounds."""
        return self.sheet.vehicle.us_units


def load_vehicle(path: Path, tell: Tell) -> Vehicle:
    """Read a sheet and its meshes, mend and slice them, and solve the sections.

    Raises
    ------
    BuildSheetError
        With all faults in the sheet, its files and how they fit together.
    MeshError
        If a mesh cannot be used.
    """
    files = read_sheet(path)
    refuse_unknown_names(files)
    tell("reading and mending meshes")
    parts = _placed(files)
    tell("slicing the skin")
    skin = slice_skin([part.mended for part in parts if part.spec.outside])
    refuse_misfits(files, skin)
    tell("solving the sections for air loads")
    return Vehicle(
        files=files, sheet=files.sheet, motor=_motor(files), parts=parts, skin=skin, body=body_air(skin)
    )


def _placed(files: LoadedSheet) -> tuple[PlacedPart, ...]:
    """Meshes share one origin; tiers stand at their own tip station."""
    sheet = files.sheet
    drawn = [part for part in sheet.part if part.mesh]
    meshes = [_mesh(files, part) for part in drawn]
    placed: dict[str, Mesh] = {}
    if drawn:
        turned, _ = to_body(meshes, sheet.vehicle.up, outside=[part.outside for part in drawn])
        placed = {part.name: mesh for part, mesh in zip(drawn, turned, strict=True)}
    for part in sheet.part:
        if part.tiers:
            placed[part.name] = tiers_mesh(_tiers(part.tiers), tip_station_m=part.tip_station.value)
    return tuple(_part(part, placed[part.name]) for part in sheet.part)


def _mesh(files: LoadedSheet, part: Part) -> Mesh:
    path = files.mesh_path(part)
    assert path is not None
    raw = read_mesh(path, part.mesh_unit)
    return Mesh(vertices_m=raw.vertices_m, faces=raw.faces)


def _part(spec: Part, mesh: Mesh) -> PlacedPart:
    try:
        mended = repaired(mesh)
        return PlacedPart(spec=spec, mended=mended, solid=solid_of(mended))
    except MeshError as error:
        raise MeshError(f"part {spec.name!r} ({spec.mesh or 'drawn from tiers'}): {error}") from error


def _tiers(tiers: Sequence[SheetTier]) -> list[Tier]:
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


def _motor(files: LoadedSheet) -> Motor:
    data = files.motor
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
