"""How a fin's root is held: stiffly, or by what a printed wall, a tab or bolts allow."""

import math
from dataclasses import dataclass
from enum import StrEnum

from finial.core.doors import require_positive
from finial.structure.fins.plate import FinPlate


class HoldKind(StrEnum):
    """How a fin's root is held."""

    STIFF = "stiff"
    UNSAID = "unsaid"
    """The sheet does not say how: taken as held stiffly."""
    WALL = "wall"
    """Glued onto the wall with fillets."""
    DRAWN = "drawn"
    """In one piece with the wall, as its mesh has it."""
    SLOT = "slot"
    TAB = "tab"
    BOLTS = "bolts"


@dataclass(frozen=True, slots=True, kw_only=True)
class RootHold:
    """Springs along the root; ``inf`` holds it still.

    Raises
    ------
    OutsideRange
        If a stiffness is not above zero, or a held piece of the root has no length.
    """

    kind: HoldKind = HoldKind.STIFF
    depth_m: float = 0.0
    """Of a tab or slot [m]."""
    turning_n: float = math.inf
    """Moment per length of root and per angle [N m/m/rad]."""
    sliding_pa: float = math.inf
    """Force across the fin per length of root and per shift [N/m/m]."""
    pieces_m: tuple[tuple[float, float], ...] = ()
    """Pieces of the root that are held, along the axis from the fin's station [m]; none is all of it."""

    def __post_init__(self) -> None:
        """Refuse springs of no stiffness."""
        for name, value in (("turning_n", self.turning_n), ("sliding_pa", self.sliding_pa)):
            if value != math.inf:
                require_positive(**{name: value})
        for fore, aft in self.pieces_m:
            require_positive(held_length_m=aft - fore)


STIFF_ROOT = RootHold()
"""Root that neither turns nor moves: the ideal of every handbook."""


def wall_turning_stiffness(
    modulus_pa: float, wall_m: float, width_m: float, *, poisson: float = 0.35
) -> float:
    r"""Stiffness against turning of a fin glued to the middle of a flat wall.

    .. math::  k_\theta = \frac{16 D}{b}, \qquad D = \frac{E t^3}{12 (1 - \nu^2)}

    Parameters
    ----------
    modulus_pa : float
        Young's modulus of the wall [Pa].
    wall_m, width_m : float
        Its thickness, and its width between the corners that hold it [m].
    poisson : float
        Poisson's ratio [-].

    Returns
    -------
    turning_n : float
        Moment per length and angle [N m/m/rad].

    Raises
    ------
    OutsideRange
        If an argument is not above zero.

    Notes
    -----
    Holds for a root longer than the wall is wide, in the middle of the wall, the wall's corners clamped.
    A fillet spreads the moment and stiffens; infill behind the wall stiffens more.

    References
    ----------
    .. [1] Beam clamped at both ends under a moment in its middle, 16 E I / L: Roark's Formulas for Stress
       and Strain, table 8.1; from memory, not re-read.

    Examples
    --------
    >>> round(wall_turning_stiffness(2.3e9, 0.0016, 0.06), 1)
    238.6
    """
    require_positive(modulus_pa=modulus_pa, wall_m=wall_m, width_m=width_m)
    return 16 * modulus_pa * wall_m**3 / (12 * (1 - poisson**2)) / width_m


def tab_turning_stiffness(fin: FinPlate, depth_m: float) -> float:
    r"""Stiffness against turning of a tab held at the skin and again deeper in.

    .. math::  k_\theta = \frac{3 D}{d}, \qquad D = \frac{E t^3}{12 (1 - \nu^2)}

    Parameters
    ----------
    fin : FinPlate
        Thickness [m], modulus [Pa] and Poisson's ratio of the plate the tab is cut from.
    depth_m : float
        Distance from the skin to the inner support, such as the motor tube [m].

    Returns
    -------
    turning_n : float
        Moment per length and angle [N m/m/rad].

    Raises
    ------
    OutsideRange
        If the depth is not above zero.

    Notes
    -----
    Holds when both supports only pin the tab; glue fillets on either side stiffen it by up to a third more
    (4 D / d with the inner end clamped).

    References
    ----------
    .. [1] Overhanging beam, rotation at the support 3 E I / L: Gere and Timoshenko, Mechanics of Materials.

    Examples
    --------
    >>> import numpy as np
    >>> square = np.array([[0.0, 0.0], [0.0, 0.1], [0.1, 0.1], [0.1, 0.0]])
    >>> fin = FinPlate(outline_m=square, thickness_m=0.005, modulus_pa=2.3e9, density_kg_m3=1200.0)
    >>> round(tab_turning_stiffness(fin, 0.02))
    4095
    """
    require_positive(depth_m=depth_m)
    return 3 * fin.modulus_pa * fin.thickness_m**3 / (12 * (1 - fin.poisson**2)) / depth_m


def slot_turning_stiffness(modulus_pa: float, depth_m: float, width_m: float, thickness_m: float) -> float:
    r"""Stiffness against turning of a fin glued into a deep slot of printed plastic.

    .. math::  k_\theta = \frac{2 E}{h} \frac{d^3}{12}

    Each face of the slot presses back over a depth :math:`h` of plastic, taken as half the width around it.

    Parameters
    ----------
    modulus_pa : float
        Young's modulus of the print, infill counted in [Pa].
    depth_m : float
        Depth of the slot [m].
    width_m : float
        Width of the plastic on both sides together [m].
    thickness_m : float
        Thickness of the fin [m]; no slot is stiffer than plastic of that depth.

    Returns
    -------
    turning_n : float
        Moment per length and angle [N m/m/rad].

    Raises
    ------
    OutsideRange
        If an argument is not above zero.

    Notes
    -----
    Holds for a tab that stays straight in its slot and touches both faces: dry slots with play do not.

    References
    ----------
    .. [1] Rigid block on Winkler's foundation: Hetenyi, Beams on Elastic Foundation, 1946; from memory.

    Examples
    --------
    >>> round(slot_turning_stiffness(1e9, 0.02, 0.03, 0.005))
    88889
    """
    require_positive(modulus_pa=modulus_pa, depth_m=depth_m, width_m=width_m, thickness_m=thickness_m)
    return 2 * modulus_pa / max(width_m / 2, thickness_m) * depth_m**3 / 12


def root_glue_stress(moment_n_m: float, root_m: float, thickness_m: float, leg_m: float) -> float:
    r"""Stress in the glue that holds a fin's root against bending.

    .. math::  \sigma = \frac{M}{L \, l \, (t + l)}

    Fillets of leg :math:`l` on both sides, or glue on both faces of a slot of depth :math:`l`, resist as a
    couple.

    Parameters
    ----------
    moment_n_m : float
        Moment of the fin's load about its root [N m].
    root_m, thickness_m : float
        Length of the root and thickness of the fin [m].
    leg_m : float
        Leg of the fillets or depth of the slot [m].

    Returns
    -------
    stress_pa : float
        Mean stress in the glue [Pa].

    Raises
    ------
    OutsideRange
        If a size is not above zero.

    Notes
    -----
    Mean along the root; at its hind end it is up to twice as high on a swept fin.

    References
    ----------
    .. [1] Statics of a couple; fillet welds in Shigley, Mechanical Engineering Design, from memory.

    Examples
    --------
    >>> round(root_glue_stress(2.0, 0.25, 0.005, 0.008) / 1e6, 4)
    0.0769
    """
    require_positive(root_m=root_m, thickness_m=thickness_m, leg_m=leg_m)
    return abs(moment_n_m) / (root_m * leg_m * (thickness_m + leg_m))


def bolted_pieces(
    bolts_m: tuple[float, ...], washer_m: float, root_m: tuple[float, float]
) -> tuple[tuple[float, float], ...]:
    """Pieces of the root that bolts hold, merged where they overlap.

    Parameters
    ----------
    bolts_m : tuple of float
        Where the bolts stand along the root [m].
    washer_m : float
        Diameter of their washers [m].
    root_m : tuple of float
        Fore and aft end of the root [m].

    Returns
    -------
    pieces_m : tuple of tuple of float
        Fore and aft end of each piece [m].

    Raises
    ------
    OutsideRange
        If the washer's diameter is not above zero or no bolt holds any of the root.

    Notes
    -----
    A bolt holds as far as its washer reaches and no farther: a stiff fin is held wider, a soft one less.

    References
    ----------
    .. [1] No published rule: a judgement on the safe side for stiff fins.

    Examples
    --------
    >>> bolted_pieces((0.02, 0.03, 0.1), 0.016, (0.0, 0.105))
    ((0.012, 0.038), (0.092, 0.105))
    """
    require_positive(washer_m=washer_m, bolts=len(bolts_m))
    held: list[tuple[float, float]] = []
    for bolt in sorted(bolts_m):
        fore, aft = max(bolt - washer_m / 2, root_m[0]), min(bolt + washer_m / 2, root_m[1])
        if held and fore <= held[-1][1]:
            held[-1] = (held[-1][0], max(aft, held[-1][1]))
        elif aft > fore:
            held.append((fore, aft))
    require_positive(bolts_on_the_root=len(held))
    return tuple(held)
