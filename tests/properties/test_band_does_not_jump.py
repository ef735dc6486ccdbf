"""A mesh that leans by a fifth of a degree, a chamfer, a stub: the pressure band moves a little."""

from collections.abc import Callable
from functools import cache
from itertools import pairwise

import numpy as np
import pytest

from finial.aero.band.band import pressure_band
from finial.aero.body import BodyAir, body_air
from finial.aero.fins.on_body import fin_air
from finial.shape.fin_set import FinSet
from finial.shape.mesh import Mesh
from finial.shape.sections import slice_skin
from finial.shape.tiers import Tier, tiers_mesh

ANGLES = np.radians([0.0, 5.0, 10.0])
ROLLS = np.radians(np.arange(0.0, 360.0, 30.0))
ALLOWED = 0.02
"""Widths that each end may move per tenth of a degree, and with what is cut or added."""


def mesh(name: str, *below: Tier) -> Mesh:
    """An invented box with a roof edge, a bare cube, a stepped round tower, a bell; tiers under its base."""
    tiers = {
        # Lowest tier first.
        "box": [
            Tier(sides=4, across_m=0.23, across_top_m=0.23, height_m=0.48),
            Tier(sides=4, across_m=0.236, across_top_m=0.236, height_m=0.06),
            Tier(sides=4, across_m=0.2, across_top_m=0.19, height_m=0.06),
        ],
        "cube": [Tier(sides=4, across_m=0.2, across_top_m=0.2, height_m=0.2)],
        "tower": [
            Tier(sides=0, across_m=0.13, across_top_m=0.11, height_m=0.7),
            Tier(sides=0, across_m=0.16, across_top_m=0.16, height_m=0.02),
            Tier(sides=0, across_m=0.11, across_top_m=0.11, height_m=0.1),
            Tier(sides=0, across_m=0.13, across_top_m=0.0, height_m=0.12),
        ],
        "bell": [
            Tier(sides=0, across_m=0.2, across_top_m=0.15, height_m=0.1),
            Tier(sides=0, across_m=0.15, across_top_m=0.02, height_m=0.3),
        ],
    }
    return tiers_mesh([*below, *tiers[name]])


def tilted(shape: Mesh, degrees: float, about: float = 0.3) -> Mesh:
    """Lean a mesh about an axis across it, and set its tip to station 0 again."""
    turn = np.radians(degrees)
    axis = np.array([0.0, np.cos(about), np.sin(about)])
    points = shape.vertices_m
    along = np.cross(axis, points)
    leaning = (
        points * np.cos(turn) + along * np.sin(turn) + np.outer(points @ axis, axis) * (1 - np.cos(turn))
    )
    leaning[:, 0] -= leaning[:, 0].max()
    return Mesh(vertices_m=leaning, faces=shape.faces)


def fins_at_base(length: float, radius: float) -> FinSet:
    chord = 0.6 * radius * 2
    outline = np.array([[0.0, 0.0], [0.4 * chord, radius], [chord, radius], [chord, 0.0]])
    return FinSet(
        name="fins", outline_m=outline, station_m=length - chord, root_radius_m=radius, count=4,
        first_at_rad=0.0, thickness_m=0.004,
    )  # fmt: skip


def ends(body: BodyAir, finned: FinSet | None) -> np.ndarray:
    """Both ends and the middle of the band in widths, worst roll of each."""
    fins = () if finned is None else fin_air(body, [finned])
    band = pressure_band(body, fins, ANGLES, ROLLS)
    places = band.forward_m.min(axis=1), band.central_m.mean(axis=1), band.aft_m.max(axis=1)
    return np.array(places) / body.width_m


@cache
def straight(name: str) -> tuple[np.ndarray, np.ndarray]:
    return both_ends(mesh(name), name)


def base_of(name: str) -> Tier:
    """Outline of a shape's base."""
    return {
        "box": Tier(sides=4, across_m=0.23, across_top_m=0.23, height_m=1.0),
        "cube": Tier(sides=4, across_m=0.2, across_top_m=0.2, height_m=1.0),
        "tower": Tier(sides=0, across_m=0.13, across_top_m=0.13, height_m=1.0),
        "bell": Tier(sides=0, across_m=0.2, across_top_m=0.2, height_m=1.0),
    }[name]


def chamfered(name: str, cut_m: float) -> Mesh:
    """The shape with so much of a chamfer of 45 degrees under its base."""
    base = base_of(name)
    across = base.across_m
    return mesh(
        name, Tier(sides=base.sides, across_m=across - 2 * cut_m, across_top_m=across, height_m=cut_m)
    )


def with_stub(name: str, out_m: float) -> Mesh:
    """The shape with a motor tube of 54 mm standing out of its base."""
    return mesh(name, Tier(sides=0, across_m=0.054, across_top_m=0.054, height_m=out_m))


def both_ends(shape: Mesh, name: str) -> tuple[np.ndarray, np.ndarray]:
    body = body_air(slice_skin([shape]))
    root = {"box": 0.115, "cube": 0.1, "tower": 0.065, "bell": 0.1}[name]
    length = float(-mesh(name).vertices_m[:, 0].min())
    return ends(body, None), ends(body, fins_at_base(length, root))


SHAPES = ("box", "cube", "tower", "bell")


@pytest.mark.parametrize("name", SHAPES)
@pytest.mark.parametrize("degrees", [0.05, 0.1, 0.2, 0.5])
def test_a_mesh_that_leans_a_little_keeps_its_band(name: str, degrees: float) -> None:
    for found, before in zip(both_ends(tilted(mesh(name), degrees), name), straight(name), strict=True):
        assert np.abs(found - before).max() < ALLOWED * max(degrees / 0.1, 1.0)


@pytest.mark.parametrize("name", SHAPES)
@pytest.mark.parametrize("degrees", [1.2, 1.4, 1.6, 1.8])
def test_it_goes_on_so_where_a_face_no_longer_counts_as_flat(name: str, degrees: float) -> None:
    for found, before in zip(both_ends(tilted(mesh(name), degrees), name), straight(name), strict=True):
        assert np.abs(found - before).max() < ALLOWED * degrees / 0.1


@pytest.mark.parametrize("name", SHAPES)
@pytest.mark.parametrize("alter", [chamfered, with_stub])
def test_a_chamfer_or_a_stub_moves_the_band_a_little_at_a_time(name: str, alter: Callable[..., Mesh]) -> None:
    before, cut = straight(name), 0.0
    for size in (0.0005, 0.001, 0.002, 0.003, 0.005):
        found = both_ends(alter(name, size), name)
        # A bare tower that ends in a boat tail of 5 mm really has its centre a seventh of a width farther
        # ahead, if the air follows: never more than six of its heights.
        allowed = ALLOWED + 6.0 * (size - cut) / base_of(name).across_m
        for one, other in zip(found, before, strict=True):
            assert np.abs(one - other).max() < allowed
        before, cut = found, size


@pytest.mark.parametrize("name", ["box", "tower"])
def test_finer_triangles_change_nothing(name: str) -> None:
    import trimesh

    shape = tilted(mesh(name), 0.1)
    points, faces = trimesh.remesh.subdivide(shape.vertices_m, shape.faces)
    for found, before in zip(
        both_ends(Mesh(vertices_m=points, faces=faces), name), both_ends(shape, name), strict=True
    ):
        assert np.abs(found - before).max() < ALLOWED


@pytest.mark.parametrize("name", SHAPES)
def test_a_tilt_moves_the_forward_end_continuously(name: str) -> None:
    steps = [both_ends(tilted(mesh(name), degrees), name) for degrees in np.arange(0.0, 0.31, 0.05)]
    for before, after in pairwise(steps):
        for one, other in zip(before, after, strict=True):
            assert np.abs(one - other).max() < ALLOWED


def roofed(name: str) -> Mesh:
    """An invented house with a ridge, and a block that ends in one; ridges across the axis."""
    ridge = np.array([[0.0, -0.1, 0.0], [0.0, 0.1, 0.0]])
    high, low = -0.1, -0.5
    square = [[y, z] for y in (-0.1, 0.1) for z in (-0.1, 0.1)]
    points = np.array(
        [*ridge, *([high, *corner] for corner in square), *([low, *corner] for corner in square)]
    )
    faces = [[0, 2, 3], [1, 5, 4], [0, 3, 5], [0, 5, 1], [0, 1, 4], [0, 4, 2]]
    faces += [[2, 6, 7], [2, 7, 3], [3, 7, 9], [3, 9, 5], [5, 9, 8], [5, 8, 4], [4, 8, 6], [4, 6, 2]]
    faces += [[6, 8, 9], [6, 9, 7]]
    if name == "chisel":
        points = points * [-1.0, 1.0, -1.0] + [low, 0.0, 0.0]
    return Mesh(vertices_m=points, faces=np.array(faces))


@pytest.mark.parametrize("name", ["house", "chisel"])
@pytest.mark.parametrize("degrees", [0.05, 0.1, 0.2])
def test_a_ridge_that_leans_a_little_is_a_ridge_still(name: str, degrees: float) -> None:
    # Cut amid it, it was a point: the ends moved by up to a third of a width.
    straight_up, leaning = (
        ends(body_air(slice_skin([tilted(roofed(name), by)])), None) for by in (0.0, degrees)
    )
    assert np.abs(leaning - straight_up).max() < ALLOWED * max(degrees / 0.1, 1.0)
