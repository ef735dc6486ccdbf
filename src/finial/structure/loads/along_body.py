"""Axial force, shear and bending along a free body that its own inertia balances."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from finial.mass.lumps import Lumps
from finial.structure.bounds import need_finite
from finial.structure.loads.forces import Force, LineForce, PointForce


@dataclass(frozen=True, slots=True, kw_only=True)
class RigidMotion:
    """Acceleration of the whole body: of its balance point, and of its turning."""

    aft_m_s2: float
    cross_m_s2: float
    turn_rad_s2: float
    """From aft towards the cross direction [rad/s^2]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BodyLoads:
    """What passes through each cut, from the part in front of it. Arrays have shape (n,).

    Stations rise; where something is attached the station is given twice, just before and
    just after. ``axial_n`` is positive in compression. ``shear_n`` is the cross force of the
    part in front; ``bending_n_m`` its moment, positive when it compresses the side the
    cross direction points to: d(bending)/d(station) = shear.
    """

    stations_m: NDArray[np.float64]
    axial_n: NDArray[np.float64]
    shear_n: NDArray[np.float64]
    bending_n_m: NDArray[np.float64]
    motion: RigidMotion

    def at(self, stations_m: ArrayLike) -> "CutLoads":
        """Read loads at stations, from both sides of a step; zero outside the body.

        Parameters
        ----------
        stations_m : array_like, shape (n,)
            Stations of the cuts [m].

        Returns
        -------
        loads : CutLoads
            Forces [N] and moments [N m], each of shape (n, 2).

        Notes
        -----
        Straight lines between the stations of the loads; the bending between two attached things bows less
        than the stations are apart.

        References
        ----------
        .. [1] Linear interpolation.

        Examples
        --------
        >>> still = RigidMotion(aft_m_s2=0.0, cross_m_s2=0.0, turn_rad_s2=0.0)
        >>> loads = BodyLoads(stations_m=np.array([0.0, 1.0, 1.0]), axial_n=np.array([0.0, 10.0, 4.0]),
        ...     shear_n=np.zeros(3), bending_n_m=np.zeros(3), motion=still)
        >>> loads.at([0.5, 1.0]).axial_n.tolist()
        [[5.0, 5.0], [10.0, 4.0]]
        """
        wanted = np.atleast_1d(np.asarray(stations_m, dtype=float))
        sides = [_weights(self.stations_m, wanted, side) for side in ("left", "right")]
        axial, shear, bending = (
            np.stack([low * part[i] + high * part[j] for i, j, low, high in sides], axis=-1)
            for part in (self.axial_n, self.shear_n, self.bending_n_m)
        )
        return CutLoads(axial_n=axial, shear_n=shear, bending_n_m=bending)


@dataclass(frozen=True, slots=True, kw_only=True)
class CutLoads:
    """Loads at cuts, just ahead of each and just behind it: arrays of shape (n, 2)."""

    axial_n: NDArray[np.float64]
    shear_n: NDArray[np.float64]
    bending_n_m: NDArray[np.float64]


def _weights(
    stations: NDArray[np.float64], wanted: NDArray[np.float64], side: Literal["left", "right"]
) -> tuple[NDArray[np.intp], NDArray[np.intp], NDArray[np.float64], NDArray[np.float64]]:
    """Return indices and weights that interpolate just before (left) or just after (right) each station."""
    after = np.searchsorted(stations, wanted, side=side)
    i, j = np.maximum(after - 1, 0), np.minimum(after, stations.size - 1)
    gap = stations[j] - stations[i]
    high = np.divide(wanted - stations[i], gap, out=np.ones_like(wanted), where=gap > 0)
    inside = (stations[0] <= wanted) & (wanted <= stations[-1])
    return i, j, np.where(inside, 1.0 - high, 0.0), np.where(inside, high, 0.0)


def rigid_motion(body: Lumps, forces: Sequence[Force]) -> RigidMotion:
    r"""Acceleration of a free rigid body under its forces, in one plane.

    .. math::  a = \frac{\sum F}{m}, \qquad \dot\omega = \frac{\sum [(s - s_c) F_e - (e - e_c) F_s + C]}{I}

    Parameters
    ----------
    body : Lumps
        Masses [kg] at stations and offsets [m].
    forces : sequence of PointForce or LineForce
        All forces but weight, which loads no free body.

    Returns
    -------
    motion : RigidMotion
        Accelerations [m/s^2], [rad/s^2].

    Raises
    ------
    OutsideRange
        If the body has no inertia against turning (one point mass) but is turned.

    Notes
    -----
    Holds for a rigid body; bending of a printed stack is small beside its travel. For a body of one
    point mass no turning is possible.

    References
    ----------
    .. [1] Newton and Euler; any mechanics text, such as Meriam and Kraige, Dynamics, chapter 6.

    Examples
    --------
    >>> from finial.mass.lumps import lumps
    >>> push = PointForce(station_m=1.0, aft_n=-40.0)
    >>> rigid_motion(lumps([0.0, 1.0], [1.0, 3.0]), [push]).aft_m_s2
    -10.0
    """
    stations, afts, crosses, offsets, couples = _as_points(forces)
    station, offset = body.centre_m
    turning = float(np.sum((stations - station) * crosses - (offsets - offset) * afts + couples))
    inertia = body.inertia_kg_m2
    if inertia == 0.0:
        need_finite(turn_rad_s2=np.inf if turning else 0.0)
    return RigidMotion(
        aft_m_s2=float(afts.sum()) / body.mass_kg,
        cross_m_s2=float(crosses.sum()) / body.mass_kg,
        turn_rad_s2=turning / inertia if inertia else 0.0,
    )


def _as_points(forces: Sequence[Force]) -> NDArray[np.float64]:
    """Point forces with the same resultant: each straight piece of a line acts at its own centre.

    Stations, aft, cross, offsets and couples, shape (5, n), the first a point without force.
    """
    points = [force for force in forces if isinstance(force, PointForce)]
    rows = [(0.0, 0.0, 0.0, 0.0, 0.0)]
    rows += [(one.station_m, one.aft_n, one.cross_n, one.offset_m, one.couple_n_m) for one in points]
    blocks = [np.array(rows).T, *(_pieces(force) for force in forces if isinstance(force, LineForce))]
    return np.concatenate(blocks, axis=1)


def _pieces(line: LineForce) -> NDArray[np.float64]:
    """Stations, aft, cross, offsets and couples of the straight pieces of a line, shape (5, n - 1)."""
    spans, first, last = np.diff(line.stations_m), line.cross_n_per_m[:-1], line.cross_n_per_m[1:]
    return np.stack(
        [
            line.stations_m[:-1] + spans / 2,
            spans * (line.aft_n_per_m[:-1] + line.aft_n_per_m[1:]) / 2,
            spans * (first + last) / 2,
            np.zeros_like(spans),
            # Force at the piece's middle plus the couple that its slope leaves there.
            (last - first) * spans**2 / 12,
        ]
    )


def free_body_loads(
    body: Lumps,
    forces: Sequence[Force],
    *,
    turn_rate_rad_s: float = 0.0,
    cuts_m: ArrayLike | None = None,
) -> BodyLoads:
    r"""Axial force, shear and bending along a body in free flight.

    Each lump pushes back with its own inertia force, so the body is in equilibrium and the
    loads close to zero behind its last station:

    .. math::
        N(x) = \sum_{s < x} F_s, \quad V(x) = \sum_{s < x} F_e, \quad
        M(x) = \sum_{s < x} \left[ (x - s) F_e + e F_s - C \right]

    over forces and inertia forces :math:`-m a` in front of the cut.

    Parameters
    ----------
    body : Lumps
        Masses [kg] at stations and offsets [m].
    forces : sequence of PointForce or LineForce
        All forces [N], [N/m] but weight, which loads no free body.
    turn_rate_rad_s : float
        Rate at which the body already turns in this plane [rad/s]; it pulls the ends outwards.
    cuts_m : array_like, shape (k,), optional
        Further stations wanted in the answer [m].

    Returns
    -------
    loads : BodyLoads
        At every station where something acts, before and after it, and at the cuts.

    Raises
    ------
    OutsideRange
        If a number is not finite, or one point mass alone is turned.

    Notes
    -----
    Holds for a slender body that is rigid beside its own travel. A dynamic overshoot (up to 2 for a
    load that comes on faster than the body's first bending period) is not included: scale the load.

    References
    ----------
    .. [1] Inertia relief by d'Alembert's principle: Bruhn, Analysis and Design of Flight Vehicle
       Structures, chapter A4; from memory, not re-read.

    Examples
    --------
    >>> from finial.mass.lumps import lumps
    >>> push = PointForce(station_m=1.0, aft_n=-40.0)
    >>> loads = free_body_loads(lumps([0.0, 1.0], [1.0, 3.0]), [push])
    >>> loads.axial_n.round(9).tolist()
    [0.0, 10.0, 10.0, 0.0]
    """
    # The compiler's import costs a third of a second: only where something is loaded.
    from finial.structure.loads.kernel import along

    need_finite(turn_rate_rad_s=turn_rate_rad_s)
    motion = rigid_motion(body, forces)
    lines = [force for force in forces if isinstance(force, LineForce)]
    points = [force for force in forces if isinstance(force, PointForce)]
    acting = _with_inertia(points, body, motion, turn_rate_rad_s)
    nodes = [np.stack([line.stations_m, line.aft_n_per_m, line.cross_n_per_m]) for line in lines]
    stations, axial, shear, bending = along(
        acting,
        np.concatenate([np.empty((3, 0)), *nodes], axis=1),
        np.cumsum([len(line.stations_m) for line in lines], dtype=np.int64),
        np.empty(0) if cuts_m is None else np.atleast_1d(np.asarray(cuts_m, dtype=float)),
    )
    return BodyLoads(stations_m=stations, axial_n=axial, shear_n=shear, bending_n_m=bending, motion=motion)


def _with_inertia(
    points: Sequence[PointForce], body: Lumps, motion: RigidMotion, rate: float
) -> NDArray[np.float64]:
    """Point forces followed by the inertia force and couple of every lump, as ``_as_points`` tells them."""
    station, offset = body.centre_m
    behind, out = body.stations_m - station, body.offsets_m - offset
    aft = motion.aft_m_s2 - motion.turn_rad_s2 * out - rate**2 * behind
    cross = motion.cross_m_s2 + motion.turn_rad_s2 * behind - rate**2 * out
    masses, couples = body.masses_kg, -body.rotary_kg_m2 * motion.turn_rad_s2
    lumps = np.stack([body.stations_m, -masses * aft, -masses * cross, body.offsets_m, couples])
    return np.concatenate([_as_points(points)[:, 1:], lumps], axis=1)
