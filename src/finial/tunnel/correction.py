"""What the walls of the tunnel add to the loads."""

import numpy as np

from finial.core.errors import OutsideRange

FACTOR = 2.6
"""Of the drag area over the tunnel's section; Maskell's own for wakes as wide as high is 5/2."""


def unblocked_share(drag_coefficient: float, section_share: float) -> float:
    r"""Share of all measured loads that the open air would give.

    .. math::  \frac{C_D^\infty}{C_D} = \frac{1}{1 + 2.6 \, C_D \, S / C}

    Parameters
    ----------
    drag_coefficient : float
        Measured drag along the wind, :math:`C_D`, on the area :math:`S` [-].
    section_share : float
        That area over the tunnel's section, :math:`S / C` [-].

    Returns
    -------
    share : float
        To multiply drag, side forces and moments with: the wind past a blocked tunnel is faster [-].

    Raises
    ------
    OutsideRange
        If the drag is negative or not finite, or the share is not between 0 and 0.15.

    Notes
    -----
    For blunt bodies that leave a wake; made for solid walls, so that it corrects too much where the walls let
    air through. The part it takes off is best kept below a tenth.

    References
    ----------
    .. [1] E. C. Maskell, A theory of the blockage effects on bluff bodies and stalled wings in a closed wind
       tunnel, ARC R&M 3400, 1963 (from memory): factor 5/2 for three dimensions. 2.6 is ours, from trials
       of bodies between walls at several distances.

    Examples
    --------
    >>> round(unblocked_share(1.05, 0.02), 4)
    0.9482
    """
    if not 0.0 <= drag_coefficient < np.inf:
        raise OutsideRange(f"a drag coefficient of {drag_coefficient:g}: 0 or more is accepted")
    if not 0.0 <= section_share <= 0.15:
        raise OutsideRange(f"{section_share:.0%} of the tunnel's section: up to 15 % is accepted")
    return 1.0 / (1.0 + FACTOR * drag_coefficient * section_share)
