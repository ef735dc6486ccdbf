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
    Force,
    Length,
    Mass,
    Name,
    Offset,
    Pedigree,
    Record,
    Share,
    SignedLength,
    SomeLength,
    Span,
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


class Vehicle(Record):
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


class Tier(Record):
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


class Printed(Record):
    """How a part is printed; a part without it is solid."""

    wall: SomeLength
    infill: Share
    layers_along: Literal["x", "y", "z"] = "z"
    layer_height: SomeLength | None = None


class Part(Record):
    """Anything printed or bought that has a shape: a mesh, or drawn from tiers."""

    name: Name
    mesh: Name | None = None
    mesh_unit: Literal["mm", "cm", "m", "in", "ft"] | None = None
    tiers: Annotated[tuple[Tier, ...], Field(min_length=1)] | None = None
    tip_station: Length = NO_LENGTH
    outside: YesNo = True
    material: Name
    print: Printed | None = None
    weighed: Mass | None = None
    glued: YesNo = False
    """Glued to the part behind it; without it parts only butt together and rods must hold them."""


class Item(Record):
    """Hardware without a mesh: ballast, nuts, boards, glue."""

    name: Name
    mass: Mass
    station: Length
    offset: Offset = NO_OFFSET
    known_by: Pedigree = KnownBy.ASSUMED


class Rod(Record):
    """Threaded rods on a circle, between two stations."""

    thread: Name
    material: Name
    count: Annotated[WholeNumber, Field(ge=1, le=64)]
    on_circle: Length
    first_at: Angle = NO_ANGLE
    stations: Span
    preload: Force | None = None


class Fin(Record):
    """A set of equal flat plates around the axis; the outline runs along, then outward from the root."""

    name: Name
    outline: Annotated[tuple[tuple[SignedLength, Length], ...], Field(min_length=3)]
    station: Length
    root: Length | None = None
    count: Annotated[WholeNumber, Field(ge=1, le=64)]
    first_at: Angle = NO_ANGLE
    thickness: SomeLength
    material: Name
    edges: Literal["square", "rounded"] = "square"
    cant: Angle = NO_ANGLE


class MotorMount(Record):
    """Which motor, and where its aft end stands."""

    data: Name
    nozzle_station: Length
    offset: Offset = NO_OFFSET


class Guide(Record):
    """Rail buttons: their stations, the roll angle of their side, the area they show the air."""

    buttons: Annotated[tuple[Length, ...], Field(min_length=1)]
    at: Angle = NO_ANGLE
    frontal_area: Area | None = None


class PrintBed(Record):
    """The printer's bed: two sides and the height."""

    bed: tuple[SomeLength, SomeLength, SomeLength]
