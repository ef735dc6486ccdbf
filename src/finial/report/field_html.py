"""Pieces of the pages that go to the field: card, checklist and verdict as HTML, every word as text."""

import json
from collections.abc import Iterator, Sequence
from html import escape
from importlib.resources import files

from finial.findings.causes import Group, groups_of
from finial.findings.finding import Verdict
from finial.findings.readiness import Readiness
from finial.report.checklist import Chapter
from finial.report.finding_words import title, what_to_change
from finial.report.sections.card import card
from finial.report.shown import Shown
from finial.report.visible import visible
from finial.report.words import answer, headline_word

ROLES = {
    Verdict.GO: "go",
    Verdict.CAUTION: "caution",
    Verdict.NOT_KNOWN: "not-known",
    Verdict.NO_GO: "no-go",
}
"""Classes of the style sheet."""


def own_file(name: str) -> str:
    """Text of a style sheet or script that comes with the pages of the field."""
    return files("finial.report").joinpath("kit", name).read_text(encoding="utf-8")


def as_text(words: str) -> str:
    """Everything a builder wrote reaches the page as text, never as markup."""
    return escape(visible(words))


def json_in_page(told: object) -> str:
    """JSON that no word inside can end its script with: no browser reads it as mark-up."""
    return json.dumps(told, allow_nan=False, ensure_ascii=False).replace("<", "\\u003c")


def verdict_html(checked: Readiness) -> str:
    """Write the verdict and the sentence that goes with it."""
    role, word = ROLES[checked.verdict], headline_word(checked.verdict)
    return f'<div class="verdict {role}"><b>{word}</b>{as_text(answer(checked))}</div>'


def card_html(checked: Readiness) -> Iterator[str]:
    """Write the flight card, and what is open, group by group."""
    shown = Shown(us_units=checked.us_units)
    yield '<h2 id="card">Flight card</h2>'
    for heading, facts in card(checked):
        yield f"<h3>{as_text(heading)}</h3>{facts_html(facts)}"
    yield "<h3>Open</h3>"
    yield from open_html(checked, shown)


def open_html(checked: Readiness, shown: Shown) -> Iterator[str]:
    """Write what is not a go: the leader of each group with what would change it, the others by name."""
    open_ = [one for one in checked.findings if one.verdict is not Verdict.GO]
    for group in groups_of(open_):
        lead = group.leader
        fix = what_to_change(lead, shown)
        yield (
            f'<div class="verdict {ROLES[lead.verdict]}"><b>{as_text(title(lead, shown))}</b>'
            f"{as_text(lead.verdict.words)}{': ' + as_text(fix) if fix else ''}{_with(group, shown)}</div>"
        )


def _with(group: Group, shown: Shown) -> str:
    """Name what follows from the same cause, each with its verdict."""
    named = "; ".join(f"{title(one, shown)} ({one.verdict.words})" for one in group.followers)
    return f"<br>With it: {as_text(named)}" if named else ""


def facts_html(facts: Sequence[tuple[str, str]]) -> str:
    """Write names and values as a list of terms."""
    rows = "".join(f"<dt>{as_text(name)}</dt><dd>{as_text(value)}</dd>" for name, value in facts)
    return f"<dl>{rows}</dl>"


def checklist_html(chapters: Sequence[Chapter]) -> Iterator[str]:
    """Write boxes to tick, and fields for two initials where a step asks for them."""
    yield '<h2 id="list">Checklist</h2>'
    yield "<p><span id='done'></span> <button id='clear' type='button'>Clear all boxes</button></p>"
    yield (
        "<p class='small'>Where two fields follow a step, two people look, and both write their initials, "
        "before anything goes on.</p>"
    )
    for number, chapter in enumerate(chapters):
        yield f"<h3>{as_text(chapter.title)}</h3>"
        for at, step in enumerate(chapter.steps):
            key = f"{number}.{at}"
            yield (
                f'<label class="step"><input type="checkbox" data-kept="{key}">'
                f"<span>{as_text(step.text)}</span></label>"
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
