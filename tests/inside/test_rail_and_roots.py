"""Rail, buttons and fin roots beside plain shapes, by hand."""

import math

import numpy as np
import pytest

from finial.inside.rail import (
    RailLine,
    RailPlate,
    body_gap,
    button_foot,
    button_loads,
    button_roots,
    fin_gap,
)
from finial.inside.roots import RootLine, root_gap
from finial.shape.sections import slice_skin
from finial.shape.tiers import Tier, tiers_mesh


def skin_of(*tiers: tuple[float, float, float], sides: int = 4):
    """Tiers as (across, across at the top, height), the lowest first [m]."""
    return slice_skin(
        [tiers_mesh([Tier(sides=sides, across_m=a, across_top_m=b, height_m=h) for a, b, h in tiers])]
    )


SIDE = RailLine(roll_rad=0.0, face_m=0.06, width_m=0.04)


def test_a_ledge_stands_in_the_rail_s_way():
    skin = skin_of((0.1, 0.1, 0.5), (0.14, 0.14, 0.02), (0.1, 0.1, 0.48))
    gap = body_gap(skin, SIDE, 0.0)
    assert gap.gap_m == pytest.approx(-0.01, abs=1e-5)
    assert gap.station_m == pytest.approx(0.49, abs=0.012)
    assert body_gap(skin, RailLine(roll_rad=0.0, face_m=0.072, width_m=0.04), 0.0).gap_m > 0.0


def test_what_is_ahead_of_the_rail_s_end_does_not_meet_it():
    skin = skin_of((0.1, 0.1, 0.9), (0.14, 0.14, 0.1))
    assert body_gap(skin, SIDE, 0.0).gap_m < 0.0
    assert body_gap(skin, SIDE, 0.11).gap_m == pytest.approx(0.01, abs=1e-5)


def test_only_what_the_rail_s_width_meets_counts():
    """A square's corner beside the rail: on the flat it stands 71 mm out, 40 mm aside of the corner less."""
    skin = skin_of((0.1, 0.1, 1.0))
    corner = RailLine(roll_rad=math.pi / 4, face_m=0.0, width_m=0.02)
    assert body_gap(skin, corner, 0.0).gap_m == pytest.approx(-0.05 * math.sqrt(2), abs=1e-5)
    beside = RailLine(roll_rad=math.pi / 4, face_m=0.0, width_m=0.02, aside_m=0.04)
    # 30 mm aside of the corner the square stands 30 mm less far out.
    assert body_gap(skin, beside, 0.0).gap_m == pytest.approx(-(0.05 * math.sqrt(2) - 0.03), abs=1e-5)
    missed = RailLine(roll_rad=0.0, face_m=0.0, width_m=0.02, aside_m=0.2)
    assert body_gap(skin, missed, 0.0).gap_m == math.inf


def plate(roll_deg: float, **more) -> RailPlate:
    return RailPlate(
        name="fins",
        stations_m=(0.8, 1.0),
        roll_rad=math.radians(roll_deg),
        root_m=0.05,
        tip_m=0.2,
        thickness_m=0.006,
        **more,
    )


def test_fins_beside_the_rail():
    assert fin_gap([plate(0.0)], SIDE, 0.0).gap_m == pytest.approx(-0.023)
    assert fin_gap([plate(180.0)], SIDE, 0.0).gap_m == math.inf
    at_45 = fin_gap([plate(45.0)], SIDE, 0.0)
    # Past the rail's face at 60 mm out it stands 60 mm aside; less half the rail and half its thickness.
    assert at_45.gap_m == pytest.approx(0.06 - 0.02 - 0.003, abs=2e-3)
    assert fin_gap([plate(0.0, offset_m=(0.0, 0.05))], SIDE, 0.0).gap_m == pytest.approx(0.05 - 0.023)
    assert fin_gap([plate(0.0)], SIDE, 1.1).gap_m == math.inf


def test_buttons_on_a_root():
    assert button_roots([plate(0.0)], [0.5, 0.9], SIDE, 0.02).gap_m == pytest.approx(-0.013)
    assert button_roots([plate(0.0)], [0.5, 0.7], SIDE, 0.02).gap_m == pytest.approx(0.09)
    assert button_roots([plate(90.0)], [0.5, 0.9], SIDE, 0.02).gap_m > 0.0


def test_loads_of_two_buttons_balance():
    """Statics: sum of forces and of moments about the tip."""
    for where in (0.3, 0.6, 0.9, 1.2):
        loads = button_loads(40.0, where, (0.5, 1.0))
        assert loads.fore_n + loads.aft_n == pytest.approx(40.0)
        assert 0.5 * loads.fore_n + 1.0 * loads.aft_n == pytest.approx(40.0 * where)
    beyond = button_loads(40.0, 0.7, (0.9, 1.0))
    assert (beyond.fore_n, beyond.aft_n) == pytest.approx((120.0, -80.0))


def test_roots_float_off_a_taper():
    """A root square to the axis on a taper of 45 deg floats at its fore end by half the chord."""
    skin = skin_of((0.3, 0.1, 0.1), (0.1, 0.1, 0.4))
    line = RootLine(name="fins", stations_m=(0.42, 0.48), root_m=0.1, rolls_rad=(0.0, math.pi))
    gap = root_gap(skin, line)
    assert gap.gap_m == pytest.approx(0.03, abs=3e-3)
    assert gap.station_m == pytest.approx(0.42, abs=4e-3)
    flat = RootLine(name="fins", stations_m=(0.1, 0.3), root_m=0.05, rolls_rad=(0.0,))
    assert root_gap(skin, flat).gap_m == pytest.approx(0.0, abs=1e-6)
    corner = RootLine(name="fins", stations_m=(0.1, 0.3), root_m=0.05, rolls_rad=(math.pi / 4,))
    assert root_gap(skin, corner).gap_m == pytest.approx(0.05 - 0.05 * math.sqrt(2), abs=1e-6)


def test_roots_on_a_leg_beside_the_axis():
    legs = np.concatenate(
        [
            tiers_mesh([Tier(sides=4, across_m=0.08, across_top_m=0.08, height_m=0.6)]).triangles_m
            + np.array([0.0, side, 0.0])
            for side in (-0.1, 0.1)
        ]
    )
    from finial.shape.mesh import Mesh

    mesh = Mesh(vertices_m=legs.reshape(-1, 3), faces=np.arange(3 * len(legs)).reshape(-1, 3))
    skin = slice_skin([mesh])
    on_leg = RootLine(
        name="fins", stations_m=(0.3, 0.5), root_m=0.04, rolls_rad=(math.pi / 2,), offset_m=(0.1, 0.0)
    )
    assert root_gap(skin, on_leg).gap_m == pytest.approx(0.0, abs=1e-6)
    between = RootLine(name="fins", stations_m=(0.3, 0.5), root_m=0.04, rolls_rad=(math.pi / 2,))
    assert root_gap(skin, between).gap_m == pytest.approx(0.04)


@pytest.mark.parametrize(
    ("station_mm", "rise_mm", "drop_mm"),
    [
        (460.0, 0.0, 0.0),
        (472.9, 0.0, 0.0),  # a button of 14 mm ends 0.1 mm ahead of the ledge at 480 mm
        (473.5, 20.0, 0.0),
        (486.5, 0.0, 20.0),
        (487.5, 0.0, 0.0),
    ],
)
def test_a_button_stands_on_no_ledge_and_past_no_edge(station_mm, rise_mm, drop_mm):
    skin = skin_of((0.1, 0.1, 0.5), (0.14, 0.14, 0.02), (0.1, 0.1, 0.48))
    foot = button_foot(skin, SIDE, station_mm / 1e3, 0.014)
    assert (1e3 * foot.rise_m, 1e3 * foot.drop_m) == pytest.approx((rise_mm, drop_mm), abs=1e-3)


def test_on_a_slope_the_skin_rises_by_half_a_button_s_width_times_its_slope():
    """From 100 to 180 mm across over 400 mm: one in ten."""
    foot = button_foot(skin_of((0.18, 0.1, 0.4)), SIDE, 0.2, 0.02)
    assert (foot.rise_m, foot.drop_m) == pytest.approx((1e-3, 1e-3), abs=1e-6)


def test_a_face_that_leans_towards_one_side_stands_out_past_the_middle():
    """A square seen 30 degrees off its flat: 7 mm aside the face stands 7 tan 30 further out."""
    line = RailLine(roll_rad=math.radians(30), face_m=0.08, width_m=0.04)
    foot = button_foot(skin_of((0.1, 0.1, 0.4)), line, 0.2, 0.014)
    assert foot.rise_m == pytest.approx(0.007 * math.tan(math.radians(30)), rel=0.02)
    assert foot.drop_m == pytest.approx(0.0, abs=1e-6)
    corner = button_foot(
        skin_of((0.1, 0.1, 0.4)), RailLine(roll_rad=math.pi / 4, face_m=0.08, width_m=0.04), 0.2, 0.014
    )
    assert (corner.rise_m, corner.drop_m) == pytest.approx((0.0, 0.0), abs=1e-6)


def test_a_rail_that_stands_aside_is_nearer_to_the_fin_on_its_side():
    """At 60 degrees a fin passes the face 120 mm out: 104 mm aside of the axis, 94 of a rail 10 mm off."""
    aside = RailLine(roll_rad=0.0, face_m=0.06, width_m=0.04, aside_m=0.01)
    near, far = (fin_gap([plate(roll)], aside, 0.0).gap_m for roll in (60.0, -60.0))
    assert near == pytest.approx(0.12 * math.sin(math.pi / 3) - 0.01 - 0.02 - 0.003, abs=2e-3)
    assert far - near == pytest.approx(0.02)
