"""Sections of the long look at strength: reserves, load cases, rods, heat."""

import numpy as np

from finial.assemble.strength.records import BarsWorth, ShareRow, StrengthStudy
from finial.assemble.strength.results import CaseLoads, HeatCase, PreloadRow
from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate
from finial.findings.limits import Limits
from finial.findings.readiness import Readiness
from finial.findings.rules.strength_rules import heat_findings, worst_rows
from finial.report.document import ReportSection, Table
from finial.report.finding_words import what_to_change
from finial.report.sections.loads import moment_words
from finial.report.shown import Shown, factor
from finial.report.strength_words import change_words, gives_way
from finial.report.wording.strength import PLACES, case_words
from finial.structure.reserves import Reserve


def reserves_section(readiness: Readiness, study: StrengthStudy, shown: Shown) -> ReportSection:
    """Worst reserve of each way to fail, worst first, with the cheapest fix."""
    limits = Limits(own=readiness.own_limits)
    rows = worst_rows(study.reserves)
    table = Table(
        title="Strength over load, worst first; 1 just holds",
        columns=("what gives way", "in which case", "station", "reserve", "cheapest fix"),
        rows=tuple(_reserve(row, study, limits, shown) for row in rows),
        numbers=(2,),
    )
    flights = "the nominal flight, its corners"
    if readiness.hardest_flights:
        flights += " and the hardest of a campaign"
    warm = shown.between(study.wall_temperature, Dimension.TEMPERATURE)
    pulls = "as followed in time" if study.recovery_followed else "by closed form: not followed in time"
    return ReportSection(
        key="reserves",
        title="What gives way first",
        facts=(("walls taken at", warm), ("loads of", flights), ("pulls of cords", pulls)),
        tables=(table,),
        notes=(f"{len(study.reserves) - len(rows)} further combinations have more reserve.",),
        pictures=("reserves_by_station",),
    )


def _reserve(row: Reserve, study: StrengthStudy, limits: Limits, shown: Shown) -> tuple[str, ...]:
    fix, station = change_words(row, study.reserves, limits, shown), shown.length(row.station_m)
    return gives_way(row), case_words(row.case), station, factor(row.reserve), fix


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
        case_words(case.case),
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
        title="Preload of all rods of a set over the day, low ends where it says at least",
        columns=("rods", "tightened", "hot", "cold", "as it flies", "cooled after the wait", "creep leaves"),
        rows=tuple(_preload(row, shown) for row in study.preloads),
        numbers=(1, 2, 3, 4, 5, 6),
    )
    return ReportSection(key="rods", title="Rods", tables=(shares, preloads), pictures=("shares",))


def _share(row: ShareRow, shown: Shown) -> tuple[str, ...]:
    return (
        case_words(row.case),
        f"{100 * row.rod_share:.0f} %",
        shown.length(row.station_m),
        _pulled(row.pulled_with),
        _pulled(row.pulled_without),
    )


def _pulled(reserve: Estimate | None) -> str:
    return "not pulled" if reserve is None else factor(reserve)


def _preload(row: PreloadRow, shown: Shown) -> tuple[str, ...]:
    day = (row.tightened_n, row.hot_n, row.cold_n, row.day_n, row.cooled_n)
    return (
        row.rods,
        *(f"at least {shown.plain(force.low, Dimension.FORCE)}" for force in day),
        f"{100 * row.left.low:.0f} to {100 * row.left.high:.0f} %",
    )


def heat_section(study: StrengthStudy, shown: Shown) -> ReportSection:
    """How warm each part gets, and what to do."""
    table = Table(
        title="How warm it gets, and what is left to where it is flagged, somewhat below softening",
        columns=("part", "where", "temperature", "left", "what to do"),
        rows=tuple(_heat(case, shown) for case in study.heat),
        numbers=(3,),
    )
    return ReportSection(key="heat", title="Heat", tables=(table,))


def _heat(case: HeatCase, shown: Shown) -> tuple[str, ...]:
    left = shown.between(case.margin, Dimension.TEMPERATURE_STEP)
    (found, *_) = (one for one in heat_findings([case]) if one.subject.name)
    warm = shown.between(case.temperature, Dimension.TEMPERATURE)
    return case.part, PLACES[case.place.value], warm, left, what_to_change(found, shown)


def layers_section(study: StrengthStudy, shown: Shown) -> ReportSection:
    """Tell what is known of the strength across layers, and what own bars would settle."""
    table = Table(
        title="Strength across the layers, in a cool room; judged at its low end",
        columns=("plastic", "now", "known from", "with bars of your printer"),
        rows=tuple(_layers(row, shown) for row in study.layers),
        numbers=(1,),
    )
    notes = ("Bars of the own printer count before any table, as far as they are many.",)
    return ReportSection(key="layers", title="Across the layers", tables=(table,), notes=notes)


def _layers(row: BarsWorth, shown: Shown) -> tuple[str, ...]:
    now = shown.between(row.now, Dimension.PRESSURE)
    known = f"{row.lots} lots of it" if row.lots else "its kin's share of the strength along layers"
    low = shown.plain(row.with_bars.low, Dimension.PRESSURE)
    return row.material, now, known, f"{row.bars} bars of the same mean: at least {low}"
