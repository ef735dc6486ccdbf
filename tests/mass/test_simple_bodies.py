import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from finial.core.errors import OutsideRange
from finial.mass.moments import solid_moments
from finial.mass.properties import combined
from finial.mass.simple import (
    Cylinder,
    cylinder,
    plates,
    point_mass,
    rods,
)
from finial.shape.fin_set import FinSet

OUTLINE = np.array([[0.0, 0.0], [0.11, 0.165], [0.235, 0.165], [0.225, 0.0]])


def fin_set(**changes):
    given = {"outline_m": OUTLINE, "station_m": 0.925, "root_radius_m": 0.07, "count": 4}
    return FinSet(**({"name": "fins"} | given | {"first_at_rad": 0.3, "thickness_m": 0.005} | changes))


def extruded(outline_m, station_m, radius_m, thickness_m):
    """The same plate as a closed mesh, drawn independently of the formula."""
    half = thickness_m / 2
    x, y = -(station_m + outline_m[:, 0]), radius_m + outline_m[:, 1]
    top = np.column_stack([x, y, np.full(len(x), half)])
    bottom = top * [1, 1, -1]
    faces = []
    for i in range(1, len(x) - 1):
        faces += [top[[0, i + 1, i]], bottom[[0, i, i + 1]]]
    for i in range(len(x)):
        j = (i + 1) % len(x)
        faces += [[bottom[j], bottom[i], top[i]], [bottom[j], top[i], top[j]]]
    triangles = np.array(faces)
    return triangles if solid_moments(triangles).size > 0 else triangles[:, ::-1]


def test_one_plate_agrees_with_the_same_plate_as_a_mesh():
    one = plates(fin_set(count=1, first_at_rad=0.0), 1200.0)
    mesh = solid_moments(extruded(OUTLINE, 0.925, 0.07, 0.005))
    assert one.mass_kg == pytest.approx(1200 * mesh.size, rel=1e-12)
    assert one.centre_m == pytest.approx(mesh.centre_m, abs=1e-12)
    assert one.inertia_kg_m2 == pytest.approx(1200 * mesh.inertia, rel=1e-9, abs=1e-15)


def test_the_sense_of_the_outline_does_not_matter():
    turned = plates(fin_set(outline_m=OUTLINE[::-1]), 1200.0)
    assert turned.inertia_kg_m2 == pytest.approx(plates(fin_set(), 1200.0).inertia_kg_m2, abs=1e-14)


@settings(max_examples=15, deadline=None)
@given(count=st.integers(3, 8), first=st.floats(0, 2 * math.pi))
def test_three_or_more_plates_balance_on_the_axis_at_any_roll(count, first):
    body = plates(fin_set(count=count, first_at_rad=first), 1200.0)
    assert body.centre_m[1:] == pytest.approx([0.0, 0.0], abs=1e-12)
    assert body.inertia_kg_m2[1, 1] == pytest.approx(body.inertia_kg_m2[2, 2], rel=1e-9)


def test_a_fin_at_roll_90_degrees_lies_along_body_z():
    body = plates(fin_set(count=1, first_at_rad=math.pi / 2), 1200.0)
    assert body.centre_m[2] > 0.07
    assert body.centre_m[1] == pytest.approx(0.0, abs=1e-12)


def test_rods_on_a_circle():
    # m L^2 / 12 across each, m r^2 about the axis; any handbook of mechanics.
    turns = 0.2 + np.arange(4) * math.pi / 2
    body = rods(0.05, 0.045 * np.column_stack([np.cos(turns), np.sin(turns)]), (0.3, 1.2))
    assert body.mass_kg == pytest.approx(0.2)
    assert body.station_m == pytest.approx(0.75)
    assert body.inertia_kg_m2[0, 0] == pytest.approx(0.2 * 0.045**2)
    assert body.inertia_kg_m2[1, 1] == pytest.approx(0.2 * 0.9**2 / 12 + 0.2 * 0.045**2 / 2)


def test_two_rows_of_two_rods_are_one_row_of_four():
    circle = 0.045 * np.array([[1.0, 0.0], [0.0, 1.0], [-1.0, 0.0], [0.0, -1.0]])
    four = rods(0.05, circle, (0.3, 1.2))
    rows = combined([rods(0.05, circle[::2], (0.3, 1.2)), rods(0.05, circle[1::2], (0.3, 1.2))])
    assert rows.inertia_kg_m2 == pytest.approx(four.inertia_kg_m2)


def test_plates_on_a_line_of_their_own_move_with_it():
    """Parallel axes: the balance point moves by the offset, the inertia about it stays."""
    body, moved = plates(fin_set(), 1200.0), plates(fin_set(offset_m=(0.03, -0.02)), 1200.0)
    assert moved.centre_m - body.centre_m == pytest.approx([0.0, 0.03, -0.02], abs=1e-15)
    assert moved.inertia_kg_m2 == pytest.approx(body.inertia_kg_m2)


def test_a_point_has_a_place_and_no_inertia():
    body = point_mass(0.34, 0.715, (0.01, -0.02))
    assert body.centre_m.tolist() == [-0.715, 0.01, -0.02]
    assert not body.inertia_kg_m2.any()


@pytest.mark.parametrize(
    "call",
    [
        lambda: point_mass(0.0, 0.1),
        lambda: point_mass(math.nan, 0.1),
        lambda: cylinder(1.0, Cylinder(diameter_m=0.1, stations_m=(0.5, 0.2))),
        lambda: cylinder(1.0, Cylinder(diameter_m=0.1, stations_m=(0.0, 0.2), inner_diameter_m=0.2)),
        lambda: rods(0.1, [[0.05, 0.0]], (0.5, 0.5)),
        lambda: rods(0.1, [], (0.2, 0.5)),
        lambda: plates(fin_set(thickness_m=0.0), 1200.0),
        lambda: plates(fin_set(outline_m=OUTLINE[:2]), 1200.0),
        lambda: plates(fin_set(outline_m=np.array([[0.0, 0], [1, 0], [2, 0]])), 1200.0),
        lambda: plates(fin_set(outline_m=np.array([[0.0, 0], [1, 0], [1, math.inf]])), 1200.0),
    ],
)
def test_bodies_that_cannot_be_are_refused(call):
    with pytest.raises(OutsideRange):
        call()
