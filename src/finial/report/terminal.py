"""Write lines to the terminal: in colour where one is there, plain into a pipe or a file."""

import shutil
import sys
from contextvars import ContextVar
from typing import TYPE_CHECKING

from finial.report.lines import WIDTH, TextLine

if TYPE_CHECKING:
    from rich.text import Text

_NARROWEST, _WIDEST = 60, 100
# Weight and reversal carry the ranking too, for eyes and screens that do not part the hues.
_STYLES = {
    "no-go": "bold reverse red",
    "not known": "bold magenta",
    "caution": "bold yellow",
    "go": "cyan",
    "heading": "bold",
}


WIDTH_ASKED: ContextVar[int | None] = ContextVar("WIDTH_ASKED", default=None)
"""Columns that whoever typed the command asked for; ``None`` where nobody did."""


def terminal_width() -> int:
    """Columns to lay text out in: those asked for, else the terminal's, within reason; fixed without one."""
    asked = WIDTH_ASKED.get()
    if asked is not None:
        return asked
    if not is_terminal():
        return WIDTH
    return max(_NARROWEST, min(_WIDEST, shutil.get_terminal_size((WIDTH, 24)).columns))


def is_terminal() -> bool:
    """Say whether someone looks; nobody does where the shell has closed standard output."""
    return sys.stdout is not None and sys.stdout.isatty()  # pyright: ignore[reportUnnecessaryComparison]


def write(lines: tuple[TextLine, ...]) -> None:
    """Write lines to standard output."""
    if sys.stdout is None:  # pyright: ignore[reportUnnecessaryComparison] - closed by the shell that called
        return
    if is_terminal():
        # rich takes 50 ms to import and is only wanted where a terminal is there.
        from rich.console import Console

        Console(highlight=False, soft_wrap=True).print(coloured(lines), end="")
        return
    encoding = sys.stdout.encoding or "utf-8"
    text = "".join(f"{line.text}\n" for line in lines)
    sys.stdout.write(text.encode(encoding, "replace").decode(encoding))


def coloured(lines: tuple[TextLine, ...]) -> "Text":
    """Lines as rich text: the verdict word of a finding in colour, headings whole."""
    from rich.text import Text

    whole = Text()
    for line in lines:
        word = line.role.upper()
        if word and line.text[: len(word)].upper() == word:
            whole.append(line.text[: len(word)], style=_STYLES[line.role]).append(line.text[len(word) :])
        else:
            whole.append(line.text, style=_STYLES[line.role] if line.role == "heading" else "")
        whole.append("\n")
    return whole
