"""Added mass of a plane section moved across its axis, by a vortex-sheet boundary element method."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.aero.sections.blocks import solve_in_blocks
from finial.aero.sections.mesh import panelled_section
from finial.aero.sections.outlines import squared_radii
from finial.aero.sections.panels import Panels
from finial.core.kept_parts import kept

BODY_PANELS = 112
PLATE_PANELS = 14
_ROUND_INERTIA = 1e-4
"""Turned added inertia below this share of the fourth power of the size is that of a circle."""


def added_mass_tensor(
    loops: Sequence[NDArray[np.float64]],
    plates: Sequence[NDArray[np.float64]] = (),
    *,
    panels: int = BODY_PANELS,
    plate_panels: int = PLATE_PANELS,
) -> NDArray[np.float64]:
    r"""Return the added mass per unit density of a section in an unbounded fluid.

    .. math::  -\frac{1}{2\pi}\oint \gamma \ln r \, ds = U z - V y + C_k, \quad
               \oint_k \gamma \, ds = 0, \qquad
               \rho (A + S) (U, V)^T = \rho \oint \gamma \, (z, -y)^T ds

    The sheet :math:`\gamma` makes the inside move with the body, so its impulse holds the
    displaced area :math:`S` as well. Plates of no thickness need no special treatment.

    Parameters
    ----------
    loops : sequence of ndarray, each shape (n, 2)
        Closed outlines that do not overlap [m]; slivers beside larger ones are left out.
    plates : sequence of ndarray, each shape (n, 2)
        Thin plates as open lines, root first [m]; a root on an outline joins the two.
    panels, plate_panels : int
        Panels for all outlines together, and for each plate.

    Returns
    -------
    added_mass_m2 : ndarray, shape (2, 2)
        :math:`A`, symmetric, body axes y and z; times density gives kg/m [m^2].

    Raises
    ------
    OutsideRange
        If a coordinate is not finite or there is neither an outline nor a plate.
    MeshError
        If everything given lies in one point, or an outline has fewer than three points.

    Notes
    -----
    With 112 panels circles, squares, polygons and finned sections come within 0.2 %
    of closed forms. A gap of 0.1 % of the radius between plate and outline
    really costs a tenth of the plate's effect, so roots that nearly touch are joined.

    References
    ----------
    .. [1] J. N. Newman, Marine Hydrodynamics, MIT Press 1977, section 4.13 and table 4.3.
    .. [2] J. N. Nielsen, Missile Aerodynamics, McGraw-Hill 1960, chapter 10.

    Examples
    --------
    >>> from finial.aero.sections.outlines import regular_polygon
    >>> round(float(added_mass_tensor([regular_polygon(4, 1.0)])[0, 0]), 3)
    1.188
    """
    mesh = panelled_section(loops, plates, panels, plate_panels)
    return mesh.size_m**2 * _solved(mesh.panels)


def added_roll_inertia(
    loops: Sequence[NDArray[np.float64]], plates: Sequence[NDArray[np.float64]] = ()
) -> float:
    r"""Return the added moment of inertia per unit density of a section turned about the axis [m^4].

    .. math::  -\frac{1}{2\pi}\oint \gamma \ln r \, ds - \frac{1}{\pi}\int \ln r \, dS
               = -\frac{r_a^2}{2} + C_k, \quad
               \oint_k \gamma \, ds = -2 S_k, \qquad
               \frac{J}{\rho} = -\frac{1}{2} \oint r_a^2 \gamma \, ds - 2 \int r_a^2 \, dS

    Parameters
    ----------
    loops, plates : sequence of ndarray, each shape (n, 2)
        Outlines and thin plates as in ``added_mass_tensor``; the axis is at y = z = 0 [m].

    Returns
    -------
    inertia_m4 : float
        Times density gives kg m^2 per metre [m^4]; 0 for a circle about its centre.

    Raises
    ------
    OutsideRange
        If a coordinate is not finite or there is neither an outline nor a plate.
    MeshError
        If everything given lies in one point, or an outline has fewer than three points.

    Notes
    -----
    The inside turns as one with the body, which is vorticity 2 all over it; the sheet stops
    that at the outline. Within 1 % of closed forms for ellipses, squares, plates and crosses.

    References
    ----------
    .. [1] J. N. Newman, Marine Hydrodynamics, MIT Press 1977, table 4.3 (from memory).

    Examples
    --------
    A square of half side 1: 0.725 in the table.

    >>> from finial.aero.sections.outlines import regular_polygon
    >>> round(added_roll_inertia([regular_polygon(4, 2.0, np.pi / 4)]), 3)
    0.724
    """
    mesh = panelled_section(loops, plates, BODY_PANELS, PLATE_PANELS)
    panels, axis = mesh.panels, -mesh.origin_m / mesh.size_m
    seen = _seen((panels.starts + panels.ends) / 2, panels.starts, panels.ends)
    logs, length = _log_integrals(seen), seen.ahead[0] + seen.left[0]
    turned = np.sum(((panels.starts + panels.ends) / 2 - axis) ** 2, axis=1)
    # Green: the area integral of ln r is the outline's integral of (r . n) (2 ln r - 1) / 4.
    within = (seen.aside * (2.0 * logs - length) / 4.0) @ panels.closed
    stream = -0.5 * turned + within / np.pi
    sheet = _sheets(panels, logs, stream[:, None], -2.0 * _areas(panels)[:, None])[:, 0]
    swung = squared_radii(panels.starts - axis, panels.ends - axis)
    inertia = -0.5 * float(np.sum(swung * sheet)) - 2.0 * _polar_moment(panels, axis)
    # What is left of a circle is the panels' own error.
    return mesh.size_m**4 * (inertia if inertia > _ROUND_INERTIA else 0.0)


@dataclass(frozen=True, slots=True)
class _Seen:
    """Panels as seen from points: distances along and beside each, shape (points, panels)."""

    ahead: NDArray[np.float64]
    left: NDArray[np.float64]
    aside: NDArray[np.float64]
    angle: NDArray[np.float64]
    """The angle that the panel fills."""


def _seen(points: NDArray[np.float64], starts: NDArray[np.float64], ends: NDArray[np.float64]) -> _Seen:
    along = ends - starts
    length = np.hypot(along[:, 0], along[:, 1])
    unit = along / length[:, None]
    dy = points[:, :1] - starts[:, 0]
    dz = points[:, 1:] - starts[:, 1]
    ahead = dy * unit[:, 0] + dz * unit[:, 1]
    aside = dz * unit[:, 0] - dy * unit[:, 1]
    left = length - ahead
    return _Seen(ahead, left, aside, np.arctan2(aside * length, aside * aside - ahead * left))


def _logs(mesh: Panels) -> NDArray[np.float64]:
    """Integral of ln r over every panel from every panel's middle, shape (n, n); outlines come first."""
    middles = (mesh.starts + mesh.ends) / 2
    loops = int(mesh.closed.sum())
    outline, plates = ((mesh.starts[part], mesh.ends[part]) for part in (slice(loops), slice(loops, None)))
    logs = np.empty((len(middles), len(middles)))
    logs[:loops, :loops] = _logs_among(*outline)
    logs[loops:, :loops] = _log_integrals(_seen(middles[loops:], *outline))
    logs[:, loops:] = _log_integrals(_seen(middles, *plates))
    return logs


# Fins grow on the page, and the outline that they stand on sees itself as before.
@kept(8)
def _logs_among(starts: NDArray[np.float64], ends: NDArray[np.float64]) -> NDArray[np.float64]:
    return _log_integrals(_seen((starts + ends) / 2, starts, ends))


def _log_integrals(seen: _Seen) -> NDArray[np.float64]:
    """Integral of ln r over every panel, shape (n, n)."""
    ahead, left, square = seen.ahead, seen.left, seen.aside * seen.aside
    logs = ahead * np.log(square + ahead * ahead) + left * np.log(square + left * left)
    return 0.5 * logs - (ahead + left) + seen.aside * seen.angle


def _areas(mesh: Panels) -> NDArray[np.float64]:
    """Area inside the outlines of each body, shape (bodies,)."""
    (y, z), (next_y, next_z) = mesh.starts.T, mesh.ends.T
    swept = np.where(mesh.closed, y * next_z - next_y * z, 0.0) / 2
    return np.asarray(np.bincount(mesh.body, weights=swept), dtype=float)


def _polar_moment(mesh: Panels, axis: NDArray[np.float64]) -> float:
    """Integral of the squared distance from the axis over the inside of all outlines."""
    start, end = mesh.starts - axis, mesh.ends - axis
    swept = start[:, 0] * end[:, 1] - end[:, 0] * start[:, 1]
    return float(np.sum(mesh.closed * swept * np.sum(start**2 + start * end + end**2, axis=1)) / 12)


def _sheets(
    mesh: Panels,
    logs: NDArray[np.float64],
    stream: NDArray[np.float64],
    circulation: NDArray[np.float64],
) -> NDArray[np.float64]:
    """Vortex sheets of a given circulation that hold each body on its stream function, shape (n, k)."""
    count, bodies = len(mesh.body), int(mesh.body.max()) + 1
    length = np.linalg.norm(mesh.ends - mesh.starts, axis=1)
    belongs = (mesh.body[:, None] == np.arange(bodies)).astype(float)
    matrix = np.zeros((count + bodies, count + bodies))
    matrix[:count, :count] = logs / (-2 * np.pi)
    matrix[:count, count:] = -belongs
    matrix[count:, :count] = (belongs * length[:, None]).T
    right = np.vstack([stream, circulation])
    return solve_in_blocks(matrix, right)[:count]


def _solved(mesh: Panels) -> NDArray[np.float64]:
    """Solve for the vortex sheets of both motions and return the tensor (2, 2)."""
    length = np.linalg.norm(mesh.ends - mesh.starts, axis=1)
    middle = (mesh.starts + mesh.ends) / 2
    stream = np.column_stack([middle[:, 1], -middle[:, 0]])
    still = np.zeros((int(mesh.body.max()) + 1, 2))
    sheet = _sheets(mesh, _logs(mesh), stream, still)
    impulse = (stream * length[:, None]).T @ sheet
    return (impulse + impulse.T) / 2 - mesh.area_m2 * np.eye(2)
