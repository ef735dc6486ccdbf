"""How rods and walls share an axial load: preload, play, walls that only butt together."""

from dataclasses import dataclass

import numpy as np

from finial.structure.bounds import need_between, need_finite
from finial.structure.rods.preload import Stack


@dataclass(frozen=True, slots=True, kw_only=True)
class RodFit:
    """How the rods sit: tightened, or with play.

    Raises
    ------
    OutsideRange
        If a number is negative, or rods are both tightened and loose.
    """

    preload_n: float = 0.0
    """Tension of all rods together [N]."""
    slip_m: float = 0.0
    """Play before rods that are not tightened take up load [m]."""
    nuts_both_sides: bool = False
    """Nuts on both sides of what they bear on: rods take squeezing too."""
    walls_bonded: bool = False
    """Walls pull as well as push: printed in one piece or glued."""

    def __post_init__(self) -> None:
        """Refuse what cannot be."""
        need_between(0.0, 1e9, preload_n=self.preload_n)
        need_between(0.0, 1.0, slip_m=self.slip_m)
        if self.preload_n > 0:
            need_between(0.0, 0.0, slip_of_tightened_rods_m=self.slip_m)


@dataclass(frozen=True, slots=True, kw_only=True)
class Shared:
    """Forces in rods and walls, pull positive [N]."""

    rods_n: float
    walls_n: float
    stretch_m: float
    """How far the stack lengthened from rest [m]."""

    @property
    def rod_share(self) -> float:
        """Share of the change of load that the rods took [-], where rods began without preload."""
        total = self.rods_n + self.walls_n
        return self.rods_n / total if total else 0.0


def shared_load(stack: Stack, length_m: float, fit: RodFit, pull_n: float) -> Shared:
    r"""Share an axial load between rods and walls, piece by piece linear.

    .. math::
        F = R(\delta) + W(\delta), \qquad
        R = \frac{E_r A_r}{L} (\delta + \delta_0 - s)_+, \quad W = \frac{E_w A_w}{L} (\delta - \delta_1)_-

    Parameters
    ----------
    stack : Stack
        Axial stiffness E A of walls and rods [N].
    length_m : float
        Length between the nuts [m].
    fit : RodFit
        Preload, play, which way each part can carry.
    pull_n : float
        Load along the axis, pull positive [N].

    Returns
    -------
    shared : Shared
        Forces [N] and stretch [m].

    Raises
    ------
    OutsideRange
        If a number is not finite or the length not above zero.

    Notes
    -----
    Holds for a load that stretches rods and walls alike, without bending. Rods tightened to a preload share
    both ways until the joint opens or the nuts come loose; rods with play take nothing until it is used up.

    References
    ----------
    .. [1] Joint diagram: VDI 2230 part 1; Shigley, Mechanical Engineering Design, bolted joints; from memory.

    Examples
    --------
    >>> stack = Stack(wall_ea_n=2.0e6, rod_ea_n=6.0e6)
    >>> answer = shared_load(stack, 1.0, RodFit(preload_n=1000.0), 2000.0)
    >>> round(answer.rods_n), round(answer.walls_n)
    (2500, -500)
    """
    need_finite(pull_n=pull_n)
    need_between(1e-6, 1e3, length_m=length_m)
    rod, wall = stack.rod_ea_n / length_m, stack.wall_ea_n / length_m
    tight, squeezed = fit.preload_n / rod, fit.preload_n / wall

    def rods(stretch: np.ndarray) -> np.ndarray:
        taken = np.maximum(stretch + tight - fit.slip_m, 0.0)
        if fit.nuts_both_sides:
            taken = taken + np.minimum(stretch + tight + fit.slip_m, 0.0)
        return rod * taken

    def walls(stretch: np.ndarray) -> np.ndarray:
        moved = stretch - squeezed
        return wall * (moved if fit.walls_bonded else np.minimum(moved, 0.0))

    # Between these stretches both forces are straight lines, so the answer lies on a chord between them.
    corners = [0.0, -tight + fit.slip_m, -tight - fit.slip_m, squeezed]
    reach = (abs(pull_n) + fit.preload_n) * (1 / rod + 1 / wall) + fit.slip_m + tight + squeezed
    at = np.array(sorted({*corners, -reach, reach}))
    total = rods(at) + walls(at)
    stretch = np.array(np.interp(pull_n, total, at))
    return Shared(rods_n=float(rods(stretch)), walls_n=float(walls(stretch)), stretch_m=float(stretch))


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
