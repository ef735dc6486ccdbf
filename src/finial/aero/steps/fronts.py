"""Bubbles behind the lips of flat and stepped fronts: how sharp a lip is, and how far its bubble reaches."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from finial.shape.lips import STREAMLINE_SLOPE
from finial.shape.planar import hull_of
from finial.shape.skin import Section

_KERNEL = 0.05
"""Angles of an outline are those of chords over so many heights of its front: what is finer is its cuts'."""
_FOLLOWED_RADIUS = 0.27
_FOLLOWED_RAD = 0.33
"""Air follows a turn of so much however sharp it is (judgement), and an edge rounded by so many heights of
its front through any. Both together: it follows a right angle rounded by an eighth of a round body's
diameter (from memory of Koenig and Roshko, J. Fluid Mechanics 156, 1985)."""
_WHOLE_RAD = 1.15
"""A turn of so much is as sharp as a right angle: a face within 24 degrees of flat is flat; judgement."""
REACH_HEIGHTS = 3.4
"""Bubble length over the height of a round front [-]: 1.73 diameters (JSME Int. J. B 39, 1996, p. 354,
abstract seen) and 1.6 (from memory of Ota, J. Applied Mechanics 42, 1975)."""
_FLAT_MORE = 1.2
"""Bubbles of plates are longer by up to so much: so drawn that one twelve times as wide as thick has 4.9
thicknesses (from memory of Cherry, Hillier and
Latour, J. Fluid Mechanics 144, 1984)."""
BASE_REACH = 0.77
"""Distance over which the even pressure behind an edge fades forward, in sizes of the base or heights of the
front that ends there."""
_CLOSES_AT, _OPENS_AT = 0.6, 1.6
"""A bubble is closed where the run behind its lip is longer than its reach over the first, open where it is
shorter than that over the second [-]; judgement about one."""
_FALLS_AWAY = 0.5
_FALLS_WIDTHS = 0.01
"""An outline that falls by so many heights behind a lip is no run for its bubble; by less than so many widths
none falls away, however thin the plates that begin there."""
_SLIVER_SIZES = 0.1
"""How compact a front is counts over so many of its sizes behind the lip [-]: what a cut shows within a tenth
of a millimetre of a tip tells nothing."""
_LEAST_RUN = 0.5
"""Without a run of so many heights behind it a lip is the edge of a base."""

_COMPACT, _HOLLOW = 0.57, 0.9
"""A triangle's edges are compact, and so is what nearly fills a string drawn round it, however thin."""
_ALIKE = 8
"""Power by which the strongest of several lips prevails: so that it changes hands without a jump."""

LOST_CLOSED, LOST_OPEN = (-0.1, 0.2, 0.4), (0.1, 0.8, 1.1)
"""Share of a sharp front's lift that is lost behind a closed bubble, and behind an open one: of a short body
it may turn round. Judgement: measured only across square sections, where it does."""
MOVED = (0.0, 0.2, 0.5)
"""Lift that acts at the end of a closed bubble instead of at the front, over all of the front's; with the
most of it lost, all that is left acts there, 1.7 widths behind the face of a round body. Judgement."""
ADDED = (0.0, 0.0, 0.4)
"""Lift that may come on top behind a closed bubble on a square body, over all of the front's: our own tunnel
found 0.2 to 0.4 of it on prisms of four and seven widths from 2 to 10 degrees, and nothing else was read."""
_ADDED_AT = 0.75
"""Where it acts on the run behind the bubble: the tunnel's moments want 0.7 to 1 of it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FrontLip:
    """Edge of a front, and what its bubble takes.

    Growth is of added mass [m^2], its moment about the tip [m^3], both times the lip's sharpness and less
    what other lips take.
    """

    station_m: float
    size_m: float
    height_m: float
    """How far the front stands up out of the dividing streamline before it [m]."""
    sharpness: float
    """0 for an edge that the air follows, 1 for a sharp one that turns it by a right angle [-]."""
    run_m: float
    """How far the outline goes on behind the lip [m]."""
    reach_m: float
    """How far behind the lip its bubble would close [m]."""
    growth_m2: NDArray[np.float64]
    moment_m3: NDArray[np.float64]

    @property
    def opened(self) -> float:
        """How far the bubble does not close before the outline ends, 0 to 1 [-]."""
        share = self.reach_m / max(self.run_m, 1e-12)
        return float(np.clip((share - _CLOSES_AT) / (_OPENS_AT - _CLOSES_AT), 0.0, 1.0))

    @property
    def moved_m(self) -> float:
        """How far aft lift is moved that acts at the bubble's end, over the share of it that closes [m]."""
        return (1.0 - self.opened) * min(self.reach_m, self.run_m)

    @property
    def beyond_m(self) -> float:
        """How far behind the lip lift acts that is added behind its bubble, over the share closed [m]."""
        closes = min(self.reach_m, self.run_m)
        return (1.0 - self.opened) * (closes + _ADDED_AT * (self.run_m - closes))

    @property
    def lost(self) -> float:
        """Central guess of the share of the front's lift that is lost [-]."""
        return (1.0 - self.opened) * LOST_CLOSED[1] + self.opened * LOST_OPEN[1]


def lip_sharpness(
    stations_m: NDArray[np.float64], sizes_m: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    r"""How sharply each corner of an outline turns the air off a front.

    .. math::  b = \frac{T - 0.33}{0.82}, \qquad
               T = \max_{s' \le s} \left( \bar\varphi_-(s') - \bar\varphi_+(s) - \frac{s - s'}{0.27 h} \right)

    with the angles of chords over :math:`h / 20` of the outline before and behind.

    Parameters
    ----------
    stations_m : ndarray, shape (n,)
        Rising stations [m].
    sizes_m : ndarray, shape (n,)
        Size of the dividing streamline there [m].

    Returns
    -------
    sharpness : ndarray, shape (n,)
        Of the edge as far as each corner, 0 to 1 [-].
    heights_m : ndarray, shape (n,)
        How far each corner stands up out of a streamline falling at 1:6 [m].

    Notes
    -----
    An edge turns the air by :math:`T` more than it could follow over its length: nothing is left of a right
    angle rounded by a quarter of the front's height, or of any turn below 19 degrees. Continuous in radius,
    angle and chamfer, and in the outline itself: chords as long as the front asks for, not as cuts happen to
    lie, so that another cut on the same outline changes little.

    References
    ----------
    .. [1] K. Koenig, A. Roshko, J. Fluid Mechanics 156, 1985 (from memory): rounded by an eighth of the
       diameter a disc's edge no longer throws the air off. The form is ours.

    Examples
    --------
    A flat face with a sharp edge, with one rounded by a tenth of its height, and by a third.

    >>> turn = np.linspace(0.0, np.pi / 2, 40)
    >>> def rounded(radius: float) -> float:
    ...     along, out = radius * (1 - np.cos(turn)), 1 - radius * (1 - np.sin(turn))
    ...     sharp, _ = lip_sharpness(np.append(along, 5.0), np.append(out, 1.0))
    ...     return float(sharp.max())
    >>> [round(rounded(radius), 1) for radius in (1e-6, 0.1, 0.3)]
    [1.0, 0.9, 0.0]
    """
    stations, sizes = (
        np.concatenate([each[:1] * first, each]) for each, first in ((stations_m, 1.0), (sizes_m, 0.0))
    )
    run, rise = np.diff(stations), np.diff(sizes)
    heights = standing_heights(run, rise)
    along = np.concatenate([[0.0], np.cumsum(np.hypot(run, rise))])
    outline = along, stations, sizes
    kernel = np.maximum(_KERNEL * heights, 1e-9 * max(float(sizes.max()), 1e-12))
    after = _chord_angle(outline, along[1:], along[1:] + kernel)
    # Rows are lips, columns where the window of each begins.
    before = _chord_angle(outline, along[1:] - kernel[:, None], np.broadcast_to(along[1:], (len(run),) * 2))
    spent = (along[1:, None] - along[1:]) / (_FOLLOWED_RADIUS / _KERNEL * kernel[:, None])
    turned = np.where(spent >= 0, before - after[:, None] - spent, 0.0).max(axis=1)
    return np.clip((turned - _FOLLOWED_RAD) / (_WHOLE_RAD - _FOLLOWED_RAD), 0.0, 1.0), heights


def standing_heights(run_m: NDArray[np.float64], rise_m: NDArray[np.float64]) -> NDArray[np.float64]:
    r"""How far each corner stands up out of a streamline that falls behind what rose before it.

    .. math::  h_i = \max(0, \; h_{i-1} + \max(\Delta r_i, 0) - \Delta x_i / 6), \quad h_0 = 0

    Parameters
    ----------
    run_m : (n,) array
        Way along the body to each corner from the one before [m].
    rise_m : (n,) array
        How much farther out it lies than that one [m]; less where the outline narrows.

    Returns
    -------
    heights_m : (n,) array
        Height over the streamline at each corner [m], nowhere below 0.

    Notes
    -----
    Any outline whose corners come in order along the body.

    References
    ----------
    .. [1] J. K. Eaton, J. P. Johnston, AIAA Journal 19, 1981, for how steeply it falls (from memory).

    Examples
    --------
    >>> standing_heights(np.array([0.6, 0.6]), np.array([0.5, -0.2])).round(3).tolist()
    [0.4, 0.3]
    """
    heights = np.zeros(len(run_m))
    height = 0.0
    for index, more in enumerate(np.maximum(rise_m, 0.0) - STREAMLINE_SLOPE * run_m):
        heights[index] = height = max(0.0, height + float(more))
    return heights


def _chord_angle(
    outline: tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]],
    begins_m: NDArray[np.float64],
    ends_m: NDArray[np.float64],
) -> NDArray[np.float64]:
    """Angle to the axis of straight lines between places along an outline; nothing where it falls or ends."""
    along, stations, sizes = outline
    run, rise = (
        np.interp(ends_m, along, each) - np.interp(begins_m, along, each) for each in (stations, sizes)
    )
    return np.arctan2(np.maximum(rise, 0.0), np.maximum(run, 1e-12))


def front_lips(
    stations_m: NDArray[np.float64],
    tensors_m2: NDArray[np.float64],
    line_m: NDArray[np.float64],
    growth: tuple[NDArray[np.float64], NDArray[np.float64]],
    compact: NDArray[np.float64] | None = None,
) -> tuple[tuple[FrontLip, ...], NDArray[np.float64]]:
    r"""Lips of an outline's fronts, and the growth with the central guess of what they take and move.

    .. math::  G_i = \sum_j g_j \max_i b_i e^{-(x_i - x_j) / 0.77 h_i}, \qquad
               L = 3.4 \, h \left( 1 + 1.2 (1 - a / b) \right)

    Parameters
    ----------
    stations_m : ndarray, shape (n,)
        Rising stations [m].
    tensors_m2 : ndarray, shape (n, 2, 2)
        Added mass of each section [m^2].
    line_m : ndarray, shape (n,)
        Size of the dividing streamline [m].
    growth : tuple of ndarray
        Where growth acts, shape (n,) [m], and what of it may be lost or moved, shape (n, 2, 2) [m^2].
    compact : ndarray, shape (n,), optional
        How compact each section is, as ``compactness`` says; without it all are [-].

    Returns
    -------
    lips : tuple of FrontLip
        From tip to base.
    change_m2 : ndarray, shape (n, 2, 2)
        What the central guess adds to the growth at each place [m^2].

    Notes
    -----
    A front of plates, legs or points is as high as it is compact. Along a body whose largest section is wide
    one way and thin the other, :math:`a / b`, bubbles are those of a plate by the thin side. Lengths are
    measured; how much of the lift is lost and moved is judged, with a range as wide as that deserves. A lip
    behind which the outline falls away at once is the edge of a base.

    References
    ----------
    .. [1] JSME International Journal B 39, 1996, p. 354 (abstract seen): 1.73 diameters behind a flat-faced
       circular cylinder at a Reynolds number of 1e5.
    .. [2] N. J. Cherry, R. Hillier, M. Latour, J. Fluid Mechanics 144, 1984 (from memory): 4.9 thicknesses
       behind the edge of a blunt plate.

    Examples
    --------
    A flat-faced tube of 2 m diameter.

    >>> areas = np.pi * np.eye(2) * np.ones((2, 1, 1))
    >>> growth = np.array([0.0, 5.0]), np.array([areas[0], 0.0 * areas[0]])
    >>> (lip,), _ = front_lips(np.array([0.0, 10.0]), areas, np.ones(2), growth)
    >>> round(lip.reach_m, 2), round(lip.sharpness, 3), lip.opened
    (3.4, 1.0, 0.0)
    """
    where, grows = growth
    change = np.zeros_like(grows)
    lips: list[FrontLip] = []
    whole = np.ones(len(stations_m)) if compact is None else compact
    for lip, share in _shares(stations_m, tensors_m2, line_m, (where, whole)):
        taken = share[:, None, None] * grows
        moment = np.einsum("n,nij->ij", where, taken)
        lips.append(replace(lip, growth_m2=taken.sum(axis=0), moment_m3=moment))
        moved = MOVED[1] * (1.0 - lip.opened) * taken
        change += _laid(where, moved, min(lip.reach_m, lip.run_m)) - moved - lip.lost * taken
    return tuple(lips), change


def faded(stations_m: NDArray[np.float64], edge_m: float, size_m: float) -> NDArray[np.float64]:
    r"""Share of each stretch's growth that what happens behind an edge takes away.

    .. math::  \frac{1}{\Delta x} \int e^{-(x_e - x) / 0.77 r} \, dx

    Parameters
    ----------
    stations_m : ndarray, shape (n,)
        Rising stations [m].
    edge_m : float
        Station of the edge, :math:`x_e` [m].
    size_m : float
        Size of the base, or height of the front, that ends there, :math:`r` [m].

    Returns
    -------
    share : ndarray, shape (n, 1, 1)
        Of the stretch that ends at each station, the flat tip first, 0 to 1 [-].

    Notes
    -----
    The pressure behind an edge is even and reaches forward over it. Drawn through one measured body, a
    capsule; a stretch behind the edge counts as at it.

    References
    ----------
    .. [1] Apollo command module; see the measured vehicles on the accuracy page.

    Examples
    --------
    >>> faded(np.array([0.0, 1.0, 1.0]), 1.0, 1.0)[:, 0, 0].round(2).tolist()
    [0.27, 0.56, 1.0]
    """
    reach = BASE_REACH * max(float(size_m), 1e-12)
    ahead = np.maximum(edge_m - stations_m, 0.0) / reach
    far, near = np.concatenate([ahead[:1], ahead[:-1]]), ahead
    run = far - near
    mean = np.exp(-near) * -np.expm1(-run) / np.where(run > 1e-9, run, 1.0)
    return np.where(run > 1e-9, mean, np.exp(-near))[:, None, None]


def compactness(sections: Sequence[Section], tensors_m2: NDArray[np.float64]) -> NDArray[np.float64]:
    r"""How far sections are one compact body, and not plates, legs or points that reach out.

    .. math::  c = \min\left( 1, \frac{2 S / P}{0.57 \cdot 2 a b / (a + b)} \right)

    Parameters
    ----------
    sections : sequence of Section
        Outlines with areas :math:`S` [m^2] and perimeters :math:`P` [m].
    tensors_m2 : ndarray, shape (n, 2, 2)
        Added mass of each, :math:`\pi a^2` and :math:`\pi b^2` along its own axes [m^2].

    Returns
    -------
    compact : ndarray, shape (n,)
        1 for round, square, three-sided and flat sections, 0.6 for a star, less for a cross of plates [-].

    Notes
    -----
    The edge of a plate throws the air off as far as the plate is thick, however far it stands out. So drawn
    that a triangle is compact; judgement.

    References
    ----------
    .. [1] Hydraulic radius: any text on pipes. The form is ours.

    Examples
    --------
    A tube, and four plates of a twentieth of their span.

    >>> from finial.aero.sections.added_mass import added_mass_tensor
    >>> from finial.aero.sections.outlines import ellipse, section_of
    >>> plus = np.array([[1, 0.05], [0.05, 0.05], [0.05, 1], [-0.05, 1]])
    >>> quarter = np.array([[0.0, 1.0], [-1.0, 0.0]])
    >>> plus = np.concatenate([plus[:3] @ np.linalg.matrix_power(quarter, k) for k in range(4)])
    >>> outlines = [[ellipse(1.0, 1.0)], [plus]]
    >>> tensors = np.array([added_mass_tensor(each) for each in outlines])
    >>> compactness([section_of(0.0, each) for each in outlines], tensors).round(1).tolist()
    [1.0, 0.2]
    """
    squares = np.maximum(np.linalg.eigvalsh(tensors_m2), 0.0) / np.pi
    thin, wide = np.sqrt(squares).T
    even = 2.0 * thin * wide / np.maximum(thin + wide, 1e-300)
    ratio = np.array([2.0 * each.area_m2 / max(each.perimeter_m, 1e-300) for each in sections])
    by_edges = ratio / np.maximum(_COMPACT * even, 1e-300)
    hulls = [max(hull_of(each.loops).area, 1e-300) for each in sections]
    full = np.array([each.area_m2 / hull for each, hull in zip(sections, hulls, strict=True)])
    by_hull = (full - _HOLLOW) / (1.0 - _HOLLOW)
    return np.minimum(np.maximum(by_edges, by_hull), 1.0)


def _shares(
    stations_m: NDArray[np.float64],
    tensors_m2: NDArray[np.float64],
    line_m: NDArray[np.float64],
    growth: tuple[NDArray[np.float64], NDArray[np.float64]],
) -> list[tuple[FrontLip, NDArray[np.float64]]]:
    """Lips, and the share of the growth at each place that is theirs: together no more than all of it."""
    where, compact = growth
    sharpness, heights = lip_sharpness(stations_m, line_m)
    reach = REACH_HEIGHTS * _plate_factor(tensors_m2[np.argmax(tensors_m2.trace(axis1=1, axis2=2))])
    found: list[tuple[FrontLip, NDArray[np.float64]]] = []
    turns = _turns(stations_m, line_m)
    least = _FALLS_WIDTHS * 2.0 * float(line_m.max())
    chosen = np.flatnonzero((sharpness > 1e-6) & (heights > 1e-6 * line_m.max()) & (turns > 1e-9))
    for index in chosen:
        at, behind = float(stations_m[index]), (stations_m[index:], line_m[index:])
        falls = max(_FALLS_AWAY * float(heights[index]), least)
        height = float(heights[index]) * _compact_behind(*behind, compact[index:], falls)
        run = _run_behind(*behind, max(_FALLS_AWAY * height, least))
        sharp = float(sharpness[index]) * min(1.0, run / (_LEAST_RUN * height))
        ahead = faded(stations_m, at, height)
        lip = FrontLip(
            station_m=at,
            size_m=float(line_m[index]),
            height_m=height,
            sharpness=sharp,
            run_m=run,
            reach_m=reach * height,
            growth_m2=np.zeros((2, 2)),
            moment_m3=np.zeros((2, 2)),
        )
        found.append((lip, sharp * np.where(where <= at + 1e-9, ahead[:, 0, 0], 0.0)))
    return _each_its_own(found, turns[chosen])


def _each_its_own(
    found: list[tuple[FrontLip, NDArray[np.float64]]], turns_rad: NDArray[np.float64]
) -> list[tuple[FrontLip, NDArray[np.float64]]]:
    """Of all lips that claim the growth at a place the strongest takes its share, alike ones together.

    Each by how far the outline turns there, so that places between corners count for nothing.
    """
    if not found:
        return []
    claims = np.array([share for _, share in found])
    most = claims.max(axis=0)
    rank = (claims / np.maximum(most, 1e-300)) ** _ALIKE * turns_rad[:, None]
    whole = np.maximum(rank.sum(axis=0), 1e-300)
    return [(lip, most * of / whole) for (lip, _), of in zip(found, rank, strict=True)]


def _turns(stations_m: NDArray[np.float64], sizes_m: NDArray[np.float64]) -> NDArray[np.float64]:
    """How far an outline turns towards the axis at each corner [rad]."""
    rise, run = np.diff(sizes_m, prepend=0.0), np.diff(stations_m, prepend=stations_m[0])
    angles = np.arctan2(np.maximum(rise, 0.0), np.maximum(run, 1e-12))
    angles[np.hypot(run, rise) < 1e-12 * sizes_m.max(initial=1e-300)] = 0.0
    return np.maximum(angles - np.append(angles[1:], 0.0), 0.0)


def _plate_factor(tensor_m2: NDArray[np.float64]) -> float:
    """Reach of the bubble on a section that is thinner one way, over that of a round one of its mean size."""
    thin, wide = np.sqrt(np.maximum(np.linalg.eigvalsh(tensor_m2), 0.0))
    if wide <= 0:
        return 1.0
    ratio = float(thin / wide)
    return ratio / float(np.sqrt((1.0 + ratio**2) / 2.0)) * (1.0 + _FLAT_MORE * (1.0 - ratio))


def _compact_behind(
    stations_m: NDArray[np.float64],
    line_m: NDArray[np.float64],
    compact: NDArray[np.float64],
    falls_m: float,
) -> float:
    """How compact a front is: at its lip, or a little behind where the outline goes on as it is.

    At a tip the cut itself is a sliver.
    """
    reach = _SLIVER_SIZES * float(line_m[0])
    at = np.union1d(np.minimum(stations_m - stations_m[0], reach), [reach])
    behind = stations_m - stations_m[0]
    fallen = np.maximum.accumulate(line_m[0] - line_m) / falls_m
    stays = np.interp(at, behind, np.clip(1.0 - fallen, 0.0, 1.0))
    goes_on = float(np.trapezoid(stays, at)) / max(reach, 1e-300)
    whole = float(np.trapezoid(at * stays, at))
    mean = float(np.trapezoid(at * stays * np.interp(at, behind, compact), at)) / max(whole, 1e-300)
    return (1.0 - goes_on) * float(compact[0]) + goes_on * mean


def _run_behind(stations_m: NDArray[np.float64], line_m: NDArray[np.float64], falls_m: float) -> float:
    """How far the outline goes on behind a lip before it falls away."""
    fallen = np.maximum.accumulate(line_m[0] - line_m) / falls_m
    stays = np.clip(1.0 - fallen, 0.0, 1.0)
    return float(np.diff(stations_m) @ (stays[1:] + stays[:-1])) / 2


def _laid(where_m: NDArray[np.float64], growth_m2: NDArray[np.float64], aft_m: float) -> NDArray[np.float64]:
    """Growth laid down farther aft, between the places where growth acts."""
    moved = np.zeros_like(growth_m2)
    last = len(where_m) - 1
    for index in np.flatnonzero(growth_m2.any(axis=(1, 2))):
        at = float(where_m[index]) + aft_m
        after = min(int(np.searchsorted(where_m, at)), last)
        before = max(after - 1, 0)
        gap = float(where_m[after] - where_m[before])
        share = min(max((at - float(where_m[before])) / gap, 0.0), 1.0) if gap > 1e-12 else 1.0
        moved[before] += (1.0 - share) * growth_m2[index]
        moved[after] += share * growth_m2[index]
    return moved
