"""The skin the air sees, as a stack of plane sections along the axis."""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from finial.shape.apart import around_posts_m2

Loop = NDArray[np.float64]
"""A closed outline in the body y-z plane [m], shape (n, 2), first point not repeated, counter-clockwise."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """One plane cut: the outer outlines of everything at this station.

    ``loops`` holds outer outlines only: cavities and overlaps are gone. Two towers
    side by side give two loops.
    """

    station_m: float
    loops: tuple[Loop, ...]
    area_m2: float
    perimeter_m: float
    centroid_m: tuple[float, float]
    """Area centroid (y, z) [m]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ring:
    """A wall that stands round the body, or beside it, with air flowing through."""

    station_m: float
    chord_m: float
    loops: tuple[Loop, ...]
    """Its outer outline, halfway along."""
    outer_m2: float
    """Area inside that outline [m^2]."""
    open_m2: float
    """Part of it that the air flows through [m^2]."""
    inside_m2: float
    """Part of it that the body inside takes [m^2]."""
    wall_m2: float
    """Section of its wall and struts, what they show the air from ahead [m^2]."""
    wetted_m2: float
    """Both walls, and both sides of its struts [m^2]."""
    within: bool = False
    """True for a duct through the body: its outside is the body's, and the air inside alone is its own."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Skin:
    """Sections from tip (station 0) to base, and the totals drawn from them; equal only to itself.

    A sharp step is two sections, one just before and one just after it.
    """

    sections: tuple[Section, ...]
    length_m: float
    volume_m3: float
    """Volume inside the outer outline [m^3]: cavities count as full."""
    wetted_area_m2: float
    """Area of the outer surface without the aft-facing base [m^2]."""
    notes: tuple[str, ...] = ()
    """What was repaired or could not be, in the builder's words."""
    bridged_share: float = 0.0
    """Largest share of one outline that had to be closed by straight lines [-]; 0 for closed meshes."""
    rings: tuple[Ring, ...] = ()
    """Rings that were taken off the sections."""
    leaning_m: tuple[tuple[float, float], ...] = ()
    """Stretches that one flat face or ridge takes up which leans a little: first and last station [m]."""

    stations_m: NDArray[np.float64] = field(init=False, repr=False)
    """Stations of the sections [m], shape (n,)."""
    areas_m2: NDArray[np.float64] = field(init=False, repr=False)
    """Section areas [m^2], shape (n,)."""
    perimeters_m: NDArray[np.float64] = field(init=False, repr=False)
    """Lengths of the sections' outlines [m], shape (n,)."""
    breadth_m: float = field(init=False, repr=False)
    """What margins are told in [m]: the width, of a lattice that of what stands round its posts."""

    def __post_init__(self) -> None:
        """Lay the sections' numbers out as arrays, which are asked for far more often than made."""
        names = {"stations_m": "station_m", "areas_m2": "area_m2", "perimeters_m": "perimeter_m"}
        for name, each in names.items():
            array = np.array([getattr(section, each) for section in self.sections], dtype=float)
            array.flags.writeable = False
            object.__setattr__(self, name, array)
        around = around_posts_m2(self.stations_m, [section.loops for section in self.sections])
        breadth = float(np.sqrt(4.0 * max(self.reference_area_m2, around) / np.pi))
        object.__setattr__(self, "breadth_m", breadth)

    @property
    def reference_area_m2(self) -> float:
        """Largest section area [m^2]: the reference area of every vehicle coefficient."""
        return float(self.areas_m2.max())

    @property
    def width_m(self) -> float:
        """Diameter of a circle of the reference area [m]: the reference length."""
        return float(np.sqrt(4.0 * self.reference_area_m2 / np.pi))

    @property
    def base_area_m2(self) -> float:
        """Area of the last section [m^2]."""
        return self.sections[-1].area_m2
