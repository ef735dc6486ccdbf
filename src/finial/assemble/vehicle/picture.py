"""The vehicle as one mesh for pictures: outside parts and fins, in body axes."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from finial.assemble.vehicle.loading import PlacedPart
from finial.core.kept_parts import kept
from finial.shape.fin_set import FinSet
from finial.shape.mesh import Mesh
from finial.shape.plates import flat_triangles, slab_faces


def display_mesh(parts: Sequence[PlacedPart], fins: Sequence[FinSet]) -> tuple[Mesh, NDArray[np.bool_]]:
    """One mesh, and a mask that is true on the faces of fins."""
    pieces = [
        (part.mended.mesh.vertices_m, part.mended.mesh.faces, False) for part in parts if part.spec.outside
    ]
    pieces += [(*fin_plate(fin, number), True) for fin in fins for number in range(fin.count)]
    starts = np.cumsum([0, *(len(vertices) for vertices, _, _ in pieces)])
    vertices = np.concatenate([vertices for vertices, _, _ in pieces])
    faces = np.concatenate([faces + start for (_, faces, _), start in zip(pieces, starts[:-1], strict=True)])
    mask = np.concatenate([np.full(len(faces), is_fin) for _, faces, is_fin in pieces])
    return Mesh(vertices_m=vertices, faces=faces), mask


# All fins of a set are cut alike.
@kept(8)
def _cut_out(outline_m: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """Corners of a plate's outline, and the faces of the slab over it; none where nothing can be cut out."""
    outline, flat = flat_triangles(outline_m)
    return outline, slab_faces(flat, len(outline)) if len(flat) else flat


def fin_plate(fin: FinSet, number: int) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """Plate of one fin as a closed mesh in body axes [m]: two faces, as thick as it is there, and the rim."""
    outline, faces = _cut_out(fin.outline_m)
    if not len(faces):
        return np.empty((0, 3)), np.empty((0, 3), dtype=np.int64)
    roll = fin.rolls_rad[number]
    outward, across = np.array([0, np.cos(roll), np.sin(roll)]), np.array([0, -np.sin(roll), np.cos(roll)])
    along = -(fin.station_m + outline[:, 0])[:, None] * np.array([1.0, 0, 0])
    line = np.array([0.0, *fin.offset_m])
    middle = line + along + (fin.root_radius_m + outline[:, 1])[:, None] * outward
    # Canted, its trailing edge stands on the side it is to push the vehicle to.
    turned = np.tan(fin.cant_rad) * (outline[:, 0] - outline[:, 0].mean())
    # Counter-clockwise along and outward looks against ``across``: that side comes first.
    sides = [
        middle + (turned + half * _thickness(fin, outline[:, 1]) / 2)[:, None] * across
        for half in (-1.0, 1.0)
    ]
    return np.concatenate(sides), faces


def _thickness(fin: FinSet, outward_m: NDArray[np.float64]) -> NDArray[np.float64]:
    """Thickness at each distance from the root [m], straight between root and tip."""
    tip = fin.thickness_m if fin.tip_thickness_m is None else fin.tip_thickness_m
    reach = max(float(fin.outline_m[:, 1].max()), 1e-12)
    return np.interp(outward_m, [0.0, reach], [fin.thickness_m, tip])
