"""Each formula takes its numbers up to both ends of the range it says it holds for, and none beyond."""

import math
import re
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from finial.core.errors import OutsideRange
from finial.core.estimates import exact
from finial.structure.fins.lattice import fin_lattice, ring_response
from finial.structure.fins.stays import StayLine, StayPair, stay_line, wire_drag
from finial.structure.heat import softening_margin, sunlit_surface_temperature
from finial.structure.loads.landing import edge_blow
from finial.structure.loads.thrust_end import rebound_share
from finial.structure.rods.fastening import (
    glued_tube_stress,
    pull_through_stress,
    ring_plate_stress,
    washer_bearing_stress,
)
from finial.structure.rods.preload import Stack, preload_left
from finial.structure.walls.buckling import (
    flat_wall_buckling_stress,
    infill_support,
    round_wall_buckling_stress,
)
from finial.structure.walls.outline import wall_area
from finial.structure.walls.plates import Plate, hoop_stress, panel_frequency, panel_stiffness
from finial.structure.walls.sandwich import Sandwich, sandwich_wall_stress

SQUARE = np.array([[0.0, 0.0], [0.0, 0.5], [1.0, 0.5], [1.0, 0.0]])
PANEL = {"sides_m": (0.1, 0.15), "density_kg_m3": 1270.0, "edge": "supported"}
PLATE = Plate(thickness_m=0.0016, modulus_pa=2.0e9)
CORE = Sandwich(skin_m=0.002, core_m=0.003, infill=0.2)
PAIR = {"along_m": 0.1, "outward_m": 0.1, "diameter_m": 0.001, "modulus_pa": 190e9, "to": "next fin"}
FLAT = {"modulus_pa": 2.3e9, "wall_m": 0.002, "width_m": 0.1}
ROUND = {"modulus_pa": 2.3e9, "wall_m": 0.002, "radius_m": 0.1}


def within(low: float, high: float) -> tuple[list[float], list[float]]:
    """Return the ends and what lies between, and the numbers next to the ends outside."""
    inside = [low, high] if math.isfinite(high) else [low, 1e30]
    between = low + 0.5 * min(high - low, 1.0)
    return [*inside, between], [math.nextafter(low, -math.inf), math.nextafter(high, math.inf), math.nan]


FORCE, SHARE, POISSON, ANY = (0.0, 1e9), (0.0, 1.0), (0.0, 0.5), (0.0, math.inf)
RANGES: list[tuple[Callable[..., Any], dict[str, Any], str, tuple[float, float]]] = [
    (washer_bearing_stress, {"washer_m": 0.02, "hole_m": 0.006}, "force_n", FORCE),
    (pull_through_stress, {"washer_m": 0.02, "plate_m": 0.006}, "force_n", FORCE),
    (glued_tube_stress, {"diameter_m": 0.054, "length_m": 0.03}, "force_n", FORCE),
    (ring_plate_stress, {"held_m": 0.09, "pushed_m": 0.054, "plate_m": 0.006}, "force_n", FORCE),
    (
        ring_plate_stress,
        {"force_n": 1.0, "held_m": 0.09, "pushed_m": 0.054, "plate_m": 0.006},
        "poisson",
        POISSON,
    ),
    (infill_support, {"modulus_pa": 2.3e9, "depth_m": 0.06, "stiffness": 0.3}, "infill", SHARE),
    (flat_wall_buckling_stress, FLAT, "poisson", POISSON),
    (flat_wall_buckling_stress, FLAT, "support_pa_m", ANY),
    (round_wall_buckling_stress, ROUND, "poisson", POISSON),
    (round_wall_buckling_stress, ROUND, "support_pa_m", ANY),
    (panel_stiffness, {"bending_n_m": 0.9, "width_m": 0.1}, "support_pa_m", ANY),
    (panel_frequency, {"plate": PLATE, **PANEL}, "support_pa_m", ANY),
    (Plate, {"thickness_m": 0.0016, "modulus_pa": 2e9}, "poisson", POISSON),
    (wall_area, {"loops": [SQUARE], "wall_m": 0.003}, "infill", SHARE),
    (Sandwich, {"skin_m": 0.002, "core_m": 0.003}, "infill", SHARE),
    (sandwich_wall_stress, {"whole_pa": 4e6, "skin_pa": (2e7, 3e5), "sandwich": CORE}, "shear_n_m", ANY),
    (
        sunlit_surface_temperature,
        {"sun_w_m2": 1000.0, "absorbed_share": 0.9, "cooling_w_m2_k": 15.0},
        "air_k",
        (220.0, 345.0),
    ),
    (
        sunlit_surface_temperature,
        {"air_k": 300.0, "sun_w_m2": 1000.0, "cooling_w_m2_k": 15.0},
        "absorbed_share",
        SHARE,
    ),
    (
        sunlit_surface_temperature,
        {"air_k": 300.0, "absorbed_share": 0.9, "cooling_w_m2_k": 15.0},
        "sun_w_m2",
        (0.0, 1400.0),
    ),
    (rebound_share, {"period_s": 0.004}, "fall_s", (0.0, 1e6)),
    (edge_blow, {"ends_m": (0.2, 1.0), "edge_m": 1.0, "radius_m": 0.05}, "tilt_rad", (0.0, math.pi / 2)),
    (edge_blow, {"ends_m": (0.2, 1.0), "radius_m": 0.05, "tilt_rad": 0.1}, "edge_m", (0.2, 1.0)),
    (stay_line, {"pair": StayPair(**PAIR, preload_n=50.0), "fins": 4}, "root_radius_m", (0.0, 1e3)),
    (StayPair, PAIR, "preload_n", (0.0, 1e6)),
    (
        wire_drag,
        {"line": StayLine(length_m=0.25, direction=(0.0, 0.0, 1.0)), "diameter_m": 0.0015},
        "pressure_pa",
        (0.0, 1e7),
    ),
    (
        ring_response,
        {"lattice": fin_lattice(SQUARE, across=4, along=3)},
        "reduced_frequency",
        (0.0, 1e3),
    ),
    (preload_left, {"stack": Stack(wall_ea_n=2.0e6, rod_ea_n=6.0e6)}, "wall_creep", (0.0, 1e3)),
]


@pytest.mark.parametrize(
    ("formula", "given", "name", "ends"), RANGES, ids=[f"{row[0].__name__}-{row[2]}" for row in RANGES]
)
def test_a_number_is_taken_up_to_both_ends(
    formula: Callable[..., Any], given: dict[str, Any], name: str, ends: tuple[float, float]
) -> None:
    taken, refused = within(*ends)
    for number in taken:
        formula(**{**given, name: number})
    for number in refused:
        if math.isinf(number):
            continue
        with pytest.raises(OutsideRange, match=re.escape(f"{name} = ")):
            formula(**{**given, name: number})


def test_a_wall_is_no_thicker_than_a_quarter_of_its_tube_and_no_thinner_than_a_part_in_1500() -> None:
    hoop_stress(1e5, 0.1, 0.025)
    with pytest.raises(OutsideRange, match="wall_m"):
        hoop_stress(1e5, 0.1, 0.0251)
    round_wall_buckling_stress(2e9, 0.001, 1.5)
    with pytest.raises(OutsideRange, match="radius_over_wall"):
        round_wall_buckling_stress(2e9, 0.001, 1.501)


def test_temperatures_are_those_of_plastics() -> None:
    for low, high in ((200.0, 600.0), (600.0, 200.0)):
        softening_margin(exact(low), exact(high))
    for number in (199.9, 600.1):
        with pytest.raises(OutsideRange, match="glass_transition_k"):
            softening_margin(exact(number), exact(300.0))
        with pytest.raises(OutsideRange, match="surface_k"):
            softening_margin(exact(300.0), exact(number))


def test_a_lattice_has_one_to_sixty_panels_either_way() -> None:
    for across, along in ((1, 60), (2, 1)):
        fin_lattice(SQUARE, across=across, along=along)
    for across, along in ((0, 4), (4, 0), (61, 1), (1, 61)):
        with pytest.raises(OutsideRange):
            fin_lattice(SQUARE, across=across, along=along)
