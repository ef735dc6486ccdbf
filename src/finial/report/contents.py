"""The whole report in order: every stage, with the long look at it behind it, and the pictures of both."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

from finial.core.estimates import KnownBy
from finial.findings.readiness import Readiness
from finial.report.album import pictures
from finial.report.annex import Annex
from finial.report.bill_text import bill_section
from finial.report.campaign_text import campaign_sections
from finial.report.document import ReportSection
from finial.report.pictures.recovery_pictures import recovery_pictures
from finial.report.pictures.strength_pictures import strength_pictures
from finial.report.recovery_text import recovery_sections
from finial.report.sections.flights import flights_pictures, flights_sections
from finial.report.sections.print_plan import print_section
from finial.report.shown import Shown
from finial.report.stages import all_sections
from finial.report.strength_text import strength_sections

_BEFORE = ("stability", "air", "flight", "landing", "inside")
_AFTER = ("electronics", "range", "shape")


@dataclass(frozen=True, slots=True, kw_only=True)
class Contents:
    """Sections in order, and the SVG text of their pictures by name."""

    sections: tuple[tuple[ReportSection, tuple[ReportSection, ...]], ...]
    """Each with the closer sections under it."""
    pictures: Mapping[str, str]


def contents(readiness: Readiness, annex: Annex | None = None) -> Contents:
    """Put everything in order; without an annex what the sheet alone tells is left out."""
    shown = Shown(us_units=readiness.us_units)
    stages = {section.key: section for section in all_sections(readiness)}
    drawn = {**pictures(readiness), **strength_pictures(readiness), **recovery_pictures(readiness)}
    drawn.update(flights_pictures(annex, us_units=readiness.us_units))
    study = readiness.strength_study
    fins = {f"fins-{fin.name}": _FINS for fin in study.fins} if study else {}
    strength = _pictured(strength_sections(readiness), drawn, _STRENGTH_PICTURES, fins)
    recovery = _pictured(recovery_sections(readiness), drawn, _RECOVERY_PICTURES)
    beside = _beside(annex, shown)
    ordered = (
        *((stages[key], _inside(key, stages)) for key in _BEFORE),
        (stages["strength"], strength),
        (stages["recovery"], recovery),
        *((stages[key], ()) for key in _AFTER),
        *beside,
        (_weighed(readiness, stages["mass"]), ()),
        (stages["guesses"], ()),
    )
    used = {name for one, inner in ordered for each in (one, *inner) for name in each.pictures}
    kept = {name: svg for name, svg in drawn.items() if name in used or name in FRONT}
    return Contents(sections=ordered, pictures=kept)


def _inside(key: str, stages: Mapping[str, ReportSection]) -> tuple[ReportSection, ...]:
    """Sections under a stage: the tunnel under the air, where the sheet flies with it."""
    return tuple(stages[inner] for inner in _UNDER.get(key, ()) if inner in stages)


_UNDER = {"air": ("tunnel",)}
FRONT = frozenset({"card_section", "side_view"})
"""Pictures of the first page."""
_FINS = "fins"
_STRENGTH_PICTURES = {
    "reserves": ("reserves",),
    "rods": ("rods",),
    _FINS: ("fin-modes", "fin-swings", "fin-stays"),
}
_RECOVERY_PICTURES = {
    "canopies": ("opening",),
    "charges": ("pressure",),
    "cord": ("tension",),
    "zipper": ("zipper",),
}


def _pictured(
    sections: Iterable[ReportSection],
    drawn: Mapping[str, str],
    named: Mapping[str, Sequence[str]],
    kinds: Mapping[str, str] = MappingProxyType({}),
) -> tuple[ReportSection, ...]:
    """Give sections the pictures of the long looks, those of one kind in the order of their records."""
    counted: dict[str, int] = {}
    done: list[ReportSection] = []
    for section in sections:
        kind = kinds.get(section.key, section.key)
        counted[kind] = counted.get(kind, 0) + 1
        names = [f"{name}{mark}.svg" for name in named.get(kind, ()) for mark in ("", f"-{counted[kind]}")]
        done.append(replace(section, pictures=tuple(name for name in names if name in drawn)))
    return tuple(done)


def _beside(annex: Annex | None, shown: Shown) -> tuple[tuple[ReportSection, tuple[ReportSection, ...]], ...]:
    if annex is None:
        return ()
    printed = [(print_section(annex, shown), ())]
    if annex.bill:
        printed.append((bill_section(annex.bill, shown), ()))
    log = tuple((section, ()) for section in flights_sections(annex, shown))
    if annex.campaign is None:
        return (*log, *printed)
    flown = ReportSection(
        key="campaign",
        title="Many flights",
        facts=(
            ("flights", str(annex.campaign.flights)),
            ("design, seed", f"{annex.campaign.design}, {annex.campaign.seed}"),
        ),
    )
    return (*log, (flown, campaign_sections(annex.campaign, shown)), *printed)


def _weighed(readiness: Readiness, section: ReportSection) -> ReportSection:
    """Say under the mass table what no scale has seen."""
    guessed = [row.name for row in readiness.mass.rows if row.mass.known_by is not KnownBy.WEIGHED]
    said = f"Not weighed: {', '.join(guessed)}." if guessed else "Everything in the table is weighed."
    return replace(section, notes=(*section.notes, said))
