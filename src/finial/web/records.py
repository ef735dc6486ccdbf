"""What the server sends that no other record says; every shown value is in the builder's units already.

The page's own types are made from these: see ``frontend/make_records.py``.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal

from finial.web.across import PageCut
from finial.web.adding import Addable
from finial.web.along import AlongBody
from finial.web.charts import HeightChart, MarginChart
from finial.web.controls import BallastControl, FinControl
from finial.web.flow import PageFlow
from finial.web.inside import PagePart, PageThing
from finial.web.landings import PageLandings
from finial.web.moving.records import PageMoving
from finial.web.numbers import NumberGroup, NumberRow
from finial.web.picture import Picture
from finial.web.stages import PageStages
from finial.web.tunnel_sent import SentPressure
from finial.web.words import PageVerdict


@dataclass(frozen=True, slots=True, kw_only=True)
class FindingWay:
    """How a check's number is found, in general, and the limits that are usually asked."""

    way: str
    usual: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PageChange:
    """A change of the sheet that was tried and turned a finding."""

    says: str
    typed: Mapping[str, str]
    """As one would type it, by place."""
    said: tuple[str, ...]
    """The same in words."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PageFinding:
    """One finding in words."""

    key: str
    subject: str
    name: str
    verdict: PageVerdict
    value: str
    interval: str
    limit: str
    margin: str
    why: str
    fix: str
    change: PageChange | None
    """The first of its remedies, where it is a change of the sheet that its leader does not offer."""
    source: str
    safety: bool
    known_by: str
    """How the number is known; empty where there is none."""
    method: str
    seen_in: str
    """Where on the page the picture stands that explains it."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FindingCard(PageFinding):
    """A finding, and those that follow from the same cause; equal only to itself."""

    followers: tuple[PageFinding, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class GuessRow:
    """A guess, and what it costs."""

    what: str
    interval: str
    effect: str
    advice: str


@dataclass(frozen=True, slots=True, kw_only=True)
class InsideData:
    """A section through the vehicle, served as a picture; what it shows in words."""

    says: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PageAnswer:
    """Everything that may change when a slider is moved."""

    verdict: PageVerdict
    headline: str
    detail: str
    key_numbers: tuple[NumberRow, ...]
    groups: tuple[NumberGroup, ...]
    findings: tuple[FindingCard, ...]
    guesses: tuple[GuessRow, ...]
    picture: Picture
    margin_chart: MarginChart
    height_chart: HeightChart


@dataclass(frozen=True, slots=True, kw_only=True)
class PageVehicle:
    """Everything the page needs at its start, with the answer to the sheet as written."""

    kind: Literal["whole"]
    name: str
    note: str
    sheet: str
    us_units: bool
    caution: str
    ballast: tuple[BallastControl, ...]
    fins: FinControl | None
    inside: InsideData | None
    things: tuple[PageThing, ...]
    parts: tuple[PagePart, ...]
    hull_triangles: int
    """Of the meshes; fewer may be drawn."""
    answer: PageAnswer


@dataclass(frozen=True, slots=True, kw_only=True)
class SharedPage:
    """What a page that was sent holds in place of a server."""

    vehicle: PageVehicle
    other_units: PageVehicle
    """The same in US units where the sheet shows metric ones, and the other way round."""
    along: AlongBody
    ways: Mapping[str, FindingWay]
    """How each check's number is found, by its key."""
    hull: str
    """Its bytes in base64."""
    inside: str
    """The section as SVG; empty where there is none."""
    cuts: tuple[PageCut, ...]
    """Sections across it, evenly from tip to tail; none where there is no shape to cut."""
    moving: PageMoving
    stages: PageStages
    landings: PageLandings | None
    """``None`` where none are known."""
    landing_files: Mapping[str, str]
    """What can be taken away of them, by its name."""
    pressure: SentPressure | None
    flow: PageFlow | None
    """What is kept of the tunnel."""
    drawn: Mapping[str, str]
    """Pictures of the stages and of the landings as SVG, by their names."""
    made: str
    revision: str
    version: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PageVariant:
    """What one variant changes of the sheet."""

    name: str
    change: Mapping[str, str]
    """As it was typed, by place."""
    said: tuple[str, ...]
    """The same in words."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PageVariants:
    """The named variants of the sheet."""

    variants: tuple[PageVariant, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """What is tried: masses [kg] of items, a factor on the fins' span, and what was typed, by place."""

    ballast: Mapping[str, float]
    fin_span_scale: float
    sheet: Mapping[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetKey:
    """What may stand at a key, from the sheet's own schema."""

    path: str
    meaning: str
    required: bool
    default: Any
    example: Any
    kind: Literal["quantity", "whole number", "text", "choice", "yes or no", "list", "table"]
    units: tuple[str, ...] | None
    choices: tuple[str, ...] | None


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetField:
    """One place of the sheet."""

    dotted: str
    path: str
    text: str | None
    """As it stands in the sheet; null where the sheet does not have it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetTable:
    """One table of the sheet."""

    dotted: str
    name: str
    fields: tuple[SheetField, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetForm:
    """Every key with its meaning, and every place of this sheet with what stands there."""

    revision: str
    keys: Mapping[str, SheetKey]
    tables: tuple[SheetTable, ...]
    addable: tuple[Addable, ...]
