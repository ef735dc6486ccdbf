"""Outlines from SVG: areas by hand, whichever way they are drawn, and what is refused with its reason."""

import math

import numpy as np
import pytest

from finial.core.errors import MeshError
from finial.files.svg_outline import read_svg_outline


def outline(tmp_path, body: str, head: str = "") -> np.ndarray:
    (tmp_path / "plan.svg").write_text(f'{head}<svg xmlns="http://www.w3.org/2000/svg">{body}</svg>')
    return read_svg_outline(tmp_path / "plan.svg")


def area(corners: np.ndarray) -> float:
    x, y = corners.T
    return 0.5 * float((x * np.roll(y, -1) - np.roll(x, -1) * y).sum())


@pytest.mark.parametrize(
    ("body", "wanted"),
    [
        ('<polygon points="0,0 4,0 4,3 0,3"/>', 12.0),
        ('<polygon points="0,3 4,3 4,0 0,0"/>', 12.0),
        ('<g transform="translate(5, 5) scale(2)"><rect x="1" y="1" width="4mm" height="3mm"/></g>', 12.0),
        ('<path d="M1 1h4v3H1z"/>', 12.0),
        ('<path d="m 1,1 4,0 0,3 -4,0 0,-3 z"/>', 12.0),
        ('<circle cx="9" cy="9" r="2"/>', math.pi * 4),
        # An L of six corners, by two rectangles.
        ('<path d="M0 0 L4 0 L4 1 L1 1 L1 3 L0 3 Z"/>', 6.0),
        # Under a parabola: two thirds of its box (Archimedes).
        ('<path d="M0 0 Q 2 4 4 0 Z"/>', 2 / 3 * 4 * 2),
    ],
)
def test_areas_by_hand_and_always_counter_clockwise(tmp_path, body, wanted) -> None:
    corners = outline(tmp_path, body)
    assert area(corners) == pytest.approx(wanted, rel=5e-3)
    after = np.roll(corners, -1, axis=0)
    weights = corners[:, 0] * after[:, 1] - after[:, 0] * corners[:, 1]
    assert ((corners + after) * weights[:, None]).sum(axis=0) == pytest.approx([0.0, 0.0], abs=1e-9)


def test_down_in_the_drawing_is_down_in_the_plan(tmp_path) -> None:
    """SVG counts y downwards: a triangle with its point at the top of the drawing has it at +y."""
    corners = outline(tmp_path, '<polygon points="0,3 3,3 1.5,0"/>')
    assert corners[corners[:, 1].argmax()] == pytest.approx([0.0, 2.0])


@pytest.mark.parametrize(
    ("body", "said"),
    [
        ("", "0 outlines"),
        ('<rect width="1" height="1"/><rect width="1" height="1"/>', "2 outlines"),
        ('<g transform="rotate(20)"><rect width="1" height="1"/></g>', "turned or skewed"),
        ('<rect rx="1" width="9" height="9"/>', "rounded corners"),
        ('<path d="M0 0 A 1 1 0 0 0 2 2 Z"/>', "a path with 'A'"),
        ('<path d="M0 0 L1 1 L"/>', "has 0 numbers"),
        ('<path d="M0 0 L1 0 L1 1 Z M5 5 L6 5 L6 6 Z"/>', "several outlines"),
        ('<polygon points="0,0 1,1"/>', "2 corners"),
        ('<polygon points="0,0 1,1 2"/>', "cannot be read as SVG"),
        ('<circle r="big"/>', "is no size"),
        ("<polygon/>", "cannot be read as SVG"),
        ("<path", "cannot be read as SVG"),
    ],
)
def test_what_is_no_outline_is_refused(tmp_path, body, said) -> None:
    with pytest.raises(MeshError, match=said):
        outline(tmp_path, body)


def test_words_of_its_own_are_refused(tmp_path) -> None:
    with pytest.raises(MeshError, match="words of its own"):
        outline(tmp_path, "&a;", '<!DOCTYPE svg [<!ENTITY a "aaaa">]>')
