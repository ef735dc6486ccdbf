"""Pieces on cords after a separation: what they are, before anything moves.

Everything happens in one plane, the plane of the flight at the event: ``x`` runs along the
ground, ``z`` up, in axes that drift with the wind, so the air stands still. A piece's axis
points to its own fore end; ``along`` is measured on it, ``across`` to the left of it.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.core.constants import STANDARD_GRAVITY_M_S2
from finial.core.doors import require_not_negative, require_positive
from finial.core.errors import OutsideRange


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """A rigid piece, or a point when its inertia is zero."""

    name: str
    mass_kg: float
    inertia_kg_m2: float = 0.0
    """About the balance point, across the plane [kg m^2]; 0 for a point."""
    fore_m: float = 0.0
    """From the balance point to the fore end [m]."""
    aft_m: float = 0.0
    radius_m: float = 0.0
    end_on_area_m2: float = 0.0
    """Drag area against air along its axis [m^2]."""
    side_on_area_m2: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Tie:
    """Where on a piece a line is tied."""

    piece: int
    along_m: float = 0.0
    across_m: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Mouth:
    """Open end of the tube that a line comes out of; its two lips stand ``radius_m`` off the axis."""

    along_m: float
    """From the balance point of the piece [m], positive towards its fore end."""
    radius_m: float
    towards_fore: bool
    """Which way the tube opens."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TetherLine:
    """A cord, or the lines of a canopy: pulls when stretched, never pushes."""

    name: str
    first: Tie
    second: Tie
    length_m: float
    load_per_stretch_n: float
    """Load over stretch as a share of the length [N]: breaking load over stretch at break."""
    loss: float = 0.0
    """Load grows by this share at the fastest stretching of a pull, and falls in the return [-]."""
    mouth: Mouth | None = None
    """Mouth of the first piece that the line passes; ``None`` if it is tied outside."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Filling:
    """A canopy that fills once its lines are stretched, by the distance it has flown since."""

    piece: int
    line: int
    """The line whose first pull begins it."""
    bundle_area_m2: float
    full_area_m2: float
    distance_m: float
    """Filling distance [m]: fill constant times nominal diameter."""
    growth_exponent: float = 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """All pieces, lines and canopies of one separation, and the air."""

    pieces: tuple[Piece, ...]
    lines: tuple[TetherLine, ...]
    fillings: tuple[Filling, ...] = ()
    density_kg_m3: float = 0.0
    gravity_m_s2: float = STANDARD_GRAVITY_M_S2


@dataclass(frozen=True, slots=True, kw_only=True)
class TetherStart:
    """Where each piece is, how it lies and how it moves at the start; one row a piece."""

    places_m: NDArray[np.float64]
    """(b, 2) x and z of the balance points [m]."""
    angles_rad: NDArray[np.float64]
    """(b,) of the axis above the horizontal [rad]."""
    speeds_m_s: NDArray[np.float64]
    """(b, 2)."""
    rates_rad_s: NDArray[np.float64]
    """(b,)."""


def refuse_bad_scene(scene: Scene, launch: TetherStart) -> None:
    """Refuse a scene that cannot move.

    Parameters
    ----------
    scene : Scene
        Pieces, lines and canopies.
    launch : TetherStart
        How it begins.

    Raises
    ------
    OutsideRange
        If a mass, a length or a stiffness is not positive, a drag area or the density is
        negative, an index points nowhere, or the start has another number of pieces.
    """
    count = len(scene.pieces)
    for piece in scene.pieces:
        require_positive(mass_kg=piece.mass_kg)
        require_not_negative(
            inertia_kg_m2=piece.inertia_kg_m2,
            end_on_area_m2=piece.end_on_area_m2,
            side_on_area_m2=piece.side_on_area_m2,
        )
    for line in scene.lines:
        require_positive(length_m=line.length_m, load_per_stretch_n=line.load_per_stretch_n)
        require_not_negative(loss=line.loss)
    for filling in scene.fillings:
        require_positive(distance_m=filling.distance_m, growth_exponent=filling.growth_exponent)
        require_not_negative(bundle_area_m2=filling.bundle_area_m2, full_area_m2=filling.full_area_m2)
    require_not_negative(density_kg_m3=scene.density_kg_m3)
    ties = [tie.piece for line in scene.lines for tie in (line.first, line.second)]
    if any(not 0 <= index < count for index in (*ties, *(one.piece for one in scene.fillings))):
        raise OutsideRange(f"a line or canopy belongs to a piece beyond the {count} there are")
    if launch.places_m.shape != (count, 2) or launch.angles_rad.shape != (count,):
        raise OutsideRange(f"a start for {len(launch.places_m)} pieces: the scene has {count}")
    everything = (launch.places_m, launch.angles_rad, launch.speeds_m_s, launch.rates_rad_s)
    if not all(np.isfinite(part).all() for part in everything):
        raise OutsideRange("the start holds a number that is not finite")
