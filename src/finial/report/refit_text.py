"""A log beside its prediction, and what it corrects, as sections of text."""

from finial.files.edit import toml_value
from finial.files.source import dotted
from finial.findings.today import Today
from finial.logbook.compare import Comparison
from finial.logbook.refit import Learnt, Refit
from finial.logbook.sheet_changes import SheetChanges
from finial.report.document import ReportSection, Table
from finial.report.finding_words import title_of
from finial.report.refit_words import (
    DIMENSIONS,
    REASONS,
    difference_name,
    explained,
    unknown_dimension,
    unknown_words,
)
from finial.report.shown import Shown
from finial.report.today_text import numbers_of_day

_ANOTHER = 0.5
_MISFIT = 2.0


def comparison_section(found: Comparison, fit: Refit, shown: Shown) -> ReportSection:
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


def _doubts(found: Comparison, fit: Refit) -> tuple[str, ...]:
    said: list[str] = []
    if found.another > _ANOTHER:
        said.append(
            f"Odds {found.another:.2f} that this log is of another flight, motor or vehicle than the sheet's:"
            " the model had to be moved far beyond what was known. Compare names and dates before anything"
            " of it is used."
        )
    if fit.misfit > _MISFIT:
        said.append(
            f"The corrected model still misses the log by {fit.misfit:.1f} times the sensors' noise:"
            " something happened that it does not hold. Its intervals are widened by that."
        )
    return tuple(said)


def refit_section(fit: Refit, shown: Shown) -> ReportSection:
    """Numbers of the model before and after the log."""
    return ReportSection(
        key="refit",
        title="What the log tells of the model",
        tables=(
            Table(
                title="",
                columns=("what", "before", "after", "doubt taken"),
                rows=tuple(_learnt(one, shown) for one in fit.learnt),
                numbers=(1, 2, 3),
            ),
        ),
        notes=(
            "Intervals hold nine in ten. The recorder's own lag, drift, zero, scale and port, and air that"
            " rises, are fitted beside these.",
        ),
    )


def _learnt(one: Learnt, shown: Shown) -> tuple[str, ...]:
    dimension = unknown_dimension(one.unknown)
    before, after = (shown.between(each, dimension) for each in (one.before, one.after))
    return unknown_words(one.unknown), before, after, f"{100 * max(one.fixed, 0.0):.0f} %"


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
