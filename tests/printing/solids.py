"""Bodies that several tests cut: made by hand, sizes known."""

import math

import manifold3d
import numpy as np

from finial.files.stl import read_stl, stl_bytes
from finial.shape.mesh import Mesh


def tube(length_m: float, outer_m: float, inner_m: float, sides: int = 64):
    """Tube along the body's axis, its tip at station 0 [m]."""
    outer = manifold3d.Manifold.cylinder(length_m, outer_m / 2, outer_m / 2, sides)
    inner = manifold3d.Manifold.cylinder(3 * length_m, inner_m / 2, inner_m / 2, sides)
    whole = outer - inner.translate((0.0, 0.0, -length_m))
    return whole.rotate((0.0, -90.0, 0.0))


def prism_area(across_m: float, sides: int = 64) -> float:
    """Area of a polygon in a circle [m^2]."""
    return sides / 2 * (across_m / 2) ** 2 * math.sin(2 * math.pi / sides)


def read_back(sound):
    """What a file of the piece holds, by the reader of the project and as a solid of another library [mm]."""
    import trimesh

    vertices, faces, solids = read_stl(stl_bytes(sound.vertices_mm, sound.faces))
    assert solids == 1
    return Mesh(vertices_m=vertices, faces=faces), trimesh.Trimesh(vertices, faces, process=False)


def box_of(mesh) -> np.ndarray:
    return np.ptp(mesh.vertices_m, axis=0)
