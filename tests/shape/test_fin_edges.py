"""How blunt edges of drawn fins are: of prisms whose faces' slopes are known."""

import math

import numpy as np
import pytest

from finial.shape.fin_edges import edge_bluntness
from finial.shape.fin_set import FinSet
from finial.shape.mesh import Mesh

CHORD, SPAN, THICK, ROOT, STATION = 0.1, 0.12, 0.01, 0.05, 0.6


def fin_set(roll_rad: float = 0.0, sweep_m: float = 0.0) -> FinSet:
    outline = [[0.0, 0.0], [sweep_m, SPAN], [sweep_m + CHORD, SPAN], [CHORD, 0.0]]
    return FinSet(
        name="fin",
        outline_m=np.array(outline),
        station_m=STATION,
        root_radius_m=ROOT,
        first_at_rad=roll_rad,
        count=1,
        thickness_m=THICK,
    )


def drawn(
    section: list[tuple[float, float]], roll_rad: float = 0.0, sweep_m: float = 0.0, rings: int = 24
) -> Mesh:
    """Prism of a section (aft, aside) from root to tip, in body axes, faces in ``rings`` bands."""
    outs = np.linspace(0.0, SPAN, rings + 1)
    count = len(section)
    points = [
        (
            -(STATION + aft + sweep_m * out / SPAN),
            (ROOT + out) * math.cos(roll_rad) - aside * math.sin(roll_rad),
            (ROOT + out) * math.sin(roll_rad) + aside * math.cos(roll_rad),
        )
        for out in outs
        for aft, aside in section
    ]
    faces = []
    for band in range(rings):
        for corner in range(count):
            a, b = band * count + corner, band * count + (corner + 1) % count
            faces += [(a, b, b + count), (a, b + count, a + count)]
    return Mesh(vertices_m=np.array(points), faces=np.array(faces))


def hexagon(lead_m: float, trail_m: float) -> list[tuple[float, float]]:
    """A plate whose edges run to a point over so long; 0 leaves them square."""
    half = THICK / 2
    fore = [(0.0, 0.0)] if lead_m else []
    aft = [(CHORD, 0.0)] if trail_m else []
    return [*fore, (lead_m, half), (CHORD - trail_m, half), *aft, (CHORD - trail_m, -half), (lead_m, -half)]


@pytest.mark.parametrize("roll_deg", [0.0, 120.0, 270.0])
def test_square_edges_stand_across_the_wind(roll_deg: float) -> None:
    roll = math.radians(roll_deg)
    found = edge_bluntness(fin_set(roll), [drawn(hexagon(0.0, 0.0), roll)])
    assert found is not None
    assert (found.lead, found.trail) == pytest.approx((1.0, 1.0))


def test_a_swept_square_edge_meets_the_wind_by_the_cosine_squared() -> None:
    found = edge_bluntness(fin_set(sweep_m=SPAN), [drawn(hexagon(0.0, 0.0), sweep_m=SPAN)])
    assert found is not None
    assert (found.lead, found.trail) == pytest.approx((0.5, 0.5), rel=1e-6)


def test_a_wedge_has_the_squared_sine_of_its_half_angle_each_edge_its_own() -> None:
    """10 mm thick: over 20 mm ahead 14 degrees to a side, over 5 mm behind 45 degrees."""
    found = edge_bluntness(fin_set(), [drawn(hexagon(0.02, 0.005))])
    assert found is not None
    assert found.lead == pytest.approx(0.005**2 / (0.005**2 + 0.02**2), rel=1e-6)
    assert found.trail == pytest.approx(0.5, rel=1e-6)


def test_walls_of_another_thing_are_not_the_fin_s() -> None:
    beside = drawn(hexagon(0.0, 0.0), roll_rad=math.pi / 2)
    assert edge_bluntness(fin_set(), [beside]) is None
    both = edge_bluntness(fin_set(), [drawn(hexagon(0.02, 0.005)), beside])
    assert both is not None
    assert both.trail == pytest.approx(0.5, rel=1e-6)
    assert edge_bluntness(fin_set(), []) is None
