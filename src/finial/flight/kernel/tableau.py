"""The Runge-Kutta pair's coefficients, from their table."""

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from finial.core.tables import table_rows
from finial.flight.kernel.layout import N_STAGES


@dataclass(frozen=True, slots=True, kw_only=True)
class Tableau:
    """Coefficients of an explicit pair: stages, times, error weights, interpolant."""

    stages: NDArray[np.float64]
    """(s, s), strictly lower."""
    times: NDArray[np.float64]
    """(s,)."""
    errors: NDArray[np.float64]
    """(s,) weights of the higher less those of the lower order."""
    between: NDArray[np.float64]
    """(s, 4) weights between the ends: powers 1 to 4 of the share of the step."""


@cache
def tableau() -> Tableau:
    """Coefficients of the Runge-Kutta pair of orders 5 and 4 from their table, read-only.

    Returns
    -------
    pair : Tableau
        Seven stages, the last the next step's first.
    """
    shapes = {"a": (N_STAGES, N_STAGES), "c": (N_STAGES, 1), "e": (N_STAGES, 1), "d": (N_STAGES, 4)}
    parts = {name: np.zeros(shape) for name, shape in shapes.items()}
    for row in table_rows("finial.flight.kernel", "tableau.csv"):
        parts[row["coefficient"]][int(row["row"]) - 1, int(row["column"]) - 1] = float(row["value"])
    for part in parts.values():
        part.flags.writeable = False
    return Tableau(stages=parts["a"], times=parts["c"][:, 0], errors=parts["e"][:, 0], between=parts["d"])
