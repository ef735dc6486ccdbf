"""Strength: what loads the body and what it would bear."""

import numpy as np

from finial.assemble.strength.results import LoadCaseResult, ReserveRow
from finial.core.dimensions import Dimension
from finial.findings.readiness import Readiness
from finial.report.document import ReportSection, Table
from finial.report.shown import Shown

_PLENTY = 100.0
"""A reserve above this is said as at least its low end: the load is next to nothing."""


def strength_section(readiness: Readiness) -> ReportSection:
    """Worst reserve of every failure mode, and the peak loads of each case."""
    strength, shown = readiness.strength, Shown(us_units=readiness.us_units)
    worst = _worst_of_each(strength.reserves)
    reserves = Table(
        title="Worst reserve of each kind: strength over load; 1 just holds",
        columns=("what", "case", "station", "reserve", "rods carry", "load and strength"),
        rows=tuple(_reserve(row, shown) for row in worst),
        numbers=(2, 3, 4),
        pages_only=(5,),
    )
    peaks = Table(
        title="Largest loads along the body",
        columns=("case", "axial, compression", "shear", "bending"),
        rows=tuple(_peaks(case, shown) for case in strength.cases),
        numbers=(1, 2, 3),
    )
    others = len(strength.reserves) - len(worst)
    return ReportSection(
        key="strength",
        title="Strength",
        tables=(reserves, peaks),
        notes=(f"{others} further combinations of kind and case have more reserve.",) if others else (),
        pictures=("body_loads",) if strength.cases else (),
    )


def _worst_of_each(rows: tuple[ReserveRow, ...]) -> tuple[ReserveRow, ...]:
    """Row with the least reserve of each kind, not known first, then rising."""
    ordered = sorted(rows, key=_low_end)
    by_kind: dict[str, ReserveRow] = {}
    for row in ordered:
        by_kind.setdefault(row.what, row)
    return tuple(by_kind.values())


def _low_end(row: ReserveRow) -> float:
    return float("-inf") if row.reserve is None else row.reserve.low


def _reserve(row: ReserveRow, shown: Shown) -> tuple[str, ...]:
    rods = "" if row.rod_share is None else f"{100 * row.rod_share:.0f} %"
    load = f"{row.load}. {row.note}" if row.note and row.note not in row.load else row.load
    return row.what, row.case, shown.length(row.station_m), _factor(row, shown), rods, load


def _factor(row: ReserveRow, shown: Shown) -> str:
    if row.reserve is not None and row.reserve.value > _PLENTY:
        return f"at least {shown.plain(row.reserve.low, Dimension.RATIO)}"
    return shown.between(row.reserve, None)


def _peaks(case: LoadCaseResult, shown: Shown) -> tuple[str, ...]:
    compression = _whole(max(0.0, float(case.axial_n.max())))
    shear = _whole(float(np.abs(case.shear_n).max()))
    return (
        case.case,
        shown.plain(compression, Dimension.FORCE),
        shown.plain(shear, Dimension.FORCE),
        moment_words(_whole(float(np.abs(case.bending_n_m).max())), shown),
    )


def _whole(load: float) -> float:
    """Clear away what is only rounding: a hundredth of a newton or newton metre."""
    return round(load, 2)


def moment_words(newton_metres: float, shown: Shown) -> str:
    """Write a moment in N m or lbf ft: joules and foot-pounds measure the same but mean energy."""
    unit = shown.plain(newton_metres, Dimension.ENERGY)
    return unit.replace("ft lbf", "lbf ft").replace("kJ", "kN m").replace("J", "N m")
