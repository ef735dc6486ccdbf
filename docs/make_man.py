"""Write the manual page ``finial.1``: run ``python docs/make_man.py`` from the project."""

from collections.abc import Iterator
from pathlib import Path

import click

from finial.cli.main import COMMANDS, finial
from finial.core.version import __version__

PAGE = Path(__file__).with_name("finial.1")
_HEAD = """.\\" Written by docs/make_man.py from the commands themselves.
.TH FINIAL 1 "" "Finial {version}" "Finial"
.SH NAME
finial \\- from the mesh of an odd\\-shaped, printed high\\-power rocket to a readiness verdict
.SH SYNOPSIS
.B finial
.I COMMAND
.RI [ OPTIONS ]
.RI [ ARGUMENTS ]
.SH DESCRIPTION
"""
_FOOT = """.SH EXIT STATUS
.TP
0
go, with cautions or without
.TP
3
no\\-go
.TP
4
not known
.TP
2
wrong input
.TP
1
a fault of Finial's own
.TP
130
interrupted
.SH ENVIRONMENT
.TP
.B FINIAL_CACHE_DIR
folder in which compiled code and computed answers are kept
.TP
.B FINIAL_DEBUG
set to 1: where a fault of Finial's own happened is printed in full
.SH COMPLETION
.TP
bash
eval "$(_FINIAL_COMPLETE=bash_source finial)"
.TP
zsh
eval "$(_FINIAL_COMPLETE=zsh_source finial)"
.TP
fish
_FINIAL_COMPLETE=fish_source finial | source
.SH CAUTION
Computed numbers with intervals, not a permission. The range safety officer, the national code, local law and
licensed practice decide whether a vehicle flies.
"""


def page() -> str:
    """Return the page as it is committed."""
    said = "".join(map(_paragraph, _paragraphs(finial.help or "")))
    return _HEAD.format(version=__version__) + said + ".SH COMMANDS\n" + "".join(_commands()) + _FOOT


def _commands() -> Iterator[str]:
    with click.Context(finial, info_name="finial", **finial.context_settings) as above:
        for name in COMMANDS:
            command = finial.get_command(above, name)
            assert command is not None
            yield from _command(command, name, above)


def _command(command: click.Command, path: str, above: click.Context) -> Iterator[str]:
    with click.Context(command, info_name=command.name, parent=above) as context:
        usage = " ".join(command.collect_usage_pieces(context))
        yield f".SS {_escaped(f'finial {path} {usage}')}\n"
        for text in _paragraphs(command.help or ""):
            yield _paragraph(text)
        if isinstance(command, click.Group):
            for name, inner in command.commands.items():
                yield from _command(inner, f"{path} {name}", context)
            return
        for option in command.params:
            record = option.get_help_record(context)
            if record is not None and isinstance(option, click.Option):
                yield f".TP\n.B {_escaped(record[0])}\n{_escaped(record[1])}\n"


def _paragraphs(text: str) -> list[str]:
    return [" ".join(one.split()) for one in text.split("\n\n") if one.strip()]


def _paragraph(text: str) -> str:
    return f".PP\n{_escaped(text)}\n"


def _escaped(text: str) -> str:
    """Hyphens that may be typed, and no line that begins as a request."""
    safe = text.replace("\\", "\\e").replace("-", "\\-")
    return f"\\&{safe}" if safe[:1] in (".", "'") else safe


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
