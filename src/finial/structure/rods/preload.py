"""Preload of rods that hold a printed stack together, and what heat, cold and creep make of it."""

from dataclasses import dataclass

from finial.core.corners import over_corners
from finial.core.doors import require_positive
from finial.core.estimates import Estimate, KnownBy
from finial.structure.bounds import need_between, need_finite


@dataclass(frozen=True, slots=True, kw_only=True)
class Stack:
    """Axial stiffness E A of walls and of all rods, side by side over one length [N]."""

    wall_ea_n: float
    rod_ea_n: float

    def __post_init__(self) -> None:
        """Refuse a stack without walls or rods."""
        require_positive(wall_ea_n=self.wall_ea_n, rod_ea_n=self.rod_ea_n)


def preload_growth(
    stack: Stack, *, wall_expansion_per_k: float, rod_expansion_per_k: float, warmer_by_k: float
) -> float:
    r"""Preload that a stack gains when it warms, because plastic grows more than metal.

    .. math::  \Delta P = \frac{(\alpha_w - \alpha_r) \Delta T}{1 / E_w A_w + 1 / E_r A_r}

    Parameters
    ----------
    stack : Stack
        Stiffness of walls and rods [N].
    wall_expansion_per_k, rod_expansion_per_k : float
        Expansion of the print and of the rods per kelvin [1/K].
    warmer_by_k : float
        Warming since the nuts were tightened [K]; negative when colder.

    Returns
    -------
    growth_n : float
        Change of the preload of all rods together [N]; negative when colder.

    Raises
    ------
    OutsideRange
        If a number is not finite.

    Notes
    -----
    Holds without creep and while the joint stays closed: an upper bound on a hot day. What is gained hot is
    lost by creep, and then missing when it cools.

    References
    ----------
    .. [1] Thermal stress of parallel bars: Gere and Timoshenko, Mechanics of Materials, chapter 2.

    Examples
    --------
    >>> stack = Stack(wall_ea_n=2.68e6, rod_ea_n=16.48e6)
    >>> round(preload_growth(stack, wall_expansion_per_k=68e-6, rod_expansion_per_k=12e-6, warmer_by_k=20.0))
    2582
    """
    need_finite(wall=wall_expansion_per_k, rod=rod_expansion_per_k, warmer_by_k=warmer_by_k)
    give = 1 / stack.wall_ea_n + 1 / stack.rod_ea_n
    return (wall_expansion_per_k - rod_expansion_per_k) * warmer_by_k / give


def preload_left(stack: Stack, wall_creep: float) -> float:
    r"""Share of a preload that is left when the walls have crept.

    .. math::  \frac{P}{P_0} = \frac{1}{1 + \phi \, \dfrac{E_r A_r}{E_r A_r + E_w A_w}}

    Parameters
    ----------
    stack : Stack
        Axial stiffness E A of walls and rods [N].
    wall_creep : float
        Creep strain of the walls over their first strain, :math:`\phi` [-].

    Returns
    -------
    share : float
        Preload left over the first [-].

    Raises
    ------
    OutsideRange
        If the creep is negative or not finite.

    Notes
    -----
    Holds for linear creep, effective modulus; stiff rods lose more. Washers that sink in come on top.

    References
    ----------
    .. [1] Effective modulus method: Findley, Lai and Onaran, Creep and Relaxation of Nonlinear Viscoelastic
       Materials, 1976; from memory, not re-read.

    Examples
    --------
    >>> round(preload_left(Stack(wall_ea_n=2.0e6, rod_ea_n=6.0e6), 0.4), 3)
    0.769
    """
    need_between(0.0, 1e3, wall_creep=wall_creep)
    return 1 / (1 + wall_creep * stack.rod_ea_n / (stack.rod_ea_n + stack.wall_ea_n))


@dataclass(frozen=True, slots=True, kw_only=True)
class PreloadChange:
    """What a day does to the preload of one set of rods, all of them together."""

    count: int
    hot_n: Estimate
    """What the hottest the walls get adds before they creep [N]."""
    cold_n: Estimate
    """What the coldest they get adds, which takes away [N]."""
    left: Estimate
    """Share that creep leaves after the wait at the hottest [-]."""

    def each_rod(self, tight: Estimate) -> Estimate:
        """Return the tension of each rod over the day.

        Parameters
        ----------
        tight : Estimate
            Tension of each rod as tightened [N].

        Returns
        -------
        tension : Estimate
            Over the day [N].

        Raises
        ------
        OutsideRange
            As :func:`preload_over_day`.

        Notes
        -----
        Range and error as :func:`preload_over_day`; the rods of a set share evenly.

        References
        ----------
        .. [1] As :func:`preload_over_day`.

        Examples
        --------
        >>> from finial.core.estimates import exact
        >>> day = PreloadChange(count=4, hot_n=exact(400.0), cold_n=exact(-80.0), left=exact(0.5))
        >>> day.each_rod(exact(100.0)).low
        80.0
        """
        whole = preload_over_day(tight.scaled(self.count), self)
        return whole.scaled(1 / self.count)


def preload_over_day(tight: Estimate, change: PreloadChange) -> Estimate:
    r"""Preload between the coldest and the hottest of a day, before and after creep.

    .. math::
        P_{high} = P_0 + \max(\Delta P_h, \Delta P_c, 0), \qquad
        P_{low} = \max\left(\min\left(P_0 + \Delta P_c,\ (P_0 + \Delta P_h) s\right), 0\right)

    with the share :math:`s` that creep leaves; :math:`P = (P_0 + \Delta P_h) s` in the middle.

    Parameters
    ----------
    tight : Estimate
        Tension as tightened in the room, all rods together [N].
    change : PreloadChange
        What heat and cold add [N], and the share that creep leaves [-].

    Returns
    -------
    preload : Estimate
        Over the day [N].

    Raises
    ------
    OutsideRange
        If the share lies outside 0 to 1.

    Notes
    -----
    Holds for a vehicle that flies cold or after a soak in the sun; what is left when it has cooled down again
    is :func:`preload_cooled`. No rod pushes: one that has gone slack holds nothing, where the low end stops.

    References
    ----------
    .. [1] As :func:`preload_growth` and :func:`preload_left`.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> day = PreloadChange(count=4, hot_n=exact(200.0), cold_n=exact(-300.0), left=exact(0.9))
    >>> found = preload_over_day(exact(1000.0), day)
    >>> round(found.low), round(found.value), round(found.high)
    (700, 1080, 1200)
    """
    need_between(0.0, 1.0, left_low=change.left.low, left_high=change.left.high)
    colder = over_corners(
        lambda tight, hot, cold, left: min(tight + cold, (tight + hot) * left),
        {"tight": tight, "hot": change.hot_n, "cold": change.cold_n, "left": change.left},
    )
    value = max((tight.value + change.hot_n.value) * change.left.value, 0.0)
    return Estimate(
        value=value,
        low=min(max(colder.low, 0.0), value),
        high=max(tight.high + max(change.hot_n.high, change.cold_n.high, 0.0), value),
        known_by=max(tight.known_by, change.left.known_by, KnownBy.COMPUTED),
        method="tightened, then heat, creep and cold",
        source=tight.source,
    )


def preload_cooled(tight: Estimate, change: PreloadChange) -> Estimate:
    r"""Preload that is left when a stack has soaked in the sun and cooled down again.

    .. math::  P = \max\left((P_0 + \Delta P_h) s + \Delta P_c - \Delta P_h,\ 0\right)

    Parameters
    ----------
    tight : Estimate
        Tension as tightened in the room, all rods together [N].
    change : PreloadChange
        What heat and cold add [N], and the share that creep leaves [-].

    Returns
    -------
    preload : Estimate
        Until the nuts are tightened again [N].

    Raises
    ------
    OutsideRange
        If a number is not finite.

    Notes
    -----
    Holds for one soak. What crept away hot is missing cold.

    References
    ----------
    .. [1] As :func:`preload_growth` and :func:`preload_left`.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> day = PreloadChange(count=4, hot_n=exact(200.0), cold_n=exact(-300.0), left=exact(0.9))
    >>> round(preload_cooled(exact(1000.0), day).value)
    580
    """
    return over_corners(
        lambda tight, hot, cold, left: max((tight + hot) * left + cold - hot, 0.0),
        {"tight": tight, "hot": change.hot_n, "cold": change.cold_n, "left": change.left},
        method="tightened, soaked in the sun, cooled again",
    )
