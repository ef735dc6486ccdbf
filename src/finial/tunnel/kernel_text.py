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
    relaxed,
    velocity,
)
from finial.tunnel.eddies import AXES, SIDES, eddy_friction
from finial.tunnel.lattice import DIRECTIONS, WEIGHTS

CHUNK = 128
"""Cells of a row that a processor works on at once: they stay in its nearest cache."""
BUFFER = 32 * CHUNK
"""Numbers that it works on them in: 27 populations, two parts of the relaxation time, a velocity."""
_LANES = 16
"""Cells that it works on with one instruction: what is left over of a chunk is filled up to as many."""
KERNELS = (
    *("step", "step_eddies", "eddies"),
    *("sample", "fill", "passed", "settle", "carry_out", "bounce", "scatter"),
)
INNER = ("pulled", "gathered", "put_back", "whole")
"""What kernels of a processor call."""
_PROCESSOR_HEAD = "import math\nimport numpy as np\nF, U = np.float32, np.uint64\n"
_CARD_HEAD = "import math\nfrom numba import cuda, float32 as F, float64 as D, uint64 as U\n"


def processor_text() -> str:
    """Write Python of all kernels for a processor; each takes a range of rows or of places.

    Returns
    -------
    text : str
        A module.
    """
    loops = [_each(name, arguments, body, card=False) for name, arguments, body in [*_alike(), *_by_owner()]]
    steps = [_row_step(eddies=False), _row_step(eddies=True), _row_eddies()]
    return "\n".join([_PROCESSOR_HEAD, _PULLS, *steps, _chunk_sample(), _chunk_fill(), *loops])


def card_text() -> str:
    """Write Python of all kernels for a card, a thread for each cell or place.

    Returns
    -------
    text : str
        A module.
    """
    bodies = [*_alike(), *_apart()]
    loops = [_each(name, arguments, body, card=True) for name, arguments, body in bodies]
    steps = [_cell_step(eddies=False), _cell_step(eddies=True), _cell_eddies()]
    return "\n".join([_CARD_HEAD, *steps, *loops])


def _collide(*, eddies: bool) -> Iterator[Statement]:
    """Relax as Smagorinsky says, or as the eddies of the last step."""
    yield from moments()
    if not eddies:
        yield from relaxation("math.sqrt")
        return
    yield "tau", "tau0"
    yield from relaxed()


def _lines(statements: Iterable[Statement], indent: int) -> str:
    return "".join(f"{' ' * indent}{name} = {value}\n" for name, value in statements)


_PULLS = f"""
def pulled(source, at, target, to, m):
    here, there = np.uint64(at), np.uint64(to)  # signed places are looked at for being negative
    for i in range(np.uint64(m)):
        target[there + i] = source[here + i]


def gathered(source, at, cells, first, target, to, m):
    here, there, place = np.uint64(at), np.uint64(to), np.uint64(first)
    for i in range(np.uint64(m)):
        target[there + i] = source[here + np.uint64(cells[place + i])]


def put_back(source, to, target, at, cells, first, m):
    here, there, place = np.uint64(at), np.uint64(to), np.uint64(first)
    for i in range(np.uint64(m)):
        target[here + np.uint64(cells[place + i])] = source[there + i]


def whole(m):
    return (m + {_LANES - 1}) // {_LANES} * {_LANES}
"""


def _row_step(*, eddies: bool) -> str:
    """Rows of one plane after another: pull a chunk into the buffer, collide it there, push it out."""
    pulls = "".join(
        f"                at = {q} * n + ((z - ({c})) * ny + y - ({b})) * nx + x0 - ({a})\n"
        f"                pulled(f, at, b, {q * CHUNK}, m)\n"
        for q, (a, b, c) in enumerate(DIRECTIONS)
    )
    loads = _lines(((f"f{q}", f"b[{q * CHUNK} + i]") for q in range(27)), 20)
    collide = _lines(_collide(eddies=eddies), 20)
    rebuilt = _lines(populations(_in_buffer), 20)
    pushes = "".join(
        f"                pulled(b, {q * CHUNK}, g, {q} * n + (z * ny + y) * nx + x0, m)\n" for q in range(27)
    )
    name, more, added, told, kept = "step", "", "", "", ""
    if eddies:
        name, more, added = "step_eddies", "eddies, speeds, ", f" + b[{28 * CHUNK} + i]"
        pulls += f"                pulled(eddies, (z * ny + y) * nx + x0, b, {28 * CHUNK}, m)\n"
        told = _lines((_in_buffer(29 + k, f"u{axis}") for k, axis in enumerate(AXES)), 20)
        kept = "".join(
            f"                pulled(b, {(29 + k) * CHUNK}, speeds, {k} * n + (z * ny + y) * nx + x0, m)\n"
            for k in range(3)
        )
    return (
        f"def {name}(f, g, b, {more}taux, tauy, tauz, nx, ny, nz, hidden, z0, z1):\n"
        "    n = nx * ny * nz\n"
        "    x1, x2, y1, y2, z1_hidden, z2_hidden = hidden\n"
        "    for z in range(z0, z1):\n"
        "        for y in range(1, ny - 1):\n"
        "            tauyz = tauy[y] + tauz[z]\n"
        "            through = y1 <= y < y2 and z1_hidden <= z < z2_hidden\n"
        "            x0 = 1\n"
        "            while x0 < nx - 1:\n"
        "                if through and x0 == x1:\n"
        "                    x0 = x2\n"
        "                end = x1 if through and x0 < x1 else nx - 1\n"
        f"                m = min({CHUNK}, end - x0)\n"
        f"                pulled(taux, x0, b, {27 * CHUNK}, m)\n"
        f"{pulls}"
        "                for i in range(whole(m)):\n"
        f"                    tau0 = b[{27 * CHUNK} + i] + tauyz{added}\n"
        f"{loads}{collide}{rebuilt}{told}{pushes}{kept}"
        "                x0 += m\n"
    )


def _row_eddies() -> str:
    """Friction of eddies in rows, from the velocities of the last step."""
    offsets = {"p": "+ {}", "m": "- {}"}
    strides = {"x": "1", "y": "nx", "z": "nx * ny"}
    places = [("u", "here", k, axis) for k, axis in enumerate(AXES)]
    places += [
        (axis + way, f"here {offsets[way].format(strides[axis])}", k, of)
        for axis, way in SIDES
        for k, of in enumerate(AXES)
    ]
    bases = "".join(f"            at_{name}{of} = np.uint64({k} * n + {at})\n" for name, at, k, of in places)
    loads = _lines(((f"{name}{of}", f"speeds[at_{name}{of} + i]") for name, _, _, of in places), 16)
    return (
        "def eddies(speeds, shut_sides, out, nx, ny, nz, z0, z1):\n"
        "    n = nx * ny * nz\n"
        "    for z in range(z0, z1):\n"
        "        for y in range(1, ny - 1):\n"
        "            here = (z * ny + y) * nx + 1\n"
        f"            at = np.uint64(here)\n{bases}"
        "            for i in range(np.uint64(nx - 2)):\n"
        f"                shut = shut_sides[at + i]\n{loads}{_lines(eddy_friction('math.sqrt'), 16)}"
        "                out[at + i] = eddy\n"
    )


def _in_buffer(q: int, value: str) -> Statement:
    return f"b[{q * CHUNK} + i]", value


def _chunk_sample() -> str:
    """Moments of some cells, after a collision: a chunk of them is gathered, looked at, and told."""
    pulls = "".join(f"        gathered(f, {q} * n, cells, first, b, {q * CHUNK}, m)\n" for q in range(27))
    loads = _lines(((f"f{q}", f"b[{q * CHUNK} + i]") for q in range(27)), 12)
    found = _lines(_found(), 12)
    held = _lines((_in_buffer(k, name) for k, name in enumerate(MOMENTS)), 12)
    told = "".join(
        f"        pulled(b, {k * CHUNK}, out, {k} * count + first, m)\n" for k in range(len(MOMENTS))
    )
    return (
        f"def sample(f, n, cells, count, out, b, low, high):\n{_CHUNKS}{pulls}"
        f"        for i in range(whole(m)):\n{loads}{found}{held}{told}"
    )


def _chunk_fill() -> str:
    """Cells from the moments of eight others: a chunk is mixed, rebuilt, and put where it belongs."""
    places = _lines(((f"p{j}", f"np.uint64(sources[np.uint64({j}) * many + at])") for j in range(8)), 12)
    mixed = _lines((_in_buffer(k, _mix(k)) for k, _ in enumerate(MOMENTS)), 12)
    loads = _lines(((name, f"b[{k * CHUNK} + i]") for k, name in enumerate(MOMENTS)), 12)
    rebuilt = _lines([*_scaled(), *velocity(), *populations(_in_buffer)], 12)
    puts = "".join(
        f"        if need & {1 << q}:\n            put_back(b, {q * CHUNK}, f, {q} * n, cells, first, m)\n"
        for q in range(27)
    )
    return (
        "def fill(f, n, cells, needs, sources, shares, count, told, ratio, b, low, high):\n"
        "    many, told_n = np.uint64(len(cells)), np.uint64(count)\n"
        f"{_lines(((f's{j}', f'shares[{j}]') for j in range(8)), 4)}{_CHUNKS}"
        "        need = 0\n"
        "        for i in range(m):\n"
        f"            at = np.uint64(first + i)\n            need |= needs[at]\n{places}{mixed}"
        f"        for i in range(whole(m)):\n{loads}{rebuilt}{puts}"
    )


def _mix(k: int) -> str:
    return " + ".join(f"s{j} * told[np.uint64({k}) * told_n + p{j}]" for j in range(8))


_CHUNKS = f"    for first in range(low, high, {CHUNK}):\n        m = min({CHUNK}, high - first)\n"


def _cell_step(*, eddies: bool) -> str:
    pulls = _lines(
        (
            (f"f{q}", f"f[U({q}) * n + ({_row(c, b)}) * nx + {_place(a)}]")
            for q, (a, b, c) in enumerate(DIRECTIONS)
        ),
        4,
    )
    collide = _lines(_collide(eddies=eddies), 4)
    rebuilt = _lines(populations(lambda q, value: (f"g[U({q}) * n + here]", value)), 4)
    name, more, added, told = "step", "", "", ""
    if eddies:
        name, more, added = "step_eddies", "eddies, speeds, ", " + eddies[here]"
        told = _lines(((f"speeds[U({k}) * n + here]", f"u{axis}") for k, axis in enumerate(AXES)), 4)
    return (
        f"def {name}(f, g, {more}taux, tauy, tauz, ax, ay, az, hidden):\n{_CELL}{_HIDDEN}"
        f"    tau0 = taux[x] + tauy[y] + tauz[z]{added}\n"
        f"{pulls}{collide}{rebuilt}{told}"
    )


def _cell_eddies() -> str:
    strides = {"x": "U(1)", "y": "nx", "z": "nx * ny"}
    signs = {"p": "+", "m": "-"}
    own = [(f"u{of}", f"speeds[U({k}) * n + here]") for k, of in enumerate(AXES)]
    others = [
        (axis + way + of, f"speeds[U({k}) * n + here {signs[way]} {strides[axis]}]")
        for axis, way in SIDES
        for k, of in enumerate(AXES)
    ]
    found = [("shut", "shut_sides[here]"), *own, *others, *eddy_friction("math.sqrt"), ("out[here]", "eddy")]
    return f"def eddies(speeds, shut_sides, out, ax, ay, az):\n{_CELL}{_lines(found, 4)}"


_CELL = (
    "    nx = U(ax)\n    ny = U(ay)\n    n = nx * ny * U(az)\n"
    "    x = U(cuda.blockIdx.x) * U(cuda.blockDim.x) + U(cuda.threadIdx.x)\n"
    "    y = U(cuda.blockIdx.y) * U(cuda.blockDim.y) + U(cuda.threadIdx.y) + U(1)\n"
    "    z = U(cuda.blockIdx.z) + U(1)\n"
    "    if x < U(1) or x + U(1) >= nx or y + U(1) >= ny:\n        return\n"
    "    here = (z * ny + y) * nx + x\n"
)
"""What a thread of a card works on: a cell that is not on the rim."""
_HIDDEN = (
    "    x1, x2, y1, y2, z1, z2 = hidden\n"
    "    if U(x1) <= x < U(x2) and U(y1) <= y < U(y2) and U(z1) <= z < U(z2):\n        return\n"
)
"""Nor one that a finer grid covers."""


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


def _apart() -> Iterator[tuple[str, str, str]]:
    """Kernels of a card that a processor has in chunks, or owner by owner: name, arguments, body."""
    yield "sample", "f, n, cells, count, out", _sample()
    yield "fill", "f, n, cells, needs, sources, shares, count, before, after, late, ratio", _fill()
    links = "links, directions, opposites, steps, shares, glides"
    yield "bounce", f"f, n, {links}, gone, back_again", _bounce_link()
    links = "links, owners, starts, opposites, steps, portions"
    yield "scatter", f"f, n, {links}, gone, back_again, exchange", _scatter_link()


def _alike() -> Iterator[tuple[str, str, str]]:
    """Kernels that run over lists alike on both: name, arguments, body."""
    yield "carry_out", "f, n, cells, sources, needs", _carry_out()
    yield "passed", "f, starts, places, ways, signed, share, count, so_far, debts", _passed()
    yield "settle", "f, n, owners, starts, beside, share, count, debts", _settle()


def _by_owner() -> Iterator[tuple[str, str, str]]:
    """Walls on a processor, cell after cell: each cell's air is looked at once."""
    links = "directions, opposites, steps, shares, glides, portions"
    yield "bounce", f"f, n, cells, starts, {links}, bounced, exchange", _bounce()
    yield "scatter", "f, n, links, opposites, steps, bounced", _scatter()


def _found() -> list[Statement]:
    """Moments with the stress as a collision leaves it."""
    return [*moments(), ("keep", literal(4.5)), *kept_stress()]


def _sample() -> str:
    """Moments of some cells, after a collision."""
    loads = _lines(((f"f{q}", f"f[U({q}) * U(n) + cell]") for q in range(27)), 8)
    kept = _lines(((f"out[U({k}) * U(count) + U(i)]", name) for k, name in enumerate(MOMENTS)), 8)
    return f"        cell = U(cells[i])\n{loads}{_lines(_found(), 8)}{kept}"


def _fill() -> str:
    """Cells from the moments of eight others, so late between two times."""
    zero = "".join(f"        {name} = {literal(0.0)}\n" for name in MOMENTS)
    first, later = (
        _lines(
            ((name, f"{name} + {share} * {told}[U({k}) * U(count) + at]") for k, name in enumerate(MOMENTS)),
            indent,
        )
        for share, told, indent in (("early", "before", 12), ("share", "after", 16))
    )
    put = populations(lambda q, value: (_needed(q, f"f[U({q}) * U(n) + cell]"), value))
    return (
        f"        cell = U(cells[i])\n        need = needs[i]\n{zero}"
        "        for j in range(8):\n"
        "            at = U(sources[U(j) * U(len(cells)) + U(i)])\n"
        "            share = shares[j] * late\n"
        f"            early = shares[j] - share\n{first}"
        f"            if late > {literal(0.0)}:\n{later}{_lines([*_scaled(), *velocity(), *put], 8)}"
    )


def _scaled() -> list[Statement]:
    """Stress as the other grid has it."""
    return [(name, f"{name} * ratio") for name in MOMENTS if name.startswith("k")]


def _carry_out() -> str:
    """Cells where the air leaves: as their neighbours inside."""
    puts = _lines(((_needed(q, f"f[{q} * n + cell]"), f"f[{q} * n + source]") for q in range(27)), 8)
    return f"        cell = cells[i]\n        source = sources[i]\n        need = needs[i]\n{puts}"


def _passed() -> str:
    """Count air and momentum that pass a border, for each cell that is paid."""
    sums = "".join(
        f"            {name} = {name} + signed[U({k * 2 * len(DIRECTIONS)}) + way] * much\n"
        for k, name in enumerate(_OWED)
    )
    counted = "".join(
        f"        debts[{k} * count + i] = so_far[{k} * count + i] + share * {name}\n"
        for k, name in enumerate(_OWED)
    )
    return (
        f"{_lines(((name, literal(0.0)) for name in _OWED), 8)}"
        "        first = U(starts[i])\n"
        "        for j in range(U(starts[i + 1] - starts[i])):\n"
        "            way = U(ways[first + U(j)])\n"
        f"            much = f[U(places[first + U(j)])]\n{sums}{counted}"
    )


def _settle() -> str:
    """Pay a cell its part of what it and its neighbours are owed, in air at rest that is pushed."""
    own = _lines(((name, f"own * debts[{k} * count + i]") for k, name in enumerate(_OWED)), 8)
    others = _lines(
        ((name, f"{name} + share * debts[{k} * count + other]") for k, name in enumerate(_OWED)), 12
    )
    paid = "".join(
        f"        f[{q} * n + cell] += {literal(WEIGHTS[q])} * (dr{_along(each)})\n"
        for q, each in enumerate(DIRECTIONS)
    )
    return (
        "        cell = owners[i]\n"
        f"        own = {literal(1.0)} - share * F(starts[i + 1] - starts[i])\n{own}"
        "        for j in range(starts[i], starts[i + 1]):\n"
        f"            other = beside[j]\n{others}"
        f"{_lines(((name, f'{literal(3.0)} * {name}') for name in _OWED[1:]), 8)}{paid}"
    )


_OWED = MOMENTS[:4]
"""Air and momentum."""


def _along(each: tuple[int, int, int]) -> str:
    """Momentum along a direction, with the sign ahead of each part."""
    return "".join(
        f" {'+' if step > 0 else '-'} {name}" for step, name in zip(each, _OWED[1:], strict=True) if step
    )


def _needed(q: int, place: str) -> str:
    """Name what is written where a step pulls it from, and nowhere else."""
    return f"if need & {1 << q}: {place}"


def _turned_back(indent: int) -> str:
    """Tell what left along a link, and what comes back by the wall's place on it and by how it glides.

    Where the wall glides it gives back as a wall that moves along with the air of its cell.
    """
    one, two, half = literal(1.0), literal(2.0), literal(0.5)
    lines = (
        "out = f[directions[j] * n + cell]",
        "share = shares[j]",
        f"if share < {half}:",
        "    behind = f[directions[j] * n + cell - steps[j]]",
        f"    back = {two} * share * out + ({one} - {two} * share) * behind",
        f"    part = {one}",
        "else:",
        f"    part = {half} / share",
        f"    back = part * out + ({one} - part) * f[opposites[j] * n + cell]",
        "glide = ux * glides[3 * j] + uy * glides[3 * j + 1] + uz * glides[3 * j + 2]",
        "back = back - part * glide",
    )
    return "".join(f"{' ' * indent}{line}\n" for line in lines)


def _bounce() -> str:
    """Tell what comes back along each cut link, by the wall's place on it, and what the wall took.

    Taken link by link, walls nearer or farther than half a cell give or swallow air, and pressures on blunt
    fronts go with the place of the wall in its cell: what a cell gets too much is taken off again.
    """
    loads = _lines(((f"f{q}", f"f[{q} * n + cell]") for q in range(27)), 8)
    return (
        f"        cell = cells[i]\n{loads}{_lines(moments(), 8)}"
        f"        much = {literal(0.0)}\n"
        f"        for j in range(starts[i], starts[i + 1]):\n{_turned_back(12)}"
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


def _bounce_link() -> str:
    """Do the same in a thread for each link: what waits for memory there waits side by side."""
    loads = _lines(((f"f{q}", f"f[{q} * n + cell]") for q in range(27)), 8)
    return (
        f"        j = i\n        cell = links[i]\n{loads}{_lines(moments(), 8)}{_turned_back(8)}"
        "        gone[i] = out\n        back_again[i] = back\n"
    )


def _scatter_link() -> str:
    """Take off what its cell gets too much, tell what the wall took, and put it where it is pulled from."""
    return (
        f"        much = {literal(0.0)}\n"
        "        owner = owners[i]\n"
        "        for j in range(starts[owner], starts[owner + 1]):\n"
        "            much = much + back_again[j] - gone[j]\n"
        "        back = back_again[i] - portions[i] * much\n"
        "        f[opposites[i] * n + links[i] + steps[i]] = back\n"
        "        exchange[i] = gone[i] + back\n"
    )
