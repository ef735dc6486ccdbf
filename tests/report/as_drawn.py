"""A picture or a page compared whole with one that was looked at and measured when its test was written."""

import os
import re
from collections.abc import Sequence
from pathlib import Path

import pytest

from finial.report.document import ReportSection
from finial.report.lines import TextLine, section_lines

_NUMBER = re.compile(r"(?<![#\w])-?\d+(?:\.\d+)?")
_ROUNDING_MM = 0.0021
"""The last digit of a coordinate may fall either way on another machine, and twice over."""

BOTH = pytest.mark.parametrize(("us_units", "us"), [(False, ""), (True, "-us")])
"""Kept once in each of the units, those of the US under a name of their own."""


def text(lines: Sequence[TextLine]) -> str:
    """Return the lines without the caution, which the texts of the whole answer hold."""
    return "\n".join(line.text for line in lines).split("\n\nCaution\n")[0]


def page(*sections: ReportSection) -> str:
    return "\n".join(text(section_lines(one, width=110)) for one in sections)


def same_as_drawn(svg: str, kept: Path) -> None:
    """Compare everything but numbers letter by letter, and every number to a hair.

    Where a picture is meant to change: run with ``DRAW_AGAIN=1``, and look at what it drew.
    """
    if os.environ.get("DRAW_AGAIN"):
        kept.parent.mkdir(exist_ok=True)
        kept.write_text(svg.replace("><", ">\n<") + "\n", encoding="utf-8")
    wanted = kept.read_text(encoding="utf-8").replace(">\n<", "><").rstrip("\n")
    assert _NUMBER.sub("n", svg) == _NUMBER.sub("n", wanted)
    found, known = (list(map(float, _NUMBER.findall(text))) for text in (svg, wanted))
    off = [(one, other) for one, other in zip(found, known, strict=True) if abs(one - other) > _ROUNDING_MM]
    assert not off, f"{len(off)} numbers are not as drawn, the first {off[0]}"


def same_as_told(text: str, kept: Path) -> None:
    """Compare a page of text letter by letter; where it is meant to change: ``DRAW_AGAIN=1``, and read it."""
    if os.environ.get("DRAW_AGAIN"):
        kept.parent.mkdir(exist_ok=True)
        kept.write_text(text + "\n", encoding="utf-8")
    assert text == kept.read_text(encoding="utf-8").removesuffix("\n")
