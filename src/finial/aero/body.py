"""Everything about the bare body's air loads that fins do not change: the slow part."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from finial.aero.rings import RingAir, ring_air
from finial.aero.sections.added_mass import added_roll_inertia
from finial.aero.sections.crossflow import drag_width_parts, finite_length_factor
from finial.aero.sections.outlines import squared_radii
from finial.aero.sections.similar import per_shape, section_tensors
from finial.aero.sections.symmetry import CENTRED, repeats_per_turn
from finial.aero.steps.double_body import moment_relief
from finial.aero.steps.ellipsoid import relief_by_plane
from finial.aero.steps.fronts import compactness
from finial.aero.steps.ledges import Outside, whole_outside
from finial.aero.steps.separation import SeparatedGrowth, body_growth, envelope, mean_sizes, reached
from finial.aero.steps.upright import stood_upright
from finial.core.errors import MeshError
from finial.shape.skin import Skin

_ROLLS = 144
_DIRECTIONS = np.linspace(0.0, np.pi, 36, endpoint=False)
_POINTED = 1e-4
"""A base smaller than this share of the largest section is a point."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class BodyAir:
    """Air loads of a skin without fins, ready for any angle and roll.

    Growth is of added mass per density [m^2]; drag areas are crossflow drag coefficient
    times planform area [m^2], with the finite-length factor in them.
    """

    skin: Skin
    reference_area_m2: float
    width_m: float
    length_m: float
    stations_m: NDArray[np.float64]
    tensors_m2: NDArray[np.float64]
    """Added mass of each section, shape (n, 2, 2)."""
    growth: SeparatedGrowth
    reverse: SeparatedGrowth
    """The same for flow from the base: its stations count forward from the base."""
    rolls_rad: NDArray[np.float64]
    drag_widths_m: NDArray[np.float64]
    """Crossflow drag coefficient times width, with the finite-length factor, shape (n, roll)."""
    drag_areas_m2: NDArray[np.float64]
    """Drag widths summed along the body, shape (roll,)."""
    drag_moments_m3: NDArray[np.float64]
    """First moments of the same about the tip, shape (roll,)."""
    smooth_areas_m2: NDArray[np.float64]
    """Part of the drag areas that smooth outlines carry: it may fall away, shape (roll,)."""
    smooth_moments_m3: NDArray[np.float64]
    """First moments of that part about the tip, shape (roll,)."""
    side_widths_m: NDArray[np.float64]
    """What flats that stand oblique push aside, 90 degrees on in roll, shape (n, roll)."""
    side_areas_m2: NDArray[np.float64]
    """The same summed along the body, shape (roll,)."""
    side_moments_m3: NDArray[np.float64]
    """First moments of that about the tip, shape (roll,)."""
    relief_m3: NDArray[np.float64]
    """Moment area that three-dimensional flow adds, bubbles followed as far as they are taken to
    be, shape (2, 2) [m^3]."""
    relief_filled_m3: NDArray[np.float64]
    """The same with steps filled by their bubbles [m^3]."""
    relief_attached_m3: NDArray[np.float64]
    """The same with flow attached behind every step [m^3]."""
    base_roll_inertia_m4: float
    """Added moment of inertia per density of the base section turned about the axis [m^4]."""
    skin_turning_m4: float
    """Integral of the squared distance from the axis over the skin: what friction turns against [m^4]."""
    solves: int
    """Distinct section shapes solved."""
    repeats: int
    """How often all loads repeat in one turn about the axis."""
    outside: Outside
    """Faces that meet the wind and the walls they stand on."""
    rings: tuple[RingAir, ...] = ()
    """Rings that the air flows through; they are no part of the sections."""

    @property
    def sizes_m(self) -> NDArray[np.float64]:
        """Radius of the circle with each section's mean added mass [m], shape (n,)."""
        return mean_sizes(self.tensors_m2)


def body_air(skin: Skin) -> BodyAir:
    r"""Solve all sections of a skin for added mass and crossflow drag.

    .. math::  \frac{dN}{dx} = q \left( \sin 2\alpha \cos\frac{\alpha}{2} \frac{dA}{dx}
               + \eta\, c(x, \phi) \sin^2\alpha \right)

    Parameters
    ----------
    skin : Skin
        Outer outlines from tip to base, without fins.

    Returns
    -------
    body : BodyAir
        :math:`A` and :math:`\eta c` per section, growth with and without bubbles.

    Raises
    ------
    MeshError
        If the skin has fewer than two sections, or stations that fall back, or no area.
    OutsideRange
        If a coordinate of an outline is not finite.

    Notes
    -----
    Potential part: slender-body theory of any section, with the moment corrected for the
    third dimension; crossflow part: empirical, 25 %.
    The axis is taken as straight: what a leaning or curved stack of sections feels on top
    is in ``finial.aero.crooked``.

    References
    ----------
    .. [1] H. J. Allen, E. W. Perkins, NACA Report 1048, 1951 (from memory, not re-read).
    .. [2] L. H. Jorgensen, NASA TR R-474, 1977 (from memory, not re-read).

    Examples
    --------
    >>> from finial.aero.sections.outlines import ellipse, tapered_skin
    >>> cone = body_air(tapered_skin(lambda d: ellipse(d / 2, d / 2), [(0.0, 0.0), (0.3, 0.1)]))
    >>> round(float(2 * cone.tensors_m2[-1, 0, 0] / cone.reference_area_m2), 2)
    2.0
    """
    stations = skin.stations_m
    if len(stations) < 2 or np.any(np.diff(stations) < 0):
        raise MeshError("a skin needs at least two sections with stations that rise from tip to base")
    tensors, solves = section_tensors(skin.sections)
    rolls = np.linspace(0.0, 2 * np.pi, _ROLLS + 1)
    shapes, _ = per_shape(skin.sections, lambda loops: drag_width_parts(loops, rolls))
    raw = shapes * np.sqrt(skin.areas_m2)[:, None, None]
    mean_width = integral_along(stations, _spans(skin)) / skin.length_m
    parts = float(finite_length_factor(skin.length_m / mean_width)) * raw
    widths, smooth, side = parts[:, :2].sum(axis=1), parts[:, 1], parts[:, 2]
    stations, tensors = stood_upright(stations, tensors, skin.leaning_m)
    sizes = mean_sizes(tensors)
    compact = compactness(skin.sections, tensors)
    growth = body_growth(stations, tensors, compact)
    planes = growth.kept * relief_by_plane(stations, tensors)
    filled = moment_relief(stations, envelope(stations, sizes)) * planes
    followed = reached(stations, sizes)
    attached = moment_relief(stations, followed) * planes if growth.bubbles else filled
    return BodyAir(
        skin=skin,
        reference_area_m2=skin.reference_area_m2,
        width_m=skin.width_m,
        length_m=skin.length_m,
        stations_m=stations,
        tensors_m2=tensors,
        growth=growth,
        reverse=body_growth((stations[-1] - stations)[::-1], tensors[::-1], compact[::-1]),
        rolls_rad=rolls,
        drag_widths_m=widths,
        drag_areas_m2=integral_along(stations, widths),
        drag_moments_m3=integral_along(stations, widths * stations[:, None]),
        smooth_areas_m2=integral_along(stations, smooth),
        smooth_moments_m3=integral_along(stations, smooth * stations[:, None]),
        side_widths_m=side,
        side_areas_m2=integral_along(stations, side),
        side_moments_m3=integral_along(stations, side * stations[:, None]),
        relief_m3=filled + _followed_share(growth) * (attached - filled),
        relief_filled_m3=filled,
        relief_attached_m3=attached,
        base_roll_inertia_m4=_base_roll_inertia(skin),
        skin_turning_m4=float(integral_along(stations, _turned_perimeters(skin))),
        solves=solves,
        repeats=_repeats(skin, tensors, parts),
        outside=whole_outside(skin),
        rings=tuple(ring_air(ring, skin.reference_area_m2) for ring in skin.rings),
    )


def _repeats(skin: Skin, tensors: NDArray[np.float64], parts: NDArray[np.float64]) -> int:
    """Repeats per turn of a body that stands on its axis; 1 for any other."""
    off = max(float(np.hypot(*section.centroid_m)) for section in skin.sections)
    if off > CENTRED * skin.width_m:
        return 1
    return repeats_per_turn(tensors, [parts.reshape(-1, parts.shape[-1])])


def _followed_share(growth: SeparatedGrowth) -> float:
    """Mean share of the bubbles that the air follows, by what they hold."""
    held = np.array(
        [bubble.most_followed * abs(float(np.trace(bubble.growth_m2))) for bubble in growth.bubbles]
    )
    followed = np.array([bubble.followed for bubble in growth.bubbles])
    return float(held @ followed / held.sum()) if held.sum() > 0 else 0.0


def _base_roll_inertia(skin: Skin) -> float:
    """Of the last section, whose turned air is left behind; none where the body ends in a point."""
    base = skin.sections[-1]
    if not base.loops or base.area_m2 < _POINTED * skin.reference_area_m2:
        return 0.0
    return added_roll_inertia(base.loops)


def _turned_perimeters(skin: Skin) -> NDArray[np.float64]:
    """Integral of the squared distance from the axis round each section [m^3]."""
    return np.array(
        [
            sum(float(squared_radii(loop, np.roll(loop, -1, axis=0)).sum()) for loop in section.loops)
            for section in skin.sections
        ]
    )


def _spans(skin: Skin) -> NDArray[np.float64]:
    """Extent across the axis of each section, mean over all directions [m]."""
    across = np.column_stack([np.cos(_DIRECTIONS), np.sin(_DIRECTIONS)])
    return np.array([np.ptp(np.vstack(each.loops) @ across.T, axis=0).mean() for each in skin.sections])


def integral_along(stations: NDArray[np.float64], values: NDArray[np.float64]) -> NDArray[np.float64]:
    """Integrate values over the stations by the trapezoid rule.

    Parameters
    ----------
    stations : ndarray, shape (n,)
        Rising stations [m].
    values : ndarray, shape (n, ...)
        Values there, along the first axis, in any unit [any].

    Returns
    -------
    integral : ndarray, shape (...)
        In the unit of the values times metres [any].

    Notes
    -----
    Exact for values that are straight between stations; a step is two rows at one station.

    References
    ----------
    .. [1] Trapezoid rule: any text on numerical methods.

    Examples
    --------
    >>> integral_along(np.array([0.0, 1.0, 3.0]), np.array([[0.0], [2.0], [2.0]])).tolist()
    [5.0]
    """
    step = np.diff(stations)
    return np.tensordot(step, (values[1:] + values[:-1]) / 2, axes=1)


def potential_factor(alpha_rad: ArrayLike) -> NDArray[np.float64]:
    r"""Growth of added mass to force over q sin(alpha).

    .. math::  k = 2 \cos a \, \cos \tfrac{a}{2}, \qquad a = \min(\alpha, \pi - \alpha)

    so that times :math:`\sin\alpha` it is :math:`\sin 2 \alpha \cos(\alpha / 2)` of the end that meets the
    air first.

    Parameters
    ----------
    alpha_rad : array_like, shape (...)
        Angle of attack, 0 to pi [rad].

    Returns
    -------
    factor : ndarray, shape (...)
        Factor [-].

    Notes
    -----
    Slender-body theory carried to large angles: exact at small ones, nothing at 90 degrees, where crossflow
    drag is all there is.

    References
    ----------
    .. [1] H. J. Allen, E. W. Perkins, NACA Report 1048, 1951 (from memory, not re-read).

    Examples
    --------
    >>> potential_factor([0.0, np.pi]).tolist()
    [2.0, 2.0]
    """
    alpha = np.asarray(alpha_rad, dtype=float)
    from_end = np.minimum(alpha, np.pi - alpha)
    return 2.0 * np.cos(from_end) * np.cos(from_end / 2)
