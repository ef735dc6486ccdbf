"""``finial new``: a project from the builder's own meshes, or an example to start from."""

from pathlib import Path

import click

from finial.cli.options import MESH_UNITS
from finial.files.examples import EXAMPLES, example_folder, project_files

UPS = ("+x", "-x", "+y", "-y", "+z", "-z")
_file = click.Path(path_type=Path, dir_okay=False)


@click.command("new")
@click.argument("folder", type=click.Path(path_type=Path, file_okay=False))
@click.argument("more_meshes", metavar="", nargs=-1, type=_file)
@click.option("--mesh", "meshes", metavar="FILE...", multiple=True, type=_file, help="Your printed pieces.")
@click.option("--unit", type=click.Choice(MESH_UNITS), help="Unit of meshes that carry none: STL, OBJ, PLY.")
@click.option("--up", type=click.Choice(UPS), help="Mesh axis that points to the tip; found without it.")
@click.option("--as-drawn", is_flag=True, help="The meshes share one origin and stay where they are.")
@click.option("--stack", is_flag=True, help="Each mesh has its own origin: put them on one another.")
@click.option("--in-order", is_flag=True, help="Put them on one another as they are named, tip first.")
@click.option("--joined", is_flag=True, help="A 3MF of several objects is one part, not a part for each.")
@click.option("--material", help="What they are printed in; PLA is guessed without it.")
@click.option("--name", "title", help="Name of the vehicle; that of FOLDER without it.")
@click.option(
    "--motors",
    type=click.Path(path_type=Path, file_okay=False, exists=True),
    help="Folder of motors to copy beside the sheet.",
)
@click.option("--example", type=click.Choice(EXAMPLES), help=f"An example instead.  [default: {EXAMPLES[0]}]")
@click.option("--quiet", is_flag=True, help="No progress notes on stderr.")
def command(
    folder: Path, more_meshes: tuple[Path, ...], meshes: tuple[Path, ...], example: str | None, **how: object
) -> int:
    """Write a project into FOLDER, which must be new or empty: from your own meshes, or an example.

    `finial new tower --mesh low.stl mid.stl top.stl --unit mm` finds tip, order, walls, bores, rods and fins,
    writes a sheet of that shape with what is still a guess marked, and answers it for the first time.

    Schemas lie beside it: an editor that knows TOML completes keys, says what they mean and marks slips.
    """
    every = (*meshes, *more_meshes)
    _refuse_filled(folder)
    if not every:
        _refuse_alone(how)
        return _copy_example(example or EXAMPLES[0], folder)
    if example:
        raise click.UsageError("--example and meshes of your own: give one of them")
    from finial.cli.start import started

    return started(folder, every, **how)  # pyright: ignore[reportArgumentType] - click tells no types


def _refuse_filled(folder: Path) -> None:
    from finial.files.sheet_rules import MESH_SUFFIXES

    if folder.suffix.lower() in MESH_SUFFIXES:
        raise click.UsageError(f"{folder} is a mesh: name the new folder first, then the meshes")
    if folder.exists() and any(folder.iterdir()):
        raise click.UsageError(
            f"{folder} is not empty; give a new folder, so that nothing of yours is overwritten"
        )


def _refuse_alone(how: dict[str, object]) -> None:
    given = [f"--{name.replace('_', '-')}" for name, value in how.items() if value and name != "quiet"]
    if given:
        raise click.UsageError(f"{', '.join(given)} without a mesh: add --mesh and your files")


def _copy_example(example: str, folder: Path) -> int:
    from finial.files.editor_schemas import lay_schemas
    from finial.files.write import whole_folder, write_atomically

    source = example_folder(example)
    with whole_folder(folder) as copied:
        for path in project_files(source):
            beside = copied / path.relative_to(source)
            beside.parent.mkdir(parents=True, exist_ok=True)
            write_atomically(beside, path.read_bytes())
        lay_schemas(copied / f"{example}.toml")
    click.echo(f"wrote {example} to {folder}\nnext: finial check {folder / f'{example}.toml'}")
    return 0
