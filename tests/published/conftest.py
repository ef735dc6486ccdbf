"""Measured vehicles drawn again from their published dimensions."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import pytest
from bench.tunnel.bodies import HULL_RADIUS, hull_radius

from finial.aero.band.load_parts import Flow
from finial.aero.body import BodyAir, body_air
from finial.aero.fins.on_body import FinAir, fin_air
from finial.aero.sections.outlines import ellipse, tapered_skin
from finial.shape.fin_set import FinSet
from finial.shape.skin import Skin

HULL_FINS_END = 13.146284


def turned(profile: list[tuple[float, float]]) -> Skin:
    """Skin of a body of revolution from stations and diameters."""
    return tapered_skin(lambda across: ellipse(across / 2, across / 2), profile, per_tier=1)


def hull() -> Skin:
    bow = 3.333 * (1 - np.cos(np.linspace(0.0, np.pi / 2, 25)))
    rest = [np.linspace(3.4, 10.6, 10), np.linspace(10.7, 13.97, 40), np.linspace(13.98, 14.2916, 12)]
    return turned([(float(x), 2 * hull_radius(float(x))) for x in np.concatenate([bow, *rest])])


def hull_planes() -> FinSet:
    """Four fins on the hull (the same report, table 3): chord 0.88859 - 0.466308 r, trailing edge unswept."""
    root = hull_radius(12.9)
    chords = [0.88859 - 0.466308 * radius for radius in (root, HULL_RADIUS)]
    ahead, out = chords[0] - chords[1], HULL_RADIUS - root
    return FinSet(
        name="planes",
        outline_m=np.array([[0.0, 0.0], [ahead, out], [chords[0], out], [chords[0], 0.0]]),
        station_m=HULL_FINS_END - chords[0],
        root_radius_m=root,
        count=4,
        first_at_rad=0.0,
        thickness_m=0.2 * sum(chords) / 2,
        square_edges=False,
    )


def bullet(
    length: float, nose: float, ogive_radius: float, boat_tail: tuple[float, float]
) -> Callable[[], Skin]:
    """Tangent ogive, cylinder, boat tail of a length and half angle in degrees; all in calibres."""

    def drawn() -> Skin:
        tail, slope = boat_tail[0], np.tan(np.radians(boat_tail[1]))
        ogive = np.linspace(0.0, nose, 40)
        radii = 0.5 - ogive_radius + np.sqrt(ogive_radius**2 - (nose - ogive) ** 2)
        ends = np.linspace(length - tail, length, 10)
        return turned(
            [
                *((float(x), float(2 * max(r, 0.0))) for x, r in zip(ogive, radii, strict=True)),
                *((float(x), 1.0) for x in np.linspace(nose, length - tail, 8)[1:]),
                *((float(x), float(1 - 2 * (x - ends[0]) * slope)) for x in ends[1:]),
            ]
        )

    return drawn


def ogive_cylinder() -> Skin:
    """Ferris's rocket, the short model, in diameters: lengths second-hand, the ogive a tangent one."""
    length, nose, tail, end = 18.20, 4.711, 17.40, 1.52 / 2.25
    ogive = nose * (1 - np.cos(np.linspace(0.0, np.pi / 2, 30)))
    bow = nose**2 + 0.25
    radii = 0.5 - bow + np.sqrt(bow**2 - (nose - ogive) ** 2)
    narrows = np.linspace(tail, length, 9)[1:]
    return turned(
        [
            *((float(x), float(2 * max(r, 0.0))) for x, r in zip(ogive, radii, strict=True)),
            *((float(x), 1.0) for x in np.linspace(nose, tail, 30)[1:]),
            *((float(x), float(1 - (1 - end) * (x - tail) / (length - tail))) for x in narrows),
        ]
    )


def ogive_cylinder_fins(first_at_rad: float) -> FinSet:
    """Its four fins, read off photographs: swept 34 degrees, trailing edge square to the axis at the base.

    Their edges are taken as thin: fins add 0.065 of drag, of which friction alone makes some 0.04.
    """
    return FinSet(
        name="fins",
        outline_m=np.array([[0.0, 0.0], [0.63, 0.94], [1.53, 0.94], [1.53, 0.0]]),
        station_m=18.20 - 1.53,
        root_radius_m=0.5,
        count=4,
        first_at_rad=first_at_rad,
        thickness_m=0.03,
        square_edges=False,
    )


def capsule() -> Skin:
    """Apollo command module, apex first: a cone of 33 degrees half angle; its rounded corner left out."""
    return tapered_skin(
        lambda across: ellipse(across / 2, across / 2),
        [(0.0, 0.0), (0.5 / np.tan(np.radians(33.0)), 1.0)],
        per_tier=6,
    )


@dataclass(frozen=True, kw_only=True)
class Vehicle:
    """A measured vehicle, in the lengths it was published in."""

    draw: Callable[[], Skin]
    centre: float = 0.0
    """Station that moments are about."""
    reynolds: float = 0.0
    """Reynolds number per length; for bullets, in air at sea level, per Mach number too."""
    bullet: bool = False
    fins: tuple[FinSet, ...] = ()

    @cached_property
    def body(self) -> BodyAir:
        return body_air(self.draw())

    @cached_property
    def fin_loads(self) -> tuple[FinAir, ...]:
        return fin_air(self.body, self.fins)

    def flow(self, mach: float) -> Flow:
        return Flow(mach=mach, reynolds_per_m=self.reynolds * (mach if self.bullet else 1.0))


BLOWN = 3.0e6 * 2.25 / 12
"""Reynolds number of the ogive-cylinder on its diameter: 3.0e6 on a foot, second-hand."""
TOWED = 14e6 / 13.9792
"""Reynolds number of the hull on the length between perpendiculars, 13.9792 ft."""
SEA_LEVEL = 2.33e7
"""Speed of sound over kinematic viscosity [1/m]."""


@pytest.fixture(scope="session")
def vehicles() -> dict[str, Vehicle]:
    """All measured vehicles; the capsule's Reynolds number is not known, any from 1e6 to 1e7 is like it."""
    bullets = {
        "boat-tailed bullet A": (bullet(3.98, 2.26, 7.00, (0.51, 13.0)), 3.98 - 1.539, 7.82e-3),
        "boat-tailed bullet B": (bullet(4.07, 2.76, 8.4, (0.45, 9.75)), 4.07 - 1.52, 5.69e-3),
        "boat-tailed bullet C": (bullet(4.05, 2.71, 7.9, (0.40, 8.50)), 4.05 - 1.54, 5.69e-3),
    }
    return {
        "hull": Vehicle(draw=hull, centre=6.6042, reynolds=TOWED),
        "hull with fins": Vehicle(draw=hull, centre=6.6042, reynolds=TOWED, fins=(hull_planes(),)),
        "capsule": Vehicle(draw=capsule, reynolds=5e6),
        **{
            name: Vehicle(draw=ogive_cylinder, centre=12.75, reynolds=BLOWN, fins=fins)
            for name, fins in (
                ("ogive-cylinder", ()),
                ("ogive-cylinder with fins", (ogive_cylinder_fins(0.0),)),
                ("ogive-cylinder with fins on the diagonal", (ogive_cylinder_fins(np.pi / 4),)),
            )
        },
        "long tube": Vehicle(draw=bullet(21.5, 1.5, 2.5, (0.2, 0.0)), centre=11.5, reynolds=5.6e5),
        **{
            name: Vehicle(draw=drawn, centre=centre, reynolds=SEA_LEVEL * calibre_m, bullet=True)
            for name, (drawn, centre, calibre_m) in bullets.items()
        },
    }
