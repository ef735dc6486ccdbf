"""Put meshes into body axes: tip at station 0, axis through the middle."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import MeshError
from finial.core.frames import body_from_mesh
from finial.shape.mesh import Mesh

_OFF_MIDDLE = 0.45
"""A mesh axis farther off the middle than this share of the width is taken for a corner origin."""


def to_body(
    meshes: Sequence[Mesh], up: str, *, outside: Sequence[bool] | None = None
) -> tuple[list[Mesh], NDArray[np.float64]]:
    """Turn meshes that share one origin into body axes and put their tip at station 0.

    The axis is the mesh's own axis, so that a statue with one arm out keeps the axis it was
    drawn on. Only when that axis runs along the rim of the shape or beside it (the origin
    was set in a corner) is it moved to the middle of the shape's extent.

    Parameters
    ----------
    meshes : sequence of Mesh
        Parts in mesh axes [m], one origin for all.
    up : str
        The mesh axis that points at the sky, such as ``"+z"``.
    outside : sequence of bool, shape (n,), optional
        Which parts belong to the skin; default all. The tip is their top-most point.

    Returns
    -------
    placed : list of Mesh
        The same parts in body axes.
    offset_m : ndarray, shape (3,)
        What was added in body axes [m] after turning.

    Raises
    ------
    MeshError
        If no part belongs to the outside.
    OutsideRange
        If ``up`` is not a signed axis.

    Notes
    -----
    Exact: parts are turned and moved, never scaled. An axis farther off the middle than 45 % of
    the width counts as drawn from a corner; one nearer stays where it was drawn.

    References
    ----------
    .. [1] The axes are defined on the conventions page; the 45 % are common practice.

    Examples
    --------
    >>> slab = Mesh(vertices_m=[[0, 0, 1], [1, 0, 1], [0, 1, 3]], faces=[[0, 1, 2]])
    >>> placed, offset = to_body([slab], "+z")
    >>> placed[0].vertices_m[:, 0].tolist(), offset.tolist()
    ([-2.0, -2.0, 0.0], [-3.0, -0.5, -0.5])
    """
    shown = [True] * len(meshes) if outside is None else list(outside)
    turned = [mesh.vertices_m @ body_from_mesh(up).T for mesh in meshes]
    skin = [points for points, is_out in zip(turned, shown, strict=True) if is_out and len(points)]
    if not skin:
        raise MeshError("no part belongs to the outside: at least one needs outside = true and a mesh")
    low = np.min([points.min(axis=0) for points in skin], axis=0)
    high = np.max([points.max(axis=0) for points in skin], axis=0)
    offset = _offset(low, high)
    placed = [
        Mesh(vertices_m=points + offset, faces=mesh.faces)
        for points, mesh in zip(turned, meshes, strict=True)
    ]
    return placed, offset


def _offset(low: NDArray[np.float64], high: NDArray[np.float64]) -> NDArray[np.float64]:
    middle = (low + high) / 2
    off_middle = np.abs(middle[1:]) > _OFF_MIDDLE * (high - low)[1:]
    across = -middle[1:] if off_middle.any() else np.zeros(2)
    return np.array([-high[0], *across])
