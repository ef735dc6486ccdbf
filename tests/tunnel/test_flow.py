"""The lattice's air against closed forms: still wind, decay, gradients across grids, balance of a wall."""

import numpy as np
import pytest

from finial.tunnel.averages import batch_means
from finial.tunnel.boxes import NONE_HIDDEN
from finial.tunnel.bridges import bridge
from finial.tunnel.collision import SMAGORINSKY
from finial.tunnel.kernel_text import BUFFER
from finial.tunnel.lattice import DIRECTIONS, OPPOSITE, STEPS, WEIGHTS
from finial.tunnel.links import GridBox
from finial.tunnel.machine import advance
from finial.tunnel.processor import Processor
from finial.tunnel.records import Fineness, Stream, TunnelShape
from finial.tunnel.run import blow
from finial.tunnel.setup import equilibrium, set_up, start
from finial.tunnel.written import processor_kernels

SHORT = {"side_widths": 2.0, "settle_widths": 4.0, "travel_widths": 4.0}


def cube(side_m=1.0, at_m=(0.0, -0.5, -0.5)):
    corners = np.array([[x, y, z] for x in (0, 1) for y in (0, 1) for z in (0, 1)], dtype=float)
    faces = [(0, 1, 3), (0, 3, 2), (4, 6, 7), (4, 7, 5), (0, 4, 5), (0, 5, 1)]
    faces += [(2, 3, 7), (2, 7, 6), (0, 2, 6), (0, 6, 4), (1, 5, 7), (1, 7, 3)]
    return TunnelShape(points_m=side_m * corners + np.array(at_m), triangles=np.array(faces))


def test_weights_and_directions_give_the_moments_of_air_at_rest():
    weights = np.array(WEIGHTS)
    assert weights.sum() == pytest.approx(1.0)
    assert weights @ STEPS == pytest.approx(np.zeros(3))
    assert (weights[:, None, None] * STEPS[:, :, None] * STEPS[:, None, :]).sum(axis=0) == pytest.approx(
        np.eye(3) / 3.0
    )
    assert all(DIRECTIONS[o] == tuple(-s for s in DIRECTIONS[q]) for q, o in enumerate(OPPOSITE))


def test_equilibrium_holds_the_momentum_it_was_asked_for():
    air = equilibrium(np.array([0.08, -0.02, 0.01])).astype(float)
    assert air.sum() == pytest.approx(0.0, abs=1e-7)
    assert air @ STEPS == pytest.approx([0.08, -0.02, 0.01], abs=1e-7)
    stress = (air[:, None, None] * STEPS[:, :, None] * STEPS[:, None, :]).sum(axis=0)
    assert stress == pytest.approx(np.outer([0.08, -0.02, 0.01], [0.08, -0.02, 0.01]), abs=1e-7)


def stepped(air, time, steps):
    """Air of a box that repeats in all directions, shape (27, z, y, x) with a rim of one cell."""
    step = processor_kernels()["step"]
    _, nz, ny, nx = air.shape
    taux, rest = np.full(nx, time, np.float32), [np.zeros(n, np.float32) for n in (ny, nz)]
    buffer = np.zeros(BUFFER, np.float32)
    air, after = np.array(air, np.float32), np.empty_like(air, np.float32)
    for _ in range(steps):
        for axis in (1, 2, 3):
            first, last = (tuple(slice(None) if a != axis else k for a in range(4)) for k in (0, -1))
            near, far = (tuple(slice(None) if a != axis else k for a in range(4)) for k in (1, -2))
            air[first], air[last] = air[far], air[near]
        step(air.reshape(-1), after.reshape(-1), buffer, taux, *rest, nx, ny, nz, NONE_HIDDEN, 1, nz - 1)
        air, after = after, air
    return air[:, 1:-1, 1:-1, 1:-1]


def test_a_shear_wave_decays_as_its_viscosity_says():
    """u = U sin(k y) dies as exp(-nu k^2 t), of the Navier-Stokes equations; nu = (tau - 1/2) / 3."""
    cells, time, size = 32, 0.8, 1e-4
    y = 2.0 * np.pi * (np.arange(-1, cells + 1) + 0.5) / cells
    air = np.zeros((27, 6, cells + 2, 6), np.float32)
    for j, phase in enumerate(y):
        air[:, :, j, :] = equilibrium(np.array([size * np.sin(phase), 0.0, 0.0]))[:, None, None]
    steps = 200
    left = stepped(air, time, steps)
    speed = np.einsum("q,qzyx->zyx", STEPS[:, 0], left)[0, :, 0]
    decay = 2.0 * (speed @ np.sin(y[1:-1])) / cells / size
    # The first step only builds the stress up: the subgrid's share at this size is under one in ten thousand.
    assert decay == pytest.approx(np.exp(-(time - 0.5) / 3.0 * (2 * np.pi / cells) ** 2 * steps), rel=0.01)


def test_the_subgrid_thickens_strong_shear_and_leaves_weak_shear_alone():
    """Smagorinsky: nu_t = (C dx)^2 |S| with |S| = sqrt(2 S:S); here |S| = U k |cos(k y)|."""
    cells, time = 32, 0.6
    y = 2.0 * np.pi * (np.arange(-1, cells + 1) + 0.5) / cells
    lost = {}
    for size in (1e-4, 0.05):
        air = np.zeros((27, 6, cells + 2, 6), np.float32)
        for j, phase in enumerate(y):
            air[:, :, j, :] = equilibrium(np.array([size * np.sin(phase), 0.0, 0.0]))[:, None, None]
        speeds = [
            np.einsum("q,qzyx->zyx", STEPS[:, 0], stepped(air, time, steps))[0, :, 0] for steps in (20, 120)
        ]
        first, later = (2.0 * (each @ np.sin(y[1:-1])) / cells for each in speeds)
        lost[size] = -np.log(later / first) / 100 / (2 * np.pi / cells) ** 2
    assert lost[1e-4] == pytest.approx((time - 0.5) / 3.0, rel=0.02)
    # Mean of |cos| cos^2 over cos^2 is 8 / (3 pi).
    more = SMAGORINSKY**2 * 0.05 * (2 * np.pi / cells) * 8 / (3 * np.pi)
    assert lost[0.05] - lost[1e-4] == pytest.approx(more, rel=0.15)


def test_a_steady_gradient_passes_between_grids_unchanged():
    wide = GridBox(origin_m=(0.0, 0.0, 0.0), cell_m=2.0, counts=(16, 16, 16))
    fine = GridBox(origin_m=(7.5, 7.5, 7.5), cell_m=1.0, counts=(16, 16, 16))
    across = bridge(wide, fine, (4, 4, 4))

    def places(box, cells):
        i, rows = cells % box.counts[0], cells // box.counts[0]
        return np.array(box.origin_m) + box.cell_m * np.stack(
            [i, rows % box.counts[1], rows // box.counts[1]], 1
        )

    ramp = np.array([0.3, -1.0, 0.7])
    told = places(wide, across.told) @ ramp
    mixed = across.shares @ told[across.sources].reshape(8, -1)
    assert mixed == pytest.approx(places(fine, across.rim) @ ramp, abs=1e-5)
    means = across.eighths @ (places(fine, across.children) @ ramp)[across.eighths_from].reshape(8, -1)
    assert means == pytest.approx(places(wide, across.band) @ ramp, abs=1e-9)


@pytest.mark.parametrize(("grids", "conserving"), [(1, False), (2, False), (3, False), (3, True)])
def test_wind_with_nothing_in_it_stays_as_it_is(grids, conserving, monkeypatch):
    """Specks that no lattice line meets: nested grids, rims and the outlet change nothing."""
    monkeypatch.setattr("finial.tunnel.setup._STIR", 0.0)
    speck = np.array([[0.4, 0.33, 0.31], [0.4001, 0.33, 0.31], [0.4, 0.3301, 0.31]])
    specks = TunnelShape(
        points_m=np.concatenate([speck, speck + np.array([0.03, 0.04, 0.05])]),
        triangles=np.array([[0, 1, 2], [3, 4, 5]]),
    )
    wind = Stream(angle_rad=0.2, roll_rad=0.5)
    asked = Fineness(cells=8.0, grids=grids, side_widths=1.2, conserving=conserving)
    setup = set_up(specks, wind, asked, area_m2=1.0, width_m=1.0)
    machine = Processor(setup, threads=1)
    for _ in range(6):
        advance(machine)
        machine.record()
    assert not len(setup.walls.cells)
    for level in range(grids):
        moved = machine._air[level][0].reshape(27, -1) - setup.stream[:, None]
        assert np.abs(moved).max() < 2e-6


def test_still_air_of_another_density_presses_on_a_cube_alike_all_round_and_full_on_each_face():
    setup = set_up(
        cube(),
        Stream(angle_rad=0.0),
        Fineness(cells=12.0, grids=1, side_widths=1.0),
        area_m2=1.0,
        width_m=1.0,
    )
    walls = setup.walls
    # One unit of pressure coefficient everywhere: each face feels one, the whole nothing.
    still = 2.0 * np.array(WEIGHTS)[walls.directions] / walls.to_pressure
    felt = still[:, None] * walls.weights[:, :6]
    assert felt.sum(axis=0) == pytest.approx(np.zeros(6), abs=1e-9)
    front = felt[felt[:, 0] > 0, 0].sum()
    # Lines that run askew past the edges reach two thirds of a cell beyond the face's own width.
    assert front == pytest.approx(1.0, abs=0.06)


def test_air_inside_the_shape_adds_nothing_to_the_loads():
    setup = set_up(
        cube(), Stream(angle_rad=0.0), Fineness(cells=8.0, grids=1, side_widths=1.0), area_m2=1.0, width_m=1.0
    )
    inside = setup.still[setup.walls.cells]
    assert inside.any()
    assert not setup.walls.weights[inside].any()
    assert setup.walls.weights[~inside].any(axis=1).all()


def test_a_wall_gives_back_as_much_air_as_it_takes():
    setup = set_up(
        cube(at_m=(0.03, -0.47, -0.5)),
        Stream(angle_rad=0.1),
        Fineness(cells=8.0, grids=1, side_widths=1.0),
        area_m2=1.0,
        width_m=1.0,
    )
    machine = Processor(setup, threads=1)
    for _ in range(5):
        advance(machine)
    cells = setup.nested.cells
    air, walls = machine._air[0][0].copy(), setup.walls
    out = air[walls.directions * cells + walls.cells]
    machine.bounce()
    surplus = np.add.reduceat(machine._bounced - out, walls.starts[:-1])
    assert np.abs(surplus).max() < 1e-7
    assert np.abs(machine._bounced - out).max() > 1e-6


def test_mirrored_wind_gives_mirrored_loads():
    asked = Fineness(cells=8.0, grids=2, **SHORT)
    one, other = (
        blow(cube(), Stream(angle_rad=0.35, roll_rad=roll), asked, area_m2=1.0, width_m=1.0)
        for roll in (0.0, np.pi)
    )
    assert one.pressure[0] == pytest.approx(other.pressure[0], rel=0.1)
    assert one.pressure[0] > 0.8
    assert one.blockage == pytest.approx(other.blockage)


def test_a_coarse_cube_feels_what_handbooks_say_within_a_quarter():
    """1.05 face on (Hoerner, Fluid-Dynamic Drag, 1965: from memory)."""
    blown = blow(
        cube(),
        Stream(angle_rad=0.0),
        Fineness(cells=8.0, grids=2, side_widths=3.5, settle_widths=8.0, travel_widths=8.0),
        area_m2=1.0,
        width_m=1.0,
    )
    drag = blown.total[0] / (1.0 + 2.6 * blown.total[0] * blown.blockage)
    assert drag == pytest.approx(1.05, rel=0.25)
    assert np.abs(blown.pressure[1:3]).max() < 0.1
    assert blown.pressures.max() > 0.8
    assert blown.along[:, 0].sum() == pytest.approx(blown.pressure[0], rel=1e-6)


def test_runs_are_the_same_on_one_thread_and_on_three():
    setup = set_up(
        cube(), Stream(angle_rad=0.2), Fineness(cells=8.0, grids=2, side_widths=1.5), area_m2=1.0, width_m=1.0
    )
    told = []
    for threads in (1, 3):
        machine = Processor(setup, threads=threads)
        for _ in range(4):
            advance(machine)
            machine.record()
        told.append(machine.recorded())
    assert np.array_equal(told[0], told[1])


def test_the_start_is_stirred_the_same_every_time_and_still_inside():
    setup = set_up(
        cube(), Stream(angle_rad=0.0), Fineness(cells=8.0, grids=1, side_widths=1.0), area_m2=1.0, width_m=1.0
    )
    first, again = (start(setup, 0)[0].reshape(27, -1) for _ in range(2))
    assert np.array_equal(first, again)
    assert not first[:, setup.still].any()
    speeds = STEPS.T @ first[:, ~setup.still].astype(float) / setup.speed
    assert speeds.mean(axis=1) == pytest.approx([1.0, 0.0, 0.0], abs=1e-3)
    assert speeds.std(axis=1) == pytest.approx(np.full(3, 0.03), rel=0.02)


def test_batches_tell_the_error_of_a_history_that_remembers():
    """An autoregression of 0.9 has a mean whose variance is 19 times that of independent samples, nearly."""
    rng = np.random.default_rng(5)
    errors, misses = [], []
    for _ in range(200):
        noise = rng.standard_normal(4000)
        history = np.empty(4000)
        last = 0.0
        for k, each in enumerate(noise):
            last = 0.9 * last + each
            history[k] = last
        mean, error = batch_means(history[:, None])
        errors.append(error[0] ** 2)
        misses.append(mean[0] ** 2)
    assert np.mean(errors) == pytest.approx(np.mean(misses), rel=0.25)


def test_stress_is_scaled_between_two_grids_by_their_relaxation_times():
    """Dupuis and Chopard, 2003: with half the cells' size, twice the lattice's viscosity; by hand."""
    asked = Fineness(cells=8.0, grids=2, side_widths=1.0)
    setup = set_up(cube(), Stream(angle_rad=0.0, reynolds=40.0), asked, area_m2=1.0, width_m=1.0)
    viscosity = asked.speed * 8.0 / 40.0
    fine, wide = 0.5 + 3.0 * viscosity, 0.5 + 1.5 * viscosity
    assert setup.stress_ratios == pytest.approx(((fine - 1.0) / (2.0 * (wide - 1.0)),))
