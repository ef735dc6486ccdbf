"""How far designs came to from what was foretold of them: the error of a search, as it was met."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from finial.sizing.notebook import Point
from finial.sizing.variables import Variable

NEAR = 0.1
"""Share of each variable's range within which another design is near [-]; chosen."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Miss:
    """One design that was foretold, and then judged all the same."""

    point: Point
    sought: float
    """Between what was foretold and what it came to, of what is sought [kg or m]."""
    missing: float
    """The same of what is missing to limits, as shares of them [-]."""
    is_better: bool
    """It came to less than was said to be sure: another like it may have been left out."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Missed:
    """How far many were off; typical is the middle one."""

    designs: int
    typical: float
    largest: float
    """Of what is sought [kg or m]."""
    typical_missing: float
    largest_missing: float
    """Of what is missing to limits [-]."""
    better: int
    """Designs that came to less than was said to be sure."""


def missed(misses: Sequence[Miss]) -> Missed | None:
    """Sum up how far off designs were; ``None`` where nothing was foretold.

    Examples
    --------
    >>> off = [Miss(point=(x,), sought=x, missing=2 * x, is_better=False) for x in (0.1, 0.2, 0.6)]
    >>> told = missed(off)
    >>> told.designs, told.typical, told.largest, told.largest_missing
    (3, 0.2, 0.6, 1.2)
    """
    if not misses:
        return None
    sought, missing = np.array([[one.sought, one.missing] for one in misses]).T
    return Missed(
        designs=len(misses),
        typical=float(np.median(sought)),
        largest=float(sought.max()),
        typical_missing=float(np.median(missing)),
        largest_missing=float(missing.max()),
        better=sum(one.is_better for one in misses),
    )


def nearby(point: Point, others: Iterable[Point], variables: Sequence[Variable]) -> Iterator[Point]:
    """Give those within a tenth of every range of a design, and alike in all that is chosen."""
    for other in others:
        if all(map(_is_near, variables, point, other)):
            yield other


def _is_near(variable: Variable, one: float, other: float) -> bool:
    return abs(one - other) <= (0.0 if variable.is_choice else NEAR * (variable.high - variable.low))
