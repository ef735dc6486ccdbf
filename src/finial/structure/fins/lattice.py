"""Vortex rings on a fin, their mirror image behind the root, and a wake that carries swings away."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.aero.plates.planform import strip_edges
from finial.core.errors import OutsideRange
from finial.structure.bounds import need_between

_STRETCH = 1.12
_WAKE_CHORDS = 60.0
"""Length of the wake in mean chords: what lies further on moves the lift by less than 0.1 %."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FinLattice:
    """Rings, the points they are felt at, and the wash each makes. Everything per unit of speed.

    Rings are counted along the chord first: number = along * across + outward. Shapes: ``p`` rings.
    """

    seen_m: NDArray[np.float64]
    """Where no flow passes through the fin, (p, 2): along, outward [m]."""
    bound_m: NDArray[np.float64]
    """Middle of each ring's front, where steady lift acts, (p, 2) [m]."""
    middle_m: NDArray[np.float64]
    """Where the force of a changing jump acts on each panel, (p, 2) [m]."""
    widths_m: NDArray[np.float64]
    areas_m2: NDArray[np.float64]
    """Area of each panel [m^2]."""
    wash: NDArray[np.float64]
    """Upward wash of bound rings, (p, p) [1/m]."""
    wake_wash: NDArray[np.float64]
    """Upward wash of wake rings behind each strip, (rows, p, across) [1/m]."""
    wake_reach_m: NDArray[np.float64]
    """Distance behind the trailing edge at which each wake row begins, (rows + 1,) [m]."""
    across: int
    half_chord_m: float
    """Half of the mean chord [m]: the length in reduced frequencies."""
    area_m2: float

    @property
    def net(self) -> NDArray[np.float64]:
        """Circulation of each bound vortex from those of the rings [-], (p, p)."""
        size = len(self.widths_m)
        return np.eye(size) - np.eye(size, k=-self.across)

    @property
    def mean(self) -> NDArray[np.float64]:
        """Jump of the potential over each panel from the circulation of the rings [-], (p, p).

        All vortices ahead of a panel's rear edge make up the jump there.
        """
        size = len(self.widths_m)
        return (np.eye(size) + np.eye(size, k=-self.across)) / 2


def fin_lattice(outline_m: NDArray[np.float64], *, across: int = 10, along: int = 8) -> FinLattice:
    r"""Cover a flat fin with vortex rings.

    .. math::  w_i = \sum_j A_{ij} \Gamma_j + \sum_r \sum_s B_{r,is} \Gamma_s(t - x_r / V)

    Parameters
    ----------
    outline_m : ndarray, shape (n, 2)
        Along, outward from the root [m].
    across, along : int
        Rings outward and along the chord, 1 to 60.

    Returns
    -------
    lattice : FinLattice
        Geometry and wash.

    Raises
    ------
    OutsideRange
        If the outline has no span or a count lies outside its range.

    Notes
    -----
    Thin fin, small angles, incompressible; notches are filled. The plane of the root is a mirror: the body
    is wide beside the fin. Steady lift within 0.3 % of the horseshoe lattice of :mod:`finial.aero.fins`.

    References
    ----------
    .. [1] Katz and Plotkin, Low-Speed Aerodynamics, 2nd ed. 2001, sections 12.3 and 13.12; from memory.

    Examples
    --------
    >>> fin_lattice(np.array([[0, 0], [0, 0.5], [1, 0.5], [1, 0]]), across=4, along=3).wash.shape
    (12, 12)
    """
    need_between(1, 60, across=across, along=along)
    outline = np.asarray(outline_m, dtype=float)
    span = float(outline[:, 1].max())
    if not span > 0:
        raise OutsideRange("a lattice needs a fin with a span")
    # A quarter strip left free at the tip brings lift to its limit far sooner.
    edges = np.linspace(0.0, span * across / (across + 0.25), across + 1)
    lead, trail = strip_edges(outline, np.clip(edges, 1e-9 * span, span * (1 - 1e-9)))
    chord = trail - lead
    share = np.arange(along + 1) + 0.25
    lines = lead + share[:, None] / along * chord
    middle_lead, middle_chord = (lead[1:] + lead[:-1]) / 2, (chord[1:] + chord[:-1]) / 2
    outward = np.tile((edges[1:] + edges[:-1]) / 2, along)

    def at(offset: NDArray[np.float64]) -> NDArray[np.float64]:
        aft = middle_lead + ((np.arange(along) + offset) / along)[:, None] * middle_chord
        return np.column_stack([aft.ravel(), outward])

    reach = _wake_reach(float(chord.mean()) / along, float(chord.mean()))
    seen = at(np.full(along, 0.75))
    rings = _rings(lines, edges)
    return FinLattice(
        seen_m=seen,
        bound_m=at(np.full(along, 0.25)),
        # Vortices stand a quarter into their panels, so the jump they make begins ahead of the middle.
        middle_m=at(np.full(along, 0.375)),
        widths_m=np.tile(np.diff(edges), along),
        areas_m2=np.tile(middle_chord / along * np.diff(edges), along),
        wash=_mirrored_wash(seen, rings),
        wake_wash=_wake_wash(seen, (trail, edges), (lines[-1], reach)),
        wake_reach_m=reach,
        across=across,
        half_chord_m=float(chord.mean()) / 2,
        area_m2=float(np.sum(np.diff(edges) * middle_chord) + (span - edges[-1]) * chord[-1]),
    )


def _wake_reach(panel: float, chord: float) -> NDArray[np.float64]:
    """Rows as long as a panel for two chords, then ever longer; from a quarter panel behind the edge."""
    steps = [0.25 * panel]
    length = panel
    while steps[-1] < _WAKE_CHORDS * chord:
        steps.append(steps[-1] + length)
        if steps[-1] > 2 * chord:
            length *= _STRETCH
    return np.array(steps)


def _rings(lines: NDArray[np.float64], edges: NDArray[np.float64]) -> NDArray[np.float64]:
    """Corners of rings between lines across, (p, 4, 2): front inner, front outer, rear outer, rear inner."""
    inner, outer = (
        np.broadcast_to(edges[:-1], lines[:-1, 1:].shape),
        np.broadcast_to(edges[1:], lines[:-1, 1:].shape),
    )
    corners = [
        (lines[:-1, :-1], inner),
        (lines[:-1, 1:], outer),
        (lines[1:, 1:], outer),
        (lines[1:, :-1], inner),
    ]
    return np.stack([np.stack(pair, axis=-1).reshape(-1, 2) for pair in corners], axis=1)


def _wake_wash(
    seen: NDArray[np.float64],
    edge: tuple[NDArray[np.float64], NDArray[np.float64]],
    wake: tuple[NDArray[np.float64], NDArray[np.float64]],
) -> NDArray[np.float64]:
    (trail, edges), (first, reach) = edge, wake
    lines = trail + reach[:, None]
    # The first row begins where the last ring ends, which differs a little from strip to strip.
    lines[0] = first
    wash = _mirrored_wash(seen, _rings(lines, edges))
    return wash.reshape(len(seen), len(reach) - 1, len(edges) - 1).transpose(1, 0, 2)


def _mirrored_wash(points: NDArray[np.float64], rings: NDArray[np.float64]) -> NDArray[np.float64]:
    """Wash of rings and of their image in the plane of the root, (points, rings)."""
    return _ring_wash(points, rings) + _ring_wash(points * np.array([1.0, -1.0]), rings)


def _ring_wash(points: NDArray[np.float64], rings: NDArray[np.float64]) -> NDArray[np.float64]:
    """Upward wash at points of the plane from unit rings (Biot and Savart), (points, rings)."""
    total = np.zeros((len(points), len(rings)))
    for start, end in ((0, 1), (1, 2), (2, 3), (3, 0)):
        a = points[:, None, :] - rings[None, :, start, :]
        b = points[:, None, :] - rings[None, :, end, :]
        side = rings[:, end, :] - rings[:, start, :]
        cross = a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0]
        # A point in line with a straight vortex feels nothing from it.
        safe = np.where(np.abs(cross) < 1e-14, np.inf, cross)
        along = np.sum(side * (a / np.linalg.norm(a, axis=-1, keepdims=True)), axis=-1)
        along = along - np.sum(side * (b / np.linalg.norm(b, axis=-1, keepdims=True)), axis=-1)
        total += along / safe
    return total / (4 * np.pi)


@dataclass(frozen=True, slots=True, kw_only=True)
class LatticeMotion:
    """Shapes a fin moves in, read at the lattice's points; each (p, m)."""

    slope: NDArray[np.float64]
    """Slope along the axis where no flow passes [1/m per m]."""
    seen: NDArray[np.float64]
    """Deflection there [m]."""
    bound: NDArray[np.float64]
    """Deflection where steady lift acts [m]."""
    middle: NDArray[np.float64]
    """Deflection where the force of a changing jump acts [m]."""


def ring_response(lattice: FinLattice, reduced_frequency: float) -> NDArray[np.complex128]:
    r"""Circulation of every ring per upward wash at every seen point, swinging.

    .. math::  (A + B(k))^{-1}

    Parameters
    ----------
    lattice : FinLattice
        The rings.
    reduced_frequency : float
        :math:`k = \omega b / V` with b half the mean chord [-], 0 or more.

    Returns
    -------
    response : ndarray, shape (p, p)
        Circulation over wash, both over speed [m]; the same for every stiffness of the fin.

    Raises
    ------
    OutsideRange
        If the frequency is negative or not finite.

    Notes
    -----
    Range: as :func:`swing_loads`.

    References
    ----------
    .. [1] As :func:`swing_loads`.

    Examples
    --------
    >>> square = fin_lattice(np.array([[0, 0], [0, 0.5], [1, 0.5], [1, 0]]), across=4, along=3)
    >>> ring_response(square, 0.3).shape
    (12, 12)
    """
    need_between(0.0, 1e3, reduced_frequency=reduced_frequency)
    rate = 1j * reduced_frequency / lattice.half_chord_m
    wash = lattice.wash.astype(complex)
    rows = lattice.wake_wash.reshape(len(lattice.wake_wash), -1)
    wash[:, -lattice.across :] += (_phases(lattice, rate) @ rows).reshape(-1, lattice.across)
    return np.asarray(np.linalg.inv(wash), dtype=np.complex128)


def swing_loads(
    lattice: FinLattice,
    motion: LatticeMotion,
    reduced_frequency: float,
    *,
    response: NDArray[np.complex128] | None = None,
) -> NDArray[np.complex128]:
    r"""Generalised air forces of a swinging fin, per dynamic pressure.

    .. math::
        (A + B(k)) \Gamma / V = \phi_{,x} + i \frac{k}{b} \phi, \qquad
        Q_{mn} = 2 \sum_i \phi_{m,i} [ \Delta y \, \Gamma^{net}_n + i S \frac{k}{b} \bar\Gamma_n ]_i / V

    Parameters
    ----------
    lattice : FinLattice
        The rings.
    motion : LatticeMotion
        The shapes.
    reduced_frequency : float
        :math:`k = \omega b / V` with b half the mean chord [-], 0 or more.
    response : ndarray, shape (p, p), optional
        What :func:`ring_response` gives at that frequency, where it is at hand [m].

    Returns
    -------
    loads : ndarray, shape (m, m)
        Force on shape m from motion n over dynamic pressure [m^2 per unit of each shape].

    Raises
    ------
    OutsideRange
        If the frequency is negative or not finite.

    Notes
    -----
    Holds up to about k = 2 with eight rings along the chord: lift of a long fin within 1 % of Theodorsen's,
    its centre within 2 % of the chord. Incompressible; scale by the lift slope for Mach numbers up to 0.9.

    References
    ----------
    .. [1] Katz and Plotkin, Low-Speed Aerodynamics, 2nd ed. 2001, section 13.12, taken to steady swings.

    Examples
    --------
    >>> square = fin_lattice(np.array([[0, 0], [0, 0.5], [1, 0.5], [1, 0]]))
    >>> still = np.ones((80, 1))
    >>> tilt = LatticeMotion(slope=-still, seen=0 * still, bound=still, middle=still)
    >>> round(float(swing_loads(square, tilt, 0.0)[0, 0].real) / 0.5, 2)
    1.46
    """
    if response is None:
        response = ring_response(lattice, reduced_frequency)
    rate = 1j * reduced_frequency / lattice.half_chord_m
    rings = response @ (motion.slope + rate * motion.seen)
    steady = motion.bound.T @ (lattice.widths_m[:, None] * (lattice.net @ rings))
    swing = motion.middle.T @ (lattice.areas_m2[:, None] * (lattice.mean @ rings))
    return 2 * (steady + rate * swing)


def _phases(lattice: FinLattice, rate: complex) -> NDArray[np.complex128]:
    """Return what the wake carries, averaged over each row, (rows,)."""
    # A ring stands for the jump at its middle, which for the last is as far ahead of the trailing edge
    # as the wake begins behind it.
    shift = lattice.wake_reach_m[0]
    start, end = lattice.wake_reach_m[:-1] + shift, lattice.wake_reach_m[1:] + shift
    if rate == 0:
        return np.ones(len(start), dtype=complex)
    return (np.exp(-rate * start) - np.exp(-rate * end)) / (rate * (end - start))
