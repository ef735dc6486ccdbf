"""``finial hollow``: a mesh with all that lies deeper than a wall taken out."""

from pathlib import Path

import click

from finial.cli.options import mesh_unit_option


@click.command("hollow")
@click.argument("mesh", type=click.Path(path_type=Path, dir_okay=False))
@click.option("--wall", required=True, help='Wall to leave, such as "2 mm".')
@mesh_unit_option
@click.option(
    "--to", "target", type=click.Path(path_type=Path, dir_okay=False), help="STL to write, in millimetres."
)
def command(mesh: Path, wall: str, unit: str | None, target: Path | None) -> int:
    """Make a MESH hollow: mended, its bodies united, its walls as thick as told.

    Written as STL in millimetres; nothing is ever overwritten.
    """
    from finial.assemble.start.hollow import hollow_piece
    from finial.core.units import Dimension, parse_quantity
    from finial.files.stl import stl_bytes
    from finial.files.write import write_atomically
    from finial.report.hollow_text import hollow_lines
    from finial.report.terminal import terminal_width, write

    wall_m = parse_quantity(wall, Dimension.LENGTH, above=0.0).value
    written = target or mesh.with_name(f"{mesh.stem}-hollow.stl")
    if written.exists():
        raise click.UsageError(f"{written} is there already: give another file with --to")
    piece = hollow_piece(mesh, unit, wall_m)
    write_atomically(written, stl_bytes(piece.sound.vertices_mm, piece.sound.faces))
    write(hollow_lines(piece, str(written), us_units=unit in ("in", "ft"), width=terminal_width()))
    return 0
