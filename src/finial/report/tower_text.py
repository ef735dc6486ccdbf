"""A tower drawn from storeys: its files, and what was drawn in words."""

import re
from collections.abc import Sequence

from finial.assemble.start.tower import DrawnPart
from finial.core.dimensions import Dimension
from finial.files.plain_names import plain_name
from finial.files.stl import stl_bytes
from finial.files.threemf_write import Object3mf, threemf_bytes
from finial.report.document import ReportSection, Table
from finial.report.lines import WIDTH, TextLine, section_lines
from finial.report.shown import Shown
from finial.report.terminal import terminal_width, write

ALL_PARTS = "all-parts.3mf"
_OWN = re.compile(r"part-\d{2}-[\w.-]+\.stl")


def is_tower_file(name: str) -> bool:
    """Whether a file is one that this command writes.

    Examples
    --------
    >>> is_tower_file("part-01-shaft.stl"), is_tower_file("shaft.stl")
    (True, False)
    """
    return name == ALL_PARTS or _OWN.fullmatch(name) is not None


def tower_files(name: str, parts: Sequence[DrawnPart]) -> dict[str, bytes]:
    """Contents of every file, by name: each part as STL in its place, all as one 3MF, in millimetres."""
    files = {part_file(number, one): _stl(one) for number, one in enumerate(parts, start=1)}
    objects = [
        Object3mf(name=one.name, vertices_mm=one.sound.vertices_mm, faces=one.sound.faces) for one in parts
    ]
    return {**files, ALL_PARTS: threemf_bytes(objects, name)}


def part_file(number: int, part: DrawnPart) -> str:
    """Name of the STL file of a part, counted from the ground up."""
    return f"part-{number:02d}-{plain_name(part.name) or 'part'}.stl"


def _stl(part: DrawnPart) -> bytes:
    return stl_bytes(part.sound.vertices_mm, part.sound.faces)


def print_tower(name: str, parts: Sequence[DrawnPart]) -> None:
    """Write what was drawn to standard output."""
    write(tower_lines(name, parts, width=terminal_width()))


def tower_lines(name: str, parts: Sequence[DrawnPart], *, width: int = WIDTH) -> tuple[TextLine, ...]:
    """Lay out the parts from the ground up, and what comes next."""
    return section_lines(tower_section(name, parts, Shown(us_units=False)), width=width)


def tower_section(name: str, parts: Sequence[DrawnPart], shown: Shown) -> ReportSection:
    """Put the parts in a table."""
    return ReportSection(
        key="tower",
        title=name,
        facts=(("height", shown.length(max(one.heights_m[1] for one in parts))),),
        tables=(
            Table(
                title="Parts, from the ground up",
                columns=("file", "from", "to", "wide", "solid"),
                rows=tuple(
                    (
                        part_file(number, one),
                        *(shown.length(end) for end in one.heights_m),
                        shown.sides(one.sides_m),
                        shown.plain(one.volume_m3, Dimension.VOLUME),
                    )
                    for number, one in enumerate(parts, start=1)
                ),
                numbers=(1, 2, 4),
            ),
        ),
        notes=(
            "Each part is one closed body, read back and measured, in its place in the tower. Begin with "
            f"them: finial new FOLDER --as-drawn --mesh {ALL_PARTS}",
        ),
    )
