"""Vreman's eddies: against his closed form, at walls, in the step; a card's text beside a processor's.

The constant is Vreman's for a Smagorinsky constant of 0.1, 2.5 C^2 (Phys. Fluids 16, 2004: from memory).
"""

from types import SimpleNamespace

import numpy as np
import pytest

from finial.core.errors import OutsideRange
from finial.tunnel.boxes import NONE_HIDDEN
from finial.tunnel.eddies import SIDES, WAYS, shut_sides
from finial.tunnel.kernel_text import BUFFER, card_text
from finial.tunnel.lattice import DIRECTIONS, STEPS
from finial.tunnel.links import GridBox
from finial.tunnel.processor import Processor
from finial.tunnel.records import Fineness, Stream, TunnelShape
from finial.tunnel.setup import equilibrium, first_speeds, set_up
from finial.tunnel.written import processor_kernels

BOX = GridBox(origin_m=(0.0, 0.0, 0.0), cell_m=1.0, counts=(6, 5, 5))
MIDDLE = (2 * 5 + 2) * 6 + 2
NONE = np.zeros(0, dtype=np.int64)
RATE = 1e-3
PLATE = TunnelShape(
    points_m=np.array([[0.3, 0.2, 0.2], [0.5, 0.8, 0.3], [0.4, 0.3, 0.8]]), triangles=np.array([[0, 1, 2]])
)


def places():
    k, j, i = np.indices(BOX.counts[::-1])
    return np.stack([i.ravel(), j.ravel(), k.ravel()])


def friction(speeds, shut=None):
    """What eddies add to the kinematic viscosity, cell by cell: a third of what the relaxation time gets."""
    out = np.zeros(BOX.cells, np.float32)
    shut = shut_sides(BOX, NONE, NONE) if shut is None else shut
    nx, ny, nz = BOX.counts
    processor_kernels()["eddies"](speeds.astype(np.float32).ravel(), shut, out, nx, ny, nz, 1, nz - 1)
    return out / 3.0


def linear(gradient):
    """Velocities u_j = x_i a_ij, shape (3, n)."""
    return np.array(gradient).T @ places()


@pytest.mark.parametrize(
    ("gradient", "share"),
    [
        ([[0, 1, 0], [0, 0, 0], [0, 0, 0]], 0.0),
        ([[0, 0, 0], [0, 0, 0], [-1, 0, 0]], 0.0),
        ([[0, 1, 0], [-1, 0, 0], [0, 0, 0]], 2**-0.5),
        ([[1, 0, 0], [0, -1, 0], [0, 0, 0]], 2**-0.5),
        ([[1, 0, 0], [0, -0.5, 0], [0, 0, -0.5]], 0.375**0.5),
        ([[0, 0, 0], [1, 0, 1], [0, 0, 0]], 0.0),
    ],
    ids=["shear", "another shear", "turning", "plane strain", "stretching", "shear askew"],
)
def test_eddies_have_the_friction_that_vreman_says(gradient, share):
    """By hand: of a turning beta is its rate squared on two places, B its fourth power."""
    assert friction(RATE * linear(gradient))[MIDDLE] == pytest.approx(0.025 * share * RATE, abs=1e-8)


def test_beside_walls_and_rims_gradients_are_one_sided():
    speeds = RATE * linear([[1, 0, 0], [0, -1, 0], [0, 0, 0]])
    found = friction(speeds).reshape(BOX.counts[::-1])[1:-1, 1:-1, 1:-1]
    assert found == pytest.approx(np.full(found.shape, 0.025 * 2**-0.5 * RATE), rel=1e-4)
    wall = np.array([MIDDLE])
    ahead = np.array([WAYS[0]])
    beyond = speeds.copy()
    beyond[:, MIDDLE + 1] += 0.1
    assert friction(beyond)[MIDDLE] != pytest.approx(0.025 * 2**-0.5 * RATE, rel=0.1)
    shut = friction(beyond, shut_sides(BOX, wall, ahead))[MIDDLE]
    assert shut == pytest.approx(0.025 * 2**-0.5 * RATE, rel=1e-4)


@pytest.mark.parametrize("bit", range(6))
def test_each_side_is_shut_by_its_own_bit(bit):
    axis, way = SIDES[bit]
    step = DIRECTIONS[WAYS[bit]]
    assert step["xyz".index(axis)] == (1 if way == "p" else -1)
    shut = shut_sides(BOX, np.array([MIDDLE]), np.array([WAYS[bit]]))
    assert shut[MIDDLE] == 1 << bit
    rim = shut_sides(BOX, NONE, NONE).reshape(BOX.counts[::-1])
    first = [2, 2, 2]
    first[2 - "xyz".index(axis)] = {"p": -2, "m": 1}[way]
    assert rim[tuple(first)] & (1 << bit)
    assert not rim[2, 2, 2]


def waved(eddies, steps=60):
    """Decay rate of a strong shear wave over the square of its number: the viscosity that it feels."""
    cells, time, size = 32, 0.6, 0.05
    y = 2.0 * np.pi * (np.arange(-1, cells + 1) + 0.5) / cells
    nx, ny, nz = 6, cells + 2, 6
    air = np.zeros((27, nz, ny, nx), np.float32)
    for j, phase in enumerate(y):
        air[:, :, j, :] = equilibrium(np.array([size * np.sin(phase), 0.0, 0.0]))[:, None, None]
    after, buffer = np.zeros_like(air), np.zeros(BUFFER, np.float32)
    times = np.full(nx, time, np.float32), np.zeros(ny, np.float32), np.zeros(nz, np.float32)
    speeds = np.zeros(3 * nx * ny * nz, np.float32)
    told = []
    for number in range(steps + 20):
        air[:, 0], air[:, -1] = air[:, -2], air[:, 1]
        air[:, :, 0], air[:, :, -1] = air[:, :, -2], air[:, :, 1]
        air[..., 0], air[..., -1] = air[..., -2], air[..., 1]
        given = air.reshape(-1), after.reshape(-1), buffer, eddies, speeds, *times
        processor_kernels()["step_eddies"](*given, nx, ny, nz, NONE_HIDDEN, 1, nz - 1)
        air, after = after, air
        if number in (19, steps + 19):
            told.append(speeds.reshape(3, nz, ny, nx)[0, 2, 1:-1, 2] @ np.sin(y[1:-1]))
    return -np.log(told[1] / told[0]) / steps / (2.0 * np.pi / cells) ** 2


def test_a_step_has_the_friction_it_is_told_and_no_other_and_tells_its_velocities():
    """nu = (tau - 1/2) / 3 with the eddies' part in tau; nothing of Smagorinsky's."""
    cells = 6 * 34 * 6
    for eddy in (0.0, 0.15):
        felt = waved(np.full(cells, eddy, np.float32))
        assert felt == pytest.approx((0.1 + eddy) / 3.0, rel=0.02)


def test_a_card_finds_the_same_eddies_and_steps_as_a_processor():
    """The card's own text, one thread after another on this processor."""
    rng = np.random.default_rng(4)
    nx, ny, nz = BOX.counts
    speeds = rng.normal(0.0, 0.01, 3 * BOX.cells).astype(np.float32)
    shut = shut_sides(BOX, np.array([MIDDLE, MIDDLE]), np.array([WAYS[1], WAYS[4]]))
    air = rng.normal(0.0, 1e-3, 27 * BOX.cells).astype(np.float32)
    times = [np.full(nx, 0.55, np.float32), np.zeros(ny, np.float32), np.zeros(nz, np.float32)]
    kernels = processor_kernels()
    one, other = np.zeros(BOX.cells, np.float32), np.zeros(BOX.cells, np.float32)
    kernels["eddies"](speeds, shut, one, nx, ny, nz, 1, nz - 1)
    stepped, moved = (np.zeros_like(air) for _ in range(2))
    told, kept = (np.zeros_like(speeds) for _ in range(2))
    kernels["step_eddies"](
        air, stepped, np.zeros(BUFFER, np.float32), one, told, *times, nx, ny, nz, NONE_HIDDEN, 1, nz - 1
    )
    cuda = SimpleNamespace(threadIdx=SimpleNamespace(x=0, y=0), blockIdx=SimpleNamespace(x=0, y=0, z=0))
    cuda.blockDim = SimpleNamespace(x=nx, y=1)
    names = {"cuda": cuda, "F": np.float32, "U": int, "math": np}
    exec("\n".join(line for line in card_text().splitlines() if "import" not in line), names)
    for z in range(nz - 2):
        for y in range(ny - 1):
            for x in range(nx):
                cuda.threadIdx.x, cuda.blockIdx.y, cuda.blockIdx.z = x, y, z
                names["eddies"](speeds, shut, other, nx, ny, nz)
                names["step_eddies"](air, moved, one, kept, *times, nx, ny, nz, NONE_HIDDEN)
    assert other == pytest.approx(one, rel=1e-5)
    assert one.max() > 1e-5
    assert moved == pytest.approx(stepped, abs=1e-8)
    assert kept == pytest.approx(told, abs=1e-8)
    assert np.abs(told).max() > 1e-4


def test_a_run_asked_for_vremans_eddies_keeps_its_own_velocities():
    asked = Fineness(cells=4.0, grids=2, side_widths=0.8, eddies="vreman")
    setup = set_up(PLATE, Stream(angle_rad=0.1), asked, area_m2=1.0, width_m=1.0)
    plain = set_up(
        PLATE, Stream(angle_rad=0.1), Fineness(cells=4.0, grids=2, side_widths=0.8), area_m2=1.0, width_m=1.0
    )
    assert setup.bytes_needed > plain.bytes_needed
    assert not plain.shut
    machines = [Processor(each, threads=1) for each in (setup, plain)]
    for machine in machines:
        machine.onward(4)
    eddies, speeds = machines[0]._eddies[1]
    assert eddies.max() > 1e-6
    assert np.abs(speeds - first_speeds(setup, 1)).max() > 1e-3
    # A cell's velocity is that before its collision, which changes no momentum.
    counts = setup.nested.boxes[1].counts
    air = machines[0]._air[1][0].reshape(27, *counts[::-1])[:, 1:-1, 1:-1, 1:-1].astype(float)
    momentum = np.einsum("q,qzyx->zyx", STEPS[:, 1], air) / (1.0 + air.sum(axis=0))
    kept = speeds.reshape(3, *counts[::-1])[1, 1:-1, 1:-1, 1:-1]
    assert kept[2:-2, 2:-2, 2:-2] == pytest.approx(momentum[2:-2, 2:-2, 2:-2], abs=1e-6)
    apart = np.abs(machines[0].recorded() - machines[1].recorded()).max()
    assert 1e-6 < apart < 0.2


def test_eddies_of_nobody_known_are_refused():
    with pytest.raises(OutsideRange, match="smagorinsky or vreman"):
        Fineness(eddies="wale")  # pyright: ignore[reportArgumentType]
