"""What is drawn true to scale to cut and drill by: fins with their tabs, rods in the outline round them."""

from collections.abc import Iterator
from dataclasses import dataclass

from finial.assemble.vehicle.loading import LoadedVehicle
from finial.assemble.vehicle.rods import rod_name, rod_places
from finial.shape.measures import section_at
from finial.structure.rods.threads import thread

Corners = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class FinTemplate:
    """One fin of a set, flat on the sheet it is cut from."""

    name: str
    count: int
    material: str
    thickness_m: float
    outline_m: Corners
    """Aft of the root's fore end, and outward of the root [m]."""
    tab_m: Corners
    """What goes through the wall or into its slot, inward of the root [m]; empty without one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DrillTemplate:
    """Holes of a set of rods in the outline of the body, seen from the tip."""

    name: str
    thread: str
    hole_m: float
    """Diameter of the thread: what a drill adds for play is the builder's [m]."""
    station_m: float
    outlines_m: tuple[Corners, ...]
    """Outer outlines of the body there, body (y, z) [m]."""
    places_m: Corners
    """Middles of the holes, body (y, z) [m]."""


def fin_templates(vehicle: LoadedVehicle) -> tuple[FinTemplate, ...]:
    """One for each set of fins that the sheet gives; those drawn into a mesh are printed with it."""
    return tuple(
        FinTemplate(
            name=fin.name,
            count=fin.count,
            material=fin.material,
            thickness_m=fin.thickness.value,
            outline_m=tuple((along.value, outward.value) for along, outward in fin.outline),
            tab_m=_tab(fin.outline[0][0].value, fin.outline[-1][0].value, _depth(vehicle, number)),
        )
        for number, fin in enumerate(vehicle.sheet.fin)
    )


def _depth(vehicle: LoadedVehicle, number: int) -> float:
    fixing = vehicle.sheet.fin[number].fixing
    goes_in = fixing is not None and fixing.kind in ("tab", "slot") and fixing.depth is not None
    return fixing.depth.value if goes_in and fixing and fixing.depth else 0.0


def _tab(fore_m: float, aft_m: float, depth_m: float) -> Corners:
    """Tab along the whole root [m]: the sheet says how deep it is, not how long."""
    if depth_m == 0.0:
        return ()
    return ((fore_m, 0.0), (fore_m, -depth_m), (aft_m, -depth_m), (aft_m, 0.0))


def drill_templates(vehicle: LoadedVehicle) -> tuple[DrillTemplate, ...]:
    """Two for each set of rods, where they begin and where they end."""
    return tuple(_drills(vehicle))


def _drills(vehicle: LoadedVehicle) -> Iterator[DrillTemplate]:
    for rod in vehicle.sheet.rod:
        for end in rod.stations:
            at = min(end.value, vehicle.skin.length_m)
            section = section_at(vehicle.skin, at)
            yield DrillTemplate(
                name=rod_name(rod),
                thread=rod.thread,
                hole_m=thread(rod.thread).diameter_m,
                station_m=at,
                outlines_m=tuple(_corners(loop.tolist()) for loop in section.loops),
                places_m=_corners(rod_places(rod).tolist()),
            )


def _corners(rows: list[list[float]]) -> Corners:
    return tuple((y, z) for y, z in rows)
