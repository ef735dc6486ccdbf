"""``finial day``: what was read on the field, in the sheet's places, and the verdict with it."""

from pathlib import Path
from typing import Any

import click

from finial.cli.options import exit_code, full_option, json_option, quiet_option, sheet_argument, teller
from finial.cli.unfinished import begun_shown, loaded_or_begun

READ = {
    "wind": ("launch", "wind"),
    "wind_from": ("launch", "wind_from"),
    "temperature": ("launch", "temperature"),
    "pressure": ("launch", "pressure"),
    "tilt": ("launch", "tilt"),
    "toward": ("launch", "toward"),
}


@click.command("day")
@sheet_argument
@click.option("--motor", type=click.Choice(("out", "loaded")), help="Whether the motor was in on the scale.")
@click.option("--mass", help='What the whole weighs, packed: "9.26 kg +- 10 g".')
@click.option("--balance", help='Where it hangs level, from the tip: "664 mm".')
@click.option("--wind", help='Wind at 10 m: "5 m/s +- 1 m/s".')
@click.option("--wind-from", help='Compass bearing it blows from: "200 deg".')
@click.option("--temperature", help='Of the air: "31 degC".')
@click.option("--pressure", help='At the pad, not reduced to sea level: "978 hPa".')
@click.option("--tilt", help='How far the rail leans: "4 deg".')
@click.option("--toward", help='Compass bearing it leans to: "200 deg".')
@click.option("--write", is_flag=True, help="Write what was read into the sheet; its comments stay.")
@json_option
@full_option
@quiet_option
def command(sheet: Path, write: bool, as_json: bool, full: bool, quiet: bool, **read: Any) -> int:
    """Answer for the build SHEET with what was read on the field today, beside what the sheet says.

    Whoever weighs or hangs it does so with no igniter in a motor and no charge connected.

    Exit codes, of today's verdict: 0 go, 3 no-go, 4 not known, 2 wrong input.
    """
    from finial.findings.begun import Begun
    from finial.findings.today import today

    told = _told(read)
    vehicle = loaded_or_begun(sheet, quiet=quiet)
    if isinstance(vehicle, Begun):
        return begun_shown(vehicle, as_json=as_json, full=full)
    found = today(vehicle, told, teller(quiet))
    if as_json:
        from finial.report.json_records import to_json

        click.echo(to_json(found.today, full=full))
    else:
        from finial.report.today_text import print_today

        print_today(found)
    if write:
        from finial.files.edit import set_values

        set_values(vehicle.files.path, told)
    return exit_code(found.today.verdict)


def _told(read: dict[str, str | None]) -> dict[tuple[str | int, ...], Any]:
    """Values by their places in the sheet; a weighing is told whole."""
    told: dict[tuple[str | int, ...], Any] = {
        place: read[name] for name, place in READ.items() if read[name] is not None
    }
    weighing = {name: read[name] for name in ("motor", "mass", "balance") if read[name] is not None}
    if weighing and not {"motor", "mass"} <= weighing.keys():
        raise click.UsageError(
            "a weighing is told whole: --motor out or loaded, --mass, and --balance if it was hung"
        )
    if weighing:
        told["weighing",] = weighing
    if not told:
        raise click.UsageError("nothing was read: tell at least one of --mass, --wind, --temperature ...")
    return told
