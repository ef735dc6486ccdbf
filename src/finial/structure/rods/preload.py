"""Preload of rods that hold a printed stack together."""

import sys
from dataclasses import dataclass

from finial.structure.bounds import need_between, need_finite, need_positive


@dataclass(frozen=True, slots=True, kw_only=True)
class Stack:
    """Axial stiffness E A of walls and of all rods, side by side over one length [N]."""

    wall_ea_n: float
    rod_ea_n: float

    def __post_init__(self) -> None:
        """Refuse a stack without walls or rods."""
        need_positive(wall_ea_n=self.wall_ea_n, rod_ea_n=self.rod_ea_n)


def opening_pull(stack: Stack, preload_n: float) -> float:
    r"""Pull from outside that opens a joint held shut by preload.

    .. math::  F = P \left(1 + \frac{E_r A_r}{E_w A_w}\right)

    Parameters
    ----------
    stack : Stack
        Stiffness of walls and rods [N].
    preload_n : float
        Preload of all rods together [N].

    Returns
    -------
    pull_n : float
        Axial pull at which the joint gapes [N].

    Raises
    ------
    OutsideRange
        If the preload is negative or not finite.

    Notes
    -----
    Holds for pull along the axis; bending opens one edge earlier. Printed plastic creeps: within days at room
    temperature, within an hour in the sun, little of the preload may be left.

    References
    ----------
    .. [1] Joint diagram: VDI 2230 part 1; Shigley, Mechanical Engineering Design, bolted joints; from memory.

    Examples
    --------
    >>> opening_pull(Stack(wall_ea_n=2.0e6, rod_ea_n=6.0e6), 1000.0)
    4000.0
    """
    need_between(0.0, sys.float_info.max, preload_n=preload_n)
    return preload_n * (1 + stack.rod_ea_n / stack.wall_ea_n)


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
        Change of the preload of all rods together [N].

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
