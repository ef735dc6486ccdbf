"""The pages of a phone on the field: what was read goes in, and today's verdict comes out."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from finial.findings.readiness import Readiness
from finial.findings.today import Today
from finial.report.checklist import Chapter
from finial.report.document import ReportSection
from finial.report.field_html import as_text, card_html, checklist_html, open_html, verdict_html
from finial.report.shown import Shown
from finial.report.today_text import read_sections, today_section
from finial.report.words import CARD_CAUTION, CAUTION

STYLE, TICKS = "/kit.css", "/ticks.js"
ASK, CODE, LIST, CARD = "/ask", "/code", "/list", "/card"
MOTORS = ("", "loaded", "out")


@dataclass(frozen=True, slots=True, kw_only=True)
class FormField:
    """One thing to read: its name in the form, and what a bare number in it is taken to mean."""

    name: str
    label: str
    unit: str
    give_or_take: str = ""
    """How well such a reading is known where nobody says; empty where it is taken as it is."""

    def written(self, typed: str) -> str:
        """Return what was typed as a sheet would have it: a bare number gets the unit beside it."""
        typed = typed.strip()
        try:
            float(typed.replace(",", "."))
        except ValueError:
            return typed
        told = f"{typed.replace(',', '.')} {self.unit}"
        return f"{told} +- {self.give_or_take}" if self.give_or_take else told


def fields(*, us_units: bool, wind_known_to: str) -> tuple[FormField, ...]:
    """List what is read on a field, in the units of the sheet."""
    mass, length, speed, warmth = ("lb", "in", "mph", "degF") if us_units else ("kg", "mm", "m/s", "degC")
    near, mass_near, warm = ("0.1 in", "0.02 lb", "4 degF") if us_units else ("3 mm", "10 g", "2 degC")
    return (
        FormField(name="mass", label="whole mass, packed", unit=mass, give_or_take=mass_near),
        FormField(name="balance", label="hangs level at, from the tip", unit=length, give_or_take=near),
        FormField(name="fore_at", label="fore scale stands at", unit=length),
        FormField(name="fore_reads", label="fore scale reads", unit=mass, give_or_take=mass_near),
        FormField(name="aft_at", label="aft scale stands at", unit=length),
        FormField(name="aft_reads", label="aft scale reads", unit=mass, give_or_take=mass_near),
        FormField(name="across_first", label="beside the axis, one way", unit=length),
        FormField(name="across_second", label="beside the axis, square to it", unit=length),
        FormField(name="wind", label="wind at 10 m", unit=speed, give_or_take=wind_known_to),
        FormField(name="wind_from", label="wind blows from, bearing", unit="deg", give_or_take="10 deg"),
        FormField(name="temperature", label="air", unit=warmth, give_or_take=warm),
        FormField(name="pressure", label="pressure at the pad", unit="hPa", give_or_take="2 hPa"),
        FormField(name="tilt", label="rail leans by", unit="deg"),
        FormField(name="toward", label="rail leans towards, bearing", unit="deg"),
    )


def code_page(name: str, *, wrong: bool) -> str:
    """Return the page that asks for the code which the shell shows."""
    again = "<p class='verdict no-go'>That is not the code.</p>" if wrong else ""
    return _page(
        name,
        f"<h1>{as_text(name)}</h1>{again}"
        "<p>Type the code that the computer shows. It opens this page on one phone, once.</p>"
        f'<form method="post" action="{CODE}"><label>code'
        '<input name="code" inputmode="numeric" autocomplete="off" maxlength="12" autofocus></label>'
        "<p><button>Open</button></p></form>",
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class DayPage:
    """What stands on the page of the day."""

    name: str
    asked: tuple[FormField, ...]
    typed: Mapping[str, str]
    """What was typed last, by field."""
    us_units: bool
    may_write: bool
    """Whether what is read may go into the sheet."""
    answered: Readiness | Today | None = None
    faults: Sequence[str] = ()
    written: bool = False
    """Whether it went into the sheet just now."""


def day_page(day: DayPage) -> str:
    """Return the page of the day: the verdict first, then what was read, then everything else."""
    return _page(
        day.name,
        f"<h1>{as_text(day.name)}</h1>",
        f'<nav><a href="{LIST}">Checklist</a><a href="{CARD}">Card</a></nav>',
        *(f'<p class="verdict no-go">{as_text(one)}</p>' for one in day.faults),
        *_answer(day),
        *_form(day),
        f"<h2>Caution</h2><p>{as_text(CAUTION)}</p>",
    )


def list_page(name: str, revision: str, chapters: Sequence[Chapter]) -> str:
    """Return the checklist, its boxes kept on the phone by the revision of the sheet."""
    return _page(
        name,
        f"<h1>{as_text(name)}</h1><nav><a href='/'>The day</a></nav>",
        *checklist_html(chapters),
        f'<script src="{TICKS}"></script>',
        revision=revision,
    )


def card_page(name: str, checked: Readiness) -> str:
    """Return the flight card by the sheet."""
    return _page(
        name,
        f"<h1>{as_text(name)}</h1><nav><a href='/'>The day</a></nav><p>{as_text(CARD_CAUTION)}</p>",
        verdict_html(checked),
        *card_html(checked),
    )


def _page(name: str, *body: str, revision: str = "") -> str:
    return (
        '<!doctype html>\n<html lang="en-GB"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f'<title>{as_text(name)}: the day</title><link rel="stylesheet" href="{STYLE}"></head>\n'
        f'<body data-revision="{as_text(revision)}">\n' + "\n".join(body) + "\n</body></html>\n"
    )


def _answer(day: DayPage) -> Iterator[str]:
    """Show today's verdict where something was read, else the sheet's."""
    shown = Shown(us_units=day.us_units)
    if isinstance(day.answered, Today):
        yield "<h2>Today</h2>" + verdict_html(day.answered.today)
        if day.written:
            yield "<p>What was read stands in the sheet now.</p>"
        yield from _section(today_section(day.answered, shown))
        for section in read_sections(day.answered, shown):
            yield from _section(section)
        yield "<h3>Open today</h3>"
        yield from open_html(day.answered.today, shown)
    elif day.answered is not None:
        yield "<h2>By the sheet, nothing read yet</h2>" + verdict_html(day.answered)


def _section(section: ReportSection) -> Iterator[str]:
    """Write a section, each row of its tables as one block: a phone has no room for four columns."""
    yield f"<h3>{as_text(section.title)}</h3>"
    for table in section.tables:
        for row in table.rows:
            pairs = zip(table.columns[1:], row[1:], strict=True)
            told = "".join(f"<dt>{as_text(column)}</dt><dd>{as_text(value)}</dd>" for column, value in pairs)
            yield f"<p><b>{as_text(row[0])}</b></p><dl>{told}</dl>"
    yield from (f"<p>{as_text(note)}</p>" for note in section.notes)


def _form(day: DayPage) -> Iterator[str]:
    """Write the form: a bare number means the unit beside it."""
    yield f'<h2>Read today</h2><form method="post" action="{ASK}">'
    yield (
        "<p class='small'>Weigh and hang it with no igniter in a motor and no charge connected. A bare number"
        " is in the unit beside it; write “5 m/s +- 0.5 m/s” to say more. Leave empty what was not read.</p>"
    )
    chosen = day.typed.get("motor", "")
    options = "".join(
        f'<option value="{one}"{" selected" if one == chosen else ""}>{one or "not weighed"}</option>'
        for one in MOTORS
    )
    yield f'<div class="ask"><label>motor when weighed<select name="motor">{options}</select></label>'
    for one in day.asked:
        known = f", ± {one.give_or_take}" if one.give_or_take else ""
        yield (
            f'<label>{as_text(one.label)}<input type="text" name="{one.name}" autocomplete="off"'
            f' value="{as_text(day.typed.get(one.name, ""))}">'
            f'<span class="small">{as_text(one.unit + known)}</span></label>'
        )
    yield '</div><p><button name="do" value="ask">Ask for today\'s verdict</button>'
    if day.may_write:
        yield '<button name="do" value="write">Ask, and write it into the sheet</button>'
    yield "</p><p class='small'>It takes some seconds.</p></form>"
