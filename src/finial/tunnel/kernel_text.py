"""Kernels of the tunnel as text: one body each, in a loop on a processor, in a thread a cell on a card."""

from collections.abc import Iterable, Iterator

from finial.tunnel.collision import (
    MOMENTS,
    Statement,
    kept_stress,
    literal,
    moments,
    populations,
    relaxation,
    velocity,
)
from finial.tunnel.lattice import DIRECTIONS

CHUNK = 128
"""Cells of a row that a processor works on at once: they stay in its nearest cache."""
KERNELS = ("step", "sample", "fill", "restrict", "carry_out", "bounce", "scatter")
_PROCESSOR_HEAD = "import math\nimport numpy as np\nF = np.float32\n"
_CARD_HEAD = "import math\nfrom numba import cuda, float32 as F, uint64 as U\n"


def processor_text() -> str:
    """Write Python of all kernels for a processor; each takes a range of rows or of places.

    Returns
    -------
    text : str
        A module.
    """
    loops = [_each(name, arguments, body, card=False) for name, arguments, body in _small()]
    return "\n".join([_PROCESSOR_HEAD, _row_step(), *loops])


def card_text() -> str:
    """Write Python of all kernels for a card, a thread for each cell or place.

    Returns
    -------
    text : str
        A module.
    """
    loops = [_each(name, arguments, body, card=True) for name, arguments, body in _small()]
    return "\n".join([_CARD_HEAD, _cell_step(), *loops])


def _collide() -> Iterator[Statement]:
    yield from moments()
    yield from relaxation("math.sqrt")


def _lines(statements: Iterable[Statement], indent: int) -> str:
    return "".join(f"{' ' * indent}{name} = {value}\n" for name, value in statements)


def _row_step() -> str:
    """Rows of one plane after another: pull a chunk into the buffer, collide it there, push it out."""
    pulls = "".join(
        f"                at = {q} * n + ((z - ({c})) * ny + y - ({b})) * nx + x0 - ({a})\n"
        f"                pulled(f, at, b, {q * CHUNK}, m)\n"
        for q, (a, b, c) in enumerate(DIRECTIONS)
    )
    loads = _lines(((f"f{q}", f"b[{q * CHUNK} + i]") for q in range(27)), 20)
    collide = _lines(_collide(), 20)
    rebuilt = _lines(populations(lambda q, value: (f"b[{q * CHUNK} + i]", value)), 20)
    pushes = "".join(
        f"                pulled(b, {q * CHUNK}, g, {q} * n + (z * ny + y) * nx + x0, m)\n" for q in range(27)
    )
    return (
        "def pulled(source, at, target, to, m):\n"
        "    here, there = np.uint64(at), np.uint64(to)\n"  # signed places are looked at for being negative
        "    for i in range(np.uint64(m)):\n"
        "        target[there + i] = source[here + i]\n\n"
        "def step(f, g, b, taux, tauy, tauz, nx, ny, nz, z0, z1):\n"
        "    n = nx * ny * nz\n"
        "    for z in range(z0, z1):\n"
        "        for y in range(1, ny - 1):\n"
        "            tauyz = tauy[y] + tauz[z]\n"
        f"            for x0 in range(1, nx - 1, {CHUNK}):\n"
        f"                m = min({CHUNK}, nx - 1 - x0)\n"
        f"{pulls}"
        "                for i in range(m):\n"
        "                    tau0 = taux[x0 + i] + tauyz\n"
        f"{loads}{collide}{rebuilt}{pushes}"
    )


def _cell_step() -> str:
    pulls = _lines(
        (
            (f"f{q}", f"f[U({q}) * n + ({_row(c, b)}) * nx + {_place(a)}]")
            for q, (a, b, c) in enumerate(DIRECTIONS)
        ),
        4,
    )
    collide = _lines(_collide(), 4)
    rebuilt = _lines(populations(lambda q, value: (f"g[U({q}) * n + here]", value)), 4)
    return (
        "def step(f, g, taux, tauy, tauz, ax, ay, az):\n"
        "    nx = U(ax)\n    ny = U(ay)\n    n = nx * ny * U(az)\n"
        "    x = U(cuda.blockIdx.x) * U(cuda.blockDim.x) + U(cuda.threadIdx.x)\n"
        "    y = U(cuda.blockIdx.y) + U(1)\n"
        "    z = U(cuda.blockIdx.z) + U(1)\n"
        "    if x < U(1) or x + U(1) >= nx:\n        return\n"
        "    here = (z * ny + y) * nx + x\n"
        "    tau0 = taux[x] + tauy[y] + tauz[z]\n"
        f"{pulls}{collide}{rebuilt}"
    )


def _row(c: int, b: int) -> str:
    return f"({_shifted('z', c)}) * ny + {_shifted('y', b)}"


def _place(a: int) -> str:
    return _shifted("x", a)


def _shifted(name: str, step: int) -> str:
    """Place that a population came from."""
    return name if step == 0 else f"{name} - U(1)" if step > 0 else f"{name} + U(1)"


def _each(name: str, arguments: str, body: str, *, card: bool) -> str:
    head = "    i = cuda.grid(1)\n    if i < high:\n" if card else "    for i in range(low, high):\n"
    return f"def {name}({arguments}, low, high):\n{head}{body}"


def _small() -> Iterator[tuple[str, str, str]]:
    """Kernels that run over lists of places: name, arguments, body."""
    yield "sample", "f, n, cells, out", _sample()
    yield "fill", "f, n, cells, sources, shares, before, after, late, ratio", _fill()
    yield "restrict", "f, n, cells, fine, fine_n, children, ratio", _restrict()
    yield "carry_out", "f, n, cells, sources", _carry_out()
    links = "directions, opposites, steps, shares, glides, portions"
    yield "bounce", f"f, n, cells, starts, {links}, bounced, exchange", _bounce()
    yield "scatter", "f, n, links, opposites, steps, bounced", _scatter()


def _sample() -> str:
    """Moments of some cells, after a collision."""
    loads = _lines(((f"f{q}", f"f[{q} * n + cell]") for q in range(27)), 8)
    found = _lines([*moments(), ("keep", literal(4.5)), *kept_stress()], 8)
    kept = _lines(((f"out[i * {len(MOMENTS)} + {k}]", name) for k, name in enumerate(MOMENTS)), 8)
    return f"        cell = cells[i]\n{loads}{found}{kept}"


def _fill() -> str:
    """Cells of a finer grid's rim from the moments of eight cells of the coarser, at two times."""
    zero = "".join(f"        {name} = {literal(0.0)}\n" for name in MOMENTS)
    mixed = _lines(
        (
            (name, f"{name} + share * (before[at + {k}] + late * (after[at + {k}] - before[at + {k}]))")
            for k, name in enumerate(MOMENTS)
        ),
        12,
    )
    return (
        f"        cell = cells[i]\n{zero}"
        "        for j in range(8):\n"
        f"            at = sources[i * 8 + j] * {len(MOMENTS)}\n"
        f"            share = shares[i * 8 + j]\n{mixed}{_rebuild()}"
    )


def _restrict() -> str:
    """Cells of a grid from the means of the eight finer ones inside each."""
    zero = "".join(f"        sum_{name} = {literal(0.0)}\n" for name in MOMENTS)
    loads = _lines(((f"f{q}", f"fine[{q} * fine_n + child]") for q in range(27)), 12)
    found = _lines([*moments(), ("keep", literal(4.5)), *kept_stress()], 12)
    added = _lines(((f"sum_{name}", f"sum_{name} + {name}") for name in MOMENTS), 12)
    means = _lines(((name, f"sum_{name} * {literal(0.125)}") for name in MOMENTS), 8)
    return (
        f"        cell = cells[i]\n{zero}"
        "        for j in range(8):\n"
        f"            child = children[i * 8 + j]\n{loads}{found}{added}{means}{_rebuild()}"
    )


def _rebuild() -> str:
    scaled = _lines(((name, f"{name} * ratio") for name in MOMENTS if name.startswith("k")), 8)
    return scaled + _lines([*velocity(), *populations(lambda q, value: (f"f[{q} * n + cell]", value))], 8)


def _carry_out() -> str:
    """Cells where the air leaves: as their neighbours inside."""
    return "        cell = cells[i]\n        source = sources[i]\n" + _lines(
        ((f"f[{q} * n + cell]", f"f[{q} * n + source]") for q in range(27)), 8
    )


def _bounce() -> str:
    """Tell what comes back along each cut link, by the wall's place on it, and what the wall took.

    Where the wall glides it gives back as a wall that moves along with the air of its cell. Taken link by
    link, walls nearer or farther than half a cell give or swallow air, and pressures on blunt fronts go
    with the place of the wall in its cell: what a cell gets too much is taken off again.
    """
    loads = _lines(((f"f{q}", f"f[{q} * n + cell]") for q in range(27)), 8)
    one, two, half = literal(1.0), literal(2.0), literal(0.5)
    return (
        f"        cell = cells[i]\n{loads}{_lines(moments(), 8)}"
        f"        much = {literal(0.0)}\n"
        "        for j in range(starts[i], starts[i + 1]):\n"
        "            out = f[directions[j] * n + cell]\n"
        "            share = shares[j]\n"
        f"            if share < {half}:\n"
        "                behind = f[directions[j] * n + cell - steps[j]]\n"
        f"                back = {two} * share * out + ({one} - {two} * share) * behind\n"
        f"                part = {one}\n"
        "            else:\n"
        f"                part = {half} / share\n"
        f"                back = part * out + ({one} - part) * f[opposites[j] * n + cell]\n"
        "            glide = ux * glides[3 * j] + uy * glides[3 * j + 1] + uz * glides[3 * j + 2]\n"
        "            back = back - part * glide\n"
        "            bounced[j] = back\n"
        "            exchange[j] = out\n"
        "            much = much + back - out\n"
        "        for j in range(starts[i], starts[i + 1]):\n"
        "            bounced[j] = bounced[j] - portions[j] * much\n"
        "            exchange[j] = exchange[j] + bounced[j]\n"
    )


def _scatter() -> str:
    """Put it where the next step pulls it from."""
    return "        f[opposites[i] * n + links[i] + steps[i]] = bounced[i]\n"
