"""What passes between two neighbouring grids is counted on both, and what they differ by is paid."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.tunnel.bridges import flat
from finial.tunnel.lattice import STEPS
from finial.tunnel.links import GridBox

FINE_SHARE = 0.125
"""Of a wide cell's room that a fine one takes."""
_SIGNED = np.concatenate([np.ones((27, 1)), STEPS], axis=1)
SIGNED = np.concatenate([_SIGNED, -_SIGNED]).T.astype(np.float32).ravel()
"""Air and momentum that one unit of each direction brings, then that it takes away, shape (4 * 54,): of all
directions the air first."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Passing:
    """Populations of one grid that pass the border at its step, owner by owner."""

    starts: NDArray[np.int32]
    """First of each owner and the end, shape (p + 1,)."""
    places: NDArray[np.int64]
    """Of the populations before the step, those of all cells direction by direction, shape (e,)."""
    ways: NDArray[np.uint8]
    """Their directions where they come out to the owner; 27 more where they go in, shape (e,)."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Debts:
    """Along the border between a grid and the finer one inside it, the first wide cells told their means."""

    owners: NDArray[np.int64]
    """Cells of the wider grid just outside the border, which are paid, shape (p,)."""
    fine: Passing
    wide: Passing
    usual: NDArray[np.float32]
    """Start of every count: less what the wind alone would owe, at edges, shape (4 p,)."""
    beside_starts: NDArray[np.int32]
    """First of each owner's neighbours among the owners and the end, shape (p + 1,)."""
    beside: NDArray[np.int32]
    """Their places in ``owners``."""
    share: np.float32
    """Of a debt that each neighbour pays."""


def debts_between(
    wide: GridBox, fine: GridBox, corner: tuple[int, int, int], stream: NDArray[np.float32]
) -> Debts:
    r"""List what passes the border between two grids.

    .. math::
        d_p = \tfrac18 \sum_{\text{2 steps}} \sum_{fine} \pm (1, c_q) f_q - \sum_{wide} \pm (1, c_q) f_q
              - d_p^{wind}, \qquad
        f_q(p) \mathrel{+}= w_q \left( \bar d_p^{\,0} + 3 \, c_q \! \cdot \bar d_p^{\,1..3} \right), \qquad
        \bar d_p = d_p + s \sum_{n} (d_n - d_p)

    with :math:`d_p` the air and the momentum that a wide cell :math:`p` is owed, plus where they come out of
    the finer grid, and :math:`n` its neighbours along the border.

    Parameters
    ----------
    wide, fine : GridBox
        The fine one's cells half as wide, an even number of them along each axis.
    corner : (int, int, int)
        First cell of the wide grid that the fine one lies over [-].
    stream : ndarray, shape (27,)
        Populations of the wind [-].

    Returns
    -------
    debts : Debts
        The border runs a wide cell inside the fine grid's outermost cells.

    Notes
    -----
    Every population that passes counts once, so that air and momentum of both grids together change by what
    passes their outer rim alone, to round-off. A fine population counts to the wide one that goes the same
    way. At edges that go askew there are not as many: what the wind owes there is known and adds up to
    nothing. Paid where they arise, debts feed on themselves and the run diverges; shared with the neighbours,
    as much as leaves their sum, they do not.

    References
    ----------
    .. [1] Berger and Colella, "Local adaptive mesh refinement for shock hydrodynamics", J. Comput. Phys. 82,
       1989: fluxes of both grids counted and their difference put back. From memory.
    .. [2] Chen, Filippova, Hoch, Molvig, Shock, Teixeira and Zhang, Physica A 362, 2006: what passes between
       cells in cells. From memory.

    Examples
    --------
    >>> wide = GridBox(origin_m=(0.0, 0.0, 0.0), cell_m=2.0, counts=(16, 16, 16))
    >>> fine = GridBox(origin_m=(7.5, 7.5, 7.5), cell_m=1.0, counts=(16, 16, 16))
    >>> debts = debts_between(wide, fine, (4, 4, 4), np.zeros(27, np.float32))
    >>> len(debts.owners) == 8**3 - 6**3, debts.usual.any().item()
    (True, False)
    """
    inner, first = np.array(fine.counts) // 2 - 2, np.array(corner) + 1
    owners = np.sort(flat(_shell(inner) + first - 1, wide.counts))
    of_fine, of_wide = _passed(2 * inner, np.full(3, 2)), _passed(inner, first)
    passing_fine = _owner_by_owner(of_fine, fine, of_fine.inside // 2 + np.array(corner), wide, owners)
    passing_wide = _owner_by_owner(of_wide, wide, of_wide.inside, wide, owners)
    by_wind = 2.0 * FINE_SHARE * _of_wind(passing_fine, stream) - _of_wind(passing_wide, stream)
    starts, beside = _neighbours(owners, wide.counts)
    return Debts(
        owners=owners,
        fine=passing_fine,
        wide=passing_wide,
        usual=-by_wind.ravel().astype(np.float32),
        beside_starts=starts,
        beside=beside,
        share=np.float32(1.0 / (np.diff(starts).max() + 1)),
    )


def _shell(inner: NDArray[np.int64]) -> NDArray[np.int64]:
    """Cells round a block, counted from the one before its first along each axis."""
    return np.argwhere(np.pad(np.zeros(inner, dtype=bool), 1, constant_values=True))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Passed:
    """Populations that pass the border of a block of one grid."""

    inside: NDArray[np.int64]
    """Cell of the block that each leaves or comes to, shape (e, 3)."""
    left: NDArray[np.int64]
    """Cell that it leaves, shape (e, 3)."""
    ways: NDArray[np.int64]
    """As :class:`Passing` has them, shape (e,)."""


def _passed(inner: NDArray[np.int64], first: NDArray[np.int64]) -> _Passed:
    shell = _shell(inner) + first - 1
    parts: list[_Passed] = []
    for q, step in enumerate(STEPS):
        before, after = (
            at[((at >= first) & (at < first + inner)).all(axis=1)] for at in (shell - step, shell + step)
        )
        parts.append(_Passed(inside=before, left=before, ways=np.full(len(before), q)))
        parts.append(_Passed(inside=after, left=after - step, ways=np.full(len(after), q + 27)))
    return _Passed(
        inside=np.concatenate([one.inside for one in parts]),
        left=np.concatenate([one.left for one in parts]),
        ways=np.concatenate([one.ways for one in parts]),
    )


def _owner_by_owner(
    passed: _Passed, box: GridBox, parents: NDArray[np.int64], wide: GridBox, owners: NDArray[np.int64]
) -> Passing:
    """Count each to the wide cell outside that the wide population of its way comes to, or leaves."""
    step = STEPS[passed.ways % 27]
    outside = parents + np.where((passed.ways < 27)[:, None], step, -step)
    owner = np.searchsorted(owners, flat(outside, wide.counts))
    places = passed.ways % 27 * box.cells + flat(passed.left, box.counts)
    order = np.lexsort([places, owner])
    return Passing(
        starts=np.searchsorted(owner[order], np.arange(len(owners) + 1)).astype(np.int32),
        places=places[order],
        ways=passed.ways[order].astype(np.uint8),
    )


def _of_wind(passing: Passing, stream: NDArray[np.float32]) -> NDArray[np.float64]:
    """Count what passes in the wind at one step, air and momentum of each owner, shape (4, p)."""
    each = SIGNED.reshape(4, 54).T[passing.ways] * stream[passing.ways % 27][:, None].astype(np.float64)
    sums = np.concatenate([np.zeros((1, 4)), np.cumsum(each, axis=0)])[passing.starts]
    return np.diff(sums, axis=0).T


def _neighbours(
    owners: NDArray[np.int64], counts: tuple[int, int, int]
) -> tuple[NDArray[np.int32], NDArray[np.int32]]:
    """Places of those owners that touch each, with one that starts them, as :class:`Debts` has them."""
    beside = owners[:, None] + flat(STEPS[1:], counts)
    place = np.minimum(np.searchsorted(owners, beside), len(owners) - 1)
    found = owners[place] == beside
    starts = np.concatenate([[0], np.cumsum(found.sum(axis=1))])
    return starts.astype(np.int32), place[found].astype(np.int32)
