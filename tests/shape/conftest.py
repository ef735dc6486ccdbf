"""Plain shapes, and ways to redraw them, for all tests of the shape package."""

import numpy as np
import pytest
from numpy.typing import NDArray

from finial.shape.mesh import Mesh
from finial.shape.tiers import Tier, tiers_mesh


class Draw:
    """Functions that draw and redraw meshes; handed to tests as the fixture ``draw``."""

    @staticmethod
    def soup(triangles_m: NDArray[np.float64]) -> Mesh:
        """A mesh as an STL file gives it: no two faces share a vertex."""
        corners = np.arange(3 * len(triangles_m)).reshape(-1, 3)
        return Mesh(vertices_m=triangles_m.reshape(-1, 3), faces=corners)

    @staticmethod
    def prism(across_m: float, height_m: float, sides: int = 8, top_m: float | None = None) -> Mesh:
        top = across_m if top_m is None else top_m
        return tiers_mesh([Tier(sides=sides, across_m=across_m, across_top_m=top, height_m=height_m)])

    @staticmethod
    def moved(mesh: Mesh, by_m: tuple[float, float, float]) -> Mesh:
        return Mesh(vertices_m=mesh.vertices_m + np.array(by_m), faces=mesh.faces)

    @staticmethod
    def turned_round(mesh: Mesh) -> Mesh:
        return Mesh(vertices_m=mesh.vertices_m, faces=mesh.faces[:, ::-1])

    @staticmethod
    def rolled(mesh: Mesh, angle_rad: float) -> Mesh:
        c, s = np.cos(angle_rad), np.sin(angle_rad)
        return Mesh(
            vertices_m=mesh.vertices_m @ np.array([[1, 0, 0], [0, c, s], [0, -s, c]]), faces=mesh.faces
        )

    @classmethod
    def joined(cls, *meshes: Mesh) -> Mesh:
        return cls.soup(np.concatenate([mesh.triangles_m for mesh in meshes]))

    @classmethod
    def subdivided(cls, mesh: Mesh, rounds: int = 1) -> Mesh:
        """Split every face into four without moving the surface."""
        triangles = mesh.triangles_m
        for _ in range(rounds):
            a, b, c = triangles[:, 0], triangles[:, 1], triangles[:, 2]
            ab, bc, ca = (a + b) / 2, (b + c) / 2, (c + a) / 2
            quarters = [(a, ab, ca), (ab, b, bc), (ca, bc, c), (ab, bc, ca)]
            triangles = np.concatenate([np.stack(corners, axis=1) for corners in quarters])
        return cls.soup(triangles)


@pytest.fixture(scope="session")
def draw() -> type[Draw]:
    return Draw


@pytest.fixture(scope="session")
def tower() -> Mesh:
    """A small lighthouse: tapered octagon, wide gallery, lantern, dome."""
    return tiers_mesh(
        [
            Tier(sides=8, across_m=0.15, across_top_m=0.11, height_m=0.8),
            Tier(sides=8, across_m=0.168, across_top_m=0.168, height_m=0.02),
            Tier(sides=8, across_m=0.10, across_top_m=0.10, height_m=0.12),
            Tier(sides=0, across_m=0.13, across_top_m=0.0, height_m=0.06, is_dome=True),
        ]
    )


@pytest.fixture(scope="session")
def fine_tower(tower: Mesh) -> Mesh:
    """The same surface cut into small faces, about 80,000."""
    return Draw.subdivided(tower, 2)
