"""Colour for a terminal; the words are the same without it."""

from typing import TYPE_CHECKING

from finial.report.text import Line

if TYPE_CHECKING:
    from rich.text import Text

# Weight and shade carry the ranking too, for eyes and screens that do not part the hues.
_STYLES = {
    "no-go": "bold white on red",
    "not known": "bold magenta",
    "caution": "yellow",
    "go": "cyan",
    "heading": "bold",
}


def coloured(lines: tuple[Line, ...]) -> "Text":
    """Lines as rich text; only the verdict word of a finding is coloured, headings whole."""
    # rich takes 50 ms to import and is only wanted where a terminal is there.
    from rich.text import Text

    whole = Text()
    for line in lines:
        word = line.role.upper()
        if line.text.startswith(word) and word:
            whole.append(word, style=_STYLES[line.role]).append(line.text[len(word) :])
        else:
            whole.append(line.text, style=_STYLES.get(line.role, ""))
        whole.append("\n")
    return whole
