"""What every set of fins is made of and how it is held: those of the sheet, and those drawn in a mesh."""

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from finial.aero.fins.on_body import FinAir
from finial.assemble.strength.heat import wall_warmth
from finial.assemble.vehicle.loading import LoadedVehicle, PlacedPart
from finial.assemble.vehicle.materials import sheet_material
from finial.assemble.vehicle.usual import usual_share
from finial.core.estimates import Estimate, KnownBy, exact, spread
from finial.core.kept_parts import kept
from finial.files.sheet_body import FinEntry, FixingEntry, StayEntry
from finial.materials.material import Material
from finial.materials.warmth import warmed
from finial.shape.cut import cuts
from finial.shape.fin_set import FinSet

MEASURED_SCATTER = 0.1
"""Scatter of a thickness measured off a mesh [-]; chosen: slices of a plate with rounded edges."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FinBuild:
    """One set of fins with its stuff."""

    fins: FinSet
    thickness: Estimate
    """At the root [m]."""
    tip_thickness: Estimate | None
    stuff: Material | None
    """``None`` where it cannot be told what it is made of."""
    solid_share: float = 1.0
    """Bending stiffness over that of the solid plate [-]: less where a print is filled in part."""
    density_share: float = 1.0
    """Mass over that of the solid plate [-]."""
    fixing: FixingEntry | None = None
    stays: tuple[StayEntry, ...] = ()
    drawn_in: PlacedPart | None = None
    """Part whose mesh it is drawn in; ``None`` for fins of the sheet."""

    @property
    def strength(self) -> Estimate:
        """Stress that a solid plate of this thickness would show when this one lets go [Pa]."""
        assert self.stuff is not None
        return self.stuff.yield_pa.scaled(self.solid_share)


def fin_builds(vehicle: LoadedVehicle, fins: Sequence[FinAir]) -> tuple[FinBuild, ...]:
    """Every set of fins that the air meets, in the same order: of the sheet, then of the meshes."""
    entries = vehicle.sheet.fin
    of_sheet, of_mesh = fins[: len(entries)], fins[len(entries) :]
    drawn = zip(of_mesh, _parts_of(_Drawn(parts=vehicle.parts, vehicle=vehicle)), strict=True)
    return (
        *(_of_sheet(vehicle, one.fins, entry) for one, entry in zip(of_sheet, entries, strict=True)),
        *(_of_mesh(vehicle, one.fins, part) for one, part in drawn),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Drawn:
    """The meshes' fins depend on the meshes alone, however often ballast and span change."""

    parts: tuple[PlacedPart, ...]
    vehicle: LoadedVehicle = field(compare=False)


@kept(8)
def _parts_of(drawn: _Drawn) -> tuple[PlacedPart | None, ...]:
    """Part that each set of the meshes' fins is drawn in."""
    return tuple(part_of(drawn.vehicle, fins) for fins in drawn.vehicle.mesh_fins)


def _of_sheet(vehicle: LoadedVehicle, fins: FinSet, entry: FinEntry) -> FinBuild:
    tip = entry.thickness_tip
    return FinBuild(
        fins=fins,
        thickness=usual_share(entry.thickness, "plate_thickness"),
        tip_thickness=usual_share(tip, "plate_thickness") if tip else None,
        stuff=_as_warm(vehicle, entry.material),
        fixing=entry.fixing,
        stays=entry.stays,
    )


def _of_mesh(vehicle: LoadedVehicle, fins: FinSet, part: PlacedPart | None) -> FinBuild:
    """Material of the part that the fin is drawn in, thickness as measured, filled as that part is."""
    thick = fins.thickness_m
    if part is None or thick <= 0.0:
        return FinBuild(fins=fins, thickness=exact(thick), tip_thickness=None, stuff=None, drawn_in=part)
    core = _core(part, thick)
    infill = part.spec.print.infill.value if part.spec.print else 1.0
    return FinBuild(
        fins=fins,
        thickness=spread(thick, MEASURED_SCATTER, known_by=KnownBy.MEASURED, method="measured off the mesh"),
        tip_thickness=None,
        stuff=_as_warm(vehicle, part.spec.material),
        solid_share=1 - (1 - infill**2) * core**3,
        density_share=1 - (1 - infill) * core,
        drawn_in=part,
    )


def _as_warm(vehicle: LoadedVehicle, name: str) -> Material:
    """Material of a fin as warm as the day's sun makes it."""
    return _warmed(sheet_material(vehicle.sheet, name), wall_warmth(vehicle))


@kept(32)
def _warmed(stuff: Material, warmth_k: Estimate) -> Material:
    return warmed(stuff, warmth_k)


def _core(part: PlacedPart, thickness_m: float) -> float:
    """Share of a printed plate's thickness that lies between its walls [-]."""
    printed = part.spec.print
    return max(1 - 2 * printed.wall.value / thickness_m, 0.0) if printed else 0.0


def part_of(vehicle: LoadedVehicle, fins: FinSet) -> PlacedPart | None:
    """Part whose mesh holds a set of fins; ``None`` where none does, or several of different stuff."""
    holding = [part for part in vehicle.parts if _holds(part, fins)]
    if len({(part.spec.material, part.spec.print is None) for part in holding}) != 1:
        return None
    return holding[0]


def _holds(part: PlacedPart, fins: FinSet) -> bool:
    """Whether a cut through the part, where its fins reach farthest, shows something inside a fin."""
    import shapely

    widest = fins.outline_m[fins.outline_m[:, 1] > 0.9 * fins.outline_m[:, 1].max()]
    station = fins.station_m + float(widest[:, 0].mean())
    fore, aft = part.span_m
    if not fore < station < aft:
        return False
    # Two thirds out: near the root the body is there anyhow, near the tip a swept edge may not be.
    out = fins.root_radius_m + 2 / 3 * float(fins.outline_m[:, 1].max())
    place = shapely.Point(out * np.cos(fins.first_at_rad), out * np.sin(fins.first_at_rad))
    (cut,) = cuts(part.mended.mesh, np.array([station]))
    reach = max(fins.thickness_m, 1e-3)
    return any(shapely.Polygon(loop).distance(place) < reach for loop in cut.loops if len(loop) >= 3)
