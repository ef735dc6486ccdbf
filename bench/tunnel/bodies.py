"""Bodies of the validation: closed solids in widths, tip at 0, drawn with NumPy alone.

Fins are plates of their own that reach into the body: the tunnel takes a cell as inside where any solid
winds round it. Fins and towers are invented; hull, capsule and ogive-cylinder are drawn from the dimensions
of their reports, as in ``tests/published``.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np

from finial.tunnel.plates import LEAST_CELLS
from finial.tunnel.records import TunnelShape

ROUND = 96
"""Sides of what is round."""


@dataclass(frozen=True, kw_only=True)
class Body:
    """A body with what its coefficients refer to."""

    shape: TunnelShape
    area: float
    """Reference area, in widths squared."""
    centre: float
    """Station that its moments are measured about, in widths."""


def joined(*solids):
    """Make one list of triangles of several."""
    offsets = np.cumsum([0, *(len(points) for points, _ in solids)])
    points = np.concatenate([points for points, _ in solids])
    triangles = [faces + offset for (_, faces), offset in zip(solids, offsets[:-1], strict=True)]
    return points, np.concatenate(triangles)


def lofted(rings):
    """Close rings of as many points each, tip to tail: sides between them, a fan over either end.

    A ring runs from a to b, counter-clockwise seen from the tail.
    """
    count = len(rings[0])
    points = np.concatenate([*rings, [rings[0].mean(axis=0), rings[-1].mean(axis=0)]])
    here, onward = np.arange(count), np.roll(np.arange(count), -1)
    faces = []
    for number in range(len(rings) - 1):
        fore, aft = number * count, (number + 1) * count
        faces += [
            np.column_stack([fore + here, aft + here, aft + onward])[:, ::-1],
            np.column_stack([fore + here, aft + onward, fore + onward])[:, ::-1],
        ]
    nose, tail = len(points) - 2, len(points) - 1
    last = (len(rings) - 1) * count
    faces.append(np.column_stack([np.full(count, nose), onward, here]))
    faces.append(np.column_stack([np.full(count, tail), last + here, last + onward]))
    return points, np.concatenate(faces)


def ring(station, outline):
    """Lay a flat outline at a station."""
    return np.column_stack([np.full(len(outline), station), outline])


def circle(radius):
    """Draw a circle."""
    turn = 2 * np.pi * np.arange(ROUND) / ROUND
    return radius * np.column_stack([np.cos(turn), np.sin(turn)])


def square(side, corner=0.0):
    """Draw a square, its corners rounded by a radius."""
    if corner == 0.0:
        return 0.5 * side * np.array([[1.0, 1.0], [-1.0, 1.0], [-1.0, -1.0], [1.0, -1.0]])
    turn = np.linspace(0.0, np.pi / 2, 12)
    arc = corner * np.column_stack([np.cos(turn), np.sin(turn)]) + 0.5 * side - corner
    quarter = np.array([[0.0, -1.0], [1.0, 0.0]])
    return np.concatenate([arc @ np.linalg.matrix_power(quarter.T, turns) for turns in range(4)])


def turned(profile: Sequence[tuple[float, float]]):
    """Turn a profile of stations and diameters about the axis."""
    return lofted([ring(x, circle(max(diameter, 1e-6) / 2)) for x, diameter in profile])


def prism(length, corner=0.0):
    """Draw a square prism of side 1."""
    return lofted([ring(0.0, square(1.0, corner)), ring(length, square(1.0, corner))])


def prism_with_rounded_front(length, radius):
    """Draw a square prism whose front edge is rounded, its long edges sharp."""
    turn = np.linspace(0.0, np.pi / 2, 16)
    rounded = [
        ring(radius * (1 - np.cos(each)), square(1.0 - 2 * radius * (1 - np.sin(each)))) for each in turn
    ]
    return lofted([*rounded, ring(length, square(1.0))])


def fin(outline, station, root, roll, thickness):
    """Draw a plate with square edges; its root reaches half a radius into the body."""
    deep = -0.5 * root
    flat = np.array([(outline[0][0], deep), *outline, (outline[-1][0], deep)])
    half = 0.5 * thickness
    corners = np.column_stack([station + flat[:, 0], root + flat[:, 1], np.zeros(len(flat))])
    turn = np.array([[1, 0, 0], [0, np.cos(roll), -np.sin(roll)], [0, np.sin(roll), np.cos(roll)]])
    rings = [corners + np.array([0.0, 0.0, side]) for side in (-half, half)]
    points, faces = lofted(rings)
    return outward(points @ turn.T, faces)


def outward(points, faces):
    """Turn a solid's triangles so that they look outward: by the sign of its volume."""
    a, b, c = (points[faces[:, corner]] for corner in range(3))
    volume = np.einsum("ij,ij->i", a, np.cross(b, c)).sum()
    return points, faces if volume > 0 else faces[:, ::-1]


FIN = ((0.0, 0.0), (0.3, 0.7), (0.9, 0.7), (0.8, 0.0))
"""Invented: that of the page on shapes."""
LARGER_FIN = ((0.0, 0.0), (0.3, 1.0), (0.9, 1.0), (0.8, 0.0))


def finned_prism(length, outline=FIN, *, thickness=0.04):
    """Draw a square prism with four fins on the middles of its faces, flush with its tail."""
    fins = [fin(outline, length - 0.8, 0.5, quarter * np.pi / 2, thickness) for quarter in range(4)]
    return joined(prism(length), *fins)


def ball():
    """Draw a sphere."""
    turn = np.linspace(0.0, np.pi, 49)
    return turned([(0.5 - 0.5 * np.cos(each), np.sin(each)) for each in turn])


def half_ball(*, flat_first):
    """Draw a solid hemisphere."""
    turn = np.linspace(0.0, np.pi / 2, 25)
    dome = [(0.5 - 0.5 * np.cos(each), np.sin(each)) for each in turn]
    return turned([(0.5 - x, d) for x, d in reversed(dome)] if flat_first else dome)


def cone(apex_deg):
    """Draw a cone with a flat base, tip first."""
    return turned([(0.0, 0.0), (0.5 / np.tan(np.radians(apex_deg / 2)), 1.0)])


def flat_plate(span, *, thickness=0.026):
    """Draw a rectangular plate of chord 1 along the stations, thin along a, its edges square."""
    flat = np.array([(0.0, -0.5), (1.0, -0.5), (1.0, 0.5), (0.0, 0.5)]) * [1.0, span]
    corners = np.column_stack([flat[:, 0], np.zeros(4), flat[:, 1]])
    half = np.array([0.0, 0.5 * thickness, 0.0])
    return outward(*lofted([corners - half, corners + half]))


HULL_RADIUS = 5.0 / 6.0
"""Largest radius of the hull [ft]."""


def hull_radius(x):
    """Radius of DARPA SUBOFF (Groves, Huang, Chang, DTRC/SHD-1298-01, 1989, table 1) [ft]."""
    if x < 3.333333:
        a, b = 0.3 * x - 1.0, 1.2 * x + 1.0
        inside = 1.126395101 * x * a**4 + 0.442874707 * x**2 * a**3 + 1.0 - a**4 * b
        return HULL_RADIUS * max(inside, 0.0) ** (1 / 2.1)
    if x <= 10.645833:
        return HULL_RADIUS
    if x > 13.979167:
        return 0.1175 * HULL_RADIUS * max(1.0 - (3.2 * x - 44.733333) ** 2, 0.0) ** 0.5
    s, r, k0, k1 = (13.979167 - x) / 3.333333, 0.1175, 10.0, 44.6244
    rest = r * k0 * s**2 + (20 - 20 * r**2 - 4 * r * k0 - k1 / 3) * s**3
    rest += (-45 + 45 * r**2 + 6 * r * k0 + k1) * s**4
    rest += (36 - 36 * r**2 - 4 * r * k0 - k1) * s**5 + (-10 + 10 * r**2 + r * k0 + k1 / 3) * s**6
    return HULL_RADIUS * (r**2 + rest) ** 0.5


def hull():
    """Draw the hull, in its own diameters."""
    bow = 3.333 * (1 - np.cos(np.linspace(0.0, np.pi / 2, 25)))
    rest = [np.linspace(3.4, 10.6, 10), np.linspace(10.7, 13.97, 40), np.linspace(13.98, 14.2916, 12)]
    wide = 2 * HULL_RADIUS
    return turned([(x / wide, 2 * hull_radius(x) / wide) for x in np.concatenate([bow, *rest])])


def ogive_cylinder():
    """Draw Ferris's rocket, the short model (NASA TN D-4013, 1967): lengths second-hand, a tangent ogive."""
    length, nose, tail, end = 18.20, 4.711, 17.40, 1.52 / 2.25
    ogive = nose * (1 - np.cos(np.linspace(0.0, np.pi / 2, 30)))
    bow = nose**2 + 0.25
    radii = 0.5 - bow + np.sqrt(bow**2 - (nose - ogive) ** 2)
    return turned([*zip(ogive, 2 * radii, strict=True), (tail, 1.0), (length, end)])


def finned_ogive_cylinder(*, thickness=0.03):
    """Draw the same with its four fins, read off photographs."""
    outline = ((0.0, 0.0), (0.63, 0.94), (1.53, 0.94), (1.53, 0.0))
    fins = [fin(outline, 18.20 - 1.53, 0.5, quarter * np.pi / 2, thickness) for quarter in range(4)]
    return joined(ogive_cylinder(), *fins)


DISC = np.pi / 4
BODIES: dict[str, tuple[Callable, float, float]] = {
    **{f"prism {length}": (partial(prism, length), 1.0, 0.0) for length in (1, 2, 4, 7, 10)},
    **{f"finned prism {length}": (partial(finned_prism, length), 1.0, 0.0) for length in (1, 2, 4, 7, 10)},
    "larger finned prism 7": (partial(finned_prism, 7, LARGER_FIN), 1.0, 0.0),
    "prism 4 rounded front": (partial(prism_with_rounded_front, 4, 0.2), 1.0, 0.0),
    # Across the wind their coefficients go with the side that they show.
    "square across": (partial(prism, 10), 10.0, 0.0),
    "rounded square across": (partial(prism, 10, 0.17), 10.0, 0.0),
    "diamond across": (partial(prism, 10), 10.0 * 2**0.5, 0.0),
    **{
        f"cylinder {length:g}": (partial(turned, [(0.0, 1.0), (length, 1.0)]), DISC, 0.0)
        for length in (0.5, 1, 2, 4, 7, 8)
    },
    "disk": (partial(turned, [(0.0, 1.0), (0.05, 1.0)]), DISC, 0.0),
    "sphere": (ball, DISC, 0.0),
    "hemisphere round": (partial(half_ball, flat_first=False), DISC, 0.0),
    "hemisphere flat": (partial(half_ball, flat_first=True), DISC, 0.0),
    **{f"cone {apex}": (partial(cone, apex), DISC, 0.0) for apex in (30, 60, 90)},
    "plate": (partial(flat_plate, 2.0), 2.0, 0.0),
    "hull": (hull, DISC, 6.6042 / (2 * HULL_RADIUS)),
    "capsule": (partial(cone, 66), DISC, 0.0),
    "ogive-cylinder": (ogive_cylinder, DISC, 12.75),
    "finned ogive-cylinder": (finned_ogive_cylinder, DISC, 12.75),
}
"""How each is drawn, its reference area, and the station that its moments are about."""


THICKNESSES = {
    **{f"finned prism {length}": 0.04 for length in (1, 2, 4, 7, 10)},
    **{"larger finned prism 7": 0.04, "plate": 0.026, "finned ogive-cylinder": 0.03},
}
"""Of plates, in widths: drawn thicker where they are thinner than a lattice bears."""


def body(name: str, cells: float = np.inf) -> Body:
    """Draw a body by name, its plates no thinner than a lattice of so many cells to a width bears."""
    draw, area, centre = BODIES[name]
    thin = {"thickness": max(THICKNESSES[name], LEAST_CELLS / cells)} if name in THICKNESSES else {}
    points, triangles = draw(**thin)
    return Body(
        shape=TunnelShape(points_m=points, triangles=triangles.astype(np.int64)), area=area, centre=centre
    )
