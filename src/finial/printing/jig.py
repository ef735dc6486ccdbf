# pyright: reportUnknownMemberType=false, reportUnknownVariableType=false, reportUnknownArgumentType=false
# The types of shapely's functions leave their keywords, and what comes out of them, open.
"""A jig that holds fins in their places while the glue sets: a collar round the body with a slot for each."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from finial.core.doors import require_positive
from finial.core.errors import OutsideRange
from finial.core.frames import evenly_round
from finial.printing.frames import extruded
from finial.shape.united import Body

_COLLAR_M, _HEIGHT_M, _ARM_M, _CHEEK_M = 5e-3, 20e-3, 35e-3, 4e-3
"""Wall of the collar, its height, how far its arms reach out, and the cheeks of a slot [m]; chosen."""


@dataclass(frozen=True, slots=True, kw_only=True)
class JigFins:
    """Fins that a jig holds: where their line stands, how many, how thick."""

    count: int
    first_at_rad: float
    thickness_m: float
    offset_m: tuple[float, float] = (0.0, 0.0)


def fin_jig(outlines_m: Sequence[NDArray[np.float64]], fins: JigFins, clearance_m: float) -> Body:
    """Collar that slides over the body, with a slotted arm for each fin.

    Parameters
    ----------
    outlines_m : sequence of ndarray, shape (n, 2)
        Outlines of the body where the collar stands, body (y, z) [m]; it clears them all.
    fins : JigFins
        The fins: angles [rad], thickness [m].
    clearance_m : float
        Play of collar and slots, both sides together [m].

    Returns
    -------
    jig : manifold3d.Manifold
        Standing on z = 0, x and y as body y and z [m].

    Raises
    ------
    OutsideRange
        If there are no fins, an outline is none, or the thickness is not above zero.

    Notes
    -----
    On a body that tapers it stops where it is as wide as the collar: at the wider end of where it stands.

    References
    ----------
    .. [1] No source: a drawing.

    Examples
    --------
    >>> square = np.array([[-0.05, -0.05], [0.05, -0.05], [0.05, 0.05], [-0.05, 0.05]])
    >>> jig = fin_jig([square], JigFins(count=4, first_at_rad=0.0, thickness_m=0.006), 0.0003)
    >>> len(jig.decompose()), round(jig.bounding_box()[5], 6)
    (1, 0.02)
    """
    import shapely
    import shapely.affinity

    require_positive(thickness_m=fins.thickness_m)
    if fins.count < 1 or not len(outlines_m):
        raise OutsideRange("a jig needs at least one fin and one outline")
    body: Any = shapely.union_all([shapely.Polygon(loop) for loop in outlines_m])
    inner = shapely.buffer(body, clearance_m / 2, join_style="mitre")
    collar = shapely.buffer(inner, _COLLAR_M, join_style="mitre")
    reach = max(math.hypot(y, z) for y, z in shapely.get_coordinates(collar)) + _ARM_M
    slot_half = (fins.thickness_m + clearance_m) / 2
    rolls = evenly_round(fins.count, fins.first_at_rad)
    for roll in rolls:
        arm: Any = shapely.box(0.0, -slot_half - _CHEEK_M, reach, slot_half + _CHEEK_M)
        turned = shapely.affinity.rotate(arm, roll, (0.0, 0.0), use_radians=True)
        collar = shapely.union(collar, shapely.affinity.translate(turned, *fins.offset_m))
    whole = extruded(shapely.difference(collar, inner), 0.0, _HEIGHT_M)
    for roll in rolls:
        slot: Any = shapely.box(0.0, -slot_half, reach + 1e-3, slot_half)
        turned = shapely.affinity.rotate(slot, roll, (0.0, 0.0), use_radians=True)
        placed = shapely.affinity.translate(turned, *fins.offset_m)
        # Open on top, closed below: the arms stay one body.
        whole = whole - extruded(placed, _HEIGHT_M / 4, _HEIGHT_M + 1e-3)
    return whole
