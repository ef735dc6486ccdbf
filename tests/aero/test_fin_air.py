"""Fin sets on real sections, at any angle."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from finial.aero.body import BodyAir, body_air
from finial.aero.fins.across import fin_plates
from finial.aero.fins.force import PLATE_DRAG, fin_force, fin_station
from finial.aero.fins.on_body import BASE_ERROR, FIN_FACTOR, TAIL_LOSS, FinAir, fin_air
from finial.aero.plates.plate_lift import diederich_slope
from finial.aero.sections.outlines import regular_polygon, tapered_skin
from finial.core.errors import OutsideRange
from finial.shape.fin_set import FinSet

TOWARD = np.array([[1.0, 0.0], [np.cos(0.3), np.sin(0.3)]])


def test_round_body_agrees_with_the_carry_over_factor(
    cone_cylinder: BodyAir, four_fins: Callable[..., FinSet]
) -> None:
    # (1 + r/s)^2 of NACA Report 1307 times the fins alone, from memory; slender theory on a
    # whole cruciform lies a few per cent below it.
    fin = fin_air(cone_cylinder, [four_fins()])[0]
    alone = fin.lift.slope_per_rad * 2 * fin.planform.area_m2 / cone_cylinder.reference_area_m2
    assert fin.slope_per_rad[0, 0] / alone == pytest.approx((1 + 0.05 / 0.16) ** 2, rel=0.05)


def test_square_body_feels_fins_more_on_its_corners(
    square_tower: BodyAir, four_fins: Callable[..., FinSet]
) -> None:
    # Three-dimensional panels in a trial: 1.79 on flats and 3.0 on corners, section theory
    # 1.85 and 3.29, for fins that reach half a width out.
    outline = np.array([[0.0, 0.0], [0.0, 0.05], [0.1, 0.05], [0.1, 0.0]])
    ratios = []
    for root, roll in ((0.05, 0.0), (0.05 * np.sqrt(2), np.pi / 4)):
        fins = four_fins(0.9, root, outline_m=outline, first_at_rad=roll)
        fin = fin_air(square_tower, [fins])[0]
        alone = fin.lift.slope_per_rad * 2 * fin.planform.area_m2 / square_tower.reference_area_m2
        ratios.append(fin.slope_per_rad[0, 0] / alone)
    assert ratios[0] == pytest.approx(1.85, rel=0.05)
    assert ratios[1] == pytest.approx(3.29, rel=0.05)


def test_two_sets_of_four_between_each_other_are_eight_fins(
    cone_cylinder: BodyAir, four_fins: Callable[..., FinSet]
) -> None:
    pair = fin_air(cone_cylinder, [four_fins(), four_fins(first_at_rad=np.pi / 4)])
    eight = fin_air(cone_cylinder, [four_fins(count=8)])[0]
    together = pair[0].slope_per_rad + pair[1].slope_per_rad
    assert together == pytest.approx(eight.slope_per_rad, rel=5e-3, abs=1e-2)


def test_two_fins_steer_one_way_only(cone_cylinder: BodyAir, four_fins: Callable[..., FinSet]) -> None:
    fin = fin_air(cone_cylinder, [four_fins(count=2)])[0]
    assert abs(fin.slope_per_rad[0, 0]) < 0.02 * fin.slope_per_rad[1, 1]


def test_fins_inside_a_wider_body_do_nothing(
    cone_cylinder: BodyAir, four_fins: Callable[..., FinSet]
) -> None:
    outline = np.array([[0.0, 0.0], [0.0, 0.02], [0.1, 0.02], [0.1, 0.0]])
    buried = four_fins(0.85, 0.01, outline_m=outline)
    assert fin_plates(buried, cone_cylinder.skin.sections[-1].loops) == []
    assert fin_air(cone_cylinder, [buried])[0].slope_per_rad == pytest.approx(np.zeros((2, 2)))


def test_fins_behind_a_step_lose_their_sheltered_part(four_fins: Callable[..., FinSet]) -> None:
    profile = [(0.0, 0.1), (0.7, 0.1), (0.7, 0.2), (0.8, 0.2), (0.8, 0.1), (1.0, 0.1)]
    gallery = body_air(tapered_skin(lambda d: regular_polygon(8, d), profile))
    free = fin_air(gallery, [four_fins(0.4)])[0]
    behind = fin_air(gallery, [four_fins()])[0]
    assert free.sheltered == 0.0
    assert 0.2 < behind.sheltered < 0.6
    # The part outside the dead air loses the body's help too: more is lost than the area in it.
    left = min((1 - behind.sheltered) ** 2.5, 1 - behind.fronted[2])
    lost = (1 - BASE_ERROR * behind.dulled.base) * (1 - TAIL_LOSS[0] * _tail(behind))
    assert behind.factor[0] == pytest.approx(FIN_FACTOR[0] * left * lost)
    assert behind.factor[0] < behind.factor[1] < 1 - behind.sheltered < behind.factor[2]


def _tail(fin: FinAir) -> float:
    return fin.dulled.tail * max(1 - 2 * fin.sheltered, 0.0)


def test_force_runs_from_slope_to_flat_plate(
    cone_cylinder: BodyAir, four_fins: Callable[..., FinSet]
) -> None:
    area = cone_cylinder.reference_area_m2
    fin = fin_air(cone_cylinder, [four_fins()])[0]
    angles = np.radians(np.linspace(0.0, 180.0, 361))
    force = fin_force(fin, area, angles, TOWARD) * np.sin(angles)[:, None]
    assert fin_force(fin, area, np.zeros(1), TOWARD)[0, 0] == pytest.approx(fin.slope_per_rad[0, 0])
    assert force[180, 0] == pytest.approx(PLATE_DRAG * 2 * fin.planform.area_m2 / area, rel=1e-3)
    assert np.abs(np.diff(force, axis=0)).max() < 0.13
    assert force[40, 0] < 0.95 * fin.slope_per_rad[0, 0] * np.sin(angles[40])


def test_station_slides_to_the_centre_of_area(
    cone_cylinder: BodyAir, four_fins: Callable[..., FinSet]
) -> None:
    fin = fin_air(cone_cylinder, [four_fins()])[0]
    where = fin_station(fin, np.array([0.0, np.pi / 2, np.pi]))
    assert where.tolist() == pytest.approx([fin.centre_m, fin.broadside_m, fin.rear_centre_m])
    assert fin.centre_m < fin.broadside_m < fin.rear_centre_m


def test_lift_rises_with_mach_as_the_fin_formula_does(
    cone_cylinder: BodyAir, four_fins: Callable[..., FinSet]
) -> None:
    fin = fin_air(cone_cylinder, [four_fins()])[0]
    ratio = fin.planform.aspect_ratio
    by_stretching = diederich_slope(ratio * 0.6, np.arctan(np.tan(fin.planform.mid_chord_sweep_rad) / 0.6))
    expected = by_stretching / 0.6 / diederich_slope(ratio, fin.planform.mid_chord_sweep_rad)
    assert fin.mach_factor(0.8) == pytest.approx(expected)
    with pytest.raises(OutsideRange, match=r"0 to 0\.9"):
        fin.mach_factor(0.95)


def test_cant_turns_from_y_towards_z(cone_cylinder: BodyAir, four_fins: Callable[..., FinSet]) -> None:
    fin = fin_air(cone_cylinder, [four_fins(cant_rad=0.01)])[0]
    assert fin.cant_moment > 0
    # Strip arithmetic: a canted set stops turning where damping meets the drive.
    steady = fin.cant_moment / -fin.roll_damping
    arm = 0.05 + fin.lift.centre_outward_m
    assert steady == pytest.approx(0.01 * 0.1 / (2 * arm), rel=0.2)


def test_refusals(cone_cylinder: BodyAir, four_fins: Callable[..., FinSet]) -> None:
    with pytest.raises(OutsideRange, match="no fins"):
        fin_air(cone_cylinder, [four_fins(count=0)])
    with pytest.raises(OutsideRange, match="three points"):
        fin_air(cone_cylinder, [four_fins(outline_m=np.zeros((2, 2)))])
    with pytest.raises(OutsideRange, match="outward"):
        fin_air(cone_cylinder, [four_fins(outline_m=np.array([[0, 0], [1, 0], [2, 0.0]]))])


def test_fins_behind_fins_may_lose_what_the_air_sinks(
    cone_cylinder: BodyAir, four_fins: Callable[..., FinSet]
) -> None:
    front = four_fins(0.35, name="canards")
    alone, ahead, behind = fin_air(cone_cylinder, [four_fins()]) + fin_air(
        cone_cylinder, [front, four_fins(first_at_rad=np.pi / 4)]
    )
    assert alone.washed == ahead.washed == 0.0
    # 2 slope / (pi AR) of the lattice plate: lifting-line theory's downwash far behind.
    plate = ahead.lift.slope_per_rad * 2 / (np.pi * ahead.planform.aspect_ratio)
    assert behind.washed == pytest.approx(min(plate, 1.0))
    assert behind.factor[0] < behind.factor[1] < alone.factor[1]
    assert behind.factor[2] == alone.factor[2]


def test_smaller_canards_wash_larger_fins_less(
    cone_cylinder: BodyAir, four_fins: Callable[..., FinSet]
) -> None:
    small = replace(four_fins(0.35), outline_m=four_fins().outline_m * 0.4)
    washed = fin_air(cone_cylinder, [small, four_fins()])[1].washed
    assert washed == pytest.approx(
        (0.094 / 0.16) ** 2 * fin_air(cone_cylinder, [four_fins(0.35), four_fins()])[1].washed
    )


def test_the_share_of_a_fin_in_dead_air_is_counted_by_strips_each_at_its_middle():
    """Dead air 100 mm deep at 1 m, gone at 2 m: 70 mm at the first strip's middle, 60 mm at the others'."""
    from types import SimpleNamespace

    from finial.aero.fins.on_body import _sheltered_share

    body = SimpleNamespace(
        stations_m=np.array([1.0, 2.0]), growth=SimpleNamespace(sheltered_m=np.array([0.1, 0.0]))
    )
    strips = SimpleNamespace(
        leads_m=np.array([0.0, 0.1, 0.12]),
        chords_m=np.array([0.2, 0.2, 0.16]),
        outwards_m=np.array([0.05, 0.065, 0.09]),
    )
    assert _sheltered_share(body, SimpleNamespace(station_m=1.2), strips) == pytest.approx(0.2 / 0.56)
