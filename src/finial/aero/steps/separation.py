"""What the air sees behind steps and overhangs: the dividing streamline and its bubbles."""

from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from finial.aero.steps.fronts import FrontLip, faded, front_lips
from finial.aero.steps.slender import growth_stations
from finial.shape.lips import STREAMLINE_SLOPE
from finial.shape.stations import ONE_STEP_M

_TORN_OFF = float(np.tan(np.radians(25.0)))
"""A tail steeper than this is torn off; between it and the dividing streamline in proportion.
Judgement, held to tails of 13 degrees and of a streamlined hull; see the measured vehicles on
the accuracy page."""
_REACH_HEIGHTS = 6.0
"""Air that leaves a lip comes down to a floor so many step heights behind it; over a shorter run it
may follow by no more than the share of it (the same source)."""
_SHELTERED = 1e-3
"""A bubble shallower than this share of the width is no bubble."""
_WHOLE = 10.0
"""So many times as deep, it is one from its lip on [-]; a judgement of this project."""
_BLUNT = 2.0
"""What falls away faster than so much over the run that is left behind it is the base still [-]: a stub of a
tenth of a millimetre is none, nor is one foot that stands so much longer than the other. Judgement: dead air
behind a base reaches about as far as the base is across (from memory), two of its radii."""
_WAIST = 0.2
"""Dead air is two bubbles where the streamline touches the outline at a waist, one where it stays deeper
there than so much of the lesser depth on either side, and in part both between [-]; judgement."""
_ROUNDING = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Bubble:
    """Dead air behind a step, from the lip to where the outline comes out again.

    Slopes are d(normal force coefficient) / d(alpha) times the reference area over 2,
    that is, growth of added mass [m^2]; moments are about the tip [m^3].
    """

    start_m: float
    end_m: float
    depth_m: float
    growth_m2: NDArray[np.float64]
    """Growth of added mass inside the bubble that attached flow would feel, less what the
    outline gains again where it comes out of the bubble; shape (2, 2)."""
    moment_m3: NDArray[np.float64]
    followed: float
    """Share of both that the air is taken to follow: 0 behind a step, up to 1 on a tail that
    narrows hardly faster than the dividing streamline [-]."""
    most_followed: float
    """Share that it may follow at most: run over six step heights, up to 1 [-]."""
    let_go_m2: NDArray[np.float64]
    """Growth ahead of the lip whose lift is lost as long as the air does not follow, (2, 2).

    Only of a bubble that is open at the base: its lip is then the base's edge."""
    given_back_m2: NDArray[np.float64]
    """What comes back of it as the air follows: the base behind the bubble then takes the rest, (2, 2)."""
    given_back_moment_m3: NDArray[np.float64]
    part: float = 1.0
    """How far it is this bubble and not others that begin or end within: growth and moments are times it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SeparatedGrowth:
    """Growth of added mass along the body with every bubble dead, and the bubbles."""

    stations_m: NDArray[np.float64]
    attached_m2: NDArray[np.float64]
    """Growth between sections in attached flow, the flat tip first, shape (n, 2, 2)."""
    separated_m2: NDArray[np.float64]
    """The same with nothing felt inside a bubble, shape (n, 2, 2)."""
    felt_m2: NDArray[np.float64]
    """The central guess: separated flow, of each bubble the share that the air follows, less what
    the base lets go, with what lips in front take and move, shape (n, 2, 2)."""
    let_go_m2: NDArray[np.float64]
    """Growth just ahead of a blunt base whose lift its even pressure takes away, shape (n, 2, 2)."""
    let_go_dead_m2: NDArray[np.float64]
    """What base and lips take of it together where the air follows no bubble, shape (n, 2, 2)."""
    kept: float
    """Share of the lift of all that grows that is left of it, in the central guess [-]."""
    sheltered_m: NDArray[np.float64]
    """How far the outline lies below the dividing streamline, per section, shape (n,)."""
    bubbles: tuple[Bubble, ...]
    fronts: tuple[FrontLip, ...] = ()
    """Lips that the air leaves in front, and what their bubbles take."""


def mean_sizes(tensors_m2: NDArray[np.float64]) -> NDArray[np.float64]:
    r"""Radius of the circle with each section's mean added mass.

    .. math::  r = \sqrt{\mathrm{tr}\, A / 2 \pi}

    Parameters
    ----------
    tensors_m2 : ndarray, shape (n, 2, 2)
        Added mass per density [m^2].

    Returns
    -------
    sizes_m : ndarray, shape (n,)
        Radii [m].

    Notes
    -----
    Nothing below zero: a section of no size may come out of the panels a little negative.

    References
    ----------
    .. [1] J. N. Newman, Marine Hydrodynamics, 1977, table 4.3: a circle has its own area (from memory).

    Examples
    --------
    >>> mean_sizes(np.pi * np.diag([1.0, 7.0])[None]).tolist()
    [2.0]
    """
    return np.sqrt(np.maximum(np.trace(tensors_m2, axis1=1, axis2=2) / (2 * np.pi), 0.0))


def envelope(stations_m: NDArray[np.float64], sizes_m: NDArray[np.float64]) -> NDArray[np.float64]:
    r"""Size of the dividing streamline: the outline, or the fall from the highest lip before it.

    .. math::  e(x) = \max_{x' \le x} \left( r(x') - (x - x') / 6 \right)

    Parameters
    ----------
    stations_m : ndarray, shape (n,)
        Rising stations, :math:`x` [m].
    sizes_m : ndarray, shape (n,)
        Size of the outline there, :math:`r` [m].

    Returns
    -------
    sizes_m : ndarray, shape (n,)
        Size of the streamline [m].

    Notes
    -----
    Holds for steps a few times lower than the body is wide; measured reattachment lies five to eight step
    heights behind the lip, six are taken.

    References
    ----------
    .. [1] J. K. Eaton, J. P. Johnston, AIAA Journal 19, 1981 (from memory).

    Examples
    --------
    >>> envelope(np.array([0.0, 1.0, 1.0, 7.0]), np.array([1.0, 1.0, 0.5, 0.5])).tolist()
    [1.0, 1.0, 1.0, 0.5]
    """
    lifted = sizes_m + STREAMLINE_SLOPE * stations_m
    return np.maximum.accumulate(lifted) - STREAMLINE_SLOPE * stations_m


def reached(stations_m: NDArray[np.float64], sizes_m: NDArray[np.float64]) -> NDArray[np.float64]:
    """Size of what attached air comes down to: the outline, or a fall of 25 degrees from a lip.

    Parameters
    ----------
    stations_m : ndarray, shape (n,)
        Section stations, rising [m].
    sizes_m : ndarray, shape (n,)
        Radii of the sections [m].

    Returns
    -------
    sizes_m : ndarray, shape (n,)
        Never less than the outline's [m].

    Notes
    -----
    A base that is cut a little askew, or chamfered, is flat to the air. The angle is a judgement,
    the one from which on a tail is torn off.

    References
    ----------
    .. [1] Judgement, held to tails on the accuracy page.

    Examples
    --------
    >>> reached(np.array([0.0, 1.0, 1.001]), np.array([1.0, 1.0, 0.0])).round(4).tolist()
    [1.0, 1.0, 0.9995]
    """
    lifted = sizes_m + _TORN_OFF * stations_m
    return np.maximum.accumulate(lifted) - _TORN_OFF * stations_m


def body_growth(
    stations_m: NDArray[np.float64],
    tensors_m2: NDArray[np.float64],
    compact: NDArray[np.float64] | None = None,
) -> SeparatedGrowth:
    """Split the growth of added mass into what separated flow keeps and what each bubble holds.

    Parameters
    ----------
    stations_m : ndarray, shape (n,)
        Section stations, rising; a step is two sections at one station [m].
    tensors_m2 : ndarray, shape (n, 2, 2)
        Added mass of each section [m^2].
    compact : ndarray, shape (n,), optional
        How compact each section is; without it all are [-].

    Returns
    -------
    growth : Growth

    Notes
    -----
    Behind a step only what rises above a streamline falling at 1:6 counts. The truth
    lies between this and attached flow; each bubble may lie elsewhere between them, and one
    on a tail that narrows little is taken to lie nearer to the latter. The share is limited by the run
    behind the lip over six depths of the bubble, where its wall is torn off. The even
    pressure behind a base reaches forward over its edge: of growth at a distance s ahead of a
    base of size r, ``exp(-s / 0.77 r)`` is lost, a fifth of a cone three widths long and more
    than half of one as long as 0.8 widths. Drawn through one measured body, a capsule. A bubble
    that is still open at the base makes its lip the base's edge, by how deep it still is there
    and how little of it the air follows; the base behind takes its own share as far as the air does.
    What falls away at the end by more than two of the runs left
    behind it is not seen. Dead air that nearly ends at a waist is two bubbles in part, and one
    in part.

    References
    ----------
    .. [1] J. K. Eaton, J. P. Johnston, AIAA Journal 19, 1981 (from memory): reattachment.
    .. [2] Apollo command module, normal force at Mach 0.4; see the measured vehicles on the
       accuracy page.
    .. [3] E. J. Hopkins, NACA RM A51C14, 1951 (from memory): bodies lift less than their base
       would in slender flow, the more so the shorter they are.

    Examples
    --------
    A step down and up again inside its own dead air lifts nothing.

    >>> areas = np.array([1.0, 1.0, 0.64, 0.64, 1.0, 1.0])[:, None, None] * np.pi * np.eye(2)
    >>> growth = body_growth(np.array([0.0, 1.0, 1.0, 1.1, 1.1, 2.0]), areas)
    >>> round(float(growth.separated_m2.sum(axis=0)[0, 0] / np.pi), 2), len(growth.bubbles)
    (1.03, 1)
    """
    tensors_m2 = _with_blunt_end(stations_m, tensors_m2)
    sizes = mean_sizes(tensors_m2)
    line = envelope(stations_m, sizes)
    depth = _dead_depth(line, sizes)
    where, attached, separated = _split(stations_m, tensors_m2, sizes, line, depth > 0)
    lost = attached - separated
    grows = growing_part(separated)
    bubbles: list[Bubble] = []
    at_base = faded(stations_m, stations_m[-1], sizes[-1]) * grows
    felt, dead, let_go = separated.copy(), at_base.copy(), at_base.copy()
    taken_at_lips = np.zeros_like(separated)
    for lip, last, weight in _parted(depth):
        part = slice(lip + 1, last + 1)
        opened = float(depth[-1] / depth[part].max()) if last == len(depth) - 1 else 0.0
        taken = weight * opened * faded(stations_m, stations_m[lip], sizes[lip]) * grows
        back = taken - weight * opened * at_base
        held = weight * lost[part]
        run = _run_m(
            (stations_m, sizes, line), (lip, last), closes=last < len(depth) - 1 or depth[last] == 0.0
        )
        follows = _followed(stations_m[lip : last + 1], sizes[lip : last + 1])
        torn_m = (1.0 - follows) * float(depth[part].max())
        most = min(1.0, run / max(_REACH_HEIGHTS * torn_m, 1e-12))
        share = min(follows, most)
        bubbles.append(
            Bubble(
                start_m=float(stations_m[lip]),
                end_m=float(stations_m[last]),
                depth_m=float(depth[part].max()),
                growth_m2=held.sum(axis=0),
                moment_m3=np.einsum("n,nij->ij", where[part], held),
                followed=share,
                most_followed=most,
                let_go_m2=taken.sum(axis=0),
                given_back_m2=back.sum(axis=0),
                given_back_moment_m3=np.einsum("n,nij->ij", where, back),
                part=weight,
            )
        )
        felt[part] += share * held
        taken_at_lips += (1.0 - share) * taken
        # Where the last bubble is torn off and open, its lip has taken the base's place.
        let_go -= (1.0 - share) * weight * opened * at_base
        dead += back
    kept = _less(grows, let_go + taken_at_lips)
    fronts, change = front_lips(stations_m, tensors_m2, line, (where, kept), compact)
    return SeparatedGrowth(
        stations_m=where,
        attached_m2=attached,
        separated_m2=separated,
        felt_m2=felt - let_go - taken_at_lips + change,
        let_go_m2=let_go,
        let_go_dead_m2=dead,
        kept=_kept(grows, let_go, bubbles, fronts),
        sheltered_m=depth,
        bubbles=tuple(bubbles),
        fronts=fronts,
    )


def _with_blunt_end(stations_m: NDArray[np.float64], tensors_m2: NDArray[np.float64]) -> NDArray[np.float64]:
    """Draw what falls away at the end faster than the run behind it lets the air see as far as it sees it."""
    sizes = mean_sizes(tensors_m2)
    # Steps closer than that are one: what is told apart from the base counts from there on.
    left = np.maximum(stations_m[-1] - stations_m - ONE_STEP_M, 0.0)
    least = float((sizes - _BLUNT * left).max())
    drawn = tensors_m2.copy()
    seen = int(np.flatnonzero(sizes >= min(least, float(sizes.max())))[-1])
    for index in range(seen + 1, len(sizes)):
        before, here = (float(np.trace(each)) for each in (drawn[index - 1], tensors_m2[index]))
        share = (2.0 * np.pi * least**2 - here) / max(before - here, 1e-300)
        drawn[index] += min(max(share, 0.0), 1.0) * (drawn[index - 1] - tensors_m2[index])
    return drawn


def _less(grows: NDArray[np.float64], gone: NDArray[np.float64]) -> NDArray[np.float64]:
    """Growth that is left, each in proportion and never less than none."""
    whole, lost = (each.trace(axis1=1, axis2=2) for each in (grows, gone))
    left = np.maximum(1.0 - lost / np.maximum(whole, 1e-300), 0.0)
    return grows * np.where(whole > 0, left, 0.0)[:, None, None]


def growing_part(growth_m2: NDArray[np.float64]) -> NDArray[np.float64]:
    """Keep of the growth between sections what grows, nothing where they shrink.

    Parameters
    ----------
    growth_m2 : ndarray, shape (n, 2, 2)
        Growth of added mass between sections [m^2].

    Returns
    -------
    growth_m2 : ndarray, shape (n, 2, 2)
        The same, zero where the trace is not above zero [m^2].

    Notes
    -----
    Exact; a section that grows one way and shrinks the other counts by the sum of both.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> growing_part(np.array([1.0, -1.0])[:, None, None] * np.eye(2))[:, 0, 0].tolist()
    [1.0, -0.0]
    """
    return growth_m2 * (growth_m2.trace(axis1=1, axis2=2) > 0)[:, None, None]


def _split(
    stations_m: NDArray[np.float64],
    tensors_m2: NDArray[np.float64],
    sizes_m: NDArray[np.float64],
    line_m: NDArray[np.float64],
    dead: NDArray[np.bool_],
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    """Where growth acts, all of it, and what of it separated flow keeps."""
    where = np.concatenate([stations_m[:1], growth_stations(stations_m, sizes_m)])
    attached = np.concatenate([tensors_m2[:1], np.diff(tensors_m2, axis=0)])
    separated = attached.copy()
    separated[np.concatenate([[False], dead[1:] | dead[:-1]])] = 0.0
    # Where the outline comes out, what it rises by beyond the streamline counts.
    for index in np.flatnonzero(dead[:-1] & ~dead[1:]) + 1:
        pair = slice(index - 1, index + 1)
        landing, size = _landing(stations_m[pair], sizes_m[pair], float(line_m[index - 1]))
        two = stations_m[pair], tensors_m2[pair], sizes_m[pair]
        separated[index] = tensors_m2[index] - _there(two, size)
        where[index] = growth_stations(*np.array([[landing, stations_m[index]], [size, sizes_m[index]]]))[0]
    return where, attached, separated


def _kept(
    grows: NDArray[np.float64],
    let_go: NDArray[np.float64],
    bubbles: list[Bubble],
    fronts: tuple[FrontLip, ...],
) -> float:
    """Share of all growing sections' lift that base and lips leave."""
    at_lips = sum((1.0 - each.followed) * float(np.trace(each.let_go_m2)) for each in bubbles)
    in_front = sum(each.lost * float(np.trace(each.growth_m2)) for each in fronts)
    gone = float(let_go.trace(axis1=1, axis2=2).sum()) + at_lips + in_front
    return 1.0 - gone / max(float(grows.trace(axis1=1, axis2=2).sum()), 1e-300)


def _landing(
    stations_m: NDArray[np.float64], sizes_m: NDArray[np.float64], line_m: float
) -> tuple[float, float]:
    """Station and size where the streamline meets the outline between two sections."""
    gap = float(stations_m[1] - stations_m[0])
    closing = float(sizes_m[1] - sizes_m[0]) + STREAMLINE_SLOPE * gap
    share = min(max((line_m - float(sizes_m[0])) / max(closing, 1e-300), 0.0), 1.0)
    return float(stations_m[0]) + share * gap, line_m - STREAMLINE_SLOPE * share * gap


def _there(
    two: tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]], at_m: float
) -> NDArray[np.float64]:
    """Draw added mass of a size between two cuts as both have it; at a step, as what stands out has it."""
    stations_m, tensors_m2, sizes_m = two
    share = np.clip((sizes_m[1] - at_m) / max(sizes_m[1] - sizes_m[0], 1e-300), 0.0, 1.0)
    share *= min((stations_m[1] - stations_m[0]) / ONE_STEP_M, 1.0)
    between = share * tensors_m2[0] + (1.0 - share) * tensors_m2[1]
    return between * (2.0 * np.pi * min(at_m, sizes_m[1]) ** 2 / max(float(np.trace(between)), 1e-300))


def _run_m(
    outline: tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]],
    ends: tuple[int, int],
    *,
    closes: bool,
) -> float:
    """How far behind the lip the dividing streamline lands, or the body ends."""
    (stations_m, sizes_m, line_m), (lip, last) = outline, ends
    pair, end = slice(last - 1, last + 1), float(stations_m[last])
    if closes:
        end, _ = _landing(stations_m[pair], sizes_m[pair], float(line_m[last - 1]))
    return end - float(stations_m[lip])


def _dead_depth(line_m: NDArray[np.float64], sizes_m: NDArray[np.float64]) -> NDArray[np.float64]:
    """How deep the outline lies in dead air, nothing all along what is too shallow to be a bubble.

    A bubble that is deep enough begins where the streamline leaves the outline, not at the first cut that
    lies deep; the shallower it is, the deeper lies where it begins, so that none comes at once.
    """
    widest = 2.0 * float(sizes_m.max())
    least = _SHELTERED * widest
    depth = np.where(line_m - sizes_m > _ROUNDING * widest, line_m - sizes_m, 0.0)
    for lip, last in _spans(depth):
        part = depth[lip + 1 : last + 1]
        whole = (float(part.max()) / least - 1.0) / (_WHOLE - 1.0)
        part[part < least * (1.0 - min(max(whole, 0.0), 1.0))] = 0.0
    return depth


def _spans(depth: NDArray[np.float64]) -> list[tuple[int, int]]:
    """Return the number of the lip of each bubble, and of the section where it ends."""
    dead = np.concatenate([[False], depth > 0, [False]])
    starts = np.flatnonzero(~dead[:-1] & dead[1:]) - 1
    ends = np.minimum(np.flatnonzero(dead[:-1] & ~dead[1:]), len(depth) - 1)
    return list(zip(starts.tolist(), ends.tolist(), strict=True))


def _parted(depth_m: NDArray[np.float64]) -> list[tuple[int, int, float]]:
    """Lip and end of each bubble, and how far it is one: less where it is nearly two, or part of another."""
    found: list[tuple[int, int, float]] = []
    for lip, last in _spans(depth_m):
        inner = np.arange(lip + 1, last)
        waists = inner[(depth_m[inner] < depth_m[inner - 1]) & (depth_m[inner] <= depth_m[inner + 1])]
        lesser = [min(depth_m[lip:at].max(), depth_m[at : last + 1].max()) for at in waists]
        parts = np.maximum(1.0 - depth_m[waists] / (_WAIST * np.array(lesser)), 0.0)
        ends = [lip, *waists[parts > 0.0].tolist(), last]
        apart = [1.0, *parts[parts > 0.0].tolist(), 1.0]
        for first, end in combinations(range(len(ends)), 2):
            within = np.prod(1.0 - np.array(apart[first + 1 : end]))
            weight = float(apart[first] * apart[end] * within)
            found += [(ends[first], ends[end], weight)] if weight > 0.0 else []
    return found


def _followed(stations_m: NDArray[np.float64], sizes_m: NDArray[np.float64]) -> float:
    """Share of a narrowing stretch that the air follows, by how steeply it narrows."""
    narrows = np.maximum(-np.diff(sizes_m**2), 0.0)
    fall = -np.diff(sizes_m) / np.maximum(np.diff(stations_m), 1e-12)
    return float(narrows @ (1.0 - torn_off(fall)) / max(float(narrows.sum()), 1e-300))


def torn_off(slope: NDArray[np.float64]) -> NDArray[np.float64]:
    r"""Share of a narrowing wall that the air leaves: none up to 1 in 6, all of it from 25 degrees on.

    .. math::  s = \operatorname{clip}\left( \frac{\tan\beta - 1/6}{\tan 25^\circ - 1/6}, 0, 1 \right)

    Parameters
    ----------
    slope : ndarray, shape (...)
        Way inward over the way along, :math:`\tan\beta` [-].

    Returns
    -------
    share : ndarray, shape (...)
        From 0 to 1 [-].

    Notes
    -----
    Between the two ends a judgement, held to measured tails of 13 degrees and of a streamlined hull; see the
    measured vehicles on the accuracy page.

    References
    ----------
    .. [1] No published rule; 1 in 6 as ``envelope``.

    Examples
    --------
    >>> torn_off(np.tan(np.radians([5.0, 13.0, 30.0]))).round(2).tolist()
    [0.0, 0.21, 1.0]
    """
    return np.clip((slope - STREAMLINE_SLOPE) / (_TORN_OFF - STREAMLINE_SLOPE), 0.0, 1.0)
