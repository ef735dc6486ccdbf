"""The gallery: sixteen shapes, and every row and outline what the check says of it."""

import importlib.util
import re
import sys
from pathlib import Path

import pytest

from finial.findings.finding import Verdict

ROOT = Path(__file__).resolve().parents[2]
NUMBER = re.compile(r"-?\d+(?:\.\d+)?")
REMAKE = "run: python docs/make_gallery.py"
ASKED = {
    *("tower", "pagoda", "pot", "arch", "twin towers", "statue", "bottle", "cube"),
    *("star", "ring", "crooked", "leaning", "slab", "tripod", "sphere", "cone"),
}


@pytest.fixture(scope="module")
def maker():
    spec = importlib.util.spec_from_file_location("make_gallery", ROOT / "docs" / "make_gallery.py")
    module = importlib.util.module_from_spec(spec)
    # Its records look their annotations up there.
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="module")
def shapes(maker):
    return [maker.shape_of(name) for name in maker.SHAPES]


def alike(kept: str, made: str, close: float) -> None:
    """The same but for the last digits of numbers: another machine adds in another order."""
    assert NUMBER.sub("#", kept) == NUMBER.sub("#", made), REMAKE
    for one, other in zip(NUMBER.findall(kept), NUMBER.findall(made), strict=True):
        assert float(one) == pytest.approx(float(other), rel=0.02, abs=close), REMAKE


def test_all_that_were_asked_for_are_there(maker):
    assert len(maker.SHAPES) >= 16
    assert set(maker.SHAPES) >= ASKED


def test_page_and_picture_are_what_the_check_gives(maker, shapes):
    alike(maker.PAGE.read_text(encoding="utf-8"), maker.page(shapes), 1.0)
    alike(maker.PICTURE.read_text(encoding="utf-8"), maker.drawing(shapes), 0.2)


def test_a_verdict_is_that_of_its_own_stages_and_its_worst_decides(maker, shapes):
    by_name = {one.name: one for one in shapes}
    assert by_name["tower"].verdict is Verdict.GO
    assert by_name["tower"].found.verdict is not Verdict.GO
    ring = by_name["ring"]
    assert ring.verdict is Verdict.NO_GO
    assert maker.decides(ring) == "the computed flight: turned over"
    assert all(finding.stage in maker.STAGES for one in shapes for finding in one.told)


def test_slim_bodies_are_known_better_than_short_ones_and_than_those_with_holes(shapes):
    share = {
        one.name: (one.worst.pressure.high - one.worst.pressure.low) / one.found.shape.skin.length_m
        for one in shapes
    }
    for slim in ("tower", "bottle", "cone"):
        assert share[slim] < 0.2
        for hard in ("cube", "sphere", "ring", "arch", "pot"):
            assert share[hard] > 3 * share[slim], hard
