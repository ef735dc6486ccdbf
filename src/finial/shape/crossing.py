"""A surface that passes through itself: how much of what it encloses is counted twice."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from finial.shape.bodies import signed_volumes_m3
from finial.shape.cut import cuts
from finial.shape.mesh import Mesh
from finial.shape.planar import even_odd

_PLANES = 16
_LEAST_SHARE = 0.01
"""A body smaller than this share of the whole is not looked at [-]; chosen."""
_IRREGULAR = 0.382
"""Where in its stretch each plane lies [-], so that none lies in a flat end or a ledge."""


def counted_twice(mesh: Mesh, body_of_face: NDArray[np.int64], hosts: Sequence[int]) -> float:
    r"""Share of its volume that a mesh counts twice because a body's surface passes through itself.

    .. math::  s = \frac{\sum_k (A_k - E_k) / 2}{\sum_k A_k}, \qquad
               A = \tfrac12 \oint (y \, dz - z \, dy)

    Parameters
    ----------
    mesh : Mesh
        Closed bodies that look outward [m]; any axis may point up.
    body_of_face : ndarray, shape (m,)
        Body of each face.
    hosts : sequence of int
        For each body the one that it is a cavity of, or -1.

    Returns
    -------
    share : float
        Of the signed volume, each body weighed by its own [-]; 0 where every surface is simple.

    Notes
    -----
    In each of 16 planes across body x the area that the sense of turning gives, A, is set beside that
    inside an odd number of outlines, E: what is enclosed twice is in A twice and in E not at all. Bodies
    that overlap one another are none of its business. Holds for what is enclosed at most twice; bodies
    under a hundredth of the whole, and planes whose cut does not close, are left out.

    References
    ----------
    .. [1] Green's theorem in the plane, and the winding number of a closed curve.

    Examples
    --------
    >>> from finial.shape.tiers import Tier, tiers_mesh
    >>> post = tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=1.0)])
    >>> beside = Mesh(vertices_m=np.vstack([post.vertices_m, post.vertices_m + (0.0, 0.05, 0.0)]),
    ...               faces=np.vstack([post.faces, post.faces + len(post.vertices_m)]))
    >>> round(counted_twice(post, np.zeros(len(post.faces), dtype=np.int64), (-1,)), 9)
    0.0
    >>> round(counted_twice(beside, np.zeros(len(beside.faces), dtype=np.int64), (-1,)), 9)
    0.25
    """
    volumes = np.abs(signed_volumes_m3(mesh, body_of_face))
    outer = [number for number, host in enumerate(hosts) if host < 0]
    whole = float(volumes[outer].sum())
    twice = 0.0
    for number in outer:
        if volumes[number] < _LEAST_SHARE * whole:
            continue
        own = np.array([one == number or host == number for one, host in enumerate(hosts)])
        faces = mesh.faces[own[body_of_face]]
        twice += float(volumes[number]) * _of_body(Mesh(vertices_m=mesh.vertices_m, faces=faces))
    return twice / whole if whole > 0.0 else 0.0


def _of_body(body: Mesh) -> float:
    # Column by column: reducing over an axis of length three is many times slower.
    one, two, three = -body.vertices_m[:, 0][body.faces.T]
    spans = np.minimum(np.minimum(one, two), three), np.maximum(np.maximum(one, two), three)
    fore, aft = float(spans[0].min()), float(spans[1].max())
    planes = fore + (np.arange(_PLANES) + _IRREGULAR) / _PLANES * (aft - fore)
    summed = enclosed = 0.0
    for plane, cut in zip(planes.tolist(), cuts(body, planes), strict=True):
        if len(cut.loose_m):
            continue
        crossed = (spans[0] < plane) & (spans[1] >= plane)
        summed += _signed_area(body.vertices_m[body.faces[crossed]], plane)
        enclosed += float(even_odd(cut.loops).area)
    # What rounding leaves below nothing is nothing.
    return max(summed - enclosed, 0.0) / 2 / summed if summed > 0.0 else 0.0


def _signed_area(corners_m: NDArray[np.float64], plane_m: float) -> float:
    """Area of a cut through faces by the sense in which its edges go round [m^2]."""
    station = -corners_m[..., 0]
    aft = station >= plane_m
    after = np.roll(aft, -1, axis=1)
    # Round a face one edge goes aft through the plane, and one comes back.
    into, back = (_where(corners_m, station, plane_m, goes) for goes in (~aft & after, aft & ~after))
    return float((into[:, 0] * back[:, 1] - into[:, 1] * back[:, 0]).sum()) / 2


def _where(
    corners_m: NDArray[np.float64], station_m: NDArray[np.float64], plane_m: float, goes: NDArray[np.bool_]
) -> NDArray[np.float64]:
    """Where one edge of each face passes the plane, body (y, z) [m]."""
    row, tail = np.nonzero(goes)
    head = (tail + 1) % 3
    share = (plane_m - station_m[row, tail]) / (station_m[row, head] - station_m[row, tail])
    start = corners_m[row, tail, 1:]
    return start + share[:, None] * (corners_m[row, head, 1:] - start)
