"""Rockets that leave at once, and fields that are narrower than they are long."""

import math

import numpy as np
import pytest

from finial.core.errors import OutsideRange
from finial.core.tables import table_rows
from finial.range_safety.field_size import least_side
from finial.range_safety.limits import code_limits
from finial.range_safety.together import distances_together

FOOT_M = 0.3048


def together(impulse_n_s: float, rockets: int, highest_m: float) -> list[float]:
    return [one.distance_m for one in distances_together("nfpa 1127", impulse_n_s, rockets, highest_m)]


def test_twice_and_once_the_distance_of_a_complex_rocket():
    # Amendment TIA 18-1 to NFPA 1127, 2018: three of 1500 N s are 4500 N s together, 500 ft for a complex
    # rocket in table 4.16.3, and twice that as printed.
    assert together(4500.0, 3, 3000.0) == pytest.approx([1000 * FOOT_M, 500 * FOOT_M])


def test_no_more_than_610_metres():
    assert together(15_000.0, 4, 3000.0) == pytest.approx([610.0, 1500 * FOOT_M])


def test_no_more_than_one_and_a_half_times_the_altitude():
    assert together(4500.0, 3, 100.0) == pytest.approx([150.0, 150.0])
    assert together(4500.0, 3, 150.0) == pytest.approx([225.0, 500 * FOOT_M])


@pytest.mark.parametrize(("rockets", "readings"), [(1, 0), (2, 0), (3, 2), (12, 2)])
def test_the_rule_begins_with_three(rockets, readings):
    assert len(together(4500.0, rockets, 3000.0)) == readings


def test_every_reading_names_its_edition_and_its_source():
    found = distances_together("NFPA 1127", 4500.0, 3, 3000.0)
    assert len({one.edition for one in found}) == 2
    assert all("2018" in one.edition and "18-1" in one.source for one in found)
    assert found[0].distance_m >= found[1].distance_m


def test_codes_without_such_a_rule_have_no_reading():
    assert distances_together("19 CCR 1036", 4500.0, 5, 3000.0) == ()
    assert {row["code"] for row in table_rows("finial.range_safety", "together.csv")} == {"NFPA 1127"}


def test_nonsense_is_refused():
    with pytest.raises(OutsideRange, match="1 or more"):
        distances_together("NFPA 1127", 4500.0, 0, 1000.0)
    with pytest.raises(OutsideRange, match="beyond the table"):
        distances_together("NFPA 1127", 50_000.0, 12, 1000.0)
    with pytest.raises(OutsideRange):
        distances_together("NFPA 1127", 4500.0, 3, 0.0)


def turned(corners: np.ndarray, degrees: float) -> np.ndarray:
    sine, cosine = math.sin(math.radians(degrees)), math.cos(math.radians(degrees))
    return corners @ np.array([[cosine, sine], [-sine, cosine]])


@pytest.mark.parametrize("degrees", [0.0, 30.0, 45.0, 77.0])
def test_a_rectangle_is_as_narrow_as_its_shorter_side_however_it_lies(degrees):
    field = np.array([[0.0, 0.0], [900.0, 0.0], [900.0, 400.0], [0.0, 400.0]])
    assert least_side(turned(field, degrees)) == pytest.approx(400.0)


def test_a_circle_is_as_narrow_as_its_diameter():
    angle = np.linspace(0.0, 2.0 * np.pi, 721)
    round_field = 500.0 * np.column_stack([np.cos(angle), np.sin(angle)])
    assert least_side(round_field) == pytest.approx(1000.0, rel=1e-4)


def test_a_triangle_is_as_narrow_as_its_least_height():
    # Sides 3, 4, 5: the height on the longest is 2.4.
    assert least_side(np.array([[0.0, 0.0], [4.0, 0.0], [0.0, 3.0]])) == pytest.approx(2.4)


def test_bays_in_the_edge_do_not_narrow_it():
    notched = np.array([[0.0, 0.0], [900.0, 0.0], [900.0, 400.0], [450.0, 10.0], [0.0, 400.0]])
    assert least_side(notched) == pytest.approx(400.0)


def test_least_side_against_a_reference_library():
    from shapely import MultiPoint

    points = np.random.default_rng(3).normal(size=(40, 2)) * [300.0, 120.0]
    hull = np.array(MultiPoint(points).convex_hull.exterior.coords)[:-1]
    # Directions tried one by one: never narrower, and as narrow at the best of them.
    angles = np.radians(np.arange(0.0, 180.0, 0.01))
    reach = np.column_stack([np.cos(angles), np.sin(angles)]) @ hull.T
    assert least_side(points) == pytest.approx(float(np.ptp(reach, axis=1).min()), rel=1e-5)


def test_no_field_at_all_is_refused_or_has_no_width():
    with pytest.raises(OutsideRange, match="three corners"):
        least_side(np.zeros((2, 2)))
    with pytest.raises(OutsideRange, match="finite"):
        least_side(np.array([[0.0, 0.0], [1.0, math.nan], [1.0, 1.0]]))
    assert least_side(np.array([[0.0, 0.0], [1.0, 1.0], [2.0, 2.0]])) == pytest.approx(0.0, abs=1e-12)
    assert least_side(np.zeros((4, 2))) == 0.0


@pytest.mark.parametrize("code", ["NFPA 1127", "19 CCR 1036"])
def test_codes_of_the_united_states_have_the_rules_of_its_air_beside_them(code):
    assert code_limits(code).under_faa
