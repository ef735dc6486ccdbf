"""Plain geometry that everything stands on, against handbook numbers and a reference library."""

import csv
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from finial.aero.plates.planform import strip_edges
from finial.aero.sections.blocks import solve_in_blocks
from finial.aero.sections.outlines import (
    ellipse,
    outline_centroid,
    regular_polygon,
    section_of,
    squared_radii,
    tapered_skin,
)
from finial.aero.sections.similar import fingerprint
from finial.aero.steps.slender import growth_stations
from finial.flight.packing.pack import quaternion_from_rotation
from finial.shape.bodies import signed_volumes_m3
from finial.shape.mesh import Mesh
from finial.shape.skin import Section
from finial.shape.skin_totals import volume_m3, wetted_area_m2
from finial.shape.thin_parts import polygons_of
from finial.structure.fins.outline import chords
from finial.structure.fins.plate import FinPlate
from finial.structure.fins.plate_answers import solved, surface_stress
from finial.structure.fins.plate_model import plate_model, rows_at


def rows() -> list[dict[str, str]]:
    lines = Path(__file__).with_name("geometry.csv").read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def plain_section(station_m: float, area_m2: float) -> Section:
    return Section(station_m=station_m, loops=(), area_m2=area_m2, perimeter_m=1.0, centroid_m=(0.0, 0.0))


def frustum(height: float, below: float, above: float) -> float:
    return volume_m3([plain_section(0.0, above), plain_section(height, below)])


def cone_side(radius: float, height: float) -> float:
    skin = tapered_skin(lambda across: ellipse(across / 2, across / 2), [(0.0, 0.0), (height, 2 * radius)])
    return wetted_area_m2([polygons_of(one) for one in skin.sections], skin.sections)


def half_disc_centroid(radius: float) -> float:
    turn = np.linspace(0.0, np.pi, 400)
    return float(outline_centroid(radius * np.column_stack([np.cos(turn), np.sin(turn)]))[1])


def ring_squared_radii(radius: float) -> float:
    loop = ellipse(radius, radius, 720)
    return float(squared_radii(loop, np.roll(loop, -1, axis=0)).sum())


def square_moment(place: int) -> Callable[[float], float]:
    return lambda side: float(fingerprint(section_of(0.0, [regular_polygon(4, side, np.pi / 4)]))[place])


def cone_growth(length: float) -> float:
    return growth_stations(np.array([0.0, length]), np.array([0.0, 1.0])).item()


def corner_volume(edge: float) -> float:
    corners = edge * np.array([[0.0, 0, 0], [1, 0, 0], [0, 1, 0], [0, 0, 1]])
    mesh = Mesh(vertices_m=corners, faces=np.array([[0, 2, 1], [0, 1, 3], [1, 2, 3], [0, 3, 2]]))
    return float(signed_volumes_m3(mesh, np.zeros(4, dtype=np.int64))[0])


def strip_stress(thickness: float, length: float, width: float, at: float) -> float:
    """Stress of a strip held at its root, one newton spread across its tip, without Poisson's effect."""
    outline = np.array([[0.0, 0.0], [0.0, length], [width, length], [width, 0.0]])
    plate = FinPlate(
        outline_m=outline, thickness_m=thickness, modulus_pa=2e9, density_kg_m3=1200.0, poisson=0.0
    )
    model = plate_model(plate, side_m=0.02)
    tip = np.column_stack([np.linspace(0.0, width, 5), np.full(5, length)])
    push = rows_at(model, tip).deflection.T @ np.full((5, 1), 0.2)
    return float(surface_stress(model, solved(model, push)[:, 0], np.array([[width / 2, at]]))[0])


def triangle_chord(root: float, span: float, at: float) -> float:
    outline = np.array([[0.0, 0.0], [root, span], [root, 0.0]])
    lead, trail = strip_edges(outline, np.array([at]))
    assert trail[0] - lead[0] == pytest.approx(chords(outline, np.array([at]))[0])
    return float(trail[0] - lead[0])


FOUND: dict[str, Callable[..., float]] = {
    "frustum": frustum,
    "cone side": cone_side,
    "half disc centroid": half_disc_centroid,
    "ring squared radii": ring_squared_radii,
    # After the perimeter: y^2, yz or z^2 in the order of the powers of z, then the third and fourth order.
    "square second moment": square_moment(1),
    "square fourth moment": square_moment(8),
    "square mixed moment": square_moment(10),
    "cone growth": cone_growth,
    "corner volume": corner_volume,
    "strip stress": strip_stress,
    "triangle chord": triangle_chord,
}


@pytest.mark.parametrize("row", rows(), ids=lambda row: row["id"])
def test_geometry_is_that_of_the_handbooks(row: dict[str, str]) -> None:
    given = {
        name.strip(): float(value) for name, value in (one.split("=") for one in row["inputs"].split(";"))
    }
    assert FOUND[row["what"]](**given) == pytest.approx(float(row["expected"]), rel=float(row["tolerance"]))


@pytest.mark.parametrize("seed", range(20))
def test_quaternions_are_those_of_a_reference_library(seed: int) -> None:
    turn = Rotation.random(random_state=seed)
    x, y, z, w = turn.as_quat()
    ours = quaternion_from_rotation(turn.as_matrix())
    assert abs(ours @ [w, x, y, z]) == pytest.approx(1.0, abs=1e-12)


def test_blocks_solve_as_a_reference_library_does() -> None:
    random = np.random.default_rng(7)
    matrix = random.normal(size=(250, 250)) + 40.0 * np.eye(250)
    right = random.normal(size=(250, 2))
    np.testing.assert_allclose(solve_in_blocks(matrix, right), np.linalg.solve(matrix, right), rtol=1e-9)
