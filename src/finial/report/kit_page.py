"""The site kit: one HTML file with card, checklist, map and what-if table, that needs nothing else."""

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from html import escape
from importlib.resources import files
from pathlib import PurePath
from typing import Any

from finial.core.dimensions import Dimension
from finial.core.version import __version__
from finial.findings.causes import groups_of
from finial.findings.field_map import FieldMap
from finial.findings.finding import Verdict
from finial.findings.readiness import Readiness
from finial.findings.what_if import WhatIf, WhatIfTable
from finial.report.checklist import Chapter
from finial.report.field_map_text import field_map_sections
from finial.report.finding_words import title, what_to_change
from finial.report.pictures.field_map import field_map_picture
from finial.report.sections.card import card
from finial.report.shown import INCH_M, MILE_AN_HOUR_M_S, POUND_KG, Shown
from finial.report.visible import visible
from finial.report.words import CARD_CAUTION, CAUTION, answer, headline_word

_ROLES = {
    Verdict.GO: "go",
    Verdict.CAUTION: "caution",
    Verdict.NOT_KNOWN: "not-known",
    Verdict.NO_GO: "no-go",
}
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
    name = _text(kit.checked.name)
    body = (
        *_head(kit),
        *_card(kit.checked),
        *_what_if(kit),
        *_map(kit.map),
        *_checklist(kit.chapters),
        f'<h2 id="cautions">Caution</h2><p>{_text(CAUTION)}</p>',
    )
    return (
        '<!doctype html>\n<html lang="en-GB"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<title>{name}: site kit</title><style>{_own('kit.css')}</style></head><body>\n"
        + "\n".join(body)
        + f'\n<script type="application/json" id="table">{_json(_table(kit))}</script>'
        f"\n<script>{_own('kit.js')}</script></body></html>\n"
    )


def _own(name: str) -> str:
    return files("finial.report").joinpath("kit", name).read_text(encoding="utf-8")


def _text(words: str) -> str:
    """Everything a builder wrote reaches the page as text, never as markup."""
    return escape(visible(words))


def _json(told: Any) -> str:
    """JSON that no word inside can end the script with."""
    return json.dumps(told, allow_nan=False, ensure_ascii=False).replace("<", "\\u003c")


def _head(kit: Kit) -> Iterator[str]:
    checked = kit.checked
    sheet = PurePath(checked.sheet_file).name
    yield f"<h1>{_text(checked.name)}</h1><p class='small'>{_text(checked.note)}</p>"
    yield (
        f"<p class='small'>{_text(sheet)}, revision <code>{_text(kit.revision)}</code>, "
        f"finial {__version__}. Works without a network.</p>"
    )
    role = _ROLES[checked.verdict]
    yield (
        f'<div class="verdict {role}"><b>{headline_word(checked.verdict)}</b>{_text(answer(checked))}</div>'
    )
    links = (("card", "Card"), ("what-if", "What if"), ("map", "Map"), ("list", "Checklist"))
    yield "<nav>" + "".join(f'<a href="#{where}">{said}</a>' for where, said in links) + "</nav>"
    yield f"<p>{_text(CARD_CAUTION)}</p>"


def _card(checked: Readiness) -> Iterator[str]:
    shown = Shown(us_units=checked.us_units)
    yield '<h2 id="card">Flight card</h2>'
    for heading, facts in card(checked):
        yield f"<h3>{_text(heading)}</h3>{_facts(facts)}"
    open_ = [one for one in checked.findings if one.verdict is not Verdict.GO]
    yield "<h3>Open</h3>"
    for group in groups_of(open_):
        lead = group.leader
        fix = what_to_change(lead, shown)
        yield (
            f'<div class="verdict {_ROLES[lead.verdict]}"><b>{_text(title(lead, shown))}</b>'
            f"{_text(lead.verdict.words)}{': ' + _text(fix) if fix else ''}</div>"
        )


def _facts(facts: Sequence[tuple[str, str]]) -> str:
    rows = "".join(f"<dt>{_text(name)}</dt><dd>{_text(value)}</dd>" for name, value in facts)
    return f"<dl>{rows}</dl>"


def _what_if(kit: Kit) -> Iterator[str]:
    yield '<h2 id="what-if">What if: mass, balance, wind</h2>'
    fields = "".join(
        f'<label>{_text(axis["name"])}<input type="number" inputmode="decimal" step="any" id="{axis["id"]}" '
        f'value="{axis["values"][axis["own"]]}"><span class="small">{axis["values"][0]} to '
        f"{axis['values'][-1]}</span></label>"
        for axis in _axes(kit)
    )
    yield f'<div class="ask">{fields}</div><div id="answer" class="verdict" aria-live="polite"></div>'
    yield f"<p class='small'>{_text(QUICK_NOTE)}</p>"


def _axes(kit: Kit) -> list[dict[str, Any]]:
    """Mass, balance and wind in the units of the sheet, to the digits that are read off on a field."""
    table, us_units = kit.what_if, kit.checked.us_units
    mass, length, speed = (POUND_KG, INCH_M, MILE_AN_HOUR_M_S) if us_units else (1.0, 1e-3, 1.0)
    names = ("lb", "in", "mph") if us_units else ("kg", "mm", "m/s")
    wind = min(range(len(table.winds_m_s)), key=lambda at: abs(table.winds_m_s[at] - kit.map.wind_m_s))
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
            "role": _ROLES[Verdict.NO_GO],
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
        "role": _ROLES[cell.verdict],
        "head": head,
        "fails": list(dict.fromkeys(fails)),
        "numbers": numbers,
    }


def _map(found: FieldMap) -> Iterator[str]:
    yield '<h2 id="map">Map of the day</h2>'
    yield field_map_picture(found)
    for section in field_map_sections(found):
        yield f"<h3>{_text(section.title)}</h3>"
        if section.facts:
            yield _facts(section.facts)
        for table in section.tables:
            for row in table.rows:
                said = "; ".join(
                    f"{column}: {value}" for column, value in zip(table.columns[1:], row[1:], strict=True)
                )
                yield f"<p><b>{_text(row[0])}</b>: {_text(said)}</p>"
        yield "".join(f"<p class='small'>{_text(note)}</p>" for note in section.notes)


def _checklist(chapters: Sequence[Chapter]) -> Iterator[str]:
    yield '<h2 id="list">Checklist</h2>'
    yield "<p><span id='done'></span> <button id='clear' type='button'>Clear all boxes</button></p>"
    yield (
        "<p class='small'>Where two fields follow a step, two people look, and both write their initials, "
        "before anything goes on.</p>"
    )
    for number, chapter in enumerate(chapters):
        yield f"<h3>{_text(chapter.title)}</h3>"
        for at, step in enumerate(chapter.steps):
            key = f"{number}.{at}"
            yield (
                f'<label class="step"><input type="checkbox" data-kept="{key}">'
                f"<span>{_text(step.text)}</span></label>"
            )
            if step.stops:
                yield (
                    '<div class="initials">'
                    + "".join(
                        f'<input type="text" maxlength="4" aria-label="initials {who}"'
                        f' data-kept="{key}.{who}">'
                        for who in (1, 2)
                    )
                    + "</div>"
                )
