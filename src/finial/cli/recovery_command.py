"""``finial recovery``: what comes out, when, how hard it pulls, and whether the cord cuts the tube."""

from pathlib import Path
from typing import Any

import click

from finial.cli.options import full_option, json_option, quiet_option, sheet_argument, teller
from finial.cli.unfinished import begun_shown
from finial.cli.view import View, ViewAsked, plots_option, shown


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
    from finial.findings.kept_check import kept_check
    from finial.findings.readiness import Depth, Readiness
    from finial.report.pictures.recovery_pictures import recovery_pictures
    from finial.report.recovery_text import print_recovery

    answer = kept_check(sheet, Depth.WHOLE, teller(how["quiet"]))
    if not isinstance(answer, Readiness):
        return begun_shown(answer, as_json=how["as_json"], full=how["full"])
    view = View(name="recovery", write_text=print_recovery, pictures=recovery_pictures)
    return shown(answer, view, ViewAsked(**how))
