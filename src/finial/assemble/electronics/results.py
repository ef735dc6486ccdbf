"""What the electronics come to."""

from dataclasses import dataclass

from finial.core.estimates import Estimate
from finial.electronics.paths import FiringPath
from finial.electronics.wiring import FailingPart


@dataclass(frozen=True, slots=True, kw_only=True)
class PathPower:
    """One firing path: the current through its igniter, and what that leaves for its computer."""

    path: FiringPath
    current: Estimate
    all_fire_a: float | None
    """``None`` where the sheet does not give it."""
    voltage: Estimate
    """Left for the computer while it fires [V]."""
    least_v: Estimate
    """Voltage below which it resets [V]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ContinuityCheck:
    """What a computer passes through a live igniter to tell that it is there."""

    igniter: str
    computer: str
    current: Estimate | None
    no_fire_a: float | None
    all_fire_a: float | None = None
    """All ``None`` where the sheet does not give them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ArmingOdds:
    """Both directions of one computer's arming, side by side."""

    computer: str
    switches: tuple[tuple[str, ...], ...]
    """Groups in series, in parallel within a group; empty where nothing arms it."""
    no_arming: Estimate
    """Odds that it gets no power when armed [-]."""
    unasked: Estimate
    """Odds that it is live with people beside it [-]; 1 without a switch."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CutSet:
    """Parts whose failure together keeps a canopy in; a part without a name stands for all of its kind."""

    parts: tuple[FailingPart, ...]
    odds: Estimate


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubling:
    """What a second part beside one would do to the odds of losing a canopy."""

    part: FailingPart
    ratio: float
    """Odds after over odds before [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CanopyOdds:
    """One canopy: the odds that it does not come out or does not hold, and what they are made of."""

    canopy: str
    loss: Estimate
    cuts: tuple[CutSet, ...]
    """Minimal cut sets, likeliest first."""
    doublings: tuple[Doubling, ...]
    """What helps most first."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SinglePoint:
    """A part whose failure alone keeps canopies in."""

    part: FailingPart
    canopies: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ElectronicsResult:
    """Firing paths, continuity checks, pad time, odds, and what would fail alone."""

    computers: int
    """How many there are: two promise that one may fail."""
    paths: tuple[PathPower, ...]
    checks: tuple[ContinuityCheck, ...]
    """One for each igniter."""
    pad_times: tuple[tuple[str, Estimate | None], ...]
    """Battery name and time it lasts on the pad [s]; ``None`` where the sheet lacks a number."""
    arming: tuple[ArmingOdds, ...]
    odds: tuple[CanopyOdds, ...]
    single_points: tuple[SinglePoint, ...]
    off_event: tuple[str, ...] = ()
    """Canopies that have a firing path, but none at the event they are meant for."""
    without_path: tuple[str, ...] = ()
    """Canopies that nothing fires out."""
    unfired: tuple[str, ...] = ()
    """Charges that no igniter stands in."""
    idle: tuple[str, ...] = ()
    """Computers that fire nothing."""
    cells_k: Estimate | None = None
    """Temperature of the batteries after the wait in the sun [K]."""
    batteries: tuple[str, ...] = ()
