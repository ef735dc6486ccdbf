"""Ring wings: twice the plane wing, as measured; inside a body's loads like any other part."""

from dataclasses import replace

import numpy as np
import pytest

from finial.aero.band.band import pressure_band
from finial.aero.body import BodyAir, body_air
from finial.aero.crooked import trim_of
from finial.aero.damping import turning_damping
from finial.aero.drag.build_up import drag_build_up
from finial.aero.drag.sources import DragKind
from finial.aero.rings import ring_air, ring_forces
from finial.aero.sections.outlines import ellipse, regular_polygon, tapered_skin
from finial.aero.table.build import TableInputs, air_table
from finial.core.errors import OutsideRange
from finial.shape.skin import Ring


def bare_ring(diameter: float, chord: float, station: float = 0.0) -> Ring:
    area = np.pi / 4 * diameter**2
    return Ring(
        station_m=station, chord_m=chord, loops=(ellipse(diameter / 2, diameter / 2),), outer_m2=area,
        open_m2=area, inside_m2=0.0, wall_m2=np.pi * diameter * 1e-3, wetted_m2=2 * np.pi * diameter * chord,
    )  # fmt: skip


@pytest.mark.parametrize(("ratio", "plate"), [(0.5, 0.7735), (1.0, 1.4602), (2.0, 2.4744)])
def test_a_ring_has_twice_the_slope_of_a_plane_wing(ratio: float, plate: float) -> None:
    # NACA TN 4117 (summary seen): twice a plane unswept wing of the same aspect ratio, on width times
    # chord; plates by a vortex lattice, CMP-04 (Tuck 1993).
    ring = bare_ring(ratio, 1.0)
    on_projected = ring_air(ring, ratio * 1.0).slope_per_rad[0, 0]
    assert on_projected == pytest.approx(2 * plate, rel=0.01)


def test_the_slender_limit_is_the_momentum_of_what_flows_through_and_round() -> None:
    # 2 (pi r^2 + pi r^2) per radian, and half as much less for a body that fills half of it.
    ring = bare_ring(0.02, 1.0)
    assert ring_air(ring, 1.0).slope_per_rad[0, 0] == pytest.approx(4 * np.pi * 0.01**2, rel=0.01)
    half = replace(ring, open_m2=ring.open_m2 / 2, inside_m2=ring.outer_m2 / 2)
    assert ring_air(half, 1.0).slope_per_rad[0, 0] == pytest.approx(2 * np.pi * 0.01**2, rel=0.01)


def test_a_square_ring_lifts_more_than_a_round_one_of_its_area() -> None:
    square = replace(bare_ring(1.0, 1.0), loops=(regular_polygon(4, np.sqrt(np.pi / 4)),))
    assert (
        ring_air(square, 1.0).slope_per_rad[0, 0]
        > 1.05 * ring_air(bare_ring(1.0, 1.0), 1.0).slope_per_rad[0, 0]
    )


def test_refusals() -> None:
    with pytest.raises(OutsideRange, match="chord"):
        ring_air(replace(bare_ring(1.0, 1.0), chord_m=0.0), 1.0)
    with pytest.raises(OutsideRange, match=r"0 to 0\.9"):
        ring_forces(ring_air(bare_ring(1.0, 1.0), 1.0), 1.0, np.zeros(1), np.array([[1.0, 0.0]]), 0.95)


PROFILE = [(0.0, 0.0), (0.3, 0.1), (1.0, 0.1)]
INSIDE = np.pi / 4 * 0.1**2


@pytest.fixture(scope="module")
def ringed() -> BodyAir:
    skin = tapered_skin(lambda d: ellipse(d / 2, d / 2), PROFILE)
    ring = bare_ring(0.25, 0.09, 0.9)
    ring = replace(ring, open_m2=ring.outer_m2 - INSIDE - ring.wall_m2, inside_m2=INSIDE)
    return body_air(replace(skin, rings=(ring,)))


@pytest.fixture(scope="module")
def plain() -> BodyAir:
    return body_air(tapered_skin(lambda d: ellipse(d / 2, d / 2), PROFILE))


def test_a_ring_behind_moves_the_band_aft_as_fins_do(ringed: BodyAir, plain: BodyAir) -> None:
    angles, rolls = np.radians([0.0, 10.0]), [0.0, 0.7]
    with_, without = (pressure_band(body, (), angles, rolls) for body in (ringed, plain))
    assert with_.width_m == without.width_m
    assert np.all(with_.forward_m > without.aft_m)
    (ring,) = ringed.rings
    gained = with_.slope.value - without.slope.value
    assert gained == pytest.approx(0.95 * ring.slope_per_rad[0, 0], rel=1e-3)
    assert {"ring"} <= {part.name for part in with_.contributions}
    low = with_.slope.low - without.slope.low
    assert low == pytest.approx(0.75 * ring.slope_per_rad[0, 0], rel=1e-3)


def test_table_trim_and_damping_know_the_ring(ringed: BodyAir, plain: BodyAir) -> None:
    (ring,) = ringed.rings
    inputs = TableInputs(damping_centre_m=0.5)
    with_, without = (air_table(body, (), inputs) for body in (ringed, plain))
    gained = with_.along[0, 0, 0] - without.along[0, 0, 0]
    assert gained == pytest.approx(0.95 * ring.slope_per_rad[0, 0], rel=1e-6)
    moved = with_.along_moment[0, 0, 0] - without.along_moment[0, 0, 0]
    assert moved * with_.width_m / gained == pytest.approx(ring.centre_m, rel=1e-6)
    assert with_.along[0, 0, -1] > with_.along[0, 0, 0] > without.along[0, 0, -1]
    damped = turning_damping(ringed, (), 0.5) - turning_damping(plain, (), 0.5)
    expected = -2 * 0.95 * ring.slope_per_rad[0, 0] * (ring.centre_m - 0.5) ** 2 / ringed.width_m**2
    assert damped[0, 0] == pytest.approx(expected, rel=1e-3)
    assert trim_of(plain, (), (0.6, 0.0, 0.0), (0.3, (0.0, 0.0))).angle_rad is None
    assert trim_of(ringed, (), (0.6, 0.0, 0.0), (0.3, (0.0, 0.0))).angle_rad == pytest.approx(0.0)


def test_both_walls_and_the_edges_drag(ringed: BodyAir, plain: BodyAir) -> None:
    with_, without = (
        drag_build_up(body.skin, (), mach=0.3, reynolds_per_m=7e6, outside=body.outside)
        for body in (ringed, plain)
    )
    rows = {row.kind: row.coefficient for row in with_.rows}
    (ring,) = ringed.skin.rings
    # Filled solid its face alone would drag 0.72 on five times the body's section.
    assert with_.power_off.value - without.power_off.value < 0.9
    edges = (0.72 * (1 + 0.09 / 4) + 0.12 + 0.13 * 0.09) * ring.wall_m2 / ringed.reference_area_m2
    assert rows[DragKind.RING_EDGES].value == pytest.approx(edges, rel=0.01)
    assert 0.02 < rows[DragKind.RING_FRICTION].value < 0.15


@pytest.fixture(scope="module")
def ducted() -> BodyAir:
    skin = tapered_skin(lambda d: ellipse(d / 2, d / 2), [(0.0, 0.1), (1.0, 0.1)])
    opened = np.pi / 4 * 0.09**2
    duct = replace(bare_ring(0.09, 1.0), outer_m2=opened, open_m2=opened, wall_m2=0.0, within=True)
    duct = replace(duct, wetted_m2=np.pi * 0.09 * 1.0)
    return body_air(replace(skin, rings=(duct,)))


@pytest.fixture(scope="module")
def full(ducted: BodyAir) -> BodyAir:
    return body_air(replace(ducted.skin, rings=()))


def test_a_duct_turns_the_air_inside_at_its_mouth(ducted: BodyAir, full: BodyAir) -> None:
    # Slender-body theory: the air inside goes along with the duct, 2 on its own section; a thin tube open at
    # both ends has 4 with that outside (the limit of Ribner's ring wing, from memory).
    (duct,) = ducted.rings
    assert duct.slope_per_rad[0, 0] == pytest.approx(2 * 0.81, rel=0.03)
    assert duct.slope_per_rad[0, 1] == 0.0
    assert duct.centre_m < 0.05
    assert duct.side_area_m2 == 0.0
    angles, rolls = np.radians([0.0, 10.0]), [0.0]
    with_, without = (pressure_band(body, (), angles, rolls) for body in (ducted, full))
    assert {"duct"} <= {part.name for part in with_.contributions}
    gained = with_.slope.high - without.slope.high
    assert gained == pytest.approx(1.1 * duct.slope_per_rad[0, 0], rel=0.02)
    assert with_.slope.low == pytest.approx(without.slope.low, rel=1e-6)
    # Full, its forward end lay up to a quarter of its length too far aft: on the unsafe side.
    assert np.all(with_.forward_m <= without.forward_m + 1e-9)
    assert float(with_.forward_m[1, 0]) < float(without.forward_m[1, 0]) - 0.01


def test_a_duct_drags_between_an_open_and_a_full_face(ducted: BodyAir, full: BodyAir) -> None:
    with_, without = (
        drag_build_up(body.skin, (), mach=0.3, reynolds_per_m=7e6, outside=body.outside)
        for body in (ducted, full)
    )
    rows = {row.kind: row.coefficient for row in with_.rows}
    mouth, rubbing = rows[DragKind.DUCT_MOUTH], rows[DragKind.DUCT_FRICTION]
    assert not {DragKind.RING_EDGES, DragKind.RING_FRICTION} & set(rows)
    face = 0.72 * (1 + 0.09 / 4) * 0.81
    assert (mouth.value, mouth.high) == (pytest.approx(-face / 2, rel=1e-3), 0.0)
    assert mouth.low == pytest.approx(-face - 0.81 * (0.12 + 0.13 * 0.09), rel=1e-3)
    # Both walls rub: a turbulent plate of Prandtl and Schlichting on the inside as well, by hand.
    plate = 0.455 / np.log10(7e6) ** 2.58 * (np.pi * 0.09) / (np.pi / 4 * 0.1**2)
    assert rubbing.value == pytest.approx(plate, rel=0.03)
    assert with_.power_off.value < without.power_off.value
    assert with_.power_off.low < without.power_off.low - face / 2
