"""What the commands share that show one part of the answer: the verdict, text or JSON, and pictures."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

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
class Asked:
    """What the command line asked for."""

    as_json: bool
    full: bool
    plots: Path | None
    quiet: bool


Command = TypeVar("Command", bound=Callable[..., Any] | click.Command)


def plots_option(name: str) -> Callable[[Command], Command]:
    """Return the option that names the folder of the pictures."""
    return click.option(
        "--plots",
        type=click.Path(path_type=Path, file_okay=False),
        help=f"Folder for the pictures (default: <sheet>-{name} beside the sheet).",
    )


def shown(readiness: "Readiness", sheet: Path, view: View, asked: Asked) -> int:
    """Show one view of the answer, write its pictures, and return the exit code of the verdict."""
    from finial.files.write import write_atomically
    from finial.report.json_records import to_json

    if asked.as_json:
        click.echo(to_json(readiness, view=view.name, full=asked.full))
    else:
        view.write_text(readiness)
    folder = asked.plots or sheet.with_name(f"{sheet.stem}-{view.name}")
    folder.mkdir(parents=True, exist_ok=True)
    for name, picture in view.pictures(readiness).items():
        write_atomically(folder / name, picture.encode())
    teller(asked.quiet)(f"plots written to {folder}")
    return exit_code(readiness.verdict)
