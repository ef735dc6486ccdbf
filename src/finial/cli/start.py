"""A project from meshes, asked for where the shell is a terminal and told where it is not."""

import sys
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import click

from finial.cli.options import MESH_UNITS, teller

if TYPE_CHECKING:
    from finial.assemble.start.pieces import MeshPiece
    from finial.shape.pieces.arrange import Arranged, ToldPlacing


@dataclass(frozen=True, slots=True, kw_only=True)
class _How:
    """What was said on the command line."""

    unit: str | None
    up: str | None
    as_drawn: bool
    stack: bool
    in_order: bool
    joined: bool
    material: str | None
    title: str | None
    motors: Path | None
    quiet: bool


def started(folder: Path, meshes: Sequence[Path], **said: object) -> int:
    """Begin a project from meshes, and print what was found and the first answer."""
    from finial.assemble.start.pieces import read_pieces
    from finial.face.start import Begin, begin_project
    from finial.report.start_text import print_started

    how = _How(**said)  # pyright: ignore[reportArgumentType] - click tells no types
    if how.as_drawn and (how.stack or how.in_order):
        raise click.UsageError(
            "--as-drawn keeps the meshes where they are: it goes with neither --stack nor --in-order"
        )
    tell = teller(how.quiet)
    unit = _unit(meshes, how.unit)
    tell("reading and mending the meshes")
    pieces = read_pieces(meshes, unit, joined=how.joined)
    tell("looking which way they stand")
    arranged = _arranged(pieces, _told(how, len(pieces)))
    begin = Begin(
        folder=folder,
        unit=unit,
        title=how.title or "",
        material=_material(how.material),
        us_units=unit in ("in", "ft"),
        motors=how.motors,
    )
    print_started(begin_project(begin, pieces, arranged, tell))
    return 0


def _asks() -> bool:
    return sys.stdin.isatty() and sys.stderr.isatty()


def _unit(meshes: Sequence[Path], unit: str | None) -> str | None:
    """Ask for the unit where it is needed: it is never taken from the size alone, the likely one is named."""
    from finial.assemble.start.pieces import size_in_files
    from finial.report.start_text import likely_unit, sizes_words

    size = size_in_files(meshes) if unit is None else None
    if size is None:
        return unit
    likely = likely_unit(size)
    if not _asks():
        hint = f"; --unit {likely} is likely" if likely else ""
        raise click.UsageError(f"the meshes carry no unit: give --unit. {sizes_words(size)}{hint}")
    click.echo(f"The meshes carry no unit. {sizes_words(size)}.", err=True)

    return click.prompt("Unit of the meshes", type=click.Choice(MESH_UNITS), default=likely, err=True)


def _material(material: str | None) -> str:
    """Take the material as told or asked; empty is a guess."""
    if material is not None or not _asks():
        return material or ""
    return click.prompt("Printed in (enter: not known yet)", default="", show_default=False, err=True)


def _told(how: _How, count: int) -> "ToldPlacing":
    from finial.shape.pieces.arrange import Placing, ToldPlacing

    placing = Placing.AS_DRAWN if how.as_drawn else Placing.FOUND
    if how.stack or how.in_order:
        placing = Placing.STACKED
    return ToldPlacing(up=how.up or "", placing=placing, order=tuple(range(count)) if how.in_order else None)


def _arranged(pieces: Sequence["MeshPiece"], told: "ToldPlacing") -> "Arranged":
    """Find how the pieces stand; asked where nobody can tell."""
    from finial.assemble.start.pieces import arrange_pieces
    from finial.face.start import piece_names
    from finial.report.start_text import doubt_words

    found = arrange_pieces(pieces, told)
    doubt = doubt_words(found, piece_names(pieces))
    while doubt:
        if not _asks():
            raise click.UsageError(doubt)
        told = _answered(doubt, found, told)
        found = arrange_pieces(pieces, told)
        doubt = doubt_words(found, piece_names(pieces))
    return found


def _answered(doubt: str, found: "Arranged", told: "ToldPlacing") -> "ToldPlacing":
    from dataclasses import replace

    from finial.core.frames import UP_AXES
    from finial.shape.pieces.arrange import Placing

    click.echo(doubt, err=True)
    if not found.doubtful:
        up = click.prompt(
            "Mesh axis that points to the tip", type=click.Choice(UP_AXES), default=found.upright.up, err=True
        )
        return replace(told, up=up)
    ways = {"as-drawn": Placing.AS_DRAWN, "in-order": Placing.STACKED}
    if found.stack is None:
        ways["stack"] = Placing.STACKED
    way = click.prompt("How do they stand", type=click.Choice(list(ways)), err=True)
    order = tuple(range(len(found.order))) if way == "in-order" else None
    return replace(told, placing=ways[way], order=order)
