"""Plate elements converge at the rate of their theory."""

import numpy as np
import pytest

from finial.structure.fins.plate import FinPlate
from finial.structure.fins.plate_answers import plate_modes
from finial.structure.fins.plate_mesh import PlateMesh
from finial.structure.fins.plate_model import plate_model, rows_at

MODULUS = 12 * (1 - 0.3**2)
SQUARE = np.array([[0.0, 0.0], [0.0, 1.0], [1.0, 1.0], [1.0, 0.0]])
UNIT = FinPlate(outline_m=SQUARE, thickness_m=1.0, modulus_pa=MODULUS, density_kg_m3=1.0, poisson=0.3)


def grid(cells):
    """Split the unit square into cells by cells, two triangles each."""
    line = np.linspace(0.0, 1.0, cells + 1)
    x, y = np.meshgrid(line, line)
    corners = np.column_stack([x.ravel(), y.ravel()])
    first = (np.arange(cells)[:, None] * (cells + 1) + np.arange(cells)).ravel()
    lower = np.column_stack([first, first + 1, first + cells + 2])
    upper = np.column_stack([first, first + cells + 2, first + cells + 1])
    return PlateMesh(corners_m=corners, triangles=np.vstack([lower, upper]))


def clamped_all_round(cells):
    """Deflection of a clamped square under the load whose answer is sin^2(pi x) sin^2(pi y)."""
    model = plate_model(UNIT, mesh=grid(cells))
    basis = model.basis
    x, y = np.asarray(basis.global_coordinates())
    import skfem

    def push(v, w):
        return w.load * v

    right = skfem.LinearForm(push).assemble(basis, load=_biharmonic(x, y))
    fixed = []
    for axis, value, names in (
        (1, 0.0, ["u", "u_x", "u_y", "u_xx", "u_xy", "u_n"]),
        (1, 1.0, ["u", "u_x", "u_y", "u_xx", "u_xy", "u_n"]),
        (0, 0.0, ["u", "u_x", "u_y", "u_yy", "u_xy", "u_n"]),
        (0, 1.0, ["u", "u_x", "u_y", "u_yy", "u_xy", "u_n"]),
    ):
        facets = basis.mesh.facets_satisfying(lambda p, a=axis, v=value: np.isclose(p[a], v))
        fixed.append(basis.get_dofs(facets).all(names))
    return model, skfem.solve(*skfem.condense(model.stiffness, right, D=np.unique(np.concatenate(fixed))))


def _biharmonic(x, y):
    """Bi-Laplacian of sin^2(pi x) sin^2(pi y) = (1 - cos 2 pi x)(1 - cos 2 pi y) / 4."""
    pi = np.pi
    a, b = np.cos(2 * pi * x), np.cos(2 * pi * y)
    return 4 * pi**4 * (-a * (1 - b) + 2 * a * b - b * (1 - a))


def errors(cells):
    model, answer = clamped_all_round(cells)
    basis = model.basis
    x, y = np.asarray(basis.global_coordinates())
    pi = np.pi
    found = basis.interpolate(answer)
    exact = (np.sin(pi * x) * np.sin(pi * y)) ** 2
    bent = 2 * pi**2 * np.cos(2 * pi * x) * np.sin(pi * y) ** 2
    shift = np.sqrt(np.sum(basis.dx * (np.asarray(found) - exact) ** 2))
    curve = np.sqrt(np.sum(basis.dx * (found.hess[0, 0] - bent) ** 2))
    return float(shift), float(curve)


def test_deflection_converges_with_the_sixth_power_and_curvature_with_the_fourth():
    # Quintic triangles with continuous slope: Ciarlet, The Finite Element Method for Elliptic Problems,
    # theorem 6.1.1: energy error of order 4, and by duality order 6 in the deflection; from memory.
    coarse, fine = errors(4), errors(8)
    assert np.log2(coarse[0] / fine[0]) == pytest.approx(6.0, abs=0.6)
    assert np.log2(coarse[1] / fine[1]) == pytest.approx(4.0, abs=0.4)


def test_the_load_of_the_made_up_answer_is_its_bilaplacian():
    step, at = 1e-2, np.array([0.31, 0.43])

    def answer(x, y):
        return (np.sin(np.pi * x) * np.sin(np.pi * y)) ** 2

    def laplacian(f, x, y, h=step):
        return (f(x + h, y) + f(x - h, y) + f(x, y + h) + f(x, y - h) - 4 * f(x, y)) / h**2

    numeric = laplacian(lambda x, y: laplacian(answer, x, y), *at)
    assert numeric == pytest.approx(_biharmonic(*at), rel=5e-3)


def test_frequencies_of_a_cantilever_fall_to_their_limit():
    # From above, because slope and deflection are continuous; the ends of the clamped root slow the rate.
    limit = plate_modes(plate_model(UNIT, mesh=grid(12)), count=1).frequencies_rad_s[0]
    gaps = [
        float(plate_modes(plate_model(UNIT, mesh=grid(n)), count=1).frequencies_rad_s[0] - limit)
        for n in (2, 4, 8)
    ]
    assert gaps[0] > gaps[1] > gaps[2] > 0
    assert gaps[0] / gaps[1] > 2.0


def test_a_point_is_read_the_same_in_every_grid():
    values = []
    for cells in (4, 8):
        model, answer = clamped_all_round(cells)
        values.append(float((rows_at(model, np.array([[0.37, 0.41]])).deflection @ answer)[0]))
    assert values[0] == pytest.approx(values[1], rel=1e-3)
    assert values[1] == pytest.approx((np.sin(0.37 * np.pi) * np.sin(0.41 * np.pi)) ** 2, rel=1e-4)


def test_flutter_settles_as_elements_and_rings_shrink():
    from finial.structure.fins.in_wind import flexible_fin, swinging_fin
    from finial.structure.fins.modal_flutter import first_growth

    outline = np.array([[0.0, 0.0], [0.125, 0.185], [0.275, 0.185], [0.25, 0.0]])
    clear = FinPlate(
        outline_m=outline, thickness_m=0.003, modulus_pa=2.35e9, density_kg_m3=1200.0, poisson=0.37
    )
    speeds = []
    for side, across, along in ((0.06, 6, 5), (0.04, 10, 8), (0.025, 16, 12)):
        fin = flexible_fin(plate_model(clear, side_m=side), across=across, along=along)
        speeds.append(first_growth(swinging_fin(fin).swinging, 1.2, np.linspace(20, 200, 37)).speed_m_s)
    assert abs(speeds[2] - speeds[1]) < abs(speeds[1] - speeds[0])
    assert speeds[1] == pytest.approx(speeds[2], rel=0.02)
