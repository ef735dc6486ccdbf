"""Thinning for the picture: fewer triangles, same outline."""

import numpy as np
import pytest

from finial.web.hull import thinned


def tube(around: int, along: int) -> tuple[np.ndarray, np.ndarray]:
    """An open tube of radius 0.1 m and length 1 m, two triangles a cell."""
    turn, station = np.meshgrid(np.linspace(0, 2 * np.pi, around, endpoint=False), np.linspace(0, 1, along))
    corners = np.stack([-station, 0.1 * np.cos(turn), 0.1 * np.sin(turn)], axis=-1).reshape(-1, 3)
    a = (np.arange(along - 1)[:, None] * around + np.arange(around)[None, :]).ravel()
    b = (np.arange(along - 1)[:, None] * around + (np.arange(around) + 1)[None, :] % around).ravel()
    return corners, np.vstack(
        [np.column_stack([a, b, b + around]), np.column_stack([a, b + around, a + around])]
    )


def test_a_small_mesh_stays_as_it_is() -> None:
    corners, faces = tube(12, 5)
    thin = thinned(corners, faces, most_faces=96)
    assert thin[0] is corners
    assert thin[1] is faces


def test_a_large_mesh_is_thinned_and_keeps_its_size() -> None:
    corners, faces = tube(400, 300)
    vertices, kept = thinned(corners, faces, most_faces=20_000)
    assert 5_000 < len(kept) <= 20_000
    assert kept.max() < len(vertices)
    assert np.ptp(vertices, axis=0) == pytest.approx(np.ptp(corners, axis=0), rel=0.02)
    radii = np.hypot(vertices[:, 1], vertices[:, 2])
    # A corner moves by less than a cell; the cells here stay below 15 mm.
    assert radii == pytest.approx(0.1, abs=0.015)
    a, b, c = kept.T
    assert not ((a == b) | (b == c) | (c == a)).any()


def test_a_thinned_mesh_has_nearly_as_many_triangles_as_it_may() -> None:
    corners, faces = tube(400, 300)
    for most in (50_000, 5_000):
        assert 0.6 * most < len(thinned(corners, faces, most_faces=most)[1]) <= most


def test_area_survives_thinning() -> None:
    corners, faces = tube(400, 300)
    vertices, kept = thinned(corners, faces, most_faces=20_000)
    sides = vertices[kept[:, 1:]] - vertices[kept[:, :1]]
    area = np.linalg.norm(np.cross(sides[:, 0], sides[:, 1]), axis=1).sum() / 2
    # 2 pi r l; a few per cent go into the ends and the coarser outline.
    assert area == pytest.approx(2 * np.pi * 0.1, rel=0.05)
