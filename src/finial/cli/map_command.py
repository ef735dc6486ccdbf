"""``finial map``: the field of the day, drawn without a network."""

from pathlib import Path

import click

from finial.cli.options import exit_code, json_option, quiet_option, sheet_argument, teller
from finial.core.cores import usable_cores


@click.command("map")
@sheet_argument
@click.option(
    "--flights", type=click.IntRange(50, 20_000), default=500, show_default=True, help="How many to fly."
)
@click.option(
    "--seed", type=click.IntRange(0, 2**63 - 1), default=1, show_default=True, help="Of all chance."
)
@click.option(
    "--folder",
    type=click.Path(path_type=Path, file_okay=False),
    help="Where map.svg, map.kml and map.geojson go (default: <sheet>-map beside the sheet).",
)
@json_option
@quiet_option
def command(sheet: Path, flights: int, seed: int, folder: Path | None, as_json: bool, quiet: bool) -> int:
    """Draw the field of the build SHEET's day: where it lands, what lies there, which lean, which wind.

    Half of the flights come down as they are drawn, as many more with every canopy staying in. The verdict
    stays that of the whole check.

    Exit codes, of the verdict: 0 go, 3 no-go, 4 not known, 2 wrong input.
    """
    from finial.cli.unfinished import begun_shown, loaded_or_begun
    from finial.files.write import make_folder, write_atomically
    from finial.findings.begun import Begun
    from finial.findings.field_map import field_map
    from finial.findings.kept_check import kept_check
    from finial.findings.readiness import Depth
    from finial.flight.many import make_many_ready
    from finial.report.field_map_files import field_map_files
    from finial.report.field_map_text import field_map_json, field_map_lines
    from finial.report.terminal import terminal_width, write
    from finial.report.text import verdict_lines

    tell = teller(quiet)
    vehicle = loaded_or_begun(sheet, quiet=quiet)
    if isinstance(vehicle, Begun):
        return begun_shown(vehicle, as_json=as_json, full=False)
    make_many_ready(lambda: tell("compiling the flight, once on this machine; about half a minute"))
    checked = kept_check(sheet, Depth.WHOLE, tell)
    assert not isinstance(checked, Begun), "a sheet that was loaded has all its tables"
    threads = usable_cores()
    found = field_map(vehicle, checked.range_safety, flights=flights, seed=seed, threads=threads, tell=tell)
    target = folder or sheet.with_name(f"{sheet.stem}-map")
    if folder is None:
        make_folder(target, sheet.parent)
    else:
        target.mkdir(parents=True, exist_ok=True)
    for name, text in field_map_files(found.drawn).items():
        write_atomically(target / name, text.encode())
    if as_json:
        click.echo(field_map_json(found, checked))
    else:
        width = terminal_width()
        write((*verdict_lines(checked, width=width), *field_map_lines(found, width=width)))
    tell(f"map.svg{', map.kml and map.geojson are' if found.drawn.pad_rad else ' is'} in {target}")
    return exit_code(checked.verdict)
