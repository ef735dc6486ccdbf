"""The print plan as records: pieces, joints, what was taken, what cannot be helped."""

from dataclasses import dataclass
from enum import StrEnum

from finial.assemble.prints.holes import PrintedHole
from finial.printing.cuts import Barred
from finial.printing.effort import Effort, Learned, Printer
from finial.printing.joints import JointKind
from finial.printing.numbers import Marking
from finial.printing.sound import Sound
from finial.printing.turns import Lying
from finial.shape.mesh import Mesh
from finial.structure.loads.case import Case
from finial.structure.reserves import FailureMode


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PlannedPiece:
    """One piece on the bed."""

    number: int
    """From 1, through the whole vehicle from the tip aft."""
    part: str
    within: tuple[int, int]
    """Which piece of its part, of how many."""
    material: str
    span_m: tuple[float, float]
    """Stations it reaches from and to [m]."""
    lying: Lying
    along_body: bool
    """Whether its layers are stacked along the vehicle."""
    sound: Sound
    """As it is written [mm], on the bed."""
    corner_m: tuple[float, float, float]
    """Where the origin of the file lies in the axes of the bed, turned about the tip [m]."""
    mesh: Mesh
    """In its place in the vehicle, body axes [m]."""
    plastic_m3: float
    effort: Effort
    mark: Marking | None
    """How its number stands on a face that ends up inside; ``None`` where neither way finds room."""
    is_made: bool = False
    """Whether the sheet says that it is printed already."""


class Turned(StrEnum):
    """Which way a cut goes."""

    ACROSS = "across"
    ALONG = "along"


@dataclass(frozen=True, slots=True, kw_only=True)
class JointReserve:
    """Strength over load at a joint, at its bad end."""

    low: float
    """[-]; not finite where nobody knows it."""
    mode: FailureMode | None
    case: Case | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedStrength:
    """Worst reserve along the body, as the sheet has it and as it would be printed."""

    before: JointReserve
    after: JointReserve
    unheld: tuple[str, ...] = ()
    """Parts with a seam that nothing holds."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedJoint:
    """A joint between pieces of one part."""

    part: str
    turned: Turned
    station_m: float | None
    """Of a cut across the body [m]."""
    roll_rad: float | None
    """Of a cut along it: the roll angle that it faces [rad]."""
    kind: JointKind
    wanted: JointKind
    """What the joint was to be; another where there was no room for it."""
    glue_area_m2: float
    dowels: int
    dowel_diameter_m: float
    dowel_depth_m: float
    at_ledge: bool
    demand: float | None
    """Load there over that of the hardest loaded place [-]; ``None`` where no loads are known."""
    through: tuple[Barred, ...] = ()
    """What a cut of the sheet goes through that it should not."""
    reserve: JointReserve | None = None
    """What the strength look says of the joint; ``None`` where it was not asked, or nothing loads it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnThin:
    """A part whose mesh is thinner somewhere than two widths of a line."""

    part: str
    station_m: float
    """Where most of a cut across it is so thin [m]."""
    share: float
    """Of that cut [-]."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PrintPlan:
    """Everything that is printed, and how."""

    name: str
    us_units: bool
    bed_m: tuple[float, float, float]
    clearance_m: float
    clearance_measured: bool
    printer: Printer
    learned: Learned
    pieces: tuple[PlannedPiece, ...]
    joints: tuple[PlannedJoint, ...]
    holes: tuple[PrintedHole, ...]
    left_out: tuple[str, ...]
    """Parts that are not printed, so not planned."""
    nozzle_m: float = 0.4e-3
    speed_told: bool = False
    thin: tuple[str, ...] = ()
    """Parts whose walls are under two widths of a line."""
    drawn_thin: tuple[DrawnThin, ...] = ()
    """Parts that are drawn so thin somewhere."""
    strength: PlannedStrength | None = None
    """``None`` for a sheet that is only begun: no load is known."""
