"""Component method for slender round bodies with thin fins: a second opinion, not the model."""

import numpy as np

from finial.core.errors import OutsideRange


def carry_over(radius_over_tip: float) -> tuple[float, float]:
    r"""Lift of a fin beside a round body, and of the body beside the fin, over the fin's alone.

    .. math::  K_W = \frac{2}{\pi (1-\tau)^2} \left\{ (1+\tau^4) \left[\tfrac12 \arctan
               \tfrac12 (\tfrac1\tau - \tau) + \tfrac\pi4\right] - \tau^2 \left[(\tfrac1\tau - \tau)
               + 2 \arctan\tau\right] \right\}, \quad K_B = (1+\tau)^2 - K_W

    Parameters
    ----------
    radius_over_tip : float
        Body radius over tip radius, :math:`\tau` [-].

    Returns
    -------
    on_fin, on_body : float
        Factors on the fin's own lift [-].

    Raises
    ------
    OutsideRange
        Outside 0 < tau < 1.

    Notes
    -----
    Slender-body theory; holds for round bodies with a pair of fins and a long afterbody.

    References
    ----------
    .. [1] W. C. Pitts, J. N. Nielsen, G. E. Kaattari, NACA Report 1307, 1957 (from memory).

    Examples
    --------
    >>> [round(part, 4) for part in carry_over(0.5)]
    [1.4503, 0.7997]
    """
    tau = radius_over_tip
    if not 0 < tau < 1:
        raise OutsideRange(f"body radius over tip radius must lie between 0 and 1: got {tau}")
    spread = 1 / tau - tau
    inner = (1 + tau**4) * (np.arctan(spread / 2) / 2 + np.pi / 4) - tau**2 * (spread + 2 * np.arctan(tau))
    on_fin = float(2 * inner / (np.pi * (1 - tau) ** 2))
    return on_fin, (1 + tau) ** 2 - on_fin
