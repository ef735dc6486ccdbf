"""``finial day``: what was read on the field, in the sheet's places, and the verdict with it."""

from pathlib import Path
from typing import Any

import click

from finial.cli.options import exit_code, full_option, json_option, quiet_option, sheet_argument, teller
from finial.cli.unfinished import begun_shown, loaded_or_begun


@click.command("day")
@sheet_argument
@click.option(
    "--motor", type=click.Choice(("out", "loaded")), help="Whether the motor was in when it was weighed."
)
@click.option("--mass", help='What the whole weighs, packed: "9.26 kg +- 10 g".')
@click.option("--balance", help='Where it hangs level, from the tip: "664 mm".')
@click.option(
    "--scale",
    nargs=2,
    multiple=True,
    metavar="AT READS",
    help='Twice, of two scales that carry it: "200 mm" "4.76 kg".',
)
@click.option("--across", nargs=2, metavar="A B", help='How far it hangs beside its axis: "0.5 mm" "0 mm".')
@click.option("--wind", help='Wind at 10 m: "5 m/s +- 1 m/s".')
@click.option("--wind-from", help='Compass bearing it blows from: "200 deg".')
@click.option("--temperature", help='Of the air: "31 degC".')
@click.option("--pressure", help='At the pad, not reduced to sea level: "978 hPa".')
@click.option("--tilt", help='How far the rail leans: "4 deg".')
@click.option("--toward", help='Compass bearing it leans to: "200 deg".')
@click.option("--write", is_flag=True, help="Write what was read into the sheet; its comments stay.")
@click.option("--phone", is_flag=True, help="Serve a page to a phone in the same network, opened by a code.")
@click.option("--address", default="", help="Of this machine, for --phone: where it has several.")
@click.option(
    "--port", type=click.IntRange(0, 65535), default=0, show_default="any free one", help="For --phone."
)
@json_option
@full_option
@quiet_option
def command(sheet: Path, write: bool, as_json: bool, full: bool, quiet: bool, **read: Any) -> int:
    """Answer for the build SHEET with what was read on the field today, beside what the sheet says.

    Whoever weighs or hangs it does so with no igniter in a motor and no charge connected.

    With --phone it is asked on a phone instead, until Ctrl-C; without --write that page only reads.

    Exit codes, of today's verdict: 0 go, 3 no-go, 4 not known, 2 wrong input.
    """
    from finial.findings.begun import Begun
    from finial.findings.today import today

    phone, address, port = (read.pop(name) for name in ("phone", "address", "port"))
    told = {} if phone else _told(read)
    if phone and any(read.values()):
        raise click.UsageError("--phone asks for what was read on the phone: leave it out here")
    vehicle = loaded_or_begun(sheet, quiet=quiet)
    if isinstance(vehicle, Begun):
        return begun_shown(vehicle, as_json=as_json, full=full)
    if phone:
        from finial.web.phone_serve import serve_phone

        serve_phone(vehicle, address=address, port=port, may_write=write, tell=click.echo, note=teller(quiet))
        return 0
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


def _told(read: dict[str, Any]) -> dict[tuple[str | int, ...], Any]:
    """Values by their places in the sheet."""
    from finial.core.errors import MissingData
    from finial.findings.readings import DAY_PLACES, OnScales, read_on_field

    day = {name: read[name] for name in DAY_PLACES if read[name]}
    scales = OnScales(
        motor=read["motor"] or "",
        mass=read["mass"] or "",
        balance=read["balance"] or "",
        scales=read["scale"],
        across=read["across"],
    )
    try:
        return dict(read_on_field(day, scales))
    except MissingData as error:
        raise click.UsageError(str(error)) from error
