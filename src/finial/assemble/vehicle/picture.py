"""The vehicle as one mesh for pictures: outside parts and fins, in body axes."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from finial.assemble.vehicle.loading import PlacedPart
from finial.core.kept_parts import kept
from finial.shape.fin_set import FinSet
from finial.shape.mesh import Mesh


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


def fin_plate(fin: FinSet, number: int) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """Plate of one fin as a closed mesh in body axes: two faces, as thick as it is there, and the rim."""
    outline, flat = flat_triangles(fin.outline_m)
    if not len(flat):
        return np.empty((0, 3)), np.empty((0, 3), dtype=np.int64)
    count = len(outline)
    roll = fin.first_at_rad + 2 * np.pi * number / fin.count
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
    return np.concatenate(sides), slab_faces(flat, count)


def _thickness(fin: FinSet, outward_m: NDArray[np.float64]) -> NDArray[np.float64]:
    """Thickness at each distance from the root [m], straight between root and tip."""
    tip = fin.thickness_m if fin.tip_thickness_m is None else fin.tip_thickness_m
    reach = max(float(fin.outline_m[:, 1].max()), 1e-12)
    return np.interp(outward_m, [0.0, reach], [fin.thickness_m, tip])


def slab_faces(flat: NDArray[np.int64], count: int) -> NDArray[np.int64]:
    """Triangles of a plate: its first side as told, its second turned over, and the rim between the two."""
    near, far = np.arange(count), np.roll(np.arange(count), -1)
    rim = np.concatenate(
        [np.stack([far, near, near + count], axis=1), np.stack([far, near + count, far + count], axis=1)]
    )
    return np.concatenate([flat, flat[:, ::-1] + count, rim])


@kept(32)
def flat_triangles(outline_m: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """Outline turned counter-clockwise, and its triangles."""
    from shapely import constrained_delaunay_triangles, get_coordinates, get_parts
    from shapely.geometry import Polygon
    from shapely.geometry.polygon import orient

    drawn = Polygon(outline_m)
    # A finding says that its edges cross; the picture shows how far it reaches.
    shape = drawn if drawn.is_valid else drawn.convex_hull
    if not isinstance(shape, Polygon):
        return np.empty((0, 2)), np.empty((0, 3), dtype=np.int64)
    outline = np.asarray(orient(shape).exterior.coords)[:-1]
    index = {tuple(point): place for place, point in enumerate(np.round(outline, 9))}
    triangles = map(orient, get_parts(constrained_delaunay_triangles(Polygon(outline))))
    flat = np.array(
        [[index[tuple(point)] for point in np.round(get_coordinates(one)[:3], 9)] for one in triangles]
    )
    return outline, flat
