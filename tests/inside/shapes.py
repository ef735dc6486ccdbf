"""Small meshes with rooms in them, in body axes: tip at x = 0."""

import numpy as np

from finial.inside.cavity import Cavity, Printed, cavity_of
from finial.inside.things import Kind, Thing
from finial.shape.mesh import Mesh
from finial.shape.repair import repaired
from finial.shape.sections import slice_skin
from finial.shape.tiers import Tier, tiers_mesh


def block(across_m: float, height_m: float, top_m: float = 0.0, sides: int = 4) -> np.ndarray:
    """Triangles of an upright prism that begins at a station."""
    tier = Tier(sides=sides, across_m=across_m, across_top_m=across_m, height_m=height_m)
    return tiers_mesh([tier], tip_station_m=top_m).triangles_m


def joined(*bodies: np.ndarray) -> Mesh:
    triangles = np.concatenate(bodies)
    return Mesh(vertices_m=triangles.reshape(-1, 3), faces=np.arange(3 * len(triangles)).reshape(-1, 3))


def room(across_m: float, height_m: float, top_m: float, sides: int = 4) -> np.ndarray:
    """A closed cavity: a body inside out."""
    return block(across_m, height_m, top_m, sides)[:, ::-1]


def hole(across_m: float, fore_m: float, aft_m: float, **more: object) -> Thing:
    return Thing(
        name="hole",
        kind=Kind.OTHER,
        middle_m=(fore_m + aft_m) / 2,
        length_m=aft_m - fore_m,
        across_m=across_m,
        **more,  # type: ignore[arg-type]
    )


def printed(name: str, mesh: Mesh, *bores: Thing, **more: object) -> Printed:
    return Printed(name=name, mended=repaired(mesh), outside=True, bores=bores, **more)  # type: ignore[arg-type]


def inside_of(*parts: Printed) -> Cavity:
    return cavity_of(parts, slice_skin([part.mended for part in parts if part.outside]))


def thing(name: str, fore_m: float, aft_m: float, across_m: float, **more: object) -> Thing:
    kind = more.pop("kind", Kind.OTHER)
    return Thing(
        name=name,
        kind=kind,  # type: ignore[arg-type]
        middle_m=(fore_m + aft_m) / 2,
        length_m=aft_m - fore_m,
        across_m=across_m,
        **more,  # type: ignore[arg-type]
    )
