"""Mass along the body as lumps, for loads that inertia balances."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from finial.core.doors import require_positive
from finial.core.errors import OutsideRange


@dataclass(frozen=True, slots=True, kw_only=True)
class Lumps:
    """Point masses along the axis, each with its own rotary inertia.

    All arrays have shape (n,) and are read-only. ``rotary_kg_m2`` is the inertia of the
    lump about its own centre, about the axis across the bending plane; ``offsets_m`` is how
    far it sits off the axis inside that plane, positive along the cross force; ``cells_m``
    is the length along the axis that it is spread over, 0 for a point.

    Raises
    ------
    OutsideRange
        If shapes differ, a number is not finite, a mass or an inertia is negative, or
        nothing has mass.
    """

    stations_m: NDArray[np.float64]
    masses_kg: NDArray[np.float64]
    rotary_kg_m2: NDArray[np.float64]
    offsets_m: NDArray[np.float64]
    cells_m: NDArray[np.float64]

    def __post_init__(self) -> None:
        """Check the arrays and lock them."""
        names = ("stations_m", "masses_kg", "rotary_kg_m2", "offsets_m", "cells_m")
        arrays = [np.array(getattr(self, name), dtype=float) for name in names]
        if any(array.shape != (arrays[0].size,) for array in arrays):
            raise OutsideRange(f"lumps need five arrays of one length: got {[a.shape for a in arrays]}")
        every = np.stack(arrays)
        if not np.isfinite(every).all():
            raise OutsideRange("lumps hold a number that is not finite")
        if every[[1, 2, 4]].min(initial=0.0) < 0.0 or not arrays[1].sum() > 0:
            raise OutsideRange("lumps need masses, inertias and cells of zero or more, and some mass in all")
        for name, array in zip(names, arrays, strict=True):
            array.flags.writeable = False
            object.__setattr__(self, name, array)

    @property
    def mass_kg(self) -> float:
        """Total mass [kg]."""
        return float(self.masses_kg.sum())

    @property
    def centre_m(self) -> tuple[float, float]:
        """Balance point: station and offset [m]."""
        share = self.masses_kg / self.mass_kg
        return float(share @ self.stations_m), float(share @ self.offsets_m)

    @property
    def inertia_kg_m2(self) -> float:
        """Inertia about the balance point, across the bending plane [kg m^2]."""
        station, offset = self.centre_m
        arms = (self.stations_m - station) ** 2 + (self.offsets_m - offset) ** 2
        return float(self.masses_kg @ arms + self.rotary_kg_m2.sum())


def lumps(
    stations_m: ArrayLike,
    masses_kg: ArrayLike,
    *,
    rotary_kg_m2: ArrayLike = 0.0,
    offsets_m: ArrayLike = 0.0,
    cells_m: ArrayLike = 0.0,
) -> Lumps:
    r"""Make lumps from arrays; a single inertia, offset or cell serves all.

    .. math::  m = \sum_i m_i, \qquad x_c = \frac{1}{m} \sum_i m_i x_i

    Parameters
    ----------
    stations_m : array_like, shape (n,)
        Stations [m].
    masses_kg : array_like, shape (n,)
        Masses [kg].
    rotary_kg_m2, offsets_m, cells_m : array_like, shape (n,) or one number
        Own inertias [kg m^2], distances off the axis [m], lengths along it [m].

    Returns
    -------
    body : Lumps
        The lumps [kg].

    Raises
    ------
    OutsideRange
        As :class:`Lumps`.

    Notes
    -----
    Holds for any number of lumps.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> lumps([0.0, 1.0], [1.0, 3.0]).centre_m
    (0.75, 0.0)
    """
    stations = np.atleast_1d(np.asarray(stations_m, dtype=float))
    given = (rotary_kg_m2, offsets_m, cells_m)
    rest = [np.broadcast_to(np.asarray(one, dtype=float), stations.shape) for one in given]
    return Lumps(
        stations_m=stations,
        masses_kg=np.atleast_1d(np.asarray(masses_kg, dtype=float)),
        rotary_kg_m2=rest[0],
        offsets_m=rest[1],
        cells_m=rest[2],
    )


def even_bar(mass_kg: float, fore_m: float, aft_m: float, *, count: int = 20, offset_m: float = 0.0) -> Lumps:
    r"""Mass spread evenly from one station to another, as ``count`` short bars.

    Each short bar keeps its own inertia, so the whole keeps

    .. math::  I = m \ell^2 / 12

    exactly, whatever the count.

    Parameters
    ----------
    mass_kg : float
        Mass [kg].
    fore_m, aft_m : float
        Stations of its ends [m].
    count : int
        Number of lumps.
    offset_m : float
        Distance off the axis [m].

    Returns
    -------
    bar : Lumps
        The lumps, fore to aft.

    Raises
    ------
    OutsideRange
        If the mass or the count is not above zero, or ``aft_m`` is not behind ``fore_m``.

    Notes
    -----
    Holds for a slender bar: its own width adds no inertia.

    References
    ----------
    .. [1] Inertia of a thin rod, any mechanics text, such as Meriam and Kraige, Dynamics, table D/4.

    Examples
    --------
    >>> bar = even_bar(12.0, 0.0, 1.0, count=3)
    >>> round(bar.centre_m[0], 12), round(bar.inertia_kg_m2, 12)
    (0.5, 1.0)
    """
    require_positive(mass_kg=mass_kg, count=count, length_m=aft_m - fore_m)
    cell = (aft_m - fore_m) / count
    middles = fore_m + cell * (np.arange(count) + 0.5)
    share = mass_kg / count
    rotary = share * cell**2 / 12
    return lumps(middles, np.full(count, share), rotary_kg_m2=rotary, offsets_m=offset_m, cells_m=cell)


def leaning_bar(mass_kg: float, fore_m: float, aft_m: float, balance_m: float, *, count: int = 20) -> Lumps:
    r"""Mass spread between two stations, heavier towards one end so that it balances where told.

    .. math::
        m'(u) = \frac{m}{\ell} \left[1 + k (2 u - 1)\right], \qquad k = 6 (c / \ell - 1/2), \; |k| \le 1

    A balance point outside the middle third needs a shorter bar, from the nearer end: three times as
    long as the balance point is far from that end.

    Parameters
    ----------
    mass_kg : float
        Mass [kg].
    fore_m, aft_m : float
        Stations of its ends [m].
    balance_m : float
        Station of its balance point [m].
    count : int
        Number of lumps.

    Returns
    -------
    bar : Lumps
        The lumps; mass, balance point and inertia of the tapering bar are exact, whatever the count.

    Raises
    ------
    OutsideRange
        If mass or count is not above zero, or the balance point does not lie between the ends.

    Notes
    -----
    Holds for parts whose weight thins out steadily from end to end; one heavy at both ends has more inertia.

    References
    ----------
    .. [1] Moments of a trapezoid, plain integration.

    Examples
    --------
    >>> bar = leaning_bar(2.0, 0.0, 1.0, 0.6)
    >>> round(bar.mass_kg, 12), round(bar.centre_m[0], 12)
    (2.0, 0.6)
    """
    require_positive(mass_kg=mass_kg, count=count, length_m=aft_m - fore_m)
    require_positive(behind_fore_end_m=balance_m - fore_m, ahead_of_aft_end_m=aft_m - balance_m)
    fore = max(fore_m, aft_m - 3 * (aft_m - balance_m))
    length = min(aft_m, fore_m + 3 * (balance_m - fore_m)) - fore
    lean = 6 * ((balance_m - fore) / length - 0.5)
    edges = np.linspace(0.0, 1.0, count + 1)
    density = np.maximum(mass_kg / length * (1 + lean * (2 * edges - 1)), 0.0)
    near, far, cell = density[:-1], density[1:], length / count
    masses = cell * (near + far) / 2
    centres = cell * (near + 2 * far) / (3 * (near + far))
    rotary = cell**3 * (near + 3 * far) / 12 - masses * centres**2
    where = fore + length * edges[:-1] + centres
    return lumps(where, masses, rotary_kg_m2=np.maximum(rotary, 0.0), cells_m=cell)


def joined(groups: Iterable[Lumps]) -> Lumps:
    r"""All lumps of several groups as one.

    .. math::  m = \sum_g m_g

    Parameters
    ----------
    groups : iterable of Lumps
        Groups of masses [kg].

    Returns
    -------
    body : Lumps
        All of them, in the order given [kg].

    Raises
    ------
    OutsideRange
        If there are none.

    Notes
    -----
    Holds for any number of groups.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> joined([lumps([0.0], [1.0]), lumps([1.0], [2.0])]).mass_kg
    3.0
    """
    parts = tuple(groups)
    if not parts:
        raise OutsideRange("no lumps were given: a body needs mass")
    return Lumps(
        stations_m=np.concatenate([part.stations_m for part in parts]),
        masses_kg=np.concatenate([part.masses_kg for part in parts]),
        rotary_kg_m2=np.concatenate([part.rotary_kg_m2 for part in parts]),
        offsets_m=np.concatenate([part.offsets_m for part in parts]),
        cells_m=np.concatenate([part.cells_m for part in parts]),
    )


def share_ahead(body: Lumps, station_m: float) -> float:
    r"""Share of the mass that lies ahead of a station.

    .. math::  s(x) = \frac{1}{m} \sum_i m_i \, \min(\max(\tfrac{x - x_i}{c_i} + \tfrac12, 0), 1)

    Parameters
    ----------
    body : Lumps
        Masses :math:`m_i` [kg] at stations :math:`x_i` [m], each over its cell :math:`c_i` [m].
    station_m : float
        Station, :math:`x` [m].

    Returns
    -------
    share : float
        Share [-], 0 to 1; a point at the station itself lies behind it.

    Notes
    -----
    Holds for any station. A lump is cut as an even bar.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> share_ahead(even_bar(2.0, 0.0, 1.0, count=3), 0.25)
    0.25
    """
    return float(_cut(body, station_m) @ body.masses_kg / body.mass_kg)


def split(body: Lumps, station_m: float) -> tuple[Lumps | None, Lumps | None]:
    r"""Cut a body at a station into what lies ahead and what lies behind.

    .. math::  m' = f m, \qquad c' = f c, \qquad I' = f^3 I

    for the part :math:`f` of a lump that the cut leaves on one side.

    Parameters
    ----------
    body : Lumps
        The body.
    station_m : float
        Station of the cut [m].

    Returns
    -------
    fore, aft : Lumps or None
        Both sides; ``None`` where a side has no mass.

    Raises
    ------
    OutsideRange
        Never: lumps have mass.

    Notes
    -----
    Holds for any station: masses and balance points add up to those of the whole. A lump is cut as an
    even bar, so that a tapering one is a little off inside its own cell.

    References
    ----------
    .. [1] Even bar cut in two; plain integration.

    Examples
    --------
    >>> fore, aft = split(even_bar(2.0, 0.0, 1.0, count=3), 0.25)
    >>> round(fore.mass_kg, 9), round(fore.centre_m[0], 9), round(aft.inertia_kg_m2, 9)
    (0.5, 0.125, 0.0703125)
    """
    ahead = _cut(body, station_m)
    return _side(body, ahead, -1.0), _side(body, 1.0 - ahead, 1.0)


def _cut(body: Lumps, station_m: float) -> NDArray[np.float64]:
    """Share of every lump ahead of a station, shape (n,)."""
    past = station_m - body.stations_m
    spread = body.cells_m > 0
    inside = np.divide(past, body.cells_m, out=np.where(past > 0, 0.5, -0.5), where=spread) + 0.5
    return np.clip(inside, 0.0, 1.0)


def _side(body: Lumps, share: NDArray[np.float64], towards: float) -> Lumps | None:
    """Return what a cut leaves on one side: ``towards`` is -1 for the side ahead."""
    kept = (share > 0) & (body.masses_kg > 0)
    if not kept.any():
        return None
    part = share[kept]
    return Lumps(
        stations_m=body.stations_m[kept] + towards * (1 - part) * body.cells_m[kept] / 2,
        masses_kg=body.masses_kg[kept] * part,
        rotary_kg_m2=body.rotary_kg_m2[kept] * part**3,
        offsets_m=body.offsets_m[kept],
        cells_m=body.cells_m[kept] * part,
    )
