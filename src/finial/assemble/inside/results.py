"""The inside, as findings, pictures and reports take it."""

from dataclasses import dataclass
from enum import StrEnum

from finial.core.estimates import Estimate
from finial.inside.cavity import Cavity
from finial.inside.order import WayIn
from finial.inside.rail import ButtonFoot, RailLine
from finial.inside.things import Thing


class Size(StrEnum):
    """What the sheet left open and was taken as usual, or worked out."""

    ACROSS = "across"
    LENGTH = "length"
    ROOM = "room"
    """Both, from mass and density."""
    BORE = "bore"
    RAIL = "rail from axis"
    RAIL_WIDTH = "rail width"
    BUTTON = "button across"
    SCREW = "button screw"
    ROOT = "fixing depth"


class WayOccasion(StrEnum):
    """When something must find its way."""

    LOADING = "loading"
    """A motor, on the field."""
    LEAVING = "leaving"
    """A canopy, out of its bay."""
    REACHING = "reaching"
    """A sled, to arm it and to change its batteries."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Taken:
    """A size that the sheet does not give."""

    thing: str
    size: Size
    value: Estimate
    """What was taken [m]; the room of a thing [m^3] where its size came from mass and density."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Meeting:
    """Two things near or in one another, or a thing and a printed part."""

    first: str
    second: str
    """A thing, or a part."""
    gap: Estimate
    """Free room between them [m]; negative where they take the same room."""
    station_m: float
    with_part: bool
    outside: bool = False
    """True where a thing leaves the skin."""
    allowed_m: float = 0.0
    """How far they may take the same room: pressed in on purpose, and what print gives way by [m]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WayOut:
    """Way of a thing through an opening that is open at that time."""

    thing: str
    occasion: WayOccasion
    gap: Estimate | None
    """Least room round it on the way [m]; ``None`` where there is no opening."""
    opening: str
    """Joint or part at whose end the opening is; empty for the base."""
    opening_m: float
    blocker: str
    station_m: float
    needed_m: float = 0.0
    """Least width of the way that lets it through [m]; 0 where it does not give way."""
    width_m: float = 0.0
    """Width of the way where it is narrowest [m]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BayRoom:
    """Room of a bay, empty and with what lies in it."""

    bay: str
    empty: Estimate
    free: Estimate | None
    """What the gas can fill [m^3]; ``None`` where the contents do not go in at all."""
    said: Estimate | None
    """What the sheet says of it [m^3]."""
    mouth_m: float
    """Narrowest diameter that the sheet says is on the way out [m]."""
    beside: tuple[tuple[str, float], ...] = ()
    """Canopies whose station lies outside the bay, and by how far [m]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WallCheck:
    """Wall of a hollow part: as drawn, and as the sheet says it is printed."""

    part: str
    drawn: Estimate
    said_m: float
    station_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class RootCheck:
    """Root of a fin set on the skin."""

    fins: str
    gap: Estimate
    station_m: float
    holds_m: float
    """How far off the skin its fixing still reaches [m]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class GuideCheck:
    """Rail and buttons beside the vehicle."""

    rail: RailLine
    body: Estimate
    """Room between rail and body [m]."""
    body_station_m: float
    fins: Estimate | None
    """Room between rail and fins, sideways [m]; ``None`` where no fin comes near."""
    fins_name: str
    roots: Estimate | None
    """Room between the buttons and fin roots [m]."""
    roots_name: str
    roots_station_m: float
    spacing_m: float
    fore_m: float
    """Stations of the foremost and the aftmost button [m]."""
    aft_m: float
    balance: Estimate
    """Balance point at lift-off [m]."""
    button_share: Estimate | None = None
    """Diameter of a button over the width of the rail [-]; ``None`` where the sheet gives neither."""
    in_the_air_m: tuple[float, ...]
    """Stations of the buttons with no skin behind them [m]."""
    across_m: float
    """Diameter of a button [m]."""
    foot: ButtonFoot | None
    """The button with the most uneven skin under it; ``None`` where none has skin."""
    reach: Estimate | None
    """How deep the shortest button reaches behind the rail's face [m]; ``None`` where nobody says."""


@dataclass(frozen=True, slots=True, kw_only=True)
class JointCheck:
    """Whether a joint can part at all."""

    joint: str
    station_m: float
    off: Estimate
    """Distance from its station to the nearest end of a part [m]."""
    glued: bool
    """Whether the parts on both sides are glued to one another."""
    ties: tuple[str, ...]
    """Rods that run through it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MotorHold:
    """How a motor stands in its tube and on its thrust plate."""

    motor: str
    station_m: float
    """Station of its middle [m]."""
    held: Estimate | None
    """Share of its length that its tube holds [-]; ``None`` without a tube."""
    play: Estimate
    """How much wider the tube is than the motor [m]."""
    lean_rad: float
    """How far the motor may lean in it [rad]."""
    slips: Estimate | None
    """How much wider the hole of the thrust plate is than the motor [m]; ``None`` without a plate."""
    off_plate: Estimate | None = None
    """From a thrust plate's aft face back to the end of the motor that pushes on it [m]: its aft end where it
    goes through, its fore end where it does not; ``None`` where no plate has a station."""
    room: Estimate | None = None
    """Longest motor that the sheet says there is room for [m]; ``None`` where it does not say."""
    run_m: float = 0.0
    """From its aft end to what stands next ahead of it, or to the tip [m]."""
    ahead: str = ""
    """What stands there; empty where nothing does."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BayEnd:
    """One end of a bay in which a charge burns."""

    bay: str
    station_m: float
    open_share: Estimate
    """Share of the bay's cross-section that nothing closes there [-]."""
    plate: str
    """The plate across it that takes the push of the charge; empty where print alone does."""
    motor: str = ""
    """The motor that the charge pushes on, where no plate stands before it."""
    motor_across_m: float = 0.0
    """Its diameter [m]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TubeCover:
    """A tube among the items that is the wall of a bay."""

    bay: str
    tube: str
    station_m: float
    share: Estimate
    """Share of the bay's length that the tube covers [-]."""
    wall: Estimate | None = None
    """Wall that the bay is said to have over that of the tube [-]; ``None`` where the bay says none."""
    stuffs: tuple[str, ...] = ()
    """What bay and tubes are said to be made of, each once."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ItemDensity:
    """An item whose size and mass are both in the sheet."""

    item: str
    station_m: float
    found: Estimate
    """Its mass over its room [kg/m^3]."""
    usual: Estimate
    """What its material, or its kind, weighs [kg/m^3]."""
    named: bool
    """Whether the sheet names its material or density."""
    heaviest: Estimate
    """What it weighs at most [kg/m^3]: as its kind does, where an eye of its own stands in it."""
    alone: bool = True
    """Whether nothing stands in it that is not of its material."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Elsewhere:
    """An item whose station lies outside the thing that it is said to be."""

    item: str
    room_of: str
    station_m: float
    off_m: float
    """Distance from the nearer end of that thing [m]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Loose:
    """A thing of which the sheet does not say what holds it: only what it touches may."""

    thing: str
    station_m: float
    gap: Estimate | None
    """Room to the nearest that could hold it [m]; ``None`` where nothing is within 10 mm."""
    beside: str
    """What that is; empty where there is nothing."""
    out_of_reach: bool = False
    """True where the sheet names what holds it, and that stands out of reach."""
    glued: bool = False
    """True where the sheet says that glue holds it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fittings:
    """What holds, closes and weighs."""

    motors: tuple[MotorHold, ...]
    bay_ends: tuple[BayEnd, ...]
    tubes: tuple[TubeCover, ...]
    densities: tuple[ItemDensity, ...]
    elsewhere: tuple[Elsewhere, ...]
    tubes_unweighed: tuple[str, ...] = ()
    """Tubes of motors for which no item weighs."""
    bays_untubed: tuple[str, ...] = ()
    """Bays whose wall is of no part's material, and no tube among the items."""
    standoff: Estimate | None
    """From the skin under a button to the rail's face, the longer [m]; ``None`` where nobody says."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BuriedNut:
    """A nut that stands in print all round."""

    rods: str
    part: str
    station_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class InsideResult:
    """Everything inside, where it is, and what it meets."""

    cavity: Cavity
    width_m: float
    """Width of the vehicle: diameter of a circle of its largest section [m]."""
    things: tuple[Thing, ...]
    taken: tuple[Taken, ...]
    meetings: tuple[Meeting, ...]
    """Everything nearer than a few millimetres, nearest first."""
    ways_in: tuple[WayIn, ...]
    ways_out: tuple[WayOut, ...]
    bays: tuple[BayRoom, ...]
    walls: tuple[WallCheck, ...]
    roots: tuple[RootCheck, ...]
    guide: GuideCheck | None
    joints: tuple[JointCheck, ...]
    spread_share: float
    """Share of the mass that is small pieces without a place of their own [-]."""
    electronics_placed: bool
    plate_placed: bool
    """Whether the thrust plate has a station, where there is one."""
    """Whether there are as many sleds as the computers of the sheet name, where it has any."""
    doubts: tuple[str, ...]
    """Parts whose cuts do not close: taken as full."""
    loose: tuple[Loose, ...]
    """What only its neighbours can hold."""
    buried: tuple[BuriedNut, ...] = ()
    """Nuts that nobody can put where they are said to be."""
    fittings: Fittings
    """What holds motors, closes bays, and what items weigh for their size."""
