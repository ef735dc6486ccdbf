"""``finial new``: an example project to start from."""

import tempfile
from pathlib import Path

import click

from finial.files.examples import EXAMPLES, example_folder, project_files


@click.command("new")
@click.argument("folder", type=click.Path(path_type=Path, file_okay=False))
@click.option("--example", type=click.Choice(EXAMPLES), default=EXAMPLES[0], show_default=True)
def command(folder: Path, example: str) -> int:
    """Write an example project into FOLDER, which must be new or empty.

    Schemas lie beside it: an editor that knows TOML completes keys, says what they mean and marks slips.
    """
    if folder.exists() and any(folder.iterdir()):
        raise click.UsageError(
            f"{folder} is not empty; give a new folder, so that nothing of yours is overwritten"
        )
    try:
        _copy_whole(example_folder(example), folder)
    except OSError as error:
        # The copy stood in a folder of its own, whose name says nothing to anyone.
        error.filename = str(folder)
        raise
    sheet = folder / f"{example}.toml"
    click.echo(f"wrote {example} to {folder}\nnext: finial check {sheet}")
    return 0


def _copy_whole(source: Path, target: Path) -> None:
    """Copy beside the target first, so that an interrupted copy leaves no half project."""
    from finial.files.editor_schemas import lay_schemas
    from finial.files.write import write_atomically

    target.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(dir=target.parent, prefix=".finial-new-") as scratch:
        copied = Path(scratch) / "copy"
        for path in project_files(source):
            beside = copied / path.relative_to(source)
            beside.parent.mkdir(parents=True, exist_ok=True)
            write_atomically(beside, path.read_bytes())
        lay_schemas(copied / f"{source.name}.toml")
        if target.exists():
            target.rmdir()
        copied.rename(target)
