"""Twelve odd shapes as meshes, tip at x = 0, and what may be done to them without changing them."""

from collections.abc import Callable

import numpy as np
import trimesh

from finial.shape.mesh import Mesh


def _up(mesh: trimesh.Trimesh) -> trimesh.Trimesh:
    """Turn z up the vehicle into x forward, and set the tip at x = 0."""
    turned = np.column_stack([mesh.vertices[:, 2], mesh.vertices[:, 0], mesh.vertices[:, 1]])
    turned[:, 0] -= turned[:, 0].max()
    return trimesh.Trimesh(turned, mesh.faces, process=False)


def _together(*pieces: trimesh.Trimesh) -> trimesh.Trimesh:
    return _up(trimesh.util.concatenate(list(pieces)))


def _box(size: tuple[float, float, float], at: tuple[float, float, float]) -> trimesh.Trimesh:
    made = trimesh.creation.box(size)
    made.apply_translation(at)
    return made


def _prism(outline: np.ndarray, height: float) -> trimesh.Trimesh:
    from shapely.geometry import Polygon

    return trimesh.creation.extrude_polygon(Polygon(outline), height)


def _ring(points: int, radius: float) -> np.ndarray:
    angles = 2 * np.pi * np.arange(points) / points
    return radius * np.column_stack([np.cos(angles), np.sin(angles)])


def _turned(profile: list[tuple[float, float]]) -> trimesh.Trimesh:
    """Body of revolution from (radius, height) points, base first."""
    return trimesh.creation.revolve(np.array(profile), sections=48)


def arch() -> trimesh.Trimesh:
    legs = [_box((0.06, 0.1, 0.6), (side, 0.0, 0.3)) for side in (-0.08, 0.08)]
    return _together(*legs, _box((0.22, 0.1, 0.15), (0.0, 0.0, 0.65)))


def cross() -> trimesh.Trimesh:
    return _together(_box((0.3, 0.1, 0.7), (0, 0, 0.35)), _box((0.1, 0.3, 0.7), (0, 0, 0.35)))


def star() -> trimesh.Trimesh:
    outline = _ring(10, 1.0) * np.where(np.arange(10) % 2, 0.06, 0.14)[:, None]
    return _up(_prism(outline, 0.8))


def tilted_tower() -> trimesh.Trimesh:
    tower = _prism(_ring(8, 0.07), 0.9)
    tower.vertices[:, 0] += 0.07 * tower.vertices[:, 2]
    return _up(tower)


def teapot() -> trimesh.Trimesh:
    pot = trimesh.creation.icosphere(subdivisions=3, radius=0.12)
    pot.apply_translation((0, 0, 0.12))
    spout = trimesh.creation.cylinder(0.02, segment=[[0.08, 0.0, 0.10], [0.2, 0.0, 0.24]], sections=16)
    lid = trimesh.creation.icosphere(subdivisions=2, radius=0.025)
    lid.apply_translation((0, 0, 0.25))
    return _together(pot, spout, lid)


def bottle() -> trimesh.Trimesh:
    rounded = [(0.015 + 0.035 * np.cos(a), 0.45 + 0.1 * np.sin(a)) for a in np.linspace(0, np.pi / 2, 9)]
    return _up(_turned([(0, 0), (0.05, 0), *rounded, (0.015, 0.65), (0, 0.65)]))


def blob() -> trimesh.Trimesh:
    """Head on shoulders on a base, all off the axis: a statue as a sculptor's first sketch."""
    made = []
    for radius, stretch, at in (
        (0.07, 1.2, (0.0, 0.01, 0.5)),
        (0.13, 1.3, (0.02, 0.0, 0.32)),
        (0.16, 1.0, (-0.01, 0.02, 0.16)),
    ):
        ball = trimesh.creation.icosphere(subdivisions=3, radius=radius)
        ball.vertices *= [1.0, 0.8, stretch]
        ball.apply_translation(at)
        made.append(ball)
    return _together(*made)


def twin_towers() -> trimesh.Trimesh:
    return _together(
        _box((0.08, 0.08, 0.8), (-0.09, 0, 0.5)),
        _box((0.08, 0.08, 0.8), (0.09, 0, 0.5)),
        _box((0.3, 0.14, 0.1), (0, 0, 0.05)),
    )


def cone() -> trimesh.Trimesh:
    return _up(trimesh.creation.cone(0.1, 0.5, sections=64))


def cube() -> trimesh.Trimesh:
    return _up(trimesh.creation.box((0.2, 0.2, 0.2)))


def pyramid() -> trimesh.Trimesh:
    return _up(trimesh.creation.cone(0.15, 0.4, sections=4))


def pencil() -> trimesh.Trimesh:
    point = trimesh.creation.cone(0.05, 0.15, sections=6)
    point.apply_translation((0, 0, 0.7))
    return _together(_prism(_ring(6, 0.05), 0.7), point)


SHAPES: dict[str, Callable[[], trimesh.Trimesh]] = {
    "arch": arch,
    "cross": cross,
    "star": star,
    "tilted tower": tilted_tower,
    "teapot": teapot,
    "bottle": bottle,
    "statue": blob,
    "twin towers": twin_towers,
    "cone": cone,
    "cube": cube,
    "pyramid": pyramid,
    "pencil": pencil,
}


def mesh_of(made: trimesh.Trimesh) -> Mesh:
    return Mesh(vertices_m=made.vertices, faces=made.faces)


def refined(made: trimesh.Trimesh) -> trimesh.Trimesh:
    """Each triangle in four."""
    return trimesh.Trimesh(*trimesh.remesh.subdivide(made.vertices, made.faces), process=False)


def rolled(made: trimesh.Trimesh, turn_rad: float) -> trimesh.Trimesh:
    turn = trimesh.transformations.rotation_matrix(turn_rad, [1, 0, 0])
    return trimesh.Trimesh(trimesh.transform_points(made.vertices, turn), made.faces, process=False)


def mirrored(made: trimesh.Trimesh) -> trimesh.Trimesh:
    return trimesh.Trimesh(made.vertices * [1, 1, -1], made.faces[:, ::-1], process=False)


def split(made: trimesh.Trimesh) -> list[trimesh.Trimesh]:
    """Fore and aft half, cut where nothing else ends, each piece of the shape by itself."""
    at = 0.437 * made.vertices[:, 0].min()
    halves = []
    for normal in ([1.0, 0.0, 0.0], [-1.0, 0.0, 0.0]):
        pieces = [
            trimesh.intersections.slice_mesh_plane(piece, normal, [at, 0.0, 0.0], cap=True)
            for piece in trimesh.Trimesh(made.vertices, made.faces, process=True).split(only_watertight=False)
        ]
        halves.append(trimesh.util.concatenate([piece for piece in pieces if len(piece.faces)]))
    return halves
