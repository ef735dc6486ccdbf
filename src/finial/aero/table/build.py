"""Fill the table of air loads that a flight looks up."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from finial.aero.body import BodyAir, potential_factor
from finial.aero.crooked import ZeroLoads, across_roll, drag_line_m, zero_loads
from finial.aero.damping import least_turning_damping, roll_damping, turning_damping
from finial.aero.drag.build_up import DragDetails, drag_build_up
from finial.aero.drag.pressure import FACE_PRESSURE, base_drag_fit
from finial.aero.drag.sources import DragBuildUp, DragKind
from finial.aero.fins.force import stall_drag, usual_fin_loads
from finial.aero.fins.on_body import FinAir, loads_repeat
from finial.aero.rings import RING_ACROSS, RING_FACTOR, RingAir, ring_forces
from finial.aero.sections.crossflow import crossflow_mach_factor, smooth_reynolds_factor
from finial.aero.sections.symmetry import rolls_needed, round_the_turn
from finial.aero.table.record import AirTable
from finial.core.kept_parts import kept

ANGLES_RAD = np.radians([0, 2, 4, 6, 8, 10, 12.5, 15, 20, 25, 30, 40, 50, 60, 75, 90, 110, 130, 155, 180.0])
MACHS = np.array([0.0, 0.05, 0.1, 0.2, 0.3, 0.5, 0.7, 0.9])
ROLLS = 24
_SUMS = ("along", "across", "along_moment", "across_moment")
_SLOWEST_FRICTION = 0.1
"""Below this Mach number friction is that at it."""
_USUAL_MACH = 4
"""Number of the Mach number whose drag stands for all where one must: 0.3."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TableInputs:
    """What the table needs besides the shape."""

    damping_centre_m: float
    """Station that pitch damping is about: the balance point [m]."""
    reynolds_per_m_per_mach: float = 2.33e7
    """Reynolds number per metre at Mach 1: speed of sound over kinematic viscosity [1/m]."""
    details: DragDetails = field(default_factory=DragDetails)
    axial_factor: float = 1.0
    """Multiplies all axial force: the spread of the drag build-up, for dispersion [-]."""


def air_table(body: BodyAir, fins: Sequence[FinAir], inputs: TableInputs) -> AirTable:
    r"""Coefficients over angle of attack, roll angle of the wind and Mach number.

    .. math::  C_N / \sin\alpha = 2 |\cos\alpha| \cos(\alpha/2) \, e^T \! A' e / S
               + \eta c \sin\alpha + \mathrm{fins}, \qquad C_A = C_{D0} \cos\alpha |\cos\alpha|

    Parameters
    ----------
    body : BodyAir
    fins : sequence of FinAir
    inputs : TableInputs

    Returns
    -------
    table : AirTable
        20 angles from 0 to pi, 25 roll angles, 8 Mach numbers to 0.9.

    Raises
    ------
    OutsideRange
        If the Reynolds number per metre is not positive.

    Notes
    -----
    Central guesses throughout. Crossflow drag of smooth outlines follows the Reynolds number
    across the body at each Mach number, on the largest section's width. Beyond 90 degrees
    the base leads: growth counts from the base, and crossflow drag brings the centre to that
    of the drag area at 90 degrees.
    Line of drag and side force of a crooked body: at Mach 0.3 and Mach 0, for all.
    Flow around the tip and base at large angles is empirical; expect 30 %.

    References
    ----------
    .. [1] L. H. Jorgensen, NASA TR R-474, 1977 (from memory, not re-read): the sum of both parts.

    Examples
    --------
    >>> from finial.aero.body import body_air
    >>> from finial.aero.sections.outlines import ellipse, tapered_skin
    >>> cone = body_air(tapered_skin(lambda d: ellipse(d / 2, d / 2), [(0.0, 0.0), (0.3, 0.1)]))
    >>> table = air_table(cone, (), TableInputs(damping_centre_m=0.2))
    >>> table.along.shape, round(float(table.along[0, 0, 0]), 1)
    ((20, 25, 8), 1.6)
    """
    steady = _steady(body, tuple(fins), inputs.reynolds_per_m_per_mach, inputs.details, inputs.axial_factor)
    turning = turning_damping(body, fins, inputs.damping_centre_m, MACHS)
    return replace(
        steady,
        pitch_damping=turning[:, 0, 0],
        least_damping=least_turning_damping(body, fins, inputs.damping_centre_m, MACHS),
        yaw_damping=turning[:, 1, 1],
        yaw_by_pitch=turning[:, 1, 0],
        damping_centre_m=inputs.damping_centre_m,
    )


# Ballast moves the balance point, and nothing but the damping is about it.
@kept(16)
def _steady(
    body: BodyAir,
    fins: tuple[FinAir, ...],
    reynolds_per_m_per_mach: float,
    details: DragDetails,
    axial_factor: float,
) -> AirTable:
    """Fill the table but for the damping in pitch and yaw."""
    rolls = np.linspace(0.0, 2 * np.pi, ROLLS + 1)
    # One repeat of a shape that repeats round its axis stands for the whole turn.
    turned = rolls[: rolls_needed(loads_repeat(body, fins), rolls[:-1])]
    toward = np.column_stack([np.cos(turned), np.sin(turned)])
    across = np.column_stack([-toward[:, 1], toward[:, 0]])
    shape = (len(ANGLES_RAD), len(turned), len(MACHS))
    sums: dict[str, NDArray[np.float64]] = dict(
        zip(_SUMS, map(np.copy, _body_sums(body, turned, reynolds_per_m_per_mach)), strict=True)
    )
    for fin in fins:
        _add_fins(sums, fin, body, toward, across)
    reynolds = [reynolds_per_m_per_mach * max(float(mach), _SLOWEST_FRICTION) for mach in MACHS]
    drags = [
        _drag(body, fins, float(mach), each, details) for mach, each in zip(MACHS, reynolds, strict=True)
    ]
    on, off = _axial(body, drags, axial_factor)
    stalled = axial_factor * sum(
        (stall_drag(fin, body.reference_area_m2, ANGLES_RAD, toward) for fin in fins),
        np.zeros((len(ANGLES_RAD), len(turned))),
    )
    zero, rolling = _crooked(body, toward)
    canted = (fin.factor[1] * fin.cant_moment * fin.mach_factor(MACHS) for fin in fins)
    twist = sum(canted, np.zeros(len(MACHS)))
    twist = twist + zero.roll_moment_m / body.width_m
    straight = np.cos(ANGLES_RAD)[:, None, None] * np.ones(shape)
    return AirTable(
        reference_area_m2=body.reference_area_m2,
        width_m=body.width_m,
        alpha_rad=ANGLES_RAD,
        roll_rad=rolls,
        mach=MACHS,
        roll_moment=_whole_turn(twist * straight + rolling[:, :, None]),
        axial_power_on=_whole_turn(on[:, None, :] + stalled[..., None]),
        axial_power_off=_whole_turn(off[:, None, :] + stalled[..., None]),
        pitch_damping=np.zeros(len(MACHS)),
        roll_damping=roll_damping(body, fins, MACHS, _friction(body, drags[_USUAL_MACH])),
        damping_centre_m=0.0,
        side_force=zero.force,
        side_moment=(zero.moment_m[0] / body.width_m, zero.moment_m[1] / body.width_m),
        drag_line_m=drag_line_m(body.skin, drags[_USUAL_MACH], body.outside),
        **{name: _whole_turn(values) for name, values in sums.items()},
    )


@kept(8)
def _crooked(body: BodyAir, toward: NDArray[np.float64]) -> tuple[ZeroLoads, NDArray[np.float64]]:
    """Find the loads from ahead and the roll moment, over angle and roll, of a body that leans or bends."""
    return zero_loads(body), across_roll(body, ANGLES_RAD, toward)


@kept(8)
def _body_sums(
    body: BodyAir, rolls: NDArray[np.float64], reynolds_per_m_per_mach: float
) -> tuple[NDArray[np.float64], ...]:
    """Sum up what the bare body does, in the order of the names."""
    toward = np.column_stack([np.cos(rolls), np.sin(rolls)])
    across = np.column_stack([-toward[:, 1], toward[:, 0]])
    sums = {name: np.zeros((len(ANGLES_RAD), len(rolls), len(MACHS))) for name in _SUMS}
    _add_potential(sums, body, toward, across)
    _add_crossflow(sums, body, rolls, reynolds_per_m_per_mach)
    for ring in body.rings:
        _add_ring(sums, ring, body, (toward, across))
    return tuple(sums.values())


def _whole_turn(values: NDArray[np.float64]) -> NDArray[np.float64]:
    """Lay one repeat round the turn; both ends of the roll axis are one angle."""
    turn = round_the_turn(values, ROLLS)
    return np.concatenate([turn, turn[:, :1]], axis=1)


def _add_potential(
    sums: dict[str, NDArray[np.float64]],
    body: BodyAir,
    toward: NDArray[np.float64],
    across: NDArray[np.float64],
) -> None:
    factor = potential_factor(ANGLES_RAD) / body.reference_area_m2
    forward = ANGLES_RAD <= np.pi / 2
    back = body.length_m
    for growth, leads, sign, offset in (
        (body.growth, forward, 1.0, 0.0),
        (body.reverse, ~forward, -1.0, back),
    ):
        stations = offset + sign * growth.stations_m
        whole = growth.felt_m2.sum(axis=0)
        moment = np.einsum("n,nij->ij", stations, growth.felt_m2)
        if sign > 0:
            moment = moment + body.relief_m3 / 2
        for name, side, tensor in (
            ("along", toward, whole),
            ("across", across, whole),
            ("along_moment", toward, moment / body.width_m),
            ("across_moment", across, moment / body.width_m),
        ):
            per_roll = np.einsum("ri,ij,rj->r", side, tensor, toward)
            sums[name] += (factor * leads)[:, None, None] * per_roll[:, None]


def _add_crossflow(
    sums: dict[str, NDArray[np.float64]],
    body: BodyAir,
    rolls: NDArray[np.float64],
    reynolds_per_m_per_mach: float,
) -> None:
    """Drag across the body; what smooth outlines carry falls with the Reynolds number across them."""
    across = MACHS * np.sin(ANGLES_RAD)[:, None]
    factor = np.sin(ANGLES_RAD)[:, None] * crossflow_mach_factor(across) / body.reference_area_m2
    kept = smooth_reynolds_factor(reynolds_per_m_per_mach * across * body.width_m)
    width = body.width_m
    for name, whole, smooth in (
        ("along", body.drag_areas_m2, body.smooth_areas_m2),
        ("along_moment", body.drag_moments_m3 / width, body.smooth_moments_m3 / width),
    ):
        stays, falls = (np.interp(rolls, body.rolls_rad, part) for part in (whole - smooth, smooth))
        sums[name] += factor[:, None, :] * (stays[:, None] + falls[:, None] * kept[:, None, :])
    for name, side in (
        ("across", body.side_areas_m2),
        ("across_moment", body.side_moments_m3 / width),
    ):
        sums[name] += factor[:, None, :] * np.interp(rolls, body.rolls_rad, side)[:, None]


def _add_ring(
    sums: dict[str, NDArray[np.float64]],
    ring: RingAir,
    body: BodyAir,
    sides: tuple[NDArray[np.float64], NDArray[np.float64]],
) -> None:
    toward, across = sides
    straight = np.einsum("ri,ij,rj->r", toward, ring.slope_per_rad, toward)
    aside = np.einsum("ri,ij,rj->r", across, ring.slope_per_rad, toward)
    ratio = np.divide(aside, straight, out=np.zeros_like(aside), where=straight > 1e-9)[:, None]
    for number, mach in enumerate(MACHS):
        lift, drag = ring_forces(ring, body.reference_area_m2, ANGLES_RAD, toward, mach)
        lift, drag = RING_FACTOR[1] * lift, RING_ACROSS[1] * drag
        places = ring.centre_m / body.width_m, ring.broadside_m / body.width_m
        sums["along"][..., number] += lift + drag
        sums["along_moment"][..., number] += lift * places[0] + drag * places[1]
        sums["across"][..., number] += lift * ratio.T
        sums["across_moment"][..., number] += lift * ratio.T * places[0]


def _add_fins(
    sums: dict[str, NDArray[np.float64]],
    fin: FinAir,
    body: BodyAir,
    toward: NDArray[np.float64],
    across: NDArray[np.float64],
) -> None:
    area = body.reference_area_m2
    loads = usual_fin_loads(fin, area, ANGLES_RAD, toward, MACHS[:, None, None])
    along, moments = (np.moveaxis(each, 0, -1) for each in loads)
    moments = moments / body.width_m
    straight = np.einsum("ri,ij,rj->r", toward, fin.slope_per_rad, toward)
    aside = np.einsum("ri,ij,rj->r", across, fin.slope_per_rad, toward)
    ratio = np.divide(aside, straight, out=np.zeros_like(aside), where=straight > 1e-9)
    sideways = along * ratio[:, None]
    sums["along"] += along
    sums["across"] += sideways
    sums["along_moment"] += moments
    sums["across_moment"] += moments * ratio[:, None]


def drag_at(body: BodyAir, fins: Sequence[FinAir], inputs: TableInputs, mach: float) -> DragBuildUp:
    """Drag build-up at one Mach number; below Mach 0.1 with the friction of Mach 0.1.

    Parameters
    ----------
    body : BodyAir
        The bare body.
    fins : sequence of FinAir
        Fin sets on it.
    inputs : TableInputs
        Reynolds number per metre at Mach 1 [1/m], surface and small parts.
    mach : float
        Mach number [-].

    Returns
    -------
    drag : DragBuildUp
        Every source.

    Raises
    ------
    OutsideRange
        If the Mach number is outside 0 to 0.9 or the Reynolds number is not positive.

    Notes
    -----
    Range and error as ``drag_build_up``.

    References
    ----------
    .. [1] As ``drag_build_up``.

    Examples
    --------
    >>> from finial.aero.body import body_air
    >>> from finial.aero.sections.outlines import ellipse, tapered_skin
    >>> cone = body_air(tapered_skin(lambda d: ellipse(d / 2, d / 2), [(0.0, 0.0), (0.3, 0.1)]))
    >>> drag_at(cone, (), TableInputs(damping_centre_m=0.2), 0.3).mach
    0.3
    """
    reynolds_per_m = inputs.reynolds_per_m_per_mach * max(mach, _SLOWEST_FRICTION)
    return _kept_drag(body, tuple(fins), mach, reynolds_per_m, inputs.details)


@kept(16)
def _kept_drag(
    body: BodyAir, fins: tuple[FinAir, ...], mach: float, reynolds_per_m: float, details: DragDetails
) -> DragBuildUp:
    return _drag(body, fins, mach, reynolds_per_m, details)


def _drag(
    body: BodyAir, fins: tuple[FinAir, ...], mach: float, reynolds_per_m: float, details: DragDetails
) -> DragBuildUp:
    return drag_build_up(
        body.skin,
        fins,
        mach=mach,
        reynolds_per_m=reynolds_per_m,
        details=details,
        outside=body.outside,
    )


def _friction(body: BodyAir, drag: DragBuildUp) -> float:
    """Mean friction coefficient of the skin [-]."""
    rubbing = drag.of_kind(DragKind.SKIN_FRICTION)
    return rubbing * body.reference_area_m2 / body.skin.wetted_area_m2


def _axial(
    body: BodyAir, drags: Sequence[DragBuildUp], factor: float
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Axial force coefficient over angle and Mach, motor burning and not, shape (alpha, mach)."""
    cosine = np.cos(ANGLES_RAD)
    # Base first: a flat face in front and the tapering tip as a base behind.
    flat = body.skin.base_area_m2 / body.reference_area_m2
    backward = np.array([FACE_PRESSURE * flat + base_drag_fit(float(mach)) for mach in MACHS])
    fall = np.where(cosine < 0, -(cosine**2), 0.0)[:, None] * backward
    ahead = np.where(cosine > 0, cosine**2, 0.0)[:, None]
    on = ahead * np.array([drag.power_on.value for drag in drags]) + fall
    off = ahead * np.array([drag.power_off.value for drag in drags]) + fall
    return factor * on, factor * off
