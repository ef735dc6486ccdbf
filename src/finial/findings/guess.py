"""A guess: what is not known well, and how far that moves the worst margin."""

from dataclasses import dataclass
from enum import Enum

from finial.core.estimates import Estimate, KnownBy


class GuessKind(Enum):
    """What is guessed, and so what settles it."""

    MASS = "mass"
    """What a thing weighs."""
    PLACE = "place"
    """Where a weighed thing sits."""
    STEP = "step"
    """Whether the air follows behind a step."""
    AIR = "air"
    """What the air loads leave open otherwise."""
    WIND = "wind"
    """The wind of the day."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Guess:
    """A guess, and how far the verdict's worst margin moves over its interval. SI units."""

    kind: GuessKind
    name: str = ""
    known_by: KnownBy = KnownBy.ASSUMED
    mass: Estimate | None = None
    station: Estimate | None = None
    reach_m: tuple[float, float] | None = None
    """How far it may move the centre of pressure towards the tip, and aft [m]."""
    step_m: float | None = None
    """Station of the step [m]."""
    gathered: int = 0
    """How many small reasons it stands for; 0 where it stands for itself."""
    wind: Estimate | None = None
    """The wind at 10 m that the sheet gives [m/s]."""
    moves_m: float
    """How far it moves the worst margin, or the landing point [m]."""
    weight: float
    """For ranking: movement of the margin over the margin itself [-]."""
