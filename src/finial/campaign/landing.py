"""Where flights land: the ellipse with what it really holds, and the field."""

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import OutsideRange
from finial.core.statistics import ellipse_scale

NORMAL_KURTOSIS = 8.0
"""Mardia's kurtosis of two-dimensional normal scatter, p (p + 2) [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ellipse:
    """Covariance ellipse of landing points, and how far to trust it."""

    nominal: float
    """Share it would hold if the scatter were normal [-]."""
    held: float
    """Share of the flights that it really holds [-]."""
    kurtosis: float
    """Mardia's, 8 for normal scatter: more means longer tails, less a fuller middle [-]."""
    centre_m: tuple[float, float]
    """East, north [m]."""
    half_axes_m: tuple[float, float]
    """Longer first [m]."""
    bearing_rad: float
    """Compass bearing of the longer axis, 0 to pi [rad]."""

    def outline_m(self, points: int = 72) -> NDArray[np.float64]:
        """Points on the ellipse, (n + 1, 2) east and north [m], the last equal to the first."""
        angle = np.linspace(0.0, 2.0 * np.pi, points + 1)
        sine, cosine = math.sin(self.bearing_rad), math.cos(self.bearing_rad)
        along, across = self.half_axes_m[0] * np.cos(angle), self.half_axes_m[1] * np.sin(angle)
        east = self.centre_m[0] + along * sine + across * cosine
        north = self.centre_m[1] + along * cosine - across * sine
        return np.column_stack([east, north])


def landing_ellipse(landings_m: NDArray[np.float64], nominal: float = 0.95) -> Ellipse:
    r"""Covariance ellipse of landing points.

    .. math::  d_i^2 = (x_i - \bar x)^T \Sigma^{-1} (x_i - \bar x) \le -2 \ln(1 - p), \qquad
               b = \frac1n \sum_i d_i^4

    Parameters
    ----------
    landings_m : ndarray, shape (n, 2)
        East and north [m].
    nominal : float
        Share it would hold of normal scatter, :math:`p` [-].

    Returns
    -------
    ellipse : Ellipse
        With the share it really holds and Mardia's kurtosis, :math:`b`.

    Raises
    ------
    OutsideRange
        If there are fewer than three points, or they lie on one line.

    Notes
    -----
    Landing points are seldom normal: judge the odds by counting, not by the ellipse.

    References
    ----------
    .. [1] Mardia, Measures of multivariate skewness and kurtosis, Biometrika 57 (1970) 519.

    Examples
    --------
    >>> corners = np.array([[2.0, 0], [-2, 0], [0, 1], [0, -1]])
    >>> round(landing_ellipse(corners, 0.5).kurtosis, 6)
    2.25
    """
    return ellipse_of(lambda: [landings_m], nominal)


def ellipse_of(pieces: Callable[[], Iterable[NDArray[np.float64]]], nominal: float = 0.95) -> Ellipse:
    """Ellipse of landing points that come piece by piece, twice over; as :func:`landing_ellipse`.

    Raises
    ------
    OutsideRange
        As there.
    """
    count, centre, squares = 0, np.zeros(2), np.zeros((2, 2))
    finite = True
    for piece in pieces():
        finite = finite and bool(np.all(np.isfinite(piece)))
        count, centre, squares = _with_more(count, centre, squares, piece if finite else piece[:0])
    if count < 3 or not finite:
        raise OutsideRange(f"{count} landing points: an ellipse needs three, all of them finite")
    covariance = squares / (count - 1)
    values, vectors = np.linalg.eigh(covariance)
    if not values[0] > 1e-9 * max(values[1], 1e-12):
        raise OutsideRange("all landing points lie on one line: no ellipse fits them")
    inverse, scale = np.linalg.inv(covariance), ellipse_scale(nominal)
    held, fourth = 0, 0.0
    for piece in pieces():
        offsets = piece - centre
        squared: NDArray[np.float64] = np.einsum("ni,ij,nj->n", offsets, inverse, offsets)
        held, fourth = held + int((squared <= scale).sum()), fourth + float((squared**2).sum())
    longer = vectors[:, 1]
    return Ellipse(
        nominal=nominal,
        held=held / count,
        kurtosis=fourth / count,
        centre_m=(float(centre[0]), float(centre[1])),
        half_axes_m=(math.sqrt(scale * values[1]), math.sqrt(scale * values[0])),
        bearing_rad=math.atan2(longer[0], longer[1]) % math.pi,
    )


def _with_more(
    count: int, centre: NDArray[np.float64], squares: NDArray[np.float64], piece: NDArray[np.float64]
) -> tuple[int, NDArray[np.float64], NDArray[np.float64]]:
    """Put more points to the middle and the squares round it (Chan, Golub and LeVeque 1979, from memory)."""
    if not len(piece):
        return count, centre, squares
    middle = piece.mean(axis=0)
    offsets, apart, total = piece - middle, middle - centre, count + len(piece)
    squares = squares + offsets.T @ offsets + np.outer(apart, apart) * (count * len(piece) / total)
    return total, centre + apart * (len(piece) / total), squares


def inside_field(
    landings_m: NDArray[np.float64], rings_m: tuple[NDArray[np.float64], ...]
) -> NDArray[np.bool_]:
    """Say which landing points lie in the field: inside its outer edge and in none of its holes, (n,)."""
    from shapely import Polygon, contains_xy

    return np.asarray(contains_xy(Polygon(rings_m[0], rings_m[1:]), landings_m[:, 0], landings_m[:, 1]))


def inside_field_by(
    landings_m: NDArray[np.float64], rings_m: tuple[NDArray[np.float64], ...]
) -> NDArray[np.float64]:
    """How far inside the field's nearest edge landing points lie, (n,) [m]; below 0 outside or in a hole."""
    from shapely import Point, Polygon

    edges = Polygon(rings_m[0], rings_m[1:]).boundary
    away = np.array([float(edges.distance(Point(east, north))) for east, north in landings_m.tolist()])
    return np.where(inside_field(landings_m, rings_m), away, -away)
