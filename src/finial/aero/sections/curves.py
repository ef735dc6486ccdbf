"""Look-ups in the package's CSV tables of curves."""

from functools import cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from finial.core.errors import MissingData
from finial.core.tables import table_rows


@cache
def curve_points(table: str, name: str) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Points of a tabled curve: x rising, and the values there."""
    rows = [row for row in table_rows("finial.aero", table) if row["curve"] == name]
    if not rows:
        raise MissingData(f"table {table} has no curve {name!r}")
    x, value = np.array([[float(row["x"]), float(row["value"])] for row in rows]).T
    return x, value


def on_curve(table: str, name: str, x: ArrayLike) -> NDArray[np.float64]:
    """Value of a tabled curve, linear between its points and constant outside them.

    Raises
    ------
    MissingData
        If the table has no such curve.

    Examples
    --------
    >>> on_curve("crossflow.csv", "crossflow_mach", [0.0, 0.7]).round(3).tolist()
    [1.0, 1.229]
    """
    return np.interp(np.asarray(x, dtype=float), *curve_points(table, name))
