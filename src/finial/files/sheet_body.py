"""The tables of a build sheet that describe what is built: parts, hardware, fins, guides, motor."""

from typing import Annotated, Literal

from pydantic import Field

from finial.core.estimates import KnownBy
from finial.files.fields import (
    NO_ANGLE,
    NO_LENGTH,
    NO_OFFSET,
    Angle,
    Area,
    Density,
    FileName,
    Force,
    GlueName,
    HalfTurn,
    LayerHeight,
    Lean,
    Length,
    Mass,
    MaterialName,
    Name,
    Offset,
    Pedigree,
    Ratio,
    Record,
    Share,
    SignedLength,
    SmallLength,
    SofteningTemperature,
    SomeForce,
    SomeLength,
    SomeMass,
    SomeSpeed,
    SomeStation,
    Span,
    Spelled,
    Station,
    Stress,
    Text,
    ThreadName,
    Tilt,
    Time,
    WallThickness,
    WholeNumber,
    YesNo,
)

_SIDES = {"circle": 0, "triangle": 3, "square": 4, "hexagon": 6, "octagon": 8}
_OUTLINE = Spelled(
    pattern=rf"{'|'.join(_SIDES)}|([3-9]|[1-9]\d{{1,2}})-gon",
    accepted=f'one of {", ".join(_SIDES)}, or a number of sides such as "12-gon"',
)
_DRAWN = "`finial tower` draws such storeys, as meshes to begin with"


class VehicleEntry(Record):
    """Name of the vehicle, which mesh axis points to its tip, and the units to show."""

    name: Name
    """What the vehicle is called; heads every report."""
    note: Text = ""
    """One or two sentences that stand under the name."""
    builder: Text = ""
    """Who built it and answers for it, as the flight card is to say."""
    up: Literal["+x", "+y", "+z", "-x", "-y", "-z"] = "+z"
    """Axis of the meshes that points to the tip."""
    show_units: Literal["metric", "us"] = "metric"
    """Units of every answer; the sheet itself may be written in either."""
    colour: Literal["white", "light", "mid", "dark", "black"] | None = None
    """How the outside looks in the sun; without it the hottest, black, is taken."""

    @property
    def us_units(self) -> bool:
        """True when the builder wants inches and pounds."""
        return self.show_units == "us"


class TierEntry(Record):
    """One storey of a drawn part; the first tier is the lowest."""

    ELSEWHERE = tuple((key, _DRAWN) for key in ("deep", "corner", "twist", "ledges", "windows"))
    outline: Annotated[str, _OUTLINE]
    """Seen from above: a circle, a named polygon, or any number of sides from 3 up."""
    across: SomeLength
    """Distance across the flats at the bottom of the tier; the diameter of a circle."""
    across_top: Length | None = None
    """The same at its top, 0 for a point; as at the bottom without it."""
    height: SomeLength
    """Height of the tier."""
    roof: Literal["dome"] | None = None
    """Closes the tier as half an ellipsoid as high as the tier."""

    @property
    def sides(self) -> int:
        """Number of sides, 0 for a circle."""
        if self.outline in _SIDES:
            return _SIDES[self.outline]
        return int(self.outline.removesuffix("-gon"))


class PrintedEntry(Record):
    """How a part is printed; a part without it is solid."""

    wall: WallThickness
    """Thickness of the walls: perimeters times line width."""
    infill: Share
    """Share of the inside that is filled."""
    layers_along: Literal["x", "y", "z"] = "z"
    """Mesh axis that the layers are stacked along; across it a print is weaker."""
    layer_height: LayerHeight | None = None
    """Height of a layer, which roughens the skin in the air; 0.2 mm without it."""


class DowelsEntry(Record):
    """Round pins that cross a joint and reach into both parts."""

    count: Annotated[WholeNumber, Field(ge=1, le=64)]
    """How many."""
    diameter: SomeLength
    """Their diameter."""
    depth: SomeLength
    """How far each reaches into either part."""
    material: MaterialName
    """What they are made of."""


class BoreEntry(Record):
    """Room inside a part that is printed or cut but not drawn: a hole along it, or one that leans."""

    stations: Span
    """Where it begins and ends, the forward station first."""
    across: SomeLength | None = None
    """Diameter of a round hole."""
    sides: tuple[SomeLength, SomeLength] | None = None
    """Two sides of a square one, in place of across."""
    offset: Offset = NO_OFFSET
    """How far its middle lies off the axis, along the two mesh axes across it."""
    tilt: Lean = NO_ANGLE
    """Angle between its axis and the vehicle's."""
    toward: Angle = NO_ANGLE
    """Roll angle that its fore end leans to."""
    turned: Angle = NO_ANGLE
    """Roll angle of the first side of a square hole."""


class CutEntry(Record):
    """A seam across a part that is printed in pieces, and what holds it."""

    station: SomeStation
    """Where it is cut."""
    held_by: Literal["glue", "dowels", "lip", "rods"] = "dowels"
    """Glue alone, glue with dowels or with a lip that place it, or rods that clamp it dry."""
    holds: SomeForce | None = None
    """What it holds in tension, by test of a sample; goes before the strength of the layers beside it."""


class PartEntry(Record):
    """Anything printed or bought that has a shape: a mesh, or drawn from tiers."""

    name: Name
    """Name of the part; no other part may have it."""
    mesh: FileName | None = None
    """Mesh file, beside or below the sheet: STL, OBJ, PLY, 3MF, AMF, glTF or STEP. Either this or tiers."""
    mesh_unit: Literal["mm", "cm", "m", "in", "ft"] | None = None
    """Unit of the mesh; needed for STL, OBJ and PLY, which carry none."""
    tiers: Annotated[tuple[TierEntry, ...], Field(min_length=1)] | None = None
    """Storeys of a shape without CAD, the lowest first; `finial tower` draws richer ones. This or a mesh."""
    tip_station: Station = NO_LENGTH
    """Station at which the top of a stack of tiers stands."""
    outside: YesNo = True
    """Whether the part belongs to the skin that the air sees."""
    material: MaterialName
    """What it is made of."""
    print: PrintedEntry | None = None
    """How it is printed; a part without this is solid."""
    guessed: YesNo = False
    """Material and print are only guessed so far: half to twice the walls is taken, and nothing is go."""
    weighed: SomeMass | None = None
    """What the part weighs on a scale; goes before the computed mass."""
    glued: YesNo = False
    """Glued to the part behind it; without this parts only butt together and rods must hold them."""
    dowels: DowelsEntry | None = None
    """Pins across the joint to the part behind it, glued in."""
    bores: tuple[BoreEntry, ...] = ()
    """Holes along it that the mesh does not show; what stands in infill needs one, drawn or said."""
    cuts: tuple[CutEntry, ...] = ()
    """Seams where it is printed in pieces; without them the print plan cuts where it must."""


class OwnMaterialEntry(Record):
    """A material as the builder's own test bars show it; what is not given is as ``like``."""

    name: Name
    """Name to use in the sheet; one of the tables' names puts the own numbers in its place."""
    like: MaterialName | None = None
    """Material of the tables that gives what is not measured; without it the name itself must be one."""
    along: Stress | None = None
    """Strength along the layers, or of a sheet."""
    across: Stress | None = None
    """Strength across the layers."""
    modulus: Stress | None = None
    """Stiffness in tension."""
    density: Density | None = None
    """Mass over volume of the solid material."""
    softens: SofteningTemperature | None = None
    """Temperature at which it softens: the glass transition."""
    bars: Annotated[WholeNumber, Field(ge=1, le=10_000)] | None = None
    """How many bars were broken in each direction; five at least are wanted."""


class PlateEntry(Record):
    """A flat plate that something bears on."""

    thickness: SomeLength
    """Thickness of the plate."""
    material: MaterialName
    """What the plate is made of."""


class EyeEntry(Record):
    """Eye bolt or U-bolt amid a plate, which a cord is tied to."""

    thread: ThreadName
    """Its thread; an eye that is only bent, not forged or welded, opens long before it strips."""
    washer: SomeLength
    """Outer diameter of the washer under its nut, on the side that the cord pulls it against."""
    legs: Annotated[WholeNumber, Field(ge=1, le=2)] = 1
    """One of an eye bolt, two of a U-bolt, which stand along the angle that the plate is turned by."""
    across: SomeLength | None = None
    """Outer diameter of the eye, or width of the U; five diameters of the thread without it."""
    material: MaterialName = "steel"
    """What it is made of."""


class ItemEntry(Record):
    """Hardware without a mesh: ballast, nuts, boards, glue."""

    name: Name
    """Name of the item; no other item may have it."""
    mass: Mass
    """Its mass."""
    station: Station
    """Station of its centre of mass."""
    offset: Offset = NO_OFFSET
    """How far its centre lies off the axis, along the two mesh axes across it."""
    known_by: Pedigree = KnownBy.ASSUMED
    """How the mass is known; a margin that hangs on an assumed one is not known."""
    kind: Literal["ballast", "sled", "bulkhead", "tube", "screw", "spread", "other"] = "other"
    """What it is for, which says what may pass through it; spread: small pieces, no room of their own."""
    across: SomeLength | None = None
    """Diameter, of a tube the outer one; room from mass and density without across or sides."""
    sides: tuple[SomeLength, SomeLength] | None = None
    """Two sides of a box across its length, in place of across."""
    length: SomeLength | None = None
    """Length along its own axis; from mass and density without it."""
    bore: SomeLength | None = None
    """Diameter of the hole along its axis."""
    tilt: Tilt = NO_ANGLE
    """Angle between its axis and the vehicle's."""
    toward: Angle = NO_ANGLE
    """Roll angle that its fore end leans to."""
    turned: Angle = NO_ANGLE
    """Roll angle of the first side of a box, and that its eye lies along."""
    material: MaterialName | None = None
    """What it is made of; its room where it has no size, and its strength where it closes a bay."""
    glue: GlueName | None = None
    """What its rim is glued in with, all round; it holds a plate that a charge pushes or a cord pulls."""
    holds: Force | None = None
    """What its seat holds along the axis, by test; goes before the glue."""
    eye: EyeEntry | None = None
    """Eye bolt or U-bolt amid it, which a cord is tied to."""
    density: Density | None = None
    """Mass over volume, of loose shot with the air in it; goes before that of the material."""
    room_of: Name | None = None
    """Bay, canopy or item whose room it takes, as its wall, floor or glue; none of its own then."""
    passes: tuple[Name, ...] = ()
    """What goes through it on purpose, in holes made for it."""
    pressed_in: SmallLength = NO_LENGTH
    """How much wider than its seat it is on purpose."""
    held_by: tuple[Name, ...] = ()
    """Parts, items, rods or the motor tube that hold it, where it touches none of them or glue does not."""
    put_in: Literal["before joining", "while printing"] = "before joining"
    """Before the parts are joined, or in a pause of the print, which then goes on over it."""

    @property
    def ballast(self) -> bool:
        """Whether it is carried for its weight: sizing and the page may change it."""
        return self.kind == "ballast"


class RodEntry(Record):
    """Threaded rods on a circle or at places of their own, between two stations."""

    name: Name | None = None
    """Name of the set, to speak of it elsewhere."""
    thread: ThreadName
    """Their thread."""
    material: MaterialName
    """What they are made of."""
    count: Annotated[WholeNumber, Field(ge=1, le=64)] | None = None
    """How many stand on the circle, evenly spaced."""
    on_circle: Length | None = None
    """Diameter of the circle they stand on."""
    first_at: Angle = NO_ANGLE
    """Roll angle of the first on the circle."""
    places: tuple[Offset, ...] = ()
    """Where each stands off the axis, along the two mesh axes across it; in place of count and circle."""
    stations: Span
    """Where they begin and end, the forward station first; the nuts are flush with their ends."""
    preload: Force | None = None
    """Tension in each from tightening; without it they are not tightened."""
    washer: SomeLength | None = None
    """Outer diameter of the washers under the nuts; without it the bare nuts press."""
    bears_on: PlateEntry | None = None
    """What the nuts and washers press on at both ends."""
    supports: tuple[Station, ...] = ()
    """Stations where a wall or plate steadies the rods; without them they count as steadied all along."""
    slip: Length | None = None
    """Play before the rods take up load, where they are not tightened."""


class FixingEntry(Record):
    """How a fin's root is held."""

    kind: Literal["stiff", "fillet", "slot", "tab", "bolts"]
    """Stiff, glued on with fillets, in a slot, by a tab through the wall, or by bolts."""
    depth: SomeLength | None = None
    """Of the slot, leg of the fillets, or from the skin to the tab's inner support."""
    wall: SomeLength | None = None
    """Thickness of the printed wall the fin stands on; that of the part there without it."""
    width: SomeLength | None = None
    """Width of that wall between its corners, or of the plastic round a slot."""
    material: MaterialName | None = None
    """What that wall is made of; that of the part there without it."""
    glue: GlueName | None = None
    """What it is glued with."""
    bolts: tuple[Length, ...] = ()
    """Where the bolts are, along the root from the fin's station; two near its ends without it."""
    washer: SomeLength | None = None
    """Outer diameter of the washers under the bolts; a usual one without it."""


class StayEntry(Record):
    """A pair of wires from one point of each fin, to the body or to the next fins."""

    diameter: SomeLength
    """Diameter of a wire."""
    material: MaterialName = "spring steel wire"
    """What the wires are made of."""
    along: SignedLength
    """Point on the fin that they hold: how far aft of the fin's station."""
    outward: SomeLength
    """The same point: how far outward of the root."""
    preload: Force
    """Tension in each wire from tightening."""
    to: Literal["body", "next fin"] = "body"
    """What the other ends hold on to."""
    anchor_station: Station | None = None
    """Station where the wires meet the body; abreast of the point on the fin without it."""
    anchor_turn: HalfTurn | None = None
    """Roll angle from the fin to the anchors; half way to the next fin without it."""
    anchor_holds: Force | None = None
    """What an anchor in the body holds, by test."""
    backing: PlateEntry | None = None
    """A plate behind the wall that the anchor is screwed to; without it the bare wall gives."""


class FinEntry(Record):
    """A set of equal flat plates around the axis; the outline runs along, then outward from the root."""

    name: Name
    """Name of the set; no other set may have it."""
    outline: Annotated[tuple[tuple[SignedLength, Length], ...], Field(min_length=3)]
    """Corners of one fin in order, aft of its station and outward of its root; first and last on the root."""
    station: Station
    """Station where the root begins."""
    root: Length | None = None
    """Distance of the root from the axis, or from the line of offset; on the skin without it."""
    offset: Offset = NO_OFFSET
    """Line along the vehicle that the fins stand out from, where it is not the axis; a leg has one."""
    count: Annotated[WholeNumber, Field(ge=1, le=64)]
    """How many, evenly spaced."""
    first_at: Angle = NO_ANGLE
    """Roll angle of the first."""
    thickness: SomeLength
    """Thickness of the plate, at the root where it tapers."""
    thickness_tip: SomeLength | None = None
    """Thickness at the tip where it tapers."""
    material: MaterialName
    """What they are made of."""
    edges: Literal["square", "rounded"] = "square"
    """Whether the edges are left square or rounded."""
    cant: Angle = NO_ANGLE
    """Angle that all fins are turned by to make the vehicle spin."""
    fixing: FixingEntry | None = None
    """How the root is held; without it, stiffly."""
    stays: tuple[StayEntry, ...] = ()
    """Pairs of wires that brace the fins."""


class GuideEntry(Record):
    """Rail buttons: their stations, the roll angle of their side, the area they show the air."""

    buttons: Annotated[tuple[Station, ...], Field(min_length=1)]
    """Stations of the buttons, at least two of them; near the middle and the base without this table."""
    at: Angle = NO_ANGLE
    """Roll angle of the side that carries them."""
    aside: SignedLength = NO_LENGTH
    """How far the row of buttons stands beside the plane of that roll angle."""
    frontal_area: Area | None = None
    """What all buttons and their standoffs show the air from ahead."""
    rail_from_axis: SomeLength | None = None
    """Distance of the rail's face from the axis; 3 mm off the skin at the buttons without it."""
    rail_width: SomeLength | None = None
    """Width of the rail; 40 mm without it."""
    across: SomeLength | None = None
    """Diameter of a button; 15 mm without it."""
    height: SomeLength | None = None
    """From the skin to its outer end, of the button where the skin stands nearest to the rail."""
    screw: ThreadName | None = None
    """Thread of the screw that holds each button."""
    engagement: SomeLength | None = None
    """Length of its thread in what holds it."""
    holds_in: MaterialName | None = None
    """What its thread is cut into; the printed part there without it."""
    pull_out: Force | None = None
    """What a button holds before its screw comes out, by test; goes before thread and engagement."""
    friction: Ratio | None = None
    """Friction coefficient of the buttons on the rail, pulled along it or told by flights; else none."""


class MadeEntry(Record):
    """A piece that is printed already: what the scale and the clock say of it."""

    part: Name
    """Part that it belongs to."""
    piece: Annotated[WholeNumber, Field(ge=1, le=1000)] = 1
    """Which piece of that part, from the tip aft, as the print plan counts them."""
    weighed: SomeMass | None = None
    """What it weighs."""
    took: Time | None = None
    """How long it was on the printer."""


class PrintBedEntry(Record):
    """The printer: its bed, its nozzle, and what it has shown so far."""

    bed: tuple[SomeLength, SomeLength, SomeLength]
    """Two sides of the bed and the height above it that the printer reaches."""
    nozzle: SomeLength | None = None
    """Bore of the nozzle; 0.4 mm without it."""
    clearance: SmallLength | None = None
    """What a printed hole must be wider than what goes in, on the diameter; 0.3 mm without it."""
    speed: SomeSpeed | None = None
    """Speed of the nozzle while it lays lines; 60 mm/s without it."""
    made: tuple[MadeEntry, ...] = ()
    """Pieces printed already: the print plan learns masses and hours from them."""
