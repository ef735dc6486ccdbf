"""Air solvers against finer copies of themselves and against exact limits."""

import numpy as np
import pytest

from finial.aero.plates.lattice import lattice_lift
from finial.aero.sections.added_mass import added_mass_tensor
from finial.aero.sections.outlines import ellipse, regular_polygon
from finial.aero.steps.double_body import added_mass_of_pair, moment_relief

SQUARE_RADIUS = 1.18844  # added mass over side squared, from memory of Newman, 1977


def orders(errors: list[float]) -> np.ndarray:
    return np.log2(np.abs(np.array(errors[:-1]) / np.array(errors[1:])))


def test_circle_converges_with_the_square_of_the_panels() -> None:
    circle = ellipse(1.0, 1.0, 2880)
    errors = [added_mass_tensor([circle], panels=n)[0, 0] / np.pi - 1 for n in (24, 48, 96)]
    assert np.all(orders(errors) > 1.7)


def test_square_converges_although_its_sheet_is_infinite_at_the_corners() -> None:
    square = regular_polygon(4, 1.0, 0.3)
    errors = [added_mass_tensor([square], panels=n)[0, 0] / SQUARE_RADIUS - 1 for n in (24, 48, 96)]
    assert np.all(orders(errors) > 1.2)
    assert abs(errors[-1]) < 5e-4


def test_plate_converges_faster_than_evenly_spaced_panels_would() -> None:
    plate = np.array([[-1.0, 0.0], [1.0, 0.0]])
    errors = [added_mass_tensor([], [plate], plate_panels=n)[1, 1] / np.pi - 1 for n in (6, 12, 24)]
    assert np.all(orders(errors) > 1.7)


def test_lattice_converges_to_the_square_plate() -> None:
    # 1.460227: Tuck, J. Austral. Math. Soc. B 35, 1993, from memory.
    square = np.array([[0.0, 0.0], [0.0, 0.5], [1.0, 0.5], [1.0, 0.0]])
    errors = [lattice_lift(square, across=n, along=n).slope_per_rad / 1.460227 - 1 for n in (4, 8, 16)]
    assert np.all(orders(errors) > 0.9)
    assert abs(errors[-1]) < 1e-3


def lamb(fineness: float) -> tuple[float, float]:
    """Added mass of a prolate spheroid over its volume, across and along: Lamb, article 114."""
    e = np.sqrt(1 - 1 / fineness**2)
    log = np.log((1 + e) / (1 - e))
    along = 2 * (1 - e**2) / e**3 * (log / 2 - e)
    across = 1 / e**2 - (1 - e**2) / (2 * e**3) * log
    return across / (2 - across), along / (2 - along)


@pytest.mark.parametrize("fineness", [2.0, 4.0, 8.0])
def test_ring_sources_give_lambs_spheroids(fineness: float) -> None:
    turn = np.linspace(0.0, np.pi / 2, 90)
    corners = np.column_stack([-fineness * np.cos(turn), np.sin(turn)])
    volume = 4 / 3 * np.pi * fineness
    across, along = (mass / volume for mass in added_mass_of_pair(corners))
    assert across == pytest.approx(lamb(fineness)[0], abs=2e-3)
    assert along == pytest.approx(lamb(fineness)[1], abs=2e-3)


def test_relief_of_a_cone_converges_and_vanishes_for_slender_ones() -> None:
    shifts = {}
    for fineness in (3.0, 8.0, 24.0):
        coarse, fine = (
            moment_relief(np.array([0.0, fineness]), np.array([0.0, 0.5]), panels=n) / (np.pi / 2)
            for n in (40, 160)
        )
        assert coarse == pytest.approx(fine, abs=0.012)
        shifts[fineness] = fine
    assert shifts[3.0] > shifts[8.0] > shifts[24.0] > 0


def test_relief_of_a_stepped_tower_has_converged() -> None:
    # Faces and ledges: with middles of panels alone 110 of them were 10 per cent short of 800.
    profile = [
        (0, 0),
        (1.2, 0.65),
        (1.2, 0.55),
        (2.2, 0.55),
        (2.2, 0.8),
        (2.4, 0.8),
        (3.64, 0.59),
        (9.4, 0.65),
    ]
    stations, radii = np.array(profile).T
    usual, fine = moment_relief(stations, radii), moment_relief(stations, radii, panels=260)
    assert usual == pytest.approx(fine, rel=0.02)
    tube = np.array([0.0, 0.0, 8.0]), np.array([0.0, 1.0, 1.0])
    assert moment_relief(*tube) == pytest.approx(moment_relief(*tube, panels=260), rel=2e-3)
    # A stub of half a hundredth of the width at the base.
    stub = np.append(stations, [9.4, 9.405]), np.append(radii, [0.648, 0.646])
    assert moment_relief(*stub) == pytest.approx(usual, rel=5e-3)


def triangles(fineness: float, rings: int, around: int) -> np.ndarray:
    """Square pyramid of side 1 and its mirror image, as triangles, shape (n, 3, 3)."""
    quarter = around // 4
    edge = (1 - np.cos(np.pi * np.arange(quarter) / quarter)) / 2 - 0.5
    half = np.full(quarter, 0.5)
    outline = np.concatenate([np.c_[half, edge], np.c_[-edge, half], np.c_[-half, -edge], np.c_[edge, -half]])
    x = -(1 + np.cos(np.pi * np.arange(rings + 1) / rings)) / 2
    stations = fineness * np.concatenate([x, -x[::-1][1:]])
    size = np.maximum(1 - np.abs(stations) / fineness, 1e-4)
    grid = np.concatenate(
        [
            np.broadcast_to(stations[:, None, None], (len(stations), around, 1)),
            size[:, None, None] * outline,
        ],
        axis=2,
    )
    a, b = grid[:-1], np.roll(grid[:-1], -1, axis=1)
    d, c = grid[1:], np.roll(grid[1:], -1, axis=1)
    faces = np.concatenate([np.stack([a, b, c], 2), np.stack([a, c, d], 2)]).reshape(-1, 3, 3)
    area = np.linalg.norm(np.cross(faces[:, 1] - faces[:, 0], faces[:, 2] - faces[:, 0]), axis=1)
    return faces[area > 1e-10]


def quartered(faces: np.ndarray) -> np.ndarray:
    """Split every triangle in four; the parts of one triangle stand ``len(faces)`` apart."""
    a, b, c = (faces[:, k] for k in range(3))
    ab, bc, ca = (a + b) / 2, (b + c) / 2, (c + a) / 2
    return np.concatenate(
        [np.stack(corner, 1) for corner in ((a, ab, ca), (ab, b, bc), (ca, bc, c), (ab, bc, ca))]
    )


def panel_added_mass(faces: np.ndarray) -> np.ndarray:
    """Added mass per density by plane source panels in three dimensions: an independent solver."""
    cross = np.cross(faces[:, 1] - faces[:, 0], faces[:, 2] - faces[:, 0])
    area = np.linalg.norm(cross, axis=1) / 2
    normal, centre = cross / (2 * area[:, None]), faces.mean(axis=1)
    if np.sum(centre * normal * area[:, None]) < 0:
        normal = -normal
    wash = np.eye(len(faces)) / 2
    for i in range(len(faces)):
        reach = np.linalg.norm(centre[i] - centre, axis=1)
        near = (reach < 3 * np.sqrt(area)) & (reach > 0)
        far = ~near & (reach > 0)
        wash[i, far] += area[far] * ((centre[i] - centre[far]) @ normal[i]) / (4 * np.pi * reach[far] ** 3)
        parts = quartered(quartered(faces[near]))
        middle, piece = parts.mean(axis=1), np.tile(area[near] / 16, 16)
        gap = centre[i] - middle
        pull = piece * (gap @ normal[i]) / (4 * np.pi * np.linalg.norm(gap, axis=1) ** 3)
        wash[i, near] += pull.reshape(16, -1).sum(axis=0)
    source = np.linalg.solve(wash, normal)
    volume = np.sum(centre * normal * area[:, None]) / 3
    return np.einsum("ni,nj,n->ij", source, centre, area) - volume * np.eye(3)


def test_rings_stand_for_a_square_pyramid() -> None:
    """Real panels on the pyramid against rings of its added mass: centre within 0.06 widths."""
    fineness = 3.0
    tensor = panel_added_mass(triangles(fineness, 14, 24))
    munk = tensor[1, 1] - tensor[0, 0]
    by_panels = fineness - munk / (2 * SQUARE_RADIUS)
    radius = np.sqrt(SQUARE_RADIUS / np.pi)
    by_rings = 2.0 + moment_relief(np.array([0.0, 3.0]), np.array([0.0, radius])) / (2 * SQUARE_RADIUS)
    assert by_rings == pytest.approx(by_panels, abs=0.06)
    assert by_panels > 2.1
