"""``finial air``: where the air pushes, how hard, and how well that is known."""

from pathlib import Path
from typing import Any

import click

from finial.cli.kept_tunnel import with_kept_tunnel
from finial.cli.options import (
    full_option,
    json_option,
    mesh_unit_option,
    quiet_option,
    sheet_argument,
    teller,
)
from finial.cli.unfinished import begun_shown
from finial.cli.view import View, ViewAsked, plots_option, shown


@click.command("air")
@sheet_argument
@mesh_unit_option
@click.option(
    "--up",
    type=click.Choice(["+x", "+y", "+z", "-x", "-y", "-z"]),
    default="+z",
    show_default=True,
    help="Axis of a mesh that points to the tip.",
)
@json_option
@full_option
@plots_option
@quiet_option
def command(sheet: Path, unit: str | None, up: str, **how: Any) -> int:
    """Show the air loads on the vehicle of the build SHEET: pressure band, drag, margins, trim.

    SHEET may be a mesh by itself, such as `body.stl --unit mm`.

    Exit codes: 0 go, 3 no-go, 4 not known, 2 wrong input.
    """
    from finial.findings.begun import begun_of_mesh
    from finial.findings.kept_check import kept_check
    from finial.findings.readiness import Depth, Readiness
    from finial.report.air_text import print_air
    from finial.report.pictures.air_pictures import air_pictures

    tell = teller(how["quiet"])
    from finial.files.sheet_rules import MESH_SUFFIXES

    if sheet.suffix.lower() in MESH_SUFFIXES:
        found = begun_of_mesh(sheet, unit=unit, up=up, us_units=unit in ("in", "ft"), tell=tell)
    else:
        found = kept_check(sheet, Depth.WHOLE, tell)
    if not isinstance(found, Readiness):
        return begun_shown(found, as_json=how["as_json"], full=how["full"])
    found = with_kept_tunnel(found, sheet)
    view = View(name="air", write_text=print_air, pictures=air_pictures)
    return shown(found, view, ViewAsked(**how))
