"""A line of text and what it is; the pieces every text answer is made of."""

from dataclasses import dataclass

from finial.report.document import ReportSection
from finial.report.layout import laid_out, paragraph
from finial.report.visible import visible
from finial.report.words import CAUTION

WIDTH = 96


@dataclass(frozen=True, slots=True)
class TextLine:
    """One line of text and its role, for whoever adds colour: the text says it all without."""

    text: str
    role: str = ""
    """``heading`` or a verdict's words; empty for plain text."""

    def __post_init__(self) -> None:
        """Let nothing through that a terminal would obey."""
        object.__setattr__(self, "text", visible(self.text))


def section_lines(
    section: ReportSection, *, width: int = WIDTH, number: int | None = None
) -> tuple[TextLine, ...]:
    """One stage: heading, facts, tables, notes."""
    title = section.title if number is None else f"{number}. {section.title}"
    lines = [TextLine(""), TextLine(title, "heading"), TextLine("-" * len(title))]
    label = max((len(name) for name, _ in section.facts), default=0) + 4
    for name, value in section.facts:
        lines += map(TextLine, paragraph(value, width, first=f"  {name}".ljust(label)))
    for index, table in enumerate(table for table in section.tables if table.rows):
        gap = [TextLine("")] if index or section.facts else []
        title_line = [TextLine(f"  {table.title}")] if table.title else []
        lines += [*gap, *title_line, *map(TextLine, laid_out(table.for_terminal(), width))]
    for note in section.notes:
        lines += map(TextLine, paragraph(note, width, first="  "))
    return tuple(lines)


def caution_lines(*, width: int = WIDTH) -> tuple[TextLine, ...]:
    """Say the caution, once, at the end where it stays on the screen."""
    return (TextLine(""), TextLine("Caution", "heading"), *map(TextLine, paragraph(CAUTION, width)))
