"""The answer as plain text: verdict first, findings worst first, then the stages."""

from finial.findings.finding import Finding, Verdict
from finial.findings.readiness import Readiness
from finial.report.layout import paragraph
from finial.report.lines import WIDTH, TextLine, caution_lines, section_lines
from finial.report.sections.field import guesses_section
from finial.report.shown import Shown
from finial.report.stages import stage_sections
from finial.report.terminal import terminal_width, write
from finial.report.words import answer, margin_words, verdict_word, worst_first

_LABEL = 11


def print_readiness(readiness: Readiness, *, brief: bool = False) -> None:
    """Write the answer to standard output; ``brief`` stops after the findings."""
    width = terminal_width()
    if brief:
        write((*opening_lines(readiness, width=width), *caution_lines(width=width)))
    else:
        write(report_lines(readiness, width=width))


def report_text(readiness: Readiness, *, width: int = WIDTH) -> str:
    """Whole answer as plain text, ending in a newline."""
    return "\n".join(line.text for line in report_lines(readiness, width=width)) + "\n"


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
    lines = [TextLine(text, readiness.verdict.words) for text in paragraph(answer(readiness), width)]
    if readiness.note:
        lines += [TextLine(text) for text in paragraph(readiness.note, width)]
    lines.append(TextLine(""))
    ordered = worst_first(readiness.findings)
    for finding in ordered:
        if finding.verdict is not Verdict.GO:
            lines += [*finding_lines(finding, shown, width=width), TextLine("")]
    return (*lines, *_met(ordered, shown, width), *_first_guess(readiness, width))


def finding_lines(finding: Finding, shown: Shown, *, width: int = WIDTH) -> tuple[TextLine, ...]:
    """One finding in full: what, value, limit, what to change, why, and who says so."""
    head = paragraph(headline(finding, shown), width, first=verdict_word(finding.verdict).ljust(_LABEL))
    concerns = f"{finding.subject}; people can be hurt" if finding.safety else finding.subject
    source = f" Limit: {finding.source}." if finding.source else ""
    body = [
        *(paragraph(finding.fix, width, first="   change".ljust(_LABEL)) if finding.fix else []),
        *paragraph(f"{finding.why} [{concerns}]{source}", width, first="   why".ljust(_LABEL)),
    ]
    return (*(TextLine(text, finding.verdict.words) for text in head), *map(TextLine, body))


def _first_guess(readiness: Readiness, width: int) -> list[TextLine]:
    """Name the guess that moves the answer most, so that the first screen says what to settle."""
    if not readiness.guesses:
        return []
    guess = max(readiness.guesses, key=lambda one: one.weight)
    text = (
        f"The guess that matters most: {guess.what} ({guess.interval}): {guess.effect}. "
        f"To settle it: {guess.advice.rstrip('.')}."
    )
    return [TextLine(""), *map(TextLine, paragraph(text, width))]


def headline(finding: Finding, shown: Shown) -> str:
    """Name, value with interval and pedigree, limit, and how far off it is."""
    value = shown.judged(finding.value, finding.dimension)
    if finding.value is None and finding.verdict is not Verdict.NOT_KNOWN:
        value = ""  # a check on a list of parts has no number to show
    named = f"{finding.name}: {value}" if value else finding.name
    return "; ".join(filter(None, (named, f"limit {finding.limit}", margin_words(finding.margin))))


def _met(ordered: tuple[Finding, ...], shown: Shown, width: int) -> list[TextLine]:
    """Write the findings that meet their limits, one line each where it fits."""
    lines = []
    for finding in ordered:
        if finding.verdict is Verdict.GO:
            value = shown.between(finding.value, finding.dimension) if finding.value else "met"
            parts = (f"{finding.name}: {value}", finding.limit, margin_words(finding.margin))
            first, *rest = paragraph(
                "; ".join(filter(None, parts)), width, first=f"{verdict_word(finding.verdict)}  "
            )
            lines += [TextLine(first, finding.verdict.words), *map(TextLine, rest)]
    return lines
