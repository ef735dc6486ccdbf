"""Moments of solids and of surfaces made of triangles."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.shape.mesh import area_vectors


@dataclass(frozen=True, slots=True, kw_only=True)
class VolumeMoments:
    """Size, centre [m] and inertia about the centre per unit density.

    For a solid ``size`` is its volume [m^3] and ``inertia`` is in m^5; for a surface they
    are its area [m^2] and m^4.
    """

    size: float
    centre_m: NDArray[np.float64]
    inertia: NDArray[np.float64]


def solid_moments(triangles_m: NDArray[np.float64]) -> VolumeMoments:
    r"""Moments of the inside of a closed surface, by signed tetrahedra.

    .. math::
        V = \sum \tfrac{d}{6}, \quad V c = \sum \tfrac{d}{24} s, \quad
        \int x x^T = \sum \tfrac{d}{120} \left( s s^T + a a^T + b b^T + c c^T \right)

    with :math:`d = a \cdot (b \times c)` and :math:`s = a + b + c` for each face.

    Parameters
    ----------
    triangles_m : ndarray, shape (m, 3, 3)
        Corners of the faces [m]: face, corner, axis; outward.

    Returns
    -------
    moments : Moments
        Volume [m^3], negative when inside out; centre [m]; inertia per density [m^5].

    Notes
    -----
    Exact for any closed mesh. Bodies that overlap count twice; a hole leaves an error.

    References
    ----------
    .. [1] Tonon, Explicit exact formulas for the 3-D tetrahedron inertia tensor, J. Math.
       Stat. 1 (2005) 8-11; from memory, not re-read.

    Examples
    --------
    >>> corner = np.array([[0.0, 0, 0], [1, 0, 0], [0, 1, 0], [0, 0, 1]])
    >>> faces = [[0, 2, 1], [0, 1, 3], [1, 2, 3], [0, 3, 2]]
    >>> found = solid_moments(corner[faces])
    >>> round(6 * found.size, 9), found.centre_m.round(9).tolist(), (80 * found.inertia[0, 0]).round(9).item()
    (1.0, [0.25, 0.25, 0.25], 1.0)
    """
    # About a point near the middle: far from the origin the terms would cancel badly.
    middle = triangles_m.mean(axis=(0, 1))
    corners = triangles_m - middle
    a, b, c = corners[:, 0], corners[:, 1], corners[:, 2]
    sixfold = np.einsum("ij,ij->i", a, np.cross(b, c))
    total = corners.sum(axis=1)
    first = (sixfold[:, None] * total).sum(axis=0) / 24.0
    second = _weighted_squares(sixfold / 120.0, corners, total)
    return _about_centre(float(sixfold.sum() / 6.0), first, second, middle)


def surface_moments(triangles_m: NDArray[np.float64]) -> VolumeMoments:
    r"""Moments of a thin skin on the faces.

    .. math::
        A c = \sum \tfrac{A_i}{3} s, \qquad
        \int x x^T = \sum \tfrac{A_i}{12} \left( s s^T + a a^T + b b^T + c c^T \right)

    Parameters
    ----------
    triangles_m : ndarray, shape (m, 3, 3)
        Corners of the faces [m]; which way they face does not matter.

    Returns
    -------
    moments : Moments
        Area [m^2], centre [m], inertia per mass and area [m^4].

    Notes
    -----
    Exact for flat faces of one thickness that is small beside the part: a wall drawn by its outer
    face has its mass half its thickness too far out.

    References
    ----------
    .. [1] Second moments of a triangle from its corners: any handbook of mechanics of solids.

    Examples
    --------
    >>> square = np.array([[[0.0, 0, 0], [1, 0, 0], [1, 1, 0]], [[0, 0, 0], [1, 1, 0], [0, 1, 0]]])
    >>> found = surface_moments(square)
    >>> round(found.size, 9), (12 * found.inertia.diagonal()).round(9).tolist()
    (1.0, [1.0, 1.0, 2.0])
    """
    middle = triangles_m.mean(axis=(0, 1))
    corners = triangles_m - middle
    areas = np.linalg.norm(area_vectors(corners), axis=1)
    total = corners.sum(axis=1)
    first = (areas[:, None] * total).sum(axis=0) / 3.0
    second = _weighted_squares(areas / 12.0, corners, total)
    return _about_centre(float(areas.sum()), first, second, middle)


def _weighted_squares(
    weights: NDArray[np.float64], corners: NDArray[np.float64], total: NDArray[np.float64]
) -> NDArray[np.float64]:
    squares = (total * weights[:, None]).T @ total
    for corner in range(3):
        squares += (corners[:, corner] * weights[:, None]).T @ corners[:, corner]
    return squares


def _about_centre(
    size: float, first: NDArray[np.float64], second: NDArray[np.float64], middle: NDArray[np.float64]
) -> VolumeMoments:
    centre = first / size if size else np.zeros(3)
    spread = second - size * np.outer(centre, centre)
    inertia = np.trace(spread) * np.eye(3) - spread
    return VolumeMoments(size=size, centre_m=centre + middle, inertia=inertia)
