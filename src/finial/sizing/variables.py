"""What a search may change, within which ends, in which steps."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import combinations

from finial.assemble.vehicle.changes import Changes
from finial.assemble.vehicle.levers import CHOICES, LEVERS
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.assemble.vehicle.pulls import pulls_of
from finial.assemble.vehicle.tweak import CHARGE_STEP, PRELOAD_STEP_N, WALL_STEP, TweakKind
from finial.core.dimensions import Dimension
from finial.core.errors import MissingData, OutsideRange
from finial.files.edit import Value
from finial.files.toml_places import KeyPath

BALLAST, SPAN, STATION, COUNT, RAIL, CANOPY = "ballast", "span", "station", "count", "rail", "canopy"
WALLS, PRELOAD, CHARGE, THREAD, MOTOR = "walls", "preload", "charge", "thread", "motor"
STEPS = {
    BALLAST: 0.005, SPAN: 0.01, STATION: 0.001, COUNT: 1.0, RAIL: 0.01, CANOPY: 0.01,
    WALLS: WALL_STEP, PRELOAD: PRELOAD_STEP_N, CHARGE: CHARGE_STEP, THREAD: 1.0, MOTOR: 1.0,
}  # fmt: skip
"""Steps a builder can make: 5 g, 1 %, 1 mm, one fin, 1 cm, 1 cm, 5 %, 5 N, 5 %, one choice [SI]."""
DIMENSIONS = {
    BALLAST: Dimension.MASS,
    SPAN: Dimension.RATIO,
    STATION: Dimension.LENGTH,
    COUNT: Dimension.RATIO,
    RAIL: Dimension.LENGTH,
    CANOPY: Dimension.LENGTH,
    WALLS: Dimension.RATIO,
    PRELOAD: Dimension.FORCE,
    CHARGE: Dimension.RATIO,
}
"""Of what is a number."""
_PULLS = {
    WALLS: (TweakKind.WALLS,),
    PRELOAD: (TweakKind.PRELOAD, TweakKind.LESS_PRELOAD),
    CHARGE: (TweakKind.CHARGE, TweakKind.LESS_CHARGE),
}
"""Levers that are pulls of the vehicle: the two of a pair write the same, one more and one less."""
_Lever = Callable[[float], Changes]


@dataclass(frozen=True, slots=True, kw_only=True)
class Variable:
    """One thing that may change: its kind, the name in the sheet it belongs to, and its ends [SI].

    One that is chosen among several has them named, and counts from 0: its numbers say which, and no more.
    """

    kind: str
    name: str
    low: float
    high: float
    choices: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        """Refuse kinds there are not, ends the wrong way round, and a choice without choices."""
        if self.kind not in STEPS:
            raise OutsideRange(f"{self.kind!r} cannot be varied: accepted are {', '.join(STEPS)}")
        if (self.kind in CHOICES) != bool(self.choices) or len(set(self.choices)) < len(self.choices):
            raise OutsideRange(f"{self.kind} {self.name}: {self.choices} to choose from, each once")
        if not 0.0 <= self.low < self.high < float("inf"):
            raise OutsideRange(f"{self.kind} {self.name}: from {self.low} to {self.high}; low end first")

    @property
    def told(self) -> str:
        """Kind and name."""
        return f"{self.kind} {self.name}".strip()

    def at(self, value: float) -> float | str:
        """Value at a point: a number [SI], or what was chosen."""
        return self.choices[round(value)] if self.choices else value

    @property
    def is_choice(self) -> bool:
        """True where values are no sizes: one is as far from another as from any."""
        return bool(self.choices)

    @property
    def ends(self) -> tuple[float, float]:
        """Ends that a search draws between: every choice as wide as the others."""
        return (self.low - 0.5, self.high + 0.5) if self.is_choice else (self.low, self.high)

    def rounded(self, value: float) -> float:
        """Nearest step inside the ends."""
        step = STEPS[self.kind]
        return min(max(round(value / step) * step, self.low), self.high)


def choosing(kind: str, name: str, choices: Sequence[str]) -> Variable:
    """Let a search choose among several things.

    Raises
    ------
    OutsideRange
        If there are fewer than two, or one of them twice.

    Examples
    --------
    >>> choosing("thread", "rods", ["M6", "M8"]).ends
    (-0.5, 1.5)
    """
    if len(choices) < 2:
        raise OutsideRange(f"{kind} {name}: {len(choices)} to choose from: two or more are a choice")
    return Variable(kind=kind, name=name, low=0.0, high=len(choices) - 1.0, choices=tuple(choices))


def changing(vehicle: LoadedVehicle, variables: Sequence[Variable]) -> Callable[[Sequence[float]], Changes]:
    """Return what writes a point of the search as changes to the sheet.

    Raises
    ------
    MissingData
        If the sheet has nothing of a variable's name.
    OutsideRange
        If two variables change the same thing.
    """
    levers = tuple(_lever(vehicle, variable) for variable in variables)
    _refuse_the_same(variables, [set(pull(one.low)) for pull, one in zip(levers, variables, strict=True)])

    def written(values: Sequence[float]) -> Changes:
        changes: dict[KeyPath, Value] = {}
        for lever, variable, value in zip(levers, variables, values, strict=True):
            changes |= lever(variable.rounded(value))
        return changes

    return written


def _lever(vehicle: LoadedVehicle, variable: Variable) -> _Lever:
    sheet, kind, name = vehicle.sheet, variable.kind, variable.name
    if variable.is_choice:
        return lambda value: CHOICES[kind](sheet, name, variable.choices[round(value)])
    if kind in LEVERS:
        return lambda value: LEVERS[kind](sheet, name, value)
    return _pull(vehicle, kind, name)


def _pull(vehicle: LoadedVehicle, kind: str, name: str) -> _Lever:
    there = {one.name: one.changes for one in pulls_of(vehicle) if one.kind in _PULLS[kind]}
    if name not in there:
        listed = ", ".join(f'"{one}"' for one in there) or "none"
        raise MissingData(f'the sheet has no {kind} "{name}" to change: it has {listed}', list(there))
    return there[name]


def _refuse_the_same(variables: Sequence[Variable], places: Sequence[set[KeyPath]]) -> None:
    for (one, first), (other, second) in combinations(zip(variables, places, strict=True), 2):
        if first & second:
            raise OutsideRange(f"{one.told} and {other.told} change the same thing: vary one of them")
