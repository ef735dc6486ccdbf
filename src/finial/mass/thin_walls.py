"""How much of a print's walls is counted twice: where they meet in mullions, spires and corners."""

from typing import Any

import numpy as np

from finial.core.doors import require_positive
from finial.core.kept_parts import kept
from finial.shape.cut import cuts
from finial.shape.ducts import solid_of
from finial.shape.repair import Repaired

_STATIONS = 48


def wall_share(part: Repaired, wall_m: float) -> float:
    r"""Plastic in the walls over wall thickness times surface.

    .. math::  c = \frac{\int \left( A - A_w \right) dx}{\int P \, w \, dx}

    Parameters
    ----------
    part : Repaired
        One part in body axes [m].
    wall_m : float
        Thickness of its walls, :math:`w` [m].

    Returns
    -------
    share : float
        1 for walls that never meet, down to 0 for a sheet [-].

    Raises
    ------
    OutsideRange
        If the wall is not above zero.

    Notes
    -----
    :math:`A_w` is a section drawn in by the wall all round, :math:`P` its girth, cavities included, at 48
    evenly spaced stations. Roofs and bars across the axis that are thinner than two walls are not seen. A
    square post of width :math:`a` has :math:`1 - w / a`: its corners.

    References
    ----------
    .. [1] What slicing programs lay down: lines along the outline, inwards, until none fits (common
       practice).

    Examples
    --------
    >>> from finial.shape.repair import repaired
    >>> from finial.shape.tiers import Tier, tiers_mesh
    >>> post = repaired(tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=1.0)]))
    >>> round(wall_share(post, 0.002), 3), round(wall_share(post, 0.06), 3)
    (0.98, 0.417)
    """
    require_positive(wall_m=wall_m)
    return _share(part, wall_m)


# The weight of a part, and its infill, are moved on the page: what its mesh says stays.
@kept(64)
def _share(part: Repaired, wall_m: float) -> float:
    along = -part.mesh.vertices_m[:, 0]
    fore, aft = float(along.min()), float(along.max())
    stations = fore + (np.arange(_STATIONS) + 0.5) / _STATIONS * (aft - fore)
    sections: list[Any] = [solid_of([cut]) for cut in cuts(part.mesh, stations)]
    girth = sum(section.length for section in sections)
    if girth == 0.0:
        return 1.0
    laid = sum(section.area - section.buffer(-wall_m, join_style="mitre").area for section in sections)
    return min(float(laid / (girth * wall_m)), 1.0)
