"""Measured sections and solids against the range that each method gives."""

import csv
from pathlib import Path

import numpy as np
import pytest
from drawn_bodies import dome_profile, rounded_square

from finial.aero.band.load_parts import CROSSFLOW_FACTOR, SMOOTH_FACTOR
from finial.aero.body import body_air
from finial.aero.drag.build_up import DragDetails, drag_build_up
from finial.aero.drag.friction import Surface
from finial.aero.fins.force import (
    EDGE_VORTEX,
    STALL_EARLY,
    STALL_LATE,
    edge_vortex_force,
    fin_force,
)
from finial.aero.fins.on_body import fin_air
from finial.aero.sections.crossflow import (
    CIRCLE_DRAG,
    crossflow_mach_factor,
    drag_width_parts,
    finite_length_factor,
    smooth_reynolds_factor,
    smooth_reynolds_range,
)
from finial.aero.sections.outlines import ellipse, regular_polygon, section_of, skin_of, tapered_skin
from finial.aero.sections.walls import standing_walls
from finial.aero.steps.ledges import outside_of
from finial.shape.fin_set import FinSet
from finial.shape.mesh import Mesh
from finial.shape.sections import slice_skin
from finial.shape.skin import Skin

KNOWN_MISSES: set[str] = set()
"""Measured outside the method's range: said on the accuracy page, not hidden by a wider range."""
LENGTH_FACTOR_ERROR = 0.05


def rows() -> list[dict[str, str]]:
    lines = Path(__file__).with_name("measured_bodies.csv").read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def circle(across_m: float) -> np.ndarray:
    return ellipse(across_m / 2, across_m / 2)


def square(across_m: float) -> np.ndarray:
    return regular_polygon(4, across_m, np.pi / 4)


def corner_first() -> Skin:
    """Skin of a cube with one corner as the tip."""
    corners = np.array([[x, y, z] for x in (0.0, 0.1) for y in (0.0, 0.1) for z in (0.0, 0.1)])
    along = np.ones(3) / np.sqrt(3)
    side = np.array([1.0, -1.0, 0.0]) / np.sqrt(2)
    turned = corners @ np.column_stack([-along, side, np.cross(-along, side)])
    faces = [
        [0, 1, 3], [0, 3, 2], [4, 6, 7], [4, 7, 5], [0, 4, 5], [0, 5, 1],
        [2, 3, 7], [2, 7, 6], [0, 2, 6], [0, 6, 4], [1, 5, 7], [1, 7, 3],
    ]  # fmt: skip
    return slice_skin([Mesh(vertices_m=turned, faces=np.array(faces))])


def solid_skin(kind: str, size: str = "") -> Skin:
    front = dome_profile(0.1)
    back = [(0.05 - x, across) for x, across in front[::-1]]
    if kind == "cone":
        return tapered_skin(circle, [(0.0, 0.0), (0.05 / np.tan(np.radians(float(size) / 2)), 0.1)])
    if kind == "cylinder":
        return tapered_skin(circle, [(0.0, 0.1), (0.1 * float(size), 0.1)])
    if kind == "hemisphere":
        return tapered_skin(circle, front if size == "round" else back, per_tier=1)
    if kind == "sphere":
        whole = [*front, *((0.05 + x, across) for x, across in back[1:])]
        return tapered_skin(circle, whole, per_tier=1)
    if size == "corner":
        return corner_first()
    return tapered_skin(square, [(0.0, 0.1), (0.1 if kind == "cube" else 0.001, 0.1)])


def solid(text: str) -> tuple[float, float, float]:
    shape, _, given = text.partition(" at ")
    reynolds = float(given or 5e5)
    skin = solid_skin(*shape.split())
    drag = drag_build_up(
        skin,
        (),
        mach=0.0,
        reynolds_per_m=reynolds / 0.1,
        details=DragDetails(surface=Surface(smooth=True)),
        outside=outside_of(skin, standing_walls(skin)),
    ).power_off
    # A cube corner first shows a hexagon of sqrt(3) s^2, more than its largest section.
    shown = np.sqrt(3.0) * 0.1**2 if text == "cube corner" else skin.reference_area_m2
    factor = skin.reference_area_m2 / shown
    return drag.low * factor, drag.value * factor, drag.high * factor


def section(text: str) -> tuple[float, float, float]:
    kind, _, size = text.partition(" ")
    outline = {
        "circle": lambda: circle(1.0),
        "rectangle": lambda: square(1.0) * [float(size), 1.0],
        "rounded": lambda: rounded_square(1.0, float(size)),
        "square": lambda: square(1.0),
    }[kind]()
    at_corner = size == "corner"
    sharp, smooth, _ = drag_width_parts([outline], np.pi / 4 if at_corner else 0.0)[:, 0]
    ends = [sharp * CROSSFLOW_FACTOR[k] + smooth * SMOOTH_FACTOR[k] for k in range(3)]
    low, central, high = (float(end) / (np.sqrt(2) if at_corner else 1.0) for end in ends)
    return low, central, high


def plate(alpha_deg: float) -> tuple[float, float, float]:
    """Normal force of a plate of aspect ratio 2 on its own area: two fins on a rod of no account."""
    rod = body_air(tapered_skin(lambda d: circle(d), [(0.0, 0.002), (3.0, 0.002)]))
    outline = np.array([[0.0, 0.0], [0.0, 1.0], [1.0, 1.0], [1.0, 0.0]])
    fins = FinSet(
        name="plate",
        outline_m=outline,
        station_m=1.0,
        root_radius_m=0.001,
        count=2,
        first_at_rad=0.0,
        thickness_m=0.01,
    )
    (fin,) = fin_air(rod, [fins])
    alpha, across = np.radians([alpha_deg]), np.array([[0.0, 1.0]])
    scale = float(np.sin(alpha[0])) * rod.reference_area_m2 / 2.0
    stalls = STALL_EARLY, 1.0, STALL_LATE
    area = rod.reference_area_m2
    forces = [float(fin_force(fin, area, alpha, across, stall=stall)[0, 0]) for stall in stalls]
    rolled = [float(edge_vortex_force(fin, area, alpha, across, stall)[0, 0]) for stall in stalls]
    factors = [float(each[0]) for each in fin.factor_at(alpha)]
    low, central, high = (
        scale * (k * force + share * more)
        for k, force, share, more in zip(factors, forces, EDGE_VORTEX, rolled, strict=True)
    )
    return low, central, high


def method_range(inputs: str) -> tuple[float, ...]:
    """Low, central and high end of what the method says."""
    kind, _, value = inputs.partition("=")
    if kind == "eta":
        central = float(finite_length_factor(float(value)))
        return central * (1 - LENGTH_FACTOR_ERROR), central, central * (1 + LENGTH_FACTOR_ERROR)
    if kind == "cross mach":
        central = float(CIRCLE_DRAG * crossflow_mach_factor(float(value)))
        return CROSSFLOW_FACTOR[0] * central, central, CROSSFLOW_FACTOR[2] * central
    if kind == "cross reynolds":
        low, high = smooth_reynolds_range(float(value))
        ends = low, float(smooth_reynolds_factor(float(value))), high
        return tuple(CIRCLE_DRAG * end for end in ends)
    if kind == "plate":
        return plate(float(value))
    return solid(value) if kind == "solid" else section(value)


def inside(row: dict[str, str]) -> bool:
    measured, error = float(row["expected"]), float(row["tolerance"])
    return float(row["low"]) - error <= measured <= float(row["high"]) + error


@pytest.mark.parametrize("row", rows(), ids=lambda row: row["id"])
def test_the_range_on_the_page_is_the_one_the_method_gives_today(row: dict[str, str]) -> None:
    committed = [float(row[name]) for name in ("low", "central", "high")]
    assert list(method_range(row["inputs"])) == pytest.approx(committed, abs=2e-3)


def test_measurements_lie_inside_but_for_the_misses_that_are_named() -> None:
    missed = {row["id"] for row in rows() if not inside(row)}
    assert missed == KNOWN_MISSES
    assert len(missed) <= 0.05 * len(rows())


def test_a_cube_that_flies_edge_first_has_the_drag_of_one_askew() -> None:
    """0.80 on the area it shows, from memory of Hoerner, 1965; on one face it has 1.05."""
    along = np.linspace(1e-4, np.sqrt(2.0) - 1e-4, 41) * 0.1
    half = np.minimum(along, np.sqrt(2.0) * 0.1 - along)
    unit = np.array([(-0.05, -1.0), (0.05, -1.0), (0.05, 1.0), (-0.05, 1.0)])
    skin = skin_of([section_of(x, [unit * [1.0, wide]]) for x, wide in zip(along, half, strict=True)])
    outside = outside_of(skin, standing_walls(skin))
    drag = drag_build_up(skin, (), mach=0.0, reynolds_per_m=5e6, outside=outside).power_off
    assert drag.low < 0.80 < drag.high
    assert drag.value == pytest.approx(0.80, rel=0.1)


def test_a_cube_that_flies_corner_first_lies_inside_without_its_reading_error() -> None:
    (row,) = [each for each in rows() if each["inputs"] == "solid=cube corner"]
    low, _, high = solid("cube corner")
    assert low < float(row["expected"]) < high
