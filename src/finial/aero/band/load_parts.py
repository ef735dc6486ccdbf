"""What the normal force is made of, each part with the factors that may weaken or strengthen it."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from finial.aero.body import BodyAir, potential_factor
from finial.aero.fins.force import (
    EDGE_VORTEX,
    STALL_EARLY,
    STALL_LATE,
    edge_vortex_force,
    fin_force,
    fin_station,
    tail_force,
)
from finial.aero.fins.on_body import FIN_TAIL, FinAir
from finial.aero.rings import RING_ACROSS, RingAir, ring_forces
from finial.aero.sections.crossflow import (
    CRITICAL_SHARE,
    crossflow_mach_factor,
    smooth_reynolds_factor,
    smooth_reynolds_range,
)
from finial.aero.steps.fronts import ADDED, LOST_CLOSED, LOST_OPEN, MOVED, FrontLip
from finial.aero.steps.ledges import smoothness
from finial.aero.steps.separation import Bubble, SeparatedGrowth
from finial.core.errors import OutsideRange
from finial.core.kept_parts import kept
from finial.shape.skin import Skin

RELIEF_FACTOR = (0.8, 1.2)
"""Three-dimensional flow is taken between these shares of its smaller and larger guess."""
CROSSFLOW_FACTOR = (0.75, 1.0, 1.25)
SMOOTH_FACTOR = (CRITICAL_SHARE, 1.0, 1.25)
"""Smooth outlines: past the critical Reynolds number little is left of their drag."""
BASE_LOSS = (0.4, 1.0, 1.3)
"""Lift of growth ahead of a blunt base that is lost, over what the method takes off."""
FOLLOWED_ERROR = 0.5
"""The air may follow a tail by so much less than it is taken to; on the measured tails 0.0 to 0.45."""
_LEE_OPENS_RAD = np.radians(20.0)
_LEE_MORE = 0.3
"""The bubble on the lee side of a front grows with the angle: from the first of these on it may take so much
more of the front's lift; judgement."""
TAIL_CREDIT = (0.5, 1.0, 1.0)
"""Share of the negative lift that a gentle taper towards the base keeps; common practice."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class DoubtfulForce:
    """A force that may be weaker or stronger than its central guess. Arrays (angle, roll).

    Equal only to itself.
    """

    name: str
    force: NDArray[np.float64]
    moment: NDArray[np.float64]
    low: NDArray[np.float64] | float
    """Factor on both, one or one for each angle, shape (angle, 1)."""
    central: NDArray[np.float64] | float
    high: NDArray[np.float64] | float
    step_m: float | None = None
    """Station of the step behind which the air may let go [m]; ``None`` for another reason."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Flow:
    """What the air is like besides its direction."""

    mach: float = 0.0
    reynolds_per_m: float | None = None
    """Without it the flow may be at any Reynolds number, and smooth outlines may lose their drag."""


ANY_FLOW = Flow()


def directions(
    angles_rad: ArrayLike, rolls_rad: ArrayLike
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return angles of attack and roll angles as arrays.

    Parameters
    ----------
    angles_rad : array_like, shape (a,)
        Angles of attack [rad].
    rolls_rad : array_like, shape (r,)
        Directions the cross wind blows towards [rad].

    Returns
    -------
    angles, rolls : ndarray
        The same, shapes (a,) and (r,) [rad].

    Raises
    ------
    OutsideRange
        If an angle of attack is outside 0 to 90 degrees or a roll angle is not finite.

    Notes
    -----
    Nothing is computed.

    References
    ----------
    .. [1] The band's own range: beyond 90 degrees the base leads.

    Examples
    --------
    >>> [part.tolist() for part in directions(0.1, [0.0, 1.0])]
    [[0.1], [0.0, 1.0]]
    """
    angles, rolls = np.atleast_1d(np.asarray(angles_rad, float)), np.atleast_1d(np.asarray(rolls_rad, float))
    if not np.all((angles >= 0) & (angles <= np.pi / 2)) or not np.isfinite(rolls).all():
        raise OutsideRange("the pressure band is given for angles of attack from 0 to 90 degrees")
    return angles, rolls


def all_parts(
    body: BodyAir,
    fins: Sequence[FinAir],
    angles: NDArray[np.float64],
    rolls: NDArray[np.float64],
    flow: Flow,
) -> tuple[tuple[DoubtfulForce, ...], tuple[DoubtfulForce, ...]]:
    """Return the parts of the bare body, and those of body and fins together.

    Parameters
    ----------
    body : BodyAir
        The bare body.
    fins : sequence of FinAir
        Fin sets on it.
    angles : ndarray, shape (a,)
        Angles of attack, 0 to 90 degrees [rad].
    rolls : ndarray, shape (r,)
        Directions the cross wind blows towards [rad].
    flow : Flow
        Mach number and Reynolds number per metre.

    Returns
    -------
    bare, finned : tuple of DoubtfulForce
        Force coefficients over the sine of the angle, their moments about the tip [m], and the factors that
        may weaken or strengthen each.

    Raises
    ------
    OutsideRange
        If the Mach number is outside 0 to 0.9 or the Reynolds number negative.

    Notes
    -----
    Parts that are nothing at every angle are left out. What each factor stands on is told beside it.

    References
    ----------
    .. [1] As ``body_air``, ``fin_air`` and ``pressure_band``.

    Examples
    --------
    >>> from finial.aero.body import body_air
    >>> from finial.aero.sections.outlines import ellipse, tapered_skin
    >>> cone = body_air(tapered_skin(lambda d: ellipse(d / 2, d / 2), [(0.0, 0.0), (0.3, 0.1)]))
    >>> bare, finned = all_parts(cone, (), np.array([0.1]), np.array([0.0]), ANY_FLOW)
    >>> bare[0].name, len(bare) == len(finned)
    ('growing sections', True)
    """
    toward = np.column_stack([np.cos(rolls), np.sin(rolls)])
    bare = _body_parts(body, angles, rolls, toward, flow)
    return bare, (*bare, *(part for fin in fins for part in _fin_parts(fin, body, angles, toward, flow.mach)))


@kept(16)
def _body_parts(
    body: BodyAir,
    angles: NDArray[np.float64],
    rolls: NDArray[np.float64],
    toward: NDArray[np.float64],
    flow: Flow,
) -> tuple[DoubtfulForce, ...]:
    lift = (potential_factor(angles) / body.reference_area_m2)[:, None]
    growth = body.growth
    along = np.einsum("ri,nij,rj->nr", toward, growth.separated_m2, toward)
    falling = growth.separated_m2.trace(axis1=1, axis2=2) < 0
    parts = [
        _lifting("growing sections", lift, along[~falling], growth.stations_m[~falling], (1.0, 1.0, 1.0)),
        _lifting("gentle taper", lift, along[falling], growth.stations_m[falling], TAIL_CREDIT),
    ]
    parts.append(_base_part(growth, lift, toward))
    parts += [_bubble_part(bubble, lift, toward) for bubble in growth.bubbles]
    parts += _front_parts(body, lift, angles, toward)
    parts.append(_relief_part(body, lift, toward))
    parts += _crossflow_parts(body, angles, rolls, flow)
    for ring in body.rings:
        parts += _ring_parts(ring, body, angles, toward, flow.mach)
    return tuple(part for part in parts if part.force.any() or part.moment.any())


def _bubble_part(bubble: Bubble, lift: NDArray[np.float64], toward: NDArray[np.float64]) -> DoubtfulForce:
    """Return what the air may follow of a bubble.

    Air that follows gives back what the lip had taken, less what the base behind takes then, so that one
    share stands for all.
    """

    def at_rolls(tensor: NDArray[np.float64]) -> NDArray[np.float64]:
        return lift * np.einsum("ri,ij,rj->r", toward, tensor, toward)

    return DoubtfulForce(
        name="step",
        force=at_rolls(bubble.growth_m2 + bubble.given_back_m2),
        moment=at_rolls(bubble.moment_m3 + bubble.given_back_moment_m3),
        low=max(0.0, bubble.followed - FOLLOWED_ERROR),
        central=bubble.followed,
        high=bubble.most_followed,
        step_m=bubble.start_m,
    )


def _front_parts(
    body: BodyAir,
    lift: NDArray[np.float64],
    angles: NDArray[np.float64],
    toward: NDArray[np.float64],
) -> list[DoubtfulForce]:
    """Lift that bubbles behind front lips take, closed ones and open ones, and what they move aft.

    Towards an angle of 20 degrees the bubble on the lee side grows.
    """

    def summed(values: Iterable[NDArray[np.float64]]) -> NDArray[np.float64]:
        return lift * np.einsum("ri,ij,rj->r", toward, sum(values, np.zeros((2, 2))), toward)

    growth = body.growth
    opens = np.minimum(np.sin(angles) / np.sin(_LEE_OPENS_RAD), 1.0)[:, None]
    low, central, high = LOST_CLOSED
    closed = low, central, high + opens * _LEE_MORE
    kinds = (
        ("lift lost in front", [1.0 - lip.opened for lip in growth.fronts], closed),
        ("lift lost in front of a short body", [lip.opened for lip in growth.fronts], LOST_OPEN),
    )
    parts = [
        DoubtfulForce(
            name=name,
            force=-summed(w * lip.growth_m2 for w, lip in zip(weights, growth.fronts, strict=True)),
            moment=-summed(w * lip.moment_m3 for w, lip in zip(weights, growth.fronts, strict=True)),
            low=ends[0],
            central=ends[1],
            high=ends[2],
        )
        for name, weights, ends in kinds
    ]
    moved = summed(lip.moved_m * lip.growth_m2 for lip in growth.fronts)
    square = [(1.0 - lip.opened) * _squareness(body.skin, lip) for lip in growth.fronts]
    added = summed(share * lip.growth_m2 for share, lip in zip(square, growth.fronts, strict=True))
    added_moment = summed(
        share * (lip.moment_m3 + lip.beyond_m * lip.growth_m2)
        for share, lip in zip(square, growth.fronts, strict=True)
    )
    low, central, high = MOVED
    return [
        *parts,
        DoubtfulForce(
            name="lift moved aft by bubbles in front",
            force=np.zeros_like(moved),
            moment=moved,
            low=low,
            central=central,
            high=high - opens * _LEE_MORE,
        ),
        DoubtfulForce(
            name="lift added behind bubbles in front",
            force=added,
            moment=added_moment,
            low=ADDED[0],
            central=ADDED[1],
            high=ADDED[2],
        ),
    ]


def _squareness(skin: Skin, lip: FrontLip) -> float:
    """How far the section behind a lip has right angles: 1 for a square, 0 from an octagon on."""
    behind = min(int(np.searchsorted(skin.stations_m, lip.station_m, side="right")), len(skin.sections) - 1)
    return max(1.0 - 2.0 * smoothness(skin.sections[behind]), 0.0)


def _base_part(
    growth: SeparatedGrowth, lift: NDArray[np.float64], toward: NDArray[np.float64]
) -> DoubtfulForce:
    """Lift that even pressure behind a blunt base or an open lip takes away, never more than there is."""
    along = np.einsum("ri,nij,rj->nr", toward, growth.let_go_dead_m2, toward)
    low, central, high = BASE_LOSS
    lost = growth.let_go_dead_m2.trace(axis1=1, axis2=2)
    there = growth.separated_m2.trace(axis1=1, axis2=2)
    most = float(np.minimum(high * lost, np.maximum(there, 0.0)).sum() / max(float(lost.sum()), 1e-300))
    return DoubtfulForce(
        name="lift let go at the base",
        force=-lift * along.sum(axis=0),
        moment=-lift * (growth.stations_m @ along),
        low=low,
        central=central,
        high=max(central, most),
    )


def _crossflow_parts(
    body: BodyAir, angles: NDArray[np.float64], rolls: NDArray[np.float64], flow: Flow
) -> list[DoubtfulForce]:
    """Drag across sharp sections, and across smooth ones, which may lose most of it."""
    drag = crossflow_mach_factor(flow.mach * np.sin(angles)) * np.sin(angles) / body.reference_area_m2
    areas = body.drag_areas_m2 - body.smooth_areas_m2, body.smooth_areas_m2
    moments = body.drag_moments_m3 - body.smooth_moments_m3, body.smooth_moments_m3
    known = (
        ("crossflow drag", CROSSFLOW_FACTOR),
        ("crossflow drag of smooth outlines", _smooth_factor(body, angles, flow)),
    )
    parts: list[DoubtfulForce] = []
    for (name, (low, central, high)), *values in zip(known, areas, moments, strict=True):
        force, moment = (
            drag[:, None] * np.interp(rolls % (2 * np.pi), body.rolls_rad, value) for value in values
        )
        parts.append(
            DoubtfulForce(name=name, force=force, moment=moment, low=low, central=central, high=high)
        )
    return parts


def _ring_parts(
    ring: RingAir, body: BodyAir, angles: NDArray[np.float64], toward: NDArray[np.float64], mach: float
) -> tuple[DoubtfulForce, DoubtfulForce]:
    """Lift of a ring, and its drag across."""
    forces = ring_forces(ring, body.reference_area_m2, angles, toward, mach)
    lift, across = (
        DoubtfulForce(name=name, force=force, moment=force * place, low=low, central=central, high=high)
        for name, force, place, (low, central, high) in zip(
            ("duct" if ring.ring.within else "ring", "drag across the ring"),
            forces,
            (ring.centre_m, ring.broadside_m),
            (ring.factors, RING_ACROSS),
            strict=True,
        )
    )
    return lift, across


def _smooth_factor(
    body: BodyAir, angles: NDArray[np.float64], flow: Flow
) -> tuple[NDArray[np.float64] | float, NDArray[np.float64] | float, NDArray[np.float64] | float]:
    """Factor on the drag of smooth outlines at each angle."""
    if flow.reynolds_per_m is None:
        return SMOOTH_FACTOR
    across = flow.reynolds_per_m * body.width_m * np.sin(angles)
    low, high = np.array([smooth_reynolds_range(float(each)) for each in across]).T
    return low[:, None], smooth_reynolds_factor(across)[:, None], high[:, None]


def _relief_part(body: BodyAir, lift: NDArray[np.float64], toward: NDArray[np.float64]) -> DoubtfulForce:
    """Moment without force: attached flow in three dimensions against slender-body theory."""
    filled, attached, usual = (
        np.einsum("ri,ij,rj->r", toward, each, toward)
        for each in (body.relief_filled_m3, body.relief_attached_m3, body.relief_m3)
    )
    ends = np.sort([filled, attached], axis=0)
    scale = np.maximum(np.abs(ends).max(axis=0), 1e-300)
    low, high = (np.sort([end * factor for factor in RELIEF_FACTOR], axis=0) for end in ends)
    moment = lift / 2 * scale
    return DoubtfulForce(
        name="three-dimensional flow",
        force=np.zeros_like(moment),
        moment=moment,
        low=low.min(axis=0) / scale,
        central=usual / scale,
        high=high.max(axis=0) / scale,
    )


def _lifting(
    name: str,
    lift: NDArray[np.float64],
    along: NDArray[np.float64],
    stations: NDArray[np.float64],
    credit: tuple[float, float, float],
) -> DoubtfulForce:
    low, central, high = credit
    force, moment = lift * along.sum(axis=0), lift * (stations @ along)
    return DoubtfulForce(name=name, force=force, moment=moment, low=low, central=central, high=high)


@kept(16)
def _fin_parts(
    fin: FinAir, body: BodyAir, angles: NDArray[np.float64], toward: NDArray[np.float64], mach: float
) -> tuple[DoubtfulForce, ...]:
    """Force of a set, what a tail that the air follows adds, and what vortices of its edges may add."""
    area = body.reference_area_m2
    force, early, late = (
        fin_force(fin, area, angles, toward, mach, stall) for stall in (1.0, STALL_EARLY, STALL_LATE)
    )
    station = fin_station(fin, angles)[:, None]
    low, central, high = (each[:, None] for each in fin.factor_at(angles))
    # On a tail the force need not rise with the Mach number: measured, it fell.
    low = low / fin.mach_factor(mach) ** fin.dulled.tail
    size = np.maximum(force, 1e-12)
    parts = [
        DoubtfulForce(
            name=fin.fins.name,
            force=force,
            moment=force * station,
            low=low * early / size,
            central=central,
            high=high * late / size,
        )
    ]
    parts.append(_vortex_part(fin, area, angles, toward))
    if fin.tail_slope_per_rad.any():
        tail = tail_force(fin, angles, toward, mach)
        parts.append(
            DoubtfulForce(
                name=f"{fin.fins.name} where the body narrows",
                force=tail,
                moment=tail * fin.centre_m,
                low=FIN_TAIL[0],
                central=FIN_TAIL[1],
                high=FIN_TAIL[2],
            )
        )
    return tuple(parts)


def _vortex_part(
    fin: FinAir, area_m2: float, angles: NDArray[np.float64], toward: NDArray[np.float64]
) -> DoubtfulForce:
    """Lift of the vortices of a set's edges, until it stalls."""
    # Without stall for the whole; late, usual and early stall are in the factors.
    whole, late, usual, early = (
        edge_vortex_force(fin, area_m2, angles, toward, stall)
        for stall in (1e6, STALL_LATE, 1.0, STALL_EARLY)
    )
    size = np.maximum(whole, 1e-12)
    low, central, high = EDGE_VORTEX
    return DoubtfulForce(
        name=f"edge vortices of {fin.fins.name}",
        force=whole,
        moment=whole * fin.broadside_m,
        low=low * early / size,
        central=central * usual / size,
        high=high * late / size,
    )
