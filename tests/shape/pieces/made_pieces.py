"""Invented pieces of trimesh's own solids: what is to be recognised is known from how they are made."""

import numpy as np
import trimesh
from trimesh.boolean import difference, union
from trimesh.creation import box, cylinder, revolve

from finial.shape.mesh import Mesh
from finial.shape.repair import Repaired, repaired

MM = 1e-3


def frustum(base: float, top: float, height: float, z: float = 0.0, sides: int = 48) -> trimesh.Trimesh:
    """A cone's frustum on the z axis, radii and heights in mm."""
    made = revolve([[0, 0], [base, 0], [top, height], [0, height]], sections=sides)
    made.apply_translation([0, 0, z])
    return made


def rod(radius: float, height: float, z: float = 0.0, x: float = 0.0, y: float = 0.0) -> trimesh.Trimesh:
    """A cylinder along z."""
    made = cylinder(radius, height, sections=48)
    made.apply_translation([x, y, z + height / 2])
    return made


def block(sides: tuple[float, float, float], z: float, x: float = 0.0) -> trimesh.Trimesh:
    """A box that begins at z."""
    made = box(sides)
    made.apply_translation([x, 0, z + sides[2] / 2])
    return made


def turned_about(made: trimesh.Trimesh, axis: tuple[int, int, int], degrees: float) -> trimesh.Trimesh:
    """A copy turned about an axis through the origin."""
    copy = made.copy()
    copy.apply_transform(trimesh.transformations.rotation_matrix(np.radians(degrees), axis))
    return copy


def on_its_own(made: trimesh.Trimesh) -> trimesh.Trimesh:
    """A copy that begins at z = 0, as exported by itself."""
    copy = made.copy()
    copy.apply_translation([0, 0, -copy.bounds[0][2]])
    return copy


def tower() -> dict[str, trimesh.Trimesh]:
    """Three pieces in place: a motor's bore below, a round room in the middle, a solid spire; 620 mm."""
    return {
        "lower": difference([frustum(60, 52, 250), rod(27.2, 220, -1)]),
        "middle": difference([frustum(52, 45, 220, 250), rod(38, 200, 260)]),
        "top": union([frustum(45, 30, 60, 470), frustum(30, 3, 90, 530)]),
    }


def rodded() -> dict[str, trimesh.Trimesh]:
    """Two blocks and a cap with four holes of 6.6 mm on a circle of 76 mm through both blocks."""
    turns = np.radians([45, 135, 225, 315])
    places = [(38 * np.cos(turn), 38 * np.sin(turn)) for turn in turns]
    base = [block((110, 110, 350), 0), rod(27.5, 300, -1), *(rod(3.3, 400, -1, x, y) for x, y in places)]
    mid = [block((110, 110, 200), 350), rod(30, 180, 355), *(rod(3.3, 170, 349, x, y) for x, y in places)]
    return {"base": difference(base), "mid": difference(mid), "cap": frustum(50, 4, 120, 550, sides=4)}


def finned() -> trimesh.Trimesh:
    """A tube with a nose and four plates 4 mm thick near its base, 650 mm."""
    plates = [turned_about(block((80, 4, 120), 10, x=85), (0, 0, 1), 90 * n) for n in range(4)]
    hull = difference([rod(50, 500), rod(27, 350, -1)])
    return union([hull, frustum(50, 2, 150, 500), *plates])


def shell() -> trimesh.Trimesh:
    """A hollow rocket, its wall 2 mm, open at the base; 680 mm."""
    outside = union([rod(55, 500), frustum(55, 8, 180, 500)])
    inside = union([rod(53, 501, -1), frustum(53, 6, 176, 500)])
    return difference([outside, inside])


def pot() -> trimesh.Trimesh:
    """A teapot's body with a handle: wider with it than high."""
    body = revolve(
        [[0, 0], [60, 0], [85, 50], [80, 110], [45, 150], [12, 158], [12, 175], [0, 175]], sections=48
    )
    handle = turned_about(trimesh.creation.torus(35, 8), (1, 0, 0), 90)
    handle.apply_translation([95, 0, 85])
    return union([body, handle])


def statue() -> trimesh.Trimesh:
    """Something turned on a lathe with bulges, narrowing to its head; 700 mm."""
    height = np.linspace(0, 700, 60)
    radius = (40 + 15 * np.sin(height / 60) + 10 * np.sin(height / 23)) * (1 - 0.35 * height / 700)
    radius[[0, -1]] = 0.0
    return revolve(np.column_stack([radius, height]), sections=48)


def eight() -> dict[str, trimesh.Trimesh]:
    """A cone of 800 mm in eight slices; their names say nothing about their order."""
    radius = np.linspace(70, 25, 9)
    return {name: frustum(radius[n], radius[n + 1], 100) for n, name in enumerate("hdbfgace")}


def piece(made: trimesh.Trimesh, scale: float = MM) -> Repaired:
    """A mesh as a piece, in metres."""
    return repaired(Mesh(vertices_m=np.array(made.vertices) * scale, faces=np.array(made.faces)))
