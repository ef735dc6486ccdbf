"""Closed forms of a beam held at one end."""

import math

from finial.structure.bounds import need_between, need_positive


def end_load_deflection(load_n: float, length_m: float, stiffness_n_m2: float) -> float:
    r"""Tip deflection of a cantilever pushed at its tip.

    .. math::  w = \frac{P L^3}{3 E I}

    Parameters
    ----------
    load_n : float
        Load [N].
    length_m : float
        Length [m].
    stiffness_n_m2 : float
        Bending stiffness E I [N m^2].

    Returns
    -------
    deflection_m : float
        Tip deflection [m].

    Raises
    ------
    OutsideRange
        If length or stiffness is not above zero.

    Notes
    -----
    Holds for slender beams and deflections below a tenth of the length.

    References
    ----------
    .. [1] Gere and Timoshenko, Mechanics of Materials, table of beam deflections.

    Examples
    --------
    >>> end_load_deflection(3.0, 1.0, 1.0)
    1.0
    """
    need_positive(length_m=length_m, stiffness_n_m2=stiffness_n_m2)
    return load_n * length_m**3 / (3 * stiffness_n_m2)


def even_load_deflection(load_n_per_m: float, length_m: float, stiffness_n_m2: float) -> float:
    r"""Tip deflection of a cantilever under an even load.

    .. math::  w = \frac{q L^4}{8 E I}

    Parameters
    ----------
    load_n_per_m : float
        Load per length [N/m].
    length_m : float
        Length [m].
    stiffness_n_m2 : float
        Bending stiffness E I [N m^2].

    Returns
    -------
    deflection_m : float
        Tip deflection [m].

    Raises
    ------
    OutsideRange
        If length or stiffness is not above zero.

    Notes
    -----
    Holds for slender beams and deflections below a tenth of the length.

    References
    ----------
    .. [1] Gere and Timoshenko, Mechanics of Materials, table of beam deflections.

    Examples
    --------
    >>> even_load_deflection(8.0, 1.0, 1.0)
    1.0
    """
    need_positive(length_m=length_m, stiffness_n_m2=stiffness_n_m2)
    return load_n_per_m * length_m**4 / (8 * stiffness_n_m2)


def cantilever_frequency_factor(mode: int) -> float:
    r"""Frequency factor of a beam held at one end.

    .. math::
        \omega = \beta^2 \sqrt{\frac{E I}{m' L^4}}, \qquad \cos\beta \cosh\beta = -1

    Parameters
    ----------
    mode : int
        Mode number, 1 to 20.

    Returns
    -------
    factor : float
        :math:`\beta^2` [-].

    Raises
    ------
    OutsideRange
        If the mode lies outside 1 to 20.

    Notes
    -----
    Holds for slender beams without shear or rotary inertia.

    References
    ----------
    .. [1] Blevins, Formulas for Natural Frequency and Mode Shape, table 8-1; from memory.

    Examples
    --------
    >>> [round(cantilever_frequency_factor(mode), 3) for mode in (1, 2, 3)]
    [3.516, 22.034, 61.697]
    """
    need_between(1, 20, mode=mode)
    root = (mode - 0.5) * math.pi
    for _ in range(20):
        slope = -math.sin(root) - math.tanh(root) / math.cosh(root)
        root -= (math.cos(root) + 1 / math.cosh(root)) / slope
    return root**2
