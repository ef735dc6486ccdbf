"""``finial tower``: a tower drawn from storeys without CAD, as meshes to begin with."""

import json
from pathlib import Path

import click

from finial.cli.options import json_option, quiet_option


@click.command("tower")
@click.argument("drawing", type=click.Path(path_type=Path, dir_okay=False))
@click.option(
    "--folder",
    type=click.Path(path_type=Path, file_okay=False),
    help="Where the parts go (default: beside DRAWING). Only an earlier tower is ever replaced.",
)
@json_option
@quiet_option
def command(drawing: Path, folder: Path | None, as_json: bool, quiet: bool) -> int:
    """Draw a tower from the storeys that the TOML file DRAWING tells, without CAD.

    Circles, polygons, rectangles with round corners and outlines from SVG; taper, twist, points, domes,
    ridges, ledges, windows as pockets, bores, shoulders. Each part becomes one closed body, written as STL
    in its place, and all of them as one 3MF, in millimetres.
    """
    from finial.assemble.start.tower import drawn_tower
    from finial.files.tower import read_tower
    from finial.files.write import write_folder
    from finial.report.tower_text import is_tower_file, part_file, print_tower, tower_files
    from finial.report.words import counted

    told, source = read_tower(drawing)
    parts = drawn_tower(told, source)
    target = folder or drawing.parent / f"{drawing.stem}-parts"
    write_folder(target, tower_files(told.name, parts), is_tower_file)
    if not quiet:
        click.echo(f"{counted(len(parts), 'part')} written to {target}", err=True)
    if as_json:
        listed = [
            {
                "name": one.name,
                "file": part_file(number, one),
                "heights_m": list(one.heights_m),
                "sides_m": list(one.sides_m),
                "volume_m3": one.volume_m3,
            }
            for number, one in enumerate(parts, start=1)
        ]
        click.echo(json.dumps({"name": told.name, "parts": listed}, allow_nan=False, indent=1))
    else:
        print_tower(told.name, parts)
    return 0
