"""``finial air``: where the air pushes, how hard, and how well that is known."""

from pathlib import Path
from typing import Any

import click

from finial.cli.options import full_option, json_option, quiet_option, sheet_argument, teller
from finial.cli.view import Asked, View, plots_option, shown


@click.command("air")
@sheet_argument
@json_option
@full_option
@plots_option("air")
@quiet_option
def command(sheet: Path, **how: Any) -> int:
    """Show the air loads on the vehicle of the build SHEET: pressure band, drag, margins, trim.

    Exit codes: 0 go, 3 no-go, 4 not known, 2 wrong input.
    """
    from finial.findings.check import check
    from finial.report.air_text import print_air
    from finial.report.pictures.air_pictures import air_pictures

    answer = check(sheet, tell=teller(how["quiet"]))
    view = View(name="air", write_text=print_air, pictures=air_pictures)
    return shown(answer, sheet, view, Asked(**how))
