"""Outlines and profiles that tests draw bodies of."""

import numpy as np
from numpy.typing import NDArray


def rounded_square(width_m: float, corner_radius_m: float, per_corner: int = 12) -> NDArray[np.float64]:
    """Square, its corners quarter circles of so many points each, counter-clockwise [m]."""
    turn = np.linspace(0.0, np.pi / 2, per_corner)
    arc = corner_radius_m * np.column_stack([np.cos(turn), np.sin(turn)]) + width_m / 2 - corner_radius_m
    quarter = np.array([[0.0, 1.0], [-1.0, 0.0]])
    return np.concatenate([arc @ np.linalg.matrix_power(quarter, k) for k in range(4)])


def dome_profile(across_m: float, points: int = 40) -> list[tuple[float, float]]:
    """Half a sphere, tip first: station and diameter of each corner [m], closest together at the tip."""
    share = 1.0 - np.cos(np.linspace(0.0, np.pi / 2, points))
    across = across_m * np.sqrt(1.0 - (1.0 - share) ** 2)
    return list(zip((across_m / 2 * share).tolist(), across.tolist(), strict=True))
