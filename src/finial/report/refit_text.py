"""A log beside its prediction, and what it corrects, as sections of text."""

from finial.core.dimensions import Dimension
from finial.files.edit import toml_value
from finial.files.source import dotted
from finial.findings.today import Today
from finial.logbook.compare import LogComparison
from finial.logbook.cord import CordThen
from finial.logbook.refit import Learnt, Refit
from finial.logbook.sheet_changes import SheetChanges
from finial.report.document import ReportSection, Table
from finial.report.finding_words import title_of
from finial.report.refit_words import (
    DIMENSIONS,
    REASONS,
    difference_name,
    explained,
    signs_words,
    unknown_dimension,
    unknown_words,
)
from finial.report.shown import NOT_KNOWN, Shown
from finial.report.today_text import numbers_of_day

_ANOTHER = 0.5
_MISFIT = 2.0


def comparison_section(found: LogComparison, fit: Refit, shown: Shown) -> ReportSection:
    """Numbers of the log beside those predicted, and why they differ."""
    after = {one.unknown.key: one.after.value for one in fit.learnt}
    rows = tuple(
        (
            difference_name(one, shown),
            shown.between(one.predicted, DIMENSIONS[one.quantity]),
            shown.between(one.measured, DIMENSIONS[one.quantity]),
            shown.plain(one.corrected, DIMENSIONS[one.quantity]),
        )
        for one in found.differences
    )
    words = tuple(explained(one, after, shown) for one in found.differences)
    return ReportSection(
        key="compared",
        title="Log beside prediction",
        tables=(
            Table(
                title="",
                columns=("what", "predicted", "log", "corrected model"),
                rows=rows,
                numbers=(1, 2, 3),
            ),
        ),
        notes=(*words, *_doubts(found, fit)),
    )


def _doubts(found: LogComparison, fit: Refit) -> tuple[str, ...]:
    said: list[str] = []
    if found.another > _ANOTHER:
        said.append(
            f"Odds {found.another:.2f} that this log is of another flight, motor or vehicle than the sheet's:"
            f" {signs_words(found.signs)}. Compare names and dates before anything of it is used."
        )
    if fit.misfit > _MISFIT:
        said.append(
            f"The corrected model still misses the log by {fit.misfit:.1f} times the sensors' noise:"
            " something happened that it does not hold. Its intervals are widened by that."
        )
    return tuple(said)


def cords_section(found: tuple[CordThen, ...], shown: Shown) -> ReportSection:
    """Say what each cord did at the separation as it was."""
    rows = tuple(
        (
            one.cord,
            f"{abs(one.late_s):.1f} s {'late' if one.late_s > 0.0 else 'early'}",
            ("at least " if one.beyond else "") + shown.plain(one.pull_n, Dimension.FORCE),
            NOT_KNOWN if one.margin is None else f"{one.margin:.1f}",
        )
        for one in found
    )
    cut = any(one.margin is not None and one.margin < 0.0 for one in found)
    notes = [
        "Followed in time at the events next to the log's, by the sheet. Margin: strength over pull, less 1."
    ]
    if cut:
        notes.append("Below zero the cord cuts the tube: a zipper was to be expected.")
    if any(one.margin is None for one in found):
        notes.append("The sheet does not tell the lip that the cord lies on: enter it for its margin.")
    return ReportSection(
        key="cords",
        title="What the cord did then",
        tables=(
            Table(
                title="", columns=("cord", "separation", "pull", "zipper margin"), rows=rows, numbers=(2, 3)
            ),
        ),
        notes=tuple(notes),
    )


def refit_section(fit: Refit, shown: Shown) -> ReportSection:
    """Numbers of the model before and after the log."""
    drawn = any(one.drawn for one in fit.learnt)
    return ReportSection(
        key="refit",
        title="What the log tells of the model",
        tables=(
            Table(
                title="",
                columns=("what", "before", "after", "doubt taken", *(("ensemble",) if drawn else ())),
                rows=tuple(_learnt(one, shown, drawn=drawn) for one in fit.learnt),
                numbers=(1, 2, 3, 4) if drawn else (1, 2, 3),
            ),
        ),
        notes=(
            "Intervals hold nine in ten. The recorder's own lag, drift, zero, scale and port, and air that"
            " rises, are fitted beside these.",
            *_said_of_draws(fit),
        ),
    )


def _said_of_draws(fit: Refit) -> tuple[str, ...]:
    if fit.settled is None:
        return ()
    if any(one.drawn for one in fit.learnt):
        return ("The last column is by an ensemble of refits: it follows the model where that is bent.",)
    return (
        f"Of an ensemble of refits only {100 * fit.settled:.0f} % came to rest: the log leaves more open than"
        " the fit says; trust its intervals less.",
    )


def _learnt(one: Learnt, shown: Shown, *, drawn: bool) -> tuple[str, ...]:
    dimension = unknown_dimension(one.unknown)
    before, after = (shown.between(each, dimension) for each in (one.before, one.after))
    told = (unknown_words(one.unknown), before, after, f"{100 * max(one.fixed, 0.0):.0f} %")
    if not drawn:
        return told
    return (*told, NOT_KNOWN if one.drawn is None else shown.between(one.drawn, dimension))


def changes_section(found: SheetChanges, *, written: bool) -> ReportSection:
    """Say what is put into the sheet and what stays."""
    facts = tuple((dotted(place), toml_value(value)) for place, value in found.values.items())
    stays = tuple(
        f"{unknown_words(one.learnt.unknown)} stays: {REASONS[one.reason]}." for one in found.untouched
    )
    asked = (
        "Written into the sheet; its comments stay." if written else "Nothing is written: ask with --write."
    )
    return ReportSection(
        key="changes",
        title="For the sheet",
        facts=facts,
        notes=(asked if facts else "The log fixes nothing that the sheet could take.", *stays),
    )


def next_section(found: Today, shown: Shown) -> ReportSection:
    """Numbers by the sheet and for the next flight, and which checks turn."""
    before, after = (dict(numbers_of_day(one, shown)) for one in (found.sheet, found.today))
    turned = tuple(
        f"{title_of(one.key, one.subject, one.facts, shown)}: {one.was.words} by the sheet, "
        f"{one.now.words} with what the log tells."
        for one in found.moved
        if one.was is not one.now
    )
    return ReportSection(
        key="next",
        title="The next flight beside the sheet",
        tables=(
            Table(
                title="",
                columns=("what", "by the sheet", "with the log"),
                rows=tuple((what, before.get(what, "not told"), value) for what, value in after.items()),
                numbers=(1, 2),
            ),
        ),
        notes=turned or ("No verdict turns with what the log tells.",),
    )
