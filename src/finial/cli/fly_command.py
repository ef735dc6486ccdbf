"""``finial fly``: one flight, its time line and its plots."""

from pathlib import Path
from typing import Any

import click

from finial.cli.options import full_option, json_option, quiet_option, sheet_argument, teller
from finial.cli.view import Asked, View, plots_option, shown


@click.command("fly")
@sheet_argument
@json_option
@full_option
@plots_option("flight")
@click.option(
    "--trace", type=click.Path(path_type=Path, dir_okay=False), help="CSV to write the time history to."
)
@quiet_option
def command(sheet: Path, trace: Path | None, **how: Any) -> int:
    """Fly the vehicle of the build SHEET once, in the day's wind, and plot it.

    Exit codes: 0 go, 3 no-go, 4 not known, 2 wrong input.
    """
    from finial.files.write import write_atomically
    from finial.findings.check import check
    from finial.report.flight_text import print_flight
    from finial.report.pictures.flight_pictures import flight_pictures
    from finial.report.trace_csv import trace_csv

    answer = check(sheet, tell=teller(how["quiet"]))
    if trace is not None:
        write_atomically(trace, trace_csv(answer.flight.trace).encode())
    view = View(name="flight", write_text=print_flight, pictures=flight_pictures)
    return shown(answer, sheet, view, Asked(**how))
