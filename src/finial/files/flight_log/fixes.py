"""Places of a track as its file tells them."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class TrackFix:
    """One place at one time."""

    line: int
    time_s: float
    """From any zero: midnight or an epoch."""
    latitude_deg: float
    longitude_deg: float
    height_asl_m: float
    """Above the sea; not a number where none is told."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fixes:
    """All places of one file, in its order."""

    fixes: tuple[TrackFix, ...]
    odd: tuple[int, ...] = ()
    """Lines left out because they could not be read."""
