"""A small picture compared whole with the one that was measured by hand when its test was written."""

import re
from pathlib import Path

_DRAWN = Path(__file__).parent / "drawn"
_NUMBER = re.compile(r"(?<![#\w])-?\d+(?:\.\d+)?")
_ROUNDING_MM = 0.0021
"""The last digit of a coordinate may fall either way on another machine, and twice over."""


def same_as_drawn(svg: str, name: str) -> None:
    """Compare everything but numbers letter by letter, and every number to a hair."""
    wanted = (_DRAWN / f"{name}.svg").read_text(encoding="utf-8").replace("\n", "")
    assert _NUMBER.sub("n", svg) == _NUMBER.sub("n", wanted)
    found, known = (list(map(float, _NUMBER.findall(text))) for text in (svg, wanted))
    off = [(one, other) for one, other in zip(found, known, strict=True) if abs(one - other) > _ROUNDING_MM]
    assert not off, f"{len(off)} numbers are not as drawn, the first {off[0]}"
