"""``finial log``: what a flight's log says."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from finial.cli.options import json_option, quiet_option, sheet_argument, teller

if TYPE_CHECKING:
    from finial.files.flight_log.guess import Guess
    from finial.files.flight_log.mapping import LogMapping
    from finial.logbook.story import Story

USAGE = 2


@click.command("log")
@sheet_argument
@click.argument("log", type=click.Path(path_type=Path))
@click.option(
    "--mapping",
    type=click.Path(path_type=Path, dir_okay=False),
    help="TOML that says what the columns are (default: beside the log, of the same name).",
)
@json_option
@quiet_option
def command(sheet: Path, log: Path, mapping: Path | None, as_json: bool, quiet: bool) -> int:
    """Read the LOG of a flight of the build SHEET: any delimited text with numbers in columns.

    What the columns are stands in a small TOML file. Where there is none, one is proposed: in a terminal it
    is asked for and written, otherwise it is printed, to be read, mended and saved.

    Exit codes: 0 read, 2 wrong input.
    """
    from finial.files.flight_log.read import read_log
    from finial.findings.check import load
    from finial.logbook.prediction import predicted
    from finial.logbook.reading import reading
    from finial.logbook.story import story

    tell = teller(quiet)
    told = _mapping(log, mapping or log.with_suffix(".toml"))
    if told is None:
        return USAGE
    columns = read_log(log, told)
    foreseen = predicted(load(sheet, tell=tell))
    found = story(reading(columns, foreseen.day), tilt_rad=foreseen.tilt_rad, rail_m=foreseen.rail_m)
    _show(found, foreseen.case.us_units, as_json)
    return 0


def _show(found: "Story", us_units: bool, as_json: bool) -> None:
    from finial.report.lines import TextLine, caution_lines, section_lines
    from finial.report.log_json import story_to_json
    from finial.report.log_text import story_sections
    from finial.report.shown import Shown
    from finial.report.terminal import terminal_width, write

    if as_json:
        click.echo(story_to_json(found))
        return
    width = terminal_width()
    lines: list[TextLine] = []
    for section in story_sections(found, Shown(us_units=us_units)):
        lines += section_lines(section, width=width)
    write((*lines[1:], *caution_lines(width=width)))


def _mapping(log: Path, path: Path) -> "LogMapping | None":
    """Read the mapping; where there is none, propose one: ask in a terminal, print it otherwise."""
    from finial.files.flight_log.mapping import read_mapping

    if path.exists():
        return read_mapping(path)
    from finial.files.flight_log.guess import guesses, mapping_text
    from finial.files.flight_log.rows import log_text
    from finial.files.write import write_atomically

    text = log_text(log)
    found = guesses(text)
    if not _is_terminal():
        click.echo(mapping_text(text, found), nl=False)
        click.echo(f"{path} is not there: read the proposal above, mend it and save it there", err=True)
        return None
    proposal = mapping_text(text, _answered(found))
    click.echo(proposal)
    if not click.confirm(f"Are the columns of {log.name} what stands above? It is written to {path}"):
        return None
    write_atomically(path, proposal.encode())
    return read_mapping(path)


def _is_terminal() -> bool:
    return sys.stdin.isatty() and sys.stdout.isatty()


def _answered(found: "tuple[Guess, ...]") -> "tuple[Guess, ...]":
    """Ask what no heading tells."""
    from finial.files.flight_log.guess import answered

    told: list[Guess] = []
    for guess in found:
        one = guess
        for asked in guess.open:
            names = ", ".join(guess.names)
            question = f"{guess.table}: {asked} of {names} (reads {guess.low:g} to {guess.high:g})"
            one = answered(one, asked, click.prompt(question, type=str))
        told.append(one)
    return tuple(told)
