"""``finial air``: where the air pushes, how hard, and how well that is known."""

from pathlib import Path

import click

from finial.cli.options import json_option, quiet_option, sheet_argument, teller


@click.command("air")
@sheet_argument
@json_option
@click.option(
    "--plots",
    type=click.Path(path_type=Path, file_okay=False),
    help="Folder for the pictures (default: <sheet>-air beside the sheet).",
)
@quiet_option
def command(sheet: Path, as_json: bool, plots: Path | None, quiet: bool) -> int:
    """Show the air loads on the vehicle of the build SHEET: pressure band, drag, margins, trim.

    Draws the load along the stations, the band round the vehicle, and the margin over angle
    and roll.
    """
    from finial.files.write import write_atomically
    from finial.findings.check import check
    from finial.report.air_json import air_to_json
    from finial.report.air_text import print_air
    from finial.report.pictures.air_pictures import air_pictures

    tell = teller(quiet)
    readiness = check(sheet, tell=tell)
    if as_json:
        click.echo(air_to_json(readiness))
    else:
        print_air(readiness)
    folder = plots or sheet.with_name(f"{sheet.stem}-air")
    folder.mkdir(parents=True, exist_ok=True)
    for name, picture in air_pictures(readiness).items():
        write_atomically(folder / name, picture.encode())
    tell(f"plots written to {folder}")
    return 0
