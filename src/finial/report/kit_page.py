"""The site kit: one HTML file with card, checklist, map and what-if table, that needs nothing else."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import PurePath
from typing import Any

from finial.core.dimensions import Dimension
from finial.core.version import __version__
from finial.findings.field_map import FieldMap
from finial.findings.finding import Verdict
from finial.findings.readiness import Readiness
from finial.findings.what_if import WhatIf, WhatIfTable
from finial.report.checklist import Chapter
from finial.report.field_html import (
    ROLES,
    as_text,
    card_html,
    checklist_html,
    facts_html,
    json_in_page,
    own_file,
    verdict_html,
)
from finial.report.field_map_text import field_map_sections
from finial.report.finding_words import title
from finial.report.pictures.field_map import field_map_picture
from finial.report.shown import INCH_M, MILE_AN_HOUR_M_S, POUND_KG, Shown
from finial.report.words import CARD_CAUTION, CAUTION, headline_word

QUICK_NOTE = (
    "Asked ahead of the quick look; only a whole check says go. Between two rows the worse counts. Measured "
    "to 10 g and 3 mm, wind as well known as in the sheet."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Kit:
    """Everything that goes to the field."""

    checked: Readiness
    """The whole check."""
    revision: str
    chapters: Sequence[Chapter]
    map: FieldMap
    what_if: WhatIfTable


def kit_page(kit: Kit) -> str:
    """Return the page as one HTML text: styles, script, picture and table inside, nothing fetched."""
    name = as_text(kit.checked.name)
    body = (
        *_head(kit),
        *card_html(kit.checked),
        *_what_if(kit),
        *_map(kit.map),
        *checklist_html(kit.chapters),
        f'<h2 id="cautions">Caution</h2><p>{as_text(CAUTION)}</p>',
    )
    return (
        '<!doctype html>\n<html lang="en-GB"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<title>{name}: site kit</title><style>{own_file('kit.css')}</style></head>\n"
        f'<body data-revision="{as_text(kit.revision)}">\n'
        + "\n".join(body)
        + f'\n<script type="application/json" id="table">{json_in_page(_table(kit))}</script>'
        f"\n<script>{own_file('ticks.js')}\n{own_file('kit.js')}</script></body></html>\n"
    )


def _head(kit: Kit) -> Iterator[str]:
    checked = kit.checked
    sheet = PurePath(checked.sheet_file).name
    yield f"<h1>{as_text(checked.name)}</h1><p class='small'>{as_text(checked.note)}</p>"
    yield (
        f"<p class='small'>{as_text(sheet)}, revision <code>{as_text(kit.revision)}</code>, "
        f"finial {__version__}. Works without a network.</p>"
    )
    yield verdict_html(checked)
    links = (("card", "Card"), ("what-if", "What if"), ("map", "Map"), ("list", "Checklist"))
    yield "<nav>" + "".join(f'<a href="#{where}">{said}</a>' for where, said in links) + "</nav>"
    yield f"<p>{as_text(CARD_CAUTION)}</p>"


def _what_if(kit: Kit) -> Iterator[str]:
    yield '<h2 id="what-if">What if: mass, balance, wind</h2>'
    fields = "".join(
        f'<label>{as_text(axis["name"])}<input type="number" inputmode="decimal" step="any" '
        f'id="{axis["id"]}" value="{axis["values"][axis["own"]]}"><span class="small">{axis["values"][0]} to '
        f"{axis['values'][-1]}</span></label>"
        for axis in _axes(kit)
    )
    yield f'<div class="ask">{fields}</div><div id="answer" class="verdict" aria-live="polite"></div>'
    yield f"<p class='small'>{as_text(QUICK_NOTE)}</p>"


def _axes(kit: Kit) -> list[dict[str, Any]]:
    """Mass, balance and wind in the units of the sheet, to the digits that are read off on a field."""
    table, us_units = kit.what_if, kit.checked.us_units
    mass, length, speed = (POUND_KG, INCH_M, MILE_AN_HOUR_M_S) if us_units else (1.0, 1e-3, 1.0)
    names = ("lb", "in", "mph") if us_units else ("kg", "mm", "m/s")
    wind = min(range(len(table.winds_m_s)), key=lambda at: abs(table.winds_m_s[at] - kit.map.drawn.wind_m_s))
    given = (
        ("mass", f"mass with motor, {names[0]}", table.masses_kg, mass, 2, len(table.masses_kg) // 2),
        (
            "balance",
            f"balance from the tip, {names[1]}",
            table.balances_m,
            length,
            1,
            len(table.balances_m) // 2,
        ),
        ("wind", f"wind at 10 m, {names[2]}", table.winds_m_s, speed, 1, wind),
    )
    return [
        {"id": key, "name": name, "values": [round(one / unit, digits) for one in values], "own": own}
        for key, name, values, unit, digits, own in given
    ]


def _table(kit: Kit) -> dict[str, Any]:
    shown = Shown(us_units=kit.checked.us_units)
    return {
        "revision": kit.revision,
        "axes": _axes(kit),
        "cells": [_cell(one, shown) for one in kit.what_if.cells],
        "words": {
            "not_known": "NOT KNOWN",
            "beyond": "Beyond the table: finial day answers it. Outside are",
            "nothing": "Nothing of the quick look fails; ask the whole check for a go.",
        },
    }


def _cell(cell: WhatIf | None, shown: Shown) -> dict[str, Any]:
    if cell is None:
        return {
            "rank": int(Verdict.NO_GO),
            "role": ROLES[Verdict.NO_GO],
            "head": "NO-GO",
            "fails": ["no such vehicle: less than its parts, or a balance outside it"],
            "numbers": [],
        }
    numbers = [f"landing point as far as {shown.plain(cell.farthest_m, Dimension.LENGTH)}"]
    if cell.least_margin_m is not None:
        numbers.append(f"least margin {shown.plain(cell.least_margin_m, Dimension.LENGTH)}")
    head = "NOTHING FAILS SO FAR" if not cell.fails else headline_word(cell.verdict)
    fails = [f"{one.verdict.words}: {title(one, shown)}" for one in cell.fails]
    return {
        "rank": int(cell.verdict),
        "role": ROLES[cell.verdict],
        "head": head,
        "fails": list(dict.fromkeys(fails)),
        "numbers": numbers,
    }


def _map(found: FieldMap) -> Iterator[str]:
    yield '<h2 id="map">Map of the day</h2>'
    yield field_map_picture(found.drawn)
    for section in field_map_sections(found):
        yield f"<h3>{as_text(section.title)}</h3>"
        if section.facts:
            yield facts_html(section.facts)
        for table in section.tables:
            for row in table.rows:
                said = "; ".join(
                    f"{column}: {value}" for column, value in zip(table.columns[1:], row[1:], strict=True)
                )
                yield f"<p><b>{as_text(row[0])}</b>: {as_text(said)}</p>"
        yield "".join(f"<p class='small'>{as_text(note)}</p>" for note in section.notes)
