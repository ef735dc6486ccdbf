"""Strength of printed plastics from bars that were broken: lots differ, and bars within a lot."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import cache

import numpy as np
from numpy.typing import NDArray

from finial.core.doors import require_fraction, require_positive
from finial.core.errors import MissingData, OutsideRange
from finial.core.estimates import Estimate, KnownBy
from finial.core.tables import table_rows

FEWEST_LOTS = 4
"""Lots of its own that a plastic needs before they speak for it [-]; chosen."""
TAIL = 0.05
"""Share of bars weaker than the low end, and stronger than the high end [-]; chosen."""
_BENCH = "bars of one home bench (github joshcarter/tensile_test), lots as they came, some damp"


class BarPull(StrEnum):
    """Which way a bar is pulled: along its layers or across them."""

    ALONG = "along"
    ACROSS = "across"


@dataclass(frozen=True, slots=True, kw_only=True)
class Lot:
    """Bars of one spool, printed and broken together; ``strengths_pa`` has shape (n,)."""

    name: str
    filled: bool
    """Chopped fibres in it."""
    damp: bool
    """The bench's note says wet filament."""
    strengths_pa: NDArray[np.float64]

    @property
    def logs(self) -> NDArray[np.float64]:
        """Natural logarithms of the strengths in pascals [-], shape (n,)."""
        return np.log(self.strengths_pa)


@dataclass(frozen=True, slots=True, kw_only=True)
class Scatter:
    """How lots and bars scatter, as standard deviations of the logarithm [-]."""

    lots: int
    bars: int
    middle: float
    """Mean over the lots of the logarithm of the strength in pascals [-]."""
    between: float
    """Of lots' means about each other, their bars' own scatter taken off."""
    within: float
    """Of bars about their lot's mean."""
    of_means: float
    """Of lots' means, as they are."""
    per_lot: float
    """Bars of a lot, harmonic mean [-]."""


def lots_of(plastic: str | None = None, *, pull: BarPull, filled: bool | None = None) -> tuple[Lot, ...]:
    """Lots that stand for a plastic of the tables, or all plain or filled ones, pulled one way.

    Parameters
    ----------
    plastic : str, optional
        Name as in the tables; without it lots of every plastic.
    pull : BarPull
        Which way they were pulled.
    filled : bool, optional
        Only those with, or without, chopped fibres.

    Returns
    -------
    lots : tuple of Lot
        In the order of the table; none where no such bar was broken.

    Examples
    --------
    >>> len(lots_of("PETG", pull=BarPull.ACROSS)), len(lots_of("PC", pull=BarPull.ACROSS))
    (8, 0)
    """
    rows: dict[str, list[dict[str, str]]] = {}
    for row in table_rows("finial.materials", "printed_bars.csv"):
        if row["axis"] != pull or (plastic is not None and row["counts_as"] != plastic):
            continue
        if filled is None or (row["filled"] == "yes") == filled:
            rows.setdefault(row["lot"], []).append(row)
    return tuple(
        Lot(
            name=name,
            filled=bars[0]["filled"] == "yes",
            damp=bars[0]["damp"] == "yes",
            strengths_pa=np.array([1e6 * float(bar["strength_mpa"]) for bar in bars]),
        )
        for name, bars in rows.items()
    )


def scatter_of(lots: Sequence[Lot]) -> Scatter:
    r"""Mean of lots, and how far lots and bars scatter about it.

    .. math::
        s_w^2 = \frac{\sum_i \sum_j (x_{ij} - \bar x_i)^2}{\sum_i (n_i - 1)}, \qquad
        s_b^2 = \max\left(s_{\bar x}^2 - s_w^2 / n_h,\ 0\right)

    with :math:`x` the logarithm of strength, :math:`s_{\bar x}` the scatter of the lots' means and
    :math:`n_h` the harmonic mean of bars a lot.

    Parameters
    ----------
    lots : sequence of Lot
        Two or more, one of them with two bars or more; strengths [Pa].

    Returns
    -------
    scatter : Scatter
        Logarithms [-].

    Raises
    ------
    MissingData
        If there are fewer than two lots, or no lot has two bars.

    Notes
    -----
    Range: any number of lots; ten bars of one lot say nothing of the next spool.

    References
    ----------
    .. [1] One-way random effects by moments: Searle, Casella and McCulloch, Variance Components, 1992,
       chapter 3; from memory.

    Examples
    --------
    >>> found = scatter_of(lots_of("PETG", pull=BarPull.ACROSS))
    >>> round(math.exp(found.middle) / 1e6, 1), round(found.between, 2), round(found.within, 2)
    (16.7, 0.27, 0.39)
    """
    counts = np.array([lot.strengths_pa.size for lot in lots])
    if len(lots) < 2 or counts.max() < 2:
        raise MissingData("scatter needs two lots or more, and one of them two bars or more")
    means = np.array([lot.logs.mean() for lot in lots])
    squares = sum(float(((lot.logs - lot.logs.mean()) ** 2).sum()) for lot in lots)
    within = squares / float((counts - 1).sum())
    per_lot = len(lots) / float((1 / counts).sum())
    of_means = float(means.var(ddof=1))
    return Scatter(
        lots=len(lots),
        bars=int(counts.sum()),
        middle=float(means.mean()),
        between=math.sqrt(max(of_means - within / per_lot, 0.0)),
        within=math.sqrt(within),
        of_means=math.sqrt(of_means),
        per_lot=per_lot,
    )


def next_bar(found: Scatter) -> Estimate:
    r"""Strength of a bar of a lot that nobody has broken yet.

    .. math::
        \ln S = \bar x \pm t_{k-1} \sqrt{s_{\bar x}^2 (1 + 1/k) + s_w^2 (1 - 1/n_h)}

    Parameters
    ----------
    found : Scatter
        Of two lots or more.

    Returns
    -------
    strength : Estimate
        Its middle and the ends that one bar in twenty falls below and one rises above [Pa].

    Raises
    ------
    OutsideRange
        If there are fewer than two lots.

    Notes
    -----
    Holds for lots like those broken: the next spool's mean is as unknown as theirs were, and few lots
    widen it further (Student's factor). A wall is many bars side by side and lets go at its weakest.

    References
    ----------
    .. [1] Prediction of a further observation: Hahn and Meeker, Statistical Intervals, 1991, chapter 4; the
       logarithm of strength taken as normal, which is assumed.

    Examples
    --------
    >>> petg = next_bar(scatter_of(lots_of("PETG", pull=BarPull.ACROSS)))
    >>> [round(end / 1e6, 1) for end in (petg.low, petg.value, petg.high)]
    [6.6, 16.7, 41.9]
    """
    require_positive(lots_beyond_the_first=found.lots - 1)
    width = found.of_means**2 * (1 + 1 / found.lots) + found.within**2 * (1 - 1 / found.per_lot)
    return _about(found.middle, math.sqrt(width), found.lots - 1, method=_words(found))


def own_bars(mean_pa: float, count: int, *, pull: BarPull, filled: bool = False) -> Estimate:
    r"""Strength of the builder's own print from the mean of bars broken, where their scatter is not given.

    .. math::  \ln S = \ln \bar s \pm t \, s_w \sqrt{1 + 1/n}

    Parameters
    ----------
    mean_pa : float
        Mean strength of the bars [Pa].
    count : int
        How many were broken [-].
    pull : BarPull
        Which way.
    filled : bool
        Whether chopped fibres are in it.

    Returns
    -------
    strength : Estimate
        [Pa], with the scatter of bars within a lot that the measured lots show.

    Raises
    ------
    OutsideRange
        If the mean or the count is not above zero.

    Notes
    -----
    Holds for bars of the same spool, printer and settings as the vehicle.

    References
    ----------
    .. [1] As :func:`next_bar`.

    Examples
    --------
    >>> five = own_bars(17e6, 5, pull=BarPull.ACROSS)
    >>> round(five.low / 1e6, 1), round(own_bars(17e6, 1, pull=BarPull.ACROSS).low / 1e6, 1)
    (9.6, 8.2)
    """
    require_positive(mean_pa=mean_pa, count=count)
    found = scatter_of(lots_of(pull=pull, filled=filled))
    method = f"own bars, {count} broken, scatter of bars as measured lots show it"
    free = found.bars - found.lots
    answer = _about(math.log(mean_pa), found.within * math.sqrt(1 + 1 / count), free, method=method)
    return Estimate(
        value=answer.value, low=answer.low, high=answer.high, known_by=KnownBy.MEASURED, method=method
    )


def share_across(filled: bool) -> Scatter:
    """Strength across the layers over that along them, lot by lot: logarithms, of plain or filled plastics.

    See :func:`scatter_of` for the equation; ``within`` is that of the bars pulled across.

    Parameters
    ----------
    filled : bool
        Of plastics with chopped fibres, or of those without.

    Returns
    -------
    scatter : Scatter
        Logarithms of the share [-]. The table has enough lots of either: no ``MissingData`` comes through.

    Examples
    --------
    >>> [round(math.exp(share_across(filled).middle), 2) for filled in (False, True)]
    [0.39, 0.21]
    """
    along = {lot.name: lot for lot in lots_of(pull=BarPull.ALONG, filled=filled)}
    across = lots_of(pull=BarPull.ACROSS, filled=filled)
    shares = np.array(
        [math.log(lot.strengths_pa.mean() / along[lot.name].strengths_pa.mean()) for lot in across]
    )
    found = scatter_of(across)
    of_means = float(shares.std(ddof=1))
    return Scatter(
        lots=found.lots,
        bars=found.bars,
        middle=float(shares.mean()),
        between=math.sqrt(max(of_means**2 - found.within**2 / found.per_lot, 0.0)),
        within=found.within,
        of_means=of_means,
        per_lot=found.per_lot,
    )


@cache
def measured_strength(plastic: str, pull: BarPull) -> Estimate | None:
    """Strength that a plastic's own lots show.

    See :func:`next_bar` for the equation.

    Parameters
    ----------
    plastic : str
        Name as in the tables.
    pull : BarPull
        Which way.

    Returns
    -------
    strength : Estimate or None
        [Pa]; ``None`` where there are fewer than four lots, so that no ``MissingData`` or ``OutsideRange`` of
        fewer than two comes through.

    Examples
    --------
    >>> measured_strength("ABS", BarPull.ACROSS) is None
    True
    >>> round(measured_strength("PLA", BarPull.ACROSS).low / 1e6, 1)
    5.9
    """
    lots = lots_of(plastic, pull=pull)
    return next_bar(scatter_of(lots)) if len(lots) >= FEWEST_LOTS else None


def strength_from_share(along: Estimate, *, filled: bool) -> Estimate:
    r"""Strength across the layers of a plastic with too few lots of its own, as its kin's share.

    .. math::
        \ln S = \ln S_{along} + \bar x_s \pm t_{k-1} \sqrt{s_s^2 (1 + 1/k) + s_w^2 (1 - 1/n_h) + s_a^2}

    Parameters
    ----------
    along : Estimate
        Strength along the layers [Pa]; its interval counts as one bar in twenty beyond either end.
    filled : bool
        Whether chopped fibres are in it.

    Returns
    -------
    strength : Estimate
        [Pa].

    Raises
    ------
    OutsideRange
        If the strength's low end is not above zero.

    Notes
    -----
    Holds for plastics printed much like those broken. Fibres lie along the lines and do not reach across: the
    share of filled plastics is half that of plain ones.

    References
    ----------
    .. [1] As :func:`next_bar`.

    Examples
    --------
    >>> from finial.core.estimates import spread
    >>> abs_ = strength_from_share(spread(36e6, 0.2, known_by=KnownBy.HANDBOOK), filled=False)
    >>> [round(end / 1e6, 1) for end in (abs_.low, abs_.value, abs_.high)]
    [6.2, 14.1, 32.1]
    """
    require_positive(low_end_pa=along.low)
    found = share_across(filled)
    own = math.log(along.high / along.low) / (2 * _student(1_000_000))
    width = found.of_means**2 * (1 + 1 / found.lots) + found.within**2 * (1 - 1 / found.per_lot) + own**2
    kin = "filled" if filled else "plain"
    method = f"strength along, by the share that {found.lots} lots of {kin} plastics keep across their layers"
    return _about(math.log(along.value) + found.middle, math.sqrt(width), found.lots - 1, method=method)


def widened_along(along: Estimate, *, filled: bool) -> Estimate:
    r"""Strength along the layers from memory, with the scatter that lots of measured plastics show.

    .. math::  S_\pm = S \, e^{\pm t s}

    Parameters
    ----------
    along : Estimate
        Strength as tabled [Pa].
    filled : bool
        Whether chopped fibres are in it.

    Returns
    -------
    strength : Estimate
        [Pa]; the middle stays, and no end moves inward.

    Raises
    ------
    OutsideRange
        If the middle is not above zero.

    Notes
    -----
    Range: plastics without lots of their own; ``s`` is the scatter of lots and bars about their own plastic's
    mean.

    References
    ----------
    .. [1] As :func:`next_bar`.

    Examples
    --------
    >>> from finial.core.estimates import spread
    >>> round(widened_along(spread(36e6, 0.1, known_by=KnownBy.HANDBOOK), filled=False).low / 1e6, 1)
    24.4
    """
    require_positive(along_pa=along.value)
    spreads = [scatter_of(lots) for lots in _groups(filled)]
    free = sum(one.lots - 1 for one in spreads)
    of_lots = math.sqrt(sum((one.lots - 1) * (one.between**2 + one.within**2) for one in spreads) / free)
    wide = _about(math.log(along.value), of_lots, free, method="scatter of lots along their layers")
    return Estimate(
        value=along.value,
        low=min(along.low, wide.low),
        high=max(along.high, wide.high),
        known_by=along.known_by,
        method=along.method,
        source="; ".join(filter(None, (along.source, _BENCH))),
    )


def _groups(filled: bool) -> list[tuple[Lot, ...]]:
    """Lots along their layers of each plastic that has enough of them."""
    names = dict.fromkeys(row["counts_as"] for row in table_rows("finial.materials", "printed_bars.csv"))
    groups = [lots_of(name, pull=BarPull.ALONG, filled=filled) for name in names if name]
    return [lots for lots in groups if len(lots) >= FEWEST_LOTS]


def best_sheet(plastic: str, pull: BarPull) -> float:
    """Highest strength that a maker's data sheet gives, as far as sheets were seen.

    Parameters
    ----------
    plastic : str
        Name as in the tables.
    pull : BarPull
        Which way.

    Returns
    -------
    strength_pa : float
        [Pa]; 0 where none was seen.

    Examples
    --------
    >>> best_sheet("PLA", BarPull.ACROSS), best_sheet("TPU", BarPull.ACROSS)
    (36500000.0, 0.0)
    """
    rows = table_rows("finial.materials", "printed_sheets.csv")
    return max(
        (1e6 * float(row[pull]) for row in rows if row["counts_as"] == plastic and row[pull]), default=0.0
    )


def _about(middle: float, width: float, free: int, *, method: str) -> Estimate:
    if not math.isfinite(width):
        raise OutsideRange(f"scatter of {width} is not one")
    reach = _student(free) * width
    return Estimate(
        value=math.exp(middle),
        low=math.exp(middle - reach),
        high=math.exp(middle + reach),
        known_by=KnownBy.HANDBOOK,
        method=method,
        source=_BENCH,
    )


@cache
def _student(free: int) -> float:
    """Student's factor that one value in twenty exceeds, at so many degrees of freedom [-]."""
    from scipy.special import stdtrit  # slow to import; only this needs it

    require_fraction(tail=TAIL)
    return float(stdtrit(free, 1 - TAIL))


def _words(found: Scatter) -> str:
    return f"{found.bars} bars of {found.lots} lots; one bar in twenty lies beyond either end"
