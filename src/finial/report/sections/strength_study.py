"""Sections of the long look at strength: reserves, load cases, rods, heat."""

import numpy as np

from finial.assemble.strength.records import CaseLoads, HeatCase, PreloadRow, ShareRow, StrengthStudy
from finial.assemble.strength.results import ReserveRow
from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate
from finial.findings.limits import Limits
from finial.findings.readiness import Readiness
from finial.findings.rules.strength_fixes import cheapest_fix
from finial.findings.rules.strength_study_rules import limit_of, worst_rows
from finial.report.document import ReportSection, Table
from finial.report.sections.loads import moment_words
from finial.report.shown import NOT_KNOWN, Shown

PLENTY = 100.0
"""A reserve above this says no more than that the load is next to nothing."""


def factor(reserve: Estimate | None) -> str:
    """Say a reserve and its interval, or that it is plenty."""
    if reserve is None:
        return NOT_KNOWN
    if reserve.low >= PLENTY:
        return f"over {PLENTY:.0f}"
    if reserve.low == reserve.high:
        return f"{reserve.value:.2f}"
    return f"{_short(reserve.value)} ({_short(reserve.low)} to {_short(reserve.high)})"


def _short(value: float) -> str:
    return f"over {PLENTY:.0f}" if value >= PLENTY else f"{value:.0f}" if value >= 10 else f"{value:.2f}"


def reserves_section(readiness: Readiness, study: StrengthStudy, shown: Shown) -> ReportSection:
    """Worst reserve of each way to fail, worst first, with the cheapest fix."""
    limits = Limits(own=readiness.own_limits)
    rows = worst_rows(study.reserves)
    table = Table(
        title="Strength over load, worst first; 1 just holds",
        columns=("what gives way", "in which case", "station", "reserve", "cheapest fix"),
        rows=tuple(_reserve(row, limits, shown) for row in rows),
        numbers=(2,),
    )
    flights = "the nominal flight, its corners"
    if readiness.hardest_flights:
        flights += " and the hardest of a campaign"
    warm = shown.between(study.wall_temperature, Dimension.TEMPERATURE)
    return ReportSection(
        key="reserves",
        title="What gives way first",
        facts=(("walls taken at", warm), ("loads of", flights)),
        tables=(table,),
        notes=(f"{len(study.reserves) - len(rows)} further combinations have more reserve.",),
        pictures=("reserves_by_station",),
    )


def _reserve(row: ReserveRow, limits: Limits, shown: Shown) -> tuple[str, ...]:
    limit, _ = limit_of(row, limits)
    short = row.reserve is None or row.reserve.low < limit
    fix = cheapest_fix(row, limit) if short else ""
    return row.what, row.case, shown.length(row.station_m), factor(row.reserve), fix


def cases_section(study: StrengthStudy, shown: Shown) -> ReportSection:
    """Largest loads of each case."""
    table = Table(
        title="Largest loads along the body",
        columns=("case", "squeezed", "pulled", "shear", "bending", "torsion"),
        rows=tuple(_peaks(case, shown) for case in study.cases),
        numbers=(1, 2, 3, 4, 5),
    )
    return ReportSection(key="cases", title="Load cases", tables=(table,), pictures=("loads",))


def _peaks(case: CaseLoads, shown: Shown) -> tuple[str, ...]:
    push, pull = max(float(case.axial_n.max()), 0.0), max(float(-case.axial_n.min()), 0.0)
    return (
        case.case,
        shown.plain(round(push, 1), Dimension.FORCE),
        shown.plain(round(pull, 1), Dimension.FORCE),
        shown.plain(round(float(np.abs(case.shear_n).max()), 1), Dimension.FORCE),
        moment_words(round(float(np.abs(case.bending_n_m).max()), 2), shown),
        moment_words(round(float(np.abs(case.torsion_n_m).max()), 2), shown),
    )


def rods_section(study: StrengthStudy, shown: Shown) -> ReportSection:
    """Tell what rods carry, and what walls would do without them."""
    shares = Table(
        title="Layers pulled apart along the rods: reserve with the rods, and without them in one piece",
        columns=("case", "rods carry", "station", "with rods", "without"),
        rows=tuple(_share(row, shown) for row in study.shares),
        numbers=(1, 2),
    )
    preloads = Table(
        title="Preload of all rods of a set over a day in the sun",
        columns=("rods", "tightened", "hot", "cooled after the wait", "left"),
        rows=tuple(_preload(row, shown) for row in study.preloads),
        numbers=(1, 2, 3, 4),
    )
    return ReportSection(key="rods", title="Rods", tables=(shares, preloads), pictures=("shares",))


def _share(row: ShareRow, shown: Shown) -> tuple[str, ...]:
    return (
        row.case,
        f"{100 * row.rod_share:.0f} %",
        shown.length(row.station_m),
        _pulled(row.pulled_with),
        _pulled(row.pulled_without),
    )


def _pulled(reserve: Estimate | None) -> str:
    return "not pulled" if reserve is None else factor(reserve)


def _preload(row: PreloadRow, shown: Shown) -> tuple[str, ...]:
    return (
        row.rods,
        shown.plain(row.tightened_n.value, Dimension.FORCE),
        shown.plain(row.hot_n, Dimension.FORCE),
        shown.plain(row.after_n, Dimension.FORCE),
        f"{100 * row.left:.0f} %",
    )


def heat_section(study: StrengthStudy, shown: Shown) -> ReportSection:
    """How warm each part gets, and what to do."""
    table = Table(
        title="How warm it gets, and what is left to 10 K below softening",
        columns=("part", "where", "temperature", "left", "what to do"),
        rows=tuple(_heat(case, shown) for case in study.heat),
        numbers=(3,),
    )
    return ReportSection(key="heat", title="Heat", tables=(table,))


def _heat(case: HeatCase, shown: Shown) -> tuple[str, ...]:
    left = f"{case.margin.value:.0f} K ({case.margin.low:.0f} to {case.margin.high:.0f})"
    return case.part, case.where, shown.between(case.temperature, Dimension.TEMPERATURE), left, case.advice
