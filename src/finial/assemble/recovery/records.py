"""What the closer look at the recovery hands to the findings, the report and the pictures."""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from finial.assemble.recovery.results import EarlyPull, PackStudy
from finial.core.estimates import Estimate
from finial.electronics.wiring import Moment
from finial.flight.trace import EventKind
from finial.recovery.canopies.inflation import InflationHistory
from finial.recovery.charges.burst import BurstHistory
from finial.recovery.tether.outcome import EndPull
from finial.recovery.tether.scene import Piece, TetherLine


@dataclass(frozen=True, slots=True, kw_only=True)
class CanopyStudy:
    """One canopy: how it comes down, swings and opens, twice computed."""

    name: str
    kind: str
    drag_area: Estimate
    descent_speed: Estimate
    drop_height: Estimate
    """Height to drop the vehicle from, to see what it stands [m]."""
    swing_rad: tuple[float, float]
    reefing: str
    filling_time: Estimate
    closed_form: Estimate
    """Peak load by filling time [N]."""
    coupled: Estimate
    """Peak load by the coupled equation [N]."""
    with_slider: Estimate
    """Peak load by the coupled equation if a slider held it [N]."""
    history: InflationHistory


class ExitWay(StrEnum):
    """What moves a pack out."""

    PULLED = "pulled-out"
    """By the cord."""
    PUSHED = "pushed-out"
    """By a charge behind it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ExitStudy:
    """One pack: what holds it in its bay, and what moves it out."""

    bay: str
    friction: Estimate
    """Force that holds it [N], assumed pressure on the wall."""
    pull: Estimate | None
    """Energy of the parting sides over the work of friction [-]; ``None`` without a cord."""
    push: Estimate | None
    """Push of the first charge over friction [-], if it lies behind the pack; ``None`` without a charge."""
    behind_told: bool
    """True where the sheet says that it does."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shot:
    """One firing: which charges, how well, and what it does."""

    charge: str
    """Charge that fires; empty where all of the bay fire in the same instant."""
    powder_kg: float
    closed_form_pa: Estimate
    peak: Estimate
    """Largest pressure [Pa] between the weak and the strong end of everything assumed."""
    speed: Estimate
    """Speed of parting [m/s]; 0 at the low end where the joint may stay shut."""
    opens: bool
    """True if the joint opens even at the weak end."""
    histories: tuple[BurstHistory, BurstHistory, BurstHistory]
    """Weak, central, strong."""


class ShotSaid(StrEnum):
    """What a shot on the ground changed."""

    HOLDS_AT_LEAST = "holds-at-least"
    """It did not open: the joint holds at least what the shot pushes."""
    HOLDS_AT_MOST = "holds-at-most"
    POWDER_SHARE = "powder-share"
    """Its speed says what share of the powder works."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ShotTold:
    """One shot on the ground."""

    said: ShotSaid
    powder_kg: float
    speed_m_s: float | None = None
    share: Estimate | None = None
    """Share of the powder that works [-], where its speed says so."""


class ShotPurpose(StrEnum):
    """Why a shot of the ground test is made."""

    AS_FLOWN = "as-flown"
    AGAIN = "again"
    LESS = "less"
    """Four fifths of the powder, to see what is to spare."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedShot:
    """One shot of the ground test."""

    purpose: ShotPurpose
    charge: str
    powder_kg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class BurstStudy:
    """One bay: its charges in time, and what bounds them."""

    bay: str
    shots: tuple[Shot, ...]
    wall_holds_pa: Estimate | None
    """Pressure at which the bay's wall yields [Pa]; ``None`` without wall or material."""
    joint_cap_n: float
    """Force beyond which the trade does not go on a joint [N]."""
    joint_peak_n: float
    """Largest force on the joint over all shots, at the strong end [N]."""
    by_height: tuple[tuple[float, float, float, float], ...]
    """Height [m], air [Pa], peak above it [Pa] and speed of parting [m/s] of the first charge."""
    loose_powder_ends_m: float
    """Height above which loose powder burns badly [m]."""
    tested: tuple[ShotTold, ...]
    """What each ground test changed."""
    plan: tuple[PlannedShot, ...]
    """Shots of the ground test."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OtherPins:
    """Fewest pins of one screw that hold what pulls, and whether the charge still breaks them."""

    screw: str
    count: int
    holds: Estimate
    breaks: bool | None
    """Weak end of the charge against strong pins and friction; ``None`` without a charge."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PinStudy:
    """One joint: what its pins hold, and everything that pulls at them."""

    bay: str
    joint: str
    screw: str
    """Empty without pins."""
    count: int
    holds: Estimate | None
    pulls: tuple[EarlyPull, ...]
    """Trapped air stands last."""
    sealed_n: float
    """Push of the trapped air if the bay had no vent at all [N]."""
    others: tuple[OtherPins, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class VentStudy:
    """One bay: its vent, and what a barometer behind it would read."""

    bay: str
    volume_m3: float
    vent_m2: float | None
    lag_pa: float | None
    lag_m: float | None
    rule_holes: tuple[tuple[int, float], ...]
    """Number and diameter [m] of holes by the trade's rule."""


class Happening(StrEnum):
    """What happens besides the events of the flight itself."""

    CHARGE = "charge"
    """A charge fires."""
    TUMBLES = "tumbles"
    """It parts without a canopy, and falls tumbling from here."""


class Barometer(StrEnum):
    """What a barometer makes of the moment."""

    RATE = "rate"
    STEADY = "steady"
    """The top or the ground."""
    SHOCKS = "shocks"
    """Shock waves over the port: not to be trusted."""


@dataclass(frozen=True, slots=True, kw_only=True)
class EventRow:
    """One line of the order of events."""

    time_s: float
    kind: EventKind | Happening
    name: str
    """Canopy or charge; empty where it is neither."""
    moment: Moment | None = None
    """When a charge fires by the sheet."""
    height_m: float
    speed_m_s: float
    pressure_rate_pa_s: float
    """What a barometer sees: change of the air pressure, positive on the way down [Pa/s]."""
    barometer: Barometer
    lag_m: float | None
    """How far it reads behind through its vent [m]; ``None`` where that does not matter."""
    felt_g: float
    """What an accelerometer feels before whatever the charge and the cord add, over gravity [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class JointPlace:
    """A joint and where it parts, as a share of the length [-]."""

    name: str
    share: float


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderStudy:
    """What happens when, and what kind of recovery that is."""

    events: int
    """Different events of first charges."""
    parts_bare: bool
    """True where the first event only breaks the body apart."""
    joints: tuple[JointPlace, ...]
    rows: tuple[EventRow, ...]
    burnout_s: float | None
    apogee_s: float | None
    top_mach: float
    backup_at_once: bool
    """True where a backup has the same event as its first charge, apogee."""
    no_delay: bool
    """True where no canopy takes any time to come out."""


class StartDoubt(StrEnum):
    """What about a start is moved to an end."""

    NONE = "none"
    SLOW = "parting-slow"
    FAST = "parting-fast"
    NOSE_UP = "nose-up"
    NOSE_DOWN = "nose-down"


class LipEdge(StrEnum):
    """Which edge of a tube a cord bears on."""

    NONE = "none"
    UPPER = "upper"
    LOWER = "lower"
    LEEWARD = "leeward"
    """Away from the drift."""
    WINDWARD = "windward"


@dataclass(frozen=True, slots=True, kw_only=True)
class PulledCase:
    """One separation followed in time: how it began and what it did."""

    doubt: StartDoubt
    offset_s: float
    """Event against its planned time [s]."""
    wind: str
    """Flight it starts from: ``day``, ``windy`` or ``calm``."""
    speed_m_s: float
    """Through the air at the event [m/s]."""
    across_m_s: float
    """Horizontal part of it [m/s]."""
    peak_n: float
    """Largest tension in the cord [N]."""
    snatch_n: float
    """Largest pull of the canopy's lines [N]."""
    lip_bend_rad: float
    """Bend of the cord over the lip where the lip has least to spare [rad]."""
    lip_tension_n: float
    """Tension at that moment [N]."""
    lip_edge: LipEdge
    margin_low: float | None
    """Least of lip strength over tension, less one, at the low end of the strength [-]."""
    margin: float | None
    """The same at the central strength."""
    on_fore: EndPull
    """Largest pulls of the cord on the fore side, along and across its axis."""
    on_aft: EndPull


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceMeeting:
    """Two pieces that come together again after the cord came taut."""

    offset_s: float
    """Of the case it happens in: event against its planned time [s]."""
    wind: str
    time_s: float
    closing_m_s: float


class RemedyKind(StrEnum):
    """What may be done against a cord that cuts its tube."""

    AS_BUILT = "as-built"
    ON_TIME = "on-time"
    LONGER_CORD = "longer-cord"
    SOFTER_CORD = "softer-cord"
    LESS_CHARGE = "less-charge"
    DROGUE = "drogue"
    SLIDER = "slider"
    RING = "ring"
    WIDE_WEBBING = "wide-webbing"


@dataclass(frozen=True, slots=True, kw_only=True)
class Remedy:
    """One thing to change against the zipper, tried on the worst events."""

    kind: RemedyKind
    size: float = 0.0
    """Length or width it then has [m], or stretch at break or speed of parting over what it is [-]."""
    margin: float | None
    """Least margin at the low end of the lip's strength over the events tried [-]."""
    peak_n: float


@dataclass(frozen=True, slots=True, kw_only=True)
class LipStudy:
    """The lip of a bay as it was taken."""

    material: str
    ring: bool
    wall_m: float
    edge_radius_m: float
    edge_as_cut: bool
    """True where nobody entered a radius."""
    layered: bool
    layers_across: bool
    bears_m: float
    """Width that the cord bears on [m]."""
    tested: bool
    holds_square: Estimate
    """Tension at which it starts to tear with the cord bent square [N]."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FollowedPieces:
    """How the pieces of one case move, in the plane of the flight and in axes that drift with the wind."""

    offset_s: float
    """Event against its planned time [s]."""
    wind: str
    times_s: NDArray[np.float64]
    """(n,) from the parting of the joint."""
    places_m: NDArray[np.float64]
    """(n, b, 2) of the balance points: along the ground, and up [m]."""
    angles_rad: NDArray[np.float64]
    """(n, b) of the axes above the horizontal [rad]."""
    tensions_n: NDArray[np.float64]
    """(n, k) of the lines [N]."""
    bends_rad: NDArray[np.float64]
    """(n,) by which the cord bends over the lip; 0 where it runs free [rad]."""
    lip_use: NDArray[np.float64] | None
    """(n,) pull over what the lip holds at its low end [-]; ``None`` where the lip is not known."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FollowedScene:
    """Pieces and lines of a separation, and how they move in the cases that tell the most."""

    pieces: tuple[Piece, ...]
    lines: tuple[TetherLine, ...]
    cases: tuple[FollowedPieces, ...]
    """On time in the day's wind, then the one that is hardest on the lip, where it is another."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TetherStudy:
    """One cord: its pull over time, and whether it cuts the tube."""

    cord: str
    joint: str
    strength: Estimate
    rated_over_weight: float
    """Breaking load without knots over the weight that comes down [-]."""
    length_over_vehicle: float
    closed_form: Estimate
    """Peak load by the energy of two bodies [N]."""
    parting_m_s: Estimate
    times_s: NDArray[np.float64]
    tensions_n: NDArray[np.float64]
    """(k, n) of the nominal case: cord from the bay, cord from the other side, the canopy's lines."""
    canopy: str
    """Canopy that comes out with it; empty where there is none."""
    cases: tuple[PulledCase, ...]
    """By event time, from 3 s early to 5 s late, in each wind."""
    spread: tuple[PulledCase, ...]
    """On time in the day's wind, with the speed of parting and the attitude at their ends."""
    by_speed: tuple[PulledCase, ...]
    """By horizontal speed at apogee."""
    meeting: PieceMeeting | None
    lip: LipStudy | None
    """``None`` where wall or material are not known."""
    remedies: tuple[Remedy, ...]
    """Best first; the build as it stands among them."""
    hangs: bool
    """True under an earlier canopy: how it lies is assumed, and the event's time does not matter."""
    width_assumed: bool
    """True where nobody knows how wide the cord bears."""
    may_part: bool
    """True where the quick look's own peak may break it."""
    followed: FollowedScene | None = None
    """``None`` where nobody kept how the pieces move."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RecoveryStudy:
    """Everything that ``finial recovery`` prints."""

    canopies: tuple[CanopyStudy, ...]
    packs: tuple[PackStudy, ...]
    bursts: tuple[BurstStudy, ...]
    pins: tuple[PinStudy, ...]
    vents: tuple[VentStudy, ...]
    order: OrderStudy
    tethers: tuple[TetherStudy, ...]
    exits: tuple[ExitStudy, ...] = ()
    late_s: float = 1.0
    """How late an event may come and still count as on time [s]."""
    unopened_distance: Estimate | None = None
    """From the pad to where it comes down with nothing let out, in the winds of the day [m]; ``None`` where
    such a flight was not followed to the ground."""
