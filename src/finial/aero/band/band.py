"""The pressure band: where the centre of pressure may lie, and why it is not one point."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from finial.aero.band.load_parts import ANY_FLOW, DoubtfulForce, Flow, all_parts, directions
from finial.aero.body import BodyAir
from finial.aero.fins.on_body import FinAir, loads_repeat
from finial.aero.sections.symmetry import rolls_needed, round_the_turn
from finial.core.estimates import Estimate, KnownBy

FLOOR_WIDTHS = 0.10
"""Least half width of the band [widths]: what none of its parts stands for."""
_LOAD_STATIONS = 201
_FARTHEST = 20.0
"""A centre of pressure farther out than this many widths is cut off there."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Contribution:
    """One reason why the band has width, with all others at their central guess."""

    name: str
    forward_m: float
    """How far it may move the centre of pressure towards the tip [m]."""
    aft_m: float
    step_m: float | None = None
    """Station of the step that is the reason [m]; ``None`` for another reason."""
    gathered: int = 0
    """How many small reasons this one stands for; 0 where it stands for itself."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PressureBand:
    """Centre of pressure over angle of attack and roll, central and at both ends."""

    angles_rad: NDArray[np.float64]
    rolls_rad: NDArray[np.float64]
    central_m: NDArray[np.float64]
    """Shape (angle, roll), station [m]."""
    forward_m: NDArray[np.float64]
    aft_m: NDArray[np.float64]
    bare_central_m: NDArray[np.float64]
    bare_forward_m: NDArray[np.float64]
    bare_aft_m: NDArray[np.float64]
    contributions: tuple[Contribution, ...]
    slope: Estimate
    """Normal force slope at small angle, worst (smallest) roll, with fins [1/rad]."""
    bare_slope: Estimate
    load_stations_m: NDArray[np.float64]
    load_per_m: NDArray[np.float64]
    """Bare body's d(normal force coefficient) / (d alpha d station), roll mean [1/(rad m)]."""


def pressure_band(
    body: BodyAir,
    fins: Sequence[FinAir],
    angles_rad: ArrayLike,
    rolls_rad: ArrayLike,
    flow: Flow = ANY_FLOW,
) -> PressureBand:
    r"""Centre of pressure and its bounds over angles of attack and roll.

    .. math::  x = \frac{M_0 + \sum_i k_i M_i}{N_0 + \sum_i k_i N_i}, \qquad
               k_i^{low} \le k_i \le k_i^{high}

    Every bubble behind a step keeps a share 0 to 1 of its attached-flow lift, on a tail that the
    air can follow no less than a half below the central share; a blunt base takes 0.4 to 1.3 of
    what it is taken to; crossflow drag is known to 25 %, on smooth outlines from a sixth to
    125 %, fin lift to the factor of its set. The ends of the band are the exact extremes over
    all :math:`k_i`, plus a floor for what no part covers.

    Parameters
    ----------
    body : BodyAir
    fins : sequence of FinAir
    angles_rad : array_like, shape (a,)
        Angles of attack, 0 to 90 degrees [rad].
    rolls_rad : array_like, shape (r,)
        Direction the cross wind blows towards [rad].
    flow : Flow
        Free-stream Mach number, 0 to 0.9, and Reynolds number per metre; slow air at any
        Reynolds number if left out.

    Returns
    -------
    band : PressureBand

    Raises
    ------
    OutsideRange
        If an angle is outside 0 to 90 degrees or Mach outside 0 to 0.9.

    Notes
    -----
    The floor of 0.1 widths stands for what no part covers; it is a judgement, not a proven
    bound. Three-dimensional flow moves the centre aft by 0.1 to 0.7 widths on the bare body.
    A bare body whose force may vanish has no centre: it is cut off at 20 widths.

    References
    ----------
    .. [1] W. Dinkelbach, On nonlinear fractional programming, Management Science 13, 1967.

    Examples
    --------
    A cone three widths long: the third dimension moves the centre aft, the base forward.

    >>> from finial.aero.body import body_air
    >>> from finial.aero.sections.outlines import ellipse, tapered_skin
    >>> cone = body_air(tapered_skin(lambda d: ellipse(d / 2, d / 2), [(0.0, 0.0), (0.3, 0.1)]))
    >>> band = pressure_band(cone, (), [0.0], [0.0])
    >>> [round(float(at[0, 0]), 3) for at in (band.forward_m, band.central_m, band.aft_m)]
    [0.178, 0.198, 0.221]
    """
    angles, rolls = directions(angles_rad, rolls_rad)
    # One repeat of a shape that repeats round its axis stands for the whole turn.
    needed = rolls_needed(loads_repeat(body, fins), rolls)
    bare, finned = all_parts(body, fins, angles, rolls[:needed], flow)
    floor = FLOOR_WIDTHS * body.width_m
    reach = _FARTHEST * body.width_m
    (central, forward, aft), (bare_central, bare_forward, bare_aft) = (
        (round_the_turn(np.clip(x, -reach, reach + body.length_m), len(rolls)) for x in _bounds(parts))
        for parts in (finned, bare)
    )
    load_stations, load_per_m = _load(body)
    return PressureBand(
        angles_rad=angles,
        rolls_rad=rolls,
        central_m=central,
        forward_m=forward - floor,
        aft_m=aft + floor,
        bare_central_m=bare_central,
        bare_forward_m=bare_forward - floor,
        bare_aft_m=bare_aft + floor,
        contributions=_contributions(finned, floor),
        slope=_slope(finned, body, "slender body plus fins"),
        bare_slope=_slope(bare, body, "slender body"),
        load_stations_m=load_stations,
        load_per_m=load_per_m,
    )


def _ratio(parts: Sequence[DoubtfulForce], shares: Sequence[ArrayLike]) -> NDArray[np.float64]:
    force = sum(np.asarray(k) * part.force for part, k in zip(parts, shares, strict=True))
    moment = sum(np.asarray(k) * part.moment for part, k in zip(parts, shares, strict=True))
    size = np.maximum(np.abs(force), 1e-9)
    return np.asarray(moment / np.where(np.asarray(force) < 0, -size, size))


def _bounds(
    parts: Sequence[DoubtfulForce],
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    """Central guess and both exact extremes of the centre of pressure."""
    central = _ratio(parts, [part.central for part in parts])
    weakest = sum(np.minimum(part.low * part.force, part.high * part.force) for part in parts)
    ends = [_extreme(parts, central, sign) for sign in (1.0, -1.0)]
    # Where the force itself may vanish the centre runs off to infinity one way or both.
    lost = np.asarray(weakest) <= 0
    return central, np.where(lost, -np.inf, ends[0]), np.where(lost, np.inf, ends[1])


def _extreme(parts: Sequence[DoubtfulForce], start: NDArray[np.float64], sign: float) -> NDArray[np.float64]:
    """Least (sign 1) or greatest (sign -1) ratio of moment to force over all shares."""
    best = start
    for _ in range(30):
        shares = [
            np.where(sign * (part.moment - best * part.force) < 0, part.high, part.low) for part in parts
        ]
        better = _ratio(parts, shares)
        if np.allclose(better, best, rtol=0, atol=1e-9):
            break
        best = better
    return best


def _contributions(parts: Sequence[DoubtfulForce], floor: float) -> tuple[Contribution, ...]:
    usual = [part.central for part in parts]
    central = _ratio(parts, usual)
    found = [Contribution(name="what the method leaves out", forward_m=floor, aft_m=floor)]
    for index, part in enumerate(parts):
        if np.all(np.asarray(part.low) == part.high):
            continue
        moved = np.array(
            [
                _ratio(parts, [*usual[:index], end, *usual[index + 1 :]]) - central
                for end in (part.low, part.high)
            ]
        )
        forward, aft = max(0.0, -float(moved.min())), max(0.0, float(moved.max()))
        found.append(Contribution(name=part.name, forward_m=forward, aft_m=aft, step_m=part.step_m))
    return _gathered(sorted(found, key=lambda each: -each.forward_m - each.aft_m), floor)


def _gathered(found: Sequence[Contribution], floor: float) -> tuple[Contribution, ...]:
    """Reasons in order of size; steps that each move less than a tenth of the floor as one."""
    small = [each for each in found if each.forward_m + each.aft_m < 0.1 * floor]
    if len(small) < 2:
        return tuple(found)
    together = Contribution(
        name="smaller reasons",
        gathered=len(small),
        forward_m=sum(each.forward_m for each in small),
        aft_m=sum(each.aft_m for each in small),
    )
    return (*(each for each in found if each not in small), together)


def _slope(parts: Sequence[DoubtfulForce], body: BodyAir, method: str) -> Estimate:
    """Slope at the smallest angle given, at the roll where it is least."""
    ends = [sum(_at_end(part, k) * part.force[0] for part in parts) for k in range(3)]
    worst = int(np.argmin(ends[0]))
    low, value, high = (float(np.asarray(end)[worst]) for end in ends)
    return Estimate(
        value=value,
        low=low,
        high=high,
        known_by=KnownBy.COMPUTED,
        method=method,
        source="Munk, NACA R-184, 1924; Bryson, 1953",
    )


def _at_end(part: DoubtfulForce, end: int) -> NDArray[np.float64]:
    """Factor on a part's force, roll by roll, that makes the sum least (0), central (1) or most (2).

    A lopsided body's part may push one way at one roll angle and the other way at another.
    """
    factors = part.low, part.central, part.high
    ends: list[NDArray[np.float64]] = [np.atleast_2d(factor)[0] for factor in factors]
    low, central, high = ends
    rising, falling = (low, central, high)[end], (high, central, low)[end]
    return np.where(np.asarray(part.force[0]) > 0, rising, falling)


def _load(body: BodyAir) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Growth as a density on even stations; keeps force and moment under the trapezoid rule."""
    stations = np.linspace(0.0, body.length_m, _LOAD_STATIONS)
    step = stations[1]
    mean = body.growth.felt_m2.trace(axis1=1, axis2=2) / 2
    place = np.clip(body.growth.stations_m / step, 0.0, _LOAD_STATIONS - 1 - 1e-9)
    low = place.astype(int)
    loads = np.zeros(_LOAD_STATIONS)
    np.add.at(loads, low, mean * (1 - (place - low)))
    np.add.at(loads, low + 1, mean * (place - low))
    # The end stations stand for half a step only.
    loads[[0, -1]] *= 2
    return stations, 2.0 * loads / (body.reference_area_m2 * step)
