"""The answer as a PDF of a few pages, set by Typst."""

import json
import warnings
from importlib.resources import files
from typing import Any

from finial import __version__
from finial.findings.finding import Finding, Verdict
from finial.findings.readiness import Readiness
from finial.report.album import pictures
from finial.report.document import Section, Table
from finial.report.shown import Shown
from finial.report.sources import limits_used, methods_used
from finial.report.stages import all_sections
from finial.report.words import CAUTION, answer, margin_words, verdict_word, worst_first


def report_pdf(readiness: Readiness) -> bytes:
    """Return the report as a tagged PDF (PDF/UA-1, the standard for readers who cannot see it).

    Everything the builder wrote reaches the page as data, never as markup, so a part
    named ``#eval`` prints as that. Only fonts that ship with Typst are used; the same
    answer gives the same bytes, as no date is written into the file.
    """
    # The compiler is a 60 MB library: only a report pays for loading it.
    import typst

    template = files("finial.report").joinpath("template.typ").read_bytes()
    with warnings.catch_warnings():
        warnings.simplefilter("error", typst.TypstWarning)
        made = typst.compile(
            template,
            format="pdf",
            ignore_system_fonts=True,
            sys_inputs={"data": json.dumps(report_data(readiness), allow_nan=False)},
            pdf_standards=["ua-1"],
            timestamp=0,
        )
    return bytes(made)  # type: ignore[arg-type]


def report_data(readiness: Readiness) -> dict[str, Any]:
    """Return everything the template shows, as words."""
    shown = Shown(us_units=readiness.us_units)
    ordered = worst_first(readiness.findings)
    return {
        "name": readiness.name,
        "note": readiness.note,
        "sheet": readiness.sheet_file,
        "version": __version__,
        "verdict": verdict_word(readiness.verdict),
        "role": readiness.verdict.words,
        "answer": answer(readiness),
        "open": [_finding(one, shown) for one in ordered if one.verdict is not Verdict.GO],
        "met": [_finding(one, shown) for one in ordered if one.verdict is Verdict.GO],
        "sections": [_section(section) for section in all_sections(readiness)],
        "pictures": {name: _picture(svg) for name, svg in pictures(readiness).items()},
        "methods": [list(pair) for pair in methods_used(readiness)],
        "limits": [list(pair) for pair in limits_used(readiness)],
        "caution": CAUTION,
    }


def _finding(finding: Finding, shown: Shown) -> dict[str, Any]:
    return {
        "verdict": verdict_word(finding.verdict),
        "role": finding.verdict.words,
        "subject": finding.subject,
        "name": finding.name,
        "value": "" if finding.value is None else shown.judged(finding.value, finding.dimension),
        "limit": finding.limit,
        "margin": margin_words(finding.margin),
        "why": finding.why,
        "fix": finding.fix,
        "source": finding.source,
        "safety": finding.safety,
    }


def _section(section: Section) -> dict[str, Any]:
    return {
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
    """SVG and its own description, which becomes the text for readers who cannot see it."""
    from xml.etree import ElementTree

    described = ElementTree.fromstring(svg).findtext("{http://www.w3.org/2000/svg}desc", default="")
    return {"svg": svg, "says": described}
