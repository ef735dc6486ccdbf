"""Shapes that the air tests share."""

from collections.abc import Callable, Sequence

import numpy as np
import pytest

from finial.aero.band.load_parts import DoubtfulForce
from finial.aero.body import BodyAir, body_air
from finial.aero.sections.outlines import ellipse, regular_polygon, tapered_skin
from finial.shape.fin_set import FinSet

STRAIGHT = [(0.0, 0.0), (0.3, 0.1), (1.0, 0.1)]
LIGHTHOUSE = [
    (0.0, 0.02),
    (0.06, 0.15),
    (0.06, 0.118),
    (0.156, 0.118),
    (0.156, 0.17),
    (0.17, 0.17),
    (0.17, 0.11),
    (0.9, 0.15),
    (1.2, 0.15),
]
"""An invented lighthouse: roof, lantern room, gallery, flaring tower."""


@pytest.fixture(scope="session")
def cone_cylinder() -> BodyAir:
    return body_air(tapered_skin(lambda d: ellipse(d / 2, d / 2), STRAIGHT))


@pytest.fixture(scope="session")
def square_tower() -> BodyAir:
    return body_air(tapered_skin(lambda d: regular_polygon(4, d, np.pi / 4), STRAIGHT))


@pytest.fixture(scope="session")
def lighthouse() -> BodyAir:
    return body_air(tapered_skin(lambda d: regular_polygon(8, d, np.pi / 8), LIGHTHOUSE))


@pytest.fixture(scope="session")
def four_fins() -> Callable[..., FinSet]:
    def make(station_m: float = 0.82, root_radius_m: float = 0.05, **other: object) -> FinSet:
        outline = np.array([[0.0, 0.0], [0.09, 0.11], [0.18, 0.11], [0.18, 0.0]])
        usual = {
            "name": "fins",
            "outline_m": outline,
            "count": 4,
            "first_at_rad": 0.0,
            "thickness_m": 0.003,
        }
        return FinSet(station_m=station_m, root_radius_m=root_radius_m, **{**usual, **other})  # type: ignore[arg-type]

    return make


@pytest.fixture(scope="session")
def place_of() -> Callable[..., np.ndarray]:
    """Place for one choice of factors, by definition: moment over force, or over 0.5 where that is less."""

    def place(parts: Sequence[DoubtfulForce], factors: Sequence[float], about_m: float) -> np.ndarray:
        force = sum(k * part.force for part, k in zip(parts, factors, strict=True))
        moment = sum(k * (part.moment - about_m * part.force) for part, k in zip(parts, factors, strict=True))
        return moment / np.maximum(force, 0.5) + about_m

    return place
