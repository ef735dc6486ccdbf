"""What a search may change, within which ends, in which steps."""

from collections.abc import Sequence
from dataclasses import dataclass

from finial.assemble.vehicle.changes import Changes
from finial.assemble.vehicle.levers import LEVERS
from finial.core.errors import OutsideRange
from finial.files.edit import Value
from finial.files.sheet import Sheet
from finial.files.toml_places import KeyPath

BALLAST, SPAN, STATION, COUNT, RAIL, CANOPY = "ballast", "span", "station", "count", "rail", "canopy"
STEPS = {BALLAST: 0.005, SPAN: 0.01, STATION: 0.001, COUNT: 1.0, RAIL: 0.01, CANOPY: 0.01}
"""Steps a builder can make: 5 g, 1 %, 1 mm, one fin, 1 cm, 1 cm [SI]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Variable:
    """One thing that may change: its kind, the name in the sheet it belongs to, and its ends [SI]."""

    kind: str
    name: str
    low: float
    high: float

    def __post_init__(self) -> None:
        """Refuse kinds there are not, and ends the wrong way round."""
        if self.kind not in STEPS:
            raise OutsideRange(f"{self.kind!r} cannot be varied: accepted are {', '.join(STEPS)}")
        if not 0.0 <= self.low < self.high < float("inf"):
            raise OutsideRange(f"{self.kind} {self.name}: from {self.low} to {self.high}; low end first")

    def rounded(self, value: float) -> float:
        """Nearest step inside the ends."""
        step = STEPS[self.kind]
        return min(max(round(value / step) * step, self.low), self.high)


def changes_of(sheet: Sheet, variables: Sequence[Variable], values: Sequence[float]) -> Changes:
    """Return the changes to the sheet that a point of the search stands for.

    Raises
    ------
    MissingData
        If the sheet has nothing of a variable's name.
    """
    changes: dict[KeyPath, Value] = {}
    for variable, value in zip(variables, values, strict=True):
        changes |= LEVERS[variable.kind](sheet, variable.name, variable.rounded(value))
    return changes
