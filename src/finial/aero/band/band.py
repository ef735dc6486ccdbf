"""The pressure band: where the centre of pressure may lie, and why it is not one point."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from finial.aero.band.contribution import Contribution
from finial.aero.band.extremes import (
    Ends,
    central_force,
    least_force,
    moment_ends,
    origin_that_counts,
    place_ends,
    place_shifts,
)
from finial.aero.band.load_parts import ANY_FLOW, DoubtfulForce, Flow, all_parts, directions
from finial.aero.band.worst import BandGrid
from finial.aero.body import BodyAir
from finial.aero.fins.on_body import FinAir, loads_repeat
from finial.aero.sections.symmetry import rolls_needed, round_the_turn
from finial.core.estimates import Estimate, KnownBy
from finial.core.kept_parts import kept

FLOOR_WIDTHS = 0.10
"""Least half width of the band [widths]: what none of its parts stands for."""
_LOAD_STATIONS = 201


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
    finned: tuple[DoubtfulForce, ...]
    """What the force is made of, over one repeat round the turn."""
    bare: tuple[DoubtfulForce, ...]
    width_m: float

    def about(self, about_m: float, *, bare: bool = False) -> BandGrid:
        """Return the band with moments about another station.

        The same as the band's own wherever the force is not small.

        Parameters
        ----------
        about_m : float
            Station that moments are about where the force is small [m].
        bare : bool
            Without the fins.

        Returns
        -------
        grid : BandGrid
            Stations over angle and roll [m].

        Notes
        -----
        As ``place_ends``, with the floor.

        References
        ----------
        .. [1] As ``pressure_band``.

        Examples
        --------
        >>> from finial.aero.body import body_air
        >>> from finial.aero.sections.outlines import ellipse, tapered_skin
        >>> cone = body_air(tapered_skin(lambda d: ellipse(d / 2, d / 2), [(0.0, 0.0), (0.3, 0.1)]))
        >>> band = pressure_band(cone, (), [0.0], [0.0])
        >>> bool(np.allclose(band.about(0.1).forward_m, band.forward_m))
        True
        """
        parts = self.bare if bare else self.finned
        return self._grid(_found(parts, about_m, self.width_m, len(self.rolls_rad)))

    def moments_about(self, about_m: float) -> BandGrid:
        """Return the righting moment about a station over sin(angle), on the largest section.

        Parameters
        ----------
        about_m : float
            Station [m].

        Returns
        -------
        grid : BandGrid
            Moments in place of stations, the least as the forward end [m].

        Notes
        -----
        As ``moment_ends``; the floor takes what the central force makes of it.

        References
        ----------
        .. [1] As ``pressure_band``.

        Examples
        --------
        >>> from finial.aero.body import body_air
        >>> from finial.aero.sections.outlines import ellipse, tapered_skin
        >>> cone = body_air(tapered_skin(lambda d: ellipse(d / 2, d / 2), [(0.0, 0.0), (0.3, 0.1)]))
        >>> pressure_band(cone, (), [0.0], [0.0]).moments_about(0.1).central_m.round(2).tolist()
        [[0.15]]
        """
        central, least, greatest = moment_ends(self.finned, about_m)
        floor = FLOOR_WIDTHS * self.width_m * np.abs(central_force(self.finned))
        rolls = len(self.rolls_rad)
        ends = central, least - floor, greatest + floor
        middle, forward, aft = (round_the_turn(each, rolls) for each in ends)
        return self._grid((middle, forward, aft))

    def least_force_up_to(self, alpha_rad: float) -> float:
        """Return the least force over sin(angle) that the parts allow up to an angle, at any roll.

        Parameters
        ----------
        alpha_rad : float
            Angle of attack [rad].

        Returns
        -------
        force : float
            On the largest section [-]; negative where it may turn round.

        Notes
        -----
        At the angles of the band, and one beyond.

        References
        ----------
        .. [1] As ``pressure_band``.

        Examples
        --------
        >>> from finial.aero.body import body_air
        >>> from finial.aero.sections.outlines import ellipse, tapered_skin
        >>> cone = body_air(tapered_skin(lambda d: ellipse(d / 2, d / 2), [(0.0, 0.0), (0.3, 0.1)]))
        >>> round(pressure_band(cone, (), [0.0], [0.0]).least_force_up_to(0.1), 1)
        1.4
        """
        rows = int(np.searchsorted(self.angles_rad, alpha_rad)) + 1
        return float(least_force(self.finned)[:rows].min())

    def _grid(self, ends: Ends) -> BandGrid:
        central, forward, aft = ends
        return BandGrid(
            angles_rad=self.angles_rad,
            rolls_rad=self.rolls_rad,
            central_m=central,
            forward_m=forward,
            aft_m=aft,
        )


def pressure_band(
    body: BodyAir,
    fins: Sequence[FinAir],
    angles_rad: ArrayLike,
    rolls_rad: ArrayLike,
    flow: Flow = ANY_FLOW,
    about_m: float | None = None,
) -> PressureBand:
    r"""Centre of pressure and its bounds over angles of attack and roll.

    .. math::  x = x_0 + \frac{\sum_i k_i (M_i - x_0 N_i)}{\max(\sum_i k_i N_i, 0.5)}, \qquad
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
    about_m : float
        Station :math:`x_0` that moments are about where the force is small, the balance point if
        it is known; the middle of the body if left out [m].

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
    A body whose force may vanish has no centre: there its moment stands for it, see ``place_ends``.

    References
    ----------
    .. [1] The sum of slender body, crossflow and fins; extremes by ``place_ends``.

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
    about = body.length_m / 2 if about_m is None else about_m
    (central, forward, aft), (bare_central, bare_forward, bare_aft) = (
        _found(parts, about, body.width_m, len(rolls)) for parts in (finned, bare)
    )
    load_stations, load_per_m = _load(body)
    return PressureBand(
        angles_rad=angles,
        rolls_rad=rolls,
        central_m=central,
        forward_m=forward,
        aft_m=aft,
        bare_central_m=bare_central,
        bare_forward_m=bare_forward,
        bare_aft_m=bare_aft,
        contributions=_contributions(finned, about, FLOOR_WIDTHS * body.width_m),
        slope=_slope(finned, "slender body plus fins"),
        bare_slope=_slope(bare, "slender body"),
        load_stations_m=load_stations,
        load_per_m=load_per_m,
        finned=finned,
        bare=bare,
        width_m=body.width_m,
    )


def band_with(
    band: PressureBand, finned: Sequence[DoubtfulForce], about_m: float, method: str
) -> PressureBand:
    """Return the band with other loads of body and fins together, those of the bare body as they were.

    Parameters
    ----------
    band : PressureBand
        From the sections.
    finned : sequence of DoubtfulForce
        Loads over the band's own angles and rolls [-].
    about_m : float
        Station that moments are about where the force is small [m].
    method : str
        How the loads were found.

    Returns
    -------
    band : PressureBand
        Stations [m].

    Notes
    -----
    The floor of 0.1 widths stays.

    References
    ----------
    .. [1] As ``pressure_band``.

    Examples
    --------
    >>> from finial.aero.body import body_air
    >>> from finial.aero.sections.outlines import ellipse, tapered_skin
    >>> cone = body_air(tapered_skin(lambda d: ellipse(d / 2, d / 2), [(0.0, 0.0), (0.3, 0.1)]))
    >>> band = pressure_band(cone, (), [0.0], [0.0])
    >>> bool(np.allclose(band_with(band, band.bare, 0.1, "the same").aft_m, band.aft_m))
    True
    """
    central, forward, aft = _found(finned, about_m, band.width_m, len(band.rolls_rad))
    return replace(
        band,
        central_m=central,
        forward_m=forward,
        aft_m=aft,
        contributions=_contributions(finned, about_m, FLOOR_WIDTHS * band.width_m),
        slope=_slope(finned, method),
        finned=tuple(finned),
    )


def _found(parts: Sequence[DoubtfulForce], about_m: float, width_m: float, rolls: int) -> Ends:
    """Central guess and both ends with the floor, round the whole turn."""
    central, forward, aft = (round_the_turn(each, rolls) for each in place_ends(parts, about_m))
    floor = FLOOR_WIDTHS * width_m
    return central, forward - floor, aft + floor


def _contributions(parts: Sequence[DoubtfulForce], about_m: float, floor: float) -> tuple[Contribution, ...]:
    return _moved_by(tuple(parts), origin_that_counts(parts, about_m), floor)


@kept(16)
def _moved_by(parts: tuple[DoubtfulForce, ...], about_m: float, floor: float) -> tuple[Contribution, ...]:
    found = [Contribution(name="what the method leaves out", forward_m=floor, aft_m=floor)]
    for part, moved in place_shifts(parts, about_m):
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


def _slope(parts: Sequence[DoubtfulForce], method: str) -> Estimate:
    return _slope_of(tuple(parts), method)


@kept(16)
def _slope_of(parts: tuple[DoubtfulForce, ...], method: str) -> Estimate:
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


@kept(4)
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
