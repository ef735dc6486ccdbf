"""What a vent takes from a charge before its gas has pushed: a correction of the closed form."""

import math

from finial.core.constants import HEAT_RATIO_AIR
from finial.core.corners import over_corners
from finial.core.doors import require_not_negative
from finial.core.estimates import Estimate
from finial.core.kept_parts import kept
from finial.recovery.charges.burst import BURN_TIME_S
from finial.recovery.charges.ports import HOLE_DISCHARGE
from finial.recovery.charges.powder import POWDER_FLAME_K, POWDER_GAS_J_KG_K


# The vent of a bay and its room stay, whatever flies.
@kept(32)
def share_kept(vent_area_m2: float, volume_m3: Estimate) -> Estimate:
    r"""Share of a charge's pressure that is left with a vent open while it burns.

    .. math::

        \eta = \frac{1 - e^{-x}}{x}, \qquad
        x = \gamma^{3/2} C_d A \left(\tfrac{2}{\gamma + 1}\right)^{\frac{\gamma + 1}{2 (\gamma - 1)}}
            \frac{\sqrt{R T_f} \, t_b}{V}

    Parameters
    ----------
    vent_area_m2 : float
        Open area of the bay's vents, :math:`A` [m^2].
    volume_m3 : Estimate
        Free volume of the bay, :math:`V` [m^3].

    Returns
    -------
    Estimate
        Share :math:`\eta` between 0 and 1 [-].

    Raises
    ------
    OutsideRange
        If the area is negative or the volume not positive.

    Notes
    -----
    Energy balance of gas made at a steady rate over the burning time (3 to 20 ms, assumed) that leaves
    through a choked sharp hole at flame temperature, the joint still shut. Within a third of the
    charge followed in time while more than a fifth is left; beyond that both say that the
    charge does nothing.

    References
    ----------
    .. [1] Mass balance of a vessel with choked outflow; any text on gas dynamics.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> round(share_kept(12e-6, exact(1.2e-3)).value, 3)
    0.989
    """
    require_not_negative(vent_area_m2=vent_area_m2)
    choked = math.sqrt(HEAT_RATIO_AIR) * (2 / (HEAT_RATIO_AIR + 1)) ** (
        (HEAT_RATIO_AIR + 1) / (2 * (HEAT_RATIO_AIR - 1))
    )
    speed = HEAT_RATIO_AIR * HOLE_DISCHARGE * choked * math.sqrt(POWDER_GAS_J_KG_K * POWDER_FLAME_K)

    def kept(burn: float, volume: float) -> float:
        gone = speed * vent_area_m2 * burn / volume
        return -math.expm1(-gone) / gone if gone > 0 else 1.0

    return over_corners(
        kept,
        {"burn": BURN_TIME_S, "volume": volume_m3},
        method="choked outflow while the powder burns",
        source="mass balance of a vessel; burning time assumed",
    )
