"""The answer as plain text: verdict first, findings worst first, then the stages."""

from collections.abc import Sequence

from finial.findings.causes import groups_of
from finial.findings.finding import Finding, Verdict
from finial.findings.readiness import Readiness
from finial.report.document import ReportSection
from finial.report.finding_words import (
    limit,
    title,
    value,
    value_judged,
    what_else_to_change,
    what_to_change,
    why,
)
from finial.report.guess_words import guess_words
from finial.report.layout import paragraph
from finial.report.lines import WIDTH, TextLine, caution_lines, section_lines
from finial.report.sections.field import guesses_section
from finial.report.shown import Shown
from finial.report.stages import stage_sections
from finial.report.terminal import terminal_width, write
from finial.report.words import Answered, answer, how_far, verdict_word

_LABEL = 11
_WITH = "   with it".ljust(_LABEL)
_INDENT = " " * _LABEL


def print_readiness(readiness: Readiness, *, brief: bool = False) -> None:
    """Write the answer to standard output; ``brief`` stops after the findings."""
    width = terminal_width()
    if brief:
        write((*opening_lines(readiness, width=width), *caution_lines(width=width)))
    else:
        write(report_lines(readiness, width=width))


def report_lines(readiness: Readiness, *, width: int = WIDTH) -> tuple[TextLine, ...]:
    """Whole answer line by line."""
    lines = [*opening_lines(readiness, width=width)]
    for number, section in enumerate(stage_sections(readiness), start=1):
        lines += section_lines(section, width=width, number=number)
    lines += section_lines(guesses_section(readiness), width=width)
    return (*lines, *caution_lines(width=width))


def opening_lines(readiness: Readiness, *, width: int = WIDTH) -> tuple[TextLine, ...]:
    """Verdict and findings: what fits the first screen."""
    shown = Shown(us_units=readiness.us_units)
    return (
        *verdict_lines(readiness, width=width),
        *findings_lines(readiness.findings, shown, width=width),
        *_first_guess(readiness, shown, width),
    )


def stage_lines(
    readiness: Readiness, stages: Sequence[str], sections: Sequence[ReportSection], *, width: int = WIDTH
) -> tuple[TextLine, ...]:
    """Write the one verdict, then findings and sections of some stages, and the caution."""
    shown = Shown(us_units=readiness.us_units)
    lines = [
        *verdict_lines(readiness, width=width),
        TextLine(f"Findings on {' and '.join(stages)}", "heading"),
        *findings_lines(readiness.of_stages(stages), shown, width=width),
    ]
    for number, section in enumerate(sections, start=1):
        lines += section_lines(section, width=width, number=number)
    return (*lines, *caution_lines(width=width))


def verdict_lines(readiness: Answered, *, width: int = WIDTH) -> tuple[TextLine, ...]:
    """Write the verdict over every look, and the sheet's own note."""
    lines = [TextLine(text, readiness.verdict.words) for text in paragraph(answer(readiness), width)]
    if readiness.note:
        lines += [TextLine(text) for text in paragraph(readiness.note, width)]
    return (*lines, TextLine(""))


def finding_lines(finding: Finding, shown: Shown, *, width: int = WIDTH) -> tuple[TextLine, ...]:
    """One finding in full: what, value, limit, what to change, why, and who says so."""
    head = paragraph(headline(finding, shown), width, first=verdict_word(finding.verdict).ljust(_LABEL))
    concerns = f"{finding.stage}; people can be hurt" if finding.safety else finding.stage
    source = f" Limit: {finding.bound.source}." if finding.bound.source else ""
    change = what_to_change(finding, shown)
    body = [
        *(paragraph(change, width, first="   change".ljust(_LABEL)) if change else []),
        *paragraph(f"{why(finding, shown)} [{concerns}]{source}", width, first="   why".ljust(_LABEL)),
    ]
    return (*(TextLine(text, finding.verdict.words) for text in head), *map(TextLine, body))


def _follower_lines(finding: Finding, leader: Finding, shown: Shown, width: int) -> list[TextLine]:
    """Say what follows from the same cause: what it is, and what to change where that is another thing."""
    said = f"{verdict_word(finding.verdict)}: {headline(finding, shown)}"
    own = what_else_to_change(finding, leader, shown)
    lines = [TextLine(text, finding.verdict.words) for text in paragraph(said, width, first=_WITH)]
    return lines + [TextLine(text) for text in (paragraph(own, width, first=_INDENT) if own else [])]


def _spoiled_lines(spoiled: Sequence[Finding], shown: Shown, width: int) -> list[TextLine]:
    """Name what a lost flight leaves unanswered, without numbers that nobody may use."""
    if not spoiled:
        return []
    named = "; ".join(title(one, shown) for one in spoiled)
    said = f"{verdict_word(Verdict.NOT_KNOWN)}, and no number of it to be used: {named}."
    return [TextLine(text, Verdict.NOT_KNOWN.words) for text in paragraph(said, width, first=_WITH)]


def findings_lines(findings: Sequence[Finding], shown: Shown, *, width: int = WIDTH) -> tuple[TextLine, ...]:
    """Write what keeps it on the ground in full, worst first, then what meets its limit, a line each."""
    lines: list[TextLine] = []
    for group in groups_of(finding for finding in findings if finding.verdict is not Verdict.GO):
        lines += finding_lines(group.leader, shown, width=width)
        for follower in group.followers:
            if not follower.spoiled:
                lines += _follower_lines(follower, group.leader, shown, width)
        lines += _spoiled_lines([one for one in group.followers if one.spoiled], shown, width)
        lines.append(TextLine(""))
    return (*lines, *_met(findings, shown, width))


def _first_guess(readiness: Readiness, shown: Shown, width: int) -> list[TextLine]:
    """Name the guess that moves the answer most, so that the first screen says what to settle."""
    if not readiness.guesses:
        return []
    guess = guess_words(max(readiness.guesses, key=lambda one: one.weight), shown)
    text = (
        f"The guess that matters most: {guess.what} ({guess.interval}): {guess.effect}. "
        f"To settle it: {guess.advice}."
    )
    return [TextLine(""), *map(TextLine, paragraph(text, width))]


def headline(finding: Finding, shown: Shown) -> str:
    """Name, value with interval and pedigree, limit, and how far off it is."""
    number = value_judged(finding, shown)
    if finding.value is None and finding.verdict is not Verdict.NOT_KNOWN:
        number = ""  # a check on a list of parts has no number to show
    called = title(finding, shown)
    named = f"{called}: {number}" if number else called
    return "; ".join(filter(None, (named, f"limit {limit(finding, shown)}", how_far(finding))))


def _met(findings: Sequence[Finding], shown: Shown, width: int) -> list[TextLine]:
    """Write the findings that meet their limits, one line each where it fits."""
    lines: list[TextLine] = []
    for finding in findings:
        if finding.verdict is Verdict.GO:
            number = value(finding, shown) if finding.value else "met"
            called, asked = title(finding, shown), limit(finding, shown)
            parts = (f"{called}: {number}", asked, how_far(finding))
            first, *rest = paragraph(
                "; ".join(filter(None, parts)), width, first=f"{verdict_word(finding.verdict)}  "
            )
            lines += [TextLine(first, finding.verdict.words), *map(TextLine, rest)]
    return lines
