"""Marks in photos of a facade: one TOML file, pixels as an image viewer tells them."""

from pathlib import Path
from typing import Annotated

from pydantic import Field

from finial.core.errors import MarksError
from finial.files.faults import read_record, record_from
from finial.files.fields import NO_LENGTH, Name, Record, SignedLength, SomeLength, Spelled, WholeNumber
from finial.files.source import TomlSource
from finial.files.tower import SIDES

Pixels = Annotated[WholeNumber, Field(ge=-1_000_000, le=1_000_000)]
PhotoSide = Annotated[WholeNumber, Field(ge=16, le=100_000)]
_OUTLINE = Spelled(
    pattern=rf"{'|'.join(SIDES)}|([3-9]|[1-9]\d{{1,2}})-gon",
    accepted=f'one of {", ".join(SIDES)}, or a number of sides such as "12-gon"',
)
Place = tuple[Pixels, Pixels]
"""To the right and down from the upper left corner of the photo."""


class KnownEntry(Record):
    """A length in the plane of the facade that somebody measured or looked up."""

    ends: tuple[Place, Place]
    """Both ends."""
    length: SomeLength
    """How long it is, with its tolerance."""


class WantedEntry(Record):
    """A length to read off."""

    name: Name
    """What it is; the same name in several photos is one length."""
    ends: tuple[Place, Place]
    """Both ends."""
    proud: SignedLength = NO_LENGTH
    """How far it stands out of the facade, towards the camera; below 0 for what lies back."""


class StoreyMarkEntry(Record):
    """A storey of the building, as it stands out against the sky."""

    name: Name
    """What it is; the same name in several photos is one storey. From the ground up."""
    outline: Annotated[str, _OUTLINE]
    """What it is seen from above, which no photo of a facade tells."""
    corners: tuple[Place, Place, Place, Place]
    """Lower left, lower right, upper right, upper left."""
    proud: SignedLength = NO_LENGTH
    """How far it stands out of the facade, towards the camera; below 0 for what lies back."""


class PhotoEntry(Record):
    """One photo, whole and not straightened."""

    name: Name
    """What it is called."""
    size: tuple[PhotoSide, PhotoSide]
    """Width and height in pixels."""
    corners: tuple[Place, Place, Place, Place]
    """Of a rectangle on the facade: lower left, lower right, upper right, upper left."""
    known: KnownEntry
    """A known length on it."""
    click: Annotated[WholeNumber, Field(ge=1, le=200)] = 3
    """How far a mark may be off, one standard deviation, in pixels."""
    focal_35mm: SomeLength | None = None
    """Focal length as of a 35 mm camera, as the file of most photos tells it, such as "26 mm"."""
    straight: tuple[tuple[Place, ...], ...] = ()
    """Places along edges that are straight in truth, to see what the lens bends."""
    wanted: tuple[WantedEntry, ...] = ()
    """Lengths to read off."""
    storeys: tuple[StoreyMarkEntry, ...] = ()
    """Storeys to read off, from the ground up; a drawing for `finial tower` is made of them."""


class PhotoMarks(Record):
    """Photos of one facade."""

    photo: Annotated[tuple[PhotoEntry, ...], Field(min_length=1, max_length=50)]
    """The photos."""


def read_photo_marks(path: Path) -> tuple[PhotoMarks, TomlSource]:
    """Read a file of marks.

    Raises
    ------
    MarksError
        With all faults in it.
    """
    return read_record(path, PhotoMarks, MarksError)


def photo_marks_from(source: TomlSource) -> PhotoMarks:
    """Read a text of marks as if it stood in its file.

    Raises
    ------
    MarksError
        With all faults in it.
    """
    return record_from(source, PhotoMarks, MarksError)
