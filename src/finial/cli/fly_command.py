"""``finial fly``: one flight, its time line and its plots."""

from pathlib import Path

import click

from finial.cli.options import json_option, quiet_option, sheet_argument, teller


@click.command("fly")
@sheet_argument
@json_option
@click.option(
    "--plots",
    type=click.Path(path_type=Path, file_okay=False),
    help="Folder for the pictures (default: <sheet>-flight beside the sheet).",
)
@click.option(
    "--trace", type=click.Path(path_type=Path, dir_okay=False), help="CSV to write the time history to."
)
@quiet_option
def command(sheet: Path, as_json: bool, plots: Path | None, trace: Path | None, quiet: bool) -> int:
    """Fly the vehicle of the build SHEET once, in the day's wind, and plot it."""
    from finial.files.write import write_atomically
    from finial.findings.check import check
    from finial.report.flight_text import print_flight
    from finial.report.json_records import flight_to_json
    from finial.report.pictures.flight_pictures import flight_pictures
    from finial.report.trace_csv import trace_csv

    tell = teller(quiet)
    readiness = check(sheet, tell=tell)
    if as_json:
        click.echo(flight_to_json(readiness))
    else:
        print_flight(readiness)
    folder = plots or sheet.with_name(f"{sheet.stem}-flight")
    folder.mkdir(parents=True, exist_ok=True)
    for name, picture in flight_pictures(readiness).items():
        write_atomically(folder / name, picture.encode())
    if trace is not None:
        write_atomically(trace, trace_csv(readiness.flight.trace).encode())
    tell(f"plots written to {folder}")
    return 0
