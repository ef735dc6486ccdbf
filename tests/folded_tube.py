"""A tube of 90 mm that folds back through itself, as a careless scan or sweep does."""

import numpy as np
from numpy.typing import NDArray

from finial.shape.mesh import Mesh

_S = np.linspace(0.0, 1.0, 120)
FOLDED_M = np.column_stack(
    [0.06 * np.sin(4 * np.pi * _S), 0.0 * _S, 0.7 * _S + 0.12 * np.sin(6 * np.pi * _S)]
)
"""Its middle line [m]."""
_ROUND, _RADIUS_M = 24, 0.045


def bent_tube(middle_m: NDArray[np.float64]) -> Mesh:
    """A tube round a line in the plane y = 0, closed by flat lids."""
    along = np.gradient(middle_m, axis=0)
    along = along / np.linalg.norm(along, axis=1)[:, None]
    aside = np.cross(along, (0.0, 1.0, 0.0))
    turn = np.arange(_ROUND) * 2 * np.pi / _ROUND
    ring = np.cos(turn)[None, :, None] * aside[:, None] - np.sin(turn)[None, :, None] * np.array(
        [0.0, 1.0, 0.0]
    )
    points = (middle_m[:, None] + _RADIUS_M * ring).reshape(-1, 3)
    grid = np.arange(len(points)).reshape(-1, _ROUND)
    after = np.roll(grid, -1, axis=1)
    a, b, c, d = grid[:-1], after[:-1], after[1:], grid[1:]
    ends = len(points), len(points) + 1
    faces = np.concatenate(
        [
            np.stack([a, b, d], -1).reshape(-1, 3),
            np.stack([b, c, d], -1).reshape(-1, 3),
            np.stack([np.full(_ROUND, ends[0]), after[0], grid[0]], -1),
            np.stack([np.full(_ROUND, ends[1]), grid[-1], after[-1]], -1),
        ]
    )
    return Mesh(vertices_m=np.vstack([points, middle_m[0], middle_m[-1]]), faces=faces)
