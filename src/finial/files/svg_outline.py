"""The one closed outline of an SVG drawing, as corners: polygons, rectangles, circles, paths.

Elements are those of SVG 1.1 (W3C), chapters 8 and 9, from memory. Sizes in the drawing mean nothing: an
outline is scaled to the size that is asked for.
"""

import math
import re
from collections.abc import Iterator
from pathlib import Path
from xml.parsers import expat

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import MeshError

_SHAPES = ("polygon", "polyline", "rect", "circle", "ellipse", "path")
_MOST_BYTES = 2_000_000
_MOST_CORNERS = 5_000
_ROUND = 96
_CURVE_STEPS = 16
_NUMBER = re.compile(r"[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?")
_PLACE = re.compile(r"\s*(translate\([^()]*\)|scale\(\s*[\d.]+\s*\))\s*,?")
_WORDS = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "Q": 4, "Z": 0}
"""How many numbers go with each letter of a path."""


def read_svg_outline(path: Path) -> NDArray[np.float64]:
    """Corners of the outline, counter-clockwise seen with y up, about the middle of its area, shape (n, 2).

    Raises
    ------
    MeshError
        If the file cannot be read, holds no outline or several, or one that cannot be followed.
    """
    try:
        content = path.read_bytes()
        if len(content) > _MOST_BYTES:
            raise MeshError(f"is {len(content)} bytes long; at most {_MOST_BYTES} are read")
        corners = np.array(_one_outline(content))
        return _about_middle(_clean(corners * (1.0, -1.0)))
    except (OSError, expat.ExpatError, ValueError, LookupError, OverflowError) as error:
        raise MeshError(f"{path}: cannot be read as SVG: {error or type(error).__name__}") from error
    except MeshError as error:
        raise MeshError(f"{path}: {error}") from error


def _one_outline(content: bytes) -> list[tuple[float, float]]:
    found: list[list[tuple[float, float]]] = []

    def begins(tag: str, given: dict[str, str]) -> None:
        place = given.get("transform", "")
        if _PLACE.sub("", place).strip():
            raise MeshError(f"an outline turned or skewed by {place!r}: draw it as it is to be")
        name = tag.rpartition(":")[2]
        if name in _SHAPES:
            found.append(_shape(name, given))

    parser = expat.ParserCreate()
    parser.StartElementHandler = begins
    parser.StartDoctypeDeclHandler = _pass_doctype
    parser.EntityDeclHandler = _refuse_entities
    parser.Parse(content, True)
    if len(found) != 1:
        raise MeshError(f"{len(found)} outlines in it: one closed outline is wanted")
    return found[0]


def _shape(name: str, given: dict[str, str]) -> list[tuple[float, float]]:
    if name == "path":
        return list(_followed(given["d"]))
    if name in ("polygon", "polyline"):
        numbers = _numbers(given["points"])
        return list(zip(numbers[::2], numbers[1::2], strict=True))
    if name == "rect":
        if "rx" in given or "ry" in given:
            raise MeshError("a rectangle with rounded corners: leave them sharp and round them by corner")
        wide, high = _number(given["width"]), _number(given["height"])
        return [(0.0, 0.0), (wide, 0.0), (wide, high), (0.0, high)]
    radii = (given["r"], given["r"]) if name == "circle" else (given["rx"], given["ry"])
    across, up = map(_number, radii)
    angles = (math.tau * n / _ROUND for n in range(_ROUND))
    return [(across * math.cos(angle), up * math.sin(angle)) for angle in angles]


def _number(text: str) -> float:
    found = _NUMBER.match(text.strip())
    if found is None:
        raise MeshError(f"{text!r} is no size")
    return float(found.group())


def _numbers(text: str) -> list[float]:
    return [float(one) for one in _NUMBER.findall(text)]


def _followed(text: str) -> Iterator[tuple[float, float]]:
    """Corners of a path; curves as sixteen chords each."""
    at, ended = (0.0, 0.0), False
    for letter, rest in re.findall(r"([A-Za-z])([^A-Za-z]*(?:[eE][-+]?\d[^A-Za-z]*)*)", text):
        word = letter.upper()
        if word not in _WORDS:
            raise MeshError(f"a path with {letter!r}: straight lines and Bezier curves are followed")
        if word == "M" and ended:
            raise MeshError("a path of several outlines: one closed outline is wanted")
        ended = ended or word == "Z"
        numbers, size = _numbers(rest), _WORDS[word]
        if size and (not numbers or len(numbers) % size):
            raise MeshError(f"a path whose {letter!r} has {len(numbers)} numbers")
        for start in range(0, len(numbers), size or 1):
            points = _absolute(word, numbers[start : start + size], at, relative=letter.islower())
            yield from _along(at, points)
            at = points[-1]


def _absolute(
    word: str, numbers: list[float], at: tuple[float, float], *, relative: bool
) -> list[tuple[float, float]]:
    x, y = at if relative else (0.0, 0.0)
    if word == "H":
        return [(numbers[0] + x, at[1])]
    if word == "V":
        return [(at[0], numbers[0] + y)]
    return [(numbers[n] + x, numbers[n + 1] + y) for n in range(0, len(numbers), 2)]


def _along(start: tuple[float, float], points: list[tuple[float, float]]) -> Iterator[tuple[float, float]]:
    """Follow a straight line, or a Bezier curve of as many points, by de Casteljau's rule."""
    if len(points) == 1:
        yield points[0]
        return
    for step in range(1, _CURVE_STEPS + 1):
        share = step / _CURVE_STEPS
        level = np.array([start, *points])
        while len(level) > 1:
            level = (1.0 - share) * level[:-1] + share * level[1:]
        yield float(level[0, 0]), float(level[0, 1])


def _clean(corners: NDArray[np.float64]) -> NDArray[np.float64]:
    """Drop corners drawn twice, and turn what goes round the wrong way."""
    if corners.ndim != 2 or not np.isfinite(corners).all():
        raise MeshError("holds no outline of finite numbers")
    apart = np.linalg.norm(corners - np.roll(corners, 1, axis=0), axis=1)
    corners = corners[apart > 1e-9 * float(np.ptp(corners))]
    if not 3 <= len(corners) <= _MOST_CORNERS:
        raise MeshError(f"an outline of {len(corners)} corners; 3 to {_MOST_CORNERS} are read")
    return corners if _area(corners) > 0.0 else corners[::-1]


def _area(corners: NDArray[np.float64]) -> float:
    x, y = corners.T
    return 0.5 * float((x * np.roll(y, -1) - np.roll(x, -1) * y).sum())


def _about_middle(corners: NDArray[np.float64]) -> NDArray[np.float64]:
    """Put the centre of its area at the origin."""
    corners = corners - corners.mean(axis=0)
    after = np.roll(corners, -1, axis=0)
    weights = corners[:, 0] * after[:, 1] - after[:, 0] * corners[:, 1]
    middle = ((corners + after) * weights[:, None]).sum(axis=0) / (3 * weights.sum())
    return corners - middle


def _pass_doctype(*_: object) -> None:
    """Let a drawing name the standard that it follows."""


def _refuse_entities(*_: object) -> None:
    raise MeshError("it declares words of its own, which a drawing of an outline does without")
