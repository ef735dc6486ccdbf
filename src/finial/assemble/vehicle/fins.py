"""Fin sets of the sheet, standing on the skin."""

import numpy as np

from finial.assemble.vehicle.loading import LoadedVehicle
from finial.core.kept_parts import kept
from finial.files.fields import across_m
from finial.files.sheet_body import FinEntry
from finial.shape.fin_set import FinSet
from finial.shape.measures import radius_at, section_at
from finial.shape.skin import Skin


def fin_sets(vehicle: LoadedVehicle) -> tuple[FinSet, ...]:
    """Turn the sheet's fins into plates on the skin."""
    return _on_skin(vehicle.sheet.fin, vehicle.skin)


def all_fins(vehicle: LoadedVehicle) -> tuple[FinSet, ...]:
    """Fins of the sheet, then those that are part of the meshes."""
    return (*fin_sets(vehicle), *vehicle.mesh_fins)


@kept(8)
def _on_skin(entries: tuple[FinEntry, ...], skin: Skin) -> tuple[FinSet, ...]:
    return tuple(_fin_set(fin, skin) for fin in entries)


def _fin_set(fin: FinEntry, skin: Skin) -> FinSet:
    outline = np.array([[along.value, outward.value] for along, outward in fin.outline])
    return FinSet(
        name=fin.name,
        outline_m=outline,
        station_m=fin.station.value,
        root_radius_m=fin.root.value if fin.root else _skin_radius(fin, outline, skin),
        count=fin.count,
        first_at_rad=fin.first_at.value,
        thickness_m=fin.thickness.value,
        tip_thickness_m=fin.thickness_tip.value if fin.thickness_tip else None,
        square_edges=fin.edges == "square",
        cant_rad=fin.cant.value,
        offset_m=across_m(fin.offset),
    )


def _skin_radius(fin: FinEntry, outline: np.ndarray, skin: Skin) -> float:
    """Distance of the skin from the fins' own line at the middle of the root, along the first fin's ray."""
    root = outline[outline[:, 1] <= 1e-9, 0]
    middle = fin.station.value + (float(root.mean()) if root.size else float(outline[:, 0].mean()))
    section = section_at(skin, min(middle, skin.length_m))
    return radius_at(section, fin.first_at.value, across_m(fin.offset))
