"""``finial inside``: what stands inside, whether it fits, and a section true to scale."""

from pathlib import Path
from typing import Any

import click

from finial.cli.options import full_option, json_option, quiet_option, sheet_argument, teller
from finial.cli.unfinished import begun_shown, loaded_or_begun
from finial.cli.view import View, ViewAsked, plots_option, shown


@click.command("inside")
@sheet_argument
@json_option
@full_option
@plots_option
@quiet_option
def command(sheet: Path, **how: Any) -> int:
    """Show what stands inside the build SHEET and whether it fits, with sections true to scale.

    What meets, what gets in and out, rooms of the bays, walls, fin roots, rail and buttons.

    Exit codes: 0 go, 3 no-go, 4 not known, 2 wrong input.
    """
    from finial.findings.begun import Begun
    from finial.findings.check import readiness
    from finial.report.inside_text import print_inside
    from finial.report.pictures.inside_pictures import inside_pictures

    tell = teller(how["quiet"])
    vehicle = loaded_or_begun(sheet, quiet=how["quiet"])
    if isinstance(vehicle, Begun):
        return begun_shown(vehicle, as_json=how["as_json"], full=how["full"])
    view = View(name="inside", write_text=print_inside, pictures=inside_pictures)
    return shown(readiness(vehicle, tell=tell), view, ViewAsked(**how))
