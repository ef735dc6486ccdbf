"""``finial photo``: lengths on a facade from marked photos, with their errors."""

import json
from pathlib import Path
from typing import TYPE_CHECKING

import click

from finial.cli.options import json_option

if TYPE_CHECKING:
    from finial.assemble.start.photos import FacadeRead


@click.command("photo")
@click.argument("marks", type=click.Path(path_type=Path, dir_okay=False))
@click.option(
    "--tower",
    type=click.Path(path_type=Path, dir_okay=False),
    help="Write the storeys as a drawing for `finial tower`; a new file.",
)
@click.option("--height", help='Height of the model in that drawing, such as "640 mm".')
@click.option("--us", "us_units", is_flag=True, help="Show feet and inches.")
@json_option
def command(marks: Path, tower: Path | None, height: str | None, us_units: bool, as_json: bool) -> int:
    """Read lengths off photos of a facade, by the TOML file MARKS.

    In each photo four corners of a rectangle and one known length are marked; what else lies in that plane
    is then read with its error. Several photos agree, or it is said how far apart they are. Storeys marked
    by their four corners become a drawing for `finial tower`.
    """
    if (tower is None) != (height is None):
        raise click.UsageError("--tower and --height go together: the drawing is of the model's height")
    if tower is not None and tower.exists():
        raise click.UsageError(f"{tower} exists; give a new file, so that nothing of yours is overwritten")
    from finial.assemble.start.photos import facade_lengths
    from finial.files.photo_marks import read_photo_marks
    from finial.report.photo_text import photo_lines, photo_plain
    from finial.report.terminal import terminal_width, write

    told, source = read_photo_marks(marks)
    found = facade_lengths(told, source)
    if tower is not None and height is not None:
        _drawn(tower, height, found, us_units=us_units)
    if as_json:
        click.echo(json.dumps(photo_plain(found), allow_nan=False, ensure_ascii=False, indent=1))
    else:
        write(photo_lines(found, us_units=us_units, width=terminal_width()))
    return 0


def _drawn(tower: Path, height: str, found: "FacadeRead", *, us_units: bool) -> None:
    from finial.core.dimensions import Dimension
    from finial.core.units import parse_quantity
    from finial.files.write import write_atomically
    from finial.report.photo_tower import tower_drawing

    if not found.storeys:
        raise click.UsageError("no photo marks a storey: add storeys with their corners to the marks")
    model_m = parse_quantity(height, Dimension.LENGTH, above=0.0).value
    write_atomically(tower, tower_drawing(tower.stem, found.storeys, model_m, us_units=us_units).encode())
    click.echo(f"wrote {tower}\nnext: finial tower {tower}", err=True)
