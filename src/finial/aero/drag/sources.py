"""Sources of drag: what each is, whose it is, and where along the body it acts."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import OutsideRange
from finial.core.estimates import Estimate, total
from finial.core.kept_parts import kept


class DragKind(StrEnum):
    """What drags."""

    SKIN_FRICTION = "skin friction"
    FRONT = "front"
    """A face of the skin that meets the air."""
    BACK = "back"
    """A face that turns away from it."""
    OBLIQUE = "oblique"
    """Faces that come out on one side while others draw back."""
    SMALL_FACES = "small faces"
    """Fronts and backs too small for a row of their own."""
    FIN_FRICTION = "fin friction"
    SQUARE_EDGES = "square edges"
    ROUNDED_EDGES = "rounded edges"
    RING_FRICTION = "ring friction"
    RING_EDGES = "ring edges"
    """Edges of a ring's wall, and its struts."""
    DUCT_FRICTION = "duct friction"
    DUCT_MOUTH = "duct mouth"
    """What the air that goes into a duct leaves off the front and the base, below zero."""
    OUTLYING = "outlying part"
    """A handle, a spout, a railing: what stands beside the body."""
    SMALL_PART = "small part"
    BASE = "base"


_ROUNDING = 1e-8


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Acting:
    """Where a force along the axis acts: the share of it ahead of each station.

    Both arrays have shape (n,) and never fall; a repeated station is a force at a point.
    """

    stations_m: NDArray[np.float64]
    ahead: NDArray[np.float64]

    def __post_init__(self) -> None:
        """Lock the arrays and refuse shares that do not run from nothing to all."""
        for name in ("stations_m", "ahead"):
            array = np.array(getattr(self, name), dtype=float)
            array.flags.writeable = False
            object.__setattr__(self, name, array)
        ends = (float(self.ahead[0]), float(self.ahead[-1]))
        runs = abs(ends[0]) < _ROUNDING and abs(ends[1] - 1.0) < _ROUNDING
        if not runs or (self.stations_m[1:] < self.stations_m[:-1]).any():
            raise OutsideRange(f"shares must rise from 0 to 1 along the stations: got {ends}")

    def ahead_of(self, station_m: float, *, counting_it: bool = False) -> float:
        """Share that acts ahead of a station.

        Parameters
        ----------
        station_m : float
            Station [m].
        counting_it : bool
            With what acts at it, or without.

        Returns
        -------
        share : float
            From 0 to 1 [-].

        Notes
        -----
        Exact: straight between the stations of the record.

        References
        ----------
        .. [1] Definition.

        Examples
        --------
        >>> acting_between(0.0, 2.0).ahead_of(0.5)
        0.25
        """
        return float(self.shares_ahead_of(np.array([station_m]), counting=counting_it)[0])

    def shares_ahead_of(
        self, stations_m: NDArray[np.float64], *, counting: NDArray[np.bool_] | bool = False
    ) -> NDArray[np.float64]:
        """Shares that act ahead of many stations.

        Parameters
        ----------
        stations_m : ndarray, shape (n,)
            Stations [m].
        counting : ndarray of bool, shape (n,), or bool
            With what acts at each, or without.

        Returns
        -------
        shares : ndarray, shape (n,)
            From 0 to 1 [-].

        Notes
        -----
        Exact: straight between the stations of the record.

        References
        ----------
        .. [1] Definition.

        Examples
        --------
        >>> acting_at(1.0).shares_ahead_of(np.array([0.5, 1.0, 1.0]), counting=np.array([True, False, True]))
        array([0., 0., 1.])
        """
        before, upto = (np.searchsorted(self.stations_m, stations_m, side=side) for side in ("left", "right"))
        index = np.where(counting, upto, before)
        inside = np.minimum(np.maximum(index, 1), len(self.stations_m) - 1)
        start, low = self.stations_m[inside - 1], self.ahead[inside - 1]
        length = self.stations_m[inside] - start
        # Beyond either end the piece looked at may have no length: its share is not used there.
        length[length <= 0.0] = 1.0
        shares = low + (self.ahead[inside] - low) * (stations_m - start) / length
        shares[index == 0], shares[index == len(self.stations_m)] = 0.0, 1.0
        return shares


def acting_at(*stations_m: float) -> Acting:
    """Act at points, in equal shares.

    Parameters
    ----------
    *stations_m : float
        Stations, in any order [m].

    Returns
    -------
    acts : Acting
        Shares along the body.

    Notes
    -----
    Exact for forces at points.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> buttons = acting_at(1.1, 0.6)
    >>> buttons.ahead_of(0.6), buttons.ahead_of(0.6, counting_it=True), buttons.ahead_of(2.0)
    (0.0, 0.5, 1.0)
    """
    return _acting_at(stations_m)


# At every Mach number a button stands where it does.
@kept(64)
def _acting_at(stations_m: tuple[float, ...]) -> Acting:
    return Acting(
        stations_m=np.repeat(np.sort(stations_m), 2),
        ahead=np.linspace(0.0, 1.0, len(stations_m) + 1).repeat(2)[1:-1],
    )


def acting_between(fore_m: float, aft_m: float) -> Acting:
    """Act evenly from one station to another.

    Parameters
    ----------
    fore_m, aft_m : float
        Stations, the fore one first [m].

    Returns
    -------
    acts : Acting
        Shares along the body.

    Notes
    -----
    Exact for a force spread evenly.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> acting_between(1.0, 3.0).ahead_of(1.5)
    0.25
    """
    return Acting(stations_m=np.array([fore_m, aft_m]), ahead=np.array([0.0, 1.0]))


def acting_by(stations_m: NDArray[np.float64], density: NDArray[np.float64]) -> Acting:
    """Act along stations as a density that is linear between them says.

    Parameters
    ----------
    stations_m : ndarray, shape (n,)
        Rising stations [m].
    density : ndarray, shape (n,)
        Force per length there, in any unit [any].

    Returns
    -------
    acts : Acting
        Shares along the body.

    Raises
    ------
    OutsideRange
        If there is nothing in the density.

    Notes
    -----
    Shares at the stations are exact; between them they are drawn straight, where the truth is a parabola.

    References
    ----------
    .. [1] Trapezoid rule; definition.

    Examples
    --------
    >>> acting_by(np.array([0.0, 1.0, 2.0]), np.array([1.0, 1.0, 3.0])).ahead.round(3).tolist()
    [0.0, 0.333, 1.0]
    """
    pieces = np.diff(stations_m) * (density[1:] + density[:-1]) / 2
    ahead = np.concatenate([[0.0], np.cumsum(pieces)])
    if not ahead[-1] > 0:
        raise OutsideRange("a density along stations needs something in it")
    return Acting(stations_m=stations_m, ahead=ahead / ahead[-1])


def acting_together(parts: Sequence[tuple[Acting, float]]) -> Acting:
    """Lay parts over one another, each with its size.

    Parameters
    ----------
    parts : sequence of tuple of Acting and float
        Where each acts, and how large it is, in one unit [any].

    Returns
    -------
    acts : Acting
        Shares of the whole along the body.

    Notes
    -----
    Exact for sizes of one sign.

    References
    ----------
    .. [1] Sum of the parts; definition.

    Examples
    --------
    >>> acting_together([(acting_at(1.0), 3.0), (acting_between(0.0, 2.0), 1.0)]).ahead_of(1.0)
    0.125
    """
    if len(parts) == 1:
        return parts[0][0]
    whole = sum(size for _, size in parts)
    stations = np.unique(np.concatenate([part.stations_m for part, _ in parts])).repeat(2)
    counting = np.tile([False, True], len(stations) // 2)
    ahead = np.zeros(len(stations))
    for part, size in parts:
        ahead += part.shares_ahead_of(stations, counting=counting) * size
    return Acting(stations_m=stations, ahead=ahead / whole)


@dataclass(frozen=True, slots=True, kw_only=True)
class DragSource:
    """Drag coefficient from one source on the vehicle's reference area."""

    kind: DragKind
    subject: str = ""
    """Fin set or small part it belongs to; empty for the skin."""
    coefficient: Estimate
    acts: Acting
    station_m: float | None = None
    """Station that a face begins at [m]; ``None`` for what has no such station."""
    count: int = 1
    """How many faces stand behind it."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class DragBuildUp:
    """All sources at one Mach number, motor burning and not."""

    mach: float
    reynolds_per_m: float
    reference_area_m2: float
    rows: tuple[DragSource, ...]
    """Without base drag."""
    base_power_off: DragSource
    base_power_on: DragSource

    def sources(self, *, burning: bool) -> tuple[DragSource, ...]:
        """Every row with the base, motor burning or not.

        Parameters
        ----------
        burning : bool
            With the base drag of the burning motor, or of the motor off.

        Returns
        -------
        rows : tuple of DragSource
            The base last.
        """
        return *self.rows, self.base_power_on if burning else self.base_power_off

    def of_kind(self, kind: DragKind) -> float:
        """Sum of the central coefficients of one kind.

        Parameters
        ----------
        kind : DragKind
            The kind.

        Returns
        -------
        coefficient : float
            On the build-up's reference area [-]; 0 where there is none.
        """
        return sum(row.coefficient.value for row in self.rows if row.kind is kind)

    @property
    def power_off(self) -> Estimate:
        """Total drag coefficient after burnout [-]."""
        return total(row.coefficient for row in self.sources(burning=False))

    @property
    def power_on(self) -> Estimate:
        """Total drag coefficient while the motor burns [-]."""
        return total(row.coefficient for row in self.sources(burning=True))


def drag_ahead(drag: DragBuildUp, station_m: float, *, burning: bool) -> Estimate:
    r"""Drag coefficient of everything ahead of a station: what the body there must hold back.

    .. math::  C(x) = \sum_i C_i \, a_i(x)

    Parameters
    ----------
    drag : DragBuildUp
        Rows with their coefficients and where they act.
    station_m : float
        Station, :math:`x` [m].
    burning : bool
        With the base drag of the burning motor, or of the motor off.

    Returns
    -------
    coefficient : Estimate
        On the build-up's reference area [-]; every row at its low end, then at its high end.

    Raises
    ------
    OutsideRange
        Never for a build-up: its rows run from no share to all of it.

    Notes
    -----
    Holds where the rows do. A front face counts to the part behind its station and a back face to
    the part ahead of it; skin friction is spread by the girth, fins over their roots, since that
    is where they hand their drag to the body.

    References
    ----------
    .. [1] Statics: the sum of the forces ahead of a cut.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> tip = DragSource(kind=DragKind.FRONT, coefficient=exact(0.6), acts=acting_at(0.0))
    >>> skin = DragSource(kind=DragKind.SKIN_FRICTION, coefficient=exact(0.2), acts=acting_between(0.0, 1.0))
    >>> base = DragSource(kind=DragKind.BASE, coefficient=exact(0.1), acts=acting_at(1.0))
    >>> build_up = DragBuildUp(
    ...     mach=0.3, reynolds_per_m=6e6, reference_area_m2=0.01, rows=(tip, skin),
    ...     base_power_off=base, base_power_on=base,
    ... )
    >>> round(drag_ahead(build_up, 0.5, burning=False).value, 3)
    0.7
    """
    return total(
        (row.coefficient.scaled(row.acts.ahead_of(station_m)) for row in drag.sources(burning=burning)),
        method="rows of the drag build-up ahead of the station",
    )


def drag_behind(drag: DragBuildUp, station_m: float, *, burning: bool) -> Estimate:
    r"""Drag coefficient of everything that :func:`drag_ahead` leaves behind a station.

    .. math::  \sum_i C_i \, (1 - a_i(x))

    Parameters
    ----------
    drag : DragBuildUp
        Rows with their coefficients and where they act.
    station_m : float
        Station, :math:`x` [m].
    burning : bool
        With the base drag of the burning motor, or of the motor off.

    Returns
    -------
    coefficient : Estimate
        On the build-up's reference area [-]; every row at its low end, then at its high end.

    Notes
    -----
    As :func:`drag_ahead`; with it the two make the whole.

    References
    ----------
    .. [1] Statics: the sum of the forces behind a cut.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> base = DragSource(kind=DragKind.BASE, coefficient=exact(0.1), acts=acting_at(1.0))
    >>> build_up = DragBuildUp(
    ...     mach=0.3, reynolds_per_m=6e6, reference_area_m2=0.01, rows=(),
    ...     base_power_off=base, base_power_on=base,
    ... )
    >>> drag_behind(build_up, 0.5, burning=False).value, drag_behind(build_up, 2.0, burning=False).value
    (0.1, 0.0)
    """
    return total(
        (row.coefficient.scaled(1.0 - row.acts.ahead_of(station_m)) for row in drag.sources(burning=burning)),
        method="rows of the drag build-up behind the station",
    )
