"""Options that several commands share, and the notes they send to stderr."""

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import click

from finial.findings.finding import Verdict

if TYPE_CHECKING:
    from finial.report.words import Answered

EXIT_CODES = {Verdict.GO: 0, Verdict.CAUTION: 0, Verdict.NO_GO: 3, Verdict.NOT_KNOWN: 4}
STRICT_CAUTION = 4

MESH_UNITS = ("mm", "cm", "m", "in", "ft")

sheet_argument = click.argument("sheet", type=click.Path(path_type=Path))
json_option = click.option("--json", "as_json", is_flag=True, help="Print everything as JSON on stdout.")
full_option = click.option("--full", is_flag=True, help="With --json: tables and time histories too.")
paper_option = click.option(
    "--paper",
    type=click.Choice(["a4", "letter"]),
    help="Size of the pages (default: letter where the sheet shows inches, A4 elsewhere).",
)
mesh_unit_option = click.option(
    "--unit", type=click.Choice(MESH_UNITS), help="Unit of a mesh that carries none."
)
quiet_option = click.option("--quiet", is_flag=True, help="No progress notes on stderr.")


def teller(quiet: bool) -> Callable[[str], None]:
    """Return what shows progress notes: to stderr, or to nowhere."""

    def tell(note: str) -> None:
        if not quiet:
            click.echo(f"... {note}", err=True)

    return tell


def exit_code(verdict: Verdict, *, strict: bool = False) -> int:
    """Exit code of a verdict; with ``strict`` a caution counts as not known.

    Examples
    --------
    >>> exit_code(Verdict.NO_GO), exit_code(Verdict.CAUTION), exit_code(Verdict.CAUTION, strict=True)
    (3, 0, 4)
    """
    return STRICT_CAUTION if strict and verdict is Verdict.CAUTION else EXIT_CODES[verdict]


def say_written(what: str, target: Path, judged: "Answered") -> None:
    """Say on stderr the one verdict, and where what was made of it lies."""
    from finial.report.words import answer

    click.echo(f"{answer(judged)}\n{what} written to {target}", err=True)
