"""What a search found worth a choice: of all designs that it judged, those that no other beats."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from finial.sizing.front import undominated
from finial.sizing.judged import Aim, Judged, aimed
from finial.sizing.notebook import Point


@dataclass(frozen=True, slots=True, kw_only=True)
class FrontRow:
    """One design of the front: its point, and what it comes to."""

    point: Point
    judged: Judged


def front(known: Mapping[Point, Judged], aim: Aim) -> tuple[FrontRow, ...]:
    """Lightest against highest among those that go; where odds were asked, what is sought against the odds.

    Only designs whose verdict goes are on it. With odds they were all flown, and those that fall short
    of what is wanted stand beside those that do not: what surer costs is seen. Of several that come to the
    very same one is told.

    Parameters
    ----------
    known : mapping of point to Judged
        Every design that was judged.
    aim : Aim
        What was sought.

    Returns
    -------
    rows : tuple of FrontRow
        The best of what is sought first.
    """
    flown = any(one.odds is not None for one in known.values())
    costs: dict[tuple[float, float], FrontRow] = {}
    for point, one in sorted(known.items()):
        if one.is_go or one.odds is not None:
            against = (aimed(one, aim), -(one.odds or 0.0)) if flown else (one.mass_kg, -one.apogee_m)
            costs.setdefault(against, FrontRow(point=point, judged=one))
    if not costs:
        return ()
    ordered = sorted(costs)
    best = zip(ordered, undominated(np.array(ordered)), strict=True)
    rows = [costs[against] for against, is_best in best if is_best]
    return tuple(sorted(rows, key=lambda row: aimed(row.judged, aim)))
