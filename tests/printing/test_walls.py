import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from finial.core.errors import OutsideRange
from finial.printing.walls import PrintedWalls, plastic_in


def test_walls_thicker_than_the_body_fill_it():
    plastic = plastic_in(1e-3, 0.06, PrintedWalls(wall_m=0.1, infill=0.15))
    assert (plastic.shell_m3, plastic.infill_m3) == (1e-3, 0.0)


def test_a_cube_of_a_litre_by_hand():
    # 0.06 m2 of 1 mm walls is 60 ml; 15 % of the other 940 ml is 141 ml.
    plastic = plastic_in(1e-3, 0.06, PrintedWalls(wall_m=0.001, infill=0.15))
    assert plastic.total_m3 == pytest.approx(201e-6)


@settings(max_examples=30, deadline=None)
@given(volume=st.floats(0, 0.1), area=st.floats(0, 10), wall=st.floats(1e-5, 0.1), infill=st.floats(0, 1))
def test_plastic_lies_between_nothing_and_the_whole_body(volume, area, wall, infill):
    plastic = plastic_in(volume, area, PrintedWalls(wall_m=wall, infill=infill))
    assert 0.0 <= plastic.total_m3 <= volume * (1 + 1e-12)


@pytest.mark.parametrize(
    ("wall_m", "infill", "message"),
    [(0.0, 0.1, "wall_m"), (-0.001, 0.1, "wall_m"), (math.nan, 0.1, "wall_m"), (0.001, 12.0, "12 % is 0.12")],
)
def test_walls_that_cannot_be_printed_are_refused(wall_m, infill, message):
    with pytest.raises(OutsideRange, match=message):
        PrintedWalls(wall_m=wall_m, infill=infill)


def test_bodies_that_cannot_be_are_refused():
    with pytest.raises(OutsideRange, match="volume_m3"):
        plastic_in(-1.0, 0.1, PrintedWalls(wall_m=0.001, infill=0.1))
    with pytest.raises(OutsideRange, match="area_m2"):
        plastic_in(1.0, math.inf, PrintedWalls(wall_m=0.001, infill=0.1))
