"""Shapes that are not straight: what they feel in flow along the axis, and how they fly."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.aero.body import BodyAir, integral_along, potential_factor
from finial.aero.drag.pressure import FACE_PRESSURE, base_drag_fit
from finial.aero.drag.sources import DragBuildUp, DragKind
from finial.aero.fins.on_body import FinAir
from finial.aero.sections.symmetry import CENTRED
from finial.aero.steps.ledges import Outside, outside_of
from finial.aero.steps.recesses import drag_shares
from finial.core.errors import OutsideRange
from finial.core.kept_parts import kept
from finial.shape.skin import Skin

_STEP_SHARE = 1e-4
"""Sections nearer than this share of the length are the two sides of a step: no slope there."""
_STRAIGHT_WIDTHS = 1e-5
"""Side loads smaller than this are rounding of the mesh."""


_ROUND = 2e-3
"""Added mass that differs by less than this share between two directions is equal."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ZeroLoads:
    """Loads across the axis while the air flows along it, on the vehicle's reference area."""

    force: tuple[float, float] = (0.0, 0.0)
    """Force coefficients along body y and z [-]."""
    moment_m: tuple[float, float] = (0.0, 0.0)
    """Their first moments about the tip, positive aft [m]."""
    roll_moment_m: float = 0.0
    """Moment coefficient about the body x axis times length [m]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Trim:
    """How a crooked shape flies: at an angle, and turning."""

    angle_rad: float | None
    """Angle between the axis and the flight path [rad]; ``None`` if no angle holds."""
    roll_rad: float
    """Where the cross wind blows to at that angle, from body y towards z [rad]."""
    turns_per_m: float
    """Turns about the axis per metre flown, positive from y towards z [1/m]; 0 without fins."""


def zero_loads(body: BodyAir) -> ZeroLoads:
    r"""Side force of a leaning or curved stack of sections in flow along its axis.

    .. math::  \frac{dN_0}{dx} = -2 q \frac{d}{dx} \left( A \, c' \right)

    Parameters
    ----------
    body : BodyAir
        Bare body; :math:`A` is its added mass per density [m^2] in separated flow,
        :math:`c` the centroid of each section [m].

    Returns
    -------
    loads : ZeroLoads
        Nothing for a stack that stands straight on any parallel of the axis.

    Notes
    -----
    Slender-body theory with a bent axis; small slopes. A stack that leans by an angle
    comes out like a straight one at that angle of attack. Expect 30 % on bends, more behind
    steps, where the slope of the last outline before the step is kept.

    References
    ----------
    .. [1] J. N. Nielsen, Missile Aerodynamics, McGraw-Hill 1960, chapter 3 (from memory).

    Examples
    --------
    >>> from finial.aero.body import body_air
    >>> from finial.aero.sections.outlines import ellipse, tapered_skin
    >>> zero_loads(body_air(tapered_skin(lambda d: ellipse(d / 2, d / 2), [(0.0, 0.0), (0.3, 0.1)]))).force
    (0.0, 0.0)
    """
    return _zero_loads(body)


# Ballast moves where it balances, and no section.
@kept(8)
def _zero_loads(body: BodyAir) -> ZeroLoads:
    centres = _centres(body.skin)
    slopes = _slopes(body, centres)
    felt = np.cumsum(body.growth.felt_m2, axis=0)
    between = np.einsum("nij,nj->ni", (felt[1:] + felt[:-1]) / 2, slopes)
    loads = -2.0 * np.diff(between, axis=0, prepend=0.0, append=0.0) / body.reference_area_m2
    # What the last stretch carries stays on the base: nothing takes it back behind it.
    loads[-1] = -2.0 * (np.einsum("ij,j->i", felt[-1], slopes[-1]) - between[-1]) / body.reference_area_m2
    moment = body.stations_m @ loads - body.relief_m3 @ _mean_slope(body, slopes) / body.reference_area_m2
    if np.abs(loads).sum() < _STRAIGHT_WIDTHS:
        return ZeroLoads()
    roll = float(_cross(centres, loads).sum())
    force = loads.sum(axis=0)
    return ZeroLoads(
        force=(float(force[0]), float(force[1])),
        moment_m=(float(moment[0]), float(moment[1])),
        roll_moment_m=roll,
    )


@kept(8)
def _centres(skin: Skin) -> NDArray[np.float64]:
    return np.array([section.centroid_m for section in skin.sections])


def _slopes(body: BodyAir, centres: NDArray[np.float64]) -> NDArray[np.float64]:
    """Slope of the line of centroids over each space, kept over steps and dead air, shape (n - 1, 2)."""
    gaps = np.diff(body.stations_m)
    slopes = np.diff(centres, axis=0) / np.maximum(gaps, 1e-12)[:, None]
    dead = body.growth.sheltered_m > 0
    good = (gaps > _STEP_SHARE * body.length_m) & ~(dead[1:] | dead[:-1])
    good[0] = good[0] or not good.any()
    known = np.flatnonzero(good)
    last = known[np.maximum(np.searchsorted(known, np.arange(len(gaps)), side="right") - 1, 0)]
    return slopes[last]


def _mean_slope(body: BodyAir, slopes: NDArray[np.float64]) -> NDArray[np.float64]:
    """Slope weighted with added mass: what the third dimension's moment feels."""
    mean = body.tensors_m2.trace(axis1=1, axis2=2)
    weight = np.diff(body.stations_m) * (mean[1:] + mean[:-1])
    return weight @ slopes / max(float(weight.sum()), 1e-300)


def drag_line_m(skin: Skin, drag: DragBuildUp, outside: Outside | None = None) -> tuple[float, float]:
    r"""Where the drag acts, off the axis: fronts, backs, base and friction, each at its centre.

    .. math::  r = \frac{\sum_i C_i S_i \, r_i}{\sum_i C_i S_i}

    Parameters
    ----------
    skin : Skin
        Outer outlines without fins.
    drag : DragBuildUp
        Its zero-angle drag.
    outside : Outside, optional
        Faces of the skin; without it its growth tells.

    Returns
    -------
    y_m, z_m : float
        Off the axis, body axes [m].

    Notes
    -----
    Fins count as evenly spaced. Expect a quarter of the distance.

    References
    ----------
    .. [1] Balance of parallel forces; strengths as ``drag_build_up``.

    Examples
    --------
    >>> from finial.aero.drag.build_up import drag_build_up
    >>> from finial.aero.sections.outlines import regular_polygon, tapered_skin
    >>> aside = tapered_skin(lambda s: regular_polygon(4, s) + [0.02, 0.0], [(0.0, 0.1), (0.5, 0.1)])
    >>> y, z = drag_line_m(aside, drag_build_up(aside, (), mach=0.3, reynolds_per_m=6e6))
    >>> round(y, 3)
    0.02
    """
    stations, areas = skin.stations_m, skin.areas_m2
    centres = _centres(skin)
    first = areas[:, None] * centres
    parts: list[tuple[float, NDArray[np.float64]]] = []
    for face in (outside or outside_of(skin)).faces:
        low, high = (np.searchsorted(stations, end + 1e-9) - 1 for end in (face.start_m, face.end_m))
        start = (0.0, np.zeros(2)) if face.front and face.start_m <= 0.0 else (areas[low], first[low])
        change = areas[high] - start[0]
        strength = FACE_PRESSURE * face.steepness if face.front else base_drag_fit(drag.mach)
        middle = (first[high] - start[1]) / change if abs(change) > 1e-12 else centres[high]
        parts.append((strength * face.area_m2 * drag_shares(face.bridged)[1], middle))
    parts.append((drag.base_power_off.coefficient.value * drag.reference_area_m2, centres[-1]))
    rubbing = drag.of_kind(DragKind.SKIN_FRICTION)
    round_ = skin.perimeters_m
    weight = np.diff(stations) * (round_[1:] + round_[:-1])
    mean = weight @ ((centres[1:] + centres[:-1]) / 2) / max(float(weight.sum()), 1e-300)
    parts.append((rubbing * drag.reference_area_m2, mean))
    all_ = max(sum(size for size, _ in parts), 1e-300)
    y, z = np.sum([size * np.asarray(where) for size, where in parts], axis=0) / all_
    return float(y), float(z)


def across_roll(
    body: BodyAir, alpha_rad: NDArray[np.float64], toward: NDArray[np.float64]
) -> NDArray[np.float64]:
    r"""Roll moment coefficient per width from wind across the body, shape (alpha, roll).

    .. math::  m_x = \frac{2 |\cos\alpha| \cos(\alpha/2) \sin\alpha}{S} \sum c \times A' e
               + \frac{\sin^2\alpha}{S} \int
               \left( c \times (d\, e + s\, e_\perp) - 2\, e \times A e \right) dx

    Parameters
    ----------
    body : BodyAir
    alpha_rad : ndarray, shape (a,)
        Angles of attack, 0 to pi [rad].
    toward : ndarray, shape (r, 2)
        Unit vectors :math:`e` of the cross wind [-].

    Returns
    -------
    moment : ndarray, shape (a, r)
        Positive from body y towards z [-].

    Notes
    -----
    Forces act at the centroids :math:`c` of the sections; :math:`d` is the crossflow drag
    width, :math:`s` what flats that stand oblique push aside. The last term is Munk's moment of
    a section that is not equally wide all round; the wake behind real sections takes part of it
    away. Beyond 90 degrees the growth from the tip is left out. Expect 50 %. Fins are not in it.

    References
    ----------
    .. [1] J. N. Newman, Marine Hydrodynamics, 1977, section 4.13 (from memory).

    Examples
    --------
    >>> from finial.aero.body import body_air
    >>> from finial.aero.sections.outlines import regular_polygon, tapered_skin
    >>> tower = body_air(tapered_skin(lambda s: regular_polygon(4, s), [(0.0, 0.1), (0.5, 0.1)]))
    >>> bool(abs(across_roll(tower, np.array([0.3]), np.array([[0.8, 0.6]]))).max() < 1e-3)
    True
    """
    centres, stations = _centres(body.skin), body.stations_m
    if np.abs(centres).max() < CENTRED * body.width_m:
        centres = np.zeros_like(centres)
    middle = np.vstack([centres[:1], (centres[1:] + centres[:-1]) / 2])
    lift = np.einsum("nij,rj->nri", body.growth.felt_m2, toward)
    growth = np.sum(_cross(middle[:, None], lift), axis=0)
    rolls = np.arctan2(toward[:, 1], toward[:, 0]) % (2 * np.pi)
    widths, sides = (_at_rolls(body, each, rolls) for each in (body.drag_widths_m, body.side_widths_m))
    aside = np.column_stack([-toward[:, 1], toward[:, 0]])
    pushed = np.einsum("nij,rj->nri", _unequal(body.tensors_m2), toward)
    drags = widths * _cross(centres[:, None], toward) + sides * _cross(centres[:, None], aside)
    across = drags - 2.0 * _cross(toward, pushed)
    steady = integral_along(stations, across)
    sine = np.sin(alpha_rad)[:, None]
    ahead = (potential_factor(alpha_rad) * (alpha_rad < np.pi / 2))[:, None]
    whole = sine * ahead * growth + sine**2 * steady
    return whole / (body.reference_area_m2 * body.width_m)


def _at_rolls(body: BodyAir, widths: NDArray[np.float64], rolls: NDArray[np.float64]) -> NDArray[np.float64]:
    """Widths of the sections at roll angles, straight between those of the body, shape (n, roll)."""
    after = np.clip(np.searchsorted(body.rolls_rad, rolls, side="right"), 1, len(body.rolls_rad) - 1)
    left, right = body.rolls_rad[after - 1], body.rolls_rad[after]
    share = (rolls - left) / (right - left)
    return widths[:, after - 1] * (1 - share) + widths[:, after] * share


def _unequal(tensors: NDArray[np.float64]) -> NDArray[np.float64]:
    """Tensors less their mean over roll; nothing where that is the panels' own error."""
    mean = tensors.trace(axis1=1, axis2=2) / 2
    rest = tensors - mean[:, None, None] * np.eye(2)
    rest[np.abs(rest).max(axis=(1, 2)) < _ROUND * mean] = 0.0
    return rest


def _cross(first: NDArray[np.float64], second: NDArray[np.float64]) -> NDArray[np.float64]:
    """Out-of-plane part of the cross product of vectors (y, z)."""
    return first[..., 0] * second[..., 1] - first[..., 1] * second[..., 0]


def trim_of(
    body: BodyAir,
    fins: Sequence[FinAir],
    balance_m: tuple[float, float, float],
    axial: tuple[float, tuple[float, float]],
) -> Trim:
    r"""Angle at which no moment is left, and how fast fins that are canted turn the vehicle.

    .. math::  (X - x_c N) \, \alpha = -(m_0 - x_c n_0) + C_A \, (c_D - c_c)

    Parameters
    ----------
    body : BodyAir
    fins : sequence of FinAir
    balance_m : tuple of float
        Station of the balance point and its place across (y, z) [m].
    axial : tuple
        Axial force coefficient [-] and where it acts off the axis (y, z) [m].

    Returns
    -------
    trim : Trim
        Coasting, at small angles, without the motor's own line of thrust.

    Raises
    ------
    OutsideRange
        If the balance point is not a number.

    Notes
    -----
    Straight lines through zero angle: beyond 10 degrees only the direction means something.
    A vehicle that turns about its axis averages the angle out as a cone.

    References
    ----------
    .. [1] Balance of moments; loads as in ``zero_loads`` and ``drag_line_m``.

    Examples
    --------
    A cone whose balance point lies off its axis flies towards that side.

    >>> from finial.aero.body import body_air
    >>> from finial.aero.sections.outlines import ellipse, tapered_skin
    >>> cone = body_air(tapered_skin(lambda d: ellipse(d / 2, d / 2), [(0.0, 0.0), (0.3, 0.1)]))
    >>> trim = trim_of(cone, (), (0.15, 0.0, 0.002), (0.3, (0.0, 0.0)))
    >>> round(float(np.degrees(trim.angle_rad)), 2), round(float(np.degrees(trim.roll_rad)))
    (0.46, -90)
    """
    if not np.isfinite(balance_m).all():
        raise OutsideRange(f"the balance point must be finite: got {balance_m}")
    station, across = balance_m[0], np.array(balance_m[1:])
    area, growth = body.reference_area_m2, body.growth
    force = 2.0 * growth.felt_m2.sum(axis=0) / area
    moment = 2.0 * np.einsum("n,nij->ij", growth.stations_m, growth.felt_m2) / area
    moment = moment + body.relief_m3 / area
    for ring in body.rings:
        force = force + ring.felt_slope_per_rad
        moment = moment + ring.felt_slope_per_rad * ring.centre_m
    for fin in fins:
        force = force + fin.felt_slope_per_rad
        moment = moment + fin.felt_slope_per_rad * fin.centre_m
    righting: NDArray[np.float64] = moment - station * force
    zero = zero_loads(body)
    upset = -(np.array(zero.moment_m) - station * np.array(zero.force))
    upset = upset + axial[0] * (np.array(axial[1]) - across)
    stable = np.linalg.eigvalsh((righting + righting.T) / 2)[0] > 0
    wind = np.linalg.solve(righting, upset) if stable else upset
    return Trim(
        angle_rad=float(np.hypot(*wind)) if stable else None,
        roll_rad=float(np.arctan2(wind[1], wind[0])),
        turns_per_m=_turns(body, fins, zero),
    )


def _turns(body: BodyAir, fins: Sequence[FinAir], zero: ZeroLoads) -> float:
    damping = sum(fin.factor[1] * fin.roll_damping for fin in fins)
    if damping == 0.0:
        return 0.0
    drive = sum(fin.factor[1] * fin.cant_moment for fin in fins) + zero.roll_moment_m / body.width_m
    return float(-drive / damping * 2.0 / body.width_m / (2.0 * np.pi))
