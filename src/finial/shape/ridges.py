"""Ridges at the tip and at the end: edges across the axis that stand a little askew."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from finial.shape.bodies import components
from finial.shape.creases import ASKEW_RAD, level_creases
from finial.shape.mesh import Mesh


def ridge_ends(meshes: Sequence[Mesh]) -> tuple[float, float]:
    """Where the ridge at the tip ends, and where the one at the aft end begins.

    Parameters
    ----------
    meshes : sequence of Mesh
        Meshes in body axes [m].

    Returns
    -------
    fore_m, aft_m : float
        Stations [m]: the tip's own and the end's own where they are points.

    Notes
    -----
    A ridge is what creases that lean by less than 1.5 degrees join to the foremost corner, or to the
    rearmost. The ridge of a roof that leans by a tenth of a degree is a ridge still: a cut amid it shows a
    point. However little a crease folds: a disc on edge begins and ends in one of its facets' edges.

    References
    ----------
    .. [1] No published method: as flat faces that stand a little askew.

    Examples
    --------
    The ridge of a roof 200 mm long that leans by 0.1 mm, over a square floor.

    >>> corners = [[0.0, -0.1, 0.0], [-1e-4, 0.1, 0.0]]
    >>> corners += [[-0.1, y, z] for y in (-0.1, 0.1) for z in (-0.1, 0.1)]
    >>> faces = [[0, 2, 3], [1, 5, 4], [0, 3, 5], [0, 5, 1], [0, 1, 4], [0, 4, 2], [2, 4, 5], [2, 5, 3]]
    >>> roof = Mesh(vertices_m=np.array(corners), faces=np.array(faces))
    >>> [round(1e3 * each, 3) for each in ridge_ends([roof])]
    [0.1, 100.0]
    """
    stations = [-mesh.vertices_m[:, 0] for mesh in meshes]
    tip, end = min(float(each.min()) for each in stations), max(float(each.max()) for each in stations)
    fore = max((_along(mesh, each - tip) for mesh, each in zip(meshes, stations, strict=True)), default=0.0)
    aft = max((_along(mesh, end - each) for mesh, each in zip(meshes, stations, strict=True)), default=0.0)
    return tip + fore, end - aft


def _along(mesh: Mesh, behind_m: NDArray[np.float64]) -> float:
    """How far creases that lean little lead away along the axis from a corner at nothing."""
    across = float(np.hypot(*np.ptp(mesh.vertices_m[:, 1:], axis=0)))
    close = behind_m < np.tan(ASKEW_RAD) * across
    one, two, three = (close[corner] for corner in mesh.faces.T)
    edges = level_creases(mesh, mesh.faces[one & two | two & three | three & one])
    piece = components(len(behind_m), edges)
    return float(behind_m[np.isin(piece, piece[behind_m <= 0.0])].max(initial=0.0))
