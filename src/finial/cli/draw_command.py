"""``finial draw``: templates true to scale, for fins and for the holes of rods."""

import re
from pathlib import Path

import click

from finial.cli.options import quiet_option, sheet_argument, teller


@click.command("draw")
@sheet_argument
@click.option("--folder", type=click.Path(path_type=Path), help="Where to; beside the sheet without it.")
@quiet_option
def command(sheet: Path, folder: Path | None, quiet: bool) -> int:
    """Draw fins and the holes of rods of the build SHEET true to scale, as SVG in millimetres.

    Each has a bar to measure the print by. Works for a sheet that is only begun.
    """
    from finial.assemble.vehicle.templates import drill_templates, fin_templates
    from finial.files.write import write_atomically
    from finial.findings.check import load_begun
    from finial.report.pictures.templates import drill_template, fin_template

    vehicle = load_begun(sheet, tell=teller(quiet))
    us_units = vehicle.us_units
    drawn = [(f"fin {fin.name}", fin_template(fin, us_units=us_units)) for fin in fin_templates(vehicle)]
    drawn += [
        (f"holes {drill.name} {1e3 * drill.station_m:.0f} mm", drill_template(drill, us_units=us_units))
        for drill in drill_templates(vehicle)
    ]
    if not drawn:
        click.echo("nothing to draw: the sheet has no [[fin]] and no [[rod]] yet")
        return 0
    target = folder or sheet.parent / f"{sheet.stem}-drawings"
    target.mkdir(parents=True, exist_ok=True)
    for number, (name, picture) in enumerate(drawn, start=1):
        path = target / f"{number}-{_plain(name)}.svg"
        write_atomically(path, picture.encode("utf-8"))
        click.echo(f"wrote {path}")
    return 0


def _plain(name: str) -> str:
    """Name of a file that every system takes."""
    return re.sub(r"[^\w.]+", "-", name.lower()).strip("-.")
