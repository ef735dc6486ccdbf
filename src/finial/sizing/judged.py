"""What a design comes to, and what is sought of it."""

from dataclasses import dataclass
from enum import StrEnum


class Aim(StrEnum):
    """What a search seeks among the designs that go."""

    LIGHTEST = "lightest"
    HIGHEST = "highest"


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """Mass at lift-off, apogee, and what is missing to a go."""

    mass_kg: float
    missing: float
    """Sum over all checks of what is missing to their limits, as shares of them; 0 when nothing is."""
    is_go: bool
    """The whole verdict is go, or go with cautions."""
    apogee_m: float = 0.0
    """Above ground, in the middle of what is uncertain; 0 where it cannot be flown."""
    odds: float | None = None
    """Least share of its flights that come down as meant; ``None`` where it was not flown for them."""


def aimed(judged: Judged, aim: Aim) -> float:
    """Return what the search makes as small as it can: mass [kg], or the apogee with its sign turned [m].

    Examples
    --------
    >>> aimed(Judged(mass_kg=9.0, missing=0.0, is_go=True, apogee_m=500.0), Aim.HIGHEST)
    -500.0
    """
    return judged.mass_kg if aim is Aim.LIGHTEST else -judged.apogee_m
