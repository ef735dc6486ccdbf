"""Where in a plane of two variables a design goes: every point of a net judged."""

from collections.abc import Callable
from dataclasses import dataclass
from itertools import product

import numpy as np
from numpy.typing import NDArray

from finial.assemble.vehicle.changes import Changes
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.core.errors import OutsideRange
from finial.sizing.judged import Judged
from finial.sizing.variables import Variable, changing


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class GoRegion:
    """A net over two variables, the first along rows: arrays of shape (n, m)."""

    variables: tuple[Variable, Variable]
    first: NDArray[np.float64]
    """Values of the first variable [SI], shape (n,)."""
    second: NDArray[np.float64]
    """Values of the second [SI], shape (m,)."""
    missing: NDArray[np.float64]
    """What is missing to a go, as shares of the limits, summed [-]."""
    mass_kg: NDArray[np.float64]
    """At lift-off; ``nan`` where it cannot even be flown [kg]."""
    is_go: NDArray[np.bool_]

    @property
    def lightest(self) -> tuple[int, int] | None:
        """Row and column of the lightest that goes; ``None`` where none does."""
        if not self.is_go.any():
            return None
        masses = np.where(self.is_go, self.mass_kg, np.inf)
        row, column = np.unravel_index(int(masses.argmin()), masses.shape)
        return int(row), int(column)


def go_region(
    vehicle: LoadedVehicle,
    variables: tuple[Variable, Variable],
    judge: Callable[[Changes], Judged],
    *,
    steps: int,
    told: Callable[[float], None] = lambda _share: None,
) -> GoRegion:
    """Judge every point of a net of ``steps`` by ``steps`` over two variables.

    Raises
    ------
    OutsideRange
        If fewer than two steps are asked.
    """
    if steps < 2:
        raise OutsideRange(f"steps = {steps}: a net needs two or more each way")
    first, second = (
        np.array([one.rounded(float(value)) for value in np.linspace(one.low, one.high, steps)])
        for one in variables
    )
    written, found = changing(vehicle, variables), list[Judged]()
    for point in product(first.tolist(), second.tolist()):
        found.append(judge(written(point)))
        told(len(found) / steps**2)
    shape = (steps, steps)
    masses = np.array([one.mass_kg for one in found]).reshape(shape)
    return GoRegion(
        variables=variables,
        first=first,
        second=second,
        missing=np.array([one.missing for one in found]).reshape(shape),
        mass_kg=np.where(masses > 0.0, masses, np.nan),
        is_go=np.array([one.is_go for one in found]).reshape(shape),
    )
