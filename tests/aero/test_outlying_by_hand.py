"""Rails and handles beside a body: where they begin and end, and what they show the air."""

import numpy as np
import pytest

from finial.aero.sections.outlines import regular_polygon, section_of, skin_of
from finial.aero.steps.outlying import without_outlying

TOWER, POST = regular_polygon(4, 0.1), regular_polygon(4, 0.01)
BESIDE = [TOWER, POST + np.array([0.1, 0.0])]


def skin(*where, wide=()):
    """Sections every 100 mm; a post stands beside the tower at some, and the tower is wide at others."""
    return skin_of(
        [
            section_of(0.1 * at, BESIDE if at in where else [TOWER * (4.0 if at in wide else 1.0)])
            for at in range(9)
        ]
    )


def test_each_stretch_begins_and_ends_at_its_own_sections():
    body, parts = without_outlying(skin(2, 3, 4, 6))
    assert [(part.start_m, part.end_m) for part in parts] == [
        (pytest.approx(0.2), pytest.approx(0.4)),
        (pytest.approx(0.6), pytest.approx(0.6)),
    ]
    # A square post of 10 mm shows 100 mm2, however long it is.
    assert [part.area_m2 for part in parts] == pytest.approx([1e-4, 0.0001])
    assert {len(section.loops) for section in body.sections} == {1}


def test_what_stands_behind_the_body_shows_nothing():
    _, parts = without_outlying(skin(5, 6, wide=(1,)))
    assert parts == ()
    _, before = without_outlying(skin(2, 3, wide=(7,)))
    assert [part.area_m2 for part in before] == pytest.approx([1e-4])


@pytest.mark.parametrize(("side_m", "parted"), [(0.049, True), (0.051, False)])
def test_an_outline_is_another_body_from_a_quarter_of_the_largest_on(side_m, parted):
    """Squares of 100 mm: a quarter of the area is half of the side."""
    beside = [TOWER, regular_polygon(4, side_m) + np.array([0.2, 0.0])]
    both = skin_of([section_of(0.1 * at, beside if at == 2 else [TOWER]) for at in range(5)])
    body, parts = without_outlying(both)
    assert bool(parts) is parted
    assert len(body.sections[2].loops) == (1 if parted else 2)
