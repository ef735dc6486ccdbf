"""``finial motors``: which motors of a folder fit the vehicle, and why the others do not."""

import json
from pathlib import Path

import click

from finial.cli.options import json_option, quiet_option, teller
from finial.cli.progress import bar
from finial.report.progress import compile_flight


@click.command("motors")
@click.argument("folder", type=click.Path(path_type=Path))
@click.option(
    "--sheet",
    type=click.Path(path_type=Path),
    required=True,
    help="Build sheet of the vehicle to fly them in.",
)
@click.option("--max-g", type=click.FloatRange(min=0, min_open=True), help="Most acceleration (usual: 15 g).")
@json_option
@quiet_option
def command(folder: Path, sheet: Path, max_g: float | None, as_json: bool, quiet: bool) -> int:
    """Try every motor of the FOLDER (one TOML file and thrust curve each) in the vehicle of a build sheet.

    Exit codes: 0 when at least one meets everything, 3 when none does, 2 wrong input.
    """
    from finial.files.motor_folder import read_motors
    from finial.findings.check import load
    from finial.findings.motor_choice import MOST_G, motor_rows
    from finial.report.motors_text import motors_lines, motors_plain
    from finial.report.terminal import terminal_width, write

    tell = teller(quiet)
    files = read_motors(folder)
    vehicle = load(sheet, tell=tell)
    compile_flight(tell)
    tell(f"flying {len(files)} motors")
    with bar("motors", len(files), quiet=quiet) as told:
        rows = motor_rows(vehicle, files, max_g or MOST_G, told)
    if as_json:
        click.echo(json.dumps(motors_plain(rows, us_units=vehicle.us_units), indent=1, ensure_ascii=False))
    else:
        has_room = vehicle.sheet.motor.room is not None
        name = vehicle.sheet.vehicle.name
        write(motors_lines(name, rows, has_room=has_room, us_units=vehicle.us_units, width=terminal_width()))
    return 0 if any(row.meets for row in rows) else 3
