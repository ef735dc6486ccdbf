# pyright: reportUnknownMemberType=false, reportUnknownVariableType=false, reportUnknownArgumentType=false
# The types of shapely's functions leave their keywords, and what comes out of them, open.
"""Where a part is drawn thinner than its printer lays two lines."""

from typing import Any

from finial.core.doors import require_positive
from finial.printing.frames import across_body, region_at
from finial.shape.united import Body


def thin_share(solid: Body, station_m: float, thin_m: float) -> float:
    r"""Share of a cut across a part that is thinner than a thickness.

    .. math::  1 - \frac{|(R \ominus B_{t/2}) \oplus B_{t/2}|}{|R|}

    Parameters
    ----------
    solid : manifold3d.Manifold
        The part in body axes [m].
    station_m : float
        Where it is cut [m].
    thin_m : float
        Thickness, t [m].

    Returns
    -------
    share : float
        0 where it is thicker all over or nothing is cut, 1 where all of it is thinner [-].

    Raises
    ------
    OutsideRange
        If the thickness is not above zero.

    Notes
    -----
    Sharp corners count as thin by a little: each right one by 0.05 of the square of the thickness.

    References
    ----------
    .. [1] Opening by a disc: J. Serra, Image Analysis and Mathematical Morphology, 1982; from memory.

    Examples
    --------
    >>> import manifold3d
    >>> post = manifold3d.Manifold.cube((0.1, 0.05, 0.0008)).translate((-0.1, 0.0, 0.0))
    >>> thin_share(post, 0.05, 0.001), round(thin_share(post, 0.05, 0.0006), 3)
    (1.0, 0.002)
    """
    import shapely

    require_positive(thin_m=thin_m)
    region: Any = region_at(across_body(station_m).flat(solid), 0.0)
    area = float(shapely.area(region))
    if area == 0.0:
        return 0.0
    opened: Any = shapely.buffer(shapely.buffer(region, -thin_m / 2), thin_m / 2)
    return max(0.0, 1.0 - float(shapely.area(shapely.intersection(opened, region))) / area)
