"""Shapes as people print them, not towers: bands of their own size, and none that jumps as they lean."""

from collections.abc import Callable

import numpy as np
import pytest
import trimesh

from finial.aero.band.band import PressureBand, pressure_band
from finial.aero.body import body_air
from finial.shape.mesh import Mesh
from finial.shape.sections import slice_skin

ANGLES, ROLLS = np.radians([0.0, 5.0, 10.0, 20.0]), np.radians(np.arange(0.0, 360.0, 45.0))
Place = tuple[float, float, float]


def ball(size: Place, at: Place = (0.0, 0.0, 0.0)) -> trimesh.Trimesh:
    made = trimesh.creation.icosphere(subdivisions=3, radius=1.0)
    made.apply_scale(size)
    made.apply_translation(at)
    return made


def rod(radius: float, height: float, at: Place) -> trimesh.Trimesh:
    made = trimesh.creation.cylinder(radius=radius, height=height, sections=24)
    made.apply_translation(at)
    return made


def box(size: Place, at: Place) -> trimesh.Trimesh:
    made = trimesh.creation.box(size)
    made.apply_translation(at)
    return made


def turned(*profile: tuple[float, float]) -> list[trimesh.Trimesh]:
    """Body of revolution from (radius, height) points, base first."""
    return [trimesh.creation.revolve(np.array(profile), sections=48)]


def dog() -> list[trimesh.Trimesh]:
    legs = [rod(0.02, 0.15, (x, y, -0.15)) for x in (-0.05, 0.05) for y in (-0.05, 0.05)]
    return [ball((0.08, 0.08, 0.16)), ball((0.07, 0.07, 0.07), (0.03, 0.0, 0.2)), *legs]


def fish() -> list[trimesh.Trimesh]:
    return [ball((0.035, 0.1, 0.2)), box((0.01, 0.2, 0.1), (0.0, 0.0, -0.2))]


def head() -> list[trimesh.Trimesh]:
    nose = ball((0.025, 0.025, 0.025), (0.08, 0.0, 0.0))
    return [ball((0.08, 0.1, 0.12)), rod(0.05, 0.12, (0.0, 0.0, -0.13)), nose]


def snowman() -> list[trimesh.Trimesh]:
    return [
        ball((size, size, size), (0.0, 0.0, height))
        for size, height in ((0.05, 0.33), (0.075, 0.22), (0.1, 0.08))
    ]


def goblet() -> list[trimesh.Trimesh]:
    return turned(
        (0, 0), (0.08, 0), (0.08, 0.01), (0.015, 0.03), (0.015, 0.15), (0.07, 0.2), (0.08, 0.3), (0, 0.3)
    )


def vase() -> list[trimesh.Trimesh]:
    return turned((0, 0), (0.05, 0), (0.1, 0.12), (0.04, 0.25), (0.06, 0.3), (0, 0.3))


def bowl() -> list[trimesh.Trimesh]:
    return turned((0, 0), (0.05, 0), (0.15, 0.1), (0.14, 0.1), (0.045, 0.01), (0, 0.01))


def plate() -> list[trimesh.Trimesh]:
    return [rod(0.15, 0.02, (0.0, 0.0, 0.0))]


def mushroom() -> list[trimesh.Trimesh]:
    return turned((0, 0), (0.04, 0), (0.035, 0.2), (0.12, 0.2), (0.1, 0.26), (0.05, 0.3), (0, 0.31))


SHAPES = (dog, fish, head, snowman, goblet, vase, bowl, plate, mushroom)


def band_of(pieces: list[trimesh.Trimesh], leaning_deg: float = 0.0) -> tuple[PressureBand, float]:
    """Band with moments about the middle, and the larger of the shape's length and width."""
    whole = trimesh.util.concatenate(pieces)
    points = whole.vertices[:, [2, 0, 1]]
    turn = np.radians(leaning_deg)
    lean = np.array([[np.cos(turn), np.sin(turn), 0.0], [-np.sin(turn), np.cos(turn), 0.0], [0.0, 0.0, 1.0]])
    points = points @ lean.T
    points[:, 0] -= points[:, 0].max()
    body = body_air(slice_skin([Mesh(vertices_m=points, faces=whole.faces)]))
    size = float(np.ptp(points, axis=0).max())
    return pressure_band(body, (), ANGLES, ROLLS, about_m=0.45 * body.length_m), size


@pytest.mark.parametrize("shape", SHAPES)
def test_a_band_is_no_longer_than_three_bodies(shape: Callable[[], list[trimesh.Trimesh]]) -> None:
    band, size = band_of(shape())
    assert np.isfinite(band.forward_m).all()
    assert np.isfinite(band.aft_m).all()
    assert (band.aft_m - band.forward_m).max() < 3.0 * size


@pytest.mark.parametrize("shape", [dog, snowman, plate, mushroom])
def test_it_keeps_its_band_as_it_leans_by_a_tenth_of_a_degree(
    shape: Callable[[], list[trimesh.Trimesh]],
) -> None:
    (straight, _), (leaning, _) = band_of(shape()), band_of(shape(), 0.1)
    for name in ("forward_m", "aft_m"):
        moved = getattr(leaning, name) - getattr(straight, name)
        # A dog whose cuts had run out before the lips of its legs were known moved by 0.07.
        assert np.abs(moved).max() < 0.02 * straight.width_m
