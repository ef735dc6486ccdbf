"""A fin that bends and twists in the wind: what lift is left, when it runs away, how it is stressed."""

import math
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from finial.core.doors import require_positive
from finial.core.errors import OutsideRange
from finial.core.kept_parts import kept
from finial.structure.bounds import need_finite
from finial.structure.fins.air_states import AirStates, FinSwinging, air_states
from finial.structure.fins.lattice import (
    FinLattice,
    LatticeMotion,
    fin_lattice,
    ring_response,
    swing_loads,
)
from finial.structure.fins.plate_answers import PlateModes, bent_plate, plate_modes, solved
from finial.structure.fins.plate_model import PlateModel, PlateRows, rows_at

MODES = 8
REDUCED_FREQUENCIES = (0.0, 0.02, 0.05, 0.1, 0.15, 0.2, 0.3, 0.4, 0.5, 0.65, 0.8, 1.0, 1.3, 1.6, 2.0)


@dataclass(frozen=True, kw_only=True)
class FinGrid:
    """A lattice over an outline's elements: the same whatever the fin is made of and held by.

    What takes time is worked out when first asked for and kept.
    """

    shape: PlateModel
    """Any plate of these elements."""
    lattice: FinLattice

    @cached_property
    def bound_rows(self) -> NDArray[np.float64]:
        """Deflection where lift acts from the plate's unknowns [-], (p, n)."""
        return rows_at(self.shape, self.lattice.bound_m).deflection

    @cached_property
    def seen_rows(self) -> PlateRows:
        """What the unknowns give where no flow passes."""
        return rows_at(self.shape, self.lattice.seen_m)

    @cached_property
    def middle_rows(self) -> NDArray[np.float64]:
        """Deflection where the force of a changing jump acts [-], (p, n)."""
        return rows_at(self.shape, self.lattice.middle_m).deflection

    @cached_property
    def responses(self) -> tuple[NDArray[np.complex128], ...]:
        """Rings per wash at every reduced frequency of the fit [m]."""
        return tuple(ring_response(self.lattice, one) for one in REDUCED_FREQUENCIES)

    @cached_property
    def force_per_slope(self) -> NDArray[np.float64]:
        """Force at bound points per slope at seen points and per dynamic pressure [m^2], (p, p)."""
        lattice = self.lattice
        wash = lattice.wash.copy()
        wash[:, -lattice.across :] += lattice.wake_wash.sum(axis=0)
        return 2 * lattice.widths_m[:, None] * (lattice.net @ np.linalg.inv(wash))


@dataclass(frozen=True, kw_only=True)
class FlexibleFin:
    """A plate and the lattice over it, tied together at the lattice's points."""

    model: PlateModel
    grid: FinGrid

    @property
    def lattice(self) -> FinLattice:
        """Rings over the fin."""
        return self.grid.lattice

    @property
    def force_per_slope(self) -> NDArray[np.float64]:
        """Force at bound points per slope at seen points and per dynamic pressure [m^2], (p, p)."""
        return self.grid.force_per_slope

    @cached_property
    def slope_per_force(self) -> NDArray[np.float64]:
        """Slope along the axis at the lattice's seen points per force at its bound points [1/N], (p, p)."""
        return self.grid.seen_rows.along @ solved(self.model, self.grid.bound_rows.T)

    @cached_property
    def divergence_pa(self) -> float:
        """Dynamic pressure at which it twists away at Mach 0 [Pa]; infinite where it does not."""
        values = np.linalg.eigvals(self.force_per_slope @ self.slope_per_force)
        real = values.real[np.abs(values.imag) < 1e-6 * np.abs(values).max()]
        # Values next to nothing are the lattice's rounding, not a direction the fin can run away in.
        growing = real[real > 1e-9 * np.abs(values).max()]
        return float(1 / growing.max()) if growing.size else math.inf

    @property
    def rigid_slope_per_rad(self) -> float:
        """Lift slope of the stiff fin on its own area [1/rad]."""
        return float(-self.force_per_slope.sum() / self.lattice.area_m2)


def fin_grid(model: PlateModel, *, across: int = 10, along: int = 8) -> FinGrid:
    """Lay a vortex lattice over the elements of a plate.

    Parameters
    ----------
    model : PlateModel
        Any plate of these elements.
    across, along : int
        Rings outward and along the chord.

    Returns
    -------
    grid : FinGrid
        The lattice, and what is worked out from it when first asked for.

    Raises
    ------
    OutsideRange
        As :func:`finial.structure.fins.lattice.fin_lattice`.

    Notes
    -----
    Range: as :func:`flexible_fin`.

    References
    ----------
    .. [1] As :func:`flexible_fin`.

    Examples
    --------
    >>> from finial.structure.fins.plate import FinPlate
    >>> from finial.structure.fins.plate_model import plate_model
    >>> square = np.array([[0.0, 0.0], [0.0, 0.1], [0.1, 0.1], [0.1, 0.0]])
    >>> plate = FinPlate(outline_m=square, thickness_m=0.003, modulus_pa=2.3e9, density_kg_m3=1200.0)
    >>> fin_grid(plate_model(plate), across=4, along=3).bound_rows.shape[0]
    12
    """
    return FinGrid(shape=model, lattice=fin_lattice(model.plate.outline_m, across=across, along=along))


def flexible_fin(
    model: PlateModel, *, grid: FinGrid | None = None, across: int = 10, along: int = 8
) -> FlexibleFin:
    """Lay a vortex lattice over a plate.

    Parameters
    ----------
    model : PlateModel
        The plate, its springs included.
    grid : FinGrid, optional
        The lattice over the same elements, where another stiffness of the fin already has it.
    across, along : int
        Rings outward and along the chord.

    Returns
    -------
    fin : FlexibleFin
        Plate and lattice.

    Raises
    ------
    OutsideRange
        As :func:`finial.structure.fins.lattice.fin_lattice`.

    Notes
    -----
    Range: that of the thin plate and of the lattice.

    References
    ----------
    .. [1] Bisplinghoff, Ashley and Halfman, Aeroelasticity, chapter 8; from memory, not re-read.

    Examples
    --------
    >>> from finial.structure.fins.plate import FinPlate
    >>> from finial.structure.fins.plate_model import plate_model
    >>> square = np.array([[0.0, 0.0], [0.0, 0.1], [0.1, 0.1], [0.1, 0.0]])
    >>> plate = FinPlate(outline_m=square, thickness_m=0.003, modulus_pa=2.3e9, density_kg_m3=1200.0)
    >>> round(flexible_fin(plate_model(plate)).rigid_slope_per_rad, 2)
    2.47
    """
    return FlexibleFin(model=model, grid=grid or fin_grid(model, across=across, along=along))


@dataclass(frozen=True, slots=True, kw_only=True)
class BentFin:
    """A fin at rest in the wind, bent by its own lift."""

    lift_ratio: float
    """Lift over that of the same fin if it were stiff [-]."""
    forces_n: NDArray[np.float64]
    """At the lattice's bound points [N]."""
    centre_m: tuple[float, float]
    """Where the lift acts: along, outward [m]."""
    tip_shift_m: float
    """Largest deflection of the tip [m]."""
    tip_twist_rad: float
    """Change of angle at the tip, nose up positive [rad]."""
    stress_pa: float
    stress_at_m: tuple[float, float]
    root_moment_n_m: float
    unknowns: NDArray[np.float64]


def bent_in_wind(
    fin: FlexibleFin, pressure_pa: float, angle_rad: float, *, mach_factor: float = 1.0
) -> BentFin:
    r"""Balance a fin's lift against its stiffness, at rest.

    .. math::  (I - q\, G F) f = -q\, G \alpha, \qquad F = S K^{-1} B^T

    with :math:`G` the lattice's force per slope and :math:`F` the plate's slope per force.

    Parameters
    ----------
    fin : FlexibleFin
        Plate and lattice.
    pressure_pa : float
        Dynamic pressure [Pa].
    angle_rad : float
        Angle of the stiff fin to the wind [rad].
    mach_factor : float
        Lift at the Mach number over that at rest [-].

    Returns
    -------
    bent : BentFin
        Lift, deflection, twist and stress.

    Raises
    ------
    OutsideRange
        If pressure or factor is not above zero, or the pressure reaches that of divergence.

    Notes
    -----
    Holds for small angles and deflections below a tenth of the span, attached flow, below Mach 0.9.

    References
    ----------
    .. [1] Bisplinghoff, Ashley and Halfman, Aeroelasticity, chapter 8; from memory, not re-read.

    Examples
    --------
    >>> from finial.structure.fins.plate import FinPlate
    >>> from finial.structure.fins.plate_model import plate_model
    >>> swept = np.array([[0.0, 0.0], [0.1, 0.1], [0.2, 0.1], [0.1, 0.0]])
    >>> plate = FinPlate(outline_m=swept, thickness_m=0.002, modulus_pa=2.3e9, density_kg_m3=1200.0)
    >>> bent_in_wind(flexible_fin(plate_model(plate)), 5000.0, 0.05).lift_ratio < 1.0
    True
    """
    require_positive(pressure_pa=pressure_pa, mach_factor=mach_factor)
    need_finite(angle_rad=angle_rad)
    if pressure_pa >= divergence_of(fin, mach_factor=mach_factor):
        raise OutsideRange("the fin twists away at this dynamic pressure: it has passed divergence")
    push = pressure_pa * mach_factor * fin.force_per_slope
    size = len(push)
    stiff = -push @ np.full(size, angle_rad)
    forces = np.asarray(np.linalg.solve(np.eye(size) - push @ fin.slope_per_force, stiff), dtype=np.float64)
    return _bent(fin, forces, float(forces.sum() / stiff.sum()) if stiff.sum() else 1.0)


def _bent(fin: FlexibleFin, forces: NDArray[np.float64], ratio: float) -> BentFin:
    model = fin.model
    bent = bent_plate(model, fin.lattice.bound_m, forces, rows=fin.grid.bound_rows)
    rows = rows_at(model, _tip(model))
    shifts = rows.deflection @ bent.unknowns
    centre = (
        fin.lattice.bound_m.T @ forces / forces.sum() if forces.sum() else fin.lattice.bound_m.mean(axis=0)
    )
    return BentFin(
        lift_ratio=ratio,
        forces_n=forces,
        centre_m=(float(centre[0]), float(centre[1])),
        tip_shift_m=float(np.abs(shifts).max()),
        tip_twist_rad=float(-(rows.along @ bent.unknowns).mean()),
        stress_pa=bent.stress_pa,
        stress_at_m=bent.stress_at_m,
        root_moment_n_m=bent.root_moment_n_m,
        unknowns=bent.unknowns,
    )


def _tip(model: PlateModel) -> NDArray[np.float64]:
    outline = np.asarray(model.plate.outline_m, dtype=float)
    high = outline[:, 1].max()
    ends = outline[outline[:, 1] > high * (1 - 1e-9), 0]
    return np.column_stack([np.linspace(float(ends.min()), float(ends.max()), 5), np.full(5, high)])


def divergence_of(fin: FlexibleFin, *, mach_factor: float = 1.0) -> float:
    r"""Dynamic pressure at which a fin twists away.

    .. math::  q_D = 1 / \max \lambda (G F), \quad \lambda > 0

    Parameters
    ----------
    fin : FlexibleFin
        Plate and lattice.
    mach_factor : float
        Lift at the Mach number over that at rest [-].

    Returns
    -------
    pressure_pa : float
        Dynamic pressure [Pa]; infinite where lift untwists the fin, as on most swept ones.

    Raises
    ------
    OutsideRange
        If the factor is not above zero.

    Notes
    -----
    Holds as :func:`bent_in_wind`.

    References
    ----------
    .. [1] Bisplinghoff, Ashley and Halfman, Aeroelasticity, chapter 8; from memory, not re-read.

    Examples
    --------
    >>> from finial.structure.fins.plate import FinPlate
    >>> from finial.structure.fins.plate_model import plate_model
    >>> square = np.array([[0.0, 0.0], [0.0, 0.1], [0.1, 0.1], [0.1, 0.0]])
    >>> plate = FinPlate(outline_m=square, thickness_m=0.003, modulus_pa=2.3e9, density_kg_m3=1200.0)
    >>> 2e4 < divergence_of(flexible_fin(plate_model(plate))) < 2e5
    True
    """
    require_positive(mach_factor=mach_factor)
    return fin.divergence_pa / mach_factor


@dataclass(frozen=True, slots=True, kw_only=True)
class SwingingFin:
    """A fin's modes, and the structure and air that flutter is found from."""

    modes: PlateModes
    swinging: FinSwinging


def swinging_fin(fin: FlexibleFin, *, count: int = MODES, damping_share: float = 0.0) -> SwingingFin:
    """Lowest modes of a fin with the unsteady air forces between them.

    Parameters
    ----------
    fin : FlexibleFin
        Plate and lattice.
    count : int
        Number of modes.
    damping_share : float
        Structural damping over critical [-].

    Returns
    -------
    swinging : SwingingFin
        Ready for :func:`finial.structure.fins.modal_flutter.first_growth`.

    Raises
    ------
    OutsideRange
        As :func:`finial.structure.fins.plate_answers.plate_modes`.

    Notes
    -----
    Range: still air at Mach 0; scale the air forces for Mach numbers up to 0.9.

    References
    ----------
    .. [1] Bisplinghoff, Ashley and Halfman, Aeroelasticity, chapter 9; from memory, not re-read.

    Examples
    --------
    >>> from finial.structure.fins.plate import FinPlate
    >>> from finial.structure.fins.plate_model import plate_model
    >>> square = np.array([[0.0, 0.0], [0.0, 0.1], [0.1, 0.1], [0.1, 0.0]])
    >>> plate = FinPlate(outline_m=square, thickness_m=0.003, modulus_pa=2.3e9, density_kg_m3=1200.0)
    >>> swinging_fin(flexible_fin(plate_model(plate)), count=4).swinging.air.misfit < 0.02
    True
    """
    modes = plate_modes(fin.model, count=count)
    return SwingingFin(
        modes=modes,
        swinging=FinSwinging(
            mass=np.eye(count),
            stiffness=np.diag(modes.frequencies_rad_s**2),
            air=_air(fin, modes),
            half_chord_m=fin.lattice.half_chord_m,
            damping_share=damping_share,
        ),
    )


def _air(fin: FlexibleFin, modes: PlateModes) -> AirStates:
    grid, shapes = fin.grid, modes.shapes
    motion = LatticeMotion(
        slope=grid.seen_rows.along @ shapes,
        seen=grid.seen_rows.deflection @ shapes,
        bound=grid.bound_rows @ shapes,
        middle=grid.middle_rows @ shapes,
    )
    loads = [
        swing_loads(grid.lattice, motion, one, response=response)
        for one, response in zip(REDUCED_FREQUENCIES, grid.responses, strict=True)
    ]
    return air_states(np.array(REDUCED_FREQUENCIES), np.array(loads))


# Stays are tried at the same places with one wire after the other.
@kept(256)
def _deflection_at(model: PlateModel, point_m: tuple[float, float]) -> NDArray[np.float64]:
    return rows_at(model, np.array([point_m])).deflection


def with_point_springs(
    swinging: SwingingFin, model: PlateModel, springs: list[tuple[tuple[float, float], float]]
) -> FinSwinging:
    r"""Add springs across the fin at points, in the modes the fin has without them.

    .. math::  K' = K + \sum_i k_i \, \phi(p_i) \phi(p_i)^T

    Parameters
    ----------
    swinging : SwingingFin
        The fin in its modes.
    model : PlateModel
        Its plate.
    springs : list of tuple of point and float
        Where, along and outward [m], and how stiff across the fin [N/m].

    Returns
    -------
    held : FinSwinging
        The same modes with the springs' stiffness.

    Raises
    ------
    OutsideRange
        If a point is not finite.

    Notes
    -----
    A quick estimate for choosing where a stay goes: stiffness comes out a little high, because the modes
    cannot kink at the spring.

    References
    ----------
    .. [1] Rayleigh and Ritz: energy of a spring in given modes; any text on vibration.

    Examples
    --------
    >>> from finial.structure.fins.plate import FinPlate
    >>> from finial.structure.fins.plate_model import plate_model
    >>> square = np.array([[0.0, 0.0], [0.0, 0.1], [0.1, 0.1], [0.1, 0.0]])
    >>> plate = FinPlate(outline_m=square, thickness_m=0.003, modulus_pa=2.3e9, density_kg_m3=1200.0)
    >>> fin = flexible_fin(plate_model(plate))
    >>> bare = swinging_fin(fin, count=4)
    >>> held = with_point_springs(bare, fin.model, [((0.05, 0.09), 1e4)])
    >>> bool(held.stiffness[0, 0] > bare.swinging.stiffness[0, 0])
    True
    """
    stiffness = swinging.swinging.stiffness
    for point, spring in springs:
        read = _deflection_at(model, point) @ swinging.modes.shapes
        stiffness = stiffness + spring * read.T @ read
    return replace(swinging.swinging, stiffness=stiffness)
