"""What a design comes to."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """Mass at lift-off, and what is missing to a go."""

    mass_kg: float
    missing: float
    """Sum over all checks of what is missing to their limits, as shares of them; 0 when nothing is."""
    is_go: bool
    """The whole verdict is go, or go with cautions."""
