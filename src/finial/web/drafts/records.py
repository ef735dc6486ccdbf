"""What the server sends of a draft; the page's own types are made from these."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from finial.report.document import ReportSection
from finial.web.records import SheetKey, SheetTable


@dataclass(frozen=True, slots=True, kw_only=True)
class DraftFault:
    """One thing that the file's own reader refuses, at its place."""

    field: str
    given: str
    accepted: str
    likely_slip: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PageDraft:
    """A file that is drawn on the page: its text, its form, and what its reader refuses."""

    file: str
    revision: str
    """Of the file on disk; empty where there is none yet."""
    text: str
    keys: Mapping[str, SheetKey]
    tables: tuple[SheetTable, ...]
    fault: str
    """All that is refused, in the words of the shell; empty where nothing is."""
    faults: tuple[DraftFault, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PageSite(PageDraft):
    """A site's file."""

    kind: Literal["site"]


@dataclass(frozen=True, slots=True, kw_only=True)
class TowerDrawn:
    """A tower as it was drawn."""

    says: str
    svg: str
    section: ReportSection


@dataclass(frozen=True, slots=True, kw_only=True)
class PageTower(PageDraft):
    """A tower's drawing."""

    kind: Literal["tower"]
    drawn: TowerDrawn | None
    """``None`` where it is refused."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DraftWritten:
    """What was written beside a draft."""

    says: str
    files: tuple[str, ...]
    revision: str
    leads_on: str = ""
    """The one of the files that is opened next; empty where the draft goes on."""


Place = tuple[int, int]
"""To the right and down from the upper left corner of a photo, in pixels."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoMark:
    """One mark that may be moved."""

    place: str
    """Where it stands in the file."""
    says: str
    at: Place


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoLine:
    """Marks that belong together, joined in their order."""

    kind: Literal["corners", "known", "wanted", "storey", "straight"]
    place: str
    """Where the list of them stands in the file."""
    name: str
    marks: tuple[PhotoMark, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PagePhoto:
    """One photo and its marks, as far as they can be read."""

    dotted: str
    name: str
    size: Place | None
    lines: tuple[PhotoLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotosRead:
    """What the photos tell."""

    names: tuple[str, ...]
    """Of what was read off: lengths, then storeys."""
    storeys: int
    section: ReportSection


@dataclass(frozen=True, slots=True, kw_only=True)
class PagePhotos(PageDraft):
    """The marks of photos of one facade."""

    kind: Literal["photos"]
    photos: tuple[PagePhoto, ...]
    read: PhotosRead | None
    """``None`` where they are refused."""
