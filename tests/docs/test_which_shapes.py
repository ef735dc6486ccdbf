"""The page of shapes that Finial is good at: what it says is what the method gives."""

import importlib.util
import re
from pathlib import Path

import pytest

NUMBER = re.compile(r"-?\d+\.?\d*")
ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def maker():
    spec = importlib.util.spec_from_file_location("make_which_shapes", ROOT / "docs" / "make_which_shapes.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="module")
def shapes(maker):
    return maker.shapes()


def test_page_and_picture_are_what_the_method_gives(maker, shapes):
    told = "run: python -m docs.make_which_shapes"
    assert maker.PAGE.read_text(encoding="utf-8") == maker.page(shapes), told
    _alike(maker.PICTURE.read_text(encoding="utf-8"), maker.picture(shapes))


def _alike(kept: str, drawn: str) -> None:
    """The same picture, but for the last digit of a number: another machine adds in another order."""
    assert NUMBER.sub("#", kept) == NUMBER.sub("#", drawn), "run: python -m docs.make_which_shapes"
    for one, other in zip(NUMBER.findall(kept), NUMBER.findall(drawn), strict=True):
        assert abs(float(one) - float(other)) < 0.15, "run: python -m docs.make_which_shapes"


def test_bands_are_wide_where_the_method_is_weak(shapes):
    slim, blunt, flat, rounded = ([row.high - row.low for row in shape.rows] for shape in shapes)
    # Over the length: eighteen diameters, three quarters of one, four widths.
    assert max(blunt) < 0.5
    assert max(slim) / 18.2 < max(flat) / 4.0
    for before, after in zip(flat, rounded, strict=True):
        assert after < 0.6 * before


def test_what_was_measured_stands_beside_its_band(maker, shapes):
    slim, blunt, flat, _ = shapes
    assert all(row.measured is not None for shape in (slim, blunt) for row in shape.rows)
    assert all(row.measured is None for row in flat.rows)
    assert "| not run | none read | not known |" in maker.line(flat.rows[0])
    outside = maker.Row(angle_deg=3.0, low=1.0, central=2.0, high=3.0, measured=3.5, error=0.4)
    assert "**no**" in maker.line(outside)


def test_the_picture_shows_the_tunnel_where_it_was_run(maker, shapes):
    run = sum(row.tunnel is not None for shape in shapes for row in shape.rows)
    assert run >= 9
    drawn = maker.picture(shapes)
    assert drawn.count(f'stroke="{maker.BLOWN_INK}" stroke-width') == run
    assert drawn.count("<circle") == sum(row.measured is not None for shape in shapes for row in shape.rows)
