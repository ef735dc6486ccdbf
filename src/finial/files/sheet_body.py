"""The tables of a build sheet that describe what is built: parts, hardware, fins, guides, motor."""

import re
from typing import Annotated, Literal

from pydantic import AfterValidator, Field

from finial.core.estimates import KnownBy
from finial.files.fields import (
    NO_ANGLE,
    NO_LENGTH,
    NO_OFFSET,
    Angle,
    Area,
    Density,
    Force,
    Length,
    Mass,
    Name,
    Offset,
    Pedigree,
    Record,
    Share,
    SignedLength,
    SofteningTemperature,
    SomeLength,
    SomeMass,
    Span,
    Stress,
    WallThickness,
    WholeNumber,
    YesNo,
    as_written,
    refusal,
)

_SIDES = {"circle": 0, "triangle": 3, "square": 4, "hexagon": 6, "octagon": 8}
_GON = re.compile(r"(\d{1,3})-gon")


def _outline(text: str) -> str:
    many = _GON.fullmatch(text)
    if text not in _SIDES and not (many and int(many[1]) >= 3):
        raise refusal(as_written(text), f'one of {", ".join(_SIDES)}, or a number of sides such as "12-gon"')
    return text


class VehicleEntry(Record):
    """Name of the vehicle, which mesh axis points to its tip, and the units to show."""

    name: Name
    note: str = ""
    up: Literal["+x", "+y", "+z", "-x", "-y", "-z"] = "+z"
    show_units: Literal["metric", "us"] = "metric"
    colour: Literal["white", "light", "mid", "dark", "black"] | None = None
    """How the outside looks in the sun; without it the hottest, black, is taken."""

    @property
    def us_units(self) -> bool:
        """True when the builder wants inches and pounds."""
        return self.show_units == "us"


class TierEntry(Record):
    """One storey of a drawn part; the first tier is the lowest."""

    outline: Annotated[str, AfterValidator(_outline)]
    across: SomeLength
    across_top: Length | None = None
    height: SomeLength
    roof: Literal["dome"] | None = None

    @property
    def sides(self) -> int:
        """Number of sides, 0 for a circle."""
        many = _GON.fullmatch(self.outline)
        return int(many[1]) if many else _SIDES[self.outline]


class PrintedEntry(Record):
    """How a part is printed; a part without it is solid."""

    wall: WallThickness
    infill: Share
    layers_along: Literal["x", "y", "z"] = "z"
    layer_height: SomeLength | None = None


class PartEntry(Record):
    """Anything printed or bought that has a shape: a mesh, or drawn from tiers."""

    name: Name
    mesh: Name | None = None
    mesh_unit: Literal["mm", "cm", "m", "in", "ft"] | None = None
    tiers: Annotated[tuple[TierEntry, ...], Field(min_length=1)] | None = None
    tip_station: Length = NO_LENGTH
    outside: YesNo = True
    material: Name
    print: PrintedEntry | None = None
    weighed: SomeMass | None = None
    glued: YesNo = False
    """Glued to the part behind it; without it parts only butt together and rods must hold them."""
    dowels: "DowelsEntry | None" = None
    """Pins across the joint to the part behind it, glued in."""


class DowelsEntry(Record):
    """Round pins that cross a joint and reach into both parts."""

    count: Annotated[WholeNumber, Field(ge=1, le=64)]
    diameter: SomeLength
    depth: SomeLength
    """How far each reaches into either part."""
    material: Name


class OwnMaterialEntry(Record):
    """A material as the builder's own test bars show it; what is not given is as ``like``."""

    name: Name
    like: Name | None = None
    """A material of the tables; without it the name itself must be one."""
    along: Stress | None = None
    """Strength along the layers, or of a sheet."""
    across: Stress | None = None
    """Strength across the layers."""
    modulus: Stress | None = None
    density: Density | None = None
    softens: SofteningTemperature | None = None
    bars: Annotated[WholeNumber, Field(ge=1, le=10_000)] | None = None
    """How many bars were broken."""


class PlateEntry(Record):
    """A flat plate that something bears on."""

    thickness: SomeLength
    material: Name


class ItemEntry(Record):
    """Hardware without a mesh: ballast, nuts, boards, glue."""

    name: Name
    mass: Mass
    station: Length
    offset: Offset = NO_OFFSET
    known_by: Pedigree = KnownBy.ASSUMED


class RodEntry(Record):
    """Threaded rods on a circle, between two stations."""

    thread: Name
    material: Name
    count: Annotated[WholeNumber, Field(ge=1, le=64)]
    on_circle: Length
    first_at: Angle = NO_ANGLE
    stations: Span
    preload: Force | None = None
    washer: SomeLength | None = None
    """Outer diameter of the washers under the nuts."""
    bears_on: PlateEntry | None = None
    """What the nuts and washers press on at both ends."""
    supports: tuple[Length, ...] = ()
    """Stations where a wall or plate steadies the rods; without them they count as steadied all along."""
    slip: Length | None = None
    """Play before the rods take up load, where they are not tightened."""


class FixingEntry(Record):
    """How a fin's root is held."""

    kind: Literal["stiff", "fillet", "slot", "tab", "bolts"]
    depth: SomeLength | None = None
    """Of the slot, leg of the fillets, or from the skin to the tab's inner support."""
    wall: SomeLength | None = None
    """Thickness of the printed wall the fin stands on; that of the part there by default."""
    width: SomeLength | None = None
    """Width of that wall between its corners, or of the plastic round a slot."""
    material: Name | None = None
    """Of that wall; that of the part there by default."""
    glue: Name | None = None
    """A row of the glue table."""
    bolts: tuple[Length, ...] = ()
    """Along the root from the fin's station."""
    washer: SomeLength | None = None


class StayEntry(Record):
    """A pair of wires from one point of each fin, to the body or to the next fins."""

    diameter: SomeLength
    material: Name = "spring steel wire"
    along: SignedLength
    outward: SomeLength
    preload: Force
    to: Literal["body", "next fin"] = "body"
    anchor_station: Length | None = None
    """Where the wires meet the body; abreast of the point on the fin by default."""
    anchor_turn: Angle | None = None
    """Roll angle from the fin to the anchors; half way to the next fin by default."""
    anchor_holds: Force | None = None
    """What an anchor in the body holds, by test."""


class FinEntry(Record):
    """A set of equal flat plates around the axis; the outline runs along, then outward from the root."""

    name: Name
    outline: Annotated[tuple[tuple[SignedLength, Length], ...], Field(min_length=3)]
    station: Length
    root: Length | None = None
    count: Annotated[WholeNumber, Field(ge=1, le=64)]
    first_at: Angle = NO_ANGLE
    thickness: SomeLength
    thickness_tip: SomeLength | None = None
    """Thickness at the tip where it tapers."""
    material: Name
    edges: Literal["square", "rounded"] = "square"
    cant: Angle = NO_ANGLE
    fixing: FixingEntry | None = None
    """How the root is held; without it, stiffly."""
    stays: tuple[StayEntry, ...] = ()


class ThrustPlateEntry(Record):
    """The plate the motor pushes on."""

    thickness: SomeLength
    material: Name
    hole: Length = NO_LENGTH
    """Diameter of the hole in it."""
    held_at: SomeLength
    """Diameter it is held at: the tube or the rods' circle."""


class GluedTubeEntry(Record):
    """Motor tube glued into the body."""

    glue: Name
    """A row of the glue table."""
    length: SomeLength
    """Length of the glued joint along the tube."""
    diameter: SomeLength


class RetainerEntry(Record):
    """Screws or bolts that keep the motor from leaving aft."""

    screw: Name
    count: Annotated[WholeNumber, Field(ge=1, le=64)]
    material: Name = "steel"
    engagement: SomeLength | None = None
    """Length of thread in what holds it; one diameter by default."""
    holds_in: Name | None = None
    """Material its thread is cut into; metal by default."""


class MotorMountEntry(Record):
    """Which motor, where its aft end stands, and what fits into the mount."""

    data: Name
    nozzle_station: Length
    offset: Offset = NO_OFFSET
    takes: SomeLength | None = None
    """Thickest motor that fits; without it that of the motor the sheet names."""
    room: SomeLength | None = None
    """Longest motor that there is room for."""
    thrust_plate: ThrustPlateEntry | None = None
    tube: GluedTubeEntry | None = None
    retainer: RetainerEntry | None = None


class GuideEntry(Record):
    """Rail buttons: their stations, the roll angle of their side, the area they show the air."""

    buttons: Annotated[tuple[Length, ...], Field(min_length=1)]
    at: Angle = NO_ANGLE
    frontal_area: Area | None = None


class PrintBedEntry(Record):
    """The printer's bed: two sides and the height."""

    bed: tuple[SomeLength, SomeLength, SomeLength]
    nozzle: SomeLength | None = None
    """Bore of the printer's nozzle; 0.4 mm where nothing is said."""
