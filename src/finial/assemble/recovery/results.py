"""Everything between apogee and the ground, by closed forms."""

from dataclasses import dataclass
from enum import StrEnum

from finial.core.estimates import Estimate
from finial.recovery.packs.packing import Fit


@dataclass(frozen=True, slots=True, kw_only=True)
class CanopyResult:
    """One canopy: how it comes down and how hard it opens."""

    name: str
    drag_area: Estimate
    descent_speed: Estimate
    opening_speed_m_s: float
    opening_load: Estimate


class PullKind(StrEnum):
    """What may part a joint before its charge."""

    DRAG = "drag"
    """Drag and inertia just after burnout."""
    SPRINGBACK = "springback"
    """The squeezed body springs back when the thrust stops."""
    OPENING = "opening"
    """Another canopy opens."""
    TRAPPED_AIR = "trapped-air"


@dataclass(frozen=True, slots=True, kw_only=True)
class EarlyPull:
    """One thing that tries to part a joint before its charge."""

    kind: PullKind
    canopy: str = ""
    """Which canopy, where one opens."""
    force: Estimate


@dataclass(frozen=True, slots=True, kw_only=True)
class ChargeResult:
    """One charge: what it makes in its bay and what the bay needs."""

    name: str
    bay: str
    powder: Estimate | None
    needed_powder: Estimate
    pressure: Estimate | None
    force_on_joint: Estimate | None
    pins_hold: Estimate | None
    """Force that breaks the pins [N]; ``None`` without pins."""
    resistance: Estimate
    """What the charge must overcome: pins and friction of the joint [N]."""
    early_load: Estimate
    """What pulls at the joint before the charge: the worst of the pulls, and trapped air [N]."""
    backup_of: str = ""
    """Charge that this one stands in for; empty for a first charge."""
    joint: str = ""
    """Joint that the bay opens at."""
    screw: str = ""
    """Screw of its pins; empty without pins."""
    pins: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class CordResult:
    """One cord: peak load against what its knots leave of it."""

    name: str
    peak_load: Estimate
    strength: Estimate


class LandingPiece(StrEnum):
    """What touches the ground."""

    WHOLE = "whole"
    HEAVIEST = "heaviest-piece"
    """Of those that come down on one cord."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LandingRow:
    """Energy of one piece at the ground: by its fall alone, and with the wind."""

    piece: LandingPiece
    mass_kg: float
    fall: Estimate
    with_wind: Estimate


class PackDoubtKind(StrEnum):
    """What may keep a pack in its bay."""

    NARROW_MOUTH = "narrow-mouth"
    SLENDER_BAY = "slender-bay"
    NO_PROTECTOR = "no-protector"
    SHORT_INSIDE = "short-inside"
    """Little of the cord runs from the bay to the canopy's knot."""
    CORD_NOT_WEIGHED = "cord-not-weighed"
    NO_CORD = "no-cord"


@dataclass(frozen=True, slots=True, kw_only=True)
class PackDoubt:
    """One thing that may keep a pack in."""

    kind: PackDoubtKind
    name: str = ""
    """Cord or canopy that it is about."""
    number: float = 0.0
    """Mouth [m], length over diameter [-], or length inside [m], as the kind has it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PackStudy:
    """One bay: what lies in it, and whether it can leave."""

    bay: str
    contents_kg: float
    density: Estimate
    fit: Fit
    comes_out: bool
    """False when it is pressed, or must squeeze through the mouth."""
    room_m: float
    """Length the bay would need for a pack made by hand [m]."""
    length_m: float
    doubts: tuple[PackDoubt, ...]
    friction: Estimate | None = None
    """Force that holds it in [N]; ``None`` if nothing in it has mass."""
    mouth_share: float = 1.0
    """Narrowest place on the way out over the pack's diameter [-]; 1 where it is as wide."""


@dataclass(frozen=True, slots=True, kw_only=True)
class EarlyOpening:
    """A canopy told to open at a height that the flight never reaches: it opens at the top."""

    canopy: str
    height_m: float
    top_m: Estimate


@dataclass(frozen=True, slots=True, kw_only=True)
class OtherOpening:
    """A canopy let out by a charge whose moment is not the canopy's own, as if the others had failed."""

    canopy: str
    charge: str
    after: Estimate | None
    """From the canopy's own moment to the charge's [s]; ``None`` where a flight misses one of them."""
    height_agl: Estimate | None
    """Height at which it stands open [m]; ``None`` where it is not open before the ground in some flight."""
    opening_load: Estimate


@dataclass(frozen=True, slots=True, kw_only=True)
class RecoveryResult:
    """Everything between apogee and the ground."""

    canopies: tuple[CanopyResult, ...]
    charges: tuple[ChargeResult, ...]
    cords: tuple[CordResult, ...]
    landing_speed: Estimate | None
    landing_energy: Estimate | None
    descent_mass_kg: float
    ground_speed: Estimate | None = None
    """Speed over the ground at touchdown, falling and carried by the wind [m/s]."""
    landings: tuple[LandingRow, ...] = ()
    packs: tuple[PackStudy, ...] = ()
    """What lies in each bay that has a canopy."""
    early: tuple[EarlyOpening, ...] = ()
    others: tuple[OtherOpening, ...] = ()
    """Canopies let out at another moment than their own, by a backup or by mistake."""
    tumbling_speed: Estimate | None = None
    """Steady fall of the parted pieces before any canopy [m/s]; ``None`` where one opens at the top."""
