"""``finial recovery``: what comes out, when, how hard it pulls, and whether the cord cuts the tube."""

from pathlib import Path

import click

from finial.cli.options import json_option, quiet_option, sheet_argument, teller


@click.command("recovery")
@sheet_argument
@json_option
@click.option(
    "--plots",
    type=click.Path(path_type=Path, file_okay=False),
    help="Folder for the pictures (default: <sheet>-recovery beside the sheet).",
)
@quiet_option
def command(sheet: Path, as_json: bool, plots: Path | None, quiet: bool) -> int:
    """Follow the recovery of the build SHEET in time: charges, canopies, cords, the tube's lip.

    The verdict is that of `finial check`; this looks closer and takes some seconds.
    """
    from finial.files.write import write_atomically
    from finial.findings.recovery_look import recovery_look
    from finial.report.pictures.recovery_pictures import recovery_pictures
    from finial.report.recovery_json import recovery_to_json
    from finial.report.recovery_text import print_recovery

    tell = teller(quiet)
    look = recovery_look(sheet, tell=tell)
    if as_json:
        click.echo(recovery_to_json(look))
    else:
        print_recovery(look)
    folder = plots or sheet.with_name(f"{sheet.stem}-recovery")
    folder.mkdir(parents=True, exist_ok=True)
    for name, picture in recovery_pictures(look).items():
        write_atomically(folder / name, picture.encode())
    tell(f"plots written to {folder}")
    return 0
