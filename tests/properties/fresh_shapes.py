"""Seventeen shapes made for one question, whether their bands jump: z up the vehicle, then tip at x = 0."""

from collections.abc import Callable

import numpy as np
import trimesh

Place = tuple[float, float, float]


def _upright(*pieces: trimesh.Trimesh) -> trimesh.Trimesh:
    whole = trimesh.util.concatenate(list(pieces))
    points = whole.vertices[:, [2, 0, 1]]
    return trimesh.Trimesh(points - [points[:, 0].max(), 0.0, 0.0], whole.faces, process=False)


def _box(size: Place, at: Place) -> trimesh.Trimesh:
    made = trimesh.creation.box(size)
    made.apply_translation(at)
    return made


def _rod(radius: float, height: float, at: Place) -> trimesh.Trimesh:
    made = trimesh.creation.cylinder(radius=radius, height=height, sections=32)
    made.apply_translation(at)
    return made


def _ball(size: Place, at: Place) -> trimesh.Trimesh:
    made = trimesh.creation.icosphere(subdivisions=3, radius=1.0)
    made.apply_scale(size)
    made.apply_translation(at)
    return made


def _turned(made: trimesh.Trimesh, degrees: float, axis: Place) -> trimesh.Trimesh:
    made.apply_transform(trimesh.transformations.rotation_matrix(np.radians(degrees), axis))
    return made


def _moved(made: trimesh.Trimesh, at: Place) -> trimesh.Trimesh:
    made.apply_translation(at)
    return made


def _hull(points: list[Place]) -> trimesh.Trimesh:
    return trimesh.convex.convex_hull(np.array(points))


def _tier(sides: int, below: float, above: float, height: float, at: float, turn: float) -> trimesh.Trimesh:
    angles = 2 * np.pi * np.arange(sides) / sides + turn
    ring = np.column_stack([np.cos(angles), np.sin(angles)])
    return trimesh.convex.convex_hull(
        np.vstack(
            [np.column_stack([r * ring, np.full(sides, z)]) for r, z in ((below, at), (above, at + height))]
        )
    )


def _gable(wide: float, deep: float, high: float, at: Place) -> trimesh.Trimesh:
    floor = [(x, y, 0.0) for x in (-wide / 2, wide / 2) for y in (-deep / 2, deep / 2)]
    return _moved(_hull([*floor, (-wide / 2, 0.0, high), (wide / 2, 0.0, high)]), at)


def _revolved(*profile: tuple[float, float]) -> trimesh.Trimesh:
    return trimesh.creation.revolve(np.array(profile), sections=48)


def church() -> trimesh.Trimesh:
    spire = _moved(_tier(4, 0.0707, 0.0005, 0.14, 0.42, np.pi / 4), (-0.16, 0.0, 0.0))
    nave = _box((0.24, 0.12, 0.2), (0.0, 0.0, 0.1)), _gable(0.24, 0.12, 0.08, (0.0, 0.0, 0.2))
    return _upright(*nave, _box((0.1, 0.1, 0.42), (-0.16, 0.0, 0.21)), spire)


def windmill() -> trimesh.Trimesh:
    blades = [
        _moved(
            _turned(_box((0.04, 0.006, 0.22), (0.0, -0.085, 0.12)), turn, (0.0, 1.0, 0.0)), (0.0, 0.0, 0.36)
        )
        for turn in (20.0, 110.0, 200.0, 290.0)
    ]
    cap = _revolved((0, 0.4), (0.075, 0.4), (0.06, 0.44), (0, 0.46))
    return _upright(_tier(8, 0.1, 0.07, 0.4, 0.0, 0.0), cap, *blades)


def cactus() -> trimesh.Trimesh:
    arms = [
        _box((0.12, 0.05, 0.05), (0.09, 0.0, 0.2)),
        _rod(0.028, 0.2, (0.14, 0.0, 0.28)),
        _box((0.1, 0.05, 0.05), (-0.08, 0.0, 0.28)),
        _rod(0.028, 0.14, (-0.12, 0.0, 0.33)),
    ]
    return _upright(_rod(0.05, 0.5, (0.0, 0.0, 0.25)), _ball((0.05, 0.05, 0.05), (0.0, 0.0, 0.5)), *arms)


def chair() -> trimesh.Trimesh:
    legs = [_box((0.025, 0.025, 0.22), (x, y, 0.11)) for x in (-0.085, 0.085) for y in (-0.085, 0.085)]
    return _upright(
        _box((0.2, 0.2, 0.03), (0.0, 0.0, 0.22)), _box((0.2, 0.025, 0.26), (0.0, 0.0875, 0.36)), *legs
    )


def key() -> trimesh.Trimesh:
    bow = _turned(_rod(0.07, 0.02, (0.0, 0.0, 0.0)), 90.0, (1.0, 0.0, 0.0))
    teeth = _box((0.05, 0.02, 0.03), (0.035, 0.0, 0.3)), _box((0.04, 0.02, 0.03), (0.03, 0.0, 0.24))
    return _upright(bow, _box((0.03, 0.02, 0.3), (0.0, 0.0, 0.19)), *teeth)


def bulb() -> trimesh.Trimesh:
    base = (0, 0), (0.012, 0), (0.026, 0.02), (0.026, 0.06), (0.03, 0.075)
    glass = (0.058, 0.13), (0.06, 0.15), (0.055, 0.18), (0.04, 0.2), (0.02, 0.208), (0, 0.21)
    return _upright(_revolved(*base, *glass))


def castle() -> trimesh.Trimesh:
    merlons = [
        _box((0.03, 0.03, 0.04), (0.085 * np.cos(turn), 0.085 * np.sin(turn), 0.42))
        for turn in np.arange(8) * np.pi / 4
    ]
    keep = _revolved((0, 0), (0.1, 0), (0.085, 0.05), (0.08, 0.35), (0.1, 0.37), (0.1, 0.4), (0, 0.4))
    return _upright(keep, *merlons)


def temple() -> trimesh.Trimesh:
    storeys = [
        piece
        for level in range(3)
        for piece in (
            _box((0.16 - 0.03 * level, 0.16 - 0.03 * level, 0.1), (0.0, 0.0, 0.05 + 0.14 * level)),
            _tier(4, 0.17 - 0.03 * level, 0.06 - 0.01 * level, 0.05, 0.1 + 0.14 * level, np.pi / 4),
        )
    ]
    return _upright(*storeys, _tier(12, 0.01, 0.001, 0.1, 0.43, 0.0))


def barrel_roof() -> trimesh.Trimesh:
    roof = _moved(_turned(_rod(0.08, 0.3, (0.0, 0.0, 0.0)), 90.0, (0.0, 1.0, 0.0)), (0.0, 0.0, 0.2))
    return _upright(_box((0.3, 0.16, 0.2), (0.0, 0.0, 0.1)), roof)


def stacked_nuts() -> trimesh.Trimesh:
    return _upright(
        *(
            _moved(_tier(6, 0.07, 0.07, 0.05, 0.0, np.radians(13.0 * k)), (0.004 * k, 0.0, 0.05 * k))
            for k in range(7)
        )
    )


def cheese() -> trimesh.Trimesh:
    floor = [(-0.1, -0.1, 0.0), (-0.1, 0.1, 0.0), (0.15, 0.0, 0.0)]
    return _upright(_hull([*floor, (-0.1, -0.1, 0.15), (-0.1, 0.1, 0.15), (0.15, 0.0, 0.08)]))


def shed() -> trimesh.Trimesh:
    ends = (-0.12, 0.0), (0.12, 0.0), (-0.12, 0.3), (0.12, 0.22)
    return _upright(_hull([(x, y, z) for x in (-0.1, 0.1) for y, z in ends]))


def rounded_box() -> trimesh.Trimesh:
    ball = trimesh.creation.icosphere(subdivisions=3, radius=0.03).vertices
    corners = [[x, y, z] for x in (-0.07, 0.07) for y in (-0.05, 0.05) for z in (0.03, 0.33)]
    return _upright(trimesh.convex.convex_hull(np.concatenate([ball + corner for corner in corners])))


def guitar() -> trimesh.Trimesh:
    bouts = [
        _moved(_turned(_rod(radius, 0.05, (0.0, 0.0, 0.0)), 90.0, (1.0, 0.0, 0.0)), (0.0, 0.0, at))
        for radius, at in ((0.11, 0.11), (0.085, 0.26))
    ]
    return _upright(
        *bouts, _box((0.03, 0.02, 0.35), (0.0, -0.01, 0.48)), _box((0.05, 0.015, 0.1), (0.0, -0.01, 0.68))
    )


def twisted_tower() -> trimesh.Trimesh:
    """A square turned by a right angle over its height."""
    levels = 25
    corners = np.array([[1.0, 1.0], [-1.0, 1.0], [-1.0, -1.0], [1.0, -1.0]]) * 0.06
    points = [
        (*(corner @ [[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]]), at)
        for turn, at in zip(np.linspace(0, np.pi / 2, levels), np.linspace(0, 0.7, levels), strict=True)
        for corner in corners
    ]
    faces = [[0, 2, 1], [0, 3, 2]]
    for low in range(0, 4 * (levels - 1), 4):
        for side in range(4):
            one, two = low + side, low + (side + 1) % 4
            faces += [[one, two, two + 4], [one, two + 4, one + 4]]
    top = 4 * (levels - 1)
    faces += [[top, top + 1, top + 2], [top, top + 2, top + 3]]
    return _upright(trimesh.Trimesh(np.array(points), np.array(faces), process=False))


def fish() -> trimesh.Trimesh:
    tail = [
        (x, y, z)
        for x, z in ((-0.02, 0.08), (0.02, 0.08), (-0.09, 0.0), (0.09, 0.0))
        for y in (-0.004, 0.004)
    ]
    fin = [(x, y, z) for x, z in ((0.05, 0.2), (0.12, 0.16), (0.05, 0.3)) for y in (-0.003, 0.003)]
    return _upright(_ball((0.08, 0.035, 0.17), (0.0, 0.0, 0.22)), _hull(tail), _hull(fin))


def block_on_edge() -> trimesh.Trimesh:
    return _upright(_turned(_box((0.2, 0.2, 0.2), (0.0, 0.0, 0.0)), 45.0, (1.0, 0.0, 0.0)))


SHAPES: dict[str, Callable[[], trimesh.Trimesh]] = {
    "church": church,
    "windmill": windmill,
    "cactus": cactus,
    "chair": chair,
    "key": key,
    "bulb": bulb,
    "castle": castle,
    "temple": temple,
    "barrel roof": barrel_roof,
    "stacked nuts": stacked_nuts,
    "cheese": cheese,
    "shed": shed,
    "rounded box": rounded_box,
    "guitar": guitar,
    "twisted tower": twisted_tower,
    "fish": fish,
    "block on edge": block_on_edge,
}
