"""``finial recovery``: what comes out, when, how hard it pulls, and whether the cord cuts the tube."""

from pathlib import Path
from typing import Any

import click

from finial.cli.options import full_option, json_option, quiet_option, sheet_argument, teller
from finial.cli.unfinished import begun_shown, loaded_or_begun
from finial.cli.view import Asked, View, plots_option, shown


@click.command("recovery")
@sheet_argument
@json_option
@full_option
@plots_option
@quiet_option
def command(sheet: Path, **how: Any) -> int:
    """Follow the recovery of the build SHEET in time: charges, canopies, cords, the tube's lip.

    Exit codes: 0 go, 3 no-go, 4 not known, 2 wrong input.
    """
    from finial.findings.advice import answered
    from finial.findings.begun import Begun
    from finial.report.pictures.recovery_pictures import recovery_pictures
    from finial.report.recovery_text import print_recovery

    found = loaded_or_begun(sheet, quiet=how["quiet"])
    if isinstance(found, Begun):
        return begun_shown(found, as_json=how["as_json"], full=how["full"])
    answer = answered(found, tell=teller(how["quiet"]))
    view = View(name="recovery", write_text=print_recovery, pictures=recovery_pictures)
    return shown(answer, view, Asked(**how))
