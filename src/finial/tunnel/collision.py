r"""One collision of the lattice, as statements that every processor's kernel is written from.

Populations are held as what they differ from those of air at rest, so that single precision keeps
small pressures. The collision is regularised: what leaves it is rebuilt from density, velocity and the
friction's stress, with the recursive third order terms; the trace of the stress goes at once. Without
either a cube of eight cells rings.

.. math::
    \tau = \tfrac12 \left( \tau_0 + \sqrt{\tau_0^2 + 18 \sqrt2\, C^2 |\Pi| / \rho} \right)

with Smagorinsky's constant C.

References
----------
.. [1] Malaspinas, "Increasing stability and accuracy of the lattice Boltzmann scheme: recursivity and
   regularization", arXiv:1505.06900, 2015. From memory.
.. [2] Hou, Sterling, Chen, Doolen, "A lattice Boltzmann subgrid model for high Reynolds number flows",
   1996: the closed form of the relaxation time. From memory.
"""

from collections.abc import Callable, Iterator
from itertools import product

from finial.tunnel.lattice import DIRECTIONS, OPPOSITE, WEIGHTS

Statement = tuple[str, str]
"""A name and the expression that it stands for."""

SMAGORINSKY = 0.05
"""Constant C of the subgrid's stress."""
MOMENTS = ("dr", "mx", "my", "mz", "kxx", "kyy", "kzz", "kxy", "kxz", "kyz")
"""What a collision's outcome is rebuilt from: density over that of rest, momentum, stress."""
_AXES = "xyz"
_PAIRS = ("xx", "yy", "zz", "xy", "xz", "yz")
_STEPS = (0, 1, -1)
_SIGNS = {0: "n", 1: "p", -1: "m"}
_RAW = (
    ("pzz", "all_allp + all_allm"),
    ("dr", "all_alln + pzz"),
    ("mz", "all_allp - all_allm"),
    ("my", "odd_alln + odd_allp + odd_allm"),
    ("pyz", "odd_allp - odd_allm"),
    ("pyy", "even_alln + even_allp + even_allm"),
    ("mx", "all_oddn + all_oddp + all_oddm"),
    ("pxz", "all_oddp - all_oddm"),
    ("pxy", "odd_oddn + odd_oddp + odd_oddm"),
    ("pxx", "all_evenn + all_evenp + all_evenm"),
)
"""Moments from sums along z of sums along y of sums along x."""
_MIXED = ((0, 1), (0, 2), (1, 0), (1, 2), (2, 0), (2, 1))


def literal(value: float) -> str:
    """Write a number so that it stays in single precision in every kernel.

    Parameters
    ----------
    value : float
        Any [-].

    Returns
    -------
    text : str
        An expression; what ``F`` means each kernel says.

    Notes
    -----
    A bare literal is of double precision, and would draw all it meets after it.

    References
    ----------
    .. [1] IEEE 754.

    Examples
    --------
    >>> literal(0.5)
    'F(0.5)'
    """
    return f"F({value!r})"


def moments() -> Iterator[Statement]:
    r"""Density, momentum, velocity and the traceless stress off equilibrium, of ``f0`` to ``f26``.

    .. math::  \delta\rho = \sum_q f_q, \qquad \rho u_a = \sum_q f_q c_{qa}, \qquad
               \Pi_{ab} = \sum_q f_q c_{qa} c_{qb} - \tfrac13 \delta\rho \, \delta_{ab} - \rho u_a u_b

    of which a third of the trace is taken off each :math:`\Pi_{aa}`; :math:`\delta\rho` is the density over
    that of rest, :math:`\rho = 1 + \delta\rho`. Sums are taken axis after axis: 66 additions, where
    sum by sum there would be 161.

    Yields
    ------
    statement : (str, str)
        In the order in which they need one another: ``dr``, ``mx`` to ``mz``, raw second moments ``pxx`` to
        ``pyz``, velocity, and the stress ``txx`` to ``tyz`` [-].
    """
    yield from _raw_moments()
    yield from velocity()
    yield "third", f"dr * {literal(1 / 3)}"
    for name in _AXES:
        yield f"s{name}", f"p{name}{name} - third - m{name} * u{name}"
    yield "mean", f"(sx + sy + sz) * {literal(1 / 3)}"
    for name in _AXES:
        yield f"t{name}{name}", f"s{name} - mean"
    for pair in _PAIRS[3:]:
        yield f"t{pair}", f"p{pair} - m{pair[0]} * u{pair[1]}"


def _raw_moments() -> Iterator[Statement]:
    """Sum along x, then y, then z; of each: all three, those ahead less those behind, and both of these."""
    for b, c in product(_STEPS, _STEPS):
        rest, ahead, behind = (f"f{DIRECTIONS.index((a, b, c))}" for a in _STEPS)
        yield from _summed(f"{_SIGNS[b]}{_SIGNS[c]}", rest, ahead, behind)
    for c in _STEPS:
        for kind in ("all", "odd", "even"):
            names = (f"{kind}_{_SIGNS[b]}{_SIGNS[c]}" for b in _STEPS)
            yield from _summed(f"{kind}{_SIGNS[c]}", *names)
    yield from _RAW


def _summed(name: str, rest: str, ahead: str, behind: str) -> Iterator[Statement]:
    yield f"even_{name}", f"{ahead} + {behind}"
    yield f"odd_{name}", f"{ahead} - {behind}"
    yield f"all_{name}", f"{rest} + even_{name}"


def velocity() -> Iterator[Statement]:
    """Density and velocity from the density's departure and the momentum.

    Yields
    ------
    statement : (str, str)
        ``rho``, its inverse ``inv``, ``ux`` to ``uz`` [cells a step].
    """
    yield "rho", f"{literal(1.0)} + dr"
    yield "inv", f"{literal(1.0)} / rho"
    for name in _AXES:
        yield f"u{name}", f"m{name} * inv"


def relaxation(root: str) -> Iterator[Statement]:
    r"""Stress after the collision, ``kxx`` to ``kyz``, from that before it and ``tau0``.

    .. math::
        \tau = \tfrac12 \left( \tau_0 + \sqrt{\tau_0^2 + 18 \sqrt2\, C^2 |\Pi| / \rho} \right), \qquad
        k_{ab} = \tfrac92 \left( 1 - 1 / \tau \right) \Pi_{ab}, \qquad
        |\Pi| = \sqrt{\Pi_{ab} \Pi_{ab}}

    with Smagorinsky's constant :math:`C` and the relaxation time :math:`\tau_0` [steps] of the air's own
    viscosity.

    Parameters
    ----------
    root : str
        Name of the square root in the kernel.

    Yields
    ------
    statement : (str, str)
        In the order in which they need one another.

    Notes
    -----
    The friction of eddies smaller than a cell is that of Smagorinsky, everywhere alike: it does not fade
    towards walls.

    References
    ----------
    .. [1] Hou, Sterling, Chen, Doolen, "A lattice Boltzmann subgrid model for high Reynolds number flows",
       1996. From memory.
    """
    twice = literal(2.0)
    yield "size", f"txx * txx + tyy * tyy + tzz * tzz + {twice} * (txy * txy + txz * txz + tyz * tyz)"
    subgrid = literal(18.0 * 2**0.5 * SMAGORINSKY**2)
    yield "tau", f"{literal(0.5)} * (tau0 + {root}(tau0 * tau0 + {subgrid} * {root}(size) * inv))"
    yield from relaxed()


def relaxed() -> Iterator[Statement]:
    """Stress after the collision from that before it and ``tau``, as :func:`relaxation` says.

    Yields
    ------
    statement : (str, str)
        In the order in which they need one another.
    """
    yield "keep", f"{literal(4.5)} * ({literal(1.0)} - {literal(1.0)} / tau)"
    yield from kept_stress()


def kept_stress() -> Iterator[Statement]:
    """Stress that is rebuilt: the one there is, times ``keep``.

    Yields
    ------
    statement : (str, str)
        One of the six.
    """
    for pair in _PAIRS:
        yield f"k{pair}", f"keep * t{pair}"


def populations(put: Callable[[int, str], Statement]) -> Iterator[Statement]:
    r"""Rebuild all 27 populations from ``dr``, ``rho``, ``ux`` to ``uz`` and ``kxx`` to ``kyz``.

    .. math::
        f_q = w_q \left( \delta\rho + 3 \rho \, c_q \! \cdot u
              + \tfrac92 \rho (c_q \! \cdot u)^2 - \tfrac32 \rho u^2 + k_{ab} c_{qa} c_{qb}
              + \sum_{a \ne b} (c_{qa}^2 - \tfrac13) c_{qb} h_{aab} + c_{qx} c_{qy} c_{qz} h_{xyz} \right)

    .. math::
        h_{aab} = \tfrac{27}2 \rho u_a^2 u_b + 3 (2 u_a k_{ab} + u_b k_{aa}), \qquad
        h_{xyz} = 27 \rho u_x u_y u_z + 6 (u_x k_{yz} + u_y k_{xz} + u_z k_{xy})

    Parameters
    ----------
    put : callable
        Turns a direction's number and its expression into the statement that writes it.

    Yields
    ------
    statement : (str, str)
        In the order in which they need one another.

    Notes
    -----
    To the third order in velocity; the stress must be without a trace. Opposite directions share their
    even and their odd part.

    References
    ----------
    .. [1] Malaspinas, "Increasing stability and accuracy of the lattice Boltzmann scheme: recursivity and
       regularization", arXiv:1505.06900, 2015: the recursive third order terms. From memory.

    Examples
    --------
    >>> len([name for name, _ in populations(lambda q, value: (f"g{q}", value)) if name.startswith("g")])
    27
    """
    yield from _second_order()
    yield from _third_order()
    yield put(0, f"{literal(WEIGHTS[0])} * base")
    for q, each in enumerate(DIRECTIONS):
        if q < OPPOSITE[q]:
            yield f"e{q}", _even(each)
            yield f"o{q}", _odd(each)
            yield put(q, f"{literal(WEIGHTS[q])} * (e{q} + o{q})")
            yield put(OPPOSITE[q], f"{literal(WEIGHTS[q])} * (e{q} - o{q})")


def _second_order() -> Iterator[Statement]:
    """Give what even parts are summed from: ``base``, the tensor ``q``, and sums that directions share."""
    yield "base", f"dr - rho * ({literal(1.5)} * (ux * ux + uy * uy + uz * uz))"
    for name in _AXES:
        yield f"w{name}", f"{literal(4.5)} * rho * u{name}"
    for a, b in _PAIRS:
        yield f"q{a}{b}", f"w{a} * u{b} + k{a}{b}"
    for a, b in _PAIRS[3:]:
        yield f"twice{a}{b}", f"q{a}{b} + q{a}{b}"
    for name in _AXES:
        yield f"e_{name}", f"base + q{name}{name}"
    for a, b in _PAIRS[3:]:
        yield f"e_{a}{b}", f"e_{a} + q{b}{b}"
    yield "e_xyz", "e_xy + qzz"
    yield "alike", "e_xyz + twicexy"
    yield "apart", "e_xyz - twicexy"
    yield "alikez", "twicexz + twiceyz"
    yield "apartz", "twicexz - twiceyz"


def _third_order() -> Iterator[Statement]:
    """Third order terms, those of equilibrium and what the stress adds, and sums of odd parts."""
    for name in _AXES:
        yield f"v{name}", f"{literal(3.0)} * u{name}"
    for i, j in _MIXED:
        a, b = _AXES[i], _AXES[j]
        pair = "".join(sorted(a + b))
        yield f"h{a}{a}{b}", f"v{a} * (q{pair} + k{pair}) + v{b} * k{a}{a}"
    yield "hxyz", f"{literal(6.0)} * (ux * qyz + uy * kxz + uz * kxy)"
    for b in _AXES:
        first, second = (f"h{a}{a}{b}" for a in _AXES if a != b)
        yield f"o_{b}", f"rho * v{b} - {literal(1 / 3)} * ({first} + {second})"
        for a in _AXES:
            if a != b:
                yield f"o_{b}_{a}", f"o_{b} + h{a}{a}{b}"
        yield f"o_{b}_all", f"o_{b} + ({first} + {second})"
    yield "alike_odd", "o_x_all + o_y_all"
    yield "apart_odd", "o_x_all - o_y_all"
    yield "alikez_odd", "o_z_all + hxyz"
    yield "apartz_odd", "o_z_all - hxyz"


def _even(each: tuple[int, int, int]) -> str:
    along = "".join(name for step, name in zip(each, _AXES, strict=True) if step)
    if len(along) == 1:
        return f"e_{along}"
    if len(along) == 2:
        return f"e_{along} {_sign(each)} twice{along}"
    kind = "alike" if each[0] == each[1] else "apart"
    return f"{kind} {'+' if each[0] == each[2] else '-'} {kind}z"


def _odd(each: tuple[int, int, int]) -> str:
    """Odd part of a direction whose first step that is none leads ahead."""
    along = "".join(name for step, name in zip(each, _AXES, strict=True) if step)
    if len(along) == 1:
        return f"o_{along}"
    if len(along) == 2:
        a, b = along
        return f"o_{a}_{b} {_sign(each)} o_{b}_{a}"
    kind = "alike" if each[0] == each[1] else "apart"
    return f"{kind}_odd {'+' if each[2] > 0 else '-'} {kind}z_odd"


def _sign(each: tuple[int, int, int]) -> str:
    """Of the product of a direction's steps along two axes."""
    first, second = (step for step in each if step)
    return "+" if first == second else "-"
