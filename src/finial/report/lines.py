"""A line of text and what it is; the pieces every text answer is made of."""

from dataclasses import dataclass

from finial.report.document import Section
from finial.report.layout import laid_out, paragraph
from finial.report.visible import visible
from finial.report.words import CAUTION

WIDTH = 96


@dataclass(frozen=True, slots=True)
class Line:
    """One line of text and its role, for whoever adds colour: the text says it all without."""

    text: str
    role: str = ""
    """``heading`` or a verdict's words; empty for plain text."""

    def __post_init__(self) -> None:
        """Let nothing through that a terminal would obey."""
        object.__setattr__(self, "text", visible(self.text))


def section_lines(section: Section, *, width: int = WIDTH, number: int | None = None) -> tuple[Line, ...]:
    """One stage: heading, facts, tables, notes."""
    title = section.title if number is None else f"{number}. {section.title}"
    lines = [Line(""), Line(title, "heading"), Line("-" * len(title))]
    label = max((len(name) for name, _ in section.facts), default=0) + 4
    for name, value in section.facts:
        lines += map(Line, paragraph(value, width, first=f"  {name}".ljust(label)))
    for index, table in enumerate(table for table in section.tables if table.rows):
        gap = [Line("")] if index or section.facts else []
        title_line = [Line(f"  {table.title}")] if table.title else []
        lines += [*gap, *title_line, *map(Line, laid_out(table.for_terminal(), width))]
    for note in section.notes:
        lines += map(Line, paragraph(note, width, first="  "))
    return tuple(lines)


def caution_lines(*, width: int = WIDTH) -> tuple[Line, ...]:
    """Say the caution, once, at the end where it stays on the screen."""
    return (Line(""), Line("Caution", "heading"), *map(Line, paragraph(CAUTION, width)))
