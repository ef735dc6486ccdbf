"""Mass properties and materials against closed forms and handbook values."""

import csv
from pathlib import Path

import numpy as np
import pytest

from finial.core.estimates import exact
from finial.mass.moments import solid_moments, surface_moments
from finial.mass.printed import printed_part
from finial.mass.simple import Cylinder, cylinder
from finial.mass.solids import Solid
from finial.materials.bars import BarPull
from finial.materials.material import PRINTED, makers_strength, material
from finial.printing.walls import PrintedWalls
from finial.shape.tiers import Tier, tiers_mesh

TETRAHEDRON = np.array([[0.0, 0, 0], [1, 0, 0], [0, 1, 0], [0, 0, 1]])[
    [[0, 2, 1], [0, 1, 3], [1, 2, 3], [0, 3, 2]]
]


def rows() -> list[dict[str, str]]:
    lines = Path(__file__).with_name("mass.csv").read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def corner(field: str, triangles=TETRAHEDRON) -> float:
    found = solid_moments(triangles)
    centre = found.centre_m
    to_origin = found.size * (centre @ centre * np.eye(3) - np.outer(centre, centre))
    about_origin = found.inertia + to_origin
    return {
        "volume": found.size,
        "centre": centre[0],
        "inertia origin": about_origin[0, 0],
        "inertia centre": found.inertia[0, 0],
        "product origin": -about_origin[0, 1],
    }[field]


def drawn(sides: int, across_m: float, top_m: float, height_m: float) -> np.ndarray:
    tier = Tier(sides=sides, across_m=across_m, across_top_m=top_m, height_m=height_m)
    return tiers_mesh([tier]).triangles_m


def round_bar(body: str, field: str) -> float:
    inner = 0.1 if body == "shell" else 0.0
    shape = Cylinder(diameter_m=0.1, stations_m=(0.0, 1.0), inner_diameter_m=inner)
    along, across, _ = cylinder(2.0, shape).inertia_kg_m2.diagonal()
    return along if field == "axis" else across


def round_mesh(body: str, field: str) -> float:
    triangles = drawn(0, 0.1, 0.1, 1.0)
    sides = triangles[np.ptp(triangles[..., 0], axis=1) > 0.5]
    found = surface_moments(sides) if body == "shell mesh" else solid_moments(triangles)
    along, across, _ = 2.0 / found.size * found.inertia.diagonal()
    return along if field == "axis" else across


def cone(field: str) -> float:
    found = solid_moments(drawn(0, 0.1, 0.0, 0.3))
    return {
        "station": -found.centre_m[0],
        "axis per mass": found.inertia[0, 0] / found.size,
        "across per mass": found.inertia[1, 1] / found.size,
    }[field]


def box_of_walls() -> float:
    triangles = drawn(4, 0.150, 0.150, 0.600)
    sides = triangles[np.ptp(triangles[..., 0], axis=1) > 0.1]
    inside = solid_moments(triangles)
    box = Solid(volume_m3=exact(inside.size), inside=inside, surface=surface_moments(sides))
    return printed_part(box, material("PLA").density_kg_m3, PrintedWalls(wall_m=0.002, infill=0.0)).mass.value


def of_material(field: str, name: str) -> float:
    found = material(name)
    number = {
        "density": found.density_kg_m3,
        "flat": makers_strength(name, BarPull.ALONG) if found.kind == PRINTED else found.ultimate_pa,
        "upright": makers_strength(name, BarPull.ACROSS) if found.kind == PRINTED else None,
        "softens": found.softens_k,
        "modulus": found.modulus_pa,
        "yield": found.yield_pa,
    }[field]
    assert number is not None
    return number.value


def answer(body: str, field: str) -> float:
    if body in ("corner", "corner inside out"):
        return corner(field, TETRAHEDRON if body == "corner" else TETRAHEDRON[:, ::-1])
    if body == "cube":
        return corner(field, drawn(4, 1.0, 1.0, 1.0))
    if body in ("cylinder", "shell"):
        return round_bar(body, field)
    if body in ("cylinder mesh", "shell mesh"):
        return round_mesh(body, field)
    if body == "cone mesh":
        return cone(field)
    return box_of_walls() if body == "box of walls" else of_material(body, field)


@pytest.mark.parametrize("row", rows(), ids=lambda row: row["id"])
def test_published_value(row: dict[str, str]) -> None:
    inputs = dict(pair.strip().split("=") for pair in row["inputs"].split(";"))
    found = answer(inputs["body"], inputs["field"])
    assert found == pytest.approx(float(row["expected"]), rel=float(row["tolerance"]))
