"""What a fin of plate elements does: it swings in modes, bends under load, and is stressed."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, cast

import numpy as np
from numpy.typing import NDArray

from finial.structure.bounds import need_between
from finial.structure.fins.plate_model import PlateModel, rows_at

_STRESS_POINTS = 41
_TWISTS = 0.4
# The first torsion of a pointed fin, which bends along with it, still reaches 0.5; second bending stays
# below 0.36.


@dataclass(frozen=True, slots=True, kw_only=True)
class PlateModes:
    """Natural modes, lowest first."""

    frequencies_rad_s: NDArray[np.float64]
    """Angular frequencies [rad/s], shape (m,)."""
    twist_shares: NDArray[np.float64]
    """Twist of the chord in each mode over its swing [-], shape (m,): near 0 bending, near 1 torsion."""
    shapes: NDArray[np.float64]
    """Unknowns of each mode, (unknowns, m); each mode has a mass of 1 kg."""

    @property
    def twists(self) -> NDArray[np.bool_]:
        """Which modes mostly twist the fin, shape (m,); the others bend it."""
        return self.twist_shares >= _TWISTS


def plate_modes(model: PlateModel, *, count: int = 6) -> PlateModes:
    r"""Lowest natural modes of a plate model.

    .. math::  K \phi = \omega^2 M \phi, \qquad \phi^T M \phi = 1

    Parameters
    ----------
    model : PlateModel
        The plate.
    count : int
        Number of modes, 1 to 20.

    Returns
    -------
    modes : PlateModes
        Frequencies [rad/s] and shapes.

    Raises
    ------
    OutsideRange
        If the count lies outside its range.

    Notes
    -----
    Holds as :func:`finial.structure.fins.plate_model.plate_model`: within 0.2 % of the thin plate's own
    frequencies at the usual size of triangles; air and damping are left out.

    References
    ----------
    .. [1] Leissa, Vibration of Plates, NASA SP-160, 1969 (values from memory).

    Examples
    --------
    >>> from finial.structure.fins.plate import FinPlate
    >>> from finial.structure.fins.plate_model import plate_model
    >>> square = np.array([[0.0, 0.0], [0.0, 1.0], [1.0, 1.0], [1.0, 0.0]])
    >>> plate = FinPlate(
    ...     outline_m=square, thickness_m=0.01, modulus_pa=10.92e6, density_kg_m3=100.0, poisson=0.3)
    >>> plate_modes(plate_model(plate), count=2).frequencies_rad_s.round(2).tolist()
    [3.47, 8.51]
    """
    from scipy.sparse.linalg import eigsh  # pyright: ignore[reportUnknownVariableType]

    need_between(1, 20, count=count)
    free = model.free
    stiffness, mass = model.stiffness[free][:, free], model.mass[free][:, free]
    # SciPy tells no types.
    squares, vectors = cast(
        "tuple[NDArray[np.float64], NDArray[np.float64]]",
        eigsh(stiffness, k=count, M=mass, sigma=0.0, v0=np.ones(len(free))),
    )
    order = np.argsort(squares)
    shapes = np.zeros((model.unknowns, count))
    shapes[free] = vectors[:, order]
    return PlateModes(
        frequencies_rad_s=np.sqrt(np.maximum(squares[order], 0.0)),
        twist_shares=_twist_shares(model, shapes),
        shapes=shapes,
    )


def _twist_shares(model: PlateModel, shapes: NDArray[np.float64]) -> NDArray[np.float64]:
    from finial.structure.fins.outline import chords

    basis = model.basis
    outward = np.asarray(basis.global_coordinates())[1] * model.scale_m
    half = chords(model.plate.outline_m, np.maximum(outward, 0.0)) / 2 / model.scale_m
    shares: list[float] = []
    for shape in shapes.T:
        field = basis.interpolate(shape)
        twisting = float(np.sum(basis.dx * (half * field.grad[0]) ** 2))
        swinging = float(np.sum(basis.dx * np.asarray(field) ** 2))
        # A chord that only twists swings by a third of its edge's square.
        shares.append(twisting / 3 / swinging)
    return np.array(shares)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlateBending:
    """A plate bent by forces across it."""

    unknowns: NDArray[np.float64]
    stress_pa: float
    """Largest stress at the surface, von Mises [Pa]."""
    stress_at_m: tuple[float, float]
    """Where: along, outward [m]."""
    root_moment_n_m: float
    """Moment of the forces about the root [N m]."""


def bent_plate(
    model: PlateModel,
    points_m: NDArray[np.float64],
    forces_n: NDArray[np.float64],
    *,
    rows: NDArray[np.float64] | None = None,
) -> PlateBending:
    r"""Deflection and stress of a plate under point forces across it.

    .. math::
        K w = \sum f_i n_i, \qquad M_x = -D (w_{xx} + \nu w_{yy}), \quad \sigma = 6 M / t^2

    Parameters
    ----------
    model : PlateModel
        The plate.
    points_m : ndarray, shape (p, 2)
        Along, outward [m].
    forces_n : ndarray, shape (p,)
        Forces across the plate [N].
    rows : ndarray, shape (p, n), optional
        Deflection at the points from the unknowns, where it is at hand [-].

    Returns
    -------
    bending : PlateBending
        Unknowns, largest stress [Pa] and where.

    Raises
    ------
    OutsideRange
        If a point is not finite.

    Notes
    -----
    Holds for deflections below a tenth of the span. Stress is read half a thickness away from the root and
    from its ends, where a sharp corner of an ideal root would show a stress without limit.

    References
    ----------
    .. [1] Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells, chapter 4; reading stress half a
       thickness away: common practice of hot-spot methods.

    Examples
    --------
    >>> from finial.structure.fins.plate import FinPlate
    >>> from finial.structure.fins.plate_model import plate_model
    >>> strip = np.array([[0.0, 0.0], [0.0, 1.0], [0.1, 1.0], [0.1, 0.0]])
    >>> plate = FinPlate(
    ...     outline_m=strip, thickness_m=0.005, modulus_pa=2.3e9, density_kg_m3=1200.0, poisson=0.0)
    >>> bent = bent_plate(plate_model(plate), np.array([[0.05, 1.0]]), np.array([1.0]))
    >>> round(bent.root_moment_n_m, 6), round(bent.stress_pa / 2.4e6, 2)
    (1.0, 1.0)
    """
    points = np.asarray(points_m, dtype=float).reshape(-1, 2)
    rows = rows_at(model, points).deflection if rows is None else rows
    load = rows.T @ np.asarray(forces_n, dtype=float)
    unknowns = solved(model, load[:, None])[:, 0]
    where = stress_points(model)
    stress = surface_stress(model, unknowns, where)
    worst = int(np.argmax(stress))
    return PlateBending(
        unknowns=unknowns,
        stress_pa=float(stress[worst]),
        stress_at_m=(float(where[worst, 0]), float(where[worst, 1])),
        root_moment_n_m=float(np.asarray(forces_n) @ points[:, 1]),
    )


def solved(model: PlateModel, loads: NDArray[np.float64]) -> NDArray[np.float64]:
    r"""Unknowns of a plate under loads.

    .. math::  K \, w = f

    Parameters
    ----------
    model : PlateModel
        The plate.
    loads : ndarray, shape (unknowns, columns)
        Load on each unknown: work per unit of it [N] or [N m].

    Returns
    -------
    answer : ndarray, shape (unknowns, columns)
        Deflections [m] and slopes [-] in the model's scale; zero where the root holds.

    Notes
    -----
    Exact for the model's matrix; small deflections.

    References
    ----------
    .. [1] Sparse LU factors of the free unknowns: any text on finite elements.

    Examples
    --------
    >>> from finial.structure.fins.plate import FinPlate
    >>> from finial.structure.fins.plate_model import plate_model
    >>> square = np.array([[0.0, 0.0], [0.0, 1.0], [1.0, 1.0], [1.0, 0.0]])
    >>> plate = FinPlate(outline_m=square, thickness_m=0.01, modulus_pa=10.92e6, density_kg_m3=100.0)
    >>> model = plate_model(plate, side_m=0.5)
    >>> tip = rows_at(model, np.array([[0.5, 1.0]])).deflection
    >>> 0.2 < float((tip @ solved(model, tip.T))[0, 0]) < 0.5
    True
    """
    from scipy.sparse.linalg import splu  # pyright: ignore[reportUnknownVariableType]

    answer = np.zeros(loads.shape)
    free = model.free
    factors = cast("Any", splu(model.stiffness[free][:, free].tocsc()))
    answer[free] = factors.solve(np.ascontiguousarray(loads[free]))
    return answer


def surface_stress(
    model: PlateModel, unknowns: NDArray[np.float64], points_m: NDArray[np.float64]
) -> NDArray[np.float64]:
    r"""Von Mises stress at the surface of a bent plate.

    .. math::
        \sigma_x = \frac{E t}{2 (1 - \nu^2)} (\kappa_x + \nu \kappa_y), \quad
        \tau = \frac{E t}{2 (1 + \nu)} \kappa_{xy}, \quad
        \sigma = \sqrt{\sigma_x^2 - \sigma_x \sigma_y + \sigma_y^2 + 3 \tau^2}

    Parameters
    ----------
    model : PlateModel
        The plate.
    unknowns : ndarray, shape (unknowns,) or (unknowns, columns)
        As :func:`solved` gives them: deflections [m] and slopes [-] in the model's scale.
    points_m : ndarray, shape (p, 2)
        Where: along, outward [m].

    Returns
    -------
    stress_pa : ndarray, shape (p,)
        Stress on either surface [Pa].

    Raises
    ------
    OutsideRange
        If a point is not finite.

    Notes
    -----
    Thin plates and small deflections; no stress in the plate's middle. At the ends of a clamped root the
    stress grows without bound as triangles shrink: ``stress_points`` keeps half a thickness away.

    References
    ----------
    .. [1] Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells, chapter 2; from memory, not re-read.

    Examples
    --------
    >>> from finial.structure.fins.plate import FinPlate
    >>> from finial.structure.fins.plate_model import plate_model
    >>> square = np.array([[0.0, 0.0], [0.0, 1.0], [1.0, 1.0], [1.0, 0.0]])
    >>> plate = FinPlate(outline_m=square, thickness_m=0.01, modulus_pa=10.92e6, density_kg_m3=100.0)
    >>> model = plate_model(plate, side_m=0.5)
    >>> surface_stress(model, np.zeros(model.unknowns), np.array([[0.5, 0.1]])).tolist()
    [0.0]
    """
    along, out, mixed = rows_at(model, points_m).curvature @ unknowns
    nu, modulus = model.plate.poisson, model.plate.modulus_pa
    half = model.thickness_m(np.asarray(points_m)[:, 1]) / 2
    plane = modulus * half / (1 - nu**2)
    first, second, shear = plane * (along + nu * out), plane * (out + nu * along), plane * (1 - nu) * mixed
    return np.sqrt(first**2 - first * second + second**2 + 3 * shear**2)


def stress_points(model: PlateModel) -> NDArray[np.float64]:
    """Points where stress is read: along the root, half a thickness out, and amid every triangle.

    Parameters
    ----------
    model : PlateModel
        The plate.

    Returns
    -------
    points_m : ndarray, shape (p, 2)
        Along, outward [m].

    Notes
    -----
    A real root has a fillet or a joint: within half a thickness of it thin-plate stress means nothing.

    References
    ----------
    .. [1] No published rule; half a thickness is common practice where plates meet.

    Examples
    --------
    >>> from finial.structure.fins.plate import FinPlate
    >>> from finial.structure.fins.plate_model import plate_model
    >>> square = np.array([[0.0, 0.0], [0.0, 1.0], [1.0, 1.0], [1.0, 0.0]])
    >>> plate = FinPlate(outline_m=square, thickness_m=0.01, modulus_pa=10.92e6, density_kg_m3=100.0)
    >>> round(float(stress_points(plate_model(plate, side_m=0.5))[:, 1].min()), 6)
    0.005
    """
    outline = np.asarray(model.plate.outline_m, dtype=float)
    half = model.plate.thickness_m / 2
    root = outline[np.isclose(outline[:, 1], 0.0, atol=1e-9), 0]
    ends: Sequence[float] = (float(root.min()) + half, float(root.max()) - half)
    along = np.linspace(min(ends), max(ends), _STRESS_POINTS)
    mesh = model.basis.mesh
    middles = mesh.p[:, mesh.t].mean(axis=1).T * model.scale_m
    far = middles[middles[:, 1] > half]
    return np.vstack([np.column_stack([along, np.full(_STRESS_POINTS, half)]), far])
