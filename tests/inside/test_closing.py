"""How much of a bay's end is open: areas of circles and squares by hand."""

import math

import pytest

from finial.core.errors import OutsideRange
from finial.inside.cavity import Cavity, Printed, cavity_of
from finial.inside.closing import lean_of_play, open_share
from finial.inside.things import Kind, Thing
from finial.shape.repair import repaired
from finial.shape.sections import slice_skin
from finial.shape.tiers import Tier, tiers_mesh

BAY = Thing(name="bay", kind=Kind.BAY, middle_m=0.5, length_m=0.4, across_m=0.06)
"""From 0.3 to 0.7 m in a square post of 0.1 m with a hole of 0.06 m right through."""


@pytest.fixture(scope="module")
def post() -> Cavity:
    mesh = tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=1.0)])
    hole = Thing(name="hole", kind=Kind.OTHER, middle_m=0.5, length_m=1.2, across_m=0.06)
    part = Printed(name="post", mended=repaired(mesh), outside=True, bores=(hole,))
    return cavity_of([part], slice_skin([mesh]))


def disc(across_m: float, middle_m: float, **other) -> Thing:
    return Thing(
        name="disc", kind=Kind.BULKHEAD, middle_m=middle_m, length_m=0.006, across_m=across_m, **other
    )


@pytest.mark.parametrize(
    ("closers", "share"),
    [
        ([], 1.0),
        ([disc(0.03, 0.296)], 0.75),
        ([disc(0.058, 0.296)], 1.0 - (58 / 60) ** 2),
        ([disc(0.06, 0.296)], 0.0),
        ([disc(0.06, 0.296, bore_m=0.012)], 0.04),
        ([disc(0.06, 0.27)], 1.0),
        ([disc(0.06, 0.313)], 0.0),
        ([disc(0.06, 0.296, offset_m=(0.06, 0.0))], 1.0),
    ],
)
def test_share_of_the_end_that_is_open(post: Cavity, closers: list[Thing], share: float) -> None:
    """Discs in a circle: one less the square of the diameters."""
    found = open_share(BAY, closers, post, 0.3, 0.015)
    assert found == pytest.approx(share, abs=0.012)


def test_lean_is_play_over_length() -> None:
    assert math.tan(lean_of_play(0.005, 0.25)) == pytest.approx(0.02)
    assert lean_of_play(-0.001, 0.25) == 0.0
    with pytest.raises(OutsideRange):
        lean_of_play(0.001, 0.0)
