"""Towers without CAD: volumes by mensuration, closed as another library reads them, and refusals."""

import io
import math

import numpy as np
import pytest
import trimesh

from finial.core.errors import OutsideRange
from finial.files.stl import stl_bytes
from finial.printing.sound import sound
from finial.shape.storeys import Bore, Ledge, Pocket, Roof, Shoulder, Storey, rectangle, rounded, tower
from finial.shape.tiers import unit_ring

SQUARE = rectangle(0.1, 0.1)


def storey(**changes) -> Storey:
    return Storey(**({"outline_m": SQUARE, "height_m": 0.2} | changes))


def pocket(**changes) -> Pocket:
    usual = {
        "count": 4,
        "first_rad": 0.0,
        "width_m": 0.02,
        "height_m": 0.05,
        "sill_m": 0.03,
        "depth_m": 0.002,
    }
    return Pocket(**(usual | changes))


def read_back(solid):
    """As trimesh, a library of others, reads the file."""
    whole = sound(solid.scale((1e3, 1e3, 1e3)), "tower")
    mesh = trimesh.load_mesh(io.BytesIO(stl_bytes(whole.vertices_mm, whole.faces)), file_type="stl")
    mesh.merge_vertices()
    return mesh


@pytest.mark.parametrize(
    ("changes", "volume_m3"),
    [
        ({}, 0.1**2 * 0.2),
        ({"top": 0.5}, 0.2 / 3 * (0.01 + 0.0025 + 0.005)),
        ({"top": 0.0}, 0.01 * 0.2 / 3),
        ({"outline_m": rectangle(0.1, 0.06), "roof": Roof.GABLE}, 0.1 * 0.06 * 0.2 / 2),
        # A hip roof is a wedge: h b (2 a + c) / 6, its ridge c as long as the sides differ.
        ({"outline_m": rectangle(0.1, 0.06), "roof": Roof.HIP}, 0.2 * 0.06 * (2 * 0.1 + 0.04) / 6),
        ({"ledges": (Ledge(out_m=0.01, from_m=0.19, height_m=0.01),)}, 0.002 + (0.12**2 - 0.1**2) * 0.01),
        ({"pockets": (pocket(),)}, 0.002 - 4 * 0.02 * 0.05 * 0.002),
        ({"pockets": (pocket(is_arched=True),)}, 0.002 - 4 * 0.002 * (0.02 * 0.04 + math.pi * 0.01**2 / 2)),
    ],
)
def test_volumes_by_mensuration_and_closed_when_read_back(changes, volume_m3) -> None:
    solid = tower([storey(**changes)])
    assert solid.volume() == pytest.approx(volume_m3, rel=2e-4 if "pockets" in changes else 1e-9)
    mesh = read_back(solid)
    assert mesh.is_watertight
    assert mesh.body_count == 1
    assert mesh.volume == pytest.approx(1e9 * solid.volume(), rel=1e-6)


def test_round_storeys_have_the_area_of_their_circle() -> None:
    ring = unit_ring(0) * 0.05
    assert tower([storey(outline_m=ring)]).volume() == pytest.approx(math.pi * 0.05**2 * 0.2, rel=1e-9)
    dome = tower([storey(outline_m=ring, roof=Roof.DOME)]).volume()
    assert dome == pytest.approx(2 / 3 * math.pi * 0.05**2 * 0.2, rel=2e-3)


def test_a_twist_turns_the_top_against_the_foot_and_keeps_the_sections() -> None:
    """From mesh x toward y; every section is the square, turned: the volume stays (Cavalieri)."""
    solid = tower([storey(twist_rad=math.radians(30.0))])
    assert solid.volume() == pytest.approx(0.002, rel=2e-3)
    corners = np.asarray(solid.to_mesh64().vert_properties)[:, :3]
    top = corners[corners[:, 2] > 0.2 - 1e-9]
    far = top[np.hypot(top[:, 0], top[:, 1]) > 0.05 * math.sqrt(2) - 1e-9]
    angles = np.degrees(np.arctan2(far[:, 1], far[:, 0])) % 90.0
    assert angles == pytest.approx(np.full(4, 75.0))


def test_a_pocket_is_as_deep_on_a_leaning_wall_as_it_is_told() -> None:
    """A wall that leans in by 20 mm over 200 mm: 2 mm of depth, measured level, at every height."""
    solid = tower([storey(top=0.6, pockets=(pocket(count=1),))])
    for height in (0.031, 0.05, 0.079):
        half = 0.05 * (1.0 - 0.4 * height / 0.2)
        section = solid.slice(height)
        assert 4 * half**2 - section.area() == pytest.approx(0.02 * 0.002, rel=1e-4)
        assert section.bounds()[2] == pytest.approx(half)


def test_a_pocket_looks_where_its_roll_angle_says() -> None:
    """At a quarter turn from x: in the wall at +y."""
    solid = tower([storey(pockets=(pocket(count=1, first_rad=math.pi / 2),))])
    gone = tower([storey()]) - solid
    low_x, low_y, low_z, high_x, high_y, high_z = gone.bounding_box()
    assert (low_x, high_x, low_y, high_y) == pytest.approx((-0.01, 0.01, 0.048, 0.05))
    assert (low_z, high_z) == pytest.approx((0.03, 0.08))


def test_shoulder_and_bore_go_where_they_are_told() -> None:
    solid = tower(
        [storey(), storey(top=0.5)],
        bores=[Bore(heights_m=(-0.03, 0.4), sides_m=(0.03, 0.02), is_round=False)],
        shoulder=Shoulder(across_m=0.08, length_m=0.03),
    )
    stack = 0.002 + 0.2 / 3 * (0.01 + 0.0025 + 0.005) + 0.08**2 * 0.03
    assert solid.volume() == pytest.approx(stack - 0.03 * 0.02 * 0.43, rel=1e-9)
    assert solid.bounding_box()[2] == pytest.approx(-0.03)


def test_round_corners_take_off_what_four_quarter_circles_leave() -> None:
    """(4 - pi) r^2 of four right angles; the chords lie inside the arcs by a little."""
    ring = rounded(rectangle(0.2, 0.1), 0.02)
    x, y = ring.T
    area = 0.5 * float((x * np.roll(y, -1) - np.roll(x, -1) * y).sum())
    assert area == pytest.approx(0.02 - (4 - math.pi) * 0.02**2, rel=2e-4)
    assert area < 0.02 - (4 - math.pi) * 0.02**2
    assert np.ptp(ring, axis=0) == pytest.approx([0.2, 0.1])


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (lambda: tower([]), "at least one storey"),
        (lambda: storey(height_m=0.0), "height_m"),
        (lambda: storey(top=-0.1), "times as wide"),
        (lambda: storey(pockets=(pocket(sill_m=0.16),)), "a window from 0.16"),
        (lambda: storey(ledges=(Ledge(out_m=0.01, from_m=-0.1, height_m=0.01),)), "a ledge from -0.1"),
        (lambda: storey(roof=Roof.DOME, top=0.5), "a dome has no width"),
        (
            lambda: storey(roof=Roof.GABLE, outline_m=np.array([[0, 0], [2, 0], [1, 0.5], [2, 2], [0, 2]])),
            "a gable on an outline with corners that look inward",
        ),
        (lambda: tower([storey(pockets=(pocket(depth_m=0.06),))]), "deeper than its storey"),
        (lambda: tower([storey(pockets=(pocket(is_arched=True, height_m=0.005),))]), "half as high"),
        (lambda: tower([storey()], bores=[Bore(heights_m=(-1.0, 1.0), sides_m=(1.0, 1.0))]), "leave nothing"),
        (
            lambda: tower(
                [storey()], bores=[Bore(heights_m=(0.1, 0.12), sides_m=(0.2, 0.2), is_round=False)]
            ),
            "falls into 2 bodies",
        ),
        (lambda: tower([storey(outline_m=SQUARE[[0, 2, 1, 3]])]), "crosses itself|encloses nothing"),
        (lambda: tower([storey(outline_m=SQUARE[::-1])]), "wrong way"),
        (lambda: rounded(SQUARE, 0.06), "overlap"),
        (lambda: rounded(np.array([[0, 0], [2, 0], [1, 0.5], [2, 2], [0, 2]]), 0.01), "look inward"),
    ],
)
def test_what_makes_no_tower_is_refused_with_its_reason(make, said) -> None:
    with pytest.raises(OutsideRange, match=said):
        make()
