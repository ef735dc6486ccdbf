"""Threads and columns: the tables hang together, and the formulas meet where they should."""

import math

import pytest

from finial.core.errors import MissingData, OutsideRange
from finial.core.estimates import KnownBy, exact, spread
from finial.core.tables import table_rows
from finial.materials.material import material
from finial.structure.rods.columns import column_load, column_load_estimate, euler_load
from finial.structure.rods.threads import (
    minor_diameter,
    stress_area,
    strip_area,
    thread,
)

THREADS = [row["name"] for row in table_rows("finial.structure", "threads.csv")]


@pytest.mark.parametrize("name", THREADS)
def test_table_keeps_the_geometry_of_a_60_degree_thread(name):
    # ISO 68-1: pitch diameter d - 0.6495 P, nut bore d - 1.0825 P; tolerances move them by part of a pitch.
    screw = thread(name)
    basic_pitch = screw.diameter_m - 0.649519 * screw.pitch_m
    basic_bore = screw.diameter_m - 1.082532 * screw.pitch_m
    assert 0 < basic_pitch - screw.pitch_diameter_min_m < 0.25 * screw.pitch_m
    assert 0 < screw.nut_minor_max_m - basic_bore < 0.4 * screw.pitch_m
    assert screw.source
    assert minor_diameter(screw) < screw.pitch_diameter_min_m < screw.diameter_m


@pytest.mark.parametrize("name", THREADS)
def test_stress_area_lies_between_root_and_pitch_circle(name):
    screw = thread(name)
    root, pitch = minor_diameter(screw), screw.diameter_m - 0.649519 * screw.pitch_m
    assert math.pi / 4 * root**2 < stress_area(screw) < math.pi / 4 * pitch**2
    # ISO 898-1 takes the mean of the two diameters; the inch formula stays up to 4 % below it.
    mean = math.pi / 4 * ((root + pitch) / 2) ** 2
    assert stress_area(screw) == pytest.approx(mean, rel=1e-3 if screw.metric else 0.04)


def test_a_nut_one_diameter_high_breaks_the_rod_before_it_strips():
    # Common practice: a nut of the same steel, one diameter engaged, outlasts its screw (shear 0.577).
    screw = thread("M6")
    assert 0.577 * strip_area(screw, 0.006) > stress_area(screw)


def test_unknown_names_list_what_there_is():
    with pytest.raises(MissingData, match="M6"):
        thread("M7")
    with pytest.raises(MissingData, match=r"8\.8"):
        material("steel 9.9")


@pytest.mark.parametrize("name", ["4.6", "4.8", "5.8", "8.8", "10.9", "12.9", "A2-70", "A4-80"])
def test_classes_yield_below_they_break(name):
    stuff = material(name)
    assert stuff.yield_pa.low < stuff.ultimate_pa.low


@pytest.mark.parametrize("name", ["4.6", "8.8"])
def test_class_names_say_their_least_strengths(name):
    # ISO 898-1: first figure tensile / 100 MPa, product of both yield / 10 MPa (nominal).
    first, second = (int(part) for part in name.split("."))
    assert material(name).ultimate_pa.low == pytest.approx(first * 1e8)
    assert material(name).yield_pa.low == pytest.approx(first * second * 1e7)


def test_johnson_meets_euler_with_the_same_value_at_half_the_squash_load():
    squash = math.pi / 4 * 0.005**2 * 250e6
    length = math.sqrt(math.pi**3 * 205e9 * 0.005**4 / (64 * squash / 2))
    assert euler_load(0.005, length, 205e9) == pytest.approx(squash / 2)
    assert column_load(0.005, length * 1.0001, 205e9, 250e6) == pytest.approx(squash / 2, rel=1e-3)
    assert column_load(0.005, length * 0.9999, 205e9, 250e6) == pytest.approx(squash / 2, rel=1e-3)


def test_a_stub_carries_its_squash_load_and_no_column_more():
    squash = math.pi / 4 * 0.005**2 * 250e6
    assert column_load(0.005, 1e-4, 205e9, 250e6) == pytest.approx(squash, rel=1e-4)
    loads = [column_load(0.005, length, 205e9, 250e6) for length in (0.01, 0.05, 0.1, 0.3, 1.0)]
    assert loads == sorted(loads, reverse=True)


def test_column_interval_ends_at_soft_and_stiff():
    load = column_load_estimate(0.005, 0.5, spread(205e9, 0.1, known_by=KnownBy.HANDBOOK), exact(250e6))
    assert (load.low / load.value, load.high / load.value) == pytest.approx((0.9, 1.1))
    assert load.known_by is KnownBy.HANDBOOK


@pytest.mark.parametrize(
    "call",
    [
        lambda: euler_load(math.nan, 0.3, 205e9),
        lambda: euler_load(0.005, 0.0, 205e9),
        lambda: column_load(0.005, 0.3, 205e9, -1.0),
        lambda: strip_area(thread("M6"), math.inf),
    ],
)
def test_bad_numbers_are_refused(call):
    with pytest.raises(OutsideRange):
        call()
