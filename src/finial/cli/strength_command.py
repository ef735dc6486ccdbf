"""``finial strength``: what holds, what gives way first, and the cheapest thing that helps."""

from pathlib import Path

import click

from finial.cli.options import exit_code, json_option, quiet_option, sheet_argument, teller


@click.command("strength")
@sheet_argument
@json_option
@click.option(
    "--plots",
    type=click.Path(path_type=Path, file_okay=False),
    help="Folder for the pictures (default: <sheet>-strength beside the sheet).",
)
@click.option(
    "--campaign",
    type=click.Path(path_type=Path, file_okay=False, exists=True),
    help="Folder of a campaign whose hardest flights load it too.",
)
@quiet_option
def command(sheet: Path, as_json: bool, plots: Path | None, campaign: Path | None, quiet: bool) -> int:
    """Look long at the strength of the build SHEET: every load case, warm walls, fins in the wind, stays.

    Takes some seconds for each set of fins. Exit codes: 0 go, 3 no-go, 4 not known, 2 wrong input.
    """
    from finial.files.write import write_atomically
    from finial.findings.strength_look import strength_look
    from finial.report.pictures.strength_pictures import strength_pictures
    from finial.report.strength_json import strength_to_json
    from finial.report.strength_text import print_strength

    tell = teller(quiet)
    look = strength_look(sheet, campaign=campaign, tell=tell)
    if as_json:
        click.echo(strength_to_json(look))
    else:
        print_strength(look)
    folder = plots or sheet.with_name(f"{sheet.stem}-strength")
    folder.mkdir(parents=True, exist_ok=True)
    for name, picture in strength_pictures(look).items():
        write_atomically(folder / name, picture.encode())
    tell(f"plots written to {folder}")
    return exit_code(look.verdict)
