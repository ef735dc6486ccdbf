"""Specks that the air of a plane carries along: where each was last, moment by moment."""

import numpy as np
from numpy.typing import NDArray

from finial.core.doors import require_positive
from finial.tunnel.flow import AirSeen

_SHORT_STEPS = 4
"""Steps from moment to moment."""
_GOLDEN = np.array([0.7548776662466927, 0.5698402909980532])
"""Inverse powers of the plastic number: places that follow one another lie evenly."""


def streaks(
    flow: AirSeen, width_m: float, *, count: int = 300, lives: int = 6, trail: int = 2
) -> list[list[NDArray[np.float64]]]:
    r"""Follow specks through the moments of a flow.

    .. math::
        x_{n+1} = x_n + \Delta t \, u\!\left( x_n + \tfrac12 \Delta t \, u(x_n, t_n),
                  \; t_n + \tfrac12 \Delta t \right)

    Parameters
    ----------
    flow : AirSeen
        Its first plane and its moments.
    width_m : float
        Of the shape [m]: the wind travels it in one unit of time.
    count : int
        Specks at a time [-].
    lives : int
        Moments that a speck is carried, then it begins anew elsewhere [-].
    trail : int
        Moments that its way is shown of [-].

    Returns
    -------
    ways : list of list of ndarray, shape (p, 2)
        At each moment the way of every speck so far, in columns and rows of the plane [-].

    Raises
    ------
    OutsideRange
        If the width is not above 0.

    Notes
    -----
    Second order in time; between nodes and between moments all is linear. What is turned out of the plane is
    not seen: in an air that swirls these are no ways of real specks. Those that start inside the shape
    are left out; those that leave the plane end there. Before the first moment the air is held as it was
    then.

    References
    ----------
    .. [1] The midpoint rule, any textbook on ordinary differential equations.

    Examples
    --------
    >>> from finial.tunnel.flow import PlaneFlow
    >>> open_air = PlaneFlow(up_rad=0.0, low_m=(0.0, 0.0), step_m=0.5, air=np.ones((5, 9), bool),
    ...                      speed=np.ones((5, 9)), pressure=np.zeros((5, 9)), outline_m=())
    >>> wind = np.zeros((3, 2, 5, 9))
    >>> wind[:, 0] = 1.0
    >>> blown = AirSeen(planes=(open_air, open_air), moments=wind, apart_widths=0.5)
    >>> way = streaks(blown, 1.0, count=1, lives=9)[0][0]
    >>> (way[-1] - way[0]).round(6).tolist()
    [2.0, 0.0]
    """
    require_positive(width_m=width_m)
    plane = flow.planes[0]
    moments = np.concatenate([*[flow.moments[:1]] * trail, flow.moments])
    rows, columns = plane.air.shape
    short = flow.apart_widths * width_m / plane.step_m / _SHORT_STEPS
    size = np.array([columns - 1, rows - 1], dtype=float)
    born = -((np.arange(count) * lives) // count)
    at = _birth(np.arange(count), size)
    ways = [[one] if airy else [] for one, airy in zip(at, _in_air(plane.air, at).tolist(), strict=True)]
    seen: list[list[NDArray[np.float64]]] = []
    for moment in range(len(moments)):
        seen.append([np.array(way[-trail * _SHORT_STEPS - 1 :]) for way in ways if len(way) > 1])
        if moment == len(moments) - 1:
            break
        for part in range(_SHORT_STEPS):
            early, middle = part / _SHORT_STEPS, (part + 0.5) / _SHORT_STEPS
            first = _velocity(moments, moment, early, at)
            at = at + short * _velocity(moments, moment, middle, at + 0.5 * short * first)
            within = ((at >= 0.0) & (at <= size)).all(axis=1) & _in_air(plane.air, at)
            for number in np.flatnonzero(within).tolist():
                # A way that was broken off stays as it was.
                if len(ways[number]):
                    ways[number].append(at[number])
            for number in np.flatnonzero(~within).tolist():
                ways[number] = []
        for number in np.flatnonzero((moment + 1 - born) % lives == 0).tolist():
            at[number] = _birth(np.array([number + count * (moment + 2)]), size)[0]
            ways[number] = [at[number]] if _in_air(plane.air, at[[number]])[0] else []
    return seen[trail:]


def _birth(numbers: NDArray[np.int64], size: NDArray[np.float64]) -> NDArray[np.float64]:
    return (0.5 + numbers[:, None] * _GOLDEN) % 1.0 * size


def _in_air(air: NDArray[np.bool_], at: NDArray[np.float64]) -> NDArray[np.bool_]:
    column, row = np.rint(at).astype(int).T
    return air[np.clip(row, 0, air.shape[0] - 1), np.clip(column, 0, air.shape[1] - 1)]


def _velocity(
    moments: NDArray[np.float64], moment: int, late: float, at: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Velocity at places between two moments, columns and rows, shape (n, 2)."""
    rows, columns = moments.shape[2:]
    places = np.clip(at, 0.0, np.array([columns - 1, rows - 1]))
    column, row = np.minimum(places.astype(int), [columns - 2, rows - 2]).T
    past, up = (places - np.column_stack([column, row])).T
    found = np.zeros((2, len(at)))
    for share, now in ((1.0 - late, moments[moment]), (late, moments[moment + 1])):
        low = now[:, row, column] * (1.0 - past) + now[:, row, column + 1] * past
        high = now[:, row + 1, column] * (1.0 - past) + now[:, row + 1, column + 1] * past
        found += share * (low * (1.0 - up) + high * up)
    return found.T
