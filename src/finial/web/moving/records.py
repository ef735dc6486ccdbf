"""What the page moves, in the builder's units, and tables of the same."""

from dataclasses import dataclass

from finial.report.document import Table
from finial.web.looks import LookState

Point = tuple[float, float, float]
"""East, north, up."""
Line = list[float]


@dataclass(frozen=True, slots=True, kw_only=True)
class PathEvent:
    """Something that happened on the way."""

    name: str
    time_s: float
    at: Point
    axis: Point | None
    """Where the nose points; null under a canopy, where nobody computes it."""
    says: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WindArrow:
    """Wind at one height, and where it blows to."""

    height: float
    east: float
    north: float
    says: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FlightPath:
    """The nominal flight in space, above the pad."""

    unit: str
    times_s: Line
    points: list[Point]
    axes: list[Point | None]
    events: tuple[PathEvent, ...]
    wind: tuple[WindArrow, ...]
    says: str
    table: Table


@dataclass(frozen=True, slots=True, kw_only=True)
class MovedPiece:
    """A piece as a box about its balance point; a point where it has no length."""

    name: str
    fore: float
    aft: float
    radius: float


@dataclass(frozen=True, slots=True, kw_only=True)
class MovedLine:
    """A line between two pieces, and where it is tied along each."""

    name: str
    ends: tuple[int, int]
    ties: tuple[float, float]
    length: float
    mouth: float | None
    """Where it leaves its tube, along the first piece; null where it is tied outside."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MovedCase:
    """One separation: lists over time, and in them over pieces or lines."""

    name: str
    says: str
    times_s: Line
    along: list[Line]
    up: list[Line]
    angles_rad: list[Line]
    tensions: list[Line]
    bends_deg: Line
    lip_use: Line | None
    """Pull over what the lip holds; null where nobody knows the lip."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MovedSeparation:
    """One joint that parts: its pieces, its lines, and two cases."""

    title: str
    unit: str
    force_unit: str
    pieces: tuple[MovedPiece, ...]
    lines: tuple[MovedLine, ...]
    cases: tuple[MovedCase, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class FinMode:
    """One motion: how far each corner of the net swings out, the largest being one."""

    name: str
    says: str
    out: list[Line]
    quarter: list[Line] | None
    """The same a quarter of a swing before; null where every corner passes the middle at once."""
    runs_away: bool
    """It does not swing, but twists away further and further."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MovedFin:
    """One fin as a net of corners, from root to tip and from its leading to its trailing edge."""

    name: str
    unit: str
    along: list[Line]
    outward: list[Line]
    modes: tuple[FinMode, ...]
    says: str
    table: Table


@dataclass(frozen=True, slots=True, kw_only=True)
class PageMoving:
    """Everything that moves, of what is tried; separations and fins come with its whole look alone."""

    look: LookState
    fault: str
    """Why the whole look ended early; empty otherwise."""
    path: FlightPath
    separations: tuple[MovedSeparation, ...]
    fins: tuple[MovedFin, ...]
