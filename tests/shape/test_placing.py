import numpy as np
import pytest

from finial.core.errors import MeshError, OutsideRange
from finial.core.frames import UP_AXES, body_from_mesh
from finial.shape.placing import to_body
from finial.shape.sections import slice_skin


@pytest.mark.parametrize("up", UP_AXES)
def test_the_tip_comes_to_station_0_whichever_axis_points_up(draw, tower, up):
    drawn = draw.moved(tower, (0.3, 0.0, 0.0)).vertices_m @ body_from_mesh(up)
    (placed,), offset = to_body([type(tower)(vertices_m=drawn, faces=tower.faces)], up)
    assert placed.vertices_m == pytest.approx(tower.vertices_m, abs=1e-12)
    assert offset == pytest.approx([-0.3, 0.0, 0.0], abs=1e-12)


def test_parts_keep_their_places_and_the_tip_is_the_top_of_the_outside(draw):
    shell, antenna = draw.prism(0.1, 0.5), draw.moved(draw.prism(0.01, 0.1), (0.2, 0.0, 0.0))
    placed, offset = to_body([shell, antenna], "+x", outside=[True, False])
    assert offset.tolist() == [0.0, 0.0, 0.0]
    assert placed[1].vertices_m[:, 0].max() == pytest.approx(0.2)
    placed, _ = to_body([shell, antenna], "+x")
    assert placed[0].vertices_m[:, 0].max() == pytest.approx(-0.2)


def test_an_axis_drawn_off_the_middle_is_kept(draw):
    # A figure with one arm out: the middle of its extent is not its axis.
    figure = draw.joined(draw.prism(0.1, 0.5), draw.moved(draw.prism(0.02, 0.1), (-0.2, 0.08, 0.0)))
    _, offset = to_body([figure], "+x")
    assert offset.tolist() == [0.0, 0.0, 0.0]


def test_an_origin_in_a_corner_is_moved_to_the_middle(draw):
    box = draw.moved(draw.prism(0.2, 0.5, sides=4), (0.0, 0.1, 0.1))
    (placed,), offset = to_body([box], "+x")
    assert offset == pytest.approx([0.0, -0.1, -0.1])
    assert slice_skin([placed]).sections[3].centroid_m == pytest.approx((0.0, 0.0), abs=1e-9)


def test_nothing_outside_and_a_wrong_axis_are_refused(tower):
    with pytest.raises(MeshError, match="no part belongs to the outside"):
        to_body([tower], "+z", outside=[False])
    with pytest.raises(OutsideRange, match="write one of"):
        to_body([tower], "up")


def test_turning_an_axis_up_keeps_the_sense_of_turning():
    for up in UP_AXES:
        assert np.linalg.det(body_from_mesh(up)) == pytest.approx(1.0)
