"""Strength: what loads the body and what it would bear."""

import numpy as np

from finial.assemble.strength.results import CaseLoads
from finial.core.dimensions import Dimension
from finial.findings.limits import Limits
from finial.findings.readiness import Readiness
from finial.findings.rules.strength_rules import worst_rows
from finial.report.document import ReportSection, Table
from finial.report.shown import Shown
from finial.report.strength_words import gives_way, load_words
from finial.report.wording.strength import case_words
from finial.structure.reserves import Reserve

_PLENTY = 100.0
"""A reserve above this is said as at least its low end: the load is next to nothing."""


def strength_section(readiness: Readiness) -> ReportSection:
    """Worst reserve of every failure mode, and the peak loads of each case."""
    strength, shown = readiness.strength, Shown(us_units=readiness.us_units)
    worst = worst_rows(strength.reserves)
    reserves = Table(
        title="Worst reserve of each kind: strength over load; 1 just holds",
        columns=("what", "case", "station", "reserve", "rods carry", "load and strength"),
        rows=tuple(_reserve(row, readiness, shown) for row in worst),
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


def _reserve(row: Reserve, readiness: Readiness, shown: Shown) -> tuple[str, ...]:
    rods = "" if row.rod_share is None else f"{100 * row.rod_share:.0f} %"
    load = load_words(row, readiness.strength.reserves, Limits(own=readiness.own_limits), shown)
    station = shown.length(row.station_m)
    return gives_way(row), case_words(row.case), station, _factor(row, shown), rods, load


def _factor(row: Reserve, shown: Shown) -> str:
    if row.reserve is not None and row.reserve.value > _PLENTY:
        return f"at least {shown.plain(row.reserve.low, Dimension.RATIO)}"
    return shown.between(row.reserve, None)


def _peaks(case: CaseLoads, shown: Shown) -> tuple[str, ...]:
    compression = _whole(max(0.0, float(case.axial_n.max())))
    shear = _whole(float(np.abs(case.shear_n).max()))
    return (
        case_words(case.case),
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
    return unit.replace("ft lbf", "lbf ft").replace("J", "N m")
