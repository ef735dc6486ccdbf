"""The best designs of a search, looked at whole: the quick look alone calls none of them a go."""

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from finial.assemble.vehicle.changes import Changes
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.core.content import content_hash
from finial.core.errors import FinialError
from finial.files.kept import kept
from finial.files.read_by import content_of_sheet
from finial.findings.check import tried
from finial.findings.design_judge import Motors, of_motor, other_misfits, vehicle_hash
from finial.findings.finding import Verdict, overall
from finial.findings.readiness import Depth
from finial.sizing.found_front import FrontRow
from finial.sizing.judged import Aim
from finial.sizing.notebook import Point
from finial.sizing.search import Found

MOST_LOOKS = 40
"""Whole looks of one search, a second or two each; a front has some ten designs."""
Look = Callable[[Point], Verdict]
"""Gives the verdict of the whole look at a design."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Confirmed:
    """The best design that goes by the whole look too, and what that said of the others."""

    best: FrontRow
    """The best of the quick look, where none that was looked at goes."""
    verdicts: Mapping[Point, Verdict]
    """Of every design that was looked at whole."""
    better: tuple[FrontRow, ...] = ()
    """Designs that the quick look passes and that would be better, the best first."""

    @property
    def verdict(self) -> Verdict:
        """Verdict of the whole look at the best; one that nobody looked at is not known."""
        if not self.best.judged.is_go:
            return Verdict.NO_GO
        return self.verdicts.get(self.best.point, Verdict.NOT_KNOWN)

    @property
    def is_go(self) -> bool:
        """It goes, with cautions or without."""
        return self.goes(self.best)

    def goes(self, row: FrontRow) -> bool:
        """Tell whether a design goes by the quick look, and by the whole look that was taken at it."""
        whole = self.verdicts.get(row.point, Verdict.NOT_KNOWN)
        return row.judged.is_go and whole <= Verdict.CAUTION

    @property
    def turned_down(self) -> tuple[FrontRow, ...]:
        """Better ones that were looked at whole, and do not go."""
        return tuple(row for row in self.better if row.point in self.verdicts)


def confirmed(found: Found, aim: Aim, look: Look, most: int = MOST_LOOKS) -> Confirmed:
    """Look at the best design whole, at the next best where it does not go, and at the front.

    Neighbours fail alike: the next one looked at is twice as far down the list each time, and once one goes,
    halving finds a better one, as far as those that go lie together.

    Parameters
    ----------
    found : Found
        What the search came to.
    aim : Aim
        What was sought.
    look : callable
        Looks at one design whole.
    most : int
        Looks that may be taken.

    Returns
    -------
    confirmed : Confirmed
    """
    goes, looked = found.goes(aim), _Looked(look, most)
    _walked(goes, looked)
    for row in found.front:
        if row.judged.is_go:
            looked.goes(row)
    number = next((number for number, row in enumerate(goes) if looked.went(row)), None)
    best = FrontRow(point=found.point, judged=found.judged) if number is None else goes[number]
    return Confirmed(best=best, verdicts=looked.verdicts, better=goes[:number])


class _Looked:
    """Verdicts of whole looks, each taken once, as many as may be."""

    def __init__(self, look: Look, most: int) -> None:
        self._look, self._most = look, most
        self.verdicts: dict[Point, Verdict] = {}

    def goes(self, row: FrontRow) -> bool:
        """Look at a design, unless there are no looks left; whether it goes."""
        if row.point not in self.verdicts and len(self.verdicts) < self._most:
            self.verdicts[row.point] = self._look(row.point)
        return self.went(row)

    def went(self, row: FrontRow) -> bool:
        """Whether it was looked at, and goes."""
        return self.verdicts.get(row.point, Verdict.NO_GO) <= Verdict.CAUTION


def _walked(rows: tuple[FrontRow, ...], looked: _Looked) -> None:
    """Look down the list in steps that double until one goes, then between that and the one before."""
    failing, at = -1, 0
    while at < len(rows) and not looked.goes(rows[at]):
        failing, at = at, 2 * at + 1
    at = min(at, len(rows))
    while at - failing > 1:
        middle = (failing + at) // 2
        if looked.goes(rows[middle]):
            at = middle
        else:
            failing = middle


def whole_verdict(vehicle: LoadedVehicle, changes: Changes, motors: Motors) -> Verdict:
    """Verdict of the whole look at a design, kept by all that it follows from.

    One that cannot be flown is not known.
    """

    def look() -> Verdict:
        try:
            found = tried(of_motor(vehicle, changes, motors), changes, depth=Depth.WHOLE)
        except FinialError:
            return Verdict.NOT_KNOWN
        return overall((*found.findings, *other_misfits(vehicle, changes, motors)))

    content = content_of_sheet(vehicle.files.path)
    if content is None:
        return look()
    told = json.dumps(sorted([list(map(str, place)), value] for place, value in changes.items()))
    return kept("design", content_hash(content, vehicle_hash(vehicle, motors), told), look)
