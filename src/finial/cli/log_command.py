"""``finial log``: what a flight's log says, beside the prediction, and what it corrects."""

import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from finial.cli.options import json_option, quiet_option, sheet_argument, teller
from finial.cli.view import plots_option

if TYPE_CHECKING:
    from finial.core.errors import Fault
    from finial.files.flight_log.guess import ColumnGuess
    from finial.files.flight_log.mapping import LogMapping
    from finial.files.flight_log.read import FlightLog
    from finial.findings.today import Today
    from finial.logbook.debrief import Debrief

USAGE = 2


@click.command("log")
@sheet_argument
@click.argument("logs", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option(
    "--mapping",
    type=click.Path(path_type=Path, dir_okay=False),
    help="TOML that says what the columns are (default: beside each log, of the same name).",
)
@click.option("--next", "ahead", is_flag=True, help="Judge the next flight with what the log tells.")
@click.option("--write", is_flag=True, help="Write what the log tells into the sheet; its comments stay.")
@click.option(
    "--posterior",
    is_flag=True,
    help="Refit an ensemble too: intervals that follow bends (some seconds).",
)
@click.option(
    "--keep", "keep_as", metavar="NAME", help="Keep the flight as logbook/NAME.toml beside the sheet."
)
@click.option("--repaired", default="", help="With --keep: what was repaired before this flight.")
@click.option("--changed", default="", help="With --keep: what was changed since the flight before.")
@click.option(
    "--void",
    multiple=True,
    metavar="NUMBER",
    help='With --keep: a number that flights before no longer tell, such as "drag" or "canopy main".',
)
@plots_option
@click.option(
    "--debrief", "page", type=click.Path(path_type=Path, dir_okay=False), help="PDF to write the debrief to."
)
@json_option
@quiet_option
def command(sheet: Path, logs: tuple[Path, ...], mapping: Path | None, quiet: bool, **asked: Any) -> int:
    """Read the LOGS of one flight of the build SHEET: delimited text with numbers in columns.

    A log may also be a satellite receiver's track (.gpx, .kml, .nmea), or a TOML file with the frames of a
    video that show what happened.

    Says what happened, sets it beside the prediction, and tells what it corrects in the model. What the
    columns are stands in a small TOML file. Where there is none, one is proposed: in a terminal it is asked
    for and written, otherwise it is printed, to be read, mended and saved.

    Exit codes: 0 read, 2 wrong input.
    """
    from finial.core.errors import LogError
    from finial.files.flight_log.kept import kept_flights
    from finial.files.flight_log.read import read_log
    from finial.files.flight_log.tracks import is_track, read_track
    from finial.files.flight_log.video import is_video, read_video
    from finial.findings.check import load
    from finial.logbook.debrief import debrief
    from finial.logbook.watched import watched

    tell = teller(quiet)
    columns: list[FlightLog] = []
    videos = tuple(watched(read_video(log), str(log)) for log in logs if is_video(log))
    for log in (log for log in logs if not is_video(log)):
        if is_track(log):
            columns.append(read_track(log))
            continue
        told = _mapping(log, mapping or log.with_suffix(".toml"))
        if told is None:
            return USAGE
        columns.append(read_log(log, told))
    if not columns:
        raise LogError([_no_rows(logs[0])])
    vehicle = load(sheet, tell=tell)
    tell("reading the log and putting it back into the model")
    found = debrief(vehicle, columns, videos, kept_flights(sheet), draws=asked["posterior"])
    following = _following(found, tell) if asked["ahead"] else None
    if asked["write"] and found.changes.values:
        from finial.files.edit import set_values

        set_values(vehicle.files.path, found.changes.values)
    _show(found, following, written=asked["write"], as_json=asked["as_json"])
    _draw(found, following, asked, tell)
    if asked["keep_as"]:
        tell(f"kept as {_keep(found, sheet, asked)}")
    return 0


def _keep(found: "Debrief", sheet: Path, asked: dict[str, Any]) -> Path:
    """Write the flight into the logbook."""
    from finial.files.flight_log.kept import keep
    from finial.logbook.debrief import kept_flight
    from finial.report.log_curves import curves_of_debrief

    flight = kept_flight(found, repaired=asked["repaired"], changed=asked["changed"], void=asked["void"])
    return keep(sheet, asked["keep_as"], flight, curves_of_debrief(found))


def _no_rows(file: Path) -> "Fault":
    from finial.core.errors import Fault

    return Fault(
        file=str(file),
        line=None,
        field="log",
        given="frames of a video alone",
        accepted="a recorder's log or a track beside them",
    )


def _draw(
    found: "Debrief", following: "Today | None", asked: dict[str, Any], tell: "Callable[[str], None]"
) -> None:
    """Write the pictures and the page where they are asked for."""
    if asked["plots"] is None and asked["page"] is None:
        return
    from finial.files.write import write_atomically
    from finial.report.log_text import debrief_sections
    from finial.report.pictures.log_traces import log_pictures
    from finial.report.shown import Shown

    drawn = log_pictures(found)
    if asked["plots"] is not None:
        asked["plots"].mkdir(parents=True, exist_ok=True)
        for name, svg in drawn.items():
            write_atomically(asked["plots"] / name, svg.encode())
        tell(f"plots written to {asked['plots']}")
    if asked["page"] is not None:
        from finial.report.pdf import debrief_pdf_bytes

        shown = Shown(us_units=found.vehicle.us_units)
        sections = debrief_sections(found, following, shown, written=asked["write"])
        write_atomically(asked["page"], debrief_pdf_bytes(found, sections, drawn))
        tell(f"debrief written to {asked['page']}")


def _following(found: "Debrief", tell: "Callable[[str], None]") -> "Today":
    """Answers by the sheet, and by the sheet with what the log tells."""
    from finial.findings.today import today

    return today(found.vehicle, found.changes.values, tell)


def _show(found: "Debrief", following: "Today | None", *, written: bool, as_json: bool) -> None:
    from finial.report.json_records import plain
    from finial.report.log_json import log_to_json
    from finial.report.log_text import debrief_lines
    from finial.report.terminal import terminal_width, write

    if as_json:
        more = {
            "written": written,
            "videos": plain(found.videos),
            "logbook": plain(found.joints),
            "cords": plain(found.cords),
            **_verdicts(following),
        }
        click.echo(log_to_json(found.stories, found.refit, found.comparison, found.changes, **more))
        return
    write(debrief_lines(found, following, written=written, width=terminal_width()))


def _verdicts(following: "Today | None") -> dict[str, object]:
    from finial.report.json_records import to_plain

    if following is None:
        return {}
    return {"next": to_plain(following.today), "next_by_sheet": to_plain(following.sheet)}


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


def _answered(found: "tuple[ColumnGuess, ...]") -> "tuple[ColumnGuess, ...]":
    """Ask what no heading tells."""
    from finial.files.flight_log.guess import answered

    told: list[ColumnGuess] = []
    for guess in found:
        one = guess
        for asked in guess.open:
            names = ", ".join(guess.names)
            question = f"{guess.table}: {asked} of {names} (reads {guess.low:g} to {guess.high:g})"
            one = answered(one, asked, click.prompt(question, type=str))
        told.append(one)
    return tuple(told)
