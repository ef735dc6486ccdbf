"""Two opinions on one vehicle between which nothing decides: plates that are neither fins nor body."""

from collections.abc import Sequence
from dataclasses import fields, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from finial.aero.band.load_parts import DoubtfulForce
from finial.aero.table.record import AirTable

_AREAS = ("along", "across", "axial_power_on", "axial_power_off", "side_force")
_MOMENTS = ("along_moment", "across_moment", "roll_moment", "side_moment")
_DAMPING = ("pitch_damping", "yaw_damping", "yaw_by_pitch", "roll_damping")


def blended_parts(
    one: Sequence[DoubtfulForce], other: Sequence[DoubtfulForce], share: float, area_ratio: float
) -> list[DoubtfulForce]:
    r"""Parts of a pressure band of two opinions, each by its share.

    .. math::  N = (1 - w) N_1 + w \frac{S_2}{S_1} N_2

    Parameters
    ----------
    one, other : sequence of DoubtfulForce
        Over the same angles and rolls, each on its own reference area [-].
    share : float
        Of the other, :math:`w`, 0 to 1 [-].
    area_ratio : float
        Reference area of the other over that of the one [-].

    Returns
    -------
    parts : list of DoubtfulForce
        On the reference area of the one [-].

    Notes
    -----
    Continuous from one opinion to the other; both ends of the band move along.

    References
    ----------
    .. [1] Linear interpolation, no source.

    Examples
    --------
    >>> two = np.full((1, 1), 2.0)
    >>> part = DoubtfulForce(name="sure", force=two, moment=two, low=1.0, central=1.0, high=1.0)
    >>> sum(each.force for each in blended_parts([part], [part], 0.25, 2.0)).item()
    2.5
    """
    return [
        *(_scaled(part, 1.0 - share) for part in one),
        *(_scaled(part, share * area_ratio) for part in other),
    ]


def _scaled(part: DoubtfulForce, factor: float) -> DoubtfulForce:
    return replace(part, force=factor * part.force, moment=factor * part.moment)


def blended_table(one: AirTable, other: AirTable, share: float) -> AirTable:
    """Table of two opinions on one vehicle, each by its share.

    Parameters
    ----------
    one, other : AirTable
        Over the same grid, about the same centre.
    share : float
        Of the other, 0 to 1 [-].

    Returns
    -------
    table : AirTable
        On reference area and width of the one.

    Notes
    -----
    Linear; damping, which stands on the squared width, likewise.

    References
    ----------
    .. [1] Linear interpolation, no source.

    Examples
    --------
    >>> from finial.aero.body import body_air
    >>> from finial.aero.sections.outlines import ellipse, tapered_skin
    >>> from finial.aero.table.build import TableInputs, air_table
    >>> cone = body_air(tapered_skin(lambda d: ellipse(d / 2, d / 2), [(0.0, 0.0), (0.3, 0.1)]))
    >>> table = air_table(cone, (), TableInputs(damping_centre_m=0.2))
    >>> bool(np.allclose(blended_table(table, table, 0.3).along, table.along))
    True
    """
    area = other.reference_area_m2 / one.reference_area_m2
    width = other.width_m / one.width_m
    scales = {
        **dict.fromkeys(_AREAS, area),
        **dict.fromkeys(_MOMENTS, area * width),
        **dict.fromkeys(_DAMPING, area * width**2),
        "drag_line_m": 1.0,
    }
    mixed: dict[str, Any] = {
        name: _mixed(_of(one, name), _of(other, name), share, scale) for name, scale in scales.items()
    }
    mixed["least_damping"] = _worse(one.least_damping, other.least_damping, area * width**2)
    if one.yaw_by_pitch is None and other.yaw_by_pitch is None:
        mixed["yaw_by_pitch"] = None
    pairs = {each.name for each in fields(one)} & {"side_force", "side_moment", "drag_line_m"}
    return replace(
        one, **{name: tuple(value.tolist()) if name in pairs else value for name, value in mixed.items()}
    )


def _worse(
    one: NDArray[np.float64] | None, other: NDArray[np.float64] | None, scale: float
) -> NDArray[np.float64] | None:
    """Return the damping of the opinion that has less of it; not known where either is not."""
    return None if one is None or other is None else np.maximum(one, scale * other)


def _of(table: AirTable, name: str) -> NDArray[np.float64]:
    """Column of a table; what is left out is the same in both planes, or nothing between them."""
    value = getattr(table, name)
    if value is None:
        value = table.pitch_damping if name == "yaw_damping" else np.zeros_like(table.pitch_damping)
    return np.asarray(value, dtype=float)


def _mixed(
    one: NDArray[np.float64], other: NDArray[np.float64], share: float, scale: float
) -> NDArray[np.float64]:
    return (1.0 - share) * one + share * scale * other
