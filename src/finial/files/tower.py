"""A tower drawn without CAD: one TOML file of parts and their storeys, in the words of the build sheet."""

from pathlib import Path
from typing import Annotated, Literal

from pydantic import Field

from finial.core.errors import TowerError
from finial.files.faults import read_record, record_from
from finial.files.fields import (
    NO_ANGLE,
    NO_OFFSET,
    Angle,
    Length,
    Name,
    Offset,
    Record,
    SignedLength,
    SomeLength,
    Spelled,
    WholeNumber,
    YesNo,
)
from finial.files.inside import file_inside
from finial.files.source import TomlSource

SIDES = {"circle": 0, "triangle": 3, "square": 4, "hexagon": 6, "octagon": 8}
RECTANGLE, SVG = "rectangle", ".svg"
_OUTLINE = Spelled(
    pattern=rf"{'|'.join(SIDES)}|{RECTANGLE}|([3-9]|[1-9]\d{{1,2}})-gon|.+\{SVG}",
    accepted=f'one of {", ".join(SIDES)}, {RECTANGLE}, a number of sides such as "12-gon", or "plan{SVG}"',
)


class LedgeEntry(Record):
    """A band round a storey."""

    out: SomeLength
    """How far it stands out."""
    height: SomeLength
    """How high it is."""
    sill: Length | None = None
    """Height of its lower edge over the foot of the storey; flush with the top without it."""


class WindowsEntry(Record):
    """Shallow pockets round a storey, all alike."""

    count: Annotated[WholeNumber, Field(ge=1, le=360)]
    """How many, evenly spaced."""
    width: SomeLength
    """How wide each is."""
    height: SomeLength
    """How high each is."""
    sill: Length
    """Height of the lower edge over the foot of the storey."""
    depth: SomeLength
    """How deep each is sunk."""
    first_at: Angle = NO_ANGLE
    """Roll angle of the first, from the mesh axis x to y."""
    arched: YesNo = False
    """Whether the top is half a circle."""


class StoreyEntry(Record):
    """One storey of a tower; the first is the lowest."""

    outline: Annotated[str, _OUTLINE]
    """Seen from above: a circle, a polygon, a rectangle, or the outline in an SVG file beside this one."""
    across: SomeLength
    """Width at the foot along the mesh axis x: across the flats of a polygon, diameter of a circle."""
    deep: SomeLength | None = None
    """Width along the mesh axis y, of a rectangle or an outline of your own."""
    corner: SomeLength | None = None
    """Radius that the corners are rounded by."""
    across_top: Length | None = None
    """Width at the top, 0 for a point; as at the foot without it."""
    height: SomeLength
    """Height of the storey."""
    twist: Angle = NO_ANGLE
    """How far the top is turned against the foot."""
    roof: Literal["dome", "gable", "hip"] | None = None
    """Ends it in half an ellipsoid, or in a ridge along its longer side."""
    ledges: tuple[LedgeEntry, ...] = ()
    """Bands round it."""
    windows: tuple[WindowsEntry, ...] = ()
    """Pockets cut into it."""


class TowerBoreEntry(Record):
    """An upright hole."""

    heights: tuple[SignedLength, SignedLength]
    """From and to, over the foot of the part's lowest storey."""
    across: SomeLength | None = None
    """Diameter of a round hole."""
    sides: tuple[SomeLength, SomeLength] | None = None
    """Two sides of a square one, in place of across."""
    offset: Offset = NO_OFFSET
    """How far its middle lies off the axis, along the mesh axes x and y."""


class ShoulderEntry(Record):
    """A plug below the part, that goes into the one below."""

    across: SomeLength
    """Its width along the mesh axis x; its outline is that of the lowest storey."""
    length: SomeLength
    """How far it reaches down."""


class TowerPartEntry(Record):
    """One printed part of a tower."""

    name: Name
    """Name of the part and of its file."""
    tiers: Annotated[tuple[StoreyEntry, ...], Field(min_length=1)]
    """Its storeys, the lowest first."""
    bores: tuple[TowerBoreEntry, ...] = ()
    """Holes through it."""
    shoulder: ShoulderEntry | None = None
    """A plug below it."""


class Tower(Record):
    """A tower: parts that stand on one another, the first one lowest."""

    name: Name
    """What it is called."""
    part: Annotated[tuple[TowerPartEntry, ...], Field(min_length=1)]
    """Its parts."""


def read_tower(path: Path) -> tuple[Tower, TomlSource]:
    """Read a tower's TOML file, and look that the outlines it names lie beside it.

    Raises
    ------
    TowerError
        With all faults in it.
    """
    tower, source = read_record(path, Tower, TowerError)
    _look_beside(tower, source)
    return tower, source


def tower_from(source: TomlSource) -> Tower:
    """Read a tower's text as if it stood in its file.

    Raises
    ------
    TowerError
        With all faults in it.
    """
    tower = record_from(source, Tower, TowerError)
    _look_beside(tower, source)
    return tower


def _look_beside(tower: Tower, source: TomlSource) -> None:
    """Look that the outlines it names lie beside it."""
    for number, part in enumerate(tower.part):
        for level, storey in enumerate(part.tiers):
            if storey.outline.endswith(SVG):
                where = ("part", number, "tiers", level, "outline")
                file_inside(source.path.parent, source, where, (SVG,), TowerError)
