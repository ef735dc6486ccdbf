"""What the commands share that show one part of the answer: the verdict, text or JSON, and pictures."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import click

from finial.cli.options import exit_code, teller

if TYPE_CHECKING:
    from finial.findings.readiness import Readiness


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """How one part of the answer is shown."""

    name: str
    """Of the view in the JSON, and in the default folder of the pictures."""
    write_text: "Callable[[Readiness], None]"
    pictures: "Callable[[Readiness], Mapping[str, str]]"


@dataclass(frozen=True, slots=True, kw_only=True)
class ViewAsked:
    """What the command line asked for."""

    as_json: bool
    full: bool
    plots: Path | None
    quiet: bool


plots_option = click.option(
    "--plots",
    type=click.Path(path_type=Path, file_okay=False),
    help="Folder to write the pictures into; none are drawn without it.",
)
"""Names the folder of the pictures."""


def shown(readiness: "Readiness", view: View, asked: ViewAsked) -> int:
    """Show one view of the answer, draw it where asked, and return the exit code of the verdict."""
    from finial.files.write import write_atomically
    from finial.report.json_records import to_json

    if asked.as_json:
        click.echo(to_json(readiness, view=view.name, full=asked.full))
    else:
        view.write_text(readiness)
    if asked.plots:
        asked.plots.mkdir(parents=True, exist_ok=True)
        for name, picture in view.pictures(readiness).items():
            write_atomically(asked.plots / name, picture.encode())
        teller(asked.quiet)(f"plots written to {asked.plots}")
    return exit_code(readiness.verdict)
