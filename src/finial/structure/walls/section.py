"""A cut through walls and rods together: stiffness, and who carries what."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from finial.core.doors import require_positive
from finial.core.errors import OutsideRange
from finial.core.frames import evenly_round
from finial.structure.walls.outline import WallArea


@dataclass(frozen=True, slots=True, kw_only=True)
class SectionResponse:
    """How a section answers a unit of axial force and of bending, at the worst roll angle."""

    wall_ea_n: float
    """Axial stiffness of walls and infill [N]."""
    rod_ea_n: float
    centre_m: tuple[float, float]
    """Elastic centre (y, z) [m]."""
    bending_n_m2: NDArray[np.float64]
    """Bending stiffness about the elastic centre [N m^2], shape (2, 2)."""
    wall_strain_per_n_m: float
    """Largest strain of the walls per bending moment [1/(N m)]."""
    rod_strain_per_n_m: float

    @property
    def ea_n(self) -> float:
        """Axial stiffness of the whole section [N]."""
        return self.wall_ea_n + self.rod_ea_n

    @property
    def rod_share(self) -> float:
        """Share of an axial load that the rods carry [-]."""
        return self.rod_ea_n / self.ea_n

    @property
    def off_axis_m(self) -> float:
        """Distance of the elastic centre from the axis [m]: an axial force on the axis bends by that arm."""
        return float(np.hypot(*self.centre_m))


def rod_circle(count: int, diameter_m: float, first_at_rad: float = 0.0) -> NDArray[np.float64]:
    r"""Positions of rods evenly spaced on a circle about the axis.

    .. math::  (y, z)_i = \tfrac{D}{2} (\cos\phi_i, \sin\phi_i), \qquad \phi_i = \phi_1 + 2 \pi i / n

    Parameters
    ----------
    count : int
        Number of rods.
    diameter_m : float
        Diameter of the circle [m].
    first_at_rad : float
        Roll angle of the first, from body y towards body z [rad].

    Returns
    -------
    positions_m : ndarray, shape (count, 2)
        Positions (y, z) [m].

    Raises
    ------
    OutsideRange
        If the count is not above zero, or the diameter of several rods is not.

    Notes
    -----
    Range: any count; one rod stands at the first angle, or on the axis when the diameter is zero.

    References
    ----------
    .. [1] Plain geometry.

    Examples
    --------
    >>> rod_circle(2, 0.1).round(3).tolist()
    [[0.05, 0.0], [-0.05, 0.0]]
    """
    require_positive(count=count)
    if count > 1 or diameter_m < 0:
        require_positive(diameter_m=diameter_m)
    angles = np.array(evenly_round(count, first_at_rad))
    return diameter_m / 2 * np.column_stack([np.cos(angles), np.sin(angles)])


def section_response(
    wall: WallArea | None,
    wall_modulus_pa: float,
    rod_positions_m: ArrayLike = (),
    rod_area_m2: float = 0.0,
    rod_modulus_pa: float = 0.0,
) -> SectionResponse:
    r"""Stiffness of walls and rods that stretch and bend as one.

    .. math::
        EA = E_w A_w + n E_r A_r, \qquad J = \int E \, r r^T dA, \qquad
        \max_\phi \epsilon = M \, \max_p |J^{-1} r_p|

    with :math:`r` from the elastic centre and the last over every direction of the moment.

    Parameters
    ----------
    wall : WallArea or None
        Walls and infill, ``None`` where rods stand alone.
    wall_modulus_pa : float
        Young's modulus of the print along the axis [Pa].
    rod_positions_m : array_like, shape (n, 2)
        Rod positions (y, z) [m].
    rod_area_m2, rod_modulus_pa : float
        Stress area [m^2] and Young's modulus [Pa] of each rod.

    Returns
    -------
    response : SectionResponse
        Stiffness and strain per load.

    Raises
    ------
    OutsideRange
        If nothing is there to carry load, or what is there cannot carry bending every way.

    Notes
    -----
    Holds while plane sections stay plane: rods held by the walls, joints closed, strains below yield.

    References
    ----------
    .. [1] Transformed section of a composite beam: Gere and Timoshenko, Mechanics of Materials, chapter 6.

    Examples
    --------
    >>> from finial.structure.walls.outline import wall_area
    >>> box = np.array([[-0.05, -0.05], [0.05, -0.05], [0.05, 0.05], [-0.05, 0.05]])
    >>> rods = rod_circle(4, 0.08)
    >>> round(section_response(wall_area([box], 0.003), 2.3e9, rods, 20.1e-6, 205e9).rod_share, 3)
    0.86
    """
    rods = np.asarray(rod_positions_m, dtype=float).reshape(-1, 2)
    each = rod_area_m2 * rod_modulus_pa
    if len(rods):
        require_positive(rod_area_m2=rod_area_m2, rod_modulus_pa=rod_modulus_pa)
    if wall is not None:
        require_positive(wall_modulus_pa=wall_modulus_pa)
    wall_ea = float(wall_modulus_pa * wall.area_m2) if wall else 0.0
    rod_ea = float(each * len(rods))
    require_positive(axial_stiffness_n=wall_ea + rod_ea)
    first = each * rods.sum(axis=0) + (wall_modulus_pa * wall.first_m3 if wall else 0.0)
    centre = first / (wall_ea + rod_ea)
    second = each * rods.T @ rods + (wall_modulus_pa * wall.second_m4 if wall else 0.0)
    stiffness = second - (wall_ea + rod_ea) * np.outer(centre, centre)
    ends = np.linalg.eigvalsh(stiffness)
    if ends[0] <= 1e-9 * ends[1]:
        raise OutsideRange("the section cannot carry bending every way: rods alone need three, not in a row")
    return SectionResponse(
        wall_ea_n=wall_ea,
        rod_ea_n=rod_ea,
        centre_m=(float(centre[0]), float(centre[1])),
        bending_n_m2=stiffness,
        wall_strain_per_n_m=_strain(stiffness, wall.rim_m - centre) if wall else 0.0,
        rod_strain_per_n_m=_strain(stiffness, rods - centre),
    )


def _strain(stiffness: NDArray[np.float64], arms: NDArray[np.float64]) -> float:
    """Largest strain per moment over points and directions of the moment."""
    if not len(arms):
        return 0.0
    return float(np.linalg.norm(np.linalg.solve(stiffness, arms.T), axis=0).max())


def rods_alone_strain(rod_positions_m: ArrayLike) -> float:
    r"""Tension in the hardest pulled rod per bending moment, when rods alone hold a joint shut.

    .. math::  F / M = \max_i |J^{-1} r_i|, \qquad J = \sum r r^T

    Parameters
    ----------
    rod_positions_m : array_like, shape (n, 2)
        Rod positions (y, z) [m], three or more not in a row.

    Returns
    -------
    pull_per_moment : float
        Tension over moment [1/m]; n rods on a circle of radius R give 2 / (n R).

    Raises
    ------
    OutsideRange
        If the rods cannot carry bending every way.

    Notes
    -----
    Range: an upper bound. Walls that press on the far side of an open joint take part of the moment and
    leave the rods less; rods that yield share more evenly.

    References
    ----------
    .. [1] Bolt groups under moment: Shigley, Mechanical Engineering Design, bolted joints; from memory.

    Examples
    --------
    >>> round(rods_alone_strain(rod_circle(4, 0.1)), 9)
    10.0
    """
    return section_response(None, 0.0, rod_positions_m, 1.0, 1.0).rod_strain_per_n_m
