"""Look-ups in the package's CSV tables of curves."""

from functools import cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from finial.core.errors import MissingData
from finial.core.tables import table_rows


@cache
def curve_points(table: str, name: str) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Points of a tabled curve.

    Parameters
    ----------
    table : str
        Name of the table in the package.
    name : str
        Name of the curve in it.

    Returns
    -------
    x, value : ndarray, shape (n,)
        Places, rising, and the values there, in the units of the table [any].

    Raises
    ------
    MissingData
        If the table has no such curve.
    """
    rows = [row for row in table_rows("finial.aero", table) if row["curve"] == name]
    if not rows:
        raise MissingData(f"table {table} has no curve {name!r}")
    x, value = np.array([[float(row["x"]), float(row["value"])] for row in rows]).T
    return x, value


def on_curve(table: str, name: str, x: ArrayLike) -> NDArray[np.float64]:
    """Value of a tabled curve, linear between its points and constant outside them.

    Parameters
    ----------
    table : str
        Name of the table in the package.
    name : str
        Name of the curve in it.
    x : array_like, shape (...)
        Where, in the unit of the table [any].

    Returns
    -------
    value : ndarray, shape (...)
        In the unit of the table [any].

    Raises
    ------
    MissingData
        If the table has no such curve.

    Notes
    -----
    Holds within the curve's own points; beyond them the end values stand for want of better.

    References
    ----------
    .. [1] Linear interpolation; each row of a table has its own source.

    Examples
    --------
    >>> on_curve("crossflow.csv", "crossflow_mach", [0.0, 0.7]).round(3).tolist()
    [1.0, 1.229]
    """
    return np.interp(np.asarray(x, dtype=float), *curve_points(table, name))
