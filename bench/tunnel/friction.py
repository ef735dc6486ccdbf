"""Friction on the skin, for the part that a coarse lattice cannot tell."""

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import OutsideRange
from finial.tunnel.records import Stream, TunnelShape


def friction_loads(
    shape: TunnelShape, stream: Stream, coefficient: float, *, area_m2: float, width_m: float
) -> NDArray[np.float64]:
    r"""Sum a plate's friction over the skin, along the wind's part in each triangle's plane.

    .. math::  F = \frac{C_f}{S} \sum_t A_t \, u_t |u_t|, \qquad u_t = u - (u \cdot n) \, n

    Parameters
    ----------
    shape : TunnelShape
        Triangles, all of them wet [m].
    stream : Stream
        Wind; its direction :math:`u` alone is used.
    coefficient : float
        Mean friction of a plate at the flight's Reynolds number, :math:`C_f`, on its wetted area [-].
    area_m2 : float
        Reference area, :math:`S` [m^2].
    width_m : float
        Reference width of the moments [m].

    Returns
    -------
    loads : ndarray, shape (6,)
        Forces aft, across a, across b, and moments about the tip over the width, as in ``Blown`` [-].

    Raises
    ------
    OutsideRange
        If the coefficient is negative or not finite, or area or width is not above 0.

    Notes
    -----
    Faces square to the wind have none. Air that has left the surface rubs less and backwards, so on blunt
    shapes this is an upper bound; there friction is some hundredths of the drag.

    References
    ----------
    .. [1] S. F. Hoerner, Fluid-Dynamic Drag, 1965, chapter 2 (from memory): friction of the wetted area.

    Examples
    --------
    >>> plate = TunnelShape(points_m=np.array([[0.0, 0, 0], [1, 0, 0], [1, 1, 0], [0, 1, 0]]),
    ...                     triangles=np.array([[0, 1, 2], [0, 2, 3], [0, 2, 1], [0, 3, 2]]))
    >>> friction_loads(plate, Stream(angle_rad=0.0), 0.004, area_m2=1.0, width_m=1.0)[:3].tolist()
    [0.008, 0.0, 0.0]
    """
    if not 0.0 <= coefficient < np.inf:
        raise OutsideRange(f"a friction coefficient of {coefficient:g}: 0 or more is accepted")
    if not (area_m2 > 0.0 and width_m > 0.0):
        raise OutsideRange(f"an area of {area_m2:g} m2 and a width of {width_m:g} m: both must be above 0")
    a, b, c = (shape.points_m[shape.triangles[:, corner]] for corner in range(3))
    turned = np.cross(b - a, c - a)
    double = np.linalg.norm(turned, axis=1)
    real = double > 0.0
    normal = turned[real] / double[real, None]
    wind = np.array(stream.towards)
    along = wind - (normal @ wind)[:, None] * normal
    force = 0.5 * double[real, None] * along * np.linalg.norm(along, axis=1, keepdims=True)
    force *= coefficient / area_m2
    middle = (a[real] + b[real] + c[real]) / 3 - _tip(shape)
    return np.concatenate([force.sum(axis=0), np.cross(middle, force).sum(axis=0) / width_m])


def _tip(shape: TunnelShape) -> NDArray[np.float64]:
    return np.array([float(shape.points_m[:, 0].min()), 0.0, 0.0])
