"""Wires that hold fins: where they run, what stiffness they lend, when they slacken, how hard they pull."""

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np

from finial.core.doors import require_positive
from finial.core.errors import OutsideRange
from finial.structure.bounds import need_between, need_finite

WIRE_DRAG = 1.1
"""Drag of a round wire across the flow on its side view [-]; from memory of Hoerner, Fluid-Dynamic Drag."""

Pattern = Literal["gust", "all alike"]
"""How the fins of a set move against one another."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StayPair:
    """Two equal wires from one point of a fin, one to each side.

    Raises
    ------
    OutsideRange
        If a size is not above zero or the preload is negative.
    """

    along_m: float
    outward_m: float
    """Where the wires meet the fin: along the axis from its station, outward from its root [m]."""
    diameter_m: float
    modulus_pa: float
    preload_n: float
    """Tension in each wire at rest [N]."""
    to: Literal["body", "next fin"] = "body"
    anchor_along_m: float = 0.0
    """Where the wire meets the body, along the axis from the fin's station [m]; unused between fins."""
    anchor_radius_m: float = 0.0
    """Distance of that point from the axis [m]."""
    anchor_turn_rad: float = 0.0
    """Roll angle from the fin to that point, the same to both sides [rad]."""
    anchor_n_per_m: float = math.inf
    """How stiff what it is anchored to is against a pull straight off it [N/m]."""

    def __post_init__(self) -> None:
        """Refuse what no wire can be."""
        require_positive(diameter_m=self.diameter_m, modulus_pa=self.modulus_pa, outward_m=self.outward_m)
        need_between(0.0, 1e6, preload_n=self.preload_n)
        need_finite(along_m=self.along_m, anchor_along_m=self.anchor_along_m)
        if self.to == "body":
            require_positive(anchor_radius_m=self.anchor_radius_m)
            need_between(1e-6, math.pi, anchor_turn_rad=self.anchor_turn_rad)
            if self.anchor_n_per_m != math.inf:
                require_positive(anchor_n_per_m=self.anchor_n_per_m)


@dataclass(frozen=True, slots=True, kw_only=True)
class StayLine:
    """One wire in space, from the fin to its anchor: unit vector along, outward, across the fin."""

    length_m: float
    direction: tuple[float, float, float]

    @property
    def across(self) -> float:
        """Share of the wire's pull that acts across the fin [-]."""
        return abs(self.direction[2])


def stay_line(pair: StayPair, root_radius_m: float, fins: int) -> StayLine:
    r"""Length and direction of a stay.

    .. math::
        d = \left(x_a - x,\; r_a \cos\phi - R,\; r_a \sin\phi\right), \quad R = r_{root} + y, \qquad
        \text{between fins}\; d = R \left(0,\, \cos\tfrac{2\pi}{n} - 1,\, \sin\tfrac{2\pi}{n}\right)

    Parameters
    ----------
    pair : StayPair
        The stay.
    root_radius_m : float
        Distance of the fin's root from the axis [m].
    fins : int
        Number of fins round the body.

    Returns
    -------
    line : StayLine
        Length [m] and direction.

    Raises
    ------
    OutsideRange
        If the root's radius is negative, or wires run between fewer than three fins.

    Notes
    -----
    Range: equal fins, evenly spaced.

    References
    ----------
    .. [1] Plain geometry.

    Examples
    --------
    >>> pair = StayPair(
    ...     along_m=0.1, outward_m=0.1, diameter_m=0.001, modulus_pa=190e9, preload_n=50.0, to="next fin")
    >>> line = stay_line(pair, 0.05, 4)
    >>> round(line.length_m, 4), round(line.across, 4)
    (0.2121, 0.7071)
    """
    need_between(0.0, 1e3, root_radius_m=root_radius_m)
    reach = root_radius_m + pair.outward_m
    if pair.to == "next fin":
        if fins < 3:
            raise OutsideRange(f"{fins} fins: wires between fins need three or more")
        turn, radius, shift = 2 * math.pi / fins, reach, 0.0
    else:
        turn, radius = pair.anchor_turn_rad, pair.anchor_radius_m
        shift = pair.anchor_along_m - pair.along_m
    vector = np.array([shift, radius * math.cos(turn) - reach, radius * math.sin(turn)])
    length = float(np.linalg.norm(vector))
    require_positive(wire_length_m=length)
    x, r, t = (vector / length).tolist()
    return StayLine(length_m=length, direction=(x, r, t))


def pair_stiffness(pair: StayPair, line: StayLine, *, fins: int, pattern: Pattern) -> float:
    r"""Stiffness across a fin that both wires lend while both are taut.

    .. math::
        k_\perp = 2 \frac{E A}{L} c^2 \;\text{(to the body)}, \qquad
        k_\perp = 2 \frac{E A}{L} c^2 \left(1 - \cos\psi\right) \;\text{(between fins)}

    with :math:`c` the share of the pull that acts across the fin and :math:`\psi` the phase from one fin to
    the next: 0 when all fins bend the same way round, :math:`2 \pi / n` when a gust bends them.

    Parameters
    ----------
    pair : StayPair
        The stay.
    line : StayLine
        Its run.
    fins : int
        Number of fins.
    pattern : {"gust", "all alike"}
        How the fins bend together.

    Returns
    -------
    stiffness_n_per_m : float
        Across the fin [N/m].

    Notes
    -----
    Holds for small shifts and taut wires. Between fins nothing is lent when all fins bend the same way round:
    the ring of wires turns with them. Flutter may take that pattern, so such wires are no cure for it.

    References
    ----------
    .. [1] Bar stiffness and cyclic symmetry, any text on vibration, such as Meirovitch; from memory.

    Examples
    --------
    >>> pair = StayPair(
    ...     along_m=0.1, outward_m=0.1, diameter_m=0.001, modulus_pa=190e9, preload_n=50.0, to="next fin")
    >>> line = stay_line(pair, 0.05, 4)
    >>> [round(pair_stiffness(pair, line, fins=4, pattern=one)) for one in ("gust", "all alike")]
    [703456, 0]
    """
    along = wire_stiffness(pair, line)
    if pair.to == "body":
        return 2 * along * line.across**2
    phase = 2 * math.pi / fins if pattern == "gust" else 0.0
    # A point that moves across its fin lengthens the wire by its share towards the next fin.
    return 2 * along * math.cos(math.pi / fins) ** 2 * (1 - math.cos(phase))


def wire_stiffness(pair: StayPair, line: StayLine) -> float:
    r"""Stiffness of one wire along itself, with what it is anchored to.

    .. math::  \frac{1}{k} = \frac{L}{E A} + \frac{c_n^2}{k_a}, \qquad c_n = |d_r \cos\phi + d_t \sin\phi|

    with :math:`c_n` the share of the wire's pull that lifts its anchor straight off the skin.

    Parameters
    ----------
    pair : StayPair
        Wire [m], [Pa] and anchor [N/m].
    line : StayLine
        Its run.

    Returns
    -------
    stiffness_n_per_m : float
        Along the wire [N/m].

    Notes
    -----
    Holds for taut wires; a pull along the skin finds it stiff. Between fins the far end gives by its own fin.

    References
    ----------
    .. [1] Springs in a row; E A / L of a bar, any strength of materials text.

    Examples
    --------
    >>> pair = StayPair(
    ...     along_m=0.1, outward_m=0.1, diameter_m=0.0012, modulus_pa=190e9, preload_n=50.0, to="next fin")
    >>> round(wire_stiffness(pair, StayLine(length_m=0.25, direction=(0.0, 0.0, 1.0))) / 1e3, 1)
    859.5
    """
    give = line.length_m / (pair.modulus_pa * math.pi / 4 * pair.diameter_m**2)
    if pair.to == "body":
        _, outward, aside = line.direction
        off_skin = outward * math.cos(pair.anchor_turn_rad) + aside * math.sin(pair.anchor_turn_rad)
        give += off_skin**2 / pair.anchor_n_per_m
    return 1 / give


def warmed_tension(
    pair: StayPair, line: StayLine, *, structure_per_k: float, wire_per_k: float, warmer_by_k: float
) -> float:
    r"""Tension that warming adds to a stay, because plastic grows more than its wire.

    .. math::  \Delta T = k L (\alpha_s - \alpha_w) \Delta\vartheta

    Parameters
    ----------
    pair : StayPair
        Wire and anchor.
    line : StayLine
        Its run [m].
    structure_per_k, wire_per_k : float
        Expansion of what the wire spans, and of the wire [1/K].
    warmer_by_k : float
        Warming since it was tightened [K]; negative when colder.

    Returns
    -------
    tension_n : float
        Added to each wire [N]; negative when colder: it slackens.

    Raises
    ------
    OutsideRange
        If a number is not finite.

    Notes
    -----
    Holds while the wire stays taut and fin and body are as warm as each other. The fin is taken as stiff
    inward.

    References
    ----------
    .. [1] Thermal stress of bars in a frame: Gere and Timoshenko, Mechanics of Materials, chapter 2.

    Examples
    --------
    >>> pair = StayPair(
    ...     along_m=0.1, outward_m=0.1, diameter_m=0.001, modulus_pa=190e9, preload_n=50.0, to="next fin")
    >>> line = StayLine(length_m=0.2, direction=(0.0, 0.0, 1.0))
    >>> round(warmed_tension(pair, line, structure_per_k=70e-6, wire_per_k=12e-6, warmer_by_k=-10.0), 1)
    -86.6
    """
    need_finite(structure=structure_per_k, wire=wire_per_k, warmer_by_k=warmer_by_k)
    return wire_stiffness(pair, line) * line.length_m * (structure_per_k - wire_per_k) * warmer_by_k


def slack_shift(pair: StayPair, line: StayLine) -> float:
    r"""Shift of the fin at which one wire of a pair goes slack.

    .. math::  w_0 = \frac{T L}{E A \, c}

    Parameters
    ----------
    pair : StayPair
        Preload [N] and wire.
    line : StayLine
        Its run.

    Returns
    -------
    shift_m : float
        Shift across the fin [m].

    Raises
    ------
    OutsideRange
        If the wire runs along the fin and holds nothing.

    Notes
    -----
    Holds for a wire to a stiff anchor; between fins the far end may move too, up to half of this each.

    References
    ----------
    .. [1] Bar stiffness, any strength of materials text.

    Examples
    --------
    >>> pair = StayPair(
    ...     along_m=0.1, outward_m=0.1, diameter_m=0.0012, modulus_pa=190e9, preload_n=86.0, to="next fin")
    >>> round(slack_shift(pair, StayLine(length_m=0.25, direction=(0.0, -0.7071, 0.7071))) * 1e3, 3)
    0.141
    """
    require_positive(across=line.across)
    return pair.preload_n / (wire_stiffness(pair, line) * line.across)


@dataclass(frozen=True, slots=True, kw_only=True)
class StayForces:
    """What a pair of wires does when its fin has moved."""

    tight_n: float
    """Tension in the tighter wire [N]."""
    loose_n: float
    """Tension in the other; 0 when it is slack [N]."""
    back_n: float
    """Force across the fin that pushes it back [N]."""
    inward_n: float
    """Pull of both along the fin towards the body [N]."""


def stay_forces(pair: StayPair, line: StayLine, shift_m: float) -> StayForces:
    r"""Tension of both wires when the fin has moved across by a distance.

    .. math::  T_{1,2} = \max\left(0, \; T \pm \frac{E A}{L} c \, w\right)

    Parameters
    ----------
    pair : StayPair
        The stay.
    line : StayLine
        Its run.
    shift_m : float
        Shift across the fin [m].

    Returns
    -------
    forces : StayForces
        Tensions and what they do to the fin [N].

    Raises
    ------
    OutsideRange
        If the shift is not finite.

    Notes
    -----
    Range: wires pull and never push; the anchor stands still.

    References
    ----------
    .. [1] Statics of two wires.

    Examples
    --------
    >>> pair = StayPair(along_m=0.1, outward_m=0.1, diameter_m=0.001, modulus_pa=190e9, preload_n=50.0,
    ...     anchor_along_m=0.1, anchor_radius_m=0.05, anchor_turn_rad=0.7)
    >>> forces = stay_forces(pair, StayLine(length_m=0.1, direction=(0.0, -0.6, 0.8)), 0.001)
    >>> round(forces.tight_n), forces.loose_n
    (1244, 0.0)
    """
    need_finite(shift_m=shift_m)
    stretch = wire_stiffness(pair, line) * line.across * abs(shift_m)
    tight, loose = pair.preload_n + stretch, max(0.0, pair.preload_n - stretch)
    return StayForces(
        tight_n=tight,
        loose_n=loose,
        back_n=(tight - loose) * line.across,
        inward_n=(tight + loose) * max(0.0, -line.direction[1]),
    )


def wire_drag(line: StayLine, diameter_m: float, pressure_pa: float) -> float:
    r"""Drag of one wire.

    .. math::  D = q \, C_d \, d \, L \sin^3\theta

    with :math:`\theta` the angle between wire and wind.

    Parameters
    ----------
    line : StayLine
        Length [m] and direction.
    diameter_m : float
        Diameter [m].
    pressure_pa : float
        Dynamic pressure [Pa].

    Returns
    -------
    drag_n : float
        Drag along the axis [N].

    Raises
    ------
    OutsideRange
        If the diameter is not above zero or the pressure is negative.

    Notes
    -----
    Holds for smooth round wire at Reynolds numbers of 1e3 to 1e5. A streamline wire has a fifth of it.

    References
    ----------
    .. [1] Hoerner, Fluid-Dynamic Drag, 1965, chapter 3: cross-flow principle, C_d 1.1; from memory.

    Examples
    --------
    >>> round(wire_drag(StayLine(length_m=0.25, direction=(0.0, 0.0, 1.0)), 0.0015, 6000.0), 3)
    2.475
    """
    require_positive(diameter_m=diameter_m)
    need_between(0.0, 1e7, pressure_pa=pressure_pa)
    slant = math.sqrt(max(0.0, 1 - line.direction[0] ** 2))
    return pressure_pa * WIRE_DRAG * diameter_m * line.length_m * slant**3


def bowing_load(modulus_pa: float, chord_m: float, thickness_m: float, outward_m: float) -> float:
    r"""Pull towards the body at which a fin bows out between its root and taut wires.

    .. math::  P = 2.046 \, \frac{\pi^2 E I}{y^2}, \qquad I = \frac{c\, t^3}{12}

    Parameters
    ----------
    modulus_pa : float
        Young's modulus of the fin [Pa].
    chord_m, thickness_m : float
        Mean chord between root and wire, and thickness [m].
    outward_m : float
        Distance of the wire from the root [m].

    Returns
    -------
    load_n : float
        Pull [N].

    Raises
    ------
    OutsideRange
        If an argument is not above zero.

    Notes
    -----
    Holds while both wires are taut and steady the point they pull at; with one slack it falls to an eighth.

    References
    ----------
    .. [1] Column clamped at one end, pinned at the other: Timoshenko and Gere, Theory of Elastic Stability,
       chapter 2.

    Examples
    --------
    >>> round(bowing_load(2.35e9, 0.2, 0.005, 0.15))
    4394
    """
    require_positive(modulus_pa=modulus_pa, chord_m=chord_m, thickness_m=thickness_m, outward_m=outward_m)
    return 2.046 * math.pi**2 * modulus_pa * chord_m * thickness_m**3 / (12 * outward_m**2)
