# pyright: basic
# Compiled: the compiler finds the types from the arguments, and its own types say nothing about them.
"""From shares between 0 and 1 to the numbers of one flight."""

from finial.flight.kernel.compiled import inner
from finial.flight.kernel.random_numbers import four_words, normal_quantile, unit_share
from finial.flight.kernel.spread_layout import (
    AT_DRAWS,
    AT_SLOTS,
    BELL,
    DRAW_COLUMNS,
    DRAWN_HERE,
    DRAWS_STREAM,
    N_DRAWS,
    N_SLOTS,
    ODDS,
    SEED,
)

_WIDEST_BELL = 4.0
"""Normal numbers are cut at this many standard deviations: no vehicle has a mass below nothing."""


@inner
def fill_slots(flight, marks, plan, shares, slots, drawn):
    """Set every slot to the plan's, then to what the flight's own draws say; ``drawn`` keeps the values.

    Parameters
    ----------
    flight : int
        Flight number.
    shares : ndarray, shape (d,)
        Shares of this flight [-]; written here where the campaign draws them itself.

    References
    ----------
    .. [1] ``drawn_value``; definition of a draw.
    """
    for slot in range(marks[N_SLOTS]):
        slots[slot] = plan[marks[AT_SLOTS] + slot]
    if marks[DRAWN_HERE] == 1:
        draw_shares(flight, marks, shares)
    for draw in range(marks[N_DRAWS]):
        row = marks[AT_DRAWS] + draw * DRAW_COLUMNS
        value = drawn_value(shares[draw], row, plan)
        slots[int(plan[row])] = value
        drawn[draw] = value


@inner
def draw_shares(flight, marks, shares):
    """Plain random shares, four to a block of the generator.

    Parameters
    ----------
    flight : int
        Flight number.
    shares : ndarray, shape (d,)
        Filled with numbers strictly between 0 and 1 [-].

    References
    ----------
    .. [1] ``four_words``.
    """
    count = marks[N_DRAWS]
    for block in range((count + 3) // 4):
        a, b, c, d = four_words(marks[SEED], flight, DRAWS_STREAM, block)
        first = 4 * block
        shares[first] = unit_share(a)
        if first + 1 < count:
            shares[first + 1] = unit_share(b)
        if first + 2 < count:
            shares[first + 2] = unit_share(c)
        if first + 3 < count:
            shares[first + 3] = unit_share(d)


@inner
def drawn_value(share, row, plan):
    """Value of a draw: even between its ends, normal with its ends at two deviations, or odds.

    Parameters
    ----------
    share : float
        Share, strictly between 0 and 1 [-].
    row : int
        Where the draw begins in ``plan``.

    Returns
    -------
    value : float
        In the unit of its slot [any].

    References
    ----------
    .. [1] Sampling by the inverse of the distribution: any text on simulation. A bell is cut at four
       deviations, and each side has its own width.
    """
    shape, base, below, above = plan[row + 1], plan[row + 2], plan[row + 3], plan[row + 4]
    if shape == ODDS:
        return 1.0 if share < above else 0.0
    reach = 2.0 * share - 1.0
    if shape == BELL:
        reach = 0.5 * min(max(normal_quantile(share), -_WIDEST_BELL), _WIDEST_BELL)
    return base + reach * (below if reach < 0.0 else above)
