"""Loads along a free body: equilibrium, superposition, mirror, and closed forms."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from finial.core.errors import OutsideRange
from finial.mass.lumps import even_bar, joined, leaning_bar, lumps
from finial.structure.loads.along_body import free_body_loads, rigid_motion
from finial.structure.loads.forces import LineForce, PointForce, axial_forces_ahead, cross_air_force
from finial.structure.loads.kernel import add_line

SETTINGS = settings(max_examples=25, deadline=None)
FORCE = st.floats(-5000.0, 5000.0)
STATION = st.floats(0.0, 1.5)

points = st.builds(
    PointForce,
    station_m=STATION,
    aft_n=FORCE,
    cross_n=FORCE,
    offset_m=st.floats(-0.1, 0.1),
    couple_n_m=st.floats(-50.0, 50.0),
)
lines = st.builds(
    lambda fore, span, loads: LineForce(
        stations_m=np.linspace(fore, fore + span, len(loads)),
        aft_n_per_m=np.array(loads) / 2,
        cross_n_per_m=np.array(loads),
    ),
    STATION,
    st.floats(0.01, 1.0),
    st.lists(st.floats(-500.0, 500.0), min_size=2, max_size=5),
)
force_lists = st.lists(st.one_of(points, lines), min_size=1, max_size=5)


def body():
    return joined(
        [
            even_bar(4.0, 0.0, 1.2, count=15),
            lumps([0.12, 1.1], [1.4, 1.9], rotary_kg_m2=0.01, offsets_m=[0.02, 0.0]),
        ]
    )


@SETTINGS
@given(forces=force_lists, rate=st.floats(-20.0, 20.0))
def test_loads_vanish_behind_the_last_station(forces, rate):
    loads = free_body_loads(body(), forces, turn_rate_rad_s=rate)
    size = 1.0 + sum(abs(f.aft_n) + abs(f.cross_n) if isinstance(f, PointForce) else 1500.0 for f in forces)
    size += 8.0 * rate**2
    assert abs(loads.axial_n[-1]) < 1e-10 * size
    assert abs(loads.shear_n[-1]) < 1e-10 * size
    assert abs(loads.bending_n_m[-1]) < 1e-10 * size


@SETTINGS
@given(first=force_lists, second=force_lists)
def test_loads_superpose(first, second):
    cuts = np.linspace(0.01, 2.4, 7)
    whole = free_body_loads(body(), [*first, *second], cuts_m=cuts)
    parts = [free_body_loads(body(), forces, cuts_m=cuts) for forces in (first, second)]
    for cut in cuts:
        here, (one, other) = whole.at(cut), (part.at(cut) for part in parts)
        np.testing.assert_allclose(here.axial_n, one.axial_n + other.axial_n, atol=1e-6)
        np.testing.assert_allclose(here.bending_n_m, one.bending_n_m + other.bending_n_m, atol=1e-6)


@SETTINGS
@given(forces=st.lists(points, min_size=1, max_size=4))
def test_mirror_across_the_axis_turns_bending_over(forces):
    plain = lumps([0.0, 0.4, 1.3], [1.0, 2.0, 3.0], offsets_m=[0.01, -0.02, 0.0])
    turned = lumps([0.0, 0.4, 1.3], [1.0, 2.0, 3.0], offsets_m=[-0.01, 0.02, 0.0])
    other = [
        PointForce(
            station_m=f.station_m,
            aft_n=f.aft_n,
            cross_n=-f.cross_n,
            offset_m=-f.offset_m,
            couple_n_m=-f.couple_n_m,
        )
        for f in forces
    ]
    here, there = free_body_loads(plain, forces), free_body_loads(turned, other)
    np.testing.assert_allclose(there.axial_n, here.axial_n, atol=1e-7)
    np.testing.assert_allclose(there.bending_n_m, -here.bending_n_m, atol=1e-7)


def test_axial_force_of_a_bar_pushed_at_its_end_rises_linearly():
    # Statics: a uniform bar pushed by T carries T x/L at x.
    loads = free_body_loads(even_bar(5.0, 0.0, 1.0, count=400), [PointForce(station_m=1.0, aft_n=-800.0)])
    at = np.interp([0.25, 0.5, 0.75], loads.stations_m, loads.axial_n)
    np.testing.assert_allclose(at, [200.0, 400.0, 600.0], atol=800.0 / 400)


def test_bending_of_a_free_bar_pushed_at_its_middle_is_pl_over_8():
    # Statics: a free uniform bar pushed at the middle carries P L / 8 there (half of it, m/2 at arm L/4).
    loads = free_body_loads(even_bar(5.0, 0.0, 2.0, count=400), [PointForce(station_m=1.0, cross_n=-80.0)])
    assert np.max(loads.bending_n_m) == pytest.approx(80.0 * 2.0 / 8, rel=1e-3)


def test_bending_of_a_free_bar_pushed_at_its_end_peaks_at_4_pl_over_27():
    # Statics: uniform free bar, end load P: M(x) = P x (1 - x/L)^2, peak 4 P L / 27 at L/3.
    loads = free_body_loads(even_bar(3.0, 0.0, 1.0, count=600), [PointForce(station_m=0.0, cross_n=90.0)])
    peak = int(np.argmax(loads.bending_n_m))
    assert loads.bending_n_m[peak] == pytest.approx(4 * 90.0 / 27, rel=1e-4)
    assert loads.stations_m[peak] == pytest.approx(1 / 3, abs=1 / 600)


def test_lumps_converge_at_second_order_to_the_bar():
    # A third of the length never falls on a lump's edge, where the sums would be exact.
    errors = []
    for count in (10, 20, 40):
        loads = free_body_loads(
            even_bar(3.0, 0.0, 1.0, count=count), [PointForce(station_m=0.0, cross_n=27.0)], cuts_m=[1 / 3]
        )
        errors.append(abs(loads.at(1 / 3).bending_n_m.max() - 4.0))
    rates = np.log2(np.array(errors[:-1]) / errors[1:])
    assert (rates > 1.5).all()


def test_even_air_load_on_an_even_bar_leaves_no_bending():
    line = LineForce(stations_m=np.array([0.0, 1.0]), aft_n_per_m=np.zeros(2), cross_n_per_m=np.full(2, 50.0))
    loads = free_body_loads(even_bar(2.0, 0.0, 1.0, count=200), [line])
    assert np.abs(loads.bending_n_m).max() < 50.0 / 8 / 200**2 * 1.01


def test_turning_body_pulls_its_ends_outwards():
    # Two masses at the ends of a weightless bar of length L: tension m w^2 L / 2.
    loads = free_body_loads(lumps([0.0, 2.0], [3.0, 3.0]), [], turn_rate_rad_s=4.0, cuts_m=[1.0])
    assert loads.at(1.0).axial_n[0] == pytest.approx([-48.0, -48.0])


def test_ballast_off_the_axis_bends_the_body_under_thrust():
    # Two masses, the front one off the axis: thrust through the balance point turns nothing.
    masses = lumps([0.0, 1.0], [1.0, 1.0], offsets_m=[0.1, 0.0])
    loads = free_body_loads(masses, [PointForce(station_m=1.0, aft_n=-20.0, offset_m=0.05)], cuts_m=[0.5])
    assert loads.motion.turn_rad_s2 == pytest.approx(0.0)
    assert loads.at(0.5).bending_n_m[0] == pytest.approx([1.0, 1.0])


@SETTINGS
@given(balance=st.floats(0.21, 1.69), count=st.integers(1, 9))
def test_leaning_bar_balances_where_told(balance, count):
    bar = leaning_bar(3.0, 0.2, 1.7, balance, count=count)
    assert bar.mass_kg == pytest.approx(3.0)
    assert bar.centre_m[0] == pytest.approx(balance)
    assert bar.inertia_kg_m2 == pytest.approx(leaning_bar(3.0, 0.2, 1.7, balance, count=40).inertia_kg_m2)


def test_leaning_bar_ends_are_the_even_and_the_pointed_bar():
    # Even bar m L^2 / 12; triangle m L^2 / 18, as any table of inertias says.
    assert leaning_bar(3.0, 0.0, 2.0, 1.0).inertia_kg_m2 == pytest.approx(1.0)
    assert leaning_bar(3.0, 0.0, 1.8, 0.6).inertia_kg_m2 == pytest.approx(3.0 * 1.8**2 / 18)
    short = leaning_bar(3.0, 0.0, 3.0, 0.2)
    assert short.inertia_kg_m2 == pytest.approx(3.0 * 0.6**2 / 18)
    assert short.stations_m.max() < 0.6


def test_loads_step_where_a_lump_sits():
    loads = free_body_loads(lumps([0.0, 0.5, 1.0], [1.0, 2.0, 1.0]), [PointForce(station_m=1.0, aft_n=-40.0)])
    assert loads.at(0.5).axial_n[0] == pytest.approx([10.0, 30.0])
    assert loads.at([1.5, -0.1]).axial_n.tolist() == [[0.0, 0.0], [0.0, 0.0]]
    # A step in the middle, straight lines either side, several stations at once.
    assert loads.at([0.25, 0.5, 0.75]).axial_n.tolist() == [[10.0, 10.0], [10.0, 30.0], [30.0, 30.0]]


def test_drag_and_air_lines_carry_their_totals():
    (drag,) = axial_forces_ahead(np.array([0.1, 0.5, 1.1]), np.array([0.0, 10.0, 30.0]))
    assert isinstance(drag, LineForce)
    assert np.trapezoid(drag.aft_n_per_m, drag.stations_m) == pytest.approx(30.0)
    assert drag.aft_n_per_m.tolist() == pytest.approx([25.0, 25.0, 100 / 3, 100 / 3])
    air = cross_air_force(
        np.array([0.0, 1.0]),
        np.array([0.0, 4.0]),
        dynamic_pressure_pa=500.0,
        reference_area_m2=0.02,
        angle_rad=0.1,
    )
    assert np.trapezoid(air.cross_n_per_m, air.stations_m) == pytest.approx(500 * 0.02 * 2 * math.sin(0.1))


def test_what_acts_ahead_comes_back_from_the_forces_made_of_it():
    stations, ahead = np.array([0.0, 0.0, 0.4, 0.4, 1.0, 1.0]), np.array([0.0, 5.0, 9.0, 9.0, 12.0, 20.0])
    forces = axial_forces_ahead(stations, ahead)
    points = [(one.station_m, one.aft_n) for one in forces if isinstance(one, PointForce)]
    assert points == [(0.0, 5.0), (1.0, 8.0)]
    heavy_tail = lumps([0.9999, 1.0], [1e-9, 1.0])
    loads = free_body_loads(heavy_tail, forces, cuts_m=[0.2, 0.4, 0.7])
    assert loads.at([0.2, 0.4, 0.7]).axial_n[:, 0].tolist() == pytest.approx([7.0, 9.0, 10.5])


def test_one_point_mass_may_be_pushed_but_not_turned():
    assert rigid_motion(lumps([0.3], [2.0]), [PointForce(station_m=0.3, cross_n=4.0)]).cross_m_s2 == 2.0
    with pytest.raises(OutsideRange, match="turn_rad_s2"):
        rigid_motion(lumps([0.3], [2.0]), [PointForce(station_m=0.5, cross_n=4.0)])


@pytest.mark.parametrize(
    "make",
    [
        lambda: PointForce(station_m=math.nan),
        lambda: lumps([0.0, 1.0], [1.0, -1.0]),
        lambda: lumps([0.0, 1.0], [0.0, 0.0]),
        lambda: lumps([0.0, math.inf], [1.0, 1.0]),
        lambda: lumps([0.0, 1.0], [1.0]),
        lambda: even_bar(1.0, 1.0, 0.5),
        lambda: leaning_bar(1.0, 0.0, 0.5, 0.6),
        lambda: joined([]),
        lambda: LineForce(
            stations_m=np.array([1.0, 0.0]), aft_n_per_m=np.zeros(2), cross_n_per_m=np.zeros(2)
        ),
        lambda: LineForce(stations_m=np.array([1.0]), aft_n_per_m=np.zeros(1), cross_n_per_m=np.zeros(1)),
        lambda: free_body_loads(lumps([0.0], [1.0]), [], turn_rate_rad_s=math.nan),
    ],
)
def test_bad_numbers_are_refused(make):
    with pytest.raises(OutsideRange):
        make()


def line_sums(nodes: list[float], load: list[float], cuts: list[float]) -> tuple[list[float], list[float]]:
    forces, moments = np.zeros(len(cuts)), np.zeros(len(cuts))
    add_line(np.array(nodes), np.array(load), np.array(cuts), forces, moments)
    return forces.tolist(), moments.tolist()


def test_a_line_load_counts_as_far_as_it_lies_ahead_of_the_cut():
    """From nothing at 1 m to 10 N/m at 2 m: 5 N in all, a third of a metre before its end."""
    force, moment = line_sums([1.0, 2.0], [0.0, 10.0], [0.5, 1.0, 1.5, 2.0, 3.0])
    assert force == pytest.approx([0.0, 0.0, 1.25, 5.0, 5.0])
    assert moment == pytest.approx([0.0, 0.0, 10 * 0.5**3 / 6, 5.0 / 3, 5.0 * 4 / 3])
    even, turned = line_sums([1.0, 2.0], [4.0, 4.0], [0.5, 1.5, 3.0])
    assert even == pytest.approx([0.0, 2.0, 4.0])
    assert turned == pytest.approx([0.0, 0.5, 6.0])


def test_a_line_that_steps_counts_each_side_of_its_step():
    """2 N/m for a metre, then 6 N/m for another: at the end 8 N, at their own middles."""
    force, moment = line_sums([0.0, 1.0, 1.0, 2.0], [2.0, 2.0, 6.0, 6.0], [1.0, 2.0, 4.0])
    assert force == pytest.approx([2.0, 8.0, 8.0])
    assert moment == pytest.approx([1.0, 2.0 * 1.5 + 6.0 * 0.5, 2.0 * 3.5 + 6.0 * 2.5])


def test_the_answer_stands_before_and_behind_every_point_and_once_at_each_other_cut():
    loads = free_body_loads(
        lumps([0.0, 2.0], [1.0, 3.0]), [PointForce(station_m=2.0, aft_n=-40.0)], cuts_m=[1.0]
    )
    assert loads.stations_m.tolist() == [0.0, 0.0, 1.0, 2.0, 2.0]
    assert loads.axial_n == pytest.approx([0.0, 10.0, 10.0, 10.0, 0.0])
