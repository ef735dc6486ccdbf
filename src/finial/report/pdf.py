"""The answer as a PDF of a few pages, set by Typst."""

import json
import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from importlib.resources import files
from pathlib import PurePath
from typing import Any

from finial.core.trees import is_list, is_table
from finial.core.version import __version__
from finial.findings.begun import Begun
from finial.findings.causes import groups_of
from finial.findings.finding import Finding, Verdict
from finial.findings.readiness import Readiness
from finial.logbook.debrief import Debrief
from finial.report.annex import Annex
from finial.report.begun_text import begun_sections
from finial.report.checklist import Chapter, checklist
from finial.report.contents import contents
from finial.report.document import ReportSection, Table
from finial.report.finding_words import (
    limit,
    title,
    value,
    value_judged,
    what_else_to_change,
    what_to_change,
    why,
)
from finial.report.looked import looked_words
from finial.report.sections.card import card
from finial.report.shown import Shown
from finial.report.sources import limits_used, methods_by_name
from finial.report.typeset import typeset
from finial.report.visible import visible
from finial.report.words import CARD_CAUTION, CAUTION, answer, headline_word, how_far, verdict_word

_LONG_WORD = re.compile(r"\S{30}(?=\S)")
_LACKS_LETTER = "could not be displayed with font"

PAPERS = {"a4": "a4", "letter": "us-letter"}
"""Sizes of paper, as Typst names them."""


def usual_paper(readiness: Readiness | Begun) -> str:
    """Letter where the sheet shows inches, A4 elsewhere."""
    return "letter" if readiness.us_units else "a4"


def pdf_bytes(
    readiness: Readiness,
    annex: Annex | None = None,
    *,
    revision: str = "",
    card_alone: bool = False,
    paper: str | None = None,
) -> bytes:
    """Return the report as a tagged PDF (PDF/UA-1, the standard for readers who cannot see it).

    ``annex`` adds what the sheet and a campaign tell besides, ``revision`` tells which state of sheet and
    meshes it is of; ``card_alone`` stops after the first page; ``paper`` is one of ``PAPERS``, the usual one
    without it.

    Everything the builder wrote reaches the page as data, never as markup, so a part
    named ``#eval`` prints as that. The same answer gives the same bytes: no date is
    written, and only fonts that ship with Typst are used, unless a name has letters that
    those lack. Then the machine's own fonts help out, and if they lack them too, boxes
    stand for the letters and the file gives up the standard, which forbids that.
    """
    on_paper = PAPERS[paper or usual_paper(readiness)]
    chosen = {"revision": revision, "card_alone": card_alone, "paper": on_paper}
    return _set({**report_data(readiness, annex), **chosen})


def begun_pdf_bytes(begun: Begun, *, paper: str | None = None) -> bytes:
    """Return the same pages for a sheet that is only begun, as far as it goes."""
    chosen = {"revision": "", "card_alone": False, "paper": PAPERS[paper or usual_paper(begun)]}
    return _set({**begun_data(begun), **chosen})


def checklist_pdf_bytes(
    readiness: Readiness, chapters: Sequence[Chapter], *, revision: str = "", paper: str | None = None
) -> bytes:
    """Return checklists as a PDF; ``revision`` tells which state of sheet and meshes they are of."""
    said = {
        "name": readiness.name,
        "sheet": PurePath(readiness.sheet_file).name,
        "version": __version__,
        "revision": revision,
        "paper": PAPERS[paper or usual_paper(readiness)],
        "answer": answer(readiness),
        "chapters": _chapters(chapters),
        "caution": CAUTION,
    }
    return _set(_fit(said), template="checklist.typ")


def debrief_pdf_bytes(
    found: Debrief, sections: Sequence[ReportSection], drawn: Mapping[str, str], *, paper: str | None = None
) -> bytes:
    """Return a flight by its log as a PDF: pictures first, then the sections of the debrief."""
    said = {
        "name": found.vehicle.sheet.vehicle.name,
        "logs": ", ".join(PurePath(story.reading.file).name for story in found.stories),
        "version": __version__,
        "sections": [_section(section) for section in sections],
        "caution": CAUTION,
        "paper": PAPERS[paper or ("letter" if found.vehicle.us_units else "a4")],
    }
    shown = {name: _picture(svg) for name, svg in drawn.items()}
    return _set({**_fit(said), "pictures": shown}, template="debrief.typ")


def _set(said: dict[str, Any], template: str = "template.typ") -> bytes:
    # The compiler is a large library: only a report pays for loading it.
    import typst

    data = json.dumps(said, allow_nan=False)
    try:
        return _compiled(data, template, own_fonts=True, accessible=True)
    except typst.TypstError as error:
        if _LACKS_LETTER not in str(error):
            raise
    try:
        return _compiled(data, template, own_fonts=False, accessible=True)
    except typst.TypstError as error:
        if _LACKS_LETTER not in str(error):
            raise
    return _compiled(data, template, own_fonts=False, accessible=False)


def _compiled(data: str, template: str, *, own_fonts: bool, accessible: bool) -> bytes:
    import typst

    made = typst.compile(
        files("finial.report").joinpath(template).read_bytes(),
        format="pdf",
        ignore_system_fonts=own_fonts,
        sys_inputs={"data": data},
        pdf_standards=["ua-1"] if accessible else [],
    )
    return bytes(made)  # type: ignore[arg-type]


def report_data(readiness: Readiness, annex: Annex | None = None) -> dict[str, Any]:
    """Return everything the template shows, as words."""
    shown = Shown(us_units=readiness.us_units)
    whole = contents(readiness, annex)
    listed = checklist(annex.sheet, readiness.range_safety) if annex else ()
    said: dict[str, Any] = {
        **_opening(readiness, shown),
        "card": [{"title": name, "facts": [list(fact) for fact in facts]} for name, facts in card(readiness)],
        "looks": list(looked_words(readiness, flown_often=bool(annex and annex.campaign))),
        "sections": [
            {**_section(one), "inner": [_section(each) for each in inner]} for one, inner in whole.sections
        ],
        "checklist": _chapters(listed),
        "methods": [list(row) for row in methods_by_name(readiness)],
        "limits": [list(pair) for pair in limits_used(readiness, shown)],
    }
    return {**_fit(said), "pictures": {name: _picture(svg) for name, svg in whole.pictures.items()}}


def begun_data(begun: Begun) -> dict[str, Any]:
    """Return everything the template shows of a sheet that is only begun, as words."""
    sections = [replace(section, pictures=()) for section in begun_sections(begun)]
    said: dict[str, Any] = {
        **_opening(begun, Shown(us_units=begun.us_units)),
        "card": [],
        "looks": [],
        "sections": [{**_section(section), "inner": []} for section in sections],
        "checklist": [],
        "methods": [],
        "limits": [],
    }
    return {**_fit(said), "pictures": {}}


def _opening(readiness: Readiness | Begun, shown: Shown) -> dict[str, Any]:
    ordered = readiness.findings
    return {
        "name": readiness.name,
        "note": readiness.note,
        "sheet": PurePath(readiness.sheet_file).name,
        "version": __version__,
        "verdict": headline_word(readiness.verdict),
        "role": readiness.verdict.words,
        "answer": answer(readiness),
        "open": [
            {
                **_finding(group.leader, shown),
                "with": [
                    {**_finding(one, shown), "fix": what_else_to_change(one, group.leader, shown)}
                    for one in group.followers
                ],
            }
            for group in groups_of(one for one in ordered if one.verdict is not Verdict.GO)
        ],
        "met": [_met(one, shown) for one in ordered if one.verdict is Verdict.GO],
        "caution": CAUTION,
        "card_caution": CARD_CAUTION,
    }


def _chapters(chapters: Sequence[Chapter]) -> list[dict[str, Any]]:
    return [
        {"title": one.title, "steps": [{"text": step.text, "stops": step.stops} for step in one.steps]}
        for one in chapters
    ]


def _fit(said: Any) -> Any:
    """Make every word fit to be shown, set its units, let very long ones break (zero-width space)."""
    if isinstance(said, str):
        return _LONG_WORD.sub("\\g<0>\u200b", typeset(visible(said)))
    if is_table(said):
        return {key: _fit(value) for key, value in said.items()}
    return [_fit(value) for value in said] if is_list(said) else said


def _finding(finding: Finding, shown: Shown) -> dict[str, Any]:
    return {
        "verdict": verdict_word(finding.verdict),
        "role": finding.verdict.words,
        "subject": finding.stage,
        "name": title(finding, shown),
        "value": "" if finding.value is None else value_judged(finding, shown),
        "limit": limit(finding, shown),
        "margin": how_far(finding),
        "why": why(finding, shown),
        "fix": what_to_change(finding, shown),
        "source": finding.bound.source,
        "safety": finding.safety,
    }


def _met(finding: Finding, shown: Shown) -> list[str]:
    number = value(finding, shown) if finding.value else "met"
    return [title(finding, shown), number, limit(finding, shown), how_far(finding)]


def _section(section: ReportSection) -> dict[str, Any]:
    return {
        "key": section.key,
        "title": section.title,
        "facts": [list(fact) for fact in section.facts],
        "tables": [_table(table) for table in section.tables if table.rows],
        "notes": list(section.notes),
        "pictures": list(section.pictures),
    }


def _table(table: Table) -> dict[str, Any]:
    return {
        "title": table.title,
        "columns": list(table.columns),
        "rows": [list(row) for row in table.rows],
        "numbers": list(table.numbers),
    }


def _picture(svg: str) -> dict[str, str]:
    """Return an SVG and its own description, which becomes the text for readers who cannot see it."""
    from xml.etree import ElementTree

    described = ElementTree.fromstring(svg).findtext("{http://www.w3.org/2000/svg}desc", default="")
    return {"svg": svg, "says": described}
