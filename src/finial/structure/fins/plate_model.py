"""A fin as plate finite elements: stiffness, mass, and what it does at any point."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from finial.core.doors import require_positive
from finial.core.errors import OutsideRange
from finial.core.kept_parts import kept
from finial.structure.fins.plate import FinPlate
from finial.structure.fins.plate_mesh import PlateMesh, plate_mesh
from finial.structure.fins.root import STIFF_ROOT, RootHold

SIDES_PER_SPAN = 5
"""Triangles along the span that bring frequencies within 0.2 % of their limit."""
MOST_SIDES = 60
"""Triangles along a slender plate: with more of them rounding hides how little it takes to bend it."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PlateModel:
    """Assembled plate: the unknowns are deflections and slopes at the triangles' corners.

    Inside, lengths are divided by ``scale_m`` so that slopes and deflections are of one size.
    """

    plate: FinPlate
    hold: RootHold
    scale_m: float
    basis: Any
    """The elements' shape functions."""
    stiffness: Any
    """Sparse (n, n), energy of bending is half of w K w [N/m]."""
    mass: Any
    """Sparse (n, n) [kg]."""
    free: NDArray[np.int64]
    """Unknowns that the root leaves free."""

    @property
    def unknowns(self) -> int:
        """Number of unknowns."""
        return int(self.stiffness.shape[0])

    def thickness_m(self, outward_m: NDArray[np.float64]) -> NDArray[np.float64]:
        """Thickness at distances outward from the root, straight from root to tip.

        Parameters
        ----------
        outward_m : ndarray, shape (...)
            Distances outward [m].

        Returns
        -------
        thickness_m : ndarray, shape (...)
            Thickness [m].

        Notes
        -----
        Exact for a fin that tapers evenly from its root to its farthest point, the same along each chord.

        References
        ----------
        .. [1] Definition.

        Examples
        --------
        >>> square = np.array([[0.0, 0.0], [0.0, 1.0], [1.0, 1.0], [1.0, 0.0]])
        >>> plastic = {"modulus_pa": 1e7, "density_kg_m3": 100.0}
        >>> fin = FinPlate(outline_m=square, thickness_m=0.01, tip_thickness_m=0.005, **plastic)
        >>> plate_model(fin, side_m=0.5).thickness_m(np.array([0.0, 0.5])).round(6).tolist()
        [0.01, 0.0075]
        """
        return _thickness(self.plate, outward_m)


def plate_model(
    plate: FinPlate,
    *,
    hold: RootHold = STIFF_ROOT,
    side_m: float | None = None,
    mesh: PlateMesh | None = None,
    like: PlateModel | None = None,
) -> PlateModel:
    r"""Assemble a thin plate of any outline from triangles with quintic deflection.

    .. math::
        K = \int D \left[ (1 - \nu) \nabla\nabla w : \nabla\nabla v + \nu \, \Delta w \Delta v \right] dA
        + \int_{root} \left( k_s w v + k_\theta w_{,y} v_{,y} \right) dx, \quad M = \int \rho t \, w v \, dA

    Parameters
    ----------
    plate : FinPlate
        Outline [m], thickness [m], modulus [Pa], density [kg/m^3].
    hold : RootHold
        How the root is held.
    side_m : float, optional
        Side of the triangles [m]; a fifth of the span, or of the mean chord if that is shorter.
    mesh : PlateMesh, optional
        Triangles, where they are made elsewhere.
    like : PlateModel, optional
        A plate of the same outline and held in the same pieces, whose elements serve again.

    Returns
    -------
    model : PlateModel
        Stiffness and mass.

    Raises
    ------
    OutsideRange
        If the outline cannot be filled or nothing of the root is held.

    Notes
    -----
    Holds for thickness below a tenth of the span: shear is left out. Deflection and slope are continuous
    (Argyris' triangle): frequencies are bounded from above and converge with the sixth power of the side
    where the deflection is smooth, more slowly at the ends of a clamped root.

    References
    ----------
    .. [1] Argyris, Fried and Scharpf, The TUBA family of plate elements, Aeronautical Journal 72 (1968);
       from memory, not re-read.
    .. [2] Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells, chapter 4.

    Examples
    --------
    >>> square = np.array([[0.0, 0.0], [0.0, 1.0], [1.0, 1.0], [1.0, 0.0]])
    >>> fin = FinPlate(outline_m=square, thickness_m=0.01, modulus_pa=10.92e6, density_kg_m3=100.0)
    >>> plate_model(fin, side_m=0.5).unknowns > 50
    True
    """
    import skfem

    marks = tuple(end for piece in hold.pieces_m for end in piece)
    scale = float(np.asarray(plate.outline_m)[:, 1].max())
    require_positive(span_m=scale)
    if like is not None:
        basis = like.basis
    elif mesh is not None:
        basis = _elements(mesh.corners_m, mesh.triangles, scale)
    else:
        mesh = plate_mesh(plate.outline_m, side_m or _usual_side(plate.outline_m), marks)
        basis = _elements(mesh.corners_m, mesh.triangles, scale)
    grid, nu = basis.mesh, plate.poisson

    # The fields of skfem carry no types.
    def bending(u: Any, v: Any, w: Any) -> Any:
        a, b = u.hess, v.hess
        twice = a[0, 0] * b[0, 0] + a[1, 1] * b[1, 1] + 2 * a[0, 1] * b[0, 1]
        return w.rigidity * ((1 - nu) * twice + nu * (a[0, 0] + a[1, 1]) * (b[0, 0] + b[1, 1]))

    def inertia(u: Any, v: Any, w: Any) -> Any:
        return w.area_mass * u * v

    thick = _thickness(plate, np.asarray(basis.global_coordinates())[1] * scale)
    rigidity = plate.modulus_pa * thick**3 / (12 * (1 - nu**2)) / scale**2
    form: Any = skfem.BilinearForm
    stiffness = form(bending).assemble(basis, rigidity=rigidity)
    mass = form(inertia).assemble(basis, area_mass=plate.density_kg_m3 * thick * scale**2)
    held = _held_facets(grid, hold, scale)
    if math.isfinite(hold.turning_n) or math.isfinite(hold.sliding_pa):
        stiffness = stiffness + _root_springs(skfem, _edge(basis, held), (hold, scale))
    fixed = _fixed(basis, held, hold)
    free = np.setdiff1d(np.arange(int(stiffness.shape[0])), fixed)
    return PlateModel(
        plate=plate,
        hold=hold,
        scale_m=scale,
        basis=basis,
        stiffness=stiffness.tocsc(),
        mass=mass.tocsc(),
        free=free,
    )


@kept(4)
def _elements(corners_m: NDArray[np.float64], triangles: NDArray[np.int64], scale: float) -> Any:
    """Shape functions over triangles: they know neither what the plate is made of nor what holds it."""
    import skfem

    corners, names = (np.ascontiguousarray(part.T) for part in (corners_m / scale, triangles))
    return skfem.Basis(skfem.MeshTri(corners, names), skfem.ElementTriArgyris(), intorder=8)


@kept(8)
def _edge(basis: Any, held: NDArray[np.int64]) -> Any:
    """Shape functions along the sides that are held."""
    import skfem

    return skfem.FacetBasis(basis.mesh, skfem.ElementTriArgyris(), facets=held, intorder=8)


def _usual_side(outline_m: NDArray[np.float64]) -> float:
    import shapely

    outline = np.asarray(outline_m, dtype=float)
    span, length = float(outline[:, 1].max()), float(np.ptp(outline[:, 0]))
    usual = min(span, shapely.Polygon(outline).area / span) / SIDES_PER_SPAN
    return max(usual, max(span, length) / MOST_SIDES)


def _thickness(plate: FinPlate, outward_m: NDArray[np.float64]) -> NDArray[np.float64]:
    tip = plate.thickness_m if plate.tip_thickness_m is None else plate.tip_thickness_m
    share = np.asarray(outward_m) / np.asarray(plate.outline_m)[:, 1].max()
    return plate.thickness_m + (tip - plate.thickness_m) * share


def _held_facets(grid: Any, hold: RootHold, scale: float) -> NDArray[np.int64]:
    def on_root(x: NDArray[np.float64]) -> NDArray[np.bool_]:
        inside = np.isclose(x[1], 0.0, atol=1e-9)
        if not hold.pieces_m:
            return inside
        along = x[0] * scale
        return inside & np.any([(along > fore) & (along < aft) for fore, aft in hold.pieces_m], axis=0)

    held = grid.facets_satisfying(on_root, boundaries_only=True)
    if not len(held):
        raise OutsideRange("nothing of the fin's root is held: the outline needs an edge at outward 0")
    return held


def _root_springs(skfem: Any, edge: Any, how: tuple[RootHold, float]) -> Any:
    hold, scale = how
    slide = hold.sliding_pa * scale if math.isfinite(hold.sliding_pa) else 0.0
    turn = hold.turning_n / scale if math.isfinite(hold.turning_n) else 0.0

    def springs(u: Any, v: Any, w: Any) -> Any:
        return slide * u * v + turn * u.grad[1] * v.grad[1]

    return skfem.BilinearForm(springs).assemble(edge)


def _fixed(basis: Any, held: NDArray[np.int64], hold: RootHold) -> NDArray[np.int64]:
    """Unknowns the root holds still: along a straight root the derivatives along it too."""
    names: list[str] = []
    if not math.isfinite(hold.sliding_pa):
        names += ["u", "u_x", "u_xx"]
    if not math.isfinite(hold.turning_n):
        names += ["u_y", "u_xy", "u_n"]
    return basis.get_dofs(held).all(names) if names else np.zeros(0, dtype=np.int64)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlateRows:
    """What the unknowns give at points: each (points, unknowns)."""

    deflection: NDArray[np.float64]
    along: NDArray[np.float64]
    """Slope along the axis [1/m]."""
    outward: NDArray[np.float64]
    """Slope outward [1/m]."""
    curvature: NDArray[np.float64]
    """(3, points, unknowns): along-along, outward-outward, along-outward [1/m^2]."""


def rows_at(model: PlateModel, points_m: NDArray[np.float64]) -> PlateRows:
    """Deflection, slopes and curvatures at points, as rows to multiply the unknowns with.

    Parameters
    ----------
    model : PlateModel
        The plate.
    points_m : ndarray, shape (p, 2)
        Along the axis, outward [m]; a point off the plate is moved to its nearest edge.

    Returns
    -------
    rows : PlateRows
        Dense matrices.

    Raises
    ------
    OutsideRange
        If a point is not finite.

    Notes
    -----
    Exact for the elements' own deflection.

    References
    ----------
    .. [1] Shape functions of the element named at :func:`plate_model`.

    Examples
    --------
    >>> square = np.array([[0.0, 0.0], [0.0, 1.0], [1.0, 1.0], [1.0, 0.0]])
    >>> fin = FinPlate(outline_m=square, thickness_m=0.01, modulus_pa=10.92e6, density_kg_m3=100.0)
    >>> rows_at(plate_model(fin, side_m=0.5), np.array([[0.5, 0.5]])).curvature.shape[:2]
    (3, 1)
    """
    points = _onto_plate(model.plate, np.asarray(points_m, dtype=float).reshape(-1, 2))
    return _rows(model.basis, points, model.scale_m)


@kept(12)
def _rows(basis: Any, points: NDArray[np.float64], scale: float) -> PlateRows:
    """Rows of the elements themselves, whatever the plate is made of and held by."""
    x, y = points.T / scale
    cells = basis.mesh.element_finder(mapping=basis.mapping)(x, y)
    local = basis.mapping.invF(np.array([x, y])[:, :, None], tind=cells)
    count = len(points)
    parts = np.zeros((6, count, basis.N))
    for k in range(basis.Nbfun):
        field = basis.elem.gbasis(basis.mapping, local, k, tind=cells)[0]
        columns = basis.element_dofs[k, cells]
        values = (
            np.asarray(field),
            field.grad[0] / scale,
            field.grad[1] / scale,
            field.hess[0, 0] / scale**2,
            field.hess[1, 1] / scale**2,
            field.hess[0, 1] / scale**2,
        )
        for part, value in zip(parts, values, strict=True):
            part[np.arange(count), columns] += np.asarray(value)[:, 0]
    return PlateRows(deflection=parts[0], along=parts[1], outward=parts[2], curvature=parts[3:])


def _onto_plate(plate: FinPlate, points: NDArray[np.float64]) -> NDArray[np.float64]:
    """Move points off the plate onto it, a hair inside so that a triangle is found."""
    import shapely

    if not np.isfinite(points).all():
        raise OutsideRange("a point on the fin is not a finite number")
    polygon = shapely.Polygon(np.asarray(plate.outline_m, dtype=float))
    inner = polygon.buffer(-1e-7 * math.sqrt(polygon.area))
    away = ~shapely.contains_xy(inner, points)
    if away.any():
        ends = shapely.points(points[away])
        lines = shapely.shortest_line(inner, ends)  # pyright: ignore[reportUnknownMemberType] - keywords
        points = points.copy()
        points[away] = shapely.get_coordinates(lines).reshape(-1, 2, 2)[:, 0]
    return points


def with_springs(model: PlateModel, springs: Sequence[tuple[tuple[float, float], float]]) -> PlateModel:
    r"""Hold a plate by springs across it at points.

    .. math::  K' = K + \sum k_i \, n_i n_i^T

    Parameters
    ----------
    model : PlateModel
        The plate.
    springs : sequence of ((along, outward), stiffness)
        Points [m] and stiffness across the plate [N/m].

    Returns
    -------
    model : PlateModel
        The plate with its springs.

    Raises
    ------
    OutsideRange
        If a stiffness is not above zero.

    Notes
    -----
    Holds for springs that pull and push; a wire does so while it stays taut.

    References
    ----------
    .. [1] Virtual work of a spring.

    Examples
    --------
    >>> square = np.array([[0.0, 0.0], [0.0, 1.0], [1.0, 1.0], [1.0, 0.0]])
    >>> fin = FinPlate(outline_m=square, thickness_m=0.01, modulus_pa=10.92e6, density_kg_m3=100.0)
    >>> bare = plate_model(fin, side_m=0.5)
    >>> held = with_springs(bare, [((0.5, 1.0), 100.0)])
    >>> bool((held.stiffness - bare.stiffness).max() > 50)
    True
    """
    from scipy.sparse import csr_matrix

    if not springs:
        return model
    for _, stiffness in springs:
        require_positive(stiffness_n_per_m=stiffness)
    rows: Any = csr_matrix(rows_at(model, np.array([point for point, _ in springs])).deflection)
    weights = np.array([stiffness for _, stiffness in springs])
    added = rows.T @ rows.multiply(weights[:, None])
    return replace(model, stiffness=(model.stiffness + added).tocsc())
