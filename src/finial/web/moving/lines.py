"""Numbers as the page gets them: rounded to what a picture shows."""

import numpy as np
from numpy.typing import NDArray

from finial.web.moving.records import Line


def rounded(values: NDArray[np.float64], digits: int) -> Line:
    """One row."""
    return [round(float(one), digits) for one in values]


def rounded_rows(values: NDArray[np.float64], digits: int) -> list[Line]:
    """Each row of a table."""
    return [rounded(row, digits) for row in values]
