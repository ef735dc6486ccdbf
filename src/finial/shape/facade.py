"""Lengths on a flat facade from a photo: four corners, one known length, and how far to trust them."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from finial.core.doors import require_positive
from finial.core.errors import OutsideRange
from finial.core.estimates import Estimate, KnownBy

_SIGMAS = 2.0
"""Intervals reach so many standard deviations either way [-]."""
_STEP_PX = 1e-2
_SQUARE_ON = 0.02
"""Sides that converge by less than this over the facade tell nothing of the lens [-]; chosen."""
_LENSES = (0.7, 2.0)
"""Focal lengths of most cameras over the width of their photos [-]; common practice."""
_AGREE = 2.0
"""Two photos farther apart than this many standard deviations of their difference do not agree [-]."""
Points = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FacadeMarks:
    """What was marked in one photo [px], x to the right and y down from the upper left corner.

    Raises
    ------
    OutsideRange
        If the corners make no rectangle seen in perspective, or a size is not above zero.
    """

    size_px: tuple[float, float]
    """Width and height of the photo."""
    corners_px: Points
    """Of a rectangle on the facade: lower left, lower right, upper right, upper left; shape (4, 2)."""
    known_px: Points
    """Both ends of the known length, in the same plane, shape (2, 2)."""
    known_m: Estimate
    click_px: float
    """Standard deviation of a mark, each way."""
    focal_px: float | None = None
    """Focal length where it is known: that of a 35 mm camera over 36 mm, times the photo's width."""

    def __post_init__(self) -> None:
        """Refuse what is no rectangle."""
        require_positive(
            width_px=self.size_px[0],
            height_px=self.size_px[1],
            click_px=self.click_px,
            known_m=self.known_m.low,
        )
        require_positive(focal_px=1.0 if self.focal_px is None else self.focal_px)
        if self.corners_px.shape != (4, 2) or self.known_px.shape != (2, 2):
            raise OutsideRange(
                "four corners and both ends of a known length are marked, no more and no fewer"
            )
        turns = _turns(self.corners_px)
        if not ((turns > 0.0).all() or (turns < 0.0).all()):
            raise OutsideRange("the corners go crosswise: lower left, lower right, upper right, upper left")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FacadeView:
    """How a photo sees its facade."""

    to_plane: NDArray[np.float64]
    """From marks [px, px, 1] to places on the facade [m, m, 1] up to a factor, shape (3, 3)."""
    focal_px: float | None
    """Focal length, told or found; ``None`` where the view is too nearly square-on to tell."""
    distance_m: float | None
    """From the camera straight to the plane of the facade; ``None`` without the focal length."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SeveralPhotos:
    """One length by several photos."""

    length: Estimate
    apart: float
    """Largest difference of two photos over the standard deviation of it [-]; 0 for one alone."""

    @property
    def agree(self) -> bool:
        """Whether no two photos are farther apart than their errors allow."""
        return self.apart <= _AGREE


def facade_view(marks: FacadeMarks) -> FacadeView:
    r"""Find how a photo sees its facade.

    .. math::  f^2 = - \frac{n_{21} n_{31} + n_{22} n_{32}}{n_{23} n_{33}}, \qquad
               \frac{w^2}{h^2} = \frac{n_2^T \omega n_2}{n_3^T \omega n_3}, \quad
               \omega = \mathrm{diag}(1 / f^2, 1 / f^2, 1)

    Parameters
    ----------
    marks : FacadeMarks
        Four corners and a known length [px, m].

    Returns
    -------
    view : FacadeView
        The map to the facade's plane, and focal length and distance where they show.

    Raises
    ------
    OutsideRange
        If the marks belong to no camera: corners of no rectangle, or a photo that was cut or bent.

    Notes
    -----
    Holds for an uncropped photo of square pixels whose lens axis goes through its middle, and draws straight
    lines straight. :math:`n_2, n_3` are the vanishing directions of the facade's sides, about that middle.
    Where not both sides converge the focal length does not show: that of the photo's own width is taken, and
    ``measured_length`` tells what one of 0.7 or 2 times as much would do.

    References
    ----------
    .. [1] Z. Zhang and L.-W. He, Whiteboard scanning and image enhancement, Digital Signal Processing 17
       (2007) 414, equations 11 to 21; from memory, not re-read.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> square = np.array([[100.0, 900.0], [500.0, 900.0], [500.0, 100.0], [100.0, 100.0]])
    >>> marks = FacadeMarks(size_px=(1000.0, 1000.0), corners_px=square, known_px=square[:2],
    ...                     known_m=exact(4.0), click_px=1.0)
    >>> round(length_on(facade_view(marks), np.array([[300.0, 900.0], [300.0, 100.0]])), 6)
    8.0
    """
    middle = np.array(marks.size_px) / 2
    across, up = _vanishing(marks.corners_px - middle)
    focal = marks.focal_px if marks.focal_px is not None else _focal(across, up)
    taken = focal if focal is not None else marks.size_px[0]
    aspect = _length_of(across, taken) / _length_of(up, taken)
    unit = _plane_map(
        marks.corners_px, np.array([[0, 0], [aspect, 0], [aspect, 1], [0, 1]], dtype=np.float64)
    )
    ends = _mapped(unit, marks.known_px)
    span = float(np.linalg.norm(ends[1] - ends[0]))
    if not span > 0.0:
        raise OutsideRange("the known length has both ends in one place")
    high = marks.known_m.value / span
    distance = None if focal is None else high * _distance(marks.corners_px[0] - middle, across, up, focal)
    return FacadeView(to_plane=np.diag([high, high, 1.0]) @ unit, focal_px=focal, distance_m=distance)


def _turns(corners: Points) -> NDArray[np.float64]:
    sides = np.roll(corners, -1, axis=0) - corners
    after = np.roll(sides, -1, axis=0)
    return sides[:, 0] * after[:, 1] - sides[:, 1] * after[:, 0]


def _vanishing(corners: Points) -> tuple[Points, Points]:
    """Directions of the facade's width and height as the photo sees them, shape (3,) each."""
    first, second, fourth, third = np.column_stack([corners, np.ones(4)])
    one = np.dot(np.cross(first, fourth), third) / np.dot(np.cross(second, fourth), third)
    other = np.dot(np.cross(first, fourth), second) / np.dot(np.cross(third, fourth), second)
    return one * second - first, other * third - first


def _focal(across: Points, up: Points) -> float | None:
    if min(abs(across[2]), abs(up[2])) < _SQUARE_ON:
        return None
    square = -(across[0] * up[0] + across[1] * up[1]) / (across[2] * up[2])
    if not square > 0.0:
        raise OutsideRange(
            "no camera sees a rectangle so: are the corners those of one, is the photo whole and not bent?"
        )
    return math.sqrt(square)


def _length_of(direction: Points, focal_px: float) -> float:
    x, y, z = direction
    return math.sqrt((x**2 + y**2) / focal_px**2 + z**2)


def _distance(corner: Points, across: Points, up: Points, focal_px: float) -> float:
    """Distance from the camera to the plane of the facade, over the facade's height [-].

    All three in the camera's axes, the depth of the corner being 1.
    """
    place, wide, high = (one / (focal_px, focal_px, 1.0) for one in (np.append(corner, 1.0), across, up))
    normal = np.cross(wide, high)
    return abs(float(normal @ place)) / float(np.linalg.norm(normal) * np.linalg.norm(high))


def _plane_map(corners_px: Points, places: Points) -> NDArray[np.float64]:
    """Homography by its eight equations."""
    rows: list[list[float]] = []
    for (x, y), (u, v) in zip(corners_px.tolist(), places.tolist(), strict=True):
        rows.append([x, y, 1.0, 0.0, 0.0, 0.0, -u * x, -u * y])
        rows.append([0.0, 0.0, 0.0, x, y, 1.0, -v * x, -v * y])
    try:
        found = np.linalg.solve(np.array(rows), places.reshape(-1))
    except np.linalg.LinAlgError as error:
        raise OutsideRange("three corners lie on one line: they make no rectangle") from error
    return np.append(found, 1.0).reshape(3, 3)


def _mapped(homography: NDArray[np.float64], points_px: Points) -> Points:
    there = np.column_stack([points_px, np.ones(len(points_px))]) @ homography.T
    return there[:, :2] / there[:, 2:]


def length_on(view: FacadeView, ends_px: Points) -> float:
    """Distance of two marks in the plane of the facade.

    Parameters
    ----------
    view : FacadeView
        How the photo sees it.
    ends_px : ndarray, shape (2, 2)
        Both ends [px].

    Returns
    -------
    length_m : float
        [m].

    Notes
    -----
    Holds in the plane of the four corners. What stands out of it by d, seen from a distance D, reads too
    long by d / (D - d).

    References
    ----------
    .. [1] Homography of a plane: R. Hartley and A. Zisserman, Multiple View Geometry, 2nd ed., 2004, section
       2.3; from memory.

    Examples
    --------
    >>> flat = FacadeView(to_plane=np.eye(3), focal_px=None, distance_m=None)
    >>> length_on(flat, np.array([[0.0, 0.0], [3.0, 4.0]]))
    5.0
    """
    first, second = _mapped(view.to_plane, ends_px)
    return float(np.linalg.norm(second - first))


def measured_length(marks: FacadeMarks, ends_px: Points, proud_m: float = 0.0) -> Estimate:
    r"""Length between two marks, with what every mark's error does to it.

    .. math::  \sigma^2 = \sigma_{px}^2 \sum_i \left( \frac{\partial L}{\partial p_i} \right)^2
               + \left( L \frac{\sigma_k}{k} \right)^2

    Parameters
    ----------
    marks : FacadeMarks
        Corners and known length.
    ends_px : ndarray, shape (2, 2)
        Both ends [px].
    proud_m : float
        How far what is measured stands out of the facade, towards the camera [m].

    Returns
    -------
    length : Estimate
        Two standard deviations either way [m].

    Raises
    ------
    OutsideRange
        If the marks belong to no camera, or the distance does not show of what stands out of the facade.

    Notes
    -----
    Marks move independently of one another; first order, by central differences.

    References
    ----------
    .. [1] JCGM 100:2008 (GUM), equation 10: the law of propagation of uncertainty; from memory.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> square = np.array([[100.0, 900.0], [500.0, 900.0], [500.0, 100.0], [100.0, 100.0]])
    >>> marks = FacadeMarks(size_px=(1000.0, 1000.0), corners_px=square, known_px=square[:2],
    ...                     known_m=exact(4.0), click_px=1.0)
    >>> told = measured_length(marks, np.array([[300.0, 900.0], [300.0, 100.0]]))
    >>> round(told.value, 6), told.low < 8.0 < told.high
    (8.0, True)
    """
    every = np.concatenate([marks.corners_px.ravel(), marks.known_px.ravel(), ends_px.ravel()])

    def length(numbers: NDArray[np.float64]) -> float:
        corners, known, ends = numbers[:8], numbers[8:12], numbers[12:]
        moved = replace(marks, corners_px=corners.reshape(4, 2), known_px=known.reshape(2, 2))
        view = facade_view(moved)
        return length_on(view, ends.reshape(2, 2)) / _nearer(view, proud_m)

    value = length(every)
    by_marks = marks.click_px * float(np.linalg.norm(_slopes(length, every)))
    by_known = value * marks.known_m.half_width / (_SIGMAS * marks.known_m.value)
    reach = math.hypot(_SIGMAS * by_marks, _SIGMAS * by_known, _by_lens(marks, ends_px, proud_m))
    return Estimate(
        value=value,
        low=value - reach,
        high=value + reach,
        known_by=KnownBy.MEASURED,
        method="photo of a flat facade, two standard deviations",
    )


def _by_lens(marks: FacadeMarks, ends_px: Points, proud_m: float) -> float:
    """Return how far a length may be off where the focal length does not show, and none is told [m]."""
    if proud_m or facade_view(marks).focal_px is not None:
        return 0.0
    ends = [
        length_on(facade_view(replace(marks, focal_px=share * marks.size_px[0])), ends_px)
        for share in _LENSES
    ]
    return (max(ends) - min(ends)) / 2


def _nearer(view: FacadeView, proud_m: float) -> float:
    """Return how much longer than it is something reads that stands out of the facade [-]."""
    if proud_m == 0.0:
        return 1.0
    if view.distance_m is None:
        raise OutsideRange("the photo is too nearly square-on to tell how far away it was taken")
    if not abs(proud_m) < view.distance_m:
        raise OutsideRange(f"{proud_m} m out of a facade {view.distance_m:.3g} m away")
    return view.distance_m / (view.distance_m - proud_m)


def _slopes(length: Callable[[NDArray[np.float64]], float], at: NDArray[np.float64]) -> NDArray[np.float64]:
    steps = np.eye(len(at)) * _STEP_PX
    return np.array([(length(at + step) - length(at - step)) / (2 * _STEP_PX) for step in steps])


def storey_height(foot: Estimate, top: Estimate, sides: tuple[Estimate, Estimate]) -> Estimate:
    r"""Height of a storey that narrows or widens evenly, from the lengths of its four edges.

    .. math::  h = \sqrt{s^2 - \left( \frac{f - t}{2} \right)^2}, \qquad s = \frac{l + r}{2}

    Parameters
    ----------
    foot, top : Estimate
        Its lower and its upper edge, :math:`f` and :math:`t` [m].
    sides : tuple of Estimate
        Its left and its right edge, :math:`l` and :math:`r` [m].

    Returns
    -------
    height : Estimate
        With every edge at its worst end at once [m].

    Raises
    ------
    OutsideRange
        If the edges may be too short to close a storey.

    Notes
    -----
    Holds for an outline that is alike on either side: one that leans reads up to
    :math:`1/\cos` of its lean too high.

    References
    ----------
    .. [1] Pythagoras, in an isosceles trapezium.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> storey_height(exact(8.0), exact(2.0), (exact(5.0), exact(5.0))).value
    4.0
    """
    apart = abs(foot.value - top.value) / 2
    unsure = (foot.half_width + top.half_width) / 2
    # Nothing narrows by less than nothing: an interval round zero ends there.
    narrows = (max(apart - unsure, 0.0), apart, apart + unsure)
    low, high = (sum(getattr(side, end) for side in sides) / 2 for end in ("low", "high"))
    middle = sum(side.value for side in sides) / 2
    if not low > narrows[2]:
        raise OutsideRange(f"edges of {middle:.3g} m beside a foot and a top {2 * apart:.3g} m apart")
    return Estimate(
        value=math.sqrt(middle**2 - narrows[1] ** 2),
        low=math.sqrt(low**2 - narrows[2] ** 2),
        high=math.sqrt(high**2 - narrows[0] ** 2),
        known_by=max(foot.known_by, top.known_by, *(side.known_by for side in sides)),
        method="edges of a storey on the facade",
    )


def bowed_px(points_px: Points) -> float:
    """How far marks along one straight edge lie off the line through its ends: what the lens bends.

    Parameters
    ----------
    points_px : ndarray, shape (n, 2)
        Marks along the edge, at least 3 [px].

    Returns
    -------
    off_px : float
        The largest distance [px].

    Raises
    ------
    OutsideRange
        For fewer than 3 marks, or ends in one place.

    Notes
    -----
    More than two standard deviations of a mark is the lens, or an edge that is not straight.

    References
    ----------
    .. [1] Distance of a point from a line.

    Examples
    --------
    >>> bowed_px(np.array([[0.0, 0.0], [50.0, 3.0], [100.0, 0.0]]))
    3.0
    """
    along = points_px[-1] - points_px[0]
    length = float(np.linalg.norm(along))
    if len(points_px) < 3 or not length > 0.0:
        raise OutsideRange("a straight edge is marked at three places or more, its ends apart")
    offset = points_px - points_px[0]
    return float(np.abs(along[0] * offset[:, 1] - along[1] * offset[:, 0]).max() / length)


def by_several(lengths: Sequence[Estimate]) -> SeveralPhotos:
    r"""One length by several photos, weighted by their errors.

    .. math::  L = \frac{\sum L_i / \sigma_i^2}{\sum 1 / \sigma_i^2}, \qquad
               \sigma^2 = \frac{\max(1, \chi^2 / (n - 1))}{\sum 1 / \sigma_i^2}

    Parameters
    ----------
    lengths : sequence of Estimate
        One of each photo, two standard deviations either way [m].

    Returns
    -------
    found : SeveralPhotos
        The length, and how far apart the photos are [m, -].

    Raises
    ------
    OutsideRange
        If there is none, or one is told without an error.

    Notes
    -----
    Photos that do not agree widen the interval by the Birge ratio; one that is plainly wrong is left out.

    References
    ----------
    .. [1] R. T. Birge, The calculation of errors by the method of least squares, Physical Review 40 (1932)
       207; from memory.

    Examples
    --------
    >>> from finial.core.estimates import spread
    >>> both = by_several([spread(2.0, 0.01, known_by=KnownBy.MEASURED)] * 2)
    >>> round(both.length.value, 6), both.apart, both.agree
    (2.0, 0.0, True)
    """
    sigmas = np.array([one.half_width / _SIGMAS for one in lengths])
    if not len(lengths) or not (sigmas > 0.0).all():
        raise OutsideRange("a length by several photos wants one of each, with its error")
    values, weights = np.array([one.value for one in lengths]), sigmas**-2.0
    mean = float((values * weights).sum() / weights.sum())
    chi = float(((values - mean) ** 2 * weights).sum())
    stretch = max(1.0, chi / max(len(values) - 1, 1))
    reach = _SIGMAS * math.sqrt(stretch / float(weights.sum()))
    between = np.abs(values[:, None] - values) / np.hypot(sigmas[:, None], sigmas)
    return SeveralPhotos(
        length=Estimate(
            value=mean,
            low=mean - reach,
            high=mean + reach,
            known_by=KnownBy.MEASURED,
            method="photos of a flat facade, weighted by their errors",
        ),
        apart=float(between.max()),
    )
