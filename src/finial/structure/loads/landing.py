"""Touching the ground on an edge: how far it gives, where the blow points, how hard it is."""

import math
from dataclasses import dataclass

from finial.core.doors import require_positive
from finial.core.estimates import Estimate, KnownBy
from finial.core.tables import row_named, table_rows
from finial.structure.bounds import need_between, need_finite


def ground_gives(kind: str) -> Estimate:
    """How far ground of a kind and the crushed edge give way under a landing [m].

    Parameters
    ----------
    kind : str
        A row of ``grounds.csv``: soft turf, turf, hard earth, or any.

    Returns
    -------
    stop : Estimate
        Stopping distance [m]; assumed.

    Raises
    ------
    MissingData
        If the table has no such ground.

    Notes
    -----
    Range: vehicles of 1 to 20 kg under a canopy; tarmac and stones give nothing but the edge itself.

    References
    ----------
    .. [1] Assumed; soft turf 30 to 60 mm, hard earth 5 to 15 mm.

    Examples
    --------
    >>> ground_gives("hard earth").low
    0.005
    """
    row = row_named(table_rows("finial.structure", "grounds.csv"), kind)
    return Estimate(
        value=float(row["value_mm"]) / 1e3,
        low=float(row["low_mm"]) / 1e3,
        high=float(row["high_mm"]) / 1e3,
        known_by=KnownBy.ASSUMED,
        method=f"way that the ground gives: {row['name']}",
        source=row["source"],
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class EdgeBlow:
    """A blow on the edge of a body's end, tilted from its axis, in the plane of axis and edge."""

    station_m: float
    offset_m: float
    """Radius of the edge [m]."""
    aft_share: float
    """Part of the blow along the axis, towards the base positive [-]."""
    cross_share: float
    """Part of it across, away from the edge's own side [-]."""

    def arm_m(self, balance_m: float, balance_offset_m: float = 0.0) -> float:
        r"""Distance of the blow's line from a balance point, as it turns the body.

        .. math::  a = (x_e - x_c) \, c_e - (r - e_c) \, c_s

        with the shares :math:`c_e` across and :math:`c_s` along, station of the edge :math:`x_e` and its
        radius :math:`r`.

        Parameters
        ----------
        balance_m : float
            Station of the balance point, :math:`x_c` [m].
        balance_offset_m : float
            Its distance from the axis towards the edge's side, :math:`e_c` [m].

        Returns
        -------
        arm_m : float
            Distance of the line of the blow from the balance point [m]; its sign is that of the turn.

        Notes
        -----
        Any numbers: a plane figure.

        References
        ----------
        .. [1] Moment of a force in a plane.

        Examples
        --------
        >>> flat = edge_blow((0.0, 1.2), 1.2, 0.05, math.pi / 2)
        >>> round(flat.arm_m(0.7), 6)
        0.5
        """
        along = (self.station_m - balance_m) * self.cross_share
        return along - (self.offset_m - balance_offset_m) * self.aft_share


def edge_blow(ends_m: tuple[float, float], edge_m: float, radius_m: float, tilt_rad: float) -> EdgeBlow:
    r"""Blow of the ground on the edge that hangs lowest.

    .. math::  c_s = \mp \cos\theta, \qquad c_e = \sin\theta

    Parameters
    ----------
    ends_m : (float, float)
        Stations of the body's ends [m].
    edge_m : float
        Station of the edge that touches [m]: the ground pushes a tail forward and a tip aft.
    radius_m : float
        Distance of the edge from the axis [m].
    tilt_rad : float
        Angle between the body's axis and the blow [rad].

    Returns
    -------
    blow : EdgeBlow
        Where it is and how it points.

    Raises
    ------
    OutsideRange
        If the tilt lies outside 0 to a right angle, the radius is not above zero, or the edge not at an end.

    Notes
    -----
    Range: the edge a little inside the end counts as the end.

    References
    ----------
    .. [1] Plane statics.

    Examples
    --------
    >>> round(edge_blow((0.0, 1.0), 1.0, 0.05, 0.0).arm_m(0.4), 3)
    0.05
    """
    need_between(0.0, math.pi / 2, tilt_rad=tilt_rad)
    require_positive(radius_m=radius_m, length_m=ends_m[1] - ends_m[0])
    need_between(*ends_m, edge_m=edge_m)
    up = -1.0 if edge_m > (ends_m[0] + ends_m[1]) / 2 else 1.0
    return EdgeBlow(
        station_m=edge_m,
        offset_m=radius_m,
        aft_share=up * math.cos(tilt_rad),
        cross_share=math.sin(tilt_rad),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Touchdown:
    """A rigid body that meets the ground at one point.

    Raises
    ------
    OutsideRange
        If mass, inertia, speed or stopping distance is not above zero.
    """

    mass_kg: float
    inertia_kg_m2: float
    """About the balance point, across the plane it turns in [kg m^2]."""
    arm_m: float
    """Distance of the line of the blow from the balance point [m]."""
    speed_m_s: float
    stop_m: float
    """How far ground and edge give way [m]."""

    def __post_init__(self) -> None:
        """Refuse what cannot land."""
        require_positive(
            mass_kg=self.mass_kg,
            inertia_kg_m2=self.inertia_kg_m2,
            speed_m_s=self.speed_m_s,
            stop_m=self.stop_m,
        )
        need_finite(arm_m=self.arm_m)


def touchdown_force(blow: Touchdown) -> float:
    r"""Peak force when a body lands on an edge.

    .. math::  F = \frac{m_e v^2}{d}, \qquad \frac{1}{m_e} = \frac{1}{m} + \frac{a^2}{I}

    Parameters
    ----------
    blow : Touchdown
        Mass, inertia, arm, speed and stopping distance.

    Returns
    -------
    force_n : float
        Peak force [N].

    Notes
    -----
    Ground and edge as one spring that gives way by ``stop_m``, see :func:`ground_gives`. Weight is small
    beside it.

    References
    ----------
    .. [1] Energy of a spring; mass felt at a point of a free body: Meriam and Kraige, Dynamics; from memory.

    Examples
    --------
    >>> blow = Touchdown(mass_kg=8.0, inertia_kg_m2=1.0, arm_m=0.0, speed_m_s=5.0, stop_m=0.02)
    >>> round(touchdown_force(blow))
    10000
    """
    felt = 1 / (1 / blow.mass_kg + blow.arm_m**2 / blow.inertia_kg_m2)
    return felt * blow.speed_m_s**2 / blow.stop_m
