"""Plate elements: against beam theory and themselves."""

import math

import numpy as np
import pytest

from finial.core.errors import OutsideRange
from finial.structure.fins.plate import FinPlate
from finial.structure.fins.plate_answers import bent_plate, plate_modes
from finial.structure.fins.plate_mesh import plate_mesh
from finial.structure.fins.plate_model import plate_model, rows_at, with_springs
from finial.structure.fins.quick_plate import fin_bending
from finial.structure.fins.root import (
    RootHold,
    bolted_pieces,
    slot_turning_stiffness,
    tab_turning_stiffness,
    wall_turning_stiffness,
)

SWEPT = np.array([[0.0, 0.0], [0.12, 0.16], [0.24, 0.16], [0.26, 0.0]])
NOTCHED = np.array([[0, 0], [0.03, 0.1], [0.08, 0.1], [0.09, 0.05], [0.12, 0.1], [0.16, 0.1], [0.2, 0.0]])
STRIP = np.array([[0.0, 0.0], [0.0, 0.4], [0.02, 0.4], [0.02, 0.0]])


def plate(outline=SWEPT, **changes):
    usual = {"thickness_m": 0.004, "modulus_pa": 2.35e9, "density_kg_m3": 1200.0, "poisson": 0.37}
    return FinPlate(outline_m=np.asarray(outline, dtype=float), **(usual | changes))


@pytest.mark.parametrize("outline", [SWEPT, NOTCHED, STRIP])
@pytest.mark.parametrize("side", [0.05, 0.01])
def test_triangles_fill_the_outline(outline, side):
    import shapely

    mesh = plate_mesh(outline, side)
    assert mesh.area_m2 == pytest.approx(shapely.Polygon(outline).area, rel=1e-9)


def test_an_outline_that_crosses_itself_is_refused():
    with pytest.raises(OutsideRange, match="crosses itself"):
        plate_mesh(np.array([[0.0, 0.0], [0.1, 0.1], [0.0, 0.1], [0.1, 0.0]]), 0.02)


def test_a_strip_is_a_beam_tapered_too():
    # Tip load on a strip without Poisson's effect: 12 P L^3 / (3 E b t^3), Gere and Timoshenko.
    even = plate(STRIP, poisson=0.0)
    model = plate_model(even)
    tip = np.array([[0.01, 0.4]])
    bent = bent_plate(model, tip, np.array([1.0]))
    deflection = rows_at(model, tip).deflection @ bent.unknowns
    assert deflection[0] == pytest.approx(12 * 0.4**3 / (3 * 2.35e9 * 0.02 * 0.004**3), rel=2e-3)
    # Thickness falling to half at the tip: w = (12 P / E b) int (L - y)^2 / t(y)^3 dy.
    y = np.linspace(0.0, 0.4, 4001)
    thick = 0.004 * (1 - y / 0.8)
    wanted = np.trapezoid(12 * (0.4 - y) ** 2 / (2.35e9 * 0.02 * thick**3), y)
    tapered = plate_model(plate(STRIP, poisson=0.0, tip_thickness_m=0.002))
    got = rows_at(tapered, tip).deflection @ bent_plate(tapered, tip, np.array([1.0])).unknowns
    assert got[0] == pytest.approx(wanted, rel=3e-3)


def test_springs_at_the_root_add_their_own_turning():
    # On a spring of k_theta per length the tip of a strip gains P L^2 / (k_theta b).
    soft = RootHold(turning_n=500.0)
    tip, push = np.array([[0.01, 0.4]]), np.array([1.0])
    answers = []
    for hold in (RootHold(), soft):
        model = plate_model(plate(STRIP, poisson=0.0), hold=hold)
        answers.append(float((rows_at(model, tip).deflection @ bent_plate(model, tip, push).unknowns)[0]))
    assert answers[1] - answers[0] == pytest.approx(0.4**2 / (500.0 * 0.02), rel=1e-3)


def test_a_root_held_in_pieces_is_softer():
    whole = plate_modes(plate_model(plate()), count=2).frequencies_rad_s
    pieces = bolted_pieces((0.03, 0.13, 0.23), 0.02, (0.0, 0.26))
    bolted = plate_modes(plate_model(plate(), hold=RootHold(pieces_m=pieces)), count=2).frequencies_rad_s
    assert (bolted < 0.95 * whole).all()
    assert bolted[0] > 0.4 * whole[0]


def test_a_very_stiff_spring_at_the_root_is_a_stiff_root():
    ideal = plate_modes(plate_model(plate()), count=2).frequencies_rad_s
    springs = plate_modes(plate_model(plate(), hold=RootHold(turning_n=1e8, sliding_pa=1e12)), count=2)
    assert springs.frequencies_rad_s == pytest.approx(ideal, rel=2e-3)


def test_a_spring_at_a_point_takes_its_share():
    # A strip as a spring of 3 E I / L^3 beside a spring at its tip: the load is shared by stiffness.
    strip = plate_model(plate(STRIP, poisson=0.0))
    tip, push = np.array([[0.01, 0.4]]), np.array([1.0])
    own = 3 * 2.35e9 * 0.02 * 0.004**3 / 12 / 0.4**3
    held = with_springs(strip, [((0.01, 0.4), own)])
    got = float((rows_at(held, tip).deflection @ bent_plate(held, tip, push).unknowns)[0])
    assert got == pytest.approx(1 / (2 * own), rel=3e-3)


def test_stress_of_an_even_load_is_near_that_of_strips():
    outline = np.array([[0.0, 0.0], [0.0, 0.2], [0.1, 0.2], [0.1, 0.0]])
    given = plate(outline)
    model = plate_model(given)
    y, x = np.meshgrid((np.arange(20) + 0.5) / 100, (np.arange(10) + 0.5) / 100, indexing="ij")
    points = np.column_stack([x.ravel(), y.ravel()])
    bent = bent_plate(model, points, np.full(len(points), 20.0 / len(points)))
    strips = fin_bending(outline, 0.004, 20.0, 2.35e9)
    assert bent.root_moment_n_m == pytest.approx(strips.root_moment_n_m, rel=1e-6)
    assert 0.9 < bent.stress_pa / strips.stress_pa < 1.35


def test_holds_from_closed_forms():
    # A tab is a beam over two supports, a wall one clamped at both ends: Gere and Timoshenko; Roark.
    assert tab_turning_stiffness(plate(poisson=0.0), 0.02) == pytest.approx(3 * 2.35e9 * 0.004**3 / 12 / 0.02)
    assert wall_turning_stiffness(2.3e9, 0.002, 0.1, poisson=0.0) == pytest.approx(
        16 * 2.3e9 * 0.002**3 / 12 / 0.1
    )
    # A rigid block of depth d on springs k per area and face: 2 k d^3 / 12.
    assert slot_turning_stiffness(1e9, 0.02, 0.04, 0.004) == pytest.approx(2 * 1e9 / 0.02 * 0.02**3 / 12)


@pytest.mark.parametrize(
    "call",
    [
        lambda: RootHold(turning_n=0.0),
        lambda: RootHold(sliding_pa=math.nan),
        lambda: plate_model(plate(), hold=RootHold(pieces_m=((0.5, 0.6),))),
        lambda: plate_modes(plate_model(plate()), count=50),
        lambda: rows_at(plate_model(plate()), np.array([[math.nan, 0.0]])),
        lambda: with_springs(plate_model(plate()), [((0.1, 0.1), -1.0)]),
        lambda: plate(tip_thickness_m=0.0),
        lambda: bolted_pieces((0.5,), 0.01, (0.0, 0.1)),
    ],
)
def test_bad_numbers_are_refused(call):
    with pytest.raises(OutsideRange):
        call()


@pytest.mark.parametrize("size", [0.1, 0.4])
def test_a_tapered_plate_of_any_size_swings_as_its_likeness_does(size: float) -> None:
    """Everything twice as large, thickness too, swings half as fast: dimensions of sqrt(E / rho) / L."""

    def first(scale: float) -> np.ndarray:
        outline = scale * np.array([[0.0, 0.0], [0.3, 1.0], [0.8, 1.0], [1.2, 0.0]])
        fin = FinPlate(
            outline_m=outline,
            thickness_m=0.03 * scale,
            tip_thickness_m=0.01 * scale,
            modulus_pa=3e9,
            density_kg_m3=1200.0,
            poisson=0.3,
        )
        return plate_modes(plate_model(fin, side_m=0.4 * scale), count=3).frequencies_rad_s

    assert size * first(size) == pytest.approx(first(1.0), rel=1e-6)


def test_a_taper_stiffens_the_root_against_the_tip() -> None:
    """Of the same thickness in the mean the tapered fin has the faster first swing: its tip is lighter."""
    outline = np.array([[0.0, 0.0], [0.0, 0.2], [0.1, 0.2], [0.1, 0.0]])

    def fin(root: float, tip: float) -> FinPlate:
        return FinPlate(
            outline_m=outline,
            thickness_m=root,
            tip_thickness_m=tip,
            modulus_pa=3e9,
            density_kg_m3=1200.0,
            poisson=0.3,
        )

    even, tapered = (
        plate_modes(plate_model(fin(*ends), side_m=0.08), count=1).frequencies_rad_s[0]
        for ends in ((0.004, 0.004), (0.006, 0.002))
    )
    assert tapered > 1.3 * even
