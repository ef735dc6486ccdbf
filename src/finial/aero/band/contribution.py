"""A reason why the band of the centre of pressure has width."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Contribution:
    """One reason why the band has width, with all others at their central guess."""

    name: str
    forward_m: float
    """How far it may move the centre of pressure towards the tip [m]."""
    aft_m: float
    step_m: float | None = None
    """Station of the step that is the reason [m]; ``None`` for another reason."""
    gathered: int = 0
    """How many small reasons this one stands for; 0 where it stands for itself."""
