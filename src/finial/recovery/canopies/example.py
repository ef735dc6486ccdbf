"""An opening to compare with: the case whose closed form is known."""

from finial.recovery.canopies.inflation import Inflation


def level_case(ballistic: float, growth_exponent: float) -> Inflation:
    r"""Level flight without air in the canopy, the case whose closed form is ``opening_reduction``.

    .. math::  A = \frac{2 m}{\rho \, C_D S \, v \, t_f}

    with everything else 1, so that the load without slowing is half.

    Parameters
    ----------
    ballistic : float
        The closed form's :math:`A` [-].
    growth_exponent : float
        Power of the distance that the drag area grows with [-].

    Returns
    -------
    case : Inflation
        A canopy that fills at the pace it began with, gravity 0.

    Notes
    -----
    To compare with; no canopy is like that.

    References
    ----------
    .. [1] As ``opening_reduction``.

    Examples
    --------
    >>> from finial.recovery.canopies.inflation import inflate
    >>> round(inflate(level_case(1.0, 2.0)).peak_n / 0.5, 3)
    0.562
    """
    return Inflation(
        mass_kg=ballistic / 2,
        full_area_m2=1.0,
        filling_m=1.0,
        projected_diameter_m=1.0,
        growth_exponent=growth_exponent,
        speed_m_s=1.0,
        density_kg_m3=1.0,
        air_share=0.0,
        gravity_m_s2=0.0,
        by_time=True,
    )
