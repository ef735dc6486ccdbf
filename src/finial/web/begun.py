"""The page of a sheet that is only begun: what it gives already, and what it needs next."""

from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

from finial.findings.begun import Begun
from finial.report.begun_text import begun_sections
from finial.report.document import ReportSection
from finial.report.shown import Shown
from finial.report.words import CAUTION, answer
from finial.web.payload import finding_cards, plain
from finial.web.records import FindingCard
from finial.web.words import PageVerdict, page_verdict


@dataclass(frozen=True, slots=True, kw_only=True)
class PageBegun:
    """Everything the page needs of a sheet that cannot be flown yet."""

    kind: Literal["begun"]
    name: str
    note: str
    sheet: str
    us_units: bool
    caution: str
    verdict: PageVerdict
    headline: str
    missing: tuple[str, ...]
    """Tables without which nothing flies."""
    length_m: float
    says: str
    """What the shape is, in words."""
    findings: tuple[FindingCard, ...]
    sections: tuple[ReportSection, ...]


def begun_payload(begun: Begun, missing: tuple[str, ...]) -> dict[str, Any]:
    """Tell it, ready for JSON."""
    shown = Shown(us_units=begun.us_units)
    return plain(
        PageBegun(
            kind="begun",
            name=begun.name,
            note=begun.note,
            sheet=Path(begun.sheet_file).name,
            us_units=begun.us_units,
            caution=CAUTION,
            verdict=page_verdict(begun.verdict),
            headline=answer(begun),
            missing=missing,
            length_m=begun.shape.skin.length_m,
            says=_says(begun, shown),
            findings=finding_cards(begun.findings, shown),
            sections=begun_sections(begun),
        )
    )


def _says(begun: Begun, shown: Shown) -> str:
    skin = begun.shape.skin
    return f"{shown.length(skin.length_m)} long, {shown.length(skin.breadth_m)} across."
