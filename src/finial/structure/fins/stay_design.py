"""Where stays must go, how thick and how tight, for a fin to reach a wanted flutter speed."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from finial.core.doors import require_positive
from finial.structure.bounds import need_between
from finial.structure.fins.in_wind import FlexibleFin, SwingingFin, swinging_fin, with_point_springs
from finial.structure.fins.modal_flutter import MachFactor, first_growth
from finial.structure.fins.outline import Trapezoid, trapezoids
from finial.structure.fins.plate_answers import solved
from finial.structure.fins.plate_model import rows_at
from finial.structure.fins.stays import StayPair, pair_stiffness, stay_line

DIAMETERS_M = (0.0005, 0.0008, 0.0012, 0.002)
GUST_FACTOR = 1.3
"""Load of a harder gust over the one given [-]; assumed."""
ALONG_SHARES = (0.15, 0.3, 0.45, 0.6, 0.75, 0.9)
OUTWARD_SHARES = (0.6, 0.75, 0.9)
PRELOAD_RESERVE = 2.5
"""Preload over what the load takes from the looser wire: 1.5 with a gust 30 % harder, a wire 20 % looser."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StayWish:
    """What the fin with stays must reach, and in what air and load.

    Raises
    ------
    OutsideRange
        If a number is not above zero.
    """

    flutter_m_s: float
    density_kg_m3: float
    speeds_m_s: NDArray[np.float64]
    """Speeds to look for growth at [m/s]."""
    forces_n: NDArray[np.float64]
    """Largest load of the flight at the lattice's bound points [N]."""
    mach_factor: MachFactor
    allowed_pa: float = math.inf
    """Stress a wire may be loaded to [Pa]."""

    def __post_init__(self) -> None:
        """Refuse a wish for nothing."""
        require_positive(flutter_m_s=self.flutter_m_s, density_kg_m3=self.density_kg_m3)


@dataclass(frozen=True, slots=True, kw_only=True)
class Anchorage:
    """Where wires may meet the body, beside which root, how many fins."""

    root_radius_m: float
    fins: int
    radius_m: float
    turn_rad: float
    """Roll angle from the fin to the anchors [rad]."""
    stiffness_n_per_m: float = math.inf
    """Of what the wires are anchored to, against a pull straight off it [N/m]."""

    def __post_init__(self) -> None:
        """Refuse an anchor on the axis."""
        require_positive(root_radius_m=self.root_radius_m, radius_m=self.radius_m)
        need_between(1e-3, math.pi, turn_rad=self.turn_rad)


@dataclass(frozen=True, slots=True, kw_only=True)
class StayDesign:
    """The stays found, or the best of those tried."""

    pair: StayPair
    flutter_m_s: float
    """Flutter or divergence speed with them [m/s]; ``inf`` where nothing grows at the speeds tried."""
    reaches: bool
    shift_m: float
    """Shift of the wires' point under the load [m]."""
    tried: int


def candidate_points(outline_m: NDArray[np.float64]) -> tuple[tuple[float, float], ...]:
    """Points of a fin where stays may be tied: shares of its span and of the chord there.

    Parameters
    ----------
    outline_m : ndarray, shape (n, 2)
        Corners in order: along the axis, outward from the root [m].

    Returns
    -------
    points_m : tuple of tuple of float
        Along, outward [m].

    Raises
    ------
    OutsideRange
        As :func:`trapezoids <finial.structure.fins.outline.trapezoids>`.

    Notes
    -----
    Points between those of the grid are not tried; a notch counts as part of the chord.

    References
    ----------
    .. [1] No published method: a search over points.

    Examples
    --------
    >>> len(candidate_points(np.array([[0.0, 0.0], [0.0, 0.1], [0.1, 0.1], [0.1, 0.0]])))
    18
    """
    pieces = trapezoids(outline_m)
    span = pieces[-1].outer_m
    points: list[tuple[float, float]] = []
    for share in OUTWARD_SHARES:
        y = share * span
        here = [piece for piece in pieces if piece.inner_m <= y <= piece.outer_m]
        ends = [_edges(piece, y) for piece in here]
        fore, aft = min(end[0] for end in ends), max(end[1] for end in ends)
        points += [(fore + part * (aft - fore), y) for part in ALONG_SHARES]
    return tuple(points)


def _edges(piece: Trapezoid, y: float) -> tuple[float, float]:
    share = (y - piece.inner_m) / (piece.outer_m - piece.inner_m)
    fore = piece.fore_m[0] + share * (piece.fore_m[1] - piece.fore_m[0])
    return fore, piece.aft_m[0] + share * (piece.aft_m[1] - piece.aft_m[0])


def designed_stays(
    fin: FlexibleFin,
    wish: StayWish,
    anchorage: Anchorage,
    *,
    modulus_pa: float,
    points_m: Sequence[tuple[float, float]] | None = None,
) -> StayDesign:
    r"""Find the thinnest pair of wires to the body, and its place, that reach a flutter speed.

    .. math::
        V_f(x, y, d) \ge V_{wanted}, \qquad
        T = 2.5 \, \frac{E A}{L} \, c \, w, \qquad w = \frac{w_{bare}}{1 + k_\perp f}

    with :math:`w_{bare}` the shift of the point under the load and :math:`f` the fin's own flexibility there.

    Parameters
    ----------
    fin : FlexibleFin
        The fin without wires.
    wish : StayWish
        Flutter speed wanted [m/s], air and load.
    anchorage : Anchorage
        Where wires may meet the body [m].
    modulus_pa : float
        Young's modulus of the wire [Pa].
    points_m : sequence of (along, outward), optional
        Places to try [m]; a grid over the outer fin by default.

    Returns
    -------
    design : StayDesign
        Place, diameter and preload.

    Raises
    ------
    OutsideRange
        If the modulus is not above zero.

    Notes
    -----
    Range: taut wires, one pair on each fin, tied to the body abreast of the place on the fin. Searched in the
    modes of the bare fin, so the speed is a little high: work out the found pair in the plate itself.

    References
    ----------
    .. [1] Search over a grid; the parts as in :mod:`finial.structure.fins.in_wind`.

    Examples
    --------
    >>> from finial.structure.fins.in_wind import flexible_fin
    >>> from finial.structure.fins.plate import FinPlate
    >>> from finial.structure.fins.plate_model import plate_model
    >>> square = np.array([[0.0, 0.0], [0.0, 0.15], [0.15, 0.15], [0.15, 0.0]])
    >>> plate = FinPlate(outline_m=square, thickness_m=0.003, modulus_pa=2.3e9, density_kg_m3=1200.0)
    >>> fin = flexible_fin(plate_model(plate))
    >>> wish = StayWish(flutter_m_s=90.0, density_kg_m3=1.2, speeds_m_s=np.linspace(20.0, 120.0, 21),
    ...     forces_n=np.full(80, 0.2), mach_factor=lambda speed: 1.0)
    >>> place = Anchorage(root_radius_m=0.05, fins=4, radius_m=0.05, turn_rad=0.7)
    >>> designed_stays(fin, wish, place, modulus_pa=190e9, points_m=[(0.12, 0.13)]).reaches
    True
    """
    require_positive(modulus_pa=modulus_pa)
    bare = swinging_fin(fin, count=10)
    best: StayDesign | None = None
    tried = 0
    for design in _designs(fin, bare, wish, (anchorage, modulus_pa, points_m)):
        tried += 1
        if best is None or (design.reaches, design.flutter_m_s) > (best.reaches, best.flutter_m_s):
            best = design
        if best.reaches and design is best:
            break
    assert best is not None
    return replace(best, tried=tried)


def _designs(
    fin: FlexibleFin,
    bare: SwingingFin,
    wish: StayWish,
    where: tuple[Anchorage, float, Sequence[tuple[float, float]] | None],
) -> Iterator[StayDesign]:
    """Yield designs, thin wires first, and for each diameter the fastest place first."""
    anchorage, modulus, points = where
    places = list(points or candidate_points(fin.model.plate.outline_m))
    soft, shifts = _flexibility(fin, places, wish.forces_n)
    for diameter in DIAMETERS_M:
        found = [
            _design(
                (bare, fin), wish, _pair(place, diameter, anchorage, modulus), (anchorage, soft[i], shifts[i])
            )
            for i, place in enumerate(places)
        ]
        yield from sorted(found, key=lambda one: -one.flutter_m_s)


def _pair(place: tuple[float, float], diameter: float, anchorage: Anchorage, modulus: float) -> StayPair:
    return StayPair(
        along_m=place[0],
        outward_m=place[1],
        diameter_m=diameter,
        modulus_pa=modulus,
        preload_n=0.0,
        anchor_along_m=place[0],
        anchor_radius_m=anchorage.radius_m,
        anchor_turn_rad=anchorage.turn_rad,
        anchor_n_per_m=anchorage.stiffness_n_per_m,
    )


def _design(
    fin: tuple[SwingingFin, FlexibleFin],
    wish: StayWish,
    pair: StayPair,
    at: tuple[Anchorage, float, float],
) -> StayDesign:
    anchorage, softness, bare_shift = at
    line = stay_line(pair, anchorage.root_radius_m, anchorage.fins)
    stiffness = pair_stiffness(pair, line, fins=anchorage.fins, pattern="all alike")
    swinging = with_point_springs(fin[0], fin[1].model, [((pair.along_m, pair.outward_m), stiffness)])
    growth = first_growth(
        swinging, wish.density_kg_m3, wish.speeds_m_s, mach_factor=wish.mach_factor, tolerance=1e-3
    )
    speed = growth.speed_m_s if growth else math.inf
    shift = bare_shift / (1 + stiffness * softness)
    taken = stiffness * shift / (2 * line.across)
    tight = (PRELOAD_RESERVE + GUST_FACTOR) * taken / (math.pi / 4 * pair.diameter_m**2)
    return StayDesign(
        pair=replace(pair, preload_n=float(PRELOAD_RESERVE * taken)),
        flutter_m_s=speed,
        reaches=bool(speed >= wish.flutter_m_s and tight <= wish.allowed_pa),
        shift_m=float(shift),
        tried=0,
    )


def _flexibility(
    fin: FlexibleFin, places: Sequence[tuple[float, float]], forces_n: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Shift per force at each place [m/N], and its shift under the load [m]."""
    rows = rows_at(fin.model, np.array(places)).deflection
    answers = solved(fin.model, rows.T)
    loaded = answers.T @ (fin.grid.bound_rows.T @ forces_n)
    return np.einsum("pn,np->p", rows, answers), np.abs(loaded)
