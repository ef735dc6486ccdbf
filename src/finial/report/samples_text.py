"""Test pieces in words: what to do with each, and where its number goes."""

import csv
import io
import re
from collections.abc import Sequence

from finial.assemble.prints.samples import Sample, SampleKind
from finial.files.plain_names import plain_name
from finial.files.stl import stl_bytes
from finial.printing.samples import (
    BAR_NECK_M,
    BAR_THICK_M,
    BLOCK_M,
    CUBE_M,
    GAUGE_STEPS,
    STRIP_FREE_M,
    STRIP_WIDE_M,
)
from finial.report.csv_text import harmless
from finial.report.layout import paragraph
from finial.report.lines import TextLine
from finial.report.shown import INCH_M, Shown
from finial.report.terminal import terminal_width, write

TABLE = "tests.csv"
_OWN = re.compile(r"test-\d{2}-[\w.-]+\.stl")
_FACE_M2 = BLOCK_M[0] * BLOCK_M[1]
_NECK_M2 = BAR_NECK_M * BAR_THICK_M


def what_to_do(kind: SampleKind, shown: Shown) -> str:
    """Say what is done with a kind of test piece.

    Examples
    --------
    >>> what_to_do(SampleKind.CUBE, Shown(us_units=True))
    'Print it solid, weigh it: density = mass / 0.488 in3.'
    """
    breaks = f"strength = force / {_area(_NECK_M2, shown)}"
    match kind:
        case SampleKind.CUBE:
            return f"Print it solid, weigh it: density = mass / {_volume(CUBE_M**3, shown)}."
        case SampleKind.BAR_ALONG:
            return f"Print it lying, pull till it breaks: {breaks}."
        case SampleKind.BAR_ACROSS:
            return f"Print it standing, pull till it breaks: {breaks}."
        case SampleKind.JOINT:
            return (
                "Print two as the part, join them as the seam, pull by bolts: what the seam holds = force x "
                f"glue area of the seam / {_area(_FACE_M2, shown)}; the print plan tells that area."
            )
        case SampleKind.GAUGE:
            return (
                "Try rod or dowel from the hole with one notch on: the first it slides in is wider by "
                f"{shown.fine(GAUGE_STEPS[1] - GAUGE_STEPS[0])} times its notches less one."
            )
        case SampleKind.STRIP:
            return (
                f"Wedge a strip of the sheet {shown.offset(STRIP_WIDE_M)} wide into it, "
                f"{shown.offset(STRIP_FREE_M)} of it free, and hang a weight from its end: modulus = "
                "4 F L^3 / (d b t^3), d how far the end sinks."
            )


def _area(square_metres: float, shown: Shown) -> str:
    """Write an area to divide by: three digits at least in either unit."""
    if shown.us_units:
        return f"{square_metres / INCH_M**2:.4g} in2"
    return f"{1e6 * square_metres:.0f} mm2"


def _volume(cubic_metres: float, shown: Shown) -> str:
    return f"{cubic_metres / INCH_M**3:.3f} in3" if shown.us_units else f"{1e6 * cubic_metres:.0f} cm3"


NAMES = {
    SampleKind.CUBE: "cube",
    SampleKind.BAR_ALONG: "bar along the layers",
    SampleKind.BAR_ACROSS: "bar across the layers",
    SampleKind.JOINT: "joint",
    SampleKind.GAUGE: "gauge of holes",
    SampleKind.STRIP: "holder of a strip",
}


def is_sample_file(name: str) -> bool:
    """Whether a file is one that this command writes.

    Examples
    --------
    >>> is_sample_file("test-01-cube-petg.stl"), is_sample_file("tower.stl")
    (True, False)
    """
    return name == TABLE or _OWN.fullmatch(name) is not None


def sample_files(every: Sequence[Sample], shown: Shown) -> dict[str, bytes]:
    """Contents of every file, by name."""
    named = [(_file(number, one), one) for number, one in enumerate(every, start=1)]
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(("file", "print", "for", "do", "enter_under", "result"))
    for name, one in named:
        writer.writerow((name, one.count, harmless(one.subject), what_to_do(one.kind, shown), one.place, ""))
    files = {name: stl_bytes(one.sound.vertices_mm, one.sound.faces) for name, one in named}
    return {**files, TABLE: out.getvalue().encode()}


def _file(number: int, one: Sample) -> str:
    return f"test-{number:02d}-{one.kind.value}-{plain_name(one.subject) or 'piece'}.stl"


def print_samples(every: Sequence[Sample], shown: Shown) -> None:
    """Write the list to standard output."""
    width = terminal_width()
    lines = [TextLine(""), TextLine("Test pieces", "heading"), TextLine("-----------")]
    for number, one in enumerate(every, start=1):
        said = f"{NAMES[one.kind]} for {one.subject}, {one.count} of it. {what_to_do(one.kind, shown)} "
        lines += map(TextLine, paragraph(f"{said}Enter under {one.place}.", width, first=f"  {number:>2}  "))
    note = "Print them with the walls, layers and filament of the parts; five bars at least each way."
    lines += map(TextLine, paragraph(note, width, first="  "))
    write(tuple(lines))
