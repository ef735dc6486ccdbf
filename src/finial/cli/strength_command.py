"""``finial strength``: what holds, what gives way first, and the cheapest thing that helps."""

from pathlib import Path
from typing import Any

import click

from finial.cli.options import full_option, json_option, quiet_option, sheet_argument, teller
from finial.cli.unfinished import begun_shown, loaded_or_begun
from finial.cli.view import View, ViewAsked, plots_option, shown


@click.command("strength")
@sheet_argument
@json_option
@full_option
@plots_option
@click.option(
    "--campaign",
    type=click.Path(path_type=Path, file_okay=False, exists=True),
    help="Folder of a campaign whose hardest flights load it too.",
)
@quiet_option
def command(sheet: Path, campaign: Path | None, **how: Any) -> int:
    """Look long at the strength of the build SHEET: every load case, warm walls, fins in the wind, stays.

    Exit codes: 0 go, 3 no-go, 4 not known, 2 wrong input.
    """
    from finial.findings.advice import answered
    from finial.findings.begun import Begun
    from finial.findings.strength_flights import hardest_flights
    from finial.report.pictures.strength_pictures import strength_pictures
    from finial.report.strength_text import print_strength

    tell = teller(how["quiet"])
    vehicle = loaded_or_begun(sheet, quiet=how["quiet"])
    if isinstance(vehicle, Begun):
        return begun_shown(vehicle, as_json=how["as_json"], full=how["full"])
    flown = hardest_flights(vehicle, campaign) if campaign else ()
    answer = answered(vehicle, flown=flown, tell=tell)
    view = View(name="strength", write_text=print_strength, pictures=strength_pictures)
    return shown(answer, view, ViewAsked(**how))
