"""The tables of a build sheet on the motor: its mount, its tube, what holds it and what takes its thrust."""

from typing import Annotated

from pydantic import Field

from finial.files.fields import (
    NO_ANGLE,
    NO_LENGTH,
    NO_OFFSET,
    Angle,
    FileName,
    GlueName,
    Lean,
    Length,
    MaterialName,
    Offset,
    Record,
    SmallLength,
    SomeLength,
    Span,
    Station,
    ThreadName,
    WholeNumber,
)


class ThrustPlateEntry(Record):
    """The plate the motor pushes on."""

    thickness: SomeLength
    """Thickness of the plate."""
    material: MaterialName
    """What it is made of."""
    hole: Length = NO_LENGTH
    """Diameter of the hole in it."""
    held_at: SomeLength
    """Diameter it is held at: the tube or the rods' circle."""
    station: Station | None = None
    """Station of its middle; without it nobody looks whether it fits."""
    across: SomeLength | None = None
    """Its outer diameter; that it is held at without it."""
    pressed_in: SmallLength = NO_LENGTH
    """How much wider than its seat it is on purpose."""


class GluedTubeEntry(Record):
    """Motor tube glued into the body."""

    glue: GlueName
    """What it is glued with."""
    length: SomeLength
    """Length of the glued joint along the tube."""
    diameter: SomeLength
    """Outer diameter of the tube at the joint."""


class RetainerEntry(Record):
    """Screws or bolts that keep the motor from leaving aft."""

    screw: ThreadName
    """Their thread."""
    count: Annotated[WholeNumber, Field(ge=1, le=64)]
    """How many."""
    material: MaterialName = "steel"
    """What the screws are made of."""
    engagement: SomeLength | None = None
    """Length of thread in what holds it; one diameter without it."""
    holds_in: MaterialName | None = None
    """What its thread is cut into; metal without it."""


class MotorTubeEntry(Record):
    """Tube that the motor slides into."""

    across: SomeLength
    """Outer diameter."""
    bore: SomeLength | None = None
    """Inner diameter; 0.5 mm more than the motor without it."""
    stations: Span
    """Where it begins and ends, the forward station first."""
    pressed_in: SmallLength = NO_LENGTH
    """How much wider than its seat it is on purpose."""


class MoreMotorEntry(Record):
    """A further motor, lit at the same instant; what is left out is as for the first."""

    data: FileName | None = None
    """TOML file of the motor, beside or below the sheet."""
    nozzle_station: Station | None = None
    """Station of its aft end."""
    offset: Offset
    """How far it stands off the axis at its aft end, along the two mesh axes across it."""
    tilt: Lean = NO_ANGLE
    """Angle between its axis and the vehicle's."""
    toward: Angle = NO_ANGLE
    """Roll angle that its fore end leans to."""
    mount: MotorTubeEntry | None = None
    """Tube that it slides into, about its own axis."""


class MotorMountEntry(Record):
    """Which motor, where its aft end stands, and what fits into the mount."""

    data: FileName
    """TOML file of the motor, beside or below the sheet."""
    nozzle_station: Station
    """Station of the motor's aft end."""
    offset: Offset = NO_OFFSET
    """How far the motor stands off the axis at its aft end, along the two mesh axes across it."""
    tilt: Lean = NO_ANGLE
    """Angle between its axis, and so its thrust, and the vehicle's."""
    toward: Angle = NO_ANGLE
    """Roll angle that its fore end leans to."""
    more: tuple[MoreMotorEntry, ...] = ()
    """Further motors in places of their own: a cluster."""
    mount: MotorTubeEntry | None = None
    """Tube that it slides into, about its own axis; none without it."""
    takes: SomeLength | None = None
    """Thickest motor that fits; without it that of the motor the sheet names."""
    room: SomeLength | None = None
    """Longest motor that there is room for."""
    thrust_plate: ThrustPlateEntry | None = None
    """Plate that the motor pushes on."""
    tube: GluedTubeEntry | None = None
    """Motor tube that is glued into the body and takes the thrust."""
    retainer: RetainerEntry | None = None
    """What keeps the motor from leaving aft."""
