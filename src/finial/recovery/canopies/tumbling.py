"""A parted vehicle that falls without a canopy: its pieces tumble, or hang broadside on their cord."""

from finial.core.doors import require_positive
from finial.core.estimates import Estimate, KnownBy

TUMBLING_COEFFICIENT = Estimate(
    value=0.9,
    low=0.5,
    high=1.2,
    known_by=KnownBy.ASSUMED,
    method="drag of parted pieces on their planform: fins that hold a piece nose down take from it",
    source="common practice: cylinders broadside 0.6 (ends free, past the drag crisis) to 1.2 (long)",
)


def tumbling_drag_area(planform_m2: float) -> Estimate:
    r"""Drag area of the parted pieces together.

    .. math::  C_D S = C_t \, S_p

    Parameters
    ----------
    planform_m2 : float
        Area all pieces show from the side, :math:`S_p` [m^2].

    Returns
    -------
    Estimate
        Drag area [m^2].

    Raises
    ------
    OutsideRange
        If the area is not positive.

    Notes
    -----
    0.5 to 1.2 on the planform, assumed. A finned piece that flies nose down falls faster
    still; the cord between the pieces hinders that, and nothing here counts on it.

    References
    ----------
    .. [1] Cylinders across the flow: Hoerner, Fluid-Dynamic Drag, 1965, from memory, not re-read.

    Examples
    --------
    >>> round(tumbling_drag_area(0.2).value, 2)
    0.18
    """
    require_positive(planform_m2=planform_m2)
    return TUMBLING_COEFFICIENT.scaled(planform_m2)
