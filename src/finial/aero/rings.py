"""Rings round the body that the air flows through: ring wings by their published slope."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from finial.aero.plates.lattice import lattice_lift
from finial.aero.plates.plate_lift import diederich_slope
from finial.aero.sections.added_mass import added_mass_tensor
from finial.core.errors import OutsideRange
from finial.shape.skin import Ring

RING_FACTOR = (0.75, 0.95, 1.1)
"""Force of a ring round a body over this method; bare rings lie within 10 % (see ``ring_air``)."""
DUCT_FACTOR = (0.0, 0.9, 1.1)
"""Of a duct through the body: what stands in it, or blows at its end, may keep the air out of it."""
RING_ACROSS = (0.75, 1.0, 1.25)
_WALL_DRAG = 1.2
"""Cross drag of one wall on the side it shows: a circle's, since nothing better is known."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RingAir:
    """Air loads of one ring with what it induces on the body inside."""

    ring: Ring
    slope_per_rad: NDArray[np.float64]
    """Normal force slope on the vehicle's reference area at Mach 0, shape (2, 2) [1/rad]."""
    aspect_ratio: float
    """Width over chord [-]."""
    centre_m: float
    """Station of the force at small angles [m]."""
    broadside_m: float
    side_area_m2: float
    """Area shown to a cross wind [m^2]."""

    @property
    def width_m(self) -> float:
        """Diameter of a circle of the outer outline's area [m]."""
        return float(np.sqrt(4.0 * self.ring.outer_m2 / np.pi))

    @property
    def wall_m(self) -> float:
        """Mean thickness of its walls and struts: their section over the chord's share of both walls [m]."""
        return 2.0 * self.ring.wall_m2 * self.ring.chord_m / self.ring.wetted_m2

    @property
    def factors(self) -> tuple[float, float, float]:
        """Low, central and high end of its force over this method [-]."""
        return DUCT_FACTOR if self.ring.within else RING_FACTOR

    @property
    def felt_slope_per_rad(self) -> NDArray[np.float64]:
        """Central guess of the slope at small angles and Mach 0, shape (2, 2) [1/rad]."""
        return self.factors[1] * self.slope_per_rad


def ring_air(ring: Ring, reference_area_m2: float) -> RingAir:
    r"""Lift of a ring wing with a body inside.

    .. math::  C_{N\alpha} = \frac{2 (A_{outer} + S_{open} I - S_{inside} I)}{S} \,
               \frac{C_{L\alpha}(AR)}{\pi AR / 2}, \qquad AR = \frac{d}{c}

    Parameters
    ----------
    ring : Ring
        Outer outline, chord, open and inner areas [m, m^2].
    reference_area_m2 : float
        Vehicle reference area, :math:`S` [m^2].

    Returns
    -------
    air : RingAir
        Slope [1/rad] and stations [m].

    Raises
    ------
    OutsideRange
        If the ring has no chord, or the reference area is not positive.
    MeshError
        If its outline has no size.

    Notes
    -----
    Slender-body theory: the outside moves its added mass and the air inside goes along, less what the
    body there moves by itself. Without a body that is twice a flat wing of the same width and chord, as
    was measured on five rings of aspect ratio 1/3 to 3; their centre lay where that of a flat wing
    does. A body inside is taken as round. Struts carry nothing. A duct through the body turns the air
    inside it alone, a long one at its mouth. Range: walls thinner than an eighth
    of the width; with a body inside, within a quarter.

    References
    ----------
    .. [1] H. S. Fletcher, NACA TN 4117, 1957: twice the slope of a plane unswept airfoil (summary seen).
    .. [2] H. S. Ribner, The ring airfoil in nonaxial flow, J. Aeronautical Sciences 14, 1947 (from memory).

    Examples
    --------
    A bare ring as long as it is wide: twice the square plate, 1.46 on width times chord.

    >>> from finial.aero.sections.outlines import ellipse
    >>> ring = Ring(station_m=0.0, chord_m=1.0, loops=(ellipse(0.5, 0.5),), outer_m2=np.pi / 4,
    ...             open_m2=np.pi / 4, inside_m2=0.0, wall_m2=0.01, wetted_m2=2 * np.pi)
    >>> round(float(ring_air(ring, 1.0).slope_per_rad[0, 0]), 2)
    2.92
    """
    if not (ring.chord_m > 0 and reference_area_m2 > 0):
        raise OutsideRange("a ring needs a chord, and a reference area to stand on")
    width = float(np.sqrt(4.0 * ring.outer_m2 / np.pi))
    ratio = width / ring.chord_m
    plate = lattice_lift(_half_plate(width, ring.chord_m))
    outside = np.zeros((2, 2)) if ring.within else added_mass_tensor(ring.loops)
    gained = outside + (ring.open_m2 - ring.inside_m2) * np.eye(2)
    efficiency = plate.slope_per_rad / (np.pi * ratio / 2)
    return RingAir(
        ring=ring,
        slope_per_rad=2.0 * gained / reference_area_m2 * efficiency,
        aspect_ratio=ratio,
        centre_m=ring.station_m + plate.centre_aft_m,
        broadside_m=ring.station_m + ring.chord_m / 2,
        side_area_m2=0.0 if ring.within else 2.0 * width * ring.chord_m,
    )


def _half_plate(width_m: float, chord_m: float) -> NDArray[np.float64]:
    """Half of a rectangular wing as a fin's outline."""
    return np.array([[0.0, 0.0], [0.0, width_m / 2], [chord_m, width_m / 2], [chord_m, 0.0]])


def ring_forces(
    air: RingAir,
    reference_area_m2: float,
    alpha_rad: NDArray[np.float64],
    toward: NDArray[np.float64],
    mach: ArrayLike = 0.0,
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    r"""Lift of a ring and its drag across, both over sin(alpha).

    .. math::  N_l = C_{N\alpha} |\cos\alpha|, \qquad N_d = 1.2 \sin\alpha \, \frac{2 d c}{S}

    Parameters
    ----------
    air : RingAir
    reference_area_m2 : float
        Vehicle reference area [m^2].
    alpha_rad : ndarray, shape (a,)
        Angle of attack, 0 to pi [rad].
    toward : ndarray, shape (r, 2)
        Unit vectors of the cross wind [-].
    mach : array_like, shape ()
        One Mach number, 0 to 0.9 [-].

    Returns
    -------
    lift, across : ndarray, shape (a, r)
        On the vehicle's reference area [-].

    Raises
    ------
    OutsideRange
        Above Mach 0.9.

    Notes
    -----
    Stall is not in it: rings of low aspect ratio keep their lift to 20 degrees and more. Expect a
    quarter, beyond 20 degrees more.

    References
    ----------
    .. [1] H. S. Fletcher, NACA TN 4117, 1957 (summary seen).

    Examples
    --------
    >>> from finial.aero.sections.outlines import ellipse
    >>> ring = Ring(station_m=0.0, chord_m=1.0, loops=(ellipse(0.5, 0.5),), outer_m2=np.pi / 4,
    ...             open_m2=np.pi / 4, inside_m2=0.0, wall_m2=0.01, wetted_m2=2 * np.pi)
    >>> wind = np.radians([0.0, 90.0]), np.array([[1.0, 0.0]])
    >>> lift, across = ring_forces(ring_air(ring, 1.0), 1.0, *wind)
    >>> lift.round(2).tolist(), across.round(2).tolist()
    ([[2.92], [0.0]], [[0.0], [2.4]])
    """
    alpha = np.reshape(alpha_rad, (-1, 1))
    rise = diederich_slope(air.aspect_ratio, 0.0, mach) / diederich_slope(air.aspect_ratio, 0.0)
    along = np.einsum("ri,ij,rj->r", toward, air.slope_per_rad, toward) * rise
    lift = along * np.abs(np.cos(alpha))
    across = _WALL_DRAG * air.side_area_m2 / reference_area_m2 * np.sin(alpha) * np.ones_like(along)
    return lift, across
