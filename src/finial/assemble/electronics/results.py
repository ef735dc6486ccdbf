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
    fires_in_s: tuple[float, float] | None = None
    """How long the igniter draws before it fires [s]; ``None`` where its kind is not entered."""
    energy_j: float | None = None
    """What that puts into it [J]; ``None`` likewise."""


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
    fires_near: Estimate | None
    """Odds that a charge of its bay fires with people near [-]; ``None`` where no igniter stands in one."""
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
class PortStudy:
    """One set of static ports; all ``None`` where the sheet does not describe them."""

    port: str
    computers: tuple[str, ...]
    holes: int | None = None
    area: Estimate | None = None
    """Of all its holes [m^2]."""
    least_area_m2: float | None = None
    """By the trade's rule for the bay behind them [m^2]."""
    air: Estimate | None = None
    """Air behind them, as the sheet says [m^3]."""
    room_m3: float | None = None
    """Most that the drawn room between the nearest bulkheads holds [m^3]."""
    uneven: float | None = None
    """How far its holes fail to average the wind out: 0 for three equal ones evenly round [-]."""
    clear: float | None = None
    """Distance from the nearest ledge over what that spoils [-]."""
    coefficient: Estimate | None = None
    """Pressure coefficient there in straight flow [-]."""
    from_tunnel: bool = False
    """Whether that was read off the surface in the tunnel, and not worked out from the sections."""
    lag_m: float | None = None
    """How far the barometer lags at the fastest climb [m]."""
    early_fall: Estimate | None = None
    """How far its reading falls before the top, at most [m]."""
    opens_into: str = ""
    """Bay whose stations it lies at without a sled beside it there; empty where it does not."""
    is_shut: bool = False
    """Whether no room of any sled goes on to its station: print or a motor's tube fills it there."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FiredHeight:
    """Where the vehicle really is when a computer reads the height it was set to."""

    igniter: str
    computer: str
    set_m: float
    true: Estimate | None
    """Height above ground [m]; ``None`` without ports, or where a flight never falls through it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstMotion:
    """When a computer takes the flight for begun."""

    computer: str
    height: Estimate
    """Height above the pad [m]."""
    gust_m: float
    """What a gust on the pad may look like [m]."""
    lowest_top_m: float
    """Top of the lowest of the flights [m]."""
    felt: bool = False
    """Whether its accelerometer finds lift-off too."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FeltLiftOff:
    """An accelerometer that takes the flight for begun, beside what flights and hands do to it."""

    computer: str
    held_level: Estimate
    """What it shows for as long as asked without a break, over flights and its errors [m/s^2]."""
    asked_m_s2: float
    """What it must show [m/s^2]."""
    over: Estimate
    """What it must really feel: its offset may lower or raise that [m/s^2]."""
    held: Estimate
    """How long it must be exceeded without a break [s]."""
    longest_knock_s: float
    """How long a knock on the pad may hold it over the threshold; infinity where standing still does [s]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BackupTimer:
    """An igniter fired by the clock, beside the tops of all flights."""

    igniter: str
    set_s: float
    fires: Estimate
    """When it fires after lift-off: as late as the computer sees that, and its own tolerance [s]."""
    after_top: Estimate
    """When it fires after the top, before it below zero [s]."""
    earliest_top_s: float
    """After lift-off [s]."""
    latest_top_s: float
    campaign: int = 0
    """Flights of a campaign that the tops are of; 0 where they are of the flight and its corners."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FeltRange:
    """The largest acceleration along a computer's accelerometer, and what it reads at most."""

    computer: str
    felt: Estimate
    """Of the flights, its axis leaning as it may [m/s^2]."""
    range_m_s2: float
    decides: bool
    """Whether the computer takes the top from it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SensedTop:
    """When a computer that fires something at the top takes it for reached."""

    computer: str
    port: str
    """What its barometer senses through; empty where it does not decide."""
    canopies: tuple[str, ...]
    """What it brings out at the top."""
    after_top: Estimate | None
    """After the true top, before it below zero [s]; ``None`` where the sheet does not describe its ports."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NearMach:
    """Whether a computer leaves its barometer aside near the speed of sound; ``None`` where unsaid."""

    computer: str
    locked_out: bool | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Sensing:
    """What the computers of a vehicle sense."""

    ports: tuple[PortStudy, ...] = ()
    """Every name that a computer gives as its port."""
    fired: tuple[FiredHeight, ...] = ()
    first_motion: tuple[FirstMotion, ...] = ()
    felt_lift_off: tuple[FeltLiftOff, ...] = ()
    """Of the computers whose accelerometer finds it."""
    timers: tuple[BackupTimer, ...] = ()
    leaves_s: tuple[float, float] = (0.0, 0.0)
    """From ignition to lift-off, the soonest and the latest of the flights [s]."""
    near_mach: tuple[NearMach, ...] = ()
    felt: tuple[FeltRange, ...] = ()
    """Of the computers that have an accelerometer."""
    tops: tuple[SensedTop, ...] = ()
    """Of the computers that fire something at the top."""
    fastest_mach: float = 0.0
    """Of any of the flights [-]."""

    @property
    def lowest_top_m(self) -> float | None:
        """Lowest top of the flights above the pad [m]; ``None`` without a computer."""
        return max((one.lowest_top_m for one in self.first_motion), default=None)


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
    fires_near: Estimate | None = None
    """Odds that any charge fires with people near [-]; ``None`` without an igniter."""
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
    sensing: Sensing = Sensing()
